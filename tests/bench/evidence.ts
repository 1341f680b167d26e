/**
 * Recomputes the published figures that the statistics core is checked against and prints them beside what was
 * computed, with the digits that agree and where they were published; ends with 1 where one does not agree:
 *
 *     npm run evidence
 */
import { computedText } from '../../src/evidence/computed-text.ts'
import { type CheckResult, evidence } from '../../src/evidence/evidence.ts'

const findings = evidence()
const width = (text: (finding: CheckResult) => string) =>
  Math.max(...findings.map((finding) => text(finding).length))
const whatWidth = width(({ what }) => what)
const computedWidth = width(computedText)
const publishedWidth = width(({ published }) => published)

let group = ''
for (const finding of findings) {
  if (finding.group !== group) {
    group = finding.group
    console.log(`\n${group}`)
    console.log(
      `  ${'figure'.padEnd(whatWidth)}  ${'computed'.padStart(computedWidth)}  ${'published'.padStart(publishedWidth)}  digits`,
    )
  }
  const { what, published, digits, expectedDigits, agrees, limit, source } = finding
  const share = `${Number(digits.toFixed(1))} of ${expectedDigits}`
  const remark = agrees ? '' : '  DOES NOT AGREE'
  console.log(
    `  ${what.padEnd(whatWidth)}  ${computedText(finding).padStart(computedWidth)}  ${published.padStart(publishedWidth)}  ${share.padEnd(10)}${remark}  ${source}${limit === null ? '' : `; ${limit.why}`}`,
  )
}
const failed = findings.filter(({ agrees }) => !agrees)
const complete = findings.filter((finding) => finding.complete)
console.log(
  `\n${findings.length} figures: ${complete.length} agree in every published digit, ${findings.length - complete.length - failed.length} in as many as the stated limit allows, ${failed.length} do not.`,
)
process.exitCode = failed.length === 0 ? 0 : 1
