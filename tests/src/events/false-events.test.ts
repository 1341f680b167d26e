import { describe, expect, it } from 'vitest'
import { PLANTED_IDS } from '../../../sample-data/planted.ts'
import { detectEvents, EVENT_LEVEL } from '../../../src/events/detect-events.ts'
import { shopRecords } from './shop.ts'

describe('a hundred shops of two part numbers and sixty builds where nothing happened', () => {
  const shops = Array.from({ length: 100 }, (_, i) => shopRecords(1000 + i, { leaveOut: PLANTED_IDS }))

  it('at most five show any event', () => {
    expect(2 * EVENT_LEVEL).toBeLessThanOrEqual(0.05)
    const disturbed = shops.filter((records) =>
      records.some((record) => detectEvents(record).events.length > 0),
    )
    expect(disturbed.length).toBeLessThanOrEqual(5)
  })

  it('bare signals there are, in nearly every one: they alone would not do', () => {
    const signalling = shops.filter((records) =>
      records.some((record) => detectEvents(record).bare.length > 0),
    )
    expect(signalling.length).toBeGreaterThan(90)
  })

  it('a level of 60 % is kept too, and is not a level of nothing', () => {
    const records = shops.flat()
    const disturbed = records.filter((record) => detectEvents({ ...record, level: 0.6 }).events.length > 0)
    expect(disturbed.length / records.length).toBeLessThan(0.6)
    expect(disturbed.length / records.length).toBeGreaterThan(0.03)
  })
})
