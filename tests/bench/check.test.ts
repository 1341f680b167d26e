import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { baselineOf, worsened } from './check.ts'
import { row } from './rows.ts'

const held = (name: string, ratio: number) => row(name, ratio * 8, 'ms', { what: 'the other', measured: 8 })

describe('a baseline', () => {
  it('holds the ratios of rows that two runs give alike', () => {
    const beside = { what: 'the other', measured: 4 }
    const rows = [row('chart', 8, 'ms', beside), row('json', 8, 'ms', beside, false), row('alone', 8, 'ms')]
    expect(baselineOf(rows)).toEqual({ chart: 2 })
  })
})

describe('ratios beside their baseline', () => {
  it('are worse beyond the margin, not at it', () => {
    const baseline = { chart: 2 }
    expect(worsened(baseline, [held('chart', 2.5)], 0.25)).toEqual([])
    expect(worsened(baseline, [held('chart', 2.53125)], 0.25)).toEqual([
      { name: 'chart', was: 2, is: 2.53125 },
    ])
    expect(worsened(baseline, [held('chart', 0.5)], 0.25)).toEqual([])
  })

  it('that went missing or are no number are worse', () => {
    const [missing] = worsened({ chart: 2 }, [row('chart', 10, 'ms')])
    expect(missing).toEqual({ name: 'chart', was: 2, is: null })
    expect(worsened({ chart: 2 }, [])).toHaveLength(1)
    expect(worsened({ chart: 2 }, [held('chart', Number.NaN)])).toHaveLength(1)
  })

  it('are not asked of rows that are new, nor of times', () => {
    expect(worsened({}, [held('chart', 99), row('intake', 1e9, 'ms')])).toEqual([])
  })

  it('cannot be held against a baseline that is no ratio', () => {
    expect(() => worsened({ chart: 0 }, [held('chart', 1)])).toThrow(RangeError)
    expect(() => worsened({ chart: Number.NaN }, [held('chart', 1)])).toThrow(RangeError)
  })

  it('pass against themselves, and fail when each is greater by more than margin and rounding', () => {
    const rows = fc.uniqueArray(
      fc.record({ name: fc.string(), ratio: fc.double({ min: 1e-3, max: 1e3, noNaN: true }) }),
      { selector: ({ name }) => name, minLength: 1 },
    )
    fc.assert(
      fc.property(rows, fc.double({ min: 0.05, max: 2, noNaN: true }), (made, margin) => {
        const of = (factor: number) => made.map(({ name, ratio }) => held(name, ratio * factor))
        const baseline = baselineOf(of(1))
        expect(worsened(baseline, of(1), margin)).toEqual([])
        expect(worsened(baseline, of((1 + margin) * 1.01), margin)).toHaveLength(made.length)
      }),
    )
  })
})
