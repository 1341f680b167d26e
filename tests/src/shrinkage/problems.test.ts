import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { generateShop } from '../../../sample-data/generate-shop.ts'
import { PLANTED_IDS } from '../../../sample-data/planted.ts'
import { Random } from '../../../sample-data/random.ts'
import type { Cell } from '../../../src/domain/cell.ts'
import type { Axis } from '../../../src/domain/characteristic.ts'
import { fitShrinkage } from '../../../src/shrinkage/fit.ts'
import type { PrintedBuild, ShrinkageData } from '../../../src/shrinkage/observations.ts'
import type { ShrinkageProblem } from '../../../src/shrinkage/problem.ts'
import { problemList } from '../../../src/shrinkage/problem-list.ts'
import { termsOf } from '../../../src/shrinkage/terms.ts'
import { shopData } from './shop-data.ts'

const whole = shopData(generateShop(11, { leaveOut: PLANTED_IDS }))
const reference = fitShrinkage(whole)
const names = { characteristic: (id: number) => `balloon ${id}`, build: (id: number) => `0${id}` }

function withScale(id: number, scale: Partial<PrintedBuild['scale']>): ShrinkageData {
  return {
    ...whole,
    builds: whole.builds.map((b) => (b.id === id ? { ...b, scale: { ...b.scale, ...scale } } : b)),
  }
}

function onlyCharacteristics(ids: readonly number[]): ShrinkageData {
  return {
    ...whole,
    terms: whole.terms.filter(({ characteristic }) => ids.includes(characteristic.id)),
    cells: whole.cells.filter((cell) => cell.stage === 'sintered'),
  }
}

