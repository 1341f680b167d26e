import type { IndexCourse } from '../../src/capability/index-course.ts'
import type { Limits } from '../../src/capability/indices.ts'
import type { Shape } from '../../src/capability/shape.ts'
import type { Report, Verification } from '../contract/report.ts'
import type { PartNumber } from '../contract/views.ts'
import type { StoreLocation } from '../store/location.ts'
import { createThreadPool } from '../threads/thread-pool.ts'
import type { CapabilityQuestion } from '../views/capability-span.ts'
import type { Shapes } from '../views/judged-shapes.ts'
import type { ShapedValues } from '../views/values-detail.ts'
import { NotAReportError } from './attached.ts'
import type { FileWanted, ReportWanted } from './make-report.ts'
import { UnknownBuildError } from './report-data.ts'

/** What the thread is told to do. */
export type ReportOrder =
  | {
      readonly what: 'draw up'
      readonly location: StoreLocation
      readonly partNumber: PartNumber
      readonly wanted: ReportWanted
      readonly who: string
    }
  | { readonly what: 'print'; readonly report: Report; readonly wanted: FileWanted }
  | {
      readonly what: 'find shapes'
      readonly location: StoreLocation
      readonly partNumber: PartNumber
      readonly question: CapabilityQuestion
    }
  | {
      readonly what: 'look at values'
      readonly location: StoreLocation
      readonly partNumber: PartNumber
      readonly question: CapabilityQuestion
      readonly characteristicId: number
    }
  | {
      readonly what: 'judge against'
      readonly location: StoreLocation
      readonly partNumber: PartNumber
      readonly question: CapabilityQuestion
      readonly characteristicId: number
      readonly limits: Limits
    }
  | {
      readonly what: 'follow index'
      readonly location: StoreLocation
      readonly partNumber: PartNumber
      readonly question: CapabilityQuestion
      readonly characteristicId: number
      readonly shape: Shape | null
    }
  | {
      readonly what: 'judge parts'
      readonly location: StoreLocation
      readonly partNumber: PartNumber
      readonly build: string
    }
  | { readonly what: 'verify file'; readonly location: StoreLocation; readonly bytes: Uint8Array }
  | { readonly what: 'verify number'; readonly location: StoreLocation; readonly number: number }

interface Results {
  readonly 'draw up': Report
  readonly print: Uint8Array
  readonly 'find shapes': Shapes
  readonly 'look at values': ShapedValues | null
  readonly 'judge against': Shape | null
  readonly 'follow index': IndexCourse | null
  /** `BuildPartsView` as JSON in UTF-8: thousands of parts are not copied one by one. */
  readonly 'judge parts': Uint8Array<ArrayBuffer> | null
  readonly 'verify file': Verification
  readonly 'verify number': Verification | null
}

const pool = createThreadPool<ReportOrder>({
  worker: new URL('./report-worker', import.meta.url),
  // A report takes much memory, and charts need the processor too.
  most: 2,
  // Printing makes very many small things that are soon forgotten.
  maxYoungGenerationSizeMb: 128,
  errorOf: (kind, text) =>
    kind === 'unknown build'
      ? new UnknownBuildError(text)
      : kind === 'not a report'
        ? new NotAReportError(text)
        : new Error(text),
})

/**
 * Carry the order out on a thread of its own, when it is its turn.
 *
 * @param onProgress told how many characteristics are done, of how many
 * @throws UnknownBuildError, NotAReportError as what was ordered
 */
export async function onReportThread<T extends ReportOrder>(
  order: T,
  onProgress?: (done: number, all: number) => void,
): Promise<Results[T['what']]> {
  return (await pool.run(order, onProgress)) as Results[T['what']]
}
