import { describe, expect, it } from 'vitest'
import { standOuts } from '../../../src/gauges/stand-out.ts'
import { normalSource } from '../run-length/simulation.ts'
import { drawStudy } from './readings.ts'

const even = { part: 1, inspector: 0, interaction: 0, repeatability: 0.1 }

describe('what was planted in a study', () => {
  const readings = drawStudy(10, 4, 3, even, normalSource(84))
  const planted = readings.map((reading, i) => {
    let { value } = reading
    if (reading.inspector === 'inspector 2') value += 0.2
    if (reading.inspector === 'inspector 3') value += (i % 3) - 1
    if (reading.part === 'part 7' && reading.inspector === 'inspector 4') value -= 5
    return { ...reading, value }
  })
  const found = standOuts(planted, 0.01)

  it('stands out: an inspector’s scatter and a part that inspectors disagree on', () => {
    const said = found.map(({ name, how }) => `${name}: ${how}`)
    expect(said).toContain('inspector 3: scatter')
    expect(said).toContain('part 7: disagreement')
  })

  it('is sorted by how surely it does', () => {
    expect(found.map(({ p }) => p)).toEqual(found.map(({ p }) => p).sort((a, b) => a - b))
  })

  it('an offset, in the unit of the readings', () => {
    const offset = readings.map((r) => (r.inspector === 'inspector 2' ? { ...r, value: r.value + 0.2 } : r))
    const found = standOuts(offset, 0.01).find(({ name, how }) => name === 'inspector 2' && how === 'offset')
    // A fourth of it moves the mean of all.
    expect(Math.abs((found?.size ?? 0) - 0.15)).toBeLessThan(0.04)
  })
})

it('stands out by chance in no more than the level of studies, for each kind of difference', () => {
  const normal = normalSource(85)
  const studies = 400
  let offsets = 0
  let scatters = 0
  let disagreements = 0
  for (let s = 0; s < studies; s++) {
    const found = standOuts(drawStudy(6, 3, 2, even, normal), 0.05)
    if (found.some(({ how }) => how === 'offset')) offsets++
    if (found.some(({ what, how }) => what === 'inspector' && how === 'scatter')) scatters++
    if (found.some(({ how }) => how === 'disagreement')) disagreements++
  }
  // Four standard errors of 5 % in 400; far less than 5 % would be wrong, too.
  for (const count of [offsets, scatters, disagreements]) {
    expect(count / studies).toBeLessThan(0.094)
    expect(count / studies).toBeGreaterThan(0.01)
  }
})

it('says nothing of what cannot be tested', () => {
  expect(standOuts([], 1)).toEqual([])
  const reading = (part: string, inspector: string, value: number) => ({ part, inspector, value })
  expect(
    standOuts([reading('1', 'A', 1), reading('1', 'B', 2), reading('2', 'A', 1), reading('2', 'B', 2)], 1),
  ).toEqual([])
  const constant = [reading('1', 'A', 1), reading('1', 'A', 1), reading('2', 'A', 1), reading('2', 'A', 1)]
  expect(standOuts(constant, 1)).toEqual([])
})
