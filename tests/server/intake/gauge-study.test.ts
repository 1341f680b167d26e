import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { withdraw } from '../../../server/intake/withdraw.ts'
import { gaugeResults } from '../../../server/store/gauge-results.ts'
import { gaugesOnRecord } from '../../../server/store/gauges-on-record.ts'
import { GAUGE_EXAMPLE } from '../../../src/evidence/data/gauge-example.ts'
import { CHARACTERISTICS, openShop, type Shop } from './shop.ts'

let shop: Shop

beforeEach(async () => {
  shop = await openShop()
  await shop.bring(CHARACTERISTICS)
})
afterEach(() => shop.close())

/** Two parts, two inspectors, two trials of characteristic 1. */
const ROWS = [
  ['1', 'Ines', '1', '42.010'],
  ['1', 'Ines', '2', '42.012'],
  ['1', 'Emil', '1', '42.015'],
  ['1', 'Emil', '2', '42.013'],
  ['2', 'Ines', '1', '41.980'],
  ['2', 'Ines', '2', '41.978'],
  ['2', 'Emil', '1', '41.984'],
  ['2', 'Emil', '2', '41.985'],
] as const
const table = (headings: string, rows: readonly (readonly string[])[], mark = ';') =>
  [headings, ...rows.map((row) => row.join(mark))].join('\n')

/** The trade's headings in five languages (common practice). */
const HEADINGS = [
  'characteristic;part;inspector;trial;value',
  'Characteristic;Part;Appraiser;Trial no;Reading (mm)',
  'Merkmal;Teil;Prüfer;Versuch;Messwert',
  'Caractéristique;Pièce;Opérateur;Essai;Valeur mesurée',
  'Caratteristica;Pezzo;Operatore;Prova;Valore misurato',
  'Característica;Pieza;Operador;Ensayo;Valor medido',
]

