import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ImportProgress, Receipt } from '../../../server/contract/receipt.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

/**
 * The same measurements in every shape, language and way to write a tolerance, each combination with another delimiter
 * and decimal mark. What is expected is what was written down, before it was written in any of these ways.
 */

interface Words {
  readonly partNumber: string
  readonly revision: string
  readonly serial: string
  readonly build: string
  readonly characteristic: string
  readonly nominal: string
  readonly lower: string
  readonly upper: string
  readonly plus: string
  readonly minus: string
  readonly tolerance: string
  readonly value: string
  readonly deviation: string
  readonly unit: string
}

const LANGUAGES: Readonly<Record<string, Words>> = {
  English: {
    partNumber: 'Part number',
    revision: 'Revision',
    serial: 'Serial number',
    build: 'Build',
    characteristic: 'Characteristic',
    nominal: 'Nominal',
    lower: 'Lower limit',
    upper: 'Upper limit',
    plus: 'Plus tolerance',
    minus: 'Minus tolerance',
    tolerance: 'Tolerance',
    value: 'Actual',
    deviation: 'Deviation',
    unit: 'Unit',
  },
  German: {
    partNumber: 'Zeichnungsnummer',
    revision: 'Änderungsstand',
    serial: 'Seriennummer',
    build: 'Baujob',
    characteristic: 'Merkmal',
    nominal: 'Nennmaß',
    lower: 'Untere Grenze',
    upper: 'Obere Grenze',
    plus: 'Oberes Abmaß',
    minus: 'Unteres Abmaß',
    tolerance: 'Toleranz',
    value: 'Istwert',
    deviation: 'Abweichung',
    unit: 'Einheit',
  },
  French: {
    partNumber: 'Numéro de plan',
    revision: 'Indice',
    serial: 'Numéro de série',
    build: 'Fabrication',
    characteristic: 'Caractéristique',
    nominal: 'Cote nominale',
    lower: 'Limite inférieure',
    upper: 'Limite supérieure',
    plus: 'Écart supérieur',
    minus: 'Écart inférieur',
    tolerance: 'Tolérance',
    value: 'Valeur mesurée',
    deviation: 'Écart',
    unit: 'Unité',
  },
  Italian: {
    partNumber: 'Numero di disegno',
    revision: 'Revisione',
    serial: 'Numero di serie',
    build: 'Lavoro di stampa',
    characteristic: 'Caratteristica',
    nominal: 'Valore nominale',
    lower: 'Limite inferiore',
    upper: 'Limite superiore',
    plus: 'Scostamento superiore',
    minus: 'Scostamento inferiore',
    tolerance: 'Tolleranza',
    value: 'Valore misurato',
    deviation: 'Scostamento',
    unit: 'Unità di misura',
  },
  Spanish: {
    partNumber: 'Número de plano',
    revision: 'Revisión',
    serial: 'Número de serie',
    build: 'Fabricación',
    characteristic: 'Característica',
    nominal: 'Valor nominal',
    lower: 'Límite inferior',
    upper: 'Límite superior',
    plus: 'Desviación superior',
    minus: 'Desviación inferior',
    tolerance: 'Tolerancia',
    value: 'Valor medido',
    deviation: 'Desviación',
    unit: 'Unidad',
  },
}

/** A characteristic as the drawing has it, with the values of two parts. */
interface Drawn {
  readonly designator: string
  readonly nominal: number
  readonly plus: number
  readonly minus: number
  readonly values: readonly [number, number]
}

const SKEW: readonly Drawn[] = [
  { designator: '10', nominal: 42, plus: 0.1, minus: 0.05, values: [42.013, 41.987] },
  { designator: '20', nominal: 8, plus: 0.06, minus: 0.04, values: [8.004, 8.011] },
  { designator: '30', nominal: 125.5, plus: 0.2, minus: 0.3, values: [125.41, 125.52] },
]
const EVEN = SKEW.map((drawn) => ({ ...drawn, minus: drawn.plus }))

/** Columns that say what is required, by their words, and what stands in them. */
type Column = readonly [keyof Words, (drawn: Drawn, write: Write) => string]
type Write = (value: number, signed?: boolean) => string

const NOMINAL: Column = ['nominal', ({ nominal }, write) => write(nominal)]
const LIMITS: readonly Column[] = [
  NOMINAL,
  ['lower', ({ nominal, minus }, write) => write(nominal - minus)],
  ['upper', ({ nominal, plus }, write) => write(nominal + plus)],
]

interface Form {
  readonly drawn: readonly Drawn[]
  readonly columns: readonly Column[]
  readonly values: 'value' | 'deviation'
}

