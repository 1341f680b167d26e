import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { SharesView, ShrinkageView } from '../../../server/contract/shrinkage.ts'
import { plain } from '../../../src/words/sentence.ts'
import { normalSource } from '../../src/run-length/simulation.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

/** What the page on shrinkage says of records that lack something. */

let server: RunningServer

beforeAll(async () => {
  server = await startServer()
})
afterAll(() => server.stop())

interface Size {
  readonly designator: string
  readonly nominal: number | null
  readonly axis: string
  readonly kind?: string
}

const SIZES: readonly Size[] = [
  { designator: '1', nominal: 40, axis: 'X' },
  { designator: '2', nominal: 10, axis: 'X' },
  { designator: '3', nominal: 20, axis: 'Z' },
]

/** Five parts in each of the builds, that shrink by 15.6 % along X and 16.7 % along Z. */
async function shop(
  number: string,
  builds: number,
  sizes: readonly Size[],
  {
    factorX = (_: number): string => '1.185',
    value = (v: number, _build: number, _designator: string) => v,
  } = {},
): Promise<ShrinkageView> {
  const normal = normalSource(5)
  await server.bring(
    `${number} characteristics.csv`,
    [
      'part number,revision,characteristic,name,kind,nominal,lower,upper,unit,axis',
      ...sizes.map(
        ({ designator, nominal, axis, kind = 'length' }) =>
          `${number},A,${designator},length ${designator},${kind},${nominal ?? ''},${nominal === null ? '' : nominal - 0.1},${nominal === null ? '' : nominal + 0.1},mm,${axis}`,
      ),
    ].join('\n'),
  )
  const names = Array.from({ length: builds }, (_, i) => `${number}-${String(i + 1).padStart(2, '0')}`)
  await server.bring(
    `${number} builds.csv`,
    [
      'build,printed at,scale x,scale y,scale z',
      ...names.map(
        (name, i) => `${name},2026-03-${String(i + 1).padStart(2, '0')}T08:00:00Z,${factorX(i)},1.187,1.2005`,
      ),
    ].join('\n'),
  )
  const rows = names.flatMap((name, build) => {
    const shift = 0.0004 * normal()
    return [1, 2, 3, 4, 5].flatMap((part) =>
      sizes.map(({ designator, nominal, axis }) => {
        const kept = axis === 'Z' ? 1.2005 * (1 - 0.167) : 1.185 * (1 - 0.156)
        const size = (nominal ?? 5) * kept * (1 + shift + 0.0003 * normal()) + 0.005
        return `${number},A,${name}-${part},${name},${designator},${value(size, build, designator).toFixed(4)},mm,sintered`
      }),
    )
  })
  const receipt = await server.bring(
    `${number}.csv`,
    ['part_number,revision,serial,build,characteristic,value,unit,stage', ...rows].join('\n'),
  )
  expect(receipt.verdict).toBe('taken')
  return await server.get<ShrinkageView>(`/api/part-numbers/${number}/A/shrinkage`)
}

const lacking = (view: ShrinkageView) => view.problems.map(({ missing }) => missing).join('\n')

describe('a record that lacks something', () => {
  it('too few builds: the advice waits for more', async () => {
    const view = await shop('few', 8, SIZES)
    expect(plain(view.headline)).toMatch(
      /eight builds are too few to tell drift from chance, 25 are asked for/,
    )
    expect(view.obstacles.map(({ words }) => words)).toContain('X: eight builds measured, 25 asked for.')
    expect(view.axes[0]?.replay).toBeNull()
    expect(view.predictions).toHaveLength(3)
  })

  it('one characteristic along an axis, and none along another', async () => {
    const view = await shop('single', 8, SIZES)
    expect(lacking(view)).toMatch(
      /Only 3 length 3 is measured along Z, so that scale and offset cannot be told/,
    )
    expect(lacking(view)).toMatch(/Nothing usable is measured along Y/)
    expect(view.axes[2]?.offset).toBeNull()
    expect(view.axes[1]?.shrinkage).toBeNull()
  })

  it('a nominal', async () => {
    const view = await shop('bare', 8, [...SIZES, { designator: '9', nominal: null, axis: 'X' }])
    expect(lacking(view)).toMatch(/9 length 9 has no nominal above zero/)
  })

  it('a factor, or has one that no print can have', async () => {
    const view = await shop('typed', 8, SIZES, {
      factorX: (i) => (i === 3 ? '' : i === 5 ? '0.844' : '1.185'),
    })
    expect(lacking(view)).toMatch(/Build typed-04 has no scale factor X/)
    expect(lacking(view)).toMatch(/Build typed-06 has scale factor X 0\.844/)
    expect(view.axes[0]?.shrinkage?.chart.subgroups).toHaveLength(6)
    expect(view.axes[2]?.shrinkage?.chart.subgroups).toHaveLength(8)
  })

  it('the factor of most builds: counted, not listed', async () => {
    const view = await shop('unset', 8, SIZES, { factorX: (i) => (i < 6 ? '' : '1.185') })
    expect(lacking(view)).toMatch(/^6 builds from unset-01 to unset-06 have no scale factor X\.$/m)
    expect(lacking(view)).not.toMatch(/unset-03/)
  })

  it('the stage of some values: green ones among the sintered', async () => {
    const view = await shop('mixed', 8, SIZES, {
      value: (v, build, designator) => (build === 2 && designator === '1' ? v * 1.185 : v),
    })
    expect(lacking(view)).toMatch(
      /1 length 1 of build mixed-03: the sintered values are as large as green parts/,
    )
  })

  it('sizes that follow shrinkage at all', async () => {
    const view = await shop('flat', 3, [{ designator: '1', nominal: 0.1, axis: '', kind: 'flatness' }])
    expect(plain(view.headline)).toBe('Nothing is measured yet that tells shrinkage.')
    expect(view.terms).toEqual([])
    const shares = await server.get<SharesView>('/api/part-numbers/flat/A/shrinkage/shares')
    expect(shares.axes.every((axis) => axis.shares.length === 0)).toBe(true)
  })

  it('everything: a part number that is not known', async () => {
    const answer = await fetch(`${server.url}/api/part-numbers/none/A/shrinkage`)
    expect(answer.status).toBe(404)
  })
})
