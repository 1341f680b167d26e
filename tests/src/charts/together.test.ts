import { describe, expect, it } from 'vitest'
import { hotellingChart } from '../../../src/charts/hotelling.ts'
import { TOGETHER_LEVEL, togetherChart } from '../../../src/charts/together.ts'
import { normalQuantile } from '../../../src/distributions/normal.ts'
import { plain } from '../../../src/words/sentence.ts'
import { togetherWords } from '../../../src/words/together-words.ts'
import { CHARACTERISTICS, randomNumbers } from '../../client/fixtures.ts'

/**
 * T² itself is checked against published examples in hotelling.test.ts; here, that builds with gaps are judged as builds
 * without gaps are over the characteristics that they have.
 */

const BUILDS = 40

/** Three characteristics that move together from build to build; the last build is moved in the second. */
function rows(): (number | null)[][] {
  const random = randomNumbers(7)
  const normal = () => normalQuantile(random())
  const common = Array.from({ length: BUILDS }, normal)
  return [0, 1, 2].map((r) =>
    common.map((c, i) => 10 + c * 0.01 + normal() * 0.004 + (r === 1 && i === BUILDS - 1 ? 0.08 : 0)),
  )
}

const column = (data: readonly (readonly (number | null)[])[], i: number, which: readonly number[]) =>
  which.map((r) => data[r]?.[i] as number)

describe('characteristics together', () => {
  it('are judged as hotellingChart does where nothing is missing', () => {
    const data = rows()
    const chart = togetherChart(data)
    const direct = hotellingChart(
      Array.from({ length: BUILDS }, (_, i) => column(data, i, [0, 1, 2])),
      25,
      TOGETHER_LEVEL,
    )
    expect(chart?.points.map((point) => point.t2)).toEqual(direct.points.map((point) => point.t2))
    expect(chart?.points[0]?.limit).toBe(direct.baselineLimit)
    const last = chart?.points.at(-1)
    expect(last).toMatchObject({
      limit: direct.laterLimit,
      outside: true,
      moved: direct.points.at(-1)?.moved,
    })
    expect(last?.moved[0]).toBe(1)
    expect(chart?.baseline).toEqual({ from: 0, to: 24, count: 25 })
  })

  it('that a later build misses are left out for it alone, with the limit for the rest', () => {
    const data = rows()
    ;(data[2] as (number | null)[])[30] = null
    const point = togetherChart(data)?.points.find((each) => each.position === 30)
    const without = hotellingChart(
      [...Array.from({ length: 25 }, (_, i) => column(data, i, [0, 1])), column(data, 30, [0, 1])],
      25,
      TOGETHER_LEVEL,
    )
    expect(point).toMatchObject({ missing: [2], t2: without.points[25]?.t2, limit: without.laterLimit })
  })

  it('take the baseline from the first builds that miss nothing', () => {
    const data = rows()
    ;(data[0] as (number | null)[])[3] = null
    const chart = togetherChart(data)
    expect(chart?.baseline).toEqual({ from: 0, to: 25, count: 25 })
    expect(chart?.points.find((point) => point.position === 3)?.missing).toEqual([0])
    expect(chart?.points).toHaveLength(BUILDS)
  })

  it('that few builds were measured in are left out altogether', () => {
    const data = [...rows(), Array.from({ length: BUILDS }, (_, i) => (i % 2 === 0 ? 5 : null))]
    expect(togetherChart(data)).toMatchObject({ judged: [0, 1, 2], leftOut: [3] })
  })

  it('skip builds that nothing was measured in', () => {
    const data = rows().map((row) => row.map((value, i) => (i === 28 ? null : value)))
    expect(togetherChart(data)?.points.some((point) => point.position === 28)).toBe(false)
  })

  it('are not judged where too few builds are there, or one follows from another', () => {
    expect(togetherChart([])).toBeNull()
    expect(togetherChart(rows().map((row) => row.slice(0, 4)))).toBeNull()
    const [first] = rows() as [number[]]
    expect(togetherChart([first, first.map((value) => 2 * value)])).toBeNull()
  })
})

describe('the words', () => {
  const name = (position: number) => `B${position}`

  it('name the last unusual build and what moved in it', () => {
    const { headline, grounds } = togetherWords(togetherChart(rows()), CHARACTERISTICS, name)
    expect(plain(headline)).toMatch(/^Taken together, one of 40 builds is unusual, B39: .* moved\.$/)
    expect(plain(grounds)).toContain('limits from 25 builds, B0 to B24, with one false signal in 370 builds')
  })

  it('say what is left out and which builds have gaps', () => {
    const data = [...rows(), Array.from({ length: BUILDS }, () => null)]
    ;(data[0] as (number | null)[])[30] = null
    const { grounds } = togetherWords(togetherChart(data), CHARACTERISTICS, name)
    expect(plain(grounds)).toContain('One build misses a characteristic and is judged over the others.')
    expect(plain(grounds)).toMatch(/Left out, since too few builds were measured in it: /)
  })

  it('say that nothing can be said', () => {
    expect(plain(togetherWords(null, [], name).headline)).toContain('cannot be judged yet')
  })
})
