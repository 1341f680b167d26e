import { gzipSync } from 'node:zlib'
import fc from 'fast-check'
import type { Shape } from '../../server/contract/receipt.ts'

/** A made-up file of measurements, with what it says while nothing has damaged it. */
export interface AwkwardFile {
  readonly bytes: Buffer
  /** Serial, characteristic, value; null where the file was damaged after it was written. */
  readonly says: readonly (readonly [string, string, number])[] | null
  /** How it was made, for the report of a failure. */
  readonly made: string
}

const LANGUAGES = [
  {
    part: 'Part number',
    revision: 'Revision',
    serial: 'Serial',
    build: 'Build',
    characteristic: 'Characteristic',
    value: 'Actual',
    date: 'Date',
    nominal: 'Nominal',
    upper: 'Upper limit',
    lower: 'Lower limit',
    unit: 'Unit',
  },
  {
    part: 'Teilenummer',
    revision: 'Änderungsstand',
    serial: 'Seriennummer',
    build: 'Baujob',
    characteristic: 'Merkmal',
    value: 'Istwert',
    date: 'Messdatum',
    nominal: 'Sollwert',
    upper: 'Obere Grenze',
    lower: 'Untere Grenze',
    unit: 'Einheit',
  },
  {
    part: 'Numéro de plan',
    revision: 'Indice',
    serial: 'Numéro de série',
    build: 'Fabrication',
    characteristic: 'Repère',
    value: 'Valeur mesurée',
    date: 'Date de mesure',
    nominal: 'Cote nominale',
    upper: 'Limite supérieure',
    lower: 'Limite inférieure',
    unit: 'Unité',
  },
  {
    part: 'Numero disegno',
    revision: 'Revisione',
    serial: 'Matricola',
    build: 'Stampa',
    characteristic: 'Quota',
    value: 'Valore misurato',
    date: 'Data misura',
    nominal: 'Valore nominale',
    upper: 'Limite superiore',
    lower: 'Limite inferiore',
    unit: 'Unità di misura',
  },
  {
    part: 'Número de plano',
    revision: 'Revisión',
    serial: 'Número de serie',
    build: 'Fabricación',
    characteristic: 'Cota',
    value: 'Valor medido',
    date: 'Fecha de medición',
    nominal: 'Valor nominal',
    upper: 'Límite superior',
    lower: 'Límite inferior',
    unit: 'Unidad',
  },
] as const

const SHAPES: readonly Shape[] = ['measurement-a-row', 'part-a-row', 'characteristic-a-row', 'blocks']

const recipe = fc.record({
  number: fc.integer({ min: 1, max: 1e9 }),
  shape: fc.constantFrom(...SHAPES),
  language: fc.constantFrom(...LANGUAGES),
  delimiter: fc.constantFrom(',', ';', '\t', '|'),
  decimal: fc.constantFrom('.', ','),
  newline: fc.constantFrom('\n', '\r\n', '\r', 'mixed'),
  encoding: fc.constantFrom('utf8', 'utf8-bom', 'utf16le', 'utf16le-bom', 'utf16be-bom', 'windows-1252'),
  packed: fc.boolean(),
  quoted: fc.boolean(),
  trailing: fc.boolean(),
  limits: fc.boolean(),
  unitBehind: fc.boolean(),
  comment: fc.boolean(),
  /** A remark with a line end inside it, where rows have room for one. */
  remark: fc.boolean(),
  date: fc.constantFrom('none', 'year first', 'dotted', 'month named'),
  /** Thousands, with a mark between them where that says which mark it is. */
  large: fc.boolean(),
  parts: fc.integer({ min: 2, max: 8 }),
  characteristics: fc.integer({ min: 2, max: 5 }),
  offs: fc.array(fc.integer({ min: -40, max: 40 }), { minLength: 40, maxLength: 40 }),
})
type Recipe = typeof recipe extends fc.Arbitrary<infer T> ? T : never