describe('a file of readings of the same parts again and again', () => {
  for (const headings of HEADINGS) {
    it(`is known as a gauge study: ${headings}`, async () => {
      const receipt = await shop.bring(
        table(
          headings,
          ROWS.map((row) => ['1', ...row]),
        ),
      )
      expect(receipt).toMatchObject({ verdict: 'taken', kind: 'gauge-study', rowsTaken: 8 })
      const [study] = (await gaugesOnRecord(shop.store)).studies
      expect(study).toMatchObject({
        purpose: 'spread',
        gauges: [],
        on: { characteristic: { designator: '1' } },
      })
      expect(study?.readings[0]).toMatchObject({
        line: 2,
        part: '1',
        inspector: 'Ines',
        trial: 1,
        value: 42.01,
      })
    })
  }

  it.each([
    ['Part;Inspector;Trial 1;Trial 2', ''],
    ['Teil;Prüfer;Messung 1;Messung 2', 'Teilenummer;HB-204\nMerkmal;1\n\n'],
    ['Pièce;Opérateur;Essai 1 (mm);Essai 2 (mm)', 'Caractéristique: 1\n'],
    ['Pieza;Operador;Lectura 1;Lectura 2', 'Característica;1\nInstrumento;M7\n'],
  ])('is known with a column for each trial: %s', async (headings, above) => {
    const rows = [1, 2].flatMap((part) =>
      ['Ines', 'Emil'].map((who, i) => `${part};${who};42,0${part}${i};42,0${part}${i + 1}`),
    )
    const receipt = await shop.bring(`${above}${headings}\n${rows.join('\n')}\n`)
    expect(receipt).toMatchObject({ verdict: 'taken', kind: 'gauge-study', rowsTaken: 8 })
    const [study] = (await gaugesOnRecord(shop.store)).studies
    expect(study?.on?.characteristic.designator).toBe(above === '' ? undefined : '1')
    const headingLine = above === '' ? 1 : above.split('\n').length
    expect(study?.readings[1]).toMatchObject({
      line: headingLine + 1,
      part: '1',
      inspector: 'Ines',
      trial: 2,
      value: 42.011,
    })
    expect(study?.readings).toHaveLength(8)
    expect(study?.gauges).toEqual(above.includes('M7') ? ['M7'] : [])
  })

  it('is known with a column for each of two gauges on record, which it compares', async () => {
    const rows = 'part,CMM,caliper 3\n1,42.01,42.02\n2,42.03,42.05\n3,42.00,42.00\n'
    const unknown = await shop.bring(rows)
    expect(unknown.kind).not.toBe('gauge-study')
    await shop.bring('gauge;resolution\nCMM;0.001\ncaliper 3;0.01\n')
    const receipt = await shop.bring(`${rows}4,42.02,-\n`)
    expect(receipt).toMatchObject({ verdict: 'taken', kind: 'gauge-study', rowsTaken: 7 })
    const [study] = (await gaugesOnRecord(shop.store)).studies
    expect(study).toMatchObject({ purpose: 'two gauges', gauges: ['CMM', 'caliper 3'] })
  })

  it('with a column for each trial is no study where it speaks of builds', async () => {
    const receipt = await shop.bring('part,build,inspector,trial 1,trial 2\nS1,B1,Ines,42.01,42.02\n')
    expect(receipt.kind).not.toBe('gauge-study')
  })

  it('moves no cell, makes no part, and says so on the receipt', async () => {
    const receipt = await shop.bring(table('part;inspector;trial;value', ROWS))
    expect(receipt.notes.map(({ text }) => text).join(' ')).toMatch(/8 readings, kept apart/)
    expect(await shop.store.cells(1, 'sintered')).toEqual([])
    expect(await shop.store.partsByBuild(1, 'sintered')).toEqual(new Map())
    expect((await shop.store.partNumbers())[0]).toMatchObject({ measurements: 0 })
  })

  it('is not what a measurement file with builds or serial numbers is taken for', async () => {
    const measured = await shop.bring(
      'part_number,revision,serial,build,characteristic,trial,inspector,value\nHB-204,C,S1,B1,1,1,Ines,42.01\n',
    )
    expect(measured.kind).toBe('measurements')
    const french = await shop.bring(
      'référence;indice;pièce;fabrication;caractéristique;valeur\nHB-204;C;S2;B1;1;42,02\n',
    )
    expect(french.kind).toBe('measurements')
  })

  it('is refused row by row with line, column and reason, and leaves no trace', async () => {
    const before = shop.everything()
    const receipt = await shop.bring(
      table('characteristic;part;inspector;trial;value', [
        ['1', '1', 'Ines', '1', '42.01'],
        ['1', '1', 'Ines', '1', '42.02'],
        ['1', '', 'Ines', '2', '42.01'],
        ['1', '2', 'Ines', '0', '42.01'],
        ['1', '2', 'Ines', '1', ''],
        ['9', '2', 'Ines', '2', '42.01'],
        ['1', '2', 'Ines', '3', 'n. d.'],
      ]),
    )
    expect(receipt.verdict).toBe('refused')
    expect(receipt.refused.map(({ line, column }) => [line, column])).toEqual([
      [3, 'trial'],
      [4, 'part'],
      [5, 'trial'],
      [6, 'value'],
      [7, 'characteristic'],
      [8, 'value'],
    ])
    expect(receipt.refused[0]?.reason).toContain('line 2')
    expect(receipt.refused[4]?.reason).toContain('Known are 1, 2, 10, 11')
    expect(receipt.remedies).toContain('take-good-rows')
    expect(shop.everything()).toBe(before)
  })

  it('is taken without its missing cells where the inspector says so', async () => {
    const rows = ROWS.map((row, i) => ['1', row[0], row[1], row[2], i === 3 ? '' : row[3]])
    const receipt = await shop.bring(table('characteristic;part;inspector;trial;value', rows), {
      takeGoodRows: true,
    })
    expect(receipt).toMatchObject({ verdict: 'taken-in-part', rowsTaken: 7, rowsRefused: 1 })
    const result = (await gaugeResults(shop.store)).of(1)
    expect(result?.study?.shortfalls).toContain('missing readings')
    expect(result?.gaugeSd?.value).toBeGreaterThan(0)
  })

  it('is in the unit of its characteristic, or is converted where the inspector says so', async () => {
    const inches = table('characteristic;part;inspector;trial;value (in)', [
      ['1', '1', 'Ines', '1', '1.6535'],
      ['1', '2', 'Ines', '1', '1.6540'],
    ])
    expect((await shop.bring(inches)).remedies).toEqual(['convert-units'])
    await shop.bring(inches, { convertUnits: true })
    const [study] = (await gaugesOnRecord(shop.store)).studies
    expect(study?.readings[0]?.value).toBe(41.9989)
  })

  it('asks for the part number where two drawings have the characteristic', async () => {
    await shop.bring(CHARACTERISTICS.replaceAll('HB-204,C', 'HB-204,D'))
    const file = table('characteristic;part;inspector;trial;value', [['1', '1', 'Ines', '1', '42.01']])
    expect((await shop.bring(file)).refused[0]?.reason).toMatch(/More than one drawing/)
    expect(await shop.bring(file, { partNumber: 'HB-204', revision: 'D' })).toMatchObject({
      verdict: 'taken',
    })
  })

  it('counts no more once it is withdrawn', async () => {
    const file = table(
      'characteristic;part;inspector;trial;value',
      ROWS.map((row) => ['1', ...row]),
    )
    const { importId } = await shop.bring(file)
    expect((await gaugeResults(shop.store)).of(1)).not.toBeNull()
    await withdraw(shop.store, importId as number, 'M. Doe', 'another gauge')
    expect((await gaugeResults(shop.store)).of(1)).toBeNull()
    expect(await shop.bring(file)).toMatchObject({ verdict: 'taken' })
  })
})

