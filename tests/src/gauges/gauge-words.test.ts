import { describe, expect, it } from 'vitest'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { GAUGE_EXAMPLE } from '../../../src/evidence/data/gauge-example.ts'
import { gaugeJudgement } from '../../../src/gauges/gauge-judgement.ts'
import { gaugeStudy } from '../../../src/gauges/gauge-study.ts'
import { gaugeWords } from '../../../src/gauges/gauge-words.ts'
import { standOuts } from '../../../src/gauges/stand-out.ts'
import { plain } from '../../../src/words/sentence.ts'
import { normalSource } from '../run-length/simulation.ts'
import { drawStudy } from './readings.ts'

const bore: Characteristic = {
  id: 1,
  designator: '7',
  name: 'bore',
  kind: 'diameter',
  nominal: 12,
  lower: 8,
  upper: 16,
  unit: 'mm',
  axis: null,
}
const study = gaugeStudy(GAUGE_EXAMPLE, { tolerance: bore })

describe('the verdict on a gauge', () => {
  it('goes by the tolerance and says what it does not know', () => {
    const { headline, grounds } = gaugeWords(bore, study, standOuts(GAUGE_EXAMPLE, 0.01))
    expect(plain(headline)).toBe(
      'The gauge is usable with care for 7 bore: it takes 23 % of the tolerance (17 % to 109 %, 95 % confidence), which the readings do not settle.',
    )
    const text = plain(grounds)
    expect(text).toContain('Ten parts, three inspectors, three times each: 90 readings.')
    expect(text).toContain('It tells four groups of these parts apart; five are asked for (common practice).')
    expect(text).toContain('Inspector C reads lower than the mean of all by 0.2558 (p < 0.0001).')
    expect(text).toContain('no interaction of parts and inspectors is counted')
  })

  it('goes by the spread without a tolerance', () => {
    const { headline } = gaugeWords(bore, gaugeStudy(GAUGE_EXAMPLE))
    expect(plain(headline)).toContain('28 % of the spread that is seen')
  })

  it('is sure where the whole interval is', () => {
    const sd = { part: 1, inspector: 0, interaction: 0, repeatability: 0.01 }
    const fine = gaugeStudy(drawStudy(10, 1, 3, sd, normalSource(87)), { tolerance: { lower: 0, upper: 10 } })
    expect(gaugeJudgement(fine)).toMatchObject({ verdict: 'fine enough', sure: true, of: 'tolerance' })
    expect(plain(gaugeWords(bore, fine).headline)).toContain('The gauge is surely fine enough for 7 bore')
    const coarse = gaugeStudy(drawStudy(10, 1, 3, sd, normalSource(87)), {
      tolerance: { lower: 0, upper: 0.05 },
    })
    expect(gaugeJudgement(coarse)).toMatchObject({ verdict: 'too coarse', sure: true })
    expect(gaugeWords(bore, coarse).headline).toContainEqual({ text: 'too coarse', role: 'mark' })
  })

  it('says by which method components and intervals were found', () => {
    expect(plain(gaugeWords(bore, gaugeStudy(GAUGE_EXAMPLE.slice(1))).grounds)).toContain(
      'By restricted maximum likelihood, intervals by profile likelihood',
    )
    expect(plain(gaugeWords(bore, study).grounds)).toContain('By analysis of variance')
  })

  it('cannot be said without readings, and says why', () => {
    const { headline, grounds } = gaugeWords(bore, gaugeStudy([]))
    expect(plain(headline)).toBe('How finely 7 bore is measured cannot be said yet.')
    expect(plain(grounds)).toBe('Nothing can be said from fewer than two readings.')
  })
})
