import { d2, d3 } from '../constants/range-constants.ts'
import { type GaugeReading, studyTable } from './readings.ts'

/** Gauge study by average and range. Standard deviations in the unit of the readings. */
export interface AverageAndRange {
  /** Average range of the readings of one part by one inspector. */
  readonly averageRange: number
  /** Range of the inspectors' means; null for a single inspector. */
  readonly inspectorRange: number | null
  /** Range of the parts' means. */
  readonly partRange: number
  readonly repeatability: number
  /** 0 where repeatability explains what inspectors differ by; null for a single inspector. */
  readonly reproducibility: number | null
  readonly gauge: number
  readonly part: number
  readonly total: number
  /** √2 part / gauge, not cut off; null where the gauge shows no scatter. */
  readonly categories: number | null
  /** 1 over the expected range: of repeated readings (K1), inspectors (K2; null for one) and parts (K3). */
  readonly factors: { readonly k1: number; readonly k2: number | null; readonly k3: number }
}

/** Why there is no such analysis. */
export interface NoAverageAndRange {
  readonly reason: 'missing readings' | 'one trial' | 'one part'
}

/** Beyond this many subgroups the manual takes d2 for d2*. */
const MANY_SUBGROUPS = 15

/**
 * √(d2² + d3² / g): what the average of g ranges of m values each is divided by, so that its square estimates the
 * variance without bias; d2 for more than fifteen ranges, as the manual's table has it.
 * Source: A. J. Duncan, Quality Control and Industrial Statistics (1974), appendix; AIAG, Measurement Systems Analysis,
 * appendix C (from memory).
 *
 * @param m values in a range, a whole number from 2 to 1000
 * @param g ranges averaged, at least 1
 * @throws ArgumentError where m is anything else
 */
export function averageRangeDivisor(m: number, g: number): number {
  return g > MANY_SUBGROUPS ? d2(m) : Math.sqrt(d2(m) ** 2 + d3(m) ** 2 / g)
}

/**
 * Gauge study by average and range, for customers who ask for it. It leaves out the interaction, gives no intervals,
 * and uses less of the readings than the analysis of variance does; prefer `gaugeStudy`.
 *
 * Source: AIAG, Measurement Systems Analysis, fourth edition (2010), chapter III, section B (from memory). The factors
 * are computed rather than taken from its four-figure table, and nothing is rounded on the way.
 *
 * @param readings in any order
 * @returns the reason where not every inspector measured every part equally often, at least twice, and two parts
 * @throws ArgumentError where a reading is not finite
 */
export function averageAndRange(readings: readonly GaugeReading[]): AverageAndRange | NoAverageAndRange {
  const { parts, inspectors, cells, trials } = studyTable(readings)
  if (trials === null) return { reason: 'missing readings' }
  if (trials === 1) return { reason: 'one trial' }
  const p = parts.length
  const o = inspectors.length
  if (p === 1) return { reason: 'one part' }
  const origin = cells[0]?.moments.mean ?? 0
  const meanWhere = (of: 'part' | 'inspector', place: number) => {
    const own = cells.filter((cell) => cell[of] === place)
    return own.reduce((sum, { moments }) => sum + (moments.mean - origin), 0) / own.length
  }
  const rangeOf = (means: readonly number[]) => Math.max(...means) - Math.min(...means)
  const averageRange = cells.reduce((sum, { moments }) => sum + moments.max - moments.min, 0) / cells.length
  const inspectorRange = o === 1 ? null : rangeOf(inspectors.map((_, j) => meanWhere('inspector', j)))
  const partRange = rangeOf(parts.map((_, i) => meanWhere('part', i)))
  const k1 = 1 / averageRangeDivisor(trials, p * o)
  const k2 = o === 1 ? null : 1 / averageRangeDivisor(o, 1)
  const k3 = 1 / averageRangeDivisor(p, 1)
  const repeatability = averageRange * k1
  const reproducibility =
    inspectorRange === null || k2 === null
      ? null
      : Math.sqrt(Math.max(0, (inspectorRange * k2) ** 2 - repeatability ** 2 / (p * trials)))
  const gauge = Math.hypot(repeatability, reproducibility ?? 0)
  const part = partRange * k3
  return {
    averageRange,
    inspectorRange,
    partRange,
    repeatability,
    reproducibility,
    gauge,
    part,
    total: Math.hypot(gauge, part),
    categories: gauge === 0 ? null : (Math.SQRT2 * part) / gauge,
    factors: { k1, k2, k3 },
  }
}
