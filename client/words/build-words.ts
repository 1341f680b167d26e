import type { TimelineBuild } from '../../server/contract/views.ts'
import { dayText } from './quantities.ts'

/** What a build was run with, as far as it is recorded: "Printed 2026-10-02 on PR-1; powder lot K8, reuse 3; …". */
export function buildWords(build: TimelineBuild): string {
  const { printedAt, printer, powderLot, powderReuse, furnaces, scale } = build
  const parts: string[] = []
  if (printedAt !== null || printer !== null) {
    parts.push(
      `printed${printedAt === null ? '' : ` ${dayText(printedAt)}`}${printer === null ? '' : ` on ${printer}`}`,
    )
  }
  if (powderLot !== null)
    parts.push(`powder lot ${powderLot}${powderReuse === null ? '' : `, reuse ${powderReuse}`}`)
  else if (powderReuse !== null) parts.push(`powder reuse ${powderReuse}`)
  if (furnaces.length > 0) parts.push(`furnace ${furnaces.join(', ')}`)
  const factors = [scale.x, scale.y, scale.z]
  if (factors.some((factor) => factor !== null)) {
    parts.push(`scale ${factors.map((factor) => (factor === null ? '–' : factor.toFixed(4))).join(' × ')}`)
  }
  for (const [name, value] of Object.entries(build.conditions)) parts.push(`${name} ${value}`)
  return parts.join('; ')
}
