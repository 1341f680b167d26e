import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { PartDeviation } from '../../../src/shrinkage/part-deviations.ts'
import { type PlaceEffects, type PlaceKind, placeEffects } from '../../../src/shrinkage/place-effects.ts'

interface Reference {
  readonly parts: readonly {
    readonly build: number
    readonly x: number
    readonly y: number
    readonly z: number
    readonly box: number
    readonly layer: number
    readonly tray: number
    readonly value: number
  }[]
  readonly box: number
  readonly layer: number
  readonly tray: number
  readonly residual: number
  readonly boxEffects: Readonly<Record<string, number>>
  readonly layerEffects: Readonly<Record<string, number>>
  readonly trayEffects: Readonly<Record<string, number>>
  readonly boxErrors: readonly number[]
  readonly trayErrors: readonly number[]
}

/** Source: tests/reference/shrinkage/place-effects.R, lmer() of lme4. */
const reference: Reference = JSON.parse(
  readFileSync(new URL('../../reference/shrinkage/place-effects.json', import.meta.url), 'utf8'),
)
const parts = reference.parts.map(
  ({ build, value, x, y, z, tray }): PartDeviation => ({
    buildId: build,
    value,
    bed: { x, y, z },
    tray: String(tray),
  }),
)

function component(effects: PlaceEffects | null, kind: PlaceKind) {
  const found = effects?.components.find((each) => each.kind === kind)
  if (found === undefined) throw new Error(`no ${kind}`)
  return found
}

describe('effects of places', () => {
  const found = placeEffects(parts)

  it('have the variances of lme4 on an unbalanced set', () => {
    expect(Math.sqrt(component(found, 'place in plan').variance) / reference.box).toBeCloseTo(1, 4)
    expect(Math.sqrt(component(found, 'height in bed').variance) / reference.layer).toBeCloseTo(1, 4)
    expect(Math.sqrt(component(found, 'tray').variance) / reference.tray).toBeCloseTo(1, 4)
    expect(Math.sqrt(found?.residual ?? 0) / reference.residual).toBeCloseTo(1, 5)
  })

  it('are those that lme4 predicts, place by place, with their doubt', () => {
    for (const [at, { place, value, standardError }] of component(found, 'tray').effects.entries()) {
      const name = 'tray' in place ? place.tray : ''
      expect(value, `tray ${name}, ${at}`).toBeCloseTo(reference.trayEffects[name] as number, 8)
      expect(standardError / (reference.trayErrors[Number(name) - 1] as number)).toBeCloseTo(1, 3)
    }
    for (const { place, value, standardError } of component(found, 'place in plan').effects) {
      if (!('x' in place)) throw new Error('not a box')
      const box = 1 + place.x[0] / 70 + 5 * (place.y[0] / 70)
      expect(value, `box ${box}`).toBeCloseTo(reference.boxEffects[String(Math.round(box))] as number, 8)
      expect(standardError / (reference.boxErrors[Math.round(box) - 1] as number)).toBeCloseTo(1, 3)
    }
    for (const { place, value } of component(found, 'height in bed').effects) {
      if (!('z' in place)) throw new Error('not a layer')
      expect(value).toBeCloseTo(reference.layerEffects[String(1 + Math.round(place.z[0] / 24))] as number, 8)
    }
  })

  it('do not move with what whole builds have in common', () => {
    const moved = placeEffects(parts.map((part) => ({ ...part, value: part.value + 0.001 * part.buildId })))
    expect(component(moved, 'tray').variance / component(found, 'tray').variance).toBeCloseTo(1, 5)
  })

  it('are left out where no place is recorded, and where only trays are told without the bed', () => {
    expect(placeEffects(parts.map((part) => ({ ...part, bed: null, tray: null })))).toBeNull()
    expect(placeEffects([])).toBeNull()
    expect(placeEffects(parts.slice(0, 1))).toBeNull()
    const trays = placeEffects(parts.map((part) => ({ ...part, bed: null })))
    expect(trays?.components.map(({ kind }) => kind)).toEqual(['tray'])
  })
})