const FORMS: Readonly<Record<string, Form>> = {
  limits: { drawn: SKEW, columns: LIMITS, values: 'value' },
  'plus and minus, signed': {
    drawn: SKEW,
    columns: [
      NOMINAL,
      ['plus', ({ plus }, write) => write(plus, true)],
      ['minus', ({ minus }, write) => write(-minus, true)],
    ],
    values: 'value',
  },
  'plus and minus, the lower one without its sign': {
    drawn: SKEW,
    columns: [
      NOMINAL,
      ['plus', ({ plus }, write) => write(plus)],
      ['minus', ({ minus }, write) => write(minus)],
    ],
    values: 'value',
  },
  '± one value': {
    drawn: EVEN,
    columns: [NOMINAL, ['tolerance', ({ plus }, write) => `±${write(plus)}`]],
    values: 'value',
  },
  'one value for both sides': {
    drawn: EVEN,
    columns: [NOMINAL, ['tolerance', ({ plus }, write) => write(plus)]],
    values: 'value',
  },
  'both sides in one field': {
    drawn: SKEW,
    columns: [
      NOMINAL,
      ['tolerance', ({ plus, minus }, write) => `${write(plus, true)}/${write(-minus, true)}`],
    ],
    values: 'value',
  },
  'deviations beside limits': { drawn: SKEW, columns: LIMITS, values: 'deviation' },
  'deviations beside plus and minus': {
    drawn: SKEW,
    columns: [
      NOMINAL,
      ['plus', ({ plus }, write) => write(plus, true)],
      ['minus', ({ minus }, write) => write(-minus, true)],
    ],
    values: 'deviation',
  },
}

const DIALECTS = [
  { delimiter: ',', mark: '.' },
  { delimiter: ';', mark: ',' },
  { delimiter: '\t', mark: ',' },
  { delimiter: '|', mark: '.' },
  { delimiter: ';', mark: '.' },
  { delimiter: '\t', mark: '.' },
  // A decimal comma in a file that commas part: its numbers stand in quotation marks.
  { delimiter: ',', mark: ',' },
] as const

type Dialect = (typeof DIALECTS)[number]

interface Sheet {
  readonly words: Words
  readonly form: Form
  readonly write: Write
  readonly number: string
  readonly build: string
  readonly serials: readonly [string, string]
}

/** Rows of cells, as each shape lays them out. */
const SHAPES: Readonly<Record<string, (sheet: Sheet) => string[][]>> = {
  'one measurement a row': ({ words, form, write, number, build, serials }) => [
    [
      words.partNumber,
      words.revision,
      words.build,
      words.serial,
      words.characteristic,
      ...form.columns.map(([word]) => words[word]),
      words.unit,
      words[form.values],
    ],
    ...serials.flatMap((serial, part) =>
      form.drawn.map((drawn) => [
        number,
        'C',
        build,
        serial,
        drawn.designator,
        ...form.columns.map(([, text]) => text(drawn, write)),
        'mm',
        write(measured(form, drawn, part)),
      ]),
    ),
  ],
  'one part a row': ({ words, form, write, number, build, serials }) => [
    [`${words.partNumber}:`, number],
    [`${words.revision}:`, 'C'],
    [],
    ...form.columns.map(([word, text]) => [
      words[word],
      '',
      ...form.drawn.map((drawn) => text(drawn, write)),
    ]),
    [words.unit, '', ...form.drawn.map(() => 'mm')],
    [words.serial, words.build, ...form.drawn.map(({ designator }) => designator)],
    ...serials.map((serial, part) => [
      serial,
      build,
      ...form.drawn.map((drawn) => write(measured(form, drawn, part))),
    ]),
  ],
  'one characteristic a row': ({ words, form, write, number, build, serials }) => [
    [words.partNumber, number],
    [words.revision, 'C'],
    [words.build, build],
    [words.characteristic, ...form.columns.map(([word]) => words[word]), words.unit, ...serials],
    ...form.drawn.map((drawn) => [
      drawn.designator,
      ...form.columns.map(([, text]) => text(drawn, write)),
      'mm',
      ...serials.map((_, part) => write(measured(form, drawn, part))),
    ]),
  ],
  'blocks of one part each': ({ words, form, write, number, build, serials }) =>
    serials.flatMap((serial, part) => [
      [`${words.partNumber}: ${number}`, `${words.revision}: C`],
      [`${words.serial}: ${serial}`],
      [`${words.build}: ${build}`],
      [words.characteristic, ...form.columns.map(([word]) => words[word]), words.unit, words[form.values]],
      ...form.drawn.map((drawn) => [
        drawn.designator,
        ...form.columns.map(([, text]) => text(drawn, write)),
        'mm',
        write(measured(form, drawn, part)),
      ]),
      [],
    ]),
}