const damage = fc.oneof(
  { weight: 2, arbitrary: fc.constant({ how: 'none' as const }) },
  fc.record({ how: fc.constant('cut' as const), at: fc.double({ min: 0, max: 1, noNaN: true }) }),
  fc.record({ how: fc.constant('shuffled' as const), seed: fc.integer({ min: 1, max: 2 ** 30 }) }),
  fc.record({
    how: fc.constant('flipped' as const),
    places: fc.array(fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.integer({ min: 1, max: 255 })), {
      minLength: 1,
      maxLength: 6,
    }),
  }),
  fc.record({
    how: fc.constant('doubled' as const),
    from: fc.double({ min: 0, max: 1, noNaN: true }),
    length: fc.integer({ min: 1, max: 200 }),
  }),
)
type Damage = typeof damage extends fc.Arbitrary<infer T> ? T : never

/** Files of any mixture of shapes, words, marks, bytes and line ends, whole or damaged. */
export const awkwardFile: fc.Arbitrary<AwkwardFile> = fc.tuple(recipe, damage).map(([how, damaged]) => {
  const { text, says } = write(how)
  const plain = encode(
    damaged.how === 'shuffled'
      ? shuffled(text, how.newline === 'mixed' ? '\n' : how.newline, damaged.seed)
      : text,
    how.encoding,
  )
  const whole = how.packed ? gzipSync(plain) : plain
  return {
    bytes: damagedBytes(whole, damaged),
    says: damaged.how === 'none' ? says : null,
    made: JSON.stringify({ ...how, language: how.language.serial, offs: undefined, damaged }),
  }
})

function write(how: Recipe): { text: string; says: [string, string, number][] } {
  const { language: words, delimiter, decimal, shape } = how
  // Three decimals behind a comma, between commas, may be thousands: nobody can tell.
  const mark = delimiter === ',' ? '.' : decimal
  const number = (value: number) => {
    const [whole, decimals] = value.toFixed(3).split('.') as [string, string]
    // A mark that is also the delimiter needs quotation marks, and space is nobody's decimal mark.
    const grouped = whole.length > 3 ? `${whole.slice(0, -3)} ${whole.slice(-3)}` : whole
    return `${grouped}${mark}${decimals}`
  }
  const day = (p: number) => {
    const two = (n: number) => String(n).padStart(2, '0')
    switch (how.date) {
      case 'none':
        return []
      case 'year first':
        return [`2026-03-${two(1 + p)} 08:${two(p)}`]
      case 'dotted':
        return [`${two(1 + p)}.03.2026 08:${two(p)}`]
      case 'month named':
        return [`${1 + p} Mar 2026`]
    }
  }
  const dateWord = how.date === 'none' ? [] : [words.date]
  const remark = (text: string) => (how.remark ? [text] : [])
  const cell = (text: string) => {
    const needs = text.includes(delimiter) || text.includes('"') || text.includes('\n')
    return how.quoted || needs ? `"${text.replaceAll('"', '""')}"` : text
  }
  const line = (...cells: readonly string[]) =>
    cells.map(cell).join(delimiter) + (how.trailing ? delimiter : '')
  const part = `P-${how.number}`
  const serials = Array.from({ length: how.parts }, (_, i) => `S${how.number}-${i + 1}`)
  const names = Array.from({ length: how.characteristics }, (_, i) => `Dim ${String.fromCharCode(65 + i)}`)
  const nominal = (c: number) => (how.large ? 1200 : 12) + 7 * c
  const value = (p: number, c: number) =>
    nominal(c) + (how.offs[(p * 5 + c) % how.offs.length] as number) / 1000
  const shown = (p: number, c: number) => number(value(p, c)) + (how.unitBehind ? ' mm' : '')
  const says = serials.flatMap((serial, p) =>
    names.map((name, c): [string, string, number] => [serial, name, Number(value(p, c).toFixed(3))]),
  )
  const limits = (c: number) => [number(nominal(c)), number(nominal(c) - 0.1), number(nominal(c) + 0.1)]
  const limitWords = [words.nominal, words.lower, words.upper]
  const top = [line(words.part, part), line(words.revision, 'A'), line(words.build, `B${how.number}`)]
  const lines: string[] = how.comment ? ['# of the measuring room'] : []
  switch (shape) {
    case 'measurement-a-row':
      lines.push(
        line(
          words.part,
          words.revision,
          words.build,
          words.serial,
          words.characteristic,
          ...(how.limits ? limitWords : []),
          ...dateWord,
          ...remark('Xyz'),
          words.value,
        ),
      )
      serials.forEach((serial, p) => {
        names.forEach((name, c) => {
          lines.push(
            line(
              part,
              'A',
              `B${how.number}`,
              serial,
              name,
              ...(how.limits ? limits(c) : []),
              ...day(p),
              ...remark(c === 1 ? 'taken\n"twice"' : ''),
              shown(p, c),
            ),
          )
        })
      })
      break
    case 'part-a-row':
      lines.push(...top)
      if (how.limits) {
        limitWords.forEach((word, k) => {
          lines.push(line(word, ...names.map((_, c) => limits(c)[k] as string)))
        })
      }
      lines.push(line(words.serial, ...names))
      serials.forEach((serial, p) => {
        lines.push(line(serial, ...names.map((_, c) => shown(p, c))))
      })
      break
    case 'characteristic-a-row':
      lines.push(...top, line(words.characteristic, ...(how.limits ? limitWords : []), ...serials))
      names.forEach((name, c) => {
        lines.push(line(name, ...(how.limits ? limits(c) : []), ...serials.map((_, p) => shown(p, c))))
      })
      break
    case 'blocks':
      lines.push(...top)
      serials.forEach((serial, p) => {
        lines.push(
          '',
          line(words.serial, serial),
          line(words.characteristic, ...(how.limits ? limitWords : []), words.value),
        )
        names.forEach((name, c) => {
          lines.push(line(name, ...(how.limits ? limits(c) : []), shown(p, c)))
        })
      })
  }
  const ends = how.newline === 'mixed' ? ['\n', '\r\n', '\r'] : [how.newline]
  return { text: lines.map((text, i) => text + ends[i % ends.length]).join(''), says }
}

