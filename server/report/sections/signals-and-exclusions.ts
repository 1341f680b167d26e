import type { ReportContent } from '../../contract/report.ts'
import { type Block, left, type Section } from '../document.ts'
import { dayText } from '../report-text.ts'
import { nameOf } from './characteristic-text.ts'

export function signalsAndExclusions({ characteristics, exclusions, findings }: ReportContent): Section {
  const signals = characteristics.flatMap((row) => row.signals.map((signal) => ({ row, signal })))
  const blocks: Block[] = []
  if (signals.length === 0) blocks.push({ kind: 'paragraph', text: 'No signal in these builds.' })
  else {
    blocks.push({
      kind: 'table',
      caption: 'Signals in these builds',
      columns: [
        left('No.', 40),
        left('Characteristic', 150),
        left('Builds', 120),
        left('Signal', 220),
        left('Answered', 80),
      ],
      rows: signals.map(({ row, signal }) => [
        row.characteristic.designator,
        nameOf(row),
        signal.from === signal.to ? signal.from : `${signal.from} to ${signal.to}`,
        signal.words,
        signal.finding === null ? 'open' : `finding ${signal.finding}`,
      ]),
    })
  }
  if (exclusions.length === 0) blocks.push({ kind: 'paragraph', text: 'Nothing is left out of the figures.' })
  else {
    blocks.push({
      kind: 'table',
      caption: 'Left out of the figures',
      columns: [
        left('No.', 40),
        left('Build', 80),
        left('What', 150),
        left('Reason', 220),
        left('Who, when', 120),
      ],
      rows: exclusions.map(({ designator, build, single, reason, who, at }) => [
        designator,
        build,
        single === null
          ? 'the whole build'
          : `${single.value} of part ${single.serial}${single.replicate === 1 ? '' : `, replicate ${single.replicate}`}`,
        reason,
        `${who}, ${dayText(at)}`,
      ]),
    })
  }
  if (findings.length > 0) {
    blocks.push({
      kind: 'table',
      caption: 'Findings about these builds',
      columns: [
        left('No.', 30),
        left('Builds', 90),
        left('Characteristics', 100),
        left('Cause', 170),
        left('Action', 130),
        left('State', 90),
      ],
      rows: findings.map(
        ({ number, from, to, characteristics: about, cause, action, state, verified, who, at }) => [
          String(number),
          from === to ? from : `${from} to ${to}`,
          about.join(', '),
          cause,
          action === '' ? '–' : action,
          `${state}, shown to work: ${verified}\n${who}, ${dayText(at)}`,
        ],
      ),
    })
  }
  return { heading: 'Signals, and what is left out', startsPage: true, blocks }
}
