import { describe, expect, it } from 'vitest'
import { plain } from '../../../src/words/sentence.ts'
import { buildsText, testPowerWords } from '../../../src/words/test-power-words.ts'
import { CHARACTERISTICS } from '../../client/fixtures.ts'

describe('what tests cost and catch, in words', () => {
  it.each([
    [4.83, '4.8'],
    [91.75, '92'],
    [1536.2, '1,536'],
    [250_000, 'over 100,000'],
    [Number.POSITIVE_INFINITY, 'over 100,000'],
  ])('%f builds are written as %s', (count, text) => {
    expect(buildsText(count)).toBe(text)
  })

  it('is one sentence, with a gap while it is computed', () => {
    const characteristic = CHARACTERISTICS[0]
    if (characteristic === undefined) throw new Error('no characteristic')
    expect(plain(testPowerWords(characteristic, 0.01, 91.75, 4.8))).toBe(
      'A shift of 0.0100 mm is seen after 4.8 builds on average, and a false alarm comes every 92.',
    )
    expect(plain(testPowerWords(characteristic, 0.01, null, null))).toContain('after … builds')
  })
})
