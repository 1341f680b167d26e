import { now } from '../clock.ts'
import type { ImportChoices } from '../contract/receipt.ts'
import type { GaugeEntryContent, RegisteredGauge } from '../store/gauge-register.ts'
import type { Writer } from '../store/writer.ts'
import { CollectingChecker } from './collecting-checker.ts'
import type { Draft } from './draft.ts'
import type { Fault } from './faults.ts'
import type { Meaning } from './meaning.ts'
import type { Notes } from './notes.ts'
import {
  field,
  indicesOf,
  type LateFault,
  nameTooLong,
  own,
  type Readers,
  tooLongForName,
} from './row-checker.ts'
import { readUnit } from './units.ts'

/** What the register said before, and what the file makes of it. */
interface Said {
  content: GaugeEntryContent
  readonly version: number
  readonly before: string | null
}

/**
 * Checks the rows of a register of gauges. A field that is empty leaves what was said before; further rows of a gauge add
 * characteristics. Each gauge of which the file says something new gets one more version.
 */
export class GaugeRegisterChecker extends CollectingChecker {
  readonly #writer: Writer
  readonly #draft: Draft
  readonly #notes: Notes
  readonly #readers: Readers
  readonly #choices: ImportChoices
  readonly #at: Readonly<Record<Meaning, number>>
  #known: ReadonlyMap<string, RegisteredGauge> | null = null
  readonly #said = new Map<string, Said>()

  constructor(writer: Writer, draft: Draft, notes: Notes, readers: Readers, choices: ImportChoices) {
    super()
    this.#writer = writer
    this.#draft = draft
    this.#notes = notes
    this.#readers = readers
    this.#choices = choices
    this.#at = indicesOf(readers.columns)
  }

  async prepare(): Promise<void> {
    this.#known ??= new Map((await this.#writer.gaugesOnRecord()).map((gauge) => [gauge.name, gauge]))
  }

  check(row: readonly string[]): Fault | null {
    const at = this.#at
    const name = field(row, at.gauge)
    if (name === '') return { meaning: 'gauge', value: '', reason: 'The row names no gauge.' }
    for (const meaning of ['gauge', 'gaugeKind', 'certificate'] as const) {
      if (tooLongForName(field(row, at[meaning]))) return nameTooLong(meaning, field(row, at[meaning]))
    }
    const said = this.#saidOf(name)
    const content = this.#contentOf(row, said.content)
    if ('reason' in content) return content
    const measured = this.#characteristicsOf(row)
    if ('reason' in measured) return measured
    said.content = {
      ...content,
      characteristicIds: [...new Set([...content.characteristicIds, ...measured])].sort((a, b) => a - b),
    }
    this.#said.set(own(name), said)
    return null
  }

  async finish(): Promise<readonly LateFault[]> {
    const at = now()
    for (const [name, { content, version, before }] of this.#said) {
      if (JSON.stringify(content) === before) continue
      const reason = 'From the register of gauges that was brought as a file.'
      await this.#writer.addGaugeEntry(name, {
        ...content,
        version: version + 1,
        reason,
        who: this.#choices.who,
        at,
      })
      this.#notes.gather(
        before === null ? 'Entered in the register of gauges: ….' : 'Said anew in the register of gauges: ….',
        name,
      )
    }
    return []
  }

  #saidOf(name: string): Said {
    const now = this.#said.get(name)
    if (now !== undefined) return now
    const entry = this.#known?.get(name)?.entries.at(-1)
    const content: GaugeEntryContent = {
      kind: entry?.kind ?? 'gauge',
      unit: entry?.unit ?? 'mm',
      resolution: entry?.resolution ?? null,
      certificate: entry?.certificate ?? null,
      due: entry?.due ?? null,
      characteristicIds: entry?.characteristicIds ?? [],
      inUse: entry?.inUse ?? true,
    }
    return {
      content,
      version: entry?.version ?? 0,
      before: entry === undefined ? null : JSON.stringify(content),
    }
  }

  #contentOf(row: readonly string[], before: GaugeEntryContent): GaugeEntryContent | Fault {
    const at = this.#at
    const unitText = field(row, at.unit)
    const unit = unitText === '' ? before.unit : readUnit(unitText)
    if (unit === null) return { meaning: 'unit', value: unitText, reason: 'A unit is mm, in, µm or °.' }
    const sizes: Partial<Record<Meaning, number>> = {}
    for (const meaning of ['resolution', 'uncertainty', 'coverageFactor'] as const) {
      const text = field(row, at[meaning])
      if (text === '') continue
      const value = this.#readers.numbers.read(text)
      if (Number.isNaN(value)) return { meaning, value: text, reason: this.#readers.numbers.reason }
      if (value <= 0) return { meaning, value: text, reason: 'It has to be above 0.' }
      sizes[meaning] = value
    }
    const days: Partial<Record<Meaning, string>> = {}
    for (const meaning of ['calibratedOn', 'due'] as const) {
      const text = field(row, at[meaning])
      if (text === '') continue
      const time = this.#readers.times.read(text)
      if (Number.isNaN(time)) return { meaning, value: text, reason: this.#readers.times.reason }
      days[meaning] = new Date(time * 1000).toISOString().slice(0, 10)
    }
    const coverageFactor = sizes.coverageFactor ?? before.certificate?.coverageFactor ?? 2
    if (coverageFactor < 1) {
      return {
        meaning: 'coverageFactor',
        value: field(row, at.coverageFactor),
        reason: 'A coverage factor is at least 1; it is usually 2.',
      }
    }
    const expanded = sizes.uncertainty ?? before.certificate?.expanded
    const date = days.calibratedOn ?? before.certificate?.date
    if (expanded !== undefined && date === undefined) {
      return {
        meaning: 'uncertainty',
        value: field(row, at.uncertainty),
        reason: 'An uncertainty needs the day of its calibration.',
      }
    }
    return {
      ...before,
      kind: own(field(row, at.gaugeKind)) || before.kind,
      unit,
      resolution: sizes.resolution ?? before.resolution,
      certificate:
        expanded === undefined || date === undefined
          ? before.certificate
          : {
              number: own(field(row, at.certificate)) || (before.certificate?.number ?? ''),
              expanded,
              coverageFactor,
              date,
            },
      due: days.due ?? before.due,
    }
  }

  /** Identities of the characteristics that the row lists, parted by spaces, of the drawing that it names. */
  #characteristicsOf(row: readonly string[]): readonly number[] | Fault {
    const at = this.#at
    const text = field(row, at.characteristic)
    if (text === '') return []
    const number = field(row, at.partNumber) || (this.#choices.partNumber ?? '')
    const revision = field(row, at.revision) || (this.#choices.revision ?? '')
    const drawings = this.#draft
      .entriesOf(number === '' ? null : number)
      .filter((entry) => revision === '' || entry.row.revision === revision)
    const [drawing] = drawings
    if (drawing === undefined || drawings.length > 1) {
      return {
        meaning: 'characteristic',
        value: text,
        reason:
          drawing === undefined
            ? 'No such part number is on record. Bring its drawing first.'
            : 'Say by part number and revision on which drawing these characteristics are.',
      }
    }
    const ids: number[] = []
    for (const designator of text.split(/[\s;/]+/)) {
      const entry = drawing.byDesignator.get(designator)
      if (entry === undefined) {
        return {
          meaning: 'characteristic',
          value: designator,
          reason: `${drawing.row.number} ${drawing.row.revision} has no characteristic of this designator.`,
        }
      }
      ids.push(entry.row.id)
    }
    return ids
  }
}
