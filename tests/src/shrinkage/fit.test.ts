import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { generateShop } from '../../../sample-data/generate-shop.ts'
import { PLANTED_IDS } from '../../../sample-data/planted.ts'
import type { Cell } from '../../../src/domain/cell.ts'
import type { Axis } from '../../../src/domain/characteristic.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { fitShrinkage } from '../../../src/shrinkage/fit.ts'
import type { ShrinkageData } from '../../../src/shrinkage/observations.ts'
import { type Sense, type SizeTerms, termsOf } from '../../../src/shrinkage/terms.ts'
import { shopData } from './shop-data.ts'

interface OfLme4 {
  readonly shrinkage: number
  readonly shrinkageError: number
  readonly offset: number
  readonly offsetError: number
  readonly buildShrinkage: number
  readonly buildOffset: number
  readonly loadShrinkage: number
  readonly part: number
}
interface Reference {
  readonly characteristics: readonly {
    readonly id: number
    readonly group: number
    readonly nominal: number
    readonly axis: 'X' | 'Y' | 'Z' | 'XY'
    readonly sense: Sense
  }[]
  readonly scale: readonly { readonly X: number; readonly Y: number; readonly Z: number }[]
  readonly cells: readonly {
    readonly id: number
    readonly build: number
    readonly load: number
    readonly n: number
    readonly mean: number
    readonly m2: number
    readonly min: number
    readonly max: number
  }[]
  readonly alongX: OfLme4
  readonly alongZ: OfLme4
  readonly dense: {
    readonly sds: readonly number[]
    readonly shrinkage: readonly number[]
    readonly shrinkageError: readonly number[]
    readonly offset: readonly number[]
    readonly offsetError: readonly number[]
    readonly part: readonly number[]
    readonly own: number
  }
}

/** Source: tests/reference/shrinkage/mixed-model.R. */
const reference: Reference = JSON.parse(
  readFileSync(new URL('../../reference/shrinkage/mixed-model.json', import.meta.url), 'utf8'),
)

const data: ShrinkageData = {
  terms: reference.characteristics.map(({ id, group, nominal, axis, sense }) => {
    const plane = axis === 'XY'
    const characteristic = {
      id,
      designator: String(id),
      name: 'size',
      kind: plane ? ('diameter' as const) : ('length' as const),
      nominal,
      lower: null,
      upper: null,
      unit: 'mm' as const,
      axis: plane ? null : axis,
    }
    return termsOf(characteristic, group, { sense }) as SizeTerms
  }),
  cells: reference.cells.map(({ id, build, load, ...moments }) => ({
    characteristicId: id,
    buildId: build,
    furnaceLoadId: load,
    stage: 'sintered',
    ...moments,
  })),
  builds: reference.scale.map(({ X, Y, Z }, i) => ({
    id: i + 1,
    name: String(i + 1),
    scale: { x: X, y: Y, z: Z },
  })),
}
const fit = fitShrinkage(data)
const AXES = ['X', 'Y', 'Z'] as const

function along(axis: Axis) {
  const overall = fit.overall[axis]
  const variation = fit.variation[axis]
  if (overall === null || variation === null || overall.offset === null) throw new Error(`${axis} not fitted`)
  return { ...overall, offset: overall.offset, variation }
}

describe('against full matrices in R', () => {
  it('has the same scatter of parts', () => {
    for (const [a, axis] of AXES.entries())
      expect(along(axis).variation.part / (reference.dense.part[a] as number)).toBeCloseTo(1, 8)
  })

  it('has the same scatter of builds and loads', () => {
    const { sds } = reference.dense
    for (const [a, axis] of AXES.entries()) {
      const { variation } = along(axis)
      expect(variation.buildShrinkage).toBeCloseTo(sds[a] as number, 8)
      // Along Z no scatter of the offset is found: both stop at none, each within its own tolerance.
      expect(variation.buildOffset).toBeCloseTo(sds[3 + a] as number, 6)
      expect(variation.loadShrinkage).toBeCloseTo(sds[6 + a] as number, 8)
    }
  })

  it('has the same estimates and standard errors', () => {
    const { shrinkage, shrinkageError, offset, offsetError } = reference.dense
    for (const [a, axis] of AXES.entries()) {
      const own = along(axis)
      expect(own.shrinkage.value).toBeCloseTo(shrinkage[a] as number, 8)
      expect(own.shrinkage.standardError / (shrinkageError[a] as number)).toBeCloseTo(1, 4)
      expect(own.offset.value).toBeCloseTo(offset[a] as number, 6)
      expect(own.offset.standardError / (offsetError[a] as number)).toBeCloseTo(1, 4)
    }
  })
})

