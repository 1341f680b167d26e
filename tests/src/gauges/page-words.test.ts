import { describe, expect, it } from 'vitest'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { LINEARITY_EXAMPLE } from '../../../src/evidence/data/gauge-example.ts'
import { agreementWords } from '../../../src/gauges/agreement-words.ts'
import { biasStudy } from '../../../src/gauges/bias.ts'
import { biasWords } from '../../../src/gauges/bias-words.ts'
import { checkPartChart } from '../../../src/gauges/check-part.ts'
import { checkPartWords } from '../../../src/gauges/check-part-words.ts'
import { daysBetween, dueState } from '../../../src/gauges/due.ts'
import type { GaugeJudgement } from '../../../src/gauges/gauge-judgement.ts'
import { gaugeUncertainty, unitFactor } from '../../../src/gauges/gauge-uncertainty.ts'
import { methodAgreement } from '../../../src/gauges/method-agreement.ts'
import { misjudged } from '../../../src/gauges/misjudged.ts'
import { misjudgedByGauge } from '../../../src/gauges/misjudged-by-gauge.ts'
import { misjudgedWords } from '../../../src/gauges/misjudged-words.ts'
import { missingReadings, missingWords } from '../../../src/gauges/missing-readings.ts'
import { planStudy } from '../../../src/gauges/plan-study.ts'
import { planWords } from '../../../src/gauges/plan-words.ts'
import { shopWords } from '../../../src/gauges/shop-words.ts'
import { type StudyReading, studyPurpose, studyPurposes } from '../../../src/gauges/study-purpose.ts'
import { plain } from '../../../src/words/sentence.ts'

const bore: Characteristic = {
  id: 1,
  designator: '7',
  name: 'bore',
  kind: 'diameter',
  nominal: 6,
  lower: 5.97,
  upper: 6.03,
  unit: 'mm',
  axis: null,
}

const judged = (verdict: GaugeJudgement['verdict'], sure = true): GaugeJudgement => ({
  verdict,
  sure,
  of: 'tolerance',
  share: { value: 0.1, lower: 0.1, upper: 0.1 },
})

describe('when a gauge is due', () => {
  it('is told by the day: on its last day it may still be used', () => {
    expect(dueState('2026-11-17', '2026-11-17', true)).toBe('due soon')
    expect(dueState('2026-11-17', '2026-11-18', true)).toBe('overdue')
    expect(dueState('2026-11-17', '2026-10-17', true)).toBe('in time')
    expect(dueState('2026-11-17', '2026-10-18', true)).toBe('due soon')
    expect(dueState(null, '2026-11-18', true)).toBe('no date')
    expect(dueState('2020-01-01', '2026-11-18', false)).toBe('laid by')
    expect(daysBetween('2026-02-27', '2026-03-01')).toBe(2)
  })
})

describe('what the page on gauges opens with', () => {
  const words = (judgements: (GaugeJudgement | null)[]) =>
    shopWords(
      judgements.map((judgement, i) => ({ title: `${i + 1} size`, judgement })),
      [
        { name: 'caliper 3', due: '2026-11-01', state: 'overdue' },
        { name: 'CMM', due: '2026-12-01', state: 'due soon' },
      ],
      [],
      '2026-11-11',
    )

  it('counts by verdict, and says at how many nobody has looked', () => {
    const { headline, grounds } = words([
      judged('fine enough'),
      judged('too coarse'),
      judged('usable with care', false),
      null,
    ])
    expect(plain(headline)).toBe(
      'The gauges at hand are fine enough for one of four characteristics, usable with care for one and too coarse for one; nobody has looked at one.',
    )
    expect(plain(grounds)).toBe(
      'Too coarse for 2 size: there a change of the process smaller than the gauge’s spread cannot be seen. The studies do not settle 3 size: more parts, inspectors or trials would. Caliper 3 is overdue by ten days. CMM is due in 20 days.'.replace(
        '20 days',
        'twenty days',
      ),
    )
  })

  it('begins with gauges that moved, and says what to do', () => {
    const moved = [
      { name: 'MIC-3', part: 'R-16', day: '2026-11-23' },
      { name: 'caliper 3', part: 'R-2', day: '2026-11-24' },
    ]
    const { headline, grounds } = shopWords([{ title: '1 size', judgement: null }], [], moved, '2026-11-25')
    expect(plain(headline)).toBe(
      'MIC-3 moved at 2026-11-23 by its check part R-16 and caliper 3 moved at 2026-11-24 by its check part R-2: calibrate them, and look again at what they measured from then on before the process is blamed.',
    )
    expect(plain(grounds)).toMatch(/^How finely the one characteristic is measured nobody has studied yet\./)
  })

  it('says so where nothing is on record, or nothing studied', () => {
    expect(plain(words([]).headline)).toMatch(/^No characteristic is on record yet/)
    expect(plain(words([null]).headline)).toBe(
      'How finely the one characteristic is measured nobody has studied yet.',
    )
  })
})

