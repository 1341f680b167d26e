import type { ReportContent } from '../../contract/report.ts'
import { left, type Section } from '../document.ts'

export function methods({ methods: used }: ReportContent): Section {
  return {
    heading: 'How it was computed',
    startsPage: true,
    blocks: [
      {
        kind: 'table',
        caption: null,
        columns: [left('What', 100), left('How', 290), left('Source', 190)],
        rows: used.map(({ what, how, source }) => [what, how, source]),
      },
      {
        kind: 'paragraph',
        text: 'The data of this report are attached to it as report.json. Give the file, or its number, to the program that made it, and it says whether every figure still follows from the values on record, or what has changed since.',
      },
    ],
  }
}