describe('against lme4, which sees the single values', () => {
  // What cells leave out is which characteristics of a part go together; along X and Z lme4 has no diameters.
  it.each([
    ['X', reference.alongX],
    ['Z', reference.alongZ],
  ] as const)('agrees along %s within a fraction of a standard error', (axis, lme4) => {
    const own = along(axis)
    expect(Math.abs(own.shrinkage.value - lme4.shrinkage)).toBeLessThan(0.05 * lme4.shrinkageError)
    expect(Math.abs(own.offset.value - lme4.offset)).toBeLessThan(0.1 * lme4.offsetError)
    expect(Math.abs(own.shrinkage.standardError / lme4.shrinkageError - 1)).toBeLessThan(0.03)
    expect(Math.abs(own.offset.standardError / lme4.offsetError - 1)).toBeLessThan(0.15)
    expect(Math.abs(own.variation.part / lme4.part - 1)).toBeLessThan(0.06)
    expect(Math.abs((own.variation.loadShrinkage ?? 0) / lme4.loadShrinkage - 1)).toBeLessThan(0.03)
    expect(Math.abs((own.variation.buildShrinkage ?? 0) / lme4.buildShrinkage - 1)).toBeLessThan(0.05)
  })
})

/** Cells without any error but a small scatter of parts, for known shrinkage and offset. */
function exactCells(
  kept: number,
  offset: number,
  sizes: readonly [number, Sense][],
  builds: number,
): ShrinkageData {
  const terms = sizes.map(
    ([nominal, sense], i) =>
      termsOf(
        {
          id: i,
          designator: String(i),
          name: 'size',
          kind: 'length',
          nominal,
          lower: null,
          upper: null,
          unit: 'mm',
          axis: 'X',
        },
        1,
        { sense },
      ) as SizeTerms,
  )
  const timeline = Array.from({ length: builds }, (_, b) => ({
    id: b,
    name: String(b),
    scale: { x: b % 2 ? 1.18 : 1.19, y: null, z: null },
  }))
  const cells = timeline.flatMap((build) =>
    sizes.map(([nominal, sense], i): Cell => {
      const mean = nominal * (build.scale.x as number) * kept + sense * offset
      return {
        characteristicId: i,
        buildId: build.id,
        furnaceLoadId: null,
        stage: 'sintered',
        n: 8,
        mean,
        m2: 7 * (1e-8 * nominal ** 2 + 1e-6),
        min: mean,
        max: mean,
      }
    }),
  )
  return { terms, cells, builds: timeline }
}

describe('properties', () => {
  it('finds what the sizes were made from, build by build and overall', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.78, max: 0.9, noNaN: true }),
        fc.double({ min: -0.05, max: 0.05, noNaN: true }),
        (kept, offset) => {
          const sizes: [number, Sense][] = [
            [40, 1],
            [21, 0],
            [6, -1],
            [3, 1],
          ]
          const found = fitShrinkage(exactCells(kept, offset, sizes, 4))
          expect(found.overall.X?.shrinkage.value).toBeCloseTo(1 - kept, 10)
          expect(found.overall.X?.offset?.value).toBeCloseTo(offset, 9)
          for (const build of found.perBuild) {
            expect(build.axes.X?.shrinkage.value).toBeCloseTo(1 - kept, 10)
            expect(build.axes.X?.offset?.value).toBeCloseTo(offset, 9)
            expect(build.axes.Y).toBeNull()
          }
        },
      ),
      { numRuns: 40 },
    )
  })

  it('does not depend on the order of cells, nor on the unit of a characteristic', () => {
    const inInches: ShrinkageData = {
      ...data,
      terms: data.terms.map((terms) => {
        const { nominal } = terms.characteristic
        if (terms.characteristic.id % 2) return terms
        return {
          ...terms,
          characteristic: { ...terms.characteristic, unit: 'in', nominal: (nominal as number) / 25.4 },
        }
      }),
      cells: [...data.cells].reverse().map((cell) =>
        cell.characteristicId % 2
          ? cell
          : {
              ...cell,
              mean: cell.mean / 25.4,
              min: cell.min / 25.4,
              max: cell.max / 25.4,
              m2: cell.m2 / 25.4 ** 2,
            },
      ),
    }
    const other = fitShrinkage(inInches)
    for (const axis of AXES) {
      expect(other.overall[axis]?.shrinkage.value).toBeCloseTo(along(axis).shrinkage.value, 9)
      expect(other.overall[axis]?.offset?.lower).toBeCloseTo(along(axis).offset.lower, 7)
    }
  })

  it('widens the interval of a build whose parts scatter more than usual', () => {
    const shop = generateShop(5, { leaveOut: PLANTED_IDS.filter((id) => id !== 'wide-build') })
    const errors = fitShrinkage(shopData(shop)).perBuild.map((build) => ({
      id: build.id,
      error: build.axes.X?.shrinkage.standardError as number,
    }))
    const wide = errors.find(({ id }) => id === 437)?.error as number
    const usual = errors.map(({ error }) => error).sort((a, b) => a - b)[30] as number
    expect(wide / usual).toBeGreaterThan(1.3)
  })

  it('refuses a confidence out of range and two terms of one characteristic', () => {
    expect(() => fitShrinkage(data, 1)).toThrow(ArgumentError)
    expect(() => fitShrinkage({ ...data, terms: [...data.terms, ...data.terms] })).toThrow(ArgumentError)
  })
})
