import type { PartView } from '../../server/contract/parts.ts'
import type { TimelineBuild } from '../../server/contract/views.ts'
import type { FurnaceLoad } from '../../src/domain/build.ts'
import { formatNumber } from '../../src/words/format.ts'
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

/**
 * What a furnace load was run with, to follow its name: ": furnace F1, sintered 2026-10-04, …"; empty where nothing is
 * recorded.
 */
export function loadWords({ sinteredAt, furnace, profile, atmosphere, conditions }: FurnaceLoad): string {
  const parts = [
    furnace === null ? null : `furnace ${furnace}`,
    sinteredAt === null ? null : `sintered ${dayText(sinteredAt)}`,
    profile === null ? null : `profile ${profile}`,
    atmosphere === null ? null : `atmosphere ${atmosphere}`,
    ...Object.entries(conditions).map(([name, value]) => `${name} ${value}`),
  ].filter((part) => part !== null)
  return parts.length === 0 ? '' : `: ${parts.join('; ')}`
}

/** Where a part lay in the bed and stood in the furnace; null where that is not recorded. */
export function placeWords({ bed, tray, trayPlace }: Pick<PartView, 'bed' | 'tray' | 'trayPlace'>): {
  readonly bed: string | null
  readonly tray: string | null
} {
  const axes = (['x', 'y', 'z'] as const).flatMap((axis) =>
    bed[axis] === null ? [] : [`${axis} ${formatNumber(bed[axis], 1)}`],
  )
  const parts = [tray === null ? null : `tray ${tray}`, trayPlace === null ? null : `place ${trayPlace}`]
  const on = parts.filter((part) => part !== null)
  return {
    bed: axes.length === 0 ? null : `${axes.join(', ')} mm`,
    tray: on.length === 0 ? null : on.join(', '),
  }
}
