import type { BuildTable, FurnaceLoadTable } from '../store/schema.ts'
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
  type RowChecker,
  tooLongForName,
} from './row-checker.ts'

/** Fields of a build or a furnace load besides its identity, name and free conditions. */
type Recorded = Readonly<Record<string, string | number | null>>

/** How a column of a file fills a column of a table. */
interface Filling {
  readonly meaning: Meaning
  readonly column: string
  readonly as: 'text' | 'time' | 'count' | 'factor'
}

const BUILD_FILLINGS: readonly Filling[] = [
  { meaning: 'printedAt', column: 'printed_at', as: 'time' },
  { meaning: 'printer', column: 'printer', as: 'text' },
  { meaning: 'buildBox', column: 'build_box', as: 'text' },
  { meaning: 'powderLot', column: 'powder_lot', as: 'text' },
  { meaning: 'powderReuse', column: 'powder_reuse', as: 'count' },
  { meaning: 'scaleX', column: 'scale_x', as: 'factor' },
  { meaning: 'scaleY', column: 'scale_y', as: 'factor' },
  { meaning: 'scaleZ', column: 'scale_z', as: 'factor' },
]

const LOAD_FILLINGS: readonly Filling[] = [
  { meaning: 'sinteredAt', column: 'sintered_at', as: 'time' },
  { meaning: 'furnace', column: 'furnace', as: 'text' },
  { meaning: 'profile', column: 'profile', as: 'text' },
  { meaning: 'atmosphere', column: 'atmosphere', as: 'text' },
]

/** Characters that a free condition may have. */
const LONGEST_CONDITION = 1000

/** What differs between files of builds and files of furnace loads. */
interface Subject {
  readonly meaning: 'build' | 'furnaceLoad'
  readonly word: string
  readonly fillings: readonly Filling[]
  known(name: string): BuildTable | FurnaceLoadTable | undefined
  save(
    name: string,
    known: BuildTable | FurnaceLoadTable | undefined,
    fields: Recorded,
    conditions: string,
  ): void
}

export function buildChecker(writer: Writer, draft: Draft, notes: Notes, readers: Readers): RowChecker {
  return new ConditionChecker(writer, draft, notes, readers, {
    meaning: 'build',
    word: 'build',
    fillings: BUILD_FILLINGS,
    known: (name) => draft.builds.get(name),
    save(name, known, fields, conditions) {
      const row = { name, conditions, ...fields } as Omit<BuildTable, 'id'>
      if (known === undefined) draft.addBuild(row)
      else draft.saveBuild({ id: known.id, ...row })
    },
  })
}

export function furnaceLoadChecker(writer: Writer, draft: Draft, notes: Notes, readers: Readers): RowChecker {
  return new ConditionChecker(writer, draft, notes, readers, {
    meaning: 'furnaceLoad',
    word: 'furnace load',
    fillings: LOAD_FILLINGS,
    known: (name) => draft.furnaceLoads.get(name),
    save(name, known, fields, conditions) {
      const row = { name, conditions, ...fields } as Omit<FurnaceLoadTable, 'id'>
      if (known === undefined) draft.addFurnaceLoad(row)
      else draft.saveFurnaceLoad({ id: known.id, ...row })
    },
  })
}

/**
 * Checks rows that say how builds were printed or furnace loads sintered. An empty field says nothing; a
 * field that differs from the record corrects it, and the receipt keeps the old value beside the new one.
 */
class ConditionChecker extends CollectingChecker {
  readonly #writer: Writer
  readonly #draft: Draft
  readonly #notes: Notes
  readonly #readers: Readers
  readonly #subject: Subject
  readonly #at: Readonly<Record<Meaning, number>>
  readonly #conditionColumns: readonly { readonly heading: string; readonly index: number }[]
  readonly #saidOn = new Map<string, number>()

  constructor(writer: Writer, draft: Draft, notes: Notes, readers: Readers, subject: Subject) {
    super()
    this.#writer = writer
    this.#draft = draft
    this.#notes = notes
    this.#readers = readers
    this.#subject = subject
    this.#at = indicesOf(readers.columns)
    this.#conditionColumns = conditionColumns(readers)
  }