function measured({ values }: Form, { nominal, values: of }: Drawn, part: number): number {
  const value = of[part] as number
  return values === 'value' ? value : value - nominal
}

function textOf(rows: readonly (readonly string[])[], { delimiter }: Dialect): string {
  const quoted = (cell: string) => (cell.includes(delimiter) ? `"${cell}"` : cell)
  return rows.map((row) => `${row.map(quoted).join(delimiter)}\r\n`).join('')
}

let server: RunningServer
beforeAll(async () => {
  server = await startServer()
})
afterAll(() => server.stop())

const asJson = { 'Content-Type': 'application/json' }

/** Hand a file in; where it asks whether its values are deviations, answer. */
async function bring(name: string, content: string, form: Form): Promise<Receipt> {
  const follow = async (answer: Response): Promise<ImportProgress> => {
    const { job } = (await answer.json()) as ImportProgress
    await (await fetch(`${server.url}/api/imports/jobs/${job}/progress`)).text()
    return await server.get<ImportProgress>(`/api/imports/jobs/${job}`)
  }
  const query = new URLSearchParams({ name, who: 'tests' })
  const first = await follow(
    await fetch(`${server.url}/api/imports?${query}`, { method: 'POST', body: content }),
  )
  const receipt = first.receipt as Receipt
  const asked = receipt.reading?.questions.filter(({ waits }) => waits) ?? []
  if (form.values === 'value' || asked.length === 0) return receipt
  expect(asked.map(({ about, suggested }) => [about, suggested])).toEqual([['values', 'deviation']])
  const choices = {
    who: 'tests',
    takeGoodRows: false,
    convertUnits: false,
    partNumber: null,
    revision: null,
    layout: { values: 'deviation' },
  }
  const second = await follow(
    await fetch(`${server.url}/api/imports/jobs/${first.job}/retry`, {
      method: 'POST',
      headers: asJson,
      body: JSON.stringify(choices),
    }),
  )
  return second.receipt as Receipt
}

describe('every way to write measurements down', () => {
  let count = 0
  const forms = Object.entries(FORMS)
  Object.entries(SHAPES).forEach(([shape, layOut], s) => {
    Object.entries(LANGUAGES).forEach(([language, words], l) => {
      it(`${shape}, in ${language}`, async () => {
        for (const [f, [title, form]] of forms.entries()) {
          // Half of them each, so that every form meets every shape and every language.
          if ((s + l + f) % 2 === 1) continue
          const dialect = DIALECTS[(s * 3 + l * 2 + f) % DIALECTS.length] as Dialect
          const id = ++count
          const write: Write = (value, signed = false) => {
            const plain = String(Number(value.toFixed(4))).replace('.', dialect.mark)
            return signed && value > 0 ? `+${plain}` : plain
          }
          const serials = [`S${id}-1`, `S${id}-2`] as const
          const [number, build] = [`PN-${id}`, `J${id}`]
          const content = textOf(layOut({ words, form, write, number, build, serials }), dialect)
          const where = `${title}, ${JSON.stringify(dialect)}\n${content}`
          const receipt = await bring(`${id}.csv`, content, form)
          expect(receipt.problem, where).toBeNull()
          expect(receipt.refused, where).toEqual([])
          expect(receipt.verdict, `${where}${JSON.stringify(receipt.reading?.questions)}`).toBe('taken')
          const partNumber = await server.store.partNumber(number, 'C')
          expect(partNumber, where).not.toBeNull()
          const drawn = await server.store.characteristics(partNumber?.id as number)
          expect(
            drawn.map(({ designator, nominal, lower, upper, unit }) => [
              designator,
              nominal,
              lower,
              upper,
              unit,
            ]),
            where,
          ).toEqual(
            form.drawn.map(({ designator, nominal, plus, minus }) => [
              designator,
              nominal,
              Number((nominal - minus).toFixed(4)),
              Number((nominal + plus).toFixed(4)),
              'mm',
            ]),
          )
          const [own] = await server.store.builds(partNumber?.id as number, 'sintered')
          expect(own?.name, where).toBe(build)
          for (const [i, { values }] of form.drawn.entries()) {
            const stored = await server.store.values(drawn[i]?.id as number, own?.id as number, 'sintered')
            expect(
              stored.map(({ serial, value }) => [serial, value]),
              where,
            ).toEqual([
              [serials[0], values[0]],
              [serials[1], values[1]],
            ])
          }
        }
      })
    })
  })
})
