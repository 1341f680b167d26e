import { expect, it } from 'vitest'
import { summariseCapability } from '../../../src/capability/summarise.ts'
import type { CapabilitySummary } from '../../../src/capability/summary.ts'
import { capabilityWords } from '../../../src/words/capability-words.ts'
import { plain } from '../../../src/words/sentence.ts'
import { draws } from '../capability/draws.ts'
import { judgedBuilds, LENGTH } from '../capability/judged-builds.ts'

const SPAN = { first: 'b1', last: 'b9', parts: 45 }

function row(sigma: number): CapabilitySummary {
  const random = draws(5)
  const builds = Array.from({ length: 9 }, () =>
    Array.from({ length: 5 }, () => 10 + sigma * random.normal()),
  )
  return summariseCapability(judgedBuilds(LENGTH, builds).basis) as CapabilitySummary
}
const [GOOD, OPEN, BAD, STILL] = [row(0.01), row(0.0235), row(0.08), row(0)] as const

it.each([
  [[GOOD], 'The one characteristic judged surely holds Ppk 1.33.'],
  [[BAD], 'The one characteristic judged surely does not hold Ppk 1.33.'],
  [[OPEN], 'Whether the one characteristic judged holds Ppk 1.33 cannot be said yet.'],
  [[GOOD, STILL], 'The one characteristic judged surely holds Ppk 1.33.'],
  [[BAD, BAD, OPEN], 'None of three characteristics surely holds Ppk 1.33; two surely do not.'],
  [[GOOD, BAD], 'One of two characteristics surely holds Ppk 1.33; one surely does not.'],
  [[GOOD, GOOD, OPEN], 'Two of three characteristics surely hold Ppk 1.33.'],
  [[STILL], 'No characteristic can be judged yet: their values tell no spread, or are too few.'],
  [
    [{ ...STILL, characteristic: { ...LENGTH, lower: null, upper: null } }],
    'No characteristic has limits to be judged by.',
  ],
])('counts who holds what is asked, case %#', (rows, sentence) => {
  expect(plain(capabilityWords(rows, SPAN).headline)).toBe(sentence)
})