describe('what a study is for', () => {
  const purposes = async () =>
    (await gaugesOnRecord(shop.store)).studies.map(({ purpose, gauges }) => [purpose, ...gauges])

  it('is bias where values are known', async () => {
    await shop.bring('gauge;part;reference value;value\nC-3;M1;10.000;10.002\nC-3;M2;20.000;20.001\n')
    expect(await purposes()).toEqual([['known parts', 'C-3']])
  })

  it('is stability where one part comes back day after day', async () => {
    await shop.bring('check part;gauge;date;value\nR1;C-3;2026-09-01;10.002\nR1;C-3;2026-09-08;10.001\n')
    expect(await purposes()).toEqual([['check part', 'C-3']])
  })

  it('is a comparison where two gauges measured the same parts, else one study for each gauge', async () => {
    await shop.bring('part;gauge;trial;value\n1;CMM;1;10\n1;C-3;1;10.1\n2;CMM;1;11\n2;C-3;1;11.1\n')
    await shop.bring('part;gauge;trial;value\n1;CMM;1;10\n1;CMM;2;10.1\n2;C-3;1;11\n2;C-3;2;11.1\n')
    expect(await purposes()).toEqual([
      ['two gauges', 'CMM', 'C-3'],
      ['spread', 'CMM'],
      ['spread', 'C-3'],
    ])
  })
})

