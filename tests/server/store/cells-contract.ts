import fc from 'fast-check'
import { beforeEach, describe, expect, it } from 'vitest'
import type { NewSignal } from '../../../server/contract/receipt.ts'
import { type Grounds, StaleDecisionError } from '../../../server/store/decision-writes.ts'
import { MOST_BUILDS_ANEW } from '../../../server/store/engine.ts'
import { kept } from '../../../server/store/kept.ts'
import { openStore, type Store } from '../../../server/store/store.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { unrecorded } from '../../tools/unrecorded.ts'
import { columns, inOrder } from './furnished.ts'

const grounds: Grounds = { reason: 'mistyped', who: 'Ines Quark', at: 1_790_000_100 }
const CHARACTERISTICS = [1, 2, 3]
const REPEATS = ['first', 'last', 'mean', 'every'] as const

function signalIn(build: string): NewSignal {
  const of = { number: 'HB-1', revision: 'A', characteristic: '1', stage: 'sintered' } as const
  return { ...of, builds: [build], text: 'above the upper limit' }
}

/** Something that changes cells, or looks as if it did. Numbers choose among what is there. */
type Act =
  | {
      readonly kind: 'measure'
      readonly characteristic: number
      readonly build: number
      readonly load: number
    }
  | { readonly kind: 'leave out' | 'take back' | 'empty'; readonly which: number }
  | { readonly kind: 'choose repeats'; readonly which: number }
  | { readonly kind: 'fail' | 'read meanwhile' | 'other' | 'note signals' }

const acts = fc.oneof(
  fc.record({
    kind: fc.constant('measure' as const),
    characteristic: fc.integer({ min: 1, max: 3 }),
    build: fc.integer({ min: 1, max: 4 }),
    load: fc.integer({ min: 0, max: 2 }),
  }),
  fc.record({
    kind: fc.constantFrom('leave out' as const, 'take back' as const, 'empty' as const),
    which: fc.nat(5),
  }),
  fc.record({ kind: fc.constant('choose repeats' as const), which: fc.nat(3) }),
  fc.record({
    kind: fc.constantFrom(
      'fail' as const,
      'read meanwhile' as const,
      'other' as const,
      'note signals' as const,
    ),
  }),
)

/** Cells as they were read before, brought up to date, and as they are read from nothing. */
async function both(store: Store) {
  const held = await store.cellsByCharacteristic(1, 'sintered')
  const fresh = await Promise.all(CHARACTERISTICS.map((id) => store.cellsOf(id, 'sintered')))
  const chosen = await Promise.all(CHARACTERISTICS.map((id) => store.cellsOf(id, 'sintered', 1)))
  expect(chosen).toEqual(fresh)
  const order = (a: { buildId: number }, b: { buildId: number }) => a.buildId - b.buildId
  const before = CHARACTERISTICS.map((id) => {
    const { buildId, furnaceLoadId, n, mean, m2, min, max } = held.get(id) ?? {}
    return Array.from(buildId ?? [], (build, i) => ({
      characteristicId: id,
      buildId: build,
      furnaceLoadId: furnaceLoadId?.[i] || null,
      stage: 'sintered',
      ...{ n: n?.[i], mean: mean?.[i], m2: m2?.[i], min: min?.[i], max: max?.[i] },
    }))
  })
  return { before, fresh: fresh.map((cells) => cells.sort(order)) }
}

/**
 * Cells that are held and brought up to date after every commit are those that would be read from nothing.
 *
 * @param filled the store, with four builds, cells 1 to 4 of characteristic 1 in them, and parts 1 to 5
 */
