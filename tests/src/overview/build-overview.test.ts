import { describe, expect, it } from 'vitest'
import { buildChart } from '../../../src/charts/chart.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { momentsAt } from '../../../src/description/moment-columns.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import type { Cell } from '../../../src/domain/cell.ts'
import { type CellColumns, cellColumns } from '../../../src/domain/cell-columns.ts'
import type { Axis, Characteristic } from '../../../src/domain/characteristic.ts'
import { answerTo } from '../../../src/overview/answers.ts'
import { buildOverview, type Charted, chartedMeans } from '../../../src/overview/build-overview.ts'
import type { OverviewRow } from '../../../src/overview/overview.ts'
import { normalSource } from '../run-length/simulation.ts'

const builds = Array.from({ length: 60 }, (_, i) => ({ id: i + 1, name: String(400 + i).padStart(4, '0') }))

/** A characteristic of nominal 20 ± 0.3 with builds that differ, shifted from one build on. */
function charted(
  designator: string,
  axis: Axis | null,
  seed: number,
  shift: (build: number) => number,
  measured = builds,
): Charted {
  const normal = normalSource(seed)
  const characteristic: Characteristic = {
    id: Number(designator),
    designator,
    name: `length ${designator}`,
    kind: 'length',
    nominal: 20,
    lower: 19.7,
    upper: 20.3,
    unit: 'mm',
    axis,
  }
  const cells = builds.map((build, i): Cell => {
    const level = 20 + 0.03 * normal() + shift(i)
    return {
      ...momentsOf(Array.from({ length: 8 }, () => level + 0.02 * normal())),
      characteristicId: characteristic.id,
      buildId: build.id,
      furnaceLoadId: null,
      stage: 'sintered',
    }
  })
  const held = cells.filter(({ buildId }) => measured.some(({ id }) => id === buildId))
  return { characteristic, study: DEFAULT_STUDY, cells: cellColumns(held) }
}

/** The columns as cells again. */
function cellsOf(columns: CellColumns): Cell[] {
  return Array.from({ length: columns.length }, (_, i) => ({
    ...momentsAt(columns, i),
    characteristicId: 3,
    buildId: columns.buildId[i] as number,
    furnaceLoadId: null,
    stage: 'sintered',
  }))
}

const steady = () => 0
/** 0.2 % smaller from build 0440 on. */
const step = (i: number) => (i >= 40 ? -0.04 * 2 : 0)

describe('findings', () => {
  const answers = [{ finding: 7, from: 39, to: 50 }]
  const moved = (designator: string, seed: number, answered: boolean) => ({
    ...charted(designator, 'Z', seed, step),
    ...(answered ? { answers } : {}),
  })

  it('put what they answer behind what nobody has answered', () => {
    const overview = buildOverview([moved('3', 3, true), moved('4', 4, true), moved('5', 5, false)], builds)
    expect(overview.rows.map((row) => row.answers.includes(7))).toEqual([true, true, false])
    expect(overview.rows[0]?.urgency).toBeLessThan(overview.rows[2]?.urgency as number)
  })

  it('leave nothing to say where they answer everything', () => {
    const whole = [{ finding: 2, from: 0, to: 59 }]
    const item = { ...charted('3', 'Z', 3, step), answers: whole }
    const overview = buildOverview([item, charted('1', 'X', 1, steady)], builds)
    expect(overview.rows[0]?.answers.every((answer) => answer === 2)).toBe(true)
  })

  it('answer a signal that begins in their builds, or lies there by half; the latest of several counts', () => {
    const at = (from: number, to: number, finding = 1) => ({ finding, from, to })
    expect(answerTo([10, 11, 12, 13, 20], [at(10, 10)])).toBe(1)
    expect(answerTo([10, 11, 12, 13], [at(12, 30)])).toBe(1)
    expect(answerTo([10, 11, 12, 13], [at(13, 30)])).toBeNull()
    expect(answerTo([10], [at(11, 30), at(0, 9)])).toBeNull()
    expect(answerTo([10], [at(10, 10, 4), at(9, 11, 6), at(0, 20, 5)])).toBe(6)
    expect(answerTo([10], [])).toBeNull()
  })
})

describe('what is left out', () => {
  it('is marked in its row and does not count in what the row holds', () => {
    const item = charted('1', 'X', 1, (i) => (i === 30 ? 5 : 0))
    const study = { ...DEFAULT_STUDY, exclusions: [{ buildId: 31, value: null }] }
    const [with_, without] = [item, { ...item, study }].map((each) => buildOverview([each], builds).rows[0])
    expect(without?.leftOut).toEqual([30])
    expect(without?.deviations[30]).toBeNull()
    expect(without?.ppk?.value).toBeGreaterThan(3 * (with_?.ppk?.value as number))
    expect(with_?.leftOut).toEqual([])
  })
})

describe('rows', () => {
  it('stand on the timeline of all builds, with a gap where a build was not measured', () => {
    const item = charted(
      '1',
      'X',
      1,
      steady,
      builds.filter((_, i) => i !== 7),
    )
    const overview = buildOverview([item], builds)
    const row = overview.rows[0]
    expect(row?.deviations).toHaveLength(60)
    expect(row?.deviations[7]).toBeNull()
    expect(row?.deviations[8]).not.toBeNull()
  })

  it('carry the worst signal with the build it began at', () => {
    const row = buildOverview([charted('3', 'Z', 3, step)], builds).rows[0]
    expect(row?.worst?.signal.points.length).toBeGreaterThan(10)
    expect(row?.worst?.words).toMatch(/below/)
    expect(row?.urgency).toBeGreaterThan(3)
  })

  it('say to the last digit what the chart of the characteristic says', () => {
    const single = { buildId: 12, value: 20.4 }
    const study = {
      ...DEFAULT_STUDY,
      phases: [...DEFAULT_STUDY.phases, { fromBuild: 33, reason: 'new powder lot', baselineCount: 10 }],
      exclusions: [{ buildId: 20, value: null }, single, { buildId: 8, value: 20.1 }],
    }
    const measured = builds.filter((_, i) => i !== 7)
    for (const within of ['pooled-s', 'average-s', 'average-range'] as const) {
      const item = { ...charted('3', 'Z', 3, step, measured), study: { ...study, within } }
      const row = buildOverview([item], builds).rows[0] as OverviewRow
      const means = chartedMeans([item], builds)[0]?.means
      const { subgroups, location, signals, ...chart } = buildChart(item.study, cellsOf(item.cells), builds)
      const place = (i: number) => builds.findIndex(({ id }) => id === subgroups[i]?.buildId)
      expect(row.form).toBe(chart.form)
      expect(row.signals).toEqual(signals.map((signal) => ({ ...signal, points: signal.points.map(place) })))
      for (const [i, { mean, leftOut }] of subgroups.entries()) {
        const sigma = location.sigma[i] ?? null
        expect(means?.[place(i)]).toBe(leftOut ? null : mean)
        expect(row.deviations[place(i)]).toBe(
          sigma === null ? null : ((location.values[i] as number) - (location.centre[i] as number)) / sigma,
        )
      }
      expect(row.leftOut).toEqual([7, 11, 19])
    }
  })
})
