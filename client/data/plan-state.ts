import type { StudyAim } from '../../src/gauges/plan-study.ts'

/** What a study is planned for, as the address holds it. */
export interface PlanState {
  readonly aim: StudyAim
  readonly gauge: string | null
  /** Identity of the characteristic. */
  readonly characteristic: number | null
}

const CONFIDENCE = 0.95

export function planState(query: Readonly<Record<string, string>>): PlanState {
  const of = query.of === 'spread' ? 'spread' : 'tolerance'
  return {
    aim: {
      of,
      share: fraction(query.share, of === 'spread' ? 99 : 300) ?? 0.2,
      inspectorShare: fraction(query.inspectors, 95, 0) ?? 0.2,
      halfWidth: fraction(query.within, 100) ?? 0.05,
      confidence: CONFIDENCE,
    },
    gauge: query.gauge === undefined || query.gauge === '' ? null : query.gauge,
    characteristic: wholeNumber(query.characteristic),
  }
}

/** A percentage as a fraction; null where it is none between the ends. */
function fraction(text: string | undefined, most: number, least = 0.1): number | null {
  if (text === undefined || text.trim() === '') return null
  const percent = Number(text.replace(',', '.'))
  return percent >= least && percent <= most ? percent / 100 : null
}

function wholeNumber(text: string | undefined): number | null {
  return text !== undefined && /^[1-9]\d{0,8}$/.test(text) ? Number(text) : null
}
