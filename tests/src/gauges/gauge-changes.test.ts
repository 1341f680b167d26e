import { describe, expect, it } from 'vitest'
import { buildChart } from '../../../src/charts/chart.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { detectEvents } from '../../../src/events/detect-events.ts'
import { eventWords } from '../../../src/events/event-words.ts'
import { rankConditions } from '../../../src/events/rank-conditions.ts'
import { gaugeChanges, gaugeChangeWords } from '../../../src/gauges/gauge-changes.ts'
import { plain } from '../../../src/words/sentence.ts'
import { synthetic } from '../events/synthetic.ts'

/** Thirty builds of two values; from `at` on larger by a half. */
function stepped(at: number) {
  const builds = Array.from({ length: 40 }, (_, i) => ({ id: i + 1, name: String(100 + i) }))
  const cells = builds.map(({ id }, i) => ({
    ...momentsOf([10 + (i % 3) * 0.01 + (i >= at ? 0.5 : 0), 10.02 - (i % 2) * 0.01 + (i >= at ? 0.5 : 0)]),
    characteristicId: 1,
    buildId: id,
    furnaceLoadId: null,
    stage: DEFAULT_STUDY.stage,
  }))
  return buildChart(DEFAULT_STUDY, cells, builds)
}

describe('a signal', () => {
  const chart = stepped(30)
  const first = chart.signals.findIndex(({ points }) => points[0] === 30)

  it('that begins where the gauge changed says so, and what to do', () => {
    const changes = gaugeChanges(chart, (i) => (i < 30 ? ['CMM-1'] : ['MIC-3']))
    expect(changes.map(({ signal }) => signal)).toContain(first)
    expect(gaugeChangeWords(changes[0] as (typeof changes)[0])).toBe(
      'It begins where the gauge changed from CMM-1 to MIC-3: measure some of the same parts with both before the process is blamed.',
    )
  })

  it('says nothing of the gauge where it stayed, was one of several, or is not recorded', () => {
    expect(gaugeChanges(chart, () => ['CMM-1'])).toEqual([])
    expect(gaugeChanges(chart, (i) => (i < 30 ? ['CMM-1', 'MIC-3'] : ['MIC-3']))).toEqual([])
    expect(gaugeChanges(chart, (i) => (i < 30 ? [] : ['MIC-3']))).toEqual([])
    expect(gaugeChanges(chart, (i) => (i < 20 ? ['CMM-1'] : ['MIC-3']))).toEqual([])
  })
})

describe('an event', () => {
  const input = synthetic({ seed: 22, shift: (axis, build) => (axis === 'Z' && build >= 35 ? -4 : 0) })
  const builds = input.builds.map((each, i) => ({ ...each, gauges: [i < 35 ? 'CMM-1' : 'CMM-2'] }))

  it('that began at a change of gauge names it among what changed there', () => {
    const [event] = detectEvents({ ...input, builds }).events
    if (event === undefined) throw new Error('no event')
    const ranked = rankConditions(event, builds)
    expect(ranked.map(({ condition, from, to }) => [condition, from, to])).toEqual([
      ['gauge', 'CMM-1', 'CMM-2'],
    ])
    const { grounds } = eventWords({
      event,
      ranked,
      characteristics: input.charted.map(({ characteristic }) => characteristic),
      builds: builds.map(({ build }) => build),
    })
    expect(plain(grounds)).toContain('gauge CMM-1 → CMM-2 accounts for most of it.')
    expect(plain(grounds)).toContain('Where the gauge changes, measure some of the same parts with both')
  })
})
