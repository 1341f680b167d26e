import { type Context, Hono } from 'hono'
import type { z } from 'zod'
import { ConvergenceError } from '../../src/errors.ts'
import { signed } from '../access/signer.ts'
import { now } from '../clock.ts'
import { decisionNumber } from '../contract/requests.ts'
import {
  factorDecision,
  factorsQuery,
  factorsTakenBack,
  settingsDecision,
  settingsPreview,
} from '../contract/shrinkage-requests.ts'
import type { PartNumber } from '../contract/views.ts'
import { notFound, ProblemError } from '../problem.ts'
import { askAboutShrinkage, type ShrinkageQuestion } from '../shrinkage-thread.ts'
import { StaleDecisionError } from '../store/decision-writes.ts'
import type { FactorDecision } from '../store/factor-decisions.ts'
import type { ShrinkageSettings } from '../store/shrinkage-settings.ts'
import type { Store } from '../store/store.ts'
import { printedBy } from '../views/shrinkage-decisions.ts'
import type { DecisionDraft } from '../views/shrinkage-view.ts'
import { findPartNumber } from './finders.ts'
import { staleProblem } from './stale.ts'
import { validated } from './validated.ts'

/** How a part number shrinks, and decisions about its scale factors; below /api/part-numbers. */
export function shrinkageRoutes(store: Store) {
  const found = async (at: { number: string; revision: string }) => findPartNumber(store, at)
  const answer = async (
    c: Context,
    partNumber: PartNumber,
    question: ShrinkageQuestion,
    status: 200 | 201 = 200,
  ) => c.body(await ask(store, partNumber, question), status, { 'content-type': 'application/json' })
  return new Hono()
    .get('/:number/:revision/shrinkage', async (c) => answer(c, await found(c.req.param()), { what: 'view' }))
    .get('/:number/:revision/shrinkage/prediction', validated('query', factorsQuery), async (c) =>
      answer(c, await found(c.req.param()), { what: 'prediction', factors: c.req.valid('query') }),
    )
    .get('/:number/:revision/shrinkage/shares', async (c) =>
      answer(c, await found(c.req.param()), { what: 'shares' }),
    )
    .post('/:number/:revision/shrinkage/decisions', validated('json', factorDecision), async (c) => {
      const partNumber = await found(c.req.param())
      const { x, y, z, firstBuild, reason, who, last } = signed(c, c.req.valid('json'))
      const factors = { x, y, z }
      const { measured, ...draft } = JSON.parse(
        new TextDecoder().decode(await ask(store, partNumber, { what: 'decision', factors })),
      ) as DecisionDraft
      const afterBuildId = requireAhead(measured, firstBuild)
      const decision = { ...draft, firstBuild, afterBuildId, factors, reason, who, at: now() }
      await decided(
        () => store.write((writer) => writer.addFactorDecision(partNumber.id, decision, last)),
        () => staleFactors(store, partNumber),
      )
      return await answer(c, partNumber, { what: 'view' }, 201)
    })
    .post(
      '/:number/:revision/shrinkage/decisions/:decision{[0-9]+}/taken-back',
      validated('param', decisionNumber),
      validated('json', factorsTakenBack),
      async (c) => {
        const partNumber = await found(c.req.param())
        const { decision: number } = c.req.valid('param')
        const { reason, who } = signed(c, c.req.valid('json'))
        const decision = await findUnused(store, partNumber, number)
        await decided(
          () =>
            store.write((writer) =>
              writer.takeFactorsBack(partNumber.id, decision.id, { reason, who, at: now() }),
            ),
          async () => {
            const { takenBack } = await findUnused(store, partNumber, number)
            return staleProblem(
              takenBack === null
                ? `Decision ${number} was taken back meanwhile.`
                : { ...takenBack, did: `took decision ${number} back: ${takenBack.reason}` },
            )
          },
        )
        return await answer(c, partNumber, { what: 'view' })
      },
    )
    .post('/:number/:revision/shrinkage/settings/preview', validated('json', settingsPreview), async (c) => {
      const partNumber = await found(c.req.param())
      const settings = await settingsOf(store, partNumber, c.req.valid('json'))
      return await answer(c, partNumber, { what: 'settings', settings })
    })
    .post('/:number/:revision/shrinkage/settings', validated('json', settingsDecision), async (c) => {
      const partNumber = await found(c.req.param())
      const { version, reason, who, ...asked } = signed(c, c.req.valid('json'))
      const settings = await settingsOf(store, partNumber, asked)
      const next = { ...settings, version: version + 1, reason, who, at: now() }
      await decided(
        () => store.write((writer) => writer.addShrinkageSettings(partNumber.id, next)),
        async () => {
          const other = (await store.shrinkageSettings(partNumber.id)).at(-1)
          return staleProblem(
            other === undefined ? 'There are no settings yet.' : { ...other, did: 'changed these settings' },
          )
        },
      )
      return await answer(c, partNumber, { what: 'view' }, 201)
    })
}

