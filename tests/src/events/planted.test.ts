import { beforeAll, describe, expect, it } from 'vitest'
import { generateShop } from '../../../sample-data/generate-shop.ts'
import type { PlantedCause } from '../../../sample-data/planted-record.ts'
import { DEMONSTRATION_SEED } from '../../../sample-data/seed.ts'
import { detectEvents } from '../../../src/events/detect-events.ts'
import type { ProcessEvent } from '../../../src/events/event.ts'
import { rankConditions } from '../../../src/events/rank-conditions.ts'
import { PLANTED, recordsOf, type ShopRecord } from './shop.ts'

/** What each kind of cause is to be found as, and the condition that is to be named first. */
const AS = {
  'scale-correction': { kind: 'level', condition: 'scale factor Y' },
  'furnace-drift': { kind: 'drift', condition: 'furnace' },
  'wide-build': { kind: 'spread', condition: null },
  'powder-lot-step': { kind: 'level', condition: 'powder lot' },
  'mistyped-value': { kind: 'single', condition: null },
} as const
type Sought = keyof typeof AS

const sought = PLANTED.filter(
  (cause): cause is PlantedCause & { id: Sought } => cause.id in AS && cause.shownBy !== null,
)

const positionOf = (record: ShopRecord, build: string) =>
  record.builds.findIndex((item) => item.build.name === build)

/** The event that a cause is found as: of its kind and axis, and near its first build. */
function eventOf(record: ShopRecord, events: readonly ProcessEvent[], cause: PlantedCause & { id: Sought }) {
  const at = positionOf(record, cause.firstBuild)
  return events.find(
    (event) =>
      event.kind === AS[cause.id].kind &&
      event.axis === cause.axis &&
      (event.plausible.includes(at) || Math.abs(event.from - at) <= 2),
  )
}

const cases = sought.flatMap((cause) =>
  cause.partNumbers.map((partNumber) => [cause.id, partNumber, cause] as const),
)

describe('the demonstration shop', () => {
  const shop = generateShop(DEMONSTRATION_SEED)
  const records = new Map(recordsOf(shop).map((record) => [record.partNumber, record]))
  const found = new Map([...records].map(([name, record]) => [name, detectEvents(record).events]))

  it('is looked through for all causes but the tray', () => {
    expect(sought.map(({ id }) => id)).toEqual(
      PLANTED.filter(({ kind }) => kind !== 'tray').map(({ id }) => id),
    )
    expect(cases).toHaveLength(9)
  })

  it.each(cases)('%s is found in %s', (_, partNumber, cause) => {
    const record = records.get(partNumber) as ShopRecord
    const event = eventOf(record, found.get(partNumber) ?? [], cause) as ProcessEvent
    const at = positionOf(record, cause.firstBuild)
    expect(event).toBeDefined()
    expect(event.plausible).toContain(at)
    if (event.kind !== 'drift') expect(Math.abs(event.from - at)).toBeLessThanOrEqual(2)
    expect(event.to).toBe(positionOf(record, cause.lastBuild))
    expect(event.standing).toBe(cause.lastBuild === '0459' && event.kind !== 'single')

    const first = rankConditions(event, record.builds)[0]
    expect(first?.condition ?? null).toBe(AS[cause.id].condition)
    const { from, to, furnace } = cause.condition ?? {}
    if (from !== undefined) expect([first?.from, first?.to]).toEqual([String(from), String(to)])
    if (furnace !== undefined) expect(first?.to).toBe(furnace)
    if (first !== undefined) expect(first.share).toBeGreaterThan(0.6)
  })

  it.each(cases)('%s moves in %s what the record says, by as much', (_, partNumber, cause) => {
    const record = records.get(partNumber) as ShopRecord
    const event = eventOf(record, found.get(partNumber) ?? [], cause) as ProcessEvent
    const inFull = cause.characteristics
      .filter((moved) => moved.partNumber === partNumber && moved.share === 1)
      .map(({ designator }) => designator)
    const members = event.members.map(({ characteristic }) => characteristic.designator)
    const known = inFull.filter((designator) => members.includes(designator))
    expect(known.length).toBeGreaterThanOrEqual(0.85 * inFull.length)
    const any = cause.characteristics.filter((moved) => moved.partNumber === partNumber)
    for (const designator of members) expect(any.map((moved) => moved.designator)).toContain(designator)
    const percent = cause.size.percent
    if (percent !== null && event.percent !== null) {
      expect(event.percent.lower).toBeLessThan(percent)
      expect(event.percent.upper).toBeGreaterThan(percent)
    }
    const factor = cause.size.scatterFactor
    if (factor !== null) {
      const ratios = event.members.map(({ scatter }) => scatter?.value ?? Number.NaN)
      const mean = ratios.reduce((sum, ratio) => sum + ratio, 0) / ratios.length
      expect(Math.abs(mean - factor)).toBeLessThan(0.3)
    }
  })

  it('has no other event', () => {
    expect([...found.values()].map((events) => events.length)).toEqual([5, 4])
  })

  it('names the value that was mistyped and what was meant', () => {
    const [, typed, meant] =
      /: .* ([\d.]+) for ([\d.]+)\.$/.exec(
        PLANTED.find(({ id }) => id === 'mistyped-value')?.description ?? '',
      ) ?? []
    const event = found.get('HB-204')?.find(({ kind }) => kind === 'single')
    expect(event?.members).toHaveLength(1)
    expect(event?.members[0]?.outlier?.value).toBe(Number(typed))
    expect(event?.members[0]?.outlier?.exchanged).toBe(Number(meant))
  })

  it('a corrected scale factor predicts its own effect', () => {
    const record = records.get('HB-204') as ShopRecord
    const event = found.get('HB-204')?.find(({ axis }) => axis === 'Y') as ProcessEvent
    const first = rankConditions(event, record.builds)[0]
    const { from, to } = PLANTED.find(({ id }) => id === 'scale-correction')?.condition ?? {}
    expect(first?.predictedPercent).toBeCloseTo(100 * (Number(to) / Number(from) - 1), 9)
    expect(first?.method).toBe('scale-prediction')
  })
})

