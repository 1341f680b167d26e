import { describe, expect, it } from 'vitest'
import { predictionAddress, shrinkagePage } from '../../client/data/shrinkage-addresses.ts'
import { factorIn, shrinkageState } from '../../client/data/shrinkage-state.ts'

describe('the address of the page on shrinkage', () => {
  it('holds factors to try only where all three are numbers', () => {
    expect(shrinkageState({ x: '1.186', y: '1.1887', z: '1.2' }).tried).toEqual({
      x: 1.186,
      y: 1.1887,
      z: 1.2,
    })
    expect(shrinkageState({ x: '1.186', y: '', z: '1.2' }).tried).toBeNull()
    expect(shrinkageState({ x: '1.186', z: '1.2' }).tried).toBeNull()
    expect(shrinkageState({ x: 'NaN', y: '1', z: '1' }).tried).toBeNull()
  })

  it('falls back where it names no axis or no number of builds', () => {
    expect(shrinkageState({ axis: 'Q', builds: 'many' })).toMatchObject({ axis: null, builds: 60 })
    expect(shrinkageState({ axis: 'Y', builds: 'all' })).toMatchObject({ axis: 'Y', builds: null })
  })

  it('takes a factor with a point or a comma', () => {
    expect(factorIn('1,185')).toBe(1.185)
    expect(factorIn(' 1.185 ')).toBe(1.185)
    expect(factorIn('1.18x')).toBeNull()
    expect(factorIn(undefined)).toBeNull()
  })

  it('keeps names with any character', () => {
    expect(shrinkagePage({ number: 'A/B', revision: '?' })).toBe('/shrinkage/A%2FB/%3F')
    expect(predictionAddress({ number: 'A/capability/B', revision: 'C' }, { x: 1.1, y: 1.2, z: 1.3 })).toBe(
      '/api/part-numbers/A%2Fcapability%2FB/C/shrinkage/prediction?x=1.1&y=1.2&z=1.3',
    )
  })
})