export function cellsContract(filled: () => Promise<Store>): void {
  describe('cells that are held', () => {
    let store: Store
    beforeEach(async () => {
      store = await filled()
    })

    it('are those on record after any acts, whichever process did them', async () => {
      const { location } = store
      const alone = 'file' in location && location.file === ':memory:'
      const other = alone ? store : unrecorded(await openStore(location))
      let nextCell = 5
      let nextReplicate = 10
      let version = 0
      const left: number[] = []
      const perform = async (by: Store, act: Act) => {
        if (act.kind === 'measure') {
          await by.write(async (writer) => {
            const id = nextCell++
            const place = {
              characteristic_id: act.characteristic,
              build_id: act.build,
              furnace_load_id: act.load || null,
              stage: 'sintered' as const,
            }
            const known = (await by.cellsOf(act.characteristic, 'sintered')).some(
              (cell) => cell.buildId === act.build && (cell.furnaceLoadId ?? 0) === act.load,
            )
            if (known || seen.has(JSON.stringify(place))) return
            seen.add(JSON.stringify(place))
            await writer.insertCells([{ id, ...place }])
            const row = [id, 1, nextReplicate++, 9 + nextReplicate / 7, 2] as const
            await writer.insertMeasurements(1, columns([row]), inOrder(1))
            await writer.mergeCells(new Map([[id, momentsOf([row[3]])]]))
          })
        } else if (act.kind === 'leave out') {
          const single = { serial: 'S9', replicate: 1 + (act.which % 2) }
          const place = { characteristicId: 1, stage: 'sintered' as const, buildId: 1, single }
          const id = await by.write((writer) => writer.leaveOut(place, grounds))
          if (id !== null) left.push(id)
        } else if (act.kind === 'take back') {
          const id = left[act.which % Math.max(1, left.length)]
          if (id !== undefined) await by.write((writer) => writer.takeBack(id, grounds))
        } else if (act.kind === 'empty') {
          await by.write((writer) => writer.recomputeCells([1 + act.which]))
        } else if (act.kind === 'choose repeats') {
          const { stage: _, exclusions: __, ...study } = DEFAULT_STUDY
          const repeats = REPEATS[act.which] as (typeof REPEATS)[number]
          const change = { kind: 'choose-repeats', repeats } as const
          version++
          await by.write((writer) =>
            writer.addStudyVersion('sintered', {
              characteristicId: 1,
              version,
              study: { ...study, repeats },
              change,
              ...grounds,
            }),
          )
        } else if (act.kind === 'other') {
          await by.write((writer) => writer.put('gauge', [{ id: 1, name: `CMM-1 ${nextReplicate++}` }]))
        } else if (act.kind === 'note signals') {
          await by.write((writer) => writer.noteSignals(1, [signalIn(`build ${nextReplicate++}`)]))
        } else {
          const failing = by.write(async (writer) => {
            await writer.mergeCells(new Map([[3, momentsOf([1, 2])]]))
            await by.cellsByCharacteristic(1, 'sintered')
            if (act.kind === 'fail') throw new Error('on purpose')
          })
          await failing.catch(() => undefined)
        }
      }
      const seen = new Set<string>()
      try {
        const step = fc.record({ act: acts, elsewhere: fc.boolean() })
        await fc.assert(
          fc.asyncProperty(fc.array(step, { minLength: 6, maxLength: 12 }), async (steps) => {
            for (const { act, elsewhere } of steps) {
              await perform(elsewhere ? other : store, act).catch((error: unknown) => {
                // What was left out or taken back already stays so.
                if (!(error instanceof StaleDecisionError)) throw error
              })
              for (const each of new Set([store, other])) {
                const { before, fresh } = await both(each)
                expect(before).toEqual(fresh)
              }
            }
          }),
          { numRuns: 4, endOnFailure: true },
        )
      } finally {
        if (!alone) await other.close()
      }
    })

    it('stay, with all that is kept, where signals are noted on a receipt or a session used by any process', async () => {
      const { location } = store
      const alone = 'file' in location && location.file === ':memory:'
      const other = alone ? store : unrecorded(await openStore(location))
      try {
        for (const by of new Set([store, other])) {
          const [cells, version] = [await store.cellsByCharacteristic(1, 'sintered'), await store.version()]
          let computed = 0
          const view = () => kept(store, `by ${by === store}`, async () => ++computed)
          expect(await view()).toBe(1)
          await by.write((writer) => writer.noteSignals(1, []))
          await by.write((writer) => writer.noteSignals(1, [signalIn('1')]))
          await by.write((writer) => writer.seeSession(1, 1_790_000_000))
          expect(await view()).toBe(1)
          expect(await store.cellsByCharacteristic(1, 'sintered')).toBe(cells)
          // Pages are told all the same, since one may show the receipt.
          expect(await store.version()).not.toBe(version)
          // With anything else before, beside or after it, what is kept is computed anew.
          const gauge = { id: 1, name: `CMM-1 ${by === store}` }
          await by.write((writer) => writer.put('gauge', [gauge]))
          await by.write((writer) => writer.noteSignals(1, [signalIn('2')]))
          expect(await view()).toBe(2)
          await by.write((writer) => writer.noteSignals(1, [signalIn('3')]))
          await by.write((writer) => writer.put('gauge', [gauge]))
          expect(await view()).toBe(3)
          await by.write(async (writer) => {
            await writer.noteSignals(1, [signalIn('4')])
            await writer.put('gauge', [gauge])
          })
          expect(await view()).toBe(4)
        }
      } finally {
        if (!alone) await other.close()
      }
    })

    it('are read anew for builds that changed, and as a whole where many did', async () => {
      const first = await store.cellsByCharacteristic(1, 'sintered')
      await store.write((writer) => writer.put('gauge', [{ id: 1, name: 'CMM-2' }]))
      expect(await store.cellsByCharacteristic(1, 'sintered')).toEqual(first)
      const builds = Array.from({ length: MOST_BUILDS_ANEW + 1 }, (_, i) => 1000 + i)
      await store.write(async (writer) => {
        const [like] = (await writer.catalogue()).builds
        await writer.put(
          'build',
          builds.map((id) => ({ ...like, id, name: `M${id}` }) as never),
        )
        await writer.insertCells(
          builds.map((id) => ({
            id,
            characteristic_id: 2,
            build_id: id,
            furnace_load_id: null,
            stage: 'sintered' as const,
          })),
        )
        await writer.mergeCells(new Map(builds.map((id) => [id, momentsOf([id, id + 1])])))
      })
      const { before, fresh } = await both(store)
      expect(before).toEqual(fresh)
      expect(before[1]).toHaveLength(builds.length)
      expect(first.has(2)).toBe(false)
    })
  })
}