describe('bad input is named and what is left is computed', () => {
  it('has nothing to complain of in a sound record', () => {
    expect(reference.problems).toEqual([])
  })

  it.each([
    [0, null],
    [118, 1.18],
    [18, 1.18],
    [0.18, 1.18],
    [-1.18, null],
    [11.8, 1.118],
  ])('a factor of %d', (factor, meant) => {
    const found = fitShrinkage(withScale(405, { y: factor }))
    expect(found.problems).toEqual([{ kind: 'factor-impossible', buildId: 405, axis: 'Y', factor, meant }])
    const build = found.perBuild.find(({ id }) => id === 405)
    expect(build?.axes.Y).toBeNull()
    const sound = reference.perBuild.find(({ id }) => id === 405)
    // The diameters of that build, which lie in X and Y, are gone with it.
    expect(
      Math.abs((build?.axes.X?.shrinkage.value ?? 0) - (sound?.axes.X?.shrinkage.value ?? 0)),
    ).toBeLessThan(2e-4)
    expect(found.overall.Y).not.toBeNull()
  })

  it('a factor missing; measured green parts stand in', () => {
    const without = fitShrinkage(withScale(405, { x: null }))
    expect(without.problems).toEqual([{ kind: 'factor-missing', buildId: 405, axis: 'X', greenUsed: false }])
    const green = fitShrinkage(withScale(411, { x: null }))
    expect(green.problems).toEqual([{ kind: 'factor-missing', buildId: 411, axis: 'X', greenUsed: true }])
    const own = green.perBuild.find(({ id }) => id === 411)?.axes.X?.shrinkage
    const sound = reference.perBuild.find(({ id }) => id === 411)?.axes.X?.shrinkage
    expect(Math.abs((own?.value ?? 0) - (sound?.value ?? 0))).toBeLessThan(3 * (own?.standardError ?? 0))
    expect(own?.standardError).toBeGreaterThan(sound?.standardError as number)
  })

  it('no nominal', () => {
    const terms = whole.terms.map((t) =>
      t.characteristic.id === 4 ? { ...t, characteristic: { ...t.characteristic, nominal: null } } : t,
    )
    const found = fitShrinkage({ ...whole, terms })
    expect(found.problems).toEqual([{ kind: 'no-nominal', characteristicId: 4 }])
    expect(found.overall.X?.offset).not.toBeNull()
  })

  it('one characteristic on an axis: shrinkage with the offset in it', () => {
    const found = fitShrinkage(onlyCharacteristics([1, 2, 5, 8]))
    expect(found.problems).toContainEqual({ kind: 'one-characteristic', axis: 'X', characteristicId: 1 })
    expect(found.problems).toContainEqual({ kind: 'no-values', axis: 'Z' })
    expect(found.overall.Z).toBeNull()
    expect(found.overall.X?.offset).toBeNull()
    // 42 mm with an offset of 0.005 mm outwards: as if it shrank less by 0.005 / (42 × 1.1851).
    const apparent = 0.1562 - 0.00506 / (42 * 1.1851)
    expect(Math.abs((found.overall.X?.shrinkage.value ?? 0) - apparent)).toBeLessThan(
      3 * (found.overall.X?.shrinkage.standardError ?? 0),
    )
    expect(found.overall.Y?.offset).not.toBeNull()
  })

  it('sizes too alike', () => {
    const found = fitShrinkage(onlyCharacteristics([3, 15]))
    const alike = found.problems.find((p) => p.kind === 'sizes-too-alike')
    // 16 and 14 mm, both outer: 1 / (1 − 30² / (2 × 452)) = 226.
    expect(alike).toMatchObject({ axis: 'Z' })
    expect((alike as { inflation: number }).inflation).toBeCloseTo(226, -1)
    expect(found.overall.Z?.offset).toBeNull()
  })

  it('distances between middles only: no offset is needed', () => {
    const found = fitShrinkage(onlyCharacteristics([4, 16]))
    expect(found.problems).toContainEqual({ kind: 'no-offset-acts', axis: 'X' })
    expect(found.overall.X?.shrinkage.value).toBeCloseTo(0.1562, 3)
  })

  it('green and sintered values mixed, whole cells and single values', () => {
    const swap = (cell: Cell): Cell => {
      if (cell.characteristicId === 2 && cell.buildId === 403)
        return { ...cell, mean: cell.mean * 1.19, min: cell.min * 1.19, max: cell.max * 1.19 }
      if (cell.characteristicId === 6 && cell.buildId === 404) return { ...cell, max: cell.max * 1.19 }
      if (cell.characteristicId === 1 && cell.buildId === 400 && cell.stage === 'green')
        return { ...cell, mean: cell.mean * 0.844, min: cell.min * 0.844, max: cell.max * 0.844 }
      return cell
    }
    const found = fitShrinkage({ ...whole, cells: whole.cells.map(swap) })
    expect(new Set(found.problems)).toEqual(
      new Set([
        { kind: 'stage-mixed', characteristicId: 2, buildId: 403, stage: 'sintered', extent: 'all' },
        { kind: 'stage-mixed', characteristicId: 6, buildId: 404, stage: 'sintered', extent: 'some' },
        { kind: 'stage-mixed', characteristicId: 1, buildId: 400, stage: 'green', extent: 'all' },
      ]),
    )
    expect(found.overall.Y?.shrinkage.value).toBeCloseTo(reference.overall.Y?.shrinkage.value as number, 4)
  })

  it('a whole record of green values called sintered', () => {
    const cells = whole.cells.map((cell) => ({
      ...cell,
      mean: cell.mean * 1.19,
      min: cell.min * 1.19,
      max: cell.max * 1.19,
    }))
    const found = fitShrinkage({ ...whole, cells: cells.filter((cell) => cell.stage === 'sintered') })
    expect(found.overall).toEqual({ X: null, Y: null, Z: null })
    expect(found.problems.some((p) => p.kind === 'stage-mixed')).toBe(true)
  })

  it('one build', () => {
    const found = fitShrinkage({ ...whole, cells: whole.cells.filter((cell) => cell.buildId === 420) })
    expect(found.problems.map(({ kind }) => kind)).toContain('one-build')
    expect(found.overall.X?.shrinkage.value).toBeCloseTo(
      reference.perBuild.find(({ id }) => id === 420)?.axes.X?.shrinkage.value as number,
      4,
    )
    expect(found.variation.X?.buildShrinkage).toBeNull()
  })

  it('single parts', () => {
    const cells = whole.cells
      .filter((cell) => cell.stage === 'sintered')
      .map((cell) => ({ ...cell, n: 1, m2: 0, min: cell.mean, max: cell.mean }))
    const found = fitShrinkage({ ...whole, cells })
    expect(found.problems.map(({ kind }) => kind)).toContain('single-parts')
    expect(found.overall.X?.shrinkage.value).toBeCloseTo(0.1562, 3)
  })

  it('nothing at all', () => {
    const found = fitShrinkage({ terms: [], cells: [], builds: [] })
    expect(found.problems.map(({ kind }) => kind)).toEqual(['no-values', 'no-values', 'no-values'])
    expect(found.perBuild).toEqual([])
  })

  it('any part of a record is fitted, to figures that can be', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        (seed, share) => {
          const random = Random.stream(seed, 'part of a record')
          const ids = new Set(
            whole.terms.map((t) => t.characteristic.id).filter(() => random.uniform() < share),
          )
          const kept = new Set(random.sample(whole.builds, random.integer(1, 12)).map(({ id }) => id))
          const cells = whole.cells.filter(
            (c) => ids.has(c.characteristicId) && kept.has(c.buildId) && random.uniform() < 0.9,
          )
          const found = fitShrinkage({ ...whole, cells })
          for (const axis of ['X', 'Y', 'Z'] as const) {
            const estimate = found.overall[axis]
            if (estimate === null) continue
            expect(Math.abs(estimate.shrinkage.value - 0.16)).toBeLessThan(0.03)
            expect(estimate.shrinkage.standardError).toBeGreaterThan(0)
          }
        },
      ),
      { numRuns: 60 },
    )
  })

  it('says in words what is missing and what can still be computed', () => {
    const problems: ShrinkageProblem[] = [
      { kind: 'factor-missing', buildId: 405, axis: 'X', greenUsed: true },
      { kind: 'factor-missing', buildId: 405, axis: 'X', greenUsed: false },
      { kind: 'no-nominal', characteristicId: 4 },
      { kind: 'factor-impossible', buildId: 405, axis: 'Y', factor: 118, meant: 1.18 },
      { kind: 'stage-mixed', characteristicId: 2, buildId: 403, stage: 'sintered', extent: 'some' },
      { kind: 'no-values', axis: 'Z' },
      { kind: 'one-characteristic', axis: 'X', characteristicId: 1 },
      { kind: 'sizes-too-alike', axis: 'Z', inflation: 226 },
      { kind: 'no-offset-acts', axis: 'X' },
      { kind: 'one-build' },
      { kind: 'loads-not-told-apart' },
      { kind: 'single-parts' },
    ]
    const words = problemList(problems, names)
    expect(words).toHaveLength(problems.length)
    for (const { missing, still } of words) {
      expect(missing).toMatch(/\.$/)
      expect(still).toMatch(/\.$/)
    }
    expect(words[3]?.missing).toBe('Build 0405 has scale factor Y 118; 1.18 was probably meant.')
    expect(words[4]?.missing).toBe(
      'balloon 2 of build 0403: some sintered values are as large as green parts.',
    )
  })

  it('tells factors that a build lacks as one thing, and what would put that right', () => {
    const missing = (builds: readonly number[], axes: readonly Axis[]): ShrinkageProblem[] =>
      axes.flatMap((axis) =>
        builds.map(
          (buildId): ShrinkageProblem => ({ kind: 'factor-missing', buildId, axis, greenUsed: false }),
        ),
      )
    const all: readonly Axis[] = ['X', 'Y', 'Z']
    const none = all.map((axis): ShrinkageProblem => ({ kind: 'no-values', axis }))
    expect(problemList([...missing([401], all), ...none], names)).toEqual([
      {
        missing: 'Build 0401 has no scale factors X, Y and Z.',
        still:
          'Its sizes along X, Y and Z are left out. A list of builds with columns scale_x, scale_y and scale_z puts that right.',
      },
    ])
    const many = [401, 402, 403, 404]
    expect(
      problemList([...missing(many, ['X']), ...missing([405], ['Z'])], names).map((each) => each.missing),
    ).toEqual(['4 builds from 0401 to 0404 have no scale factor X.', 'Build 0405 has no scale factor Z.'])
  })
})

describe('terms', () => {
  const base = { id: 1, designator: '1', nominal: 6, lower: null, upper: null, unit: 'mm' } as const

  it('reads the sense from the name unless it is told', () => {
    const sense = (name: string) => termsOf({ ...base, name, kind: 'length', axis: 'X' }, 1)?.sense
    expect(['length overall', 'slot width', 'boss spacing', 'pin bore depth'].map(sense)).toEqual([
      1, -1, 0, -1,
    ])
    const told = termsOf({ ...base, name: 'slot width', kind: 'length', axis: 'X' }, 1, { sense: 1 })
    expect(told).toMatchObject({ sense: 1, senseTold: true })
  })

  it('lies in the plane of the layers without an axis, and has none for deviations of form', () => {
    expect(termsOf({ ...base, name: 'bore', kind: 'diameter', axis: null }, 1)?.weights).toEqual({
      X: 0.5,
      Y: 0.5,
      Z: 0,
    })
    expect(termsOf({ ...base, name: 'face', kind: 'flatness', axis: null }, 1)).toBeNull()
  })
})