describe('words of a study', () => {
  it('of known parts name a bias that changes with size (the manual’s example of linearity)', () => {
    const { headline, grounds } = biasWords(bore, biasStudy(LINEARITY_EXAMPLE, 0.95))
    expect(plain(headline)).toContain('reads otherwise at different sizes')
    // Slope −0.1317 in the manual (AIAG, Measurement Systems Analysis, chapter III, from memory).
    expect(plain(grounds)).toContain('by −0.13167 mm per mm')
  })

  it('of known parts say that no bias is seen, or that one reading does not tell', () => {
    const readings = [0.001, -0.001, 0.002, -0.002].map((off) => ({ reference: 6, value: 6 + off }))
    expect(plain(biasWords(bore, biasStudy(readings, 0.95)).headline)).toMatch(/^No bias is seen: 0\.0000 mm/)
    const one = biasWords(bore, biasStudy([{ reference: 6, value: 6.01 }], 0.95))
    expect(plain(one.headline)).toContain('+0.0100 mm off; how sure that is cannot be said')
    expect(plain(one.grounds)).toContain('With one known part nothing is said of other sizes.')
  })

  it('of two gauges say which reads higher, or why nothing can be said', () => {
    const pairs = [1, 2, 3, 4, 5, 6].map((i) => ({
      first: 6 + i / 100,
      second: 6 + i / 100 - 0.01 - (i % 2) / 1000,
    }))
    const { headline } = agreementWords(bore, ['A', 'B'], methodAgreement(pairs, 0.95, 0.95), 0.95, 0.95)
    expect(plain(headline)).toMatch(
      /^A reads higher than B: on 95 % of parts they differ by \+0\.00\d+ to \+0\.01/,
    )
    const none = agreementWords(bore, ['A', 'B'], { reason: 'too few pairs' }, 0.95, 0.95)
    expect(plain(none.headline)).toBe(
      'How far A and B agree cannot be said: fewer than two parts were measured by both.',
    )
  })

  it('of a check part say that the gauge stayed, or when it moved', () => {
    const chart = (last: number) =>
      checkPartChart(
        [6.0, 6.002, 6.001, 6.003, 6.0, 6.002, 6.001, 6.002, 6.0, last].map((value, i) => ({
          label: `day ${i + 1}`,
          values: [value],
        })),
      )
    expect(plain(checkPartWords('R', chart(6.001)).headline)).toMatch(/^The gauge stayed where it was/)
    const moved = checkPartWords('R', chart(6.02))
    expect(plain(moved.headline)).toContain('moved at day 10')
    expect(plain(moved.grounds)).not.toContain('build')
  })

  it('of a plan name the fewest readings, or say that no study is enough', () => {
    const aim = { of: 'spread', share: 0.3, inspectorShare: 0.2, halfWidth: 0.2, confidence: 0.95 } as const
    const bounds = { parts: 30, inspectors: 5, trials: 3 }
    const plan = planStudy(aim, bounds)
    expect(plain(planWords(aim, plan, bounds).headline)).toContain(
      `${plan?.readings} readings, the fewest for`,
    )
    const never = { ...aim, halfWidth: 0.001 }
    expect(plain(planWords(never, planStudy(never, bounds), bounds).headline)).toMatch(
      /^Even 30 parts, 5 inspectors and 3 trials would not tell/,
    )
  })

  it('of misjudged parts count in a million, and in a hundred where there are many', () => {
    const shares = { outside: 0, accepted: 1, outsideAmongAccepted: 0, insideAmongRejected: 0 }
    const words = misjudgedWords({ ...shares, wronglyAccepted: 1e-9, wronglyRejected: 0.021 })
    expect(words).toContain('fewer than one in a million would be accepted')
    expect(words).toContain('2.1 in a hundred rejected')
    expect(misjudgedWords({ ...shares, wronglyAccepted: 85e-6, wronglyRejected: 0 })).toContain(
      '85 in a million',
    )
  })
})

describe('shares misjudged by a gauge', () => {
  const limits = { lower: 5.97, upper: 6.03 }

  it('take the gauge’s spread and bias out of what was seen', () => {
    const seen = { mean: 6.002, sd: 0.01 }
    const direct = misjudged({ mean: 6.0, partSd: 0.008, bias: 0.002, gaugeSd: 0.006 }, limits)
    const found = misjudgedByGauge(limits, seen, 0.006, 0.002)
    expect(found?.wronglyAccepted).toBeCloseTo(direct.wronglyAccepted, 12)
    expect(found?.wronglyRejected).toBeCloseTo(direct.wronglyRejected, 12)
  })

  it('cannot be told without limits, or where the gauge explains all', () => {
    expect(misjudgedByGauge({ lower: null, upper: null }, { mean: 6, sd: 0.01 }, 0.006, null)).toBeNull()
    expect(misjudgedByGauge(limits, { mean: 6, sd: 0.006 }, 0.006, null)).toBeNull()
    expect(misjudgedByGauge(limits, { mean: 6, sd: 0.01 }, 0, null)).toBeNull()
  })
})

