import { describe, expect, it } from 'vitest'
import { countingOf } from '../../../src/charts/repeats.ts'

const at = (value: number, replicate: number, measuredAt: number | null) => ({ value, replicate, measuredAt })

describe('which of several measurements counts', () => {
  // Taken in out of order: the second replicate was measured first.
  const repeats = [at(10, 1, 200), at(13, 2, 100), at(16, 3, 300)]

  it('goes by the time of measuring, not by the order of coming in', () => {
    expect(countingOf(repeats, 'first')).toEqual([13])
    expect(countingOf(repeats, 'last')).toEqual([16])
    expect(countingOf(repeats, 'mean')).toEqual([13])
    expect(countingOf(repeats, 'every')).toEqual([10, 13, 16])
  })

  it('takes what has no time for earlier, and replicates of one time in their order', () => {
    expect(countingOf([at(1, 1, 50), at(2, 2, null)], 'first')).toEqual([2])
    expect(countingOf([at(1, 1, 50), at(2, 2, null)], 'last')).toEqual([1])
    expect(countingOf([at(1, 1, null), at(2, 2, null)], 'last')).toEqual([2])
    expect(countingOf([at(1, 1, 7), at(2, 2, 7)], 'first')).toEqual([1])
  })

  it('leaves a single measurement as it is, and counts nothing of none', () => {
    for (const choice of ['every', 'first', 'last', 'mean'] as const) {
      expect(countingOf([at(5, 2, null)], choice)).toEqual([5])
      expect(countingOf([], choice)).toEqual([])
    }
  })
})
