import fc from 'fast-check'
import { expect, it } from 'vitest'
import { NumberFilter, numberOf } from '../../../server/intake/number-filter.ts'

it('has every number that was put in, and none once it was cleared', () => {
  const filter = new NumberFilter()
  fc.assert(
    fc.property(fc.array(fc.integer()), (numbers) => {
      for (const number of numbers) filter.add(number)
      expect(numbers.every((number) => filter.mayHave(number))).toBe(true)
      filter.clear()
      expect(numbers.some((number) => filter.mayHave(number))).toBe(false)
    }),
  )
})

it('with 600 000 serial numbers in it says of few others that they may be there', () => {
  const filter = new NumberFilter()
  for (let i = 0; i < 600_000; i++) filter.add(numberOf(1, `S${100_000 + i}`))
  let said = 0
  for (let i = 0; i < 100_000; i++) {
    if (filter.mayHave(numberOf(1, `S${700_000 + i}`))) said++
    if (filter.mayHave(numberOf(2, `S${100_000 + i}`))) said++
  }
  // Bloom: (1 − e^(−4 · 600 000 / 2^24))^4 = 0.0003 of 200 000.
  expect(said).toBeLessThan(400)
})

it('makes of a text what FNV-1a makes of it', () => {
  // Test vectors of the authors for 32 bits, from memory: "" and "a".
  expect(numberOf(0, '') >>> 0).toBe(0x811c9dc5)
  expect(numberOf(0, 'a') >>> 0).toBe(0xe40c292c)
})
