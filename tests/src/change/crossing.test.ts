import { describe, expect, it } from 'vitest'
import { crossing } from '../../../src/change/crossing.ts'
import { drift } from '../../../src/change/drift.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { normalSource } from '../run-length/simulation.ts'

const places = (n: number) => Array.from({ length: n }, (_, i) => i)

describe('coverage by simulation, fixed seeds, 95 % asked for', () => {
  it.each([
    [15, 3, 0.3, 81],
    [15, 8, 1.5, 82],
    [30, 3, 0.5, 83],
    [60, 1, 1, 84],
  ])(
    '%i values that drift by %d sigma in all, the limit met %d of the span later',
    (n, total, ahead, seed) => {
      const normal = normalSource(seed)
      const x = places(n)
      const slope = total / n
      const truth = (n - 1) * (1 + ahead)
      const runs = 1000
      let held = 0
      for (let run = 0; run < runs; run++) {
        const result = crossing(
          drift(
            x,
            x.map((place) => slope * place + normal()),
            0.95,
          ),
          slope * truth,
        )
        if (result.earliest !== null && result.earliest <= truth && (result.latest ?? Infinity) >= truth)
          held++
      }
      expect(Math.abs(held / runs - 0.955)).toBeLessThanOrEqual(0.025)
    },
  )
})

describe('where the line goes', () => {
  const x = places(20)
  const normal = normalSource(91)
  const rising = drift(
    x,
    x.map((place) => 10 + 0.5 * place + 0.1 * normal()),
    0.95,
  )

  it('a clear drift meets a limit ahead of it within narrow bounds', () => {
    const { at, earliest, latest } = crossing(rising, 25)
    expect(at).toBeCloseTo(30, 0)
    expect(earliest).toBeGreaterThan(29)
    expect(earliest).toBeLessThan(at as number)
    expect(latest).toBeGreaterThan(at as number)
    expect(latest).toBeLessThan(31)
  })

  it('never meets a limit behind it', () => {
    expect(crossing(rising, 5)).toEqual({ at: null, earliest: null, latest: null })
    expect(crossing(rising, 12)).toEqual({ at: null, earliest: null, latest: null })
  })

  it('may never meet one where the drift may be none', () => {
    const flat = drift(
      x,
      x.map((place) => 10 + 0.001 * place + normal()),
      0.95,
    )
    const { earliest, latest } = crossing(flat, 15)
    expect(earliest).toBeGreaterThan(19)
    expect(latest).toBeNull()
  })

  it('stays for ever where it is certain to be level', () => {
    const level = drift(
      x,
      x.map(() => 3),
      0.95,
    )
    expect(crossing(level, 4)).toEqual({ at: null, earliest: null, latest: null })
    expect(crossing(level, 3)).toEqual({ at: null, earliest: 19, latest: null })
  })

  it('a line without doubt meets the limit at one place', () => {
    const exact = drift(
      x,
      x.map((place) => 1 + 2 * place),
      0.95,
    )
    expect(crossing(exact, 61)).toEqual({ at: 30, earliest: 30, latest: 30 })
  })

  it('has no bound where the slope has no interval', () => {
    expect(crossing(drift([0, 1, 2], [0, 1, 2], 0.95), 4)).toEqual({ at: 4, earliest: 2, latest: null })
  })

  it('refuses a limit that is not finite', () => {
    expect(() => crossing(rising, Number.NaN)).toThrow(ArgumentError)
  })
})
