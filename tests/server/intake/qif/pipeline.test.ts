import { readFileSync } from 'node:fs'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { CHARACTERISTICS, openShop, type Shop } from '../shop.ts'
import { component, inspection, measurement, qifDocument } from './document.ts'

let shop: Shop
beforeEach(async () => {
  shop = await openShop()
})
afterEach(() => shop.close())

const sample = (name: string) => readFileSync(new URL(`../../../reference/qif/${name}`, import.meta.url))

describe('results in QIF', () => {
  it('are taken in like a table, recognised by content, and every value leads back to its line', async () => {
    await shop.bring(CHARACTERISTICS)
    const text = qifDocument({ components: component('20', 'S1', { build: 'B1' }) })
    const receipt = await shop.bring(text, {}, 'no-telling-name.txt')
    expect(receipt).toMatchObject({
      verdict: 'taken',
      kind: 'measurements',
      dialect: 'QIF 3.0.0, UTF-8',
      rowsRead: 1,
      rowsTaken: 1,
      outOfSpecification: 0,
      partNumbers: [{ number: 'HB-204', revision: 'C' }],
      problem: null,
    })
    expect(receipt.notes.map((note) => note.text)).toContain(
      'The file does not say when the parts were measured.',
    )
    const bore = (await shop.store.characteristics(1)).find((c) => c.designator === '2')
    const [value] = await shop.store.values(bore?.id as number, 1, 'sintered')
    expect(value).toMatchObject({
      serial: 'S1',
      value: 8.012,
      gauge: 'CMM-2',
      fileName: 'no-telling-name.txt',
      line: text.split('\n').findIndex((line) => line.includes('<Value>')) + 1,
    })
  })

  it('find the build of a part that is on record', async () => {
    await shop.bring(CHARACTERISTICS)
    await shop.bring('part_number,revision,serial,build,characteristic,value\nHB-204,C,S1,B1,1,42\n')
    expect((await shop.bring(qifDocument())).verdict).toBe('taken')
    expect((await shop.store.builds(1, 'sintered')).map((build) => build.name)).toEqual(['B1'])
  })

  it('of a part without a build are refused on the line of the value', async () => {
    const text = qifDocument()
    const receipt = await shop.bring(text)
    expect(receipt.verdict).toBe('refused')
    expect(receipt.refused).toEqual([
      {
        line: text.split('\n').findIndex((line) => line.includes('<Value>')) + 1,
        column: null,
        value: '',
        reason: expect.stringContaining('names no build'),
      },
    ])
  })

  it('are read in UTF-16 too', async () => {
    const text = qifDocument({ components: component('20', 'S1', { build: 'B1' }) })
    const bytes = Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(text, 'utf16le')])
    expect(await shop.bring(bytes)).toMatchObject({ verdict: 'taken', dialect: 'QIF 3.0.0, UTF-16 LE' })
  })

  it('that contradict the limits on record are refused', async () => {
    await shop.bring(CHARACTERISTICS)
    const components = component('20', 'S1', { build: 'B1' })
    const receipt = await shop.bring(qifDocument({ components }).replace('>0.05<', '>0.06<'))
    expect(receipt.refused[0]?.reason).toMatch(/upper limit of characteristic 2 is 8.05 on record.*8.06/)
  })

  it('in units that no value may carry are refused', async () => {
    const components = component('20', 'S1', { build: 'B1' })
    const metre = '<SIUnitName>meter</SIUnitName><UnitName>m</UnitName>'
    const receipt = await shop.bring(qifDocument({ components, linearUnit: metre }))
    expect(receipt.refused[0]).toMatchObject({ column: 'FileUnits', value: 'm' })
  })

  it('with a value that is no number name it', async () => {
    const components = component('20', 'S1', { build: 'B1' })
    const results = inspection('<Id>20</Id>', measurement('Diameter', '12', '<Value>NaN</Value>'))
    const receipt = await shop.bring(qifDocument({ components, results }))
    expect(receipt.refused[0]).toMatchObject({ column: 'CharacteristicMeasurement/Value', value: 'NaN' })
  })

  it('with entity definitions change nothing', async () => {
    const before = shop.everything()
    const receipt = await shop.bring(qifDocument({ before: '<!DOCTYPE QIFDocument [<!ENTITY x "y">]>' }))
    expect(receipt.problem?.what).toMatch(/document type declaration/)
    expect(shop.everything()).toBe(before)
  })

  it('of the six sample parts come in with their builds known, but for the second value of a pair', async () => {
    const serials = [1, 2, 3, 4, 5, 6].map((n) => `SN580280${n}`)
    await shop.bring(
      'part_number,revision,serial,build,characteristic,value,lower,upper\n' +
        serials.map((s) => `Wing mirror reinforcement,1.6,${s},B1,weight,1,0,2\n`).join(''),
    )
    const refused = await shop.bring(sample('results-six-parts.qif'), {}, 'six.qif')
    expect(refused).toMatchObject({ verdict: 'refused', rowsRead: 228, remedies: ['take-good-rows'] })
    // The samples carry two values for each of seventeen point profiles of a part, nothing saying which is which.
    expect(refused.rowsRefused).toBe(6 * 17)
    const receipt = await shop.bring(sample('results-six-parts.qif'), { takeGoodRows: true }, 'six.qif')
    expect(receipt).toMatchObject({ verdict: 'taken-in-part', rowsTaken: 6 * 21 })
    const characteristics = await shop.store.characteristics(1)
    const position = characteristics.find((c) => c.designator === 'W1RXXMRA21P')
    expect(position).toMatchObject({ kind: 'position', lower: null, unit: 'mm' })
    const values = await shop.store.values(position?.id as number, 1, 'sintered')
    expect(values.map((v) => v.serial)).toEqual(serials)
    expect(values.at(-1)?.value).toBe(1.289576560808849)
  })
})
