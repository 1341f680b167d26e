import { Hono } from 'hono'
import { DEFAULT_REQUIREMENTS } from '../../src/capability/requirement.ts'
import { signed } from '../access/signer.ts'
import { now } from '../clock.ts'
import { type RequirementsView, requirementsDecision } from '../contract/requirements.ts'
import type { PartNumber } from '../contract/views.ts'
import { ProblemError } from '../problem.ts'
import { StaleDecisionError } from '../store/decision-writes.ts'
import type { Store } from '../store/store.ts'
import { findPartNumber } from './finders.ts'
import { staleProblem } from './stale.ts'
import { validated } from './validated.ts'

/** What the customer asks of a part number; below /api/part-numbers. */
export function requirementRoutes(store: Store) {
  return new Hono()
    .get('/:number/:revision/requirements', async (c) =>
      c.json(await requirementsView(store, await findPartNumber(store, c.req.param()))),
    )
    .post('/:number/:revision/requirements', validated('json', requirementsDecision), async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      const { version, who, reason, fallback, classes, assigned } = signed(c, c.req.valid('json'))
      const names = new Set(classes.map(({ name }) => name))
      if (names.size < classes.length) throw refused('Two classes have the same name.', 'classes')
      const all = await store.characteristics(partNumber.id)
      const identities = new Map(all.map(({ designator, id }) => [designator, id]))
      const places = assigned.map(({ designator, class: name }) => {
        const characteristicId = identities.get(designator)
        if (characteristicId === undefined) {
          throw refused(`There is no characteristic ${designator} of this part number.`, 'assigned')
        }
        if (!names.has(name)) throw refused(`There is no class ${name}.`, 'assigned')
        return { characteristicId, class: name }
      })
      if (new Set(places.map(({ characteristicId }) => characteristicId)).size < places.length) {
        throw refused('A characteristic stands in two classes.', 'assigned')
      }
      const next = { version: version + 1, fallback, classes, assigned: places, who, reason, at: now() }
      try {
        await store.write((writer) => writer.addCustomerRequirements(partNumber.id, next))
      } catch (error) {
        if (!(error instanceof StaleDecisionError)) throw error
        const other = (await store.customerRequirements(partNumber.id)).at(-1)
        throw staleProblem(
          other === undefined
            ? 'Nothing is decided about these requirements yet.'
            : { ...other, did: `changed these requirements (${other.reason})` },
        )
      }
      return c.json(await requirementsView(store, partNumber), 201)
    })
}

async function requirementsView(store: Store, partNumber: PartNumber): Promise<RequirementsView> {
  const [versions, characteristics] = await Promise.all([
    store.customerRequirements(partNumber.id),
    store.characteristics(partNumber.id),
  ])
  const { fallback, classes, assigned } = versions.at(-1) ?? DEFAULT_REQUIREMENTS
  const classOf = new Map(assigned.map((each) => [each.characteristicId, each.class]))
  return {
    version: versions.at(-1)?.version ?? 0,
    fallback,
    classes,
    characteristics: characteristics.map(({ id, designator, name }) => ({
      designator,
      name,
      class: classOf.get(id) ?? null,
    })),
    history: versions.map(({ version, reason, who, at }) => ({ version, reason, who, at })).reverse(),
  }
}

function refused(what: string, where: string): ProblemError {
  return new ProblemError(422, { what, where, next: 'Correct it and decide again; nothing was kept.' })
}
