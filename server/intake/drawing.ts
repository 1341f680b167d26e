import type { ImportChoices } from '../contract/receipt.ts'
import type { Draft, PartNumberEntry } from './draft.ts'
import type { Fault } from './faults.ts'
import type { Columns } from './headings.ts'
import type { Notes } from './notes.ts'
import { field, indicesOf, nameTooLong, own, tooLongForName } from './row-checker.ts'

/** Revision of a part number of which none is known. */
const NO_REVISION = '-'

/** The part number that a row speaks of; `entry` is null where it is not on record yet. */
export interface Drawing {
  readonly entry: PartNumberEntry | null
  readonly number: string
  readonly revision: string
  readonly name: string
}

/** Finds the part number of each row, from its columns or from what the person who brought the file said. */
export class DrawingFinder {
  readonly #draft: Draft
  readonly #choices: ImportChoices
  readonly #at: { readonly partNumber: number; readonly revision: number; readonly partName: number }
  /** True once a row was refused that naming the part number would save. */
  couldBeNamed = false
  #lastNumber = ''
  #lastRevision = ''
  #last: Drawing | null = null

  constructor(draft: Draft, columns: Columns, choices: ImportChoices) {
    this.#draft = draft
    this.#choices = choices
    this.#at = indicesOf(columns)
  }

  /** The part number on record that the row speaks of, if there is one. */
  peek(row: readonly string[]): PartNumberEntry | null {
    const found = this.find(row)
    return 'reason' in found ? null : found.entry
  }

  find(row: readonly string[]): Drawing | Fault {
    const numberText = field(row, this.#at.partNumber)
    const revisionText = field(row, this.#at.revision)
    if (this.#last !== null && numberText === this.#lastNumber && revisionText === this.#lastRevision) {
      return this.#last
    }
    const found = this.#find(row, numberText, revisionText)
    if ('reason' in found || found.entry === null) return found
    this.#lastNumber = own(numberText)
    this.#lastRevision = own(revisionText)
    this.#last = found
    return found
  }

  /** Put a part number that is not on record on the draft. */
  add({ number, revision, name }: Drawing, notes: Notes): PartNumberEntry {
    notes.gather(
      'Part numbers that were not on record were created: ….',
      revision === NO_REVISION ? number : `${number} revision ${revision}`,
    )
    return this.#draft.addPartNumber(own(number), own(revision), name === '' ? null : own(name))
  }

  #find(row: readonly string[], numberText: string, revisionText: string): Drawing | Fault {
    const number = numberText || (this.#choices.partNumber ?? '')
    if (number === '') {
      this.couldBeNamed = true
      return {
        meaning: this.#at.partNumber < 0 ? null : 'partNumber',
        value: '',
        reason:
          'The row does not say to which part number the part belongs. Name it, and bring the file again.',
      }
    }
    if (tooLongForName(number)) return nameTooLong('partNumber', number)
    let revision = revisionText || (this.#choices.revision ?? '')
    if (revision === '') {
      const revisions = this.#draft.revisionsOf(number)
      if (revisions.length > 1) {
        this.couldBeNamed = true
        return {
          meaning: this.#at.revision < 0 ? null : 'revision',
          value: '',
          reason: `Part number ${number} is on record with revisions ${revisions.join(', ')}, and the row does not say which. Name the revision.`,
        }
      }
      revision = revisions[0] ?? NO_REVISION
    }
    if (tooLongForName(revision)) return nameTooLong('revision', revision)
    return {
      entry: this.#draft.partNumber(number, revision) ?? null,
      number,
      revision,
      name: field(row, this.#at.partName),
    }
  }
}
