import type { GaugeStudy, StudyFigure } from './study-model.ts'

/**
 * What a gauge is good for by its share of the spread or of the tolerance: up to a tenth it is fine enough, up to three
 * tenths usable with care, beyond that too coarse (common practice; AIAG, Measurement Systems Analysis, chapter II,
 * section D, from memory).
 */
export type GaugeVerdict = 'fine enough' | 'usable with care' | 'too coarse'

export interface GaugeJudgement {
  readonly verdict: GaugeVerdict
  /** Whether the whole interval lies in the verdict's band. */
  readonly sure: boolean
  readonly of: 'tolerance' | 'spread'
  readonly share: StudyFigure
}

const FINE = 0.1
const USABLE = 0.3

/**
 * How fine a gauge is, by its share of the tolerance where the study has one, else by its share of the spread of its
 * parts.
 *
 * @returns null where neither share is known
 */
export function gaugeJudgement(study: GaugeStudy): GaugeJudgement | null {
  const ofTolerance = study.components.gauge?.shareOfTolerance ?? null
  const share = ofTolerance ?? study.gaugeShareOfSpread
  if (share === null) return null
  const verdict = verdictOf(share.value)
  return {
    verdict,
    sure: verdictOf(share.lower) === verdict && share.upper !== null && verdictOf(share.upper) === verdict,
    of: ofTolerance === null ? 'spread' : 'tolerance',
    share,
  }
}

function verdictOf(share: number): GaugeVerdict {
  if (share <= FINE) return 'fine enough'
  return share <= USABLE ? 'usable with care' : 'too coarse'
}
