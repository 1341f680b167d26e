import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { CHARACTERISTICS, openShop, type Shop } from './shop.ts'

let shop: Shop

beforeEach(async () => {
  shop = await openShop()
  await shop.bring(CHARACTERISTICS)
})
afterEach(() => shop.close())

const HEAD =
  'gauge;kind;resolution;unit;expanded uncertainty;coverage factor;certificate;calibrated on;due;part number;revision;characteristics\n'
const CALIPER = 'C-3;caliper;0,01;mm;0,02;2;K 17;2026-01-10;2027-01-10;HB-204;C;1 2\n'

const entries = async (name: string) =>
  (await shop.store.gauges()).find((gauge) => gauge.name === name)?.entries ?? []

describe('a register of gauges', () => {
  it('is taken in gauge by gauge, each as a decision of its own', async () => {
    const receipt = await shop.bring(`${HEAD}${CALIPER}C-3;;;;;;;;;HB-204;C;10\nC-4;plug gauge;;;;;;;;;;\n`)
    expect(receipt).toMatchObject({ verdict: 'taken', kind: 'gauges', rowsTaken: 3 })
    expect(await entries('C-3')).toMatchObject([
      {
        version: 1,
        kind: 'caliper',
        resolution: 0.01,
        certificate: { number: 'K 17', expanded: 0.02, coverageFactor: 2, date: '2026-01-10' },
        due: '2027-01-10',
        characteristicIds: [1, 2, 3],
        inUse: true,
        who: 'M. Inspector',
      },
    ])
    expect(await entries('C-4')).toMatchObject([{ version: 1, kind: 'plug gauge', due: null }])
  })

  it('that says something new adds a version, and leaves what it does not speak of', async () => {
    await shop.bring(HEAD + CALIPER)
    await shop.bring('gauge;due\nC-3;2028-01-10\n')
    const [first, second] = await entries('C-3')
    expect(second).toMatchObject({ ...first, version: 2, due: '2028-01-10', at: second?.at })
    const again = await shop.bring('gauge;due\nC-3;2028-01-10\n\n')
    expect(again.notes.map(({ text }) => text).join()).not.toContain('Said anew')
    expect(await entries('C-3')).toHaveLength(2)
  })

  it('is refused where a date, a size or a characteristic is none', async () => {
    const receipt = await shop.bring(
      `${HEAD}C-3;caliper;0;mm;;;;;;;;\nC-4;caliper;;mm;0,02;;;;;;;\nC-5;caliper;;mm;;;;;soon;;;\nC-6;caliper;;mm;;;;;;HB-204;C;77\n`,
    )
    expect(receipt.refused.map(({ line, column }) => [line, column])).toEqual([
      [2, 'resolution'],
      [3, 'expanded uncertainty'],
      [4, 'due'],
      [5, 'characteristics'],
    ])
    expect(await shop.store.gauges()).toEqual([])
  })
})