function encode(text: string, encoding: Recipe['encoding']): Buffer {
  switch (encoding) {
    case 'utf8':
      return Buffer.from(text)
    case 'utf8-bom':
      return Buffer.from(`\ufeff${text}`)
    case 'utf16le':
      return Buffer.from(text, 'utf16le')
    case 'utf16le-bom':
      return Buffer.from(`\ufeff${text}`, 'utf16le')
    case 'utf16be-bom':
      return Buffer.from(`\ufeff${text}`, 'utf16le').swap16()
    case 'windows-1252':
      return Buffer.from(text, 'latin1')
  }
}

function shuffled(text: string, newline: string, seed: number): string {
  const lines = text.split(newline)
  let state = seed
  for (let i = lines.length - 1; i > 0; i--) {
    state = (state * 48_271) % 2_147_483_647
    const j = state % (i + 1)
    ;[lines[i], lines[j]] = [lines[j] as string, lines[i] as string]
  }
  return lines.join(newline)
}

function damagedBytes(bytes: Buffer, damaged: Damage): Buffer {
  switch (damaged.how) {
    case 'none':
    case 'shuffled':
      return bytes
    case 'cut':
      return bytes.subarray(0, Math.floor(bytes.length * damaged.at))
    case 'flipped': {
      const copy = Buffer.from(bytes)
      for (const [at, by] of damaged.places) {
        const place = Math.min(copy.length - 1, Math.floor(copy.length * at))
        copy[place] = (copy[place] as number) ^ by
      }
      return copy
    }
    case 'doubled': {
      const from = Math.floor(bytes.length * damaged.from)
      return Buffer.concat([bytes.subarray(0, from + damaged.length), bytes.subarray(from)])
    }
  }
}
