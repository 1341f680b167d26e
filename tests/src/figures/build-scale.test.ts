import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { buildLabels, buildScale } from '../../../src/figures/build-scale.ts'
import { textWidth } from '../../../src/figures/text-width.ts'

describe('the scale of builds', () => {
  it('gives every build a band of the same width', () => {
    const scale = buildScale(10, 19, 100, 300)
    expect(scale.step).toBe(20)
    expect(scale.start(10)).toBe(100)
    expect(scale.centre(10)).toBe(110)
    expect(scale.end(19)).toBe(300)
  })

  it('finds the build under a point, and none outside', () => {
    const scale = buildScale(10, 19, 100, 300)
    expect(scale.at(100)).toBe(10)
    expect(scale.at(119.9)).toBe(10)
    expect(scale.at(120)).toBe(11)
    expect(scale.at(299.9)).toBe(19)
    expect(scale.at(99.9)).toBeNull()
    expect(scale.at(300)).toBeNull()
  })

  it('finds each build again from the middle of its band', () => {
    fc.assert(
      fc.property(
        fc.nat(500),
        fc.nat(400),
        fc.integer({ min: 0, max: 200 }),
        fc.integer({ min: 300, max: 1600 }),
        (from, more, x0, x1) => {
          const scale = buildScale(from, from + more, x0, x1)
          for (let position = from; position <= from + more; position++) {
            expect(scale.at(scale.centre(position))).toBe(position)
          }
        },
      ),
      { numRuns: 50 },
    )
  })
})

describe('names of builds along the scale', () => {
  const name = (position: number) => String(400 + position).padStart(4, '0')

  it('writes the first, the last and round steps between', () => {
    const labels = buildLabels(buildScale(0, 59, 200, 1200), name, [], 12)
    expect(labels.map((label) => label.text)).toContain('0400')
    expect(labels.map((label) => label.text)).toContain('0459')
    expect(labels.map((label) => label.text)).toContain('0410')
  })

  it('writes a chosen build strong, and gives way to it', () => {
    const labels = buildLabels(buildScale(0, 299, 106, 330), name, [298], 12)
    expect(labels.find((label) => label.position === 298)?.strong).toBe(true)
    expect(labels.find((label) => label.position === 299)).toBeUndefined()
  })

  it('never lets two names touch', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 400 }),
        fc.integer({ min: 150, max: 1400 }),
        fc.array(fc.nat(400)),
        (to, width, chosen) => {
          const labels = [...buildLabels(buildScale(0, to, 0, width), name, chosen, 12)]
          labels.sort((a, b) => a.x - b.x)
          for (let i = 1; i < labels.length; i++) {
            const before = labels[i - 1]
            const label = labels[i]
            if (before === undefined || label === undefined) continue
            expect(label.x).toBeGreaterThan(before.x + textWidth(before.text, 12))
          }
        },
      ),
      { numRuns: 100 },
    )
  })
})
