import { inflateSync } from 'node:zlib'

/** The characters that a font has, and by which name it is found in a collection. */
export interface FontFace {
  has(codePoint: number): boolean
  /** PostScript name, where the file is a collection of fonts; null where it holds one. */
  readonly inCollection: string | null
  /** As the font calls itself; empty where it does not. */
  readonly name: string
}

/**
 * The fonts in a file in the OpenType, TrueType or WOFF format, or a collection of them. Those that cannot be embedded
 * as outlines, such as bitmap fonts, and those that cannot be read are left out.
 *
 * Source: ISO/IEC 14496-22 (Open Font Format), tables cmap and name; W3C, WOFF File Format 1.0.
 */
export function fontFaces(bytes: Buffer): FontFace[] {
  try {
    const kind = bytes.toString('latin1', 0, 4)
    if (kind === 'ttcf') {
      const count = bytes.readUInt32BE(8)
      return Array.from({ length: count }, (_, i) =>
        face(sfntTables(bytes, bytes.readUInt32BE(12 + 4 * i)), true),
      ).filter((each) => each !== null)
    }
    const tables = kind === 'wOFF' ? woffTables(bytes) : sfntTables(bytes, 0)
    const single = face(tables, false)
    return single === null ? [] : [single]
  } catch {
    return []
  }
}

type Tables = ReadonlyMap<string, () => Buffer>

function sfntTables(bytes: Buffer, at: number): Tables {
  const tables = new Map<string, () => Buffer>()
  const count = bytes.readUInt16BE(at + 4)
  for (let i = 0; i < count; i++) {
    const record = at + 12 + 16 * i
    const from = bytes.readUInt32BE(record + 8)
    const length = bytes.readUInt32BE(record + 12)
    tables.set(bytes.toString('latin1', record, record + 4), () => bytes.subarray(from, from + length))
  }
  return tables
}

function woffTables(bytes: Buffer): Tables {
  const tables = new Map<string, () => Buffer>()
  const count = bytes.readUInt16BE(12)
  for (let i = 0; i < count; i++) {
    const record = 44 + 20 * i
    const from = bytes.readUInt32BE(record + 4)
    const packed = bytes.readUInt32BE(record + 8)
    const length = bytes.readUInt32BE(record + 12)
    const piece = bytes.subarray(from, from + packed)
    tables.set(bytes.toString('latin1', record, record + 4), () =>
      packed === length ? piece : inflateSync(piece),
    )
  }
  return tables
}

/**
 * The font of a WOFF file in the format of OpenType, for readers that take a table to lie among others.
 *
 * Source: W3C, WOFF File Format 1.0, sections 3 to 5.
 *
 * @param without tags of tables to leave out
 */
export function sfntOfWoff(woff: Buffer, without: readonly string[]): Buffer {
  const tables = [...woffTables(woff)]
    .map(([tag, read], i) => ({ tag, read, checksum: woff.readUInt32BE(44 + 20 * i + 16) }))
    .filter(({ tag }) => !without.includes(tag))
    .map(({ read, ...table }) => ({ ...table, bytes: read() }))
  const power = 2 ** Math.floor(Math.log2(tables.length))
  const head = Buffer.alloc(12 + 16 * tables.length)
  head.writeUInt32BE(woff.readUInt32BE(4), 0)
  head.writeUInt16BE(tables.length, 4)
  head.writeUInt16BE(power * 16, 6)
  head.writeUInt16BE(Math.log2(power), 8)
  head.writeUInt16BE((tables.length - power) * 16, 10)
  const pieces: Buffer[] = [head]
  let at = head.length
  for (const [i, { tag, bytes, checksum }] of tables.entries()) {
    const record = 12 + 16 * i
    head.write(tag, record, 'latin1')
    head.writeUInt32BE(checksum, record + 4)
    head.writeUInt32BE(at, record + 8)
    head.writeUInt32BE(bytes.length, record + 12)
    const padding = Buffer.alloc(-bytes.length & 3)
    pieces.push(bytes, padding)
    at += bytes.length + padding.length
  }
  return Buffer.concat(pieces)
}