describe('missing readings', () => {
  const reading = (part: string, inspector: string) => ({ part, inspector, value: 1 })
  const full = ['1', '2'].flatMap((part) =>
    ['A', 'B'].flatMap((by) => [reading(part, by), reading(part, by)]),
  )

  it('are none where all pairs have as many', () => expect(missingReadings(full)).toEqual([]))

  it('are named by part and inspector, with how many there are', () => {
    const missing = missingReadings(full.slice(2).filter((_, i) => i !== 4))
    expect(missing).toEqual([
      { part: '1', inspector: 'A', readings: 0, expected: 2 },
      { part: '2', inspector: 'B', readings: 1, expected: 2 },
    ])
    expect(missingWords(missing)).toBe(
      'Measured less often than the rest: part 1 by A (0 of 2), part 2 by B (1 of 2). Nothing was filled in; the components allow for it.',
    )
  })
})

describe('what readings are for', () => {
  const reading = (some: Partial<StudyReading>): StudyReading => ({
    part: '1',
    inspector: '',
    trial: null,
    gauge: 'A',
    reference: null,
    measuredAt: null,
    value: 1,
    ...some,
  })
  const day = 86_400

  it('is told by known values, two gauges, and days', () => {
    expect(studyPurpose([])).toBe('spread')
    expect(studyPurpose([reading({ reference: 1 }), reading({ reference: 2 })])).toBe('known parts')
    expect(studyPurpose([reading({ reference: 1 }), reading({})])).toBe('spread')
    const two = ['1', '2'].flatMap((part) => [reading({ part }), reading({ part, gauge: 'B' })])
    expect(studyPurpose(two)).toBe('two gauges')
    expect(studyPurpose(two.slice(0, 2))).toBe('spread')
    expect(studyPurpose([reading({ measuredAt: day }), reading({ measuredAt: 3 * day })])).toBe('check part')
    expect(studyPurpose([reading({ measuredAt: day }), reading({ measuredAt: day + 60 })])).toBe('spread')
  })

  it('is a check part for one day alone, once the same gauge measured the part on another', () => {
    const on = (time: number, change: Partial<StudyReading> = {}, characteristicId: number | null = 1) => ({
      characteristicId,
      readings: [reading({ measuredAt: time, ...change }), reading({ measuredAt: time + 60, ...change })],
    })
    expect(studyPurposes([on(day)])).toEqual(['spread'])
    expect(studyPurposes([on(day), on(2 * day)])).toEqual(['check part', 'check part'])
    expect(studyPurposes([on(day), on(2 * day, {}, 2)])).toEqual(['spread', 'spread'])
    expect(studyPurposes([on(day), on(2 * day, { gauge: 'B' })])).toEqual(['spread', 'spread'])
    expect(studyPurposes([on(day), on(2 * day, { part: '2' })])).toEqual(['spread', 'spread'])
    // A gauge that is not named may be another one each day.
    expect(studyPurposes([on(day, { gauge: null }), on(2 * day, { gauge: null })])).toEqual([
      'spread',
      'spread',
    ])
    // Readings without a time tell no day.
    const untimed = { characteristicId: 1, readings: [reading({})] }
    expect(studyPurposes([on(day), untimed, on(2 * day)])).toEqual(['check part', 'spread', 'check part'])
  })
})

describe('uncertainty of a gauge', () => {
  const certificate = { expanded: 0.02, coverageFactor: 2 }

  it('from its certificate and step, in the unit of the characteristic', () => {
    const of = (unit: 'mm' | 'in' | 'um') =>
      gaugeUncertainty({ unit, resolution: 0.01, certificate }, { spread: null, bias: null }, 'mm')
        ?.standard ?? 0
    expect(of('mm')).toBeCloseTo(Math.hypot(0.01, 0.005 / Math.sqrt(3)), 12)
    expect(of('in') / of('mm')).toBeCloseTo(25.4, 10)
    expect(of('um') / of('mm')).toBeCloseTo(0.001, 12)
  })

  it('counts a bias as a half width, and is not known from a step alone', () => {
    const facts = { unit: 'mm', resolution: 0.01, certificate: null } as const
    expect(gaugeUncertainty(facts, { spread: null, bias: 0.1 }, 'mm')).toBeNull()
    const biased = gaugeUncertainty({ ...facts, certificate }, { spread: null, bias: -0.03 }, 'mm')
    expect(biased?.sources.find(({ name }) => name === 'bias')?.standard).toBeCloseTo(0.03 / Math.sqrt(3), 12)
  })

  it('is not known where a length gauge is said to measure an angle', () => {
    expect(unitFactor('mm', 'deg')).toBeNull()
    expect(
      gaugeUncertainty({ unit: 'mm', resolution: null, certificate }, { spread: null, bias: null }, 'deg'),
    ).toBeNull()
  })
})
