import type { WrittenUnit } from '../domain/characteristic.ts'
import type { GaugeReading } from './readings.ts'
import { studyTable } from './readings.ts'
import type { GaugeStudy } from './study-model.ts'
import {
  fromCertificate,
  fromHalfWidth,
  fromResolution,
  fromScatter,
  type MeasurementUncertainty,
  measurementUncertainty,
} from './uncertainty.ts'

/** What the register says of a gauge, all in one unit. */
export interface GaugeFacts {
  readonly unit: WrittenUnit
  readonly resolution: number | null
  /** Expanded uncertainty of its calibration, with its coverage factor. */
  readonly certificate: { readonly expanded: number; readonly coverageFactor: number } | null
}

/** What studies say of a gauge, in the unit of the characteristic. */
export interface GaugeEvidence {
  /** A study of its spread with its readings; null for none. */
  readonly spread: { readonly study: GaugeStudy; readonly readings: readonly GaugeReading[] } | null
  /** Mean deviation from known values, not corrected for; null where not known. */
  readonly bias: number | null
}

/**
 * Uncertainty of measuring one characteristic with one gauge: the scatter of repeated readings or the step of the
 * display, whichever is greater; what inspectors add; the calibration; and a bias that nobody corrects for, as a half
 * width. From the certificate and the step alone where there is no study.
 *
 * Source: ISO 22514-7 (from memory), with the sources as `measurementUncertainty` combines them.
 *
 * @param unit of the characteristic
 * @returns null where nothing is known, or the gauge's unit is not one of lengths and the characteristic's is
 */
export function gaugeUncertainty(
  facts: GaugeFacts | null,
  { spread, bias }: GaugeEvidence,
  unit: WrittenUnit,
): MeasurementUncertainty | null {
  const factor = facts === null ? 1 : unitFactor(facts.unit, unit)
  const resolution = facts?.resolution ?? null
  const certificate = facts?.certificate ?? null
  if (factor === null && (resolution !== null || certificate !== null)) return null
  const scale = factor ?? 1
  const { repeatability, reproducibility } = spread?.study.components ?? {
    repeatability: null,
    reproducibility: null,
  }
  const table = spread === null ? null : studyTable(spread.readings)
  const repeated =
    repeatability === null || table === null
      ? null
      : fromScatter('repeated readings', repeatability.sd.value, positive(table.n - table.cells.length))
  const step = resolution === null ? null : fromResolution('step of the display', resolution * scale)
  const others = [
    ...(reproducibility === null || table === null
      ? []
      : [fromScatter('inspectors', reproducibility.sd.value, positive(table.inspectors.length - 1))]),
    ...(certificate === null
      ? []
      : [fromCertificate('calibration', certificate.expanded * scale, certificate.coverageFactor)]),
    ...(bias === null ? [] : [fromHalfWidth('bias', Math.abs(bias))]),
  ]
  // A step or a bias alone says nothing of the scatter: only a study or a calibration does.
  if (repeated === null && certificate === null) return null
  return measurementUncertainty(repeated, step, others)
}

const MILLIMETRES: Readonly<Record<Exclude<WrittenUnit, 'deg'>, number>> = { mm: 1, in: 25.4, um: 0.001 }

/** What a length in one unit is multiplied by to be in the other; null where they do not measure the same. */
export function unitFactor(from: WrittenUnit, to: WrittenUnit): number | null {
  if (from === to) return 1
  return from === 'deg' || to === 'deg' ? null : MILLIMETRES[from] / MILLIMETRES[to]
}

function positive(df: number): number | null {
  return df > 0 ? df : null
}
