import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { randomSource } from '../../../src/numbers/random-source.ts'

/** tests/reference/capability/random-source.py: the published definitions in plain integers. */
const { streams } = JSON.parse(
  readFileSync(new URL('../../reference/capability/random-source.json', import.meta.url), 'utf8'),
) as { streams: { seed: number; outputs: number[] }[] }

describe('the generator', () => {
  it.each(streams)('gives the published sequence from seed $seed', ({ seed, outputs }) => {
    const source = randomSource(seed)
    expect(outputs.map(() => source.uniform() * 4294967296 - 0.5)).toEqual(outputs)
  })

  it('spreads whole numbers evenly: chi-square over 12 classes below its 99.99 % point, 37.4', () => {
    const source = randomSource(3)
    const counts = new Array(12).fill(0)
    for (let i = 0; i < 120_000; i++) counts[source.integer(12)]++
    const statistic = counts.reduce((sum, count) => sum + (count - 10_000) ** 2 / 10_000, 0)
    expect(statistic).toBeLessThan(37.4)
    expect(statistic).toBeGreaterThan(1)
  })

  it('refuses a seed that is not whole', () => {
    expect(() => randomSource(0.5)).toThrow(/seed/)
    expect(() => randomSource(Number.NaN)).toThrow(/seed/)
  })
})
