import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { measuringSheet, sheetCsv } from '../../../src/gauges/measuring-sheet.ts'

const parts = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '10']

describe('the measuring sheet', () => {
  it('has every reading once, trial after trial, one inspector at a time', () => {
    fc.assert(
      fc.property(fc.maxSafeInteger(), fc.integer({ min: 1, max: 4 }), (seed, trials) => {
        const lines = measuringSheet(parts, ['A', 'B', 'C'], trials, seed)
        expect(new Set(lines.map((l) => `${l.trial} ${l.inspector} ${l.part}`)).size).toBe(30 * trials)
        expect(lines.map(({ order }) => order)).toEqual(lines.map((_, i) => i + 1))
        expect(lines.map(({ trial }) => trial)).toEqual(lines.map((_, i) => 1 + Math.floor(i / 30)))
        for (let i = 0; i < lines.length; i += 10) {
          expect(new Set(lines.slice(i, i + 10).map(({ inspector }) => inspector)).size).toBe(1)
        }
      }),
      { numRuns: 30 },
    )
  })

  it('is the same for the same seed and differs for another', () => {
    const one = measuringSheet(parts, ['A', 'B'], 2, 1)
    expect(measuringSheet(parts, ['A', 'B'], 2, 1)).toEqual(one)
    expect(measuringSheet(parts, ['A', 'B'], 2, 2)).not.toEqual(one)
  })

  it('puts every part in every place equally often over many seeds', () => {
    const counts = new Map<string, number>()
    for (let seed = 0; seed < 2000; seed++) {
      const first = measuringSheet(parts.slice(0, 4), ['A'], 1, seed)[0]?.part as string
      counts.set(first, (counts.get(first) ?? 0) + 1)
    }
    // Chi-square with 3 degrees of freedom: 0.1 % point 16.27.
    const x = [...counts.values()].reduce((sum, n) => sum + (n - 500) ** 2 / 500, 0)
    expect(x).toBeLessThan(16.27)
  })

  it('as text is CSV with an empty column to fill in', () => {
    const text = sheetCsv([{ order: 1, trial: 1, inspector: 'Roe, "J."', part: '7' }], 12)
    expect(text).toBe('study_plan,order,trial,inspector,part,value\r\n12,1,1,"Roe, ""J.""",7,\r\n')
  })

  it('holds no formula', () => {
    const text = sheetCsv(measuringSheet(['=1+1', '@part'], ['+Ines'], 1, 1), 4)
    expect(text).not.toMatch(/(^|,)[=+@-]/m)
    expect(text).toContain("'=1+1")
  })

  it('is misuse with names missing or twice, or numbers that are not whole', () => {
    expect(() => measuringSheet([], ['A'], 2, 1)).toThrow(ArgumentError)
    expect(() => measuringSheet(['1', '1'], ['A'], 2, 1)).toThrow(ArgumentError)
    expect(() => measuringSheet(['1'], ['A'], 0, 1)).toThrow(ArgumentError)
    expect(() => measuringSheet(['1'], ['A'], 1, 0.5)).toThrow(ArgumentError)
  })
})
