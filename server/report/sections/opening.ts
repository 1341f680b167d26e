import { capitalise, countOf, formatCount } from '../../../src/words/format.ts'
import type { Report, ReportContent } from '../../contract/report.ts'
import type { Section } from '../document.ts'
import { dayText, momentText } from '../report-text.ts'
import { askedText, isProvisional } from './characteristic-text.ts'

/** What is claimed, what stands against it, and of what. */
export function opening(report: Report): Section {
  const { content, number, madeAt, madeBy, fingerprint } = report
  const { partNumber, settings, span, cautions } = content
  const facts: [string, string][] = [
    [
      'Part',
      `${partNumber.number} revision ${partNumber.revision}${partNumber.name === null ? '' : `, ${partNumber.name}`}`,
    ],
    ['Measured', settings.stage],
    [
      'Span',
      span === null
        ? 'nothing measured'
        : `builds ${span.first} to ${span.last}${printedInShort(content)}: ${counted(span.builds, 'build')}, ${counted(span.parts, 'part')}, ${counted(span.values, 'value')}`,
    ],
    ['Required', requirementsInShort(content)],
    ['Report', number === null ? 'not on record: made for a look, without a number' : `number ${number}`],
    ['Made', `${momentText(madeAt)} by ${madeBy}`],
    ['Fingerprint', fingerprint],
  ]
  return {
    heading: null,
    startsPage: false,
    blocks: [
      { kind: 'lead', text: content.headline },
      { kind: 'paragraph', text: content.grounds },
      { kind: 'paragraph', text: againstInShort(content) },
      { kind: 'facts', facts },
      // The last is the one on who decides; all of them stand at the end.
      ...cautions.slice(-1).map((text) => ({ kind: 'paragraph' as const, text })),
    ],
  }
}

/** The days of the first and last build, for those to whom the names of builds say nothing. */
function printedInShort({ sources: { builds } }: ReportContent): string {
  const days = builds
    .flatMap(({ printedAt }) => (printedAt === null ? [] : [printedAt]))
    .sort((a, b) => a - b)
  const [first, last] = [days[0], days.at(-1)]
  if (first === undefined || last === undefined) return ''
  const [from, to] = [dayText(first), dayText(last)]
  return from === to ? `, printed on ${from}` : `, printed from ${from} to ${to}`
}

/** What stands against the claim, in two sentences that no setting leaves out. */
function againstInShort({ characteristics, exclusions, notMeasured }: ReportContent): string {
  const open = characteristics.flatMap(({ signals }) => signals.filter(({ finding }) => finding === null))
  const moved = characteristics.filter(({ signals }) => signals.some(({ finding }) => finding === null))
  const wholes = exclusions.filter(({ single }) => single === null).length
  const singles = exclusions.length - wholes
  const provisional = characteristics.filter(({ chart }) => isProvisional(chart)).length
  const sentences = [
    open.length === 0
      ? 'No signal stands open.'
      : `${capitalise(countOf(open.length, 'signal'))} on ${countOf(moved.length, 'characteristic')} ${open.length === 1 ? 'stands' : 'stand'} open: nobody has written what caused ${open.length === 1 ? 'it' : 'them'}.`,
    ...(provisional === 0
      ? []
      : [
          `Control limits of ${provisional === characteristics.length ? 'all characteristics' : countOf(provisional, 'characteristic')} are provisional: too few builds to say that the process was in control.`,
        ]),
    exclusions.length === 0
      ? 'Nothing is left out of the figures.'
      : `Left out of the figures: ${[...(wholes > 0 ? [countOf(wholes, 'build of a characteristic').replace('characteristics', 'characteristic')] : []), ...(singles > 0 ? [countOf(singles, 'single value')] : [])].join(' and ')}; each with its reason below.`,
    ...(notMeasured.length === 0
      ? []
      : [
          `${capitalise(countOf(notMeasured.length, 'characteristic'))} of the drawing ${notMeasured.length === 1 ? 'was' : 'were'} not measured in these builds.`,
        ]),
  ]
  return sentences.join(' ')
}

/** What is asked, of all or of each class. */
function requirementsInShort({ characteristics, fallback }: ReportContent): string {
  const asked = new Set(characteristics.map(({ summary }) => askedText(summary.requirement)))
  if (asked.size === 0) asked.add(askedText({ ...fallback, class: null }))
  return [...asked].join('; ')
}

function counted(count: number, noun: string): string {
  return `${formatCount(count)} ${noun}${count === 1 ? '' : 's'}`
}
