import type { Stage } from '../../src/domain/cell.ts'
import type { RecordKind, ReportRecordView } from '../contract/record.ts'
import type { RecordFilter } from '../store/record/record-reads.ts'
import type { Subject } from '../store/record/recorder.ts'
import type { Store } from '../store/store.ts'
import { recordPage } from './record-view.ts'

/** Acts on the data and on what is asked, which all of a part number rests on. */
const OF_DATA: readonly RecordKind[] = ['import', 'withdrawal', 'erasure', 'customer-requirements']
/** Acts on one characteristic. */
const OF_CHARACTERISTICS: readonly RecordKind[] = [
  'study',
  'exclusion',
  'exclusion-taken-back',
  'finding',
  'gauge-entry',
]

/**
 * The entries that shape the figures of a part number at a stage.
 *
 * @param owner the part number
 * @param decided what decisions are about: the part number for those on all of its characteristics
 */
export function shapingFilter(
  stage: Stage,
  owner: readonly Subject[],
  decided: readonly Subject[] = owner,
): RecordFilter {
  return {
    stage,
    anyOf: [
      { kinds: OF_DATA, about: owner },
      { kinds: OF_CHARACTERISTICS, about: decided },
    ],
  }
}

interface Asked {
  readonly characteristic?: number | undefined
  readonly before?: number | undefined
  readonly limit: number
}

/**
 * The entries that shaped a report on record, or the figures of one of its characteristics: what was brought, withdrawn
 * and erased, and what was decided about limits, phases and values left out, up to the moment it was made.
 *
 * @returns null where there is no such report
 */
export async function reportRecord(
  store: Store,
  number: number,
  { characteristic, before, limit }: Asked,
): Promise<ReportRecordView | null> {
  const report = await store.report(number)
  if (report === null) return null
  const { settings, partNumber: key, characteristics } = report.content
  const partNumber = await store.partNumber(key.number, key.revision)
  const [made] = await store.recordEntries({ kinds: ['report'], about: [{ kind: 'report', id: number }] }, 1)
  // A report from before the record was shaped by nothing that is in it.
  const end = Math.min(before ?? Number.POSITIVE_INFINITY, made?.sequence ?? 1)
  const owner: Subject[] = partNumber === null ? [] : [{ kind: 'part-number', id: partNumber.id }]
  const decided: Subject[] =
    characteristic === undefined ? owner : [{ kind: 'characteristic', id: characteristic }]
  const page = await recordPage(store, shapingFilter(settings.stage, owner, decided), { limit, before: end })
  return {
    number,
    title: settings.title,
    partNumber: { number: key.number, revision: key.revision },
    characteristics: characteristics.map(({ characteristic: { id, designator, name } }) => ({
      id,
      designator,
      name,
    })),
    ...page,
  }
}