  async prepare(): Promise<void> {}

  check(row: readonly string[], line: number): Fault | null {
    const { meaning, word, fillings } = this.#subject
    const name = field(row, this.#at[meaning])
    if (name === '') return { meaning, value: '', reason: `The row names no ${word}.` }
    if (tooLongForName(name)) return nameTooLong(meaning, name)
    const before = this.#saidOn.get(name)
    if (before !== undefined) {
      return {
        meaning,
        value: name,
        reason: `The ${word} is on line ${before} of this file already. Keep the line that is right.`,
      }
    }
    const known = this.#subject.known(name)
    const record = known as unknown as Recorded | undefined
    const fields: Record<string, string | number | null> = {}
    const corrections: string[] = []
    const headingOf = (m: Meaning) => this.#readers.columns.headings[this.#at[m]] as string
    for (const filling of fillings) {
      const recorded = record?.[filling.column] ?? null
      const text = field(row, this.#at[filling.meaning])
      if (text === '') {
        fields[filling.column] = recorded
        continue
      }
      const value = this.#read(filling, text)
      if (typeof value === 'object') return value
      fields[filling.column] = value
      if (recorded !== null && recorded !== value) {
        const shown = filling.as === 'time' ? new Date((recorded as number) * 1000).toISOString() : recorded
        corrections.push(`${headingOf(filling.meaning)} was ${shown} and is ${text} now`)
      }
    }
    const conditions: Record<string, string> = known === undefined ? {} : JSON.parse(known.conditions)
    for (const { heading, index } of this.#conditionColumns) {
      const text = field(row, index)
      if (text === '') continue
      if (text.length > LONGEST_CONDITION) {
        return {
          meaning: null,
          value: text,
          reason: `A condition (${heading}) cannot be longer than ${LONGEST_CONDITION} characters.`,
        }
      }
      const recorded = Object.hasOwn(conditions, heading) ? conditions[heading] : undefined
      if (recorded !== undefined && recorded !== text)
        corrections.push(`${heading} was ${recorded} and is ${text} now`)
      Object.defineProperty(conditions, heading, {
        value: own(text),
        enumerable: true,
        configurable: true,
        writable: true,
      })
    }

    this.#saidOn.set(own(name), line)
    this.#subject.save(own(name), known, fields, JSON.stringify(conditions))
    if (known === undefined)
      this.#notes.gather(`${capital(word)}s that were not on record were created: ….`, name)
    for (const correction of corrections) this.#notes.say(`${capital(word)} ${name}: ${correction}.`)
    return null
  }

  async finish(): Promise<readonly LateFault[]> {
    await this.#draft.save(this.#writer)
    return []
  }

  #read({ meaning, as }: Filling, text: string): string | number | Fault {
    if (as === 'text') return tooLongForName(text) ? nameTooLong(meaning, text) : own(text)
    if (as === 'time') {
      const time = this.#readers.times.read(text)
      return Number.isNaN(time) ? { meaning, value: text, reason: this.#readers.times.reason } : time
    }
    if (as === 'count') {
      if (/^\d{1,6}$/.test(text)) return Number(text)
      return { meaning, value: text, reason: 'A reuse count is a whole number; 0 is fresh powder.' }
    }
    const factor = this.#readers.numbers.read(text)
    if (Number.isNaN(factor)) return { meaning, value: text, reason: this.#readers.numbers.reason }
    if (factor >= 0.5 && factor <= 2) return factor
    return {
      meaning,
      value: text,
      reason:
        'A scale factor is what the print was enlarged by, 1.18 for 18 % larger, and lies between 0.5 and 2.',
    }
  }
}

/** Columns without a meaning of their own; a heading that occurs again is told apart by a number. */
function conditionColumns({ columns }: Readers): { heading: string; index: number }[] {
  const seen = new Map<string, number>()
  return columns.headings.flatMap((heading, index) => {
    if (columns.meanings[index] !== null || heading === '') return []
    const times = (seen.get(heading) ?? 0) + 1
    seen.set(heading, times)
    return [{ heading: times === 1 ? heading : `${heading} (${times})`, index }]
  })
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
