import type { Report } from '../contract/report.ts'
import type { ReportDocument } from './document.ts'
import { eachCharacteristic } from './sections/each-characteristic.ts'
import { figuresOfAll } from './sections/figures-of-all.ts'
import { measuring } from './sections/measuring.ts'
import { methods } from './sections/methods.ts'
import { opening } from './sections/opening.ts'
import { signalsAndExclusions } from './sections/signals-and-exclusions.ts'
import { sources } from './sections/sources.ts'
import { verdicts } from './sections/verdicts.ts'

/**
 * A report in the order in which its reader decides: what is claimed and what stands against it, who answers for it,
 * then the figures behind the claim, each characteristic, and where everything came from.
 */
export function layOut(report: Report): ReportDocument {
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
      ...eachCharacteristic(content),
      signalsAndExclusions(content),
      sources(content),
      methods(content),
    ],
  }
}
