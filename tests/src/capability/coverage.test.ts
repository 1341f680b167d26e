import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { nearerIndexInterval } from '../../../src/capability/confidence.ts'
import { nearerIndex } from '../../../src/capability/indices.ts'
import {
  noncentralStudentQuantile,
  noncentralStudentUpperQuantile,
} from '../../../src/distributions/noncentral-student.ts'
import { draws } from './draws.ts'

interface Row {
  readonly n: number
  readonly index: number
  readonly offset: number | null
  readonly covered: number
  readonly below: number
  readonly above: number
}

function table(name: string): Row[] {
  return readFileSync(new URL(`../../reference/capability/${name}`, import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => /^\d/.test(line))
    .map((line) => {
      const [n, index, offset, covered, below, above] = line.split(',')
      return {
        n: Number(n),
        index: Number(index),
        offset: offset === 'one limit' ? null : Number(offset),
        covered: Number(covered),
        below: Number(below),
        above: Number(above),
      }
    })
}

/** tests/bench/coverage.ts: 100,000 simulated samples a case. */
const simulated = table('coverage.csv')
/** tests/reference/capability/coverage.py: the same by integration, with SciPy. */
const exact = table('coverage-exact.csv')

describe('simulated coverage of nearerIndexInterval', () => {
  it('is 94 to 97 % in all 336 cases, exactly centred ones included', () => {
    expect(simulated.length).toBe(336)
    for (const { covered } of simulated) {
      expect(covered).toBeGreaterThan(0.94)
      expect(covered).toBeLessThan(0.97)
    }
  })

  it('leaves the true index below the interval, the side that hurts, in no more than 2.5 %', () => {
    // 4.5 standard errors of 0.05 % each over 336 cases.
    for (const { below } of simulated) expect(below).toBeLessThan(0.025 + 0.0022)
  })

  it.each(exact)('agrees with integration: n = $n, index $index, offset $offset', (row) => {
    const twin = simulated.find(
      (one) => one.n === row.n && one.index === row.index && one.offset === row.offset,
    )
    for (const share of ['covered', 'below', 'above'] as const) {
      const error = Math.sqrt((row[share] * (1 - row[share])) / 100_000)
      expect(Math.abs((twin?.[share] ?? 0) - row[share]), share).toBeLessThan(4.5 * error)
    }
  })
})

describe('the shortcut of the simulation', () => {
  it('is the interval itself: the same samples are covered', () => {
    const random = draws(91)
    for (const [n, index] of [
      [10, 0.7],
      [30, 1.33],
      [100, 2],
    ] as const) {
      const noncentrality = 3 * Math.sqrt(n) * index
      const from = noncentralStudentQuantile(0.025, n - 1, noncentrality)
      const to = noncentralStudentUpperQuantile(0.025, n - 1, noncentrality)
      let outside = 0
      for (let i = 0; i < 60; i++) {
        // Spread wider than samples are, so that many miss.
        const mean = (3 * random.normal()) / Math.sqrt(n)
        const sigma = Math.sqrt(random.chiSquare(n - 1) / (n - 1))
        const estimate = nearerIndex({ lower: -3 * index, upper: 3 * index }, mean, sigma) as number
        const { lower, upper } = nearerIndexInterval(estimate, n, n - 1, 0.95)
        const t = estimate * 3 * Math.sqrt(n)
        const covered = from <= t && t <= to
        expect(lower <= index && index <= upper).toBe(covered)
        if (!covered) outside++
      }
      expect(outside).toBeGreaterThan(5)
    }
  })
})
