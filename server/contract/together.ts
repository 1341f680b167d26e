import type { TogetherChart } from '../../src/charts/together.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import type { Sentence } from '../../src/words/sentence.ts'
import type { PartNumber, TimelineBuild } from './views.ts'

/** GET /api/part-numbers/:number/:revision/together?stage= */
export interface TogetherView {
  readonly partNumber: PartNumber
  readonly stage: Stage
  readonly builds: readonly TimelineBuild[]
  /** The rows that the chart speaks of by their indices. */
  readonly characteristics: readonly Characteristic[]
  readonly chart: TogetherChart | null
  readonly headline: Sentence
  readonly grounds: Sentence
}