describe('twenty-four other shops with the same causes', () => {
  const SEEDS = Array.from({ length: 24 }, (_, i) => 500 + i)
  const counts = new Map<string, number>()
  const count = (key: string) => counts.set(key, (counts.get(key) ?? 0) + 1)
  const share = (key: string, of: number) => (counts.get(key) ?? 0) / of

  beforeAll(() => {
    for (const seed of SEEDS) {
      const shop = generateShop(seed)
      for (const record of recordsOf(shop)) {
        const { events } = detectEvents(record)
        for (const cause of sought) {
          if (!cause.partNumbers.includes(record.partNumber)) continue
          const event = eventOf(record, events, cause)
          if (event === undefined) continue
          count(cause.id)
          const at = positionOf(record, cause.firstBuild)
          if (event.plausible.includes(at)) count(`${cause.id}, in the set`)
          if (Math.abs(event.from - at) <= 2) count(`${cause.id}, within two`)
          const first = rankConditions(event, record.builds)[0]
          if (first?.condition === (AS[cause.id].condition ?? undefined)) count(`${cause.id}, ranked`)
        }
      }
    }
  })

  it.each(['scale-correction', 'powder-lot-step', 'wide-build'])('%s is found in 95 %% and more', (id) => {
    expect(share(id, 48)).toBeGreaterThanOrEqual(0.95)
    expect(share(`${id}, in the set`, 48)).toBeGreaterThanOrEqual(0.93)
    expect(share(`${id}, within two`, 48)).toBeGreaterThanOrEqual(0.93)
  })

  it.each(['scale-correction', 'powder-lot-step'])('%s: the true condition comes first', (id) => {
    expect(share(`${id}, ranked`, 48)).toBeGreaterThanOrEqual(0.93)
  })

  it('furnace-drift is found as a drift of furnace 2 in 85 % and more', () => {
    expect(share('furnace-drift', 48)).toBeGreaterThanOrEqual(0.85)
    expect(share('furnace-drift, ranked', counts.get('furnace-drift') as number)).toBe(1)
  })

  it('mistyped-value is found in 95 % and more', () => {
    expect(share('mistyped-value', 24)).toBeGreaterThanOrEqual(0.95)
  })
})
