import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { SharesView, ShrinkageView } from '../../../server/contract/shrinkage.ts'
import { plain } from '../../../src/words/sentence.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'
import { type ShrinkingShop, type ShrinkingSize, shrinkingFiles } from '../../tools/shrinking-shop.ts'

/** What the page on shrinkage says of records that lack something. */

let server: RunningServer

beforeAll(async () => {
  server = await startServer()
})
afterAll(() => server.stop())

const SIZES: readonly ShrinkingSize[] = [
  { designator: '1', nominal: 40, axis: 'X' },
  { designator: '2', nominal: 10, axis: 'X' },
  { designator: '3', nominal: 20, axis: 'Z' },
]

async function shop(
  number: string,
  builds: number,
  sizes: readonly ShrinkingSize[],
  more: Pick<ShrinkingShop, 'factorX' | 'value'> = {},
): Promise<ShrinkageView> {
  for (const { name, text } of shrinkingFiles({ number, builds, sizes, ...more })) {
    const receipt = await server.bring(name, text)
    expect(receipt.verdict, name).toBe('taken')
  }
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

  it('a point in a factor: 0, or 118 where 1.18 was meant', async () => {
    const files = shrinkingFiles({
      number: 'slipped',
      builds: 8,
      sizes: SIZES,
      factorX: (i) => (i === 2 ? '0' : i === 4 ? '118' : '1.185'),
    })
    const [, builds] = files
    const refused = await server.bring('slipped builds.csv', builds?.text ?? '')
    expect(refused.verdict).toBe('refused')
    expect(refused.refused.map(({ line, value }) => [line, value])).toEqual([
      [4, '0'],
      [6, '118'],
    ])
    for (const { reason } of refused.refused) {
      expect(reason).toMatch(/1\.18 for 18 % larger, and lies between 0\.5 and 2/)
    }
    // The good rows in, the two builds are without a factor; all else is computed.
    for (const { name, text } of files) {
      expect((await server.bring(name, text, { takeGoodRows: true })).verdict).toMatch(/^taken/)
    }
    const view = await server.get<ShrinkageView>('/api/part-numbers/slipped/A/shrinkage')
    expect(lacking(view)).toMatch(/Build slipped-03 has no scale factors X and Z/)
    expect(lacking(view)).toMatch(/Build slipped-05 has no scale factors X and Z/)
    expect(view.axes[0]?.shrinkage?.chart.subgroups).toHaveLength(6)
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