/** Shrinkage that cannot be fitted is the record's fault, not the request's. */
async function ask(store: Store, partNumber: PartNumber, question: ShrinkageQuestion) {
  try {
    return await askAboutShrinkage(store, partNumber, question)
  } catch (error) {
    if (!(error instanceof ConvergenceError)) throw error
    throw new ProblemError(422, {
      what: 'The scatter of builds and furnace loads could not be told from these measurements.',
      where: null,
      next: 'Look at the drift page for builds that lie far off, and leave out what was measured wrongly.',
    })
  }
}

/** @throws ProblemError with what the other did, where somebody was faster */
async function decided(write: () => Promise<unknown>, stale: () => Promise<ProblemError>): Promise<void> {
  try {
    await write()
  } catch (error) {
    if (!(error instanceof StaleDecisionError)) throw error
    throw await stale()
  }
}

/** A prediction is about builds that nobody has measured. @returns the last build that is measured */
function requireAhead(measured: DecisionDraft['measured'], firstBuild: string): number {
  const last = measured.at(-1)
  if (last === undefined) {
    throw new ProblemError(422, {
      what: 'Nothing sintered is measured yet, so that nothing can be predicted.',
      where: null,
      next: 'Bring measurements to the intake first.',
    })
  }
  if (measured.some((build) => build.name === firstBuild)) {
    throw new ProblemError(422, {
      what: `Build ${firstBuild} is measured already: what came of it cannot be predicted any more.`,
      where: 'firstBuild',
      next: 'Name the first build that will be printed with the new factors.',
    })
  }
  return last.id
}

/** The decision that is to be taken back: what was printed by it stays on record as it was decided. */
async function findUnused(store: Store, partNumber: PartNumber, number: number): Promise<FactorDecision> {
  const decision = (await store.factorDecisions(partNumber.id)).find(({ id }) => id === number)
  if (decision === undefined) {
    throw notFound(`Decision ${number} is not on record for this part number.`, 'Look through its decisions.')
  }
  const [used] = await printedBy(store, partNumber, decision)
  if (used === undefined || decision.takenBack !== null) return decision
  throw new ProblemError(422, {
    what: `Build ${used.name} is printed with these factors, so that the decision cannot be undone any more.`,
    where: null,
    next: 'Decide on other factors for the builds to come; this decision and what came of it stay on record.',
  })
}

/** Settings with characteristics by their identities. */
async function settingsOf(
  store: Store,
  partNumber: PartNumber,
  { adjustment, told }: z.infer<typeof settingsPreview>,
): Promise<ShrinkageSettings> {
  const characteristics = await store.characteristics(partNumber.id)
  return {
    adjustment,
    told: told.map(({ designator, ...own }) => {
      const characteristic = characteristics.find((each) => each.designator === designator)
      if (characteristic === undefined) {
        throw new ProblemError(422, {
          what: `There is no characteristic ${designator} on this part number.`,
          where: 'told',
          next: 'Read the page again; its list of sizes may have changed.',
        })
      }
      return { characteristicId: characteristic.id, ...own }
    }),
  }
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
