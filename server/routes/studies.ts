import { Hono } from 'hono'
import { signed } from '../access/signer.ts'
import { now } from '../clock.ts'
import { stageQuery, studyDecision, studyPreviewRequest } from '../contract/requests.ts'
import { StaleDecisionError } from '../store/decision-writes.ts'
import type { Store } from '../store/store.ts'
import { studiesOf } from '../store/studies-on-record.ts'
import { studyView } from '../views/studies.ts'
import { changedStudy, changeOf, previewOf, studyAtHand } from '../views/study-change.ts'
import { findCharacteristic } from './finders.ts'
import { staleProblem } from './stale.ts'
import { validated } from './validated.ts'

/** How characteristics are charted: reading it, trying a change, making it; below /api/part-numbers. */
export function studyRoutes(store: Store) {
  return new Hono()
    .get(
      '/:number/:revision/characteristics/:designator/study',
      validated('query', stageQuery),
      async (c) => {
        const { stage } = c.req.valid('query')
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
        const builds = await store.builds(partNumber.id, stage)
        const studies = await studiesOf(store, partNumber.id, stage, builds)
        return c.json(await studyView(store, characteristic, studies.of(characteristic.id), builds))
      },
    )
    .post(
      '/:number/:revision/characteristics/:designator/study/preview',
      validated('query', stageQuery),
      validated('json', studyPreviewRequest),
      async (c) => {
        const { stage } = c.req.valid('query')
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
        const atHand = await studyAtHand(store, partNumber, characteristic, stage)
        const change = changeOf(c.req.valid('json').change, atHand.builds)
        const cells =
          change.kind === 'choose-repeats'
            ? await store.cellsCountedBy(characteristic.id, stage, change.repeats)
            : atHand.cells
        return c.json(previewOf(atHand, change, cells))
      },
    )
    .post(
      '/:number/:revision/characteristics/:designator/study',
      validated('query', stageQuery),
      validated('json', studyDecision),
      async (c) => {
        const { stage } = c.req.valid('query')
        const { version, change: request, who, reason } = signed(c, c.req.valid('json'))
        const { partNumber, characteristic } = await findCharacteristic(store, c.req.param())
        const stale = async () => {
          const view = await readStudy()
          const other = view.history[0]
          return staleProblem(
            other === undefined
              ? 'This study is not at the version that you saw.'
              : { ...other, did: `${other.did} (${other.reason})` },
          )
        }
        const readStudy = async () => {
          const builds = await store.builds(partNumber.id, stage)
          const studies = await studiesOf(store, partNumber.id, stage, builds)
          return studyView(store, characteristic, studies.of(characteristic.id), builds)
        }
        const atHand = await studyAtHand(store, partNumber, characteristic, stage)
        if (atHand.version !== version) throw await stale()
        const change = changeOf(request, atHand.builds)
        const signature = { who, at: now(), reason, version: version + 1 }
        const { stage: _, exclusions: __, ...study } = changedStudy(atHand, change, signature)
        try {
          await store.write((writer) =>
            writer.addStudyVersion(stage, {
              ...signature,
              characteristicId: characteristic.id,
              study,
              change,
            }),
          )
        } catch (error) {
          throw error instanceof StaleDecisionError ? await stale() : error
        }
        return c.json(await readStudy(), 201)
      },
    )
}