function face(tables: Tables, inCollection: boolean): FontFace | null {
  const cmap = tables.get('cmap')?.()
  const outlined = tables.has('glyf') || tables.has('CFF ')
  if (cmap === undefined || !outlined) return null
  const ranges = characterRanges(cmap)
  const name = postScriptName(tables.get('name')?.())
  if (inCollection && name === '') return null
  return {
    has(codePoint) {
      let [low, high] = [0, ranges.length]
      while (low < high) {
        const middle = (low + high) >> 1
        if ((ranges[middle] as Range).to < codePoint) low = middle + 1
        else high = middle
      }
      const range = ranges[low]
      return range !== undefined && range.from <= codePoint
    },
    inCollection: inCollection ? name : null,
    name,
  }
}

interface Range {
  readonly from: number
  readonly to: number
}

/** Ranges of characters in the font's tables of Unicode, ascending. */
function characterRanges(cmap: Buffer): Range[] {
  const count = cmap.readUInt16BE(2)
  const ranges: Range[] = []
  for (let i = 0; i < count; i++) {
    const platform = cmap.readUInt16BE(4 + 8 * i)
    const encoding = cmap.readUInt16BE(6 + 8 * i)
    const table = cmap.subarray(cmap.readUInt32BE(8 + 8 * i))
    const unicode = platform === 0 || (platform === 3 && (encoding === 1 || encoding === 10))
    if (!unicode) continue
    const format = table.readUInt16BE(0)
    if (format === 4) ranges.push(...segments(table))
    else if (format === 12) {
      const groups = table.readUInt32BE(12)
      for (let g = 0; g < groups; g++) {
        ranges.push({ from: table.readUInt32BE(16 + 12 * g), to: table.readUInt32BE(20 + 12 * g) })
      }
    }
  }
  ranges.sort((a, b) => a.from - b.from)
  const merged: { from: number; to: number }[] = []
  for (const range of ranges) {
    const last = merged.at(-1)
    if (last !== undefined && range.from <= last.to + 1) last.to = Math.max(last.to, range.to)
    else merged.push({ ...range })
  }
  return merged
}

/** Format 4: segments, of which single characters may have no glyph. */
function segments(table: Buffer): Range[] {
  const doubled = table.readUInt16BE(6)
  const [ends, starts, deltas, offsets] = [14, 16 + doubled, 16 + 2 * doubled, 16 + 3 * doubled]
  const ranges: Range[] = []
  for (let i = 0; i < doubled; i += 2) {
    const [from, to] = [table.readUInt16BE(starts + i), table.readUInt16BE(ends + i)]
    const delta = table.readUInt16BE(deltas + i)
    const offset = table.readUInt16BE(offsets + i)
    for (let code = from; code <= to && code < 0xffff; code++) {
      const glyph =
        offset === 0 ? (code + delta) & 0xffff : table.readUInt16BE(offsets + i + offset + 2 * (code - from))
      if (glyph === 0) continue
      const last = ranges.at(-1)
      if (last !== undefined && last.to === code - 1)
        ranges[ranges.length - 1] = { from: last.from, to: code }
      else ranges.push({ from: code, to: code })
    }
  }
  return ranges
}

const POSTSCRIPT_NAME = 6

function postScriptName(table: Buffer | undefined): string {
  if (table === undefined) return ''
  const count = table.readUInt16BE(2)
  const strings = table.readUInt16BE(4)
  for (let i = 0; i < count; i++) {
    const record = 6 + 12 * i
    if (table.readUInt16BE(record + 6) !== POSTSCRIPT_NAME) continue
    const platform = table.readUInt16BE(record)
    const length = table.readUInt16BE(record + 8)
    const from = strings + table.readUInt16BE(record + 10)
    const bytes = Buffer.from(table.subarray(from, from + length))
    return platform === 1 ? bytes.toString('latin1') : bytes.swap16().toString('utf16le')
  }
  return ''
}
