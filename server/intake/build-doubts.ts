import { STAGES, type Stage } from '../../src/domain/cell.ts'
import type { BuildTable } from '../store/schema.ts'
import type { CellSpread } from '../store/spreads.ts'
import type { Doubts } from './doubts.ts'
import type { Draft, PartNumberEntry } from './draft.ts'
import { own } from './row-checker.ts'

/**
 * Seconds that a time may seem to lie before its build without being doubted: a day without a time of day, and
 * clocks of which one tells its zone and the other does not.
 */
const CLOCKS_APART = 38 * 3600

/** Doubts about a row's build: that it was measured before, or printed after it was measured. */
export class BuildDoubts {
  readonly #draft: Draft
  readonly #doubts: Doubts
  /** Values on record by part number, build and stage, of part numbers learnt. */
  readonly #measured = new Map<string, number>()
  #last: BuildTable | undefined

  constructor(draft: Draft, doubts: Doubts) {
    this.#draft = draft
    this.#doubts = doubts
  }

  /** Take note of what is on record of a part number, before its first row. */
  learn(partNumberId: number, cells: readonly CellSpread[]): void {
    for (const { buildId, stage, n } of cells) {
      const key = `${partNumberId}/${buildId}/${stage}`
      this.#measured.set(key, (this.#measured.get(key) ?? 0) + n)
    }
  }

  /** A build that was measured before gets more parts: no fault, but good to know. */
  noteKnown(owner: PartNumberEntry, buildText: string, stage: number, serial: string, line: number): void {
    if (this.#measured.size === 0) return
    const build = this.#draft.builds.get(buildText)
    if (build === undefined) return
    const values = this.#measured.get(`${owner.row.id}/${build.id}/${STAGES[stage] as Stage}`)
    if (values === undefined) return
    this.#doubts.raiseShared(build.name, {
      kind: 'build-known',
      line,
      column: null,
      position: null,
      value: build.name,
      serial: own(serial),
      characteristic: null,
      text: `Build ${build.name} is on record with ${values} values (${STAGES[stage]}) already, and the file adds parts to it.`,
      likely: null,
      waits: false,
    })
  }

  /** Whether a part of the build is said to be measured before the build was printed. */
  isEarly(buildName: string, measuredAt: number): boolean {
    const printedAt = this.#printedAt(buildName)
    return printedAt !== null && measuredAt + CLOCKS_APART < printedAt
  }

  /** Doubt a time that is early. @returns true where the row is to be left out */
  leavesOutEarly(buildName: string, measuredAt: number, serial: string, line: number): boolean {
    const printedAt = this.#printedAt(buildName) as number
    return this.#doubts.raiseShared(buildName, {
      kind: 'before-build',
      line,
      column: null,
      position: null,
      value: new Date(measuredAt * 1000).toISOString().slice(0, 16),
      serial: own(serial),
      characteristic: null,
      text: `The measurement lies before build ${own(buildName)} was printed, ${new Date(printedAt * 1000).toISOString().slice(0, 16)}. Look for a wrong build, or for day and month changed over.`,
      likely: null,
      waits: true,
    })
  }

  #printedAt(buildName: string): number | null {
    if (this.#last?.name !== buildName) this.#last = this.#draft.builds.get(buildName)
    return this.#last?.printed_at ?? null
  }
}
