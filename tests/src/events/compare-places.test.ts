import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { comparePlaces, type PlacedValue } from '../../../src/events/compare-places.ts'
import { normalSource, uniformSource } from '../run-length/simulation.ts'

/** Two characteristics on every part; parts share 0.05 %, builds 0.2 %. Effects in percent. */
function values(seed: number, effect: (block: string, place: string, build: number) => number) {
  const normal = normalSource(seed)
  const uniform = uniformSource(seed + 1)
  const found: PlacedValue[] = []
  for (let build = 0; build < 40; build++) {
    const block = build % 2 === 0 ? 'F1' : 'F2'
    const level = 0.2 * normal()
    for (let part = 0; part < 15; part++) {
      const place = String(1 + Math.floor(6 * uniform()))
      const own = level + 0.05 * normal() + effect(block, place, build)
      for (const [characteristicId, nominal] of [
        [1, 20],
        [2, 8],
      ] as const) {
        const value = nominal * (1 + (own + 0.02 * normal()) / 100)
        found.push({ characteristicId, nominal, value, part: `${build}-${part}`, build, block, place })
      }
    }
  }
  return found
}

describe('a place that differs', () => {
  it('is named alone, with its size and the build that it began at', () => {
    const [first, ...others] = comparePlaces(
      values(51, (block, place, build) => (block === 'F1' && place === '5' && build >= 16 ? -0.08 : 0)),
    )
    expect([first?.block, first?.place]).toEqual(['F1', '5'])
    expect(others).toEqual([])
    expect(first?.percent.lower).toBeLessThan(-0.08)
    expect(first?.percent.upper).toBeGreaterThan(-0.08)
    expect(first?.plausible).toContain(16)
    expect(first?.p).toBeLessThan(1e-4)
  })

  it('is measured against those beside it, not against a mean that it pulls along', () => {
    // Half of all parts on one place: a deviation from the plain mean would show half of the effect.
    const all = values(52, (_, place) => (place <= '3' ? 0.1 : 0)).map((item) => ({
      ...item,
      place: item.place <= '3' ? 'low' : 'high',
    }))
    const [first] = comparePlaces(all)
    expect(Math.abs(Math.abs(first?.percent.value as number) - 0.1)).toBeLessThan(0.02)
  })

  it('does not make the places beside it look otherwise, however strong it is', () => {
    const found = comparePlaces(values(56, (block, place) => (block === 'F1' && place === '2' ? 0.6 : 0)))
    expect(found.map(({ block, place }) => `${block} ${place}`)).toEqual(['F1 2'])
  })

  it('two are told apart, the clearer first', () => {
    const found = comparePlaces(
      values(53, (block, place) => (block === 'F2' ? (place === '1' ? 0.15 : place === '4' ? -0.07 : 0) : 0)),
    )
    expect(found.map(({ block, place }) => `${block} ${place}`)).toEqual(['F2 1', 'F2 4'])
  })
})

describe('no place differs', () => {
  it('none is named in at least 95 of 100, whatever the builds do', () => {
    const named = Array.from({ length: 100 }, (_, i) => comparePlaces(values(600 + 3 * i, () => 0)).length)
    expect(named.filter((count) => count > 0).length).toBeLessThanOrEqual(5)
  })

  it('nothing, and parts alone in their build, say nothing', () => {
    expect(comparePlaces([])).toEqual([])
    const lonely = values(54, () => 0).filter(({ part }) => part.endsWith('-0'))
    expect(comparePlaces(lonely)).toEqual([])
  })

  it('refuses what it cannot compute with', () => {
    const [item] = values(55, () => 0) as [PlacedValue]
    expect(() => comparePlaces([{ ...item, nominal: 0 }])).toThrow(ArgumentError)
    expect(() => comparePlaces([{ ...item, value: Number.NaN }])).toThrow(ArgumentError)
    expect(() => comparePlaces([], 1)).toThrow(ArgumentError)
  })
})
