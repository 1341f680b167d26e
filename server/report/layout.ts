import type { Report } from '../contract/report.ts'
import type { ReportDocument } from './document.ts'
import type { PaperSize } from './plate-size.ts'
import { answering } from './sections/answering.ts'
import { eachCharacteristic } from './sections/each-characteristic.ts'
import { figuresOfAll } from './sections/figures-of-all.ts'
import { measuring } from './sections/measuring.ts'
import { methods } from './sections/methods.ts'
import { opening } from './sections/opening.ts'
import { signalsAndExclusions } from './sections/signals-and-exclusions.ts'
import { sources } from './sections/sources.ts'
import { verdicts } from './sections/verdicts.ts'

/**
 * A report in the order in which its reader decides: what is claimed and what stands against it, the figures behind the
 * claim, each characteristic, where everything came from, what is open or left out, how it was computed, who answers
 * for it.
 *
 * @param paper whose halves each characteristic is to fit
 */
export function layOut(report: Report, paper: PaperSize): ReportDocument {
  const { content, number, madeAt, madeBy, fingerprint } = report
  const { partNumber, settings } = content
  const named = number === null ? 'not on record' : `report ${number}`
  return {
    title: settings.title,
    author: madeBy,
    madeAt,
    running: `${partNumber.number} revision ${partNumber.revision}, ${settings.stage}, ${named}`,
    foot: `fingerprint ${fingerprint.slice(0, 16)}`,
    sections: [
      opening(report),
      verdicts(content),
      figuresOfAll(content),
      ...measuring(content),
      ...eachCharacteristic(content, paper),
      sources(content),
      signalsAndExclusions(content),
      methods(content),
      answering(content),
    ],
  }
}
