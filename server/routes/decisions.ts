import { Hono } from 'hono'
import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { signed } from '../access/signer.ts'
import { now } from '../clock.ts'
import type { ExclusionsView, FindingsView, RemarksView } from '../contract/decisions.ts'
import {
  changedFinding,
  changedRemark,
  decisionNumber,
  exclusionDecision,
  exclusionsTakenBack,
  type FindingRequest,
  newFinding,
  newRemark,
  stageQuery,
} from '../contract/requests.ts'
import type { PartNumber, TimelineBuild } from '../contract/views.ts'
import { notFound, ProblemError } from '../problem.ts'
import type { ExclusionRecord, FindingRevision } from '../store/decision-reads.ts'
import { type ExclusionPlace, StaleDecisionError } from '../store/decision-writes.ts'
import type { Store } from '../store/store.ts'
import { writtenOf } from '../views/findings.ts'
import { exclusionViews } from '../views/studies.ts'
import { findBuild, findCharacteristic, findPartNumber } from './finders.ts'
import { staleProblem } from './stale.ts'
import { validated } from './validated.ts'

/** Findings, remarks, and what is left out, of one part number and revision; below /api/part-numbers. */
export function decisionRoutes(store: Store) {
  const written = async (partNumber: PartNumber, stage: Stage) => {
    const [characteristics, builds] = await Promise.all([
      store.characteristics(partNumber.id),
      store.builds(partNumber.id, stage),
    ])
    return writtenOf(store, partNumber.id, stage, characteristics, builds)
  }
  const exclusions = async (partNumber: PartNumber, stage: Stage): Promise<ExclusionsView> => {
    const [characteristics, builds, records] = await Promise.all([
      store.characteristics(partNumber.id),
      store.builds(partNumber.id, stage),
      store.exclusions(partNumber.id, stage),
    ])
    const inForce = records.filter((record) => record.undone === null)
    return { exclusions: exclusionViews(inForce, characteristics, builds) }
  }

  return new Hono()
    .get('/:number/:revision/findings', validated('query', stageQuery), async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      const { findings } = await written(partNumber, c.req.valid('query').stage)
      return c.json({ findings } satisfies FindingsView)
    })
    .post(
      '/:number/:revision/findings',
      validated('query', stageQuery),
      validated('json', newFinding),
      async (c) => {
        const { stage } = c.req.valid('query')
        const partNumber = await findPartNumber(store, c.req.param())
        const finding = await findingOf(store, partNumber, stage, signed(c, c.req.valid('json')))
        await store.write((writer) => writer.addFinding(partNumber.id, finding))
        const { findings } = await written(partNumber, stage)
        return c.json({ findings } satisfies FindingsView, 201)
      },
    )
    .post(
      '/:number/:revision/findings/:decision{[0-9]+}',
      validated('param', decisionNumber),
      validated('query', stageQuery),
      validated('json', changedFinding),
      async (c) => {
        const { decision } = c.req.valid('param')
        const { stage } = c.req.valid('query')
        const { revision, ...request } = signed(c, c.req.valid('json'))
        const partNumber = await findPartNumber(store, c.req.param())
        const before = (await written(partNumber, stage)).findings.find(({ number }) => number === decision)
        if (before === undefined) throw noSuch('finding', decision)
        const finding = await findingOf(store, partNumber, stage, request)
        try {
          await store.write((writer) =>
            writer.reviseFinding(partNumber.id, { ...finding, id: decision, revision: revision + 1 }),
          )
        } catch (error) {
          if (!(error instanceof StaleDecisionError)) throw error
          const { findings } = await written(partNumber, stage)
          const { who, at, state, cause } = findings.find(({ number }) => number === decision) ?? before
          throw staleProblem({
            who,
            at,
            did: `changed finding ${decision}: it is ${state}, and its cause reads “${cause}”`,
          })
        }
        const { findings } = await written(partNumber, stage)
        return c.json({ findings } satisfies FindingsView)
      },
    )
    .get('/:number/:revision/remarks', validated('query', stageQuery), async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      const { remarks } = await written(partNumber, c.req.valid('query').stage)
      return c.json({ remarks } satisfies RemarksView)
    })
    .post(
      '/:number/:revision/remarks',
      validated('query', stageQuery),
      validated('json', newRemark),
      async (c) => {
        const { stage } = c.req.valid('query')
        const { build, text, who } = signed(c, c.req.valid('json'))
        const partNumber = await findPartNumber(store, c.req.param())
        const buildId = findBuild(await store.builds(partNumber.id, stage), partNumber, build, stage).id
        await store.write((writer) => writer.addRemark(partNumber.id, { buildId, text, who, at: now() }))
        const { remarks } = await written(partNumber, stage)
        return c.json({ remarks } satisfies RemarksView, 201)
      },
    )
    .post(
      '/:number/:revision/remarks/:decision{[0-9]+}',
      validated('param', decisionNumber),
      validated('query', stageQuery),
      validated('json', changedRemark),
      async (c) => {
        const { decision } = c.req.valid('param')
        const { revision, text, who } = signed(c, c.req.valid('json'))
        const partNumber = await findPartNumber(store, c.req.param())
        const last = async () =>
          (await store.remarks(partNumber.id)).findLast(({ id }) => id === decision) ?? null
        const before = await last()
        if (before === null) throw noSuch('remark', decision)
        const { buildId } = before
        try {
          await store.write((writer) =>
            writer.reviseRemark(partNumber.id, {
              id: decision,
              revision: revision + 1,
              buildId,
              text,
              who,
              at: now(),
            }),
          )
        } catch (error) {
          if (!(error instanceof StaleDecisionError)) throw error
          const other = (await last()) ?? before
          const did = other.text === null ? 'took the remark back' : `changed the remark to “${other.text}”`
          throw staleProblem({ who: other.who, at: other.at, did })
        }
        const { remarks } = await written(partNumber, c.req.valid('query').stage)
        return c.json({ remarks } satisfies RemarksView)
      },
    )
    .get('/:number/:revision/exclusions', validated('query', stageQuery), async (c) => {
      const partNumber = await findPartNumber(store, c.req.param())
      return c.json(await exclusions(partNumber, c.req.valid('query').stage))
    })
    .post(
      '/:number/:revision/characteristics/:designator/exclusions',
      validated('query', stageQuery),
      validated('json', exclusionDecision),
      async (c) => {
        const { stage } = c.req.valid('query')
        const { build, single, everyCharacteristic, who, reason } = signed(c, c.req.valid('json'))
        const { partNumber, characteristic: chosen } = await findCharacteristic(store, c.req.param())
        const buildId = findBuild(await store.builds(partNumber.id, stage), partNumber, build, stage).id
        const place = (characteristic: Characteristic): ExclusionPlace => ({
          characteristicId: characteristic.id,
          stage,
          buildId,
          single,
        })
        const grounds = { who, reason, at: now() }
        const others =
          everyCharacteristic && single === null
            ? (await store.characteristics(partNumber.id)).filter(({ id }) => id !== chosen.id)
            : []
        const inForce = await store.exclusions(partNumber.id, stage)
        const isOut = (characteristic: Characteristic) => inForce.some(isAbout(place(characteristic)))
        try {
          const id = await store.write(async (writer) => {
            const first = await writer.leaveOut(place(chosen), grounds)
            // Those left out before for a reason of their own keep it.
            for (const other of others) if (!isOut(other)) await writer.leaveOut(place(other), grounds)
            return first
          })
          if (id === null) {
            const what =
              single === null ? `Build ${build}` : `Serial number ${single.serial} of build ${build}`
            throw notFound(
              `${what} has no such value of characteristic ${chosen.designator} on record.`,
              'Pick a value from the build’s table.',
            )
          }
        } catch (error) {
          if (!(error instanceof StaleDecisionError)) throw error
          throw leftOutAlready((await store.exclusions(partNumber.id, stage)).find(isAbout(place(chosen))))
        }
        return c.json(await exclusions(partNumber, stage), 201)
      },
    )
    .post(
      '/:number/:revision/exclusions/taken-back',
      validated('query', stageQuery),
      validated('json', exclusionsTakenBack),
      async (c) => {
        const { stage } = c.req.valid('query')
        const { exclusions: numbers, who, reason } = signed(c, c.req.valid('json'))
        const partNumber = await findPartNumber(store, c.req.param())
        const records = new Map(
          (await store.exclusions(partNumber.id, stage)).map((record) => [record.id, record]),
        )
        for (const number of numbers) {
          const record = records.get(number)
          if (record === undefined) throw noSuch('exclusion', number)
          if (record.undone !== null) throw takenBackAlready(record)
        }
        try {
          await store.write(async (writer) => {
            for (const number of numbers) await writer.takeBack(number, { who, reason, at: now() })
          })
        } catch (error) {
          if (!(error instanceof StaleDecisionError)) throw error
          const again = await store.exclusions(partNumber.id, stage)
          throw takenBackAlready(again.find(({ id, undone }) => numbers.includes(id) && undone !== null))
        }
        return c.json(await exclusions(partNumber, stage))
      },
    )
}

