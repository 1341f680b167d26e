import { notJudged } from '../capability/not-judged.ts'
import type { CapabilitySummary } from '../capability/summary.ts'
import { capitalise, characteristicTitle, countOf, countWord, formatCount, formatNumber } from './format.ts'
import type { Phrase, Sentence } from './sentence.ts'

/** The span of builds that a capability statement speaks of. */
export interface SpanWords {
  readonly first: string
  readonly last: string
  readonly parts: number
}

/**
 * How many characteristics hold what is asked of them, in one sentence, and what that rests on.
 */
export function capabilityWords(
  rows: readonly CapabilitySummary[],
  span: SpanWords | null,
): { readonly headline: Sentence; readonly grounds: Sentence } {
  if (span === null || rows.length === 0)
    return { headline: [{ text: 'Nothing is measured yet.' }], grounds: [] }
  const judged = rows.filter((row) => row.verdict !== null)
  if (judged.length === 0) {
    if (rows.some((row) => notJudged(row) !== 'no limits')) {
      return {
        headline: [
          { text: 'No characteristic can be judged yet: their values tell no spread, or are too few.' },
        ],
        grounds: [...spanWords(span), ...outsideWords(rows)],
      }
    }
    return {
      headline: [{ text: 'No characteristic has limits to be judged by.' }],
      grounds: [
        { text: 'Bring a characteristics file with the limits of the drawing. ' },
        ...spanWords(span),
      ],
    }
  }
  const holds = count(judged, 'holds')
  const fails = count(judged, 'does not')
  const open = judged.filter((row) => row.verdict === 'not yet sure')
  const all = [
    ...new Set(judged.map(({ requirement: { index, value } }) => `${index} ${formatNumber(value, 2)}`)),
  ]
  const asked = all.length === 1 ? (all[0] as string) : 'what is asked'
  const sure = [...new Set(judged.map(({ requirement }) => requirement.confidence))].sort((a, b) => a - b)
  return {
    headline:
      judged.length === 1
        ? ofOne(judged[0] as CapabilitySummary)
        : ofMany(judged.length, holds, fails, asked),
    grounds: [
      ...spanWords(span),
      ...outsideWords(rows),
      ...ownWords(rows),
      ...openWords(open),
      ...unstableWords(rows),
      {
        text: `Surely means: with ${sure.map((each) => Number((100 * each).toFixed(1))).join(' or ')} % confidence${sure.length === 1 ? '' : ', as asked of each'}.`,
      },
    ],
  }
}

function ofMany(judged: number, holds: number, fails: number, asked: string): Sentence {
  const headline: Phrase[] = [
    {
      text: `${holds === 0 ? 'None' : capitalise(countWord(holds))} of ${countWord(judged)} characteristics surely ${holds < 2 ? 'holds' : 'hold'} ${asked}`,
    },
  ]
  if (fails > 0) {
    headline.push(
      { text: '; ' },
      { text: `${countWord(fails)} surely ${fails === 1 ? 'does' : 'do'} not`, role: 'mark' },
    )
  }
  return [...headline, { text: '.' }]
}

/** The only one that is judged. */
function ofOne({ verdict, requirement: { index, value } }: CapabilitySummary): Sentence {
  const asked = `${index} ${formatNumber(value, 2)}`
  switch (verdict) {
    case 'holds':
      return [{ text: `The one characteristic judged surely holds ${asked}.` }]
    case 'does not':
      return [
        { text: 'The one characteristic judged ' },
        { text: 'surely does not hold', role: 'mark' },
        { text: ` ${asked}.` },
      ]
    default:
      return [{ text: `Whether the one characteristic judged holds ${asked} cannot be said yet.` }]
  }
}

function count(rows: readonly CapabilitySummary[], verdict: CapabilitySummary['verdict']): number {
  return rows.filter((row) => row.verdict === verdict).length
}

function spanWords(span: SpanWords): Phrase[] {
  return [
    {
      text: `Builds ${span.first} to ${span.last}, ${formatCount(span.parts)} ${span.parts === 1 ? 'part' : 'parts'}. `,
    },
  ]
}

/** What was measured outside its limits: whatever is expected of the parts to come, those are there. */
function outsideWords(rows: readonly CapabilitySummary[]): Phrase[] {
  const outside = rows.filter(wasOutside)
  if (outside.length === 0) return []
  return [
    { text: 'Measured outside the limits', role: 'mark' },
    { text: `: values of ${inShort(outside)}. ` },
  ]
}

/** Whether a value was measured outside the limits. */
export function wasOutside({ characteristic: { lower, upper }, min, max }: CapabilitySummary): boolean {
  return (lower !== null && min < lower) || (upper !== null && max > upper)
}

/** Their names, or how many they are where those would be too many for a sentence. */
function inShort(rows: readonly CapabilitySummary[]): string {
  return rows.length > 3
    ? countOf(rows.length, 'characteristic')
    : rows.map(({ characteristic }) => characteristicTitle(characteristic)).join(', ')
}

function ownWords(rows: readonly CapabilitySummary[]): Phrase[] {
  const own = rows.filter(({ characteristic }) => characteristic.ownLimits !== undefined)
  if (own.length === 0) return []
  return [{ text: `Judged in units of the part’s own tolerance: ${inShort(own)}. ` }]
}

function openWords(open: readonly CapabilitySummary[]): Phrase[] {
  if (open.length === 0) return []
  const [nearest] = open
    .flatMap(({ toSettle, n, builds }) =>
      toSettle === null ? [] : [{ parts: toSettle.parts - n, builds: toSettle.builds - builds }],
    )
    .sort((a, b) => a.parts - b.parts)
  const settle =
    nearest === undefined
      ? 'more parts would not settle it soon'
      : `about ${formatCount(roundUp(nearest.parts))} more parts, in ${countOf(roundUp(nearest.builds), 'more build')}, would settle the nearest`
  return [{ text: `${capitalise(countWord(open.length))} cannot be said yet: ${settle}. ` }]
}

/** To two significant digits, upwards: a plan, not a promise. */
export function roundUp(parts: number): number {
  const step = 10 ** Math.max(0, Math.floor(Math.log10(Math.max(1, parts))) - 1)
  return Math.ceil(parts / step) * step
}

/** Not "moved": a signal on the spread, or one alone, is no shift. */
function unstableWords(rows: readonly CapabilitySummary[]): Phrase[] {
  const unstable = rows.filter((row) => !row.stable).length
  if (unstable === 0) return []
  const those =
    rows.length === 1
      ? 'It was not'
      : unstable === rows.length
        ? 'None was'
        : `${capitalise(countWord(unstable))} ${unstable === 1 ? 'was' : 'were'} not`
  return [
    {
      text: `${those} in control within these builds, so that ${unstable === 1 ? 'its figure states' : 'their figures state'} performance, what happened, and not capability, what the process can hold. `,
    },
  ]
}
