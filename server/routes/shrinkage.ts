import { Hono } from 'hono'
import { ConvergenceError } from '../../src/errors.ts'
import { predictChange } from '../../src/shrinkage/predict.ts'
import { signed } from '../access/signer.ts'
import { factorDecision, factorsQuery } from '../contract/shrinkage-requests.ts'
import type { PartNumber } from '../contract/views.ts'
import { ProblemError } from '../problem.ts'
import { StaleDecisionError } from '../store/decision-writes.ts'
import type { Store } from '../store/store.ts'
import { sharesView } from '../views/shares-view.ts'
import { type ShrinkageOnRecord, shrinkageOnRecord } from '../views/shrinkage-fit.ts'
import { predictionView, shrinkageView } from '../views/shrinkage-view.ts'
import { findPartNumber } from './finders.ts'
import { now, staleProblem } from './stale.ts'
import { validated } from './validated.ts'

/** How a part number shrinks, and decisions about its scale factors; below /api/part-numbers. */
export function shrinkageRoutes(store: Store) {
  const found = async (at: { number: string; revision: string }) => findPartNumber(store, at)
  return new Hono()
    .get('/:number/:revision/shrinkage', async (c) => {
      const partNumber = await found(c.req.param())
      return c.json(await fitted(() => shrinkageView(store, partNumber)))
    })
    .get('/:number/:revision/shrinkage/prediction', validated('query', factorsQuery), async (c) => {
      const partNumber = await found(c.req.param())
      return c.json(await fitted(() => predictionView(store, partNumber, c.req.valid('query'))))
    })
    .get('/:number/:revision/shrinkage/shares', async (c) => {
      const partNumber = await found(c.req.param())
      return c.json(await fitted(() => sharesView(store, partNumber)))
    })
    .post('/:number/:revision/shrinkage/decisions', validated('json', factorDecision), async (c) => {
      const partNumber = await found(c.req.param())
      const { x, y, z, firstBuild, reason, who, last } = signed(c, c.req.valid('json'))
      const factors = { x, y, z }
      const record = await fitted(() => shrinkageOnRecord(store, partNumber))
      const afterBuildId = requireAhead(record, firstBuild)
      const { present, state } = record
      const view = await shrinkageView(store, partNumber)
      const decision = {
        firstBuild,
        afterBuildId,
        before: present.factors,
        factors,
        advised: view.factors.advised,
        predictions: predictChange(state, present.factors, factors),
        reason,
        who,
        at: now(),
      }
      try {
        await store.write((writer) => writer.addFactorDecision(partNumber.id, decision, last))
      } catch (error) {
        if (!(error instanceof StaleDecisionError)) throw error
        throw await staleFactors(store, partNumber)
      }
      return c.json(await shrinkageView(store, partNumber), 201)
    })
}

/** Shrinkage that cannot be fitted is the record's fault, not the request's. */
async function fitted<T>(compute: () => Promise<T>): Promise<T> {
  try {
    return await compute()
  } catch (error) {
    if (!(error instanceof ConvergenceError)) throw error
    throw new ProblemError(422, {
      what: 'The scatter of builds and furnace loads could not be told from these measurements.',
      where: null,
      next: 'Look at the drift page for builds that lie far off, and leave out what was measured wrongly.',
    })
  }
}

/** A prediction is about builds that nobody has measured. @returns the last build that is measured */
function requireAhead({ builds }: ShrinkageOnRecord, firstBuild: string): number {
  const last = builds.at(-1)
  if (last === undefined) {
    throw new ProblemError(422, {
      what: 'Nothing sintered is measured yet, so that nothing can be predicted.',
      where: null,
      next: 'Bring measurements to the intake first.',
    })
  }
  if (builds.some((build) => build.name === firstBuild)) {
    throw new ProblemError(422, {
      what: `Build ${firstBuild} is measured already: what came of it cannot be predicted any more.`,
      where: 'firstBuild',
      next: 'Name the first build that will be printed with the new factors.',
    })
  }
  return last.id
}

async function staleFactors(store: Store, partNumber: PartNumber): Promise<ProblemError> {
  const other = (await store.factorDecisions(partNumber.id)).at(-1)
  if (other === undefined) return staleProblem('There is no decision yet.')
  const { x, y, z } = other.factors
  return staleProblem({
    ...other,
    did: `decided on the factors ${x}, ${y} and ${z} from build ${other.firstBuild} on`,
  })
}
