import { describe, expect, it } from 'vitest'
import { placeWords } from '../../../src/words/place-words.ts'
import { plain } from '../../../src/words/sentence.ts'
import { CHARACTERISTICS } from '../../client/fixtures.ts'

describe('what the page of places says', () => {
  const [characteristic] = CHARACTERISTICS
  if (characteristic === undefined) throw new Error('no characteristic')

  it('nothing of trays and furnaces where none is on record', () => {
    const { headline, grounds } = placeWords(characteristic, [], { parts: 5, first: 'b1', last: 'b1' })
    expect(plain(headline)).toBe(
      '1 length overall: nothing is on record that sets its parts apart, so that they cannot be compared.',
    )
    expect(plain(grounds)).toBe(
      'Build b1, five parts. It takes two trays, furnaces, gauges, printers or powder lots.',
    )
  })

  it('nothing measured is no comparison either', () => {
    expect(plain(placeWords(characteristic, [], null).headline)).toBe(
      '1 length overall is not measured in these builds.',
    )
  })
})