describe('the result of a characteristic', () => {
  /** The published example (see src/evidence/data/gauge-example.ts), moved to the nominal of characteristic 1. */
  const example = table(
    'characteristic;gauge;part;inspector;trial;value',
    GAUGE_EXAMPLE.map(({ part, inspector, value }, i) => [
      '1',
      'C-3',
      part,
      inspector,
      String((Math.floor(i / 10) % 3) + 1),
      String(value),
    ]),
  )

  it('is that of the published example, with the uncertainty of study, step and calibration', async () => {
    await shop.bring(example)
    const plain = (await gaugeResults(shop.store)).of(1)
    expect(plain?.gauge).toBe('C-3')
    expect(plain?.gaugeSd?.value).toBeCloseTo(0.302373, 5)
    await shop.store.write((writer) =>
      writer.addGaugeEntry('C-3', {
        version: 1,
        kind: 'caliper',
        unit: 'um',
        resolution: 10,
        certificate: { number: 'K 17', expanded: 80, coverageFactor: 2, date: '2026-02-01' },
        due: null,
        characteristicIds: [1, 2],
        inUse: true,
        reason: 'new',
        who: 'Ines Quark',
        at: 1,
      }),
    )
    const results = await gaugeResults(shop.store)
    const names = results.of(1)?.uncertainty?.sources.map(({ name, counted }) => [name, counted])
    expect(names).toEqual([
      ['inspectors', true],
      ['repeated readings', true],
      ['calibration', true],
      ['step of the display', false],
    ])
    expect(results.of(1)?.uncertainty?.standard).toBeCloseTo(Math.hypot(0.302373, 0.04), 5)
    // Characteristic 2 has no study: the certificate and half a step over √3 speak, in millimetres.
    expect(results.of(2)?.uncertainty?.standard).toBeCloseTo(Math.hypot(0.04, 0.005 / Math.sqrt(3)), 12)
    expect(results.of(2)?.gaugeSd).toBeNull()
    expect(results.by(1, 'another')).toBe(results.of(1))
    expect(results.of(3)).toBeNull()
  })
})

describe('a receipt of measurements', () => {
  const gauge = (name: string, expanded: number) =>
    shop.store.write((writer) =>
      writer.addGaugeEntry(name, {
        version: 1,
        kind: 'caliper',
        unit: 'mm',
        resolution: null,
        certificate: { number: '', expanded, coverageFactor: 2, date: '2026-02-01' },
        due: null,
        characteristicIds: [1],
        inUse: true,
        reason: 'new',
        who: 'Ines Quark',
        at: 1,
      }),
    )
  const HEAD = 'part_number,revision,serial,build,stage,characteristic,value,gauge\n'
  const row = (serial: string, value: string, name = 'C-3', stage = 'sintered') =>
    `HB-204,C,${serial},B1,${stage},1,${value},${name}\n`

  it('judges values outside and near the limits 41.9 and 42.1 by ISO 14253-1, gauge by gauge', async () => {
    await gauge('C-3', 0.02)
    await gauge('CMM', 0.002)
    const receipt = await shop.bring(
      `${HEAD}${row('S1', '42.00')}${row('S2', '42.08')}${row('S3', '42.081')}${row('S4', '42.119')}${row('S5', '42.121')}${row('S6', '41.895', 'CMM')}${row('S7', '41.899', 'CMM')}${row('S8', '42.095', 'CMM')}${row('S9', '45', 'C-3', 'green')}`,
    )
    expect(receipt.outOfSpecification).toBe(4)
    const said = (list: typeof receipt.nonconforming) =>
      list?.map(({ serial, side, conformity }) => [serial, side, conformity?.decision])
    expect(said(receipt.nonconforming)).toEqual([
      ['S4', 'above', 'inside the uncertainty'],
      ['S5', 'above', 'not conforming'],
      ['S6', 'below', 'not conforming'],
      ['S7', 'below', 'inside the uncertainty'],
    ])
    // S2 is exactly as far from the limit as the uncertainty, and is proved to conform; S8 is near on a finer gauge.
    expect(said(receipt.nearLimits)).toEqual([['S3', 'above', 'inside the uncertainty']])
    expect(receipt.insideUncertainty).toBe(1)
    expect(receipt.nearLimits?.[0]?.conformity).toMatchObject({ expanded: 0.02 })
  })

  it('says nothing of uncertainty where nothing is known of any gauge', async () => {
    const receipt = await shop.bring(HEAD + row('S1', '42.2'))
    expect(receipt.nonconforming?.[0]).not.toHaveProperty('conformity')
    expect(receipt).not.toHaveProperty('insideUncertainty')
  })
})