/** A finding by identities. */
async function findingOf(
  store: Store,
  partNumber: PartNumber,
  stage: Stage,
  { characteristics, from, to, ...content }: FindingRequest,
): Promise<Omit<FindingRevision, 'id' | 'revision'>> {
  const all = await store.characteristics(partNumber.id)
  const builds: readonly TimelineBuild[] = await store.builds(partNumber.id, stage)
  const [first, last] = [from, to].map((name) => findBuild(builds, partNumber, name, stage)) as [
    TimelineBuild,
    TimelineBuild,
  ]
  if (builds.indexOf(first) > builds.indexOf(last)) {
    throw new ProblemError(422, {
      what: `Build ${to} comes before build ${from}.`,
      where: 'to',
      next: 'Give the first build first.',
    })
  }
  const ids = characteristics.map((designator) => {
    const found = all.find((each) => each.designator === designator)
    if (found === undefined) {
      throw new ProblemError(422, {
        what: `${partNumber.number} ${partNumber.revision} has no characteristic ${designator}.`,
        where: 'characteristics',
        next: 'Use the numbers on the drawing.',
      })
    }
    return found.id
  })
  return {
    ...content,
    stage,
    characteristicIds: [...new Set(ids)],
    fromBuildId: first.id,
    toBuildId: last.id,
    at: now(),
  }
}

function isAbout({
  characteristicId,
  buildId,
  single,
}: ExclusionPlace): (record: ExclusionRecord) => boolean {
  return (record) =>
    record.undone === null &&
    record.characteristicId === characteristicId &&
    record.buildId === buildId &&
    record.single?.serial === single?.serial &&
    record.single?.replicate === single?.replicate
}

function leftOutAlready(record: ExclusionRecord | undefined): ProblemError {
  return staleProblem(
    record === undefined
      ? 'This is left out already.'
      : { who: record.who, at: record.at, did: `left this out already: ${record.reason}` },
  )
}

function takenBackAlready(record: ExclusionRecord | undefined): ProblemError {
  const undone = record?.undone
  return staleProblem(
    undone
      ? { who: undone.who, at: undone.at, did: `took it back into the figures already: ${undone.reason}` }
      : 'This was taken back already.',
  )
}

function noSuch(what: string, number: number): ProblemError {
  return notFound(`There is no ${what} ${number} of this part number.`, 'Pick one from the list.')
}
