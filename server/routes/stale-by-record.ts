import { RECORD_KINDS } from '../../src/words/record-kinds.ts'
import type { ProblemError } from '../problem.ts'
import type { Subject } from '../store/record/recorder.ts'
import type { Store } from '../store/store.ts'
import { staleProblem } from './stale.ts'

/**
 * The answer to a decision made on the sight of what has changed since, where only the record knows what the other did.
 *
 * @param about what both decided about
 * @param what the same in words: "what stands on record of Vera Lund"
 */
export async function staleByRecord(store: Store, about: Subject, what: string): Promise<ProblemError> {
  const [last] = await store.recordEntries({ about: [about] }, 1)
  if (last === undefined || last.who === null) return staleProblem(`Somebody changed ${what} meanwhile.`)
  const { who, at, kind } = last
  return staleProblem({ who, at, did: `changed ${what} (${RECORD_KINDS[kind].toLowerCase()})` })
}
