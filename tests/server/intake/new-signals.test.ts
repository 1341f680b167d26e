import { expect, it } from 'vitest'
import { CHARACTERISTICS, openShop } from './shop.ts'

const HEAD = 'part_number,revision,serial,build,characteristic,value\n'
const part = (build: number, k: number, value: number) =>
  `HB-204,C,S${build}-${k},B${build},1,${value.toFixed(4)}\n`

it('a file says which signals it causes, and not those that were there', async () => {
  const shop = await openShop()
  try {
    await shop.bring(CHARACTERISTICS)
    // Thirty builds of four parts whose means lie close together, and one that lies high.
    const steady = Array.from({ length: 30 }, (_, build) =>
      [-0.03, -0.01, 0.01, 0.03].map((off, k) =>
        part(build + 100, k, 42 + off + (((build * 5) % 7) - 3) * 0.004 + (build === 20 ? 0.09 : 0)),
      ),
    )
    const first = await shop.bring(HEAD + steady.flat().join(''))
    expect(first.signals?.some(({ builds }) => builds.includes('B120'))).toBe(true)

    const off = [-0.03, -0.01, 0.01, 0.03].map((o, k) => part(200, k, 41.9 + o)).join('')
    const second = await shop.bring(HEAD + off)
    expect(second.signals?.length).toBeGreaterThan(0)
    expect(second.signals?.every(({ builds }) => builds.includes('B200'))).toBe(true)
    expect(second.signals?.[0]).toMatchObject({
      number: 'HB-204',
      revision: 'C',
      characteristic: '1',
      stage: 'sintered',
    })
    expect(second.signals?.map(({ text }) => text)).toContain(
      '1 Overall length, build B200: below the lower limit.',
    )
    // The receipt on record says the same.
    expect(await shop.store.receipt(second.importId as number)).toEqual(second)

    const third = await shop.bring(
      HEAD + [-0.03, -0.01, 0.01, 0.03].map((o, k) => part(201, k, 42 + o)).join(''),
    )
    expect(third.signals?.filter(({ builds }) => !builds.includes('B201')) ?? []).toEqual([])
  } finally {
    await shop.close()
  }
})
