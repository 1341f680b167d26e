import type { Stage } from '../../src/domain/cell.ts'
import type { ReportRecord } from '../contract/report.ts'
import type { RecordEntry } from '../store/record/record-reads.ts'
import type { Store } from '../store/store.ts'
import { shapingFilter } from '../views/report-record-view.ts'

/** Entries read at a time. */
const AT_ONCE = 500

/** Entries of the record that shaped a report, and which of them bear on what. */
export interface ShapingEntries {
  readonly record: ReportRecord
  /** Sequences by the identity of the characteristic that was decided about, ascending. */
  readonly byCharacteristic: ReadonlyMap<number, readonly number[]>
  /** Sequence by the identity of the import. */
  readonly byImport: ReadonlyMap<number, number>
}

/**
 * The entries behind the figures of a part number as they are now; of files with measurements only those that brought
 * values of the span, so that builds taken in later are not among them.
 *
 * @param imports identities of those that brought values
 */
export async function shapingEntries(
  store: Store,
  partNumberId: number,
  stage: Stage,
  imports: readonly { readonly importId: number }[],
): Promise<ShapingEntries> {
  const brought = new Set(imports.map(({ importId }) => importId))
  const data: number[] = []
  const byCharacteristic = new Map<number, number[]>()
  const byImport = new Map<number, number>()
  let last: RecordEntry | null = null
  for (const entry of (await entriesOf(store, partNumberId, stage)).reverse()) {
    const { sequence, kind, about, details } = entry
    const isDecision = kind === 'study' || about.some((subject) => subject.kind === 'characteristic')
    if (kind === 'import') {
      const own = about.find((subject) => subject.kind === 'import')?.id ?? 0
      byImport.set(own, sequence)
      if (details.kind === 'measurements' && !brought.has(own)) continue
    }
    if (isDecision) {
      for (const { kind: of, id } of about) {
        if (of === 'characteristic') byCharacteristic.set(id, [...(byCharacteristic.get(id) ?? []), sequence])
      }
    } else data.push(sequence)
    last = entry
  }
  return {
    record: { last: last && { sequence: last.sequence, hash: last.hash }, data },
    byCharacteristic,
    byImport,
  }
}

/** Newest first. */
async function entriesOf(store: Store, partNumberId: number, stage: Stage): Promise<RecordEntry[]> {
  const filter = shapingFilter(stage, [{ kind: 'part-number', id: partNumberId }])
  const entries: RecordEntry[] = []
  for (let before: number | undefined; ; before = entries.at(-1)?.sequence) {
    const page = await store.recordEntries(filter, AT_ONCE, before)
    entries.push(...page)
    if (page.length < AT_ONCE) return entries
  }
}
