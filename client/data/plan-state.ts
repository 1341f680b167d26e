import { STUDY_BOUNDS, type StudyAim, type StudyBounds } from '../../src/gauges/plan-study.ts'

/** What a study is planned for, as the address holds it. */
export interface PlanState {
  readonly aim: StudyAim
  /** What the shop can bring together. */
  readonly bounds: StudyBounds
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
      halfWidth: fraction(query.within, 100) ?? 0.1,
      confidence: CONFIDENCE,
    },
    bounds: {
      ...STUDY_BOUNDS,
      parts: bounded(query.parts, 2, STUDY_BOUNDS.parts) ?? 30,
      inspectors: bounded(query.people, 1, STUDY_BOUNDS.inspectors) ?? 5,
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

function bounded(text: string | undefined, least: number, most: number): number | null {
  const number = wholeNumber(text)
  return number === null ? null : Math.max(least, Math.min(most, number))
}

function wholeNumber(text: string | undefined): number | null {
  return text !== undefined && /^[1-9]\d{0,8}$/.test(text) ? Number(text) : null
}
