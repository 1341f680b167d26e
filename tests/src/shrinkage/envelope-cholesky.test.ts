import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Random } from '../../../sample-data/random.ts'
import { ConvergenceError } from '../../../src/errors.ts'
import { EnvelopeMatrix } from '../../../src/shrinkage/envelope-cholesky.ts'
import { invert } from '../../../src/shrinkage/small-systems.ts'

describe('envelope matrix', () => {
  it('solves, inverts and has the determinant of [4 2; 2 3]', () => {
    const matrix = new EnvelopeMatrix(Int32Array.of(0, 0))
    matrix.add(0, 0, 4)
    matrix.add(0, 1, 2)
    matrix.add(1, 1, 3)
    expect(Math.exp(matrix.factorise())).toBeCloseTo(8, 12)
    const right = Float64Array.of(10, 9)
    matrix.solve(right)
    expect([...right]).toEqual([expect.closeTo(1.5, 12), expect.closeTo(2, 12)])
    const inverse = matrix.inverse()
    expect([inverse.at(0, 0), inverse.at(0, 1), inverse.at(1, 1)]).toEqual([
      expect.closeTo(3 / 8, 12),
      expect.closeTo(-2 / 8, 12),
      expect.closeTo(4 / 8, 12),
    ])
  })

  it('agrees with the full matrix for any envelope', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 1, max: 14 }), (seed, size) => {
        const random = Random.stream(seed, 'envelope')
        const first = Int32Array.from({ length: size }, (_, i) => random.integer(0, i))
        const matrix = new EnvelopeMatrix(first)
        const full = new Float64Array(size * size)
        for (let i = 0; i < size; i++) {
          for (let j = first[i] as number; j <= i; j++) {
            const value = i === j ? size + 1 : 2 * random.uniform() - 1
            matrix.add(j, i, value)
            full[i * size + j] = value
            full[j * size + i] = value
          }
        }
        matrix.factorise()
        const expected = invert(full, size) as Float64Array
        const inverse = matrix.inverse()
        for (let i = 0; i < size; i++) {
          const unit = new Float64Array(size)
          unit[i] = 1
          matrix.solve(unit)
          for (let j = 0; j < size; j++) expect(unit[j]).toBeCloseTo(expected[j * size + i] as number, 10)
          for (let j = first[i] as number; j <= i; j++)
            expect(inverse.at(i, j)).toBeCloseTo(expected[i * size + j] as number, 10)
        }
      }),
    )
  })

  it('refuses a matrix that is not positive definite', () => {
    const matrix = new EnvelopeMatrix(Int32Array.of(0, 0))
    matrix.add(0, 0, 1)
    matrix.add(0, 1, 2)
    matrix.add(1, 1, 1)
    expect(() => matrix.factorise()).toThrow(ConvergenceError)
  })
})
