import { FileProblemError } from '../faults.ts'
import { readUnit } from '../units.ts'
import { type Gathered, textOf } from './records.ts'

/** Names of units that a file may use, and those that hold where a value names none. Text as `readUnit` reads it. */
export interface FileUnits {
  readonly linear: string
  readonly angular: string
  /** The unit of a name that the file defines; the name itself where it does not. */
  named(name: string): string
}

/** Metres in one unit, and radians in one degree. */
const LINEAR: readonly (readonly [number, string])[] = [
  [0.001, 'mm'],
  [0.0254, 'in'],
  [0.000001, 'um'],
]
const RADIANS_PER_DEGREE = Math.PI / 180

/** Writers round the factor of the degree to a dozen digits or so. */
const CLOSE = 1e-9

/**
 * The units that a file defines. What its factor says counts, its name only where there is no factor.
 *
 * @throws FileProblemError where name and factor contradict each other
 */
export function fileUnits(units: readonly Gathered[]): FileUnits {
  const names = new Map<string, string>()
  let linear: string | null = null
  let angular: string | null = null
  for (const record of units) {
    const name = textOf(record, 'UnitName') || textOf(record, 'SIUnitName')
    const unit = unitOf(record, name)
    names.set(name, unit)
    if (record.kind === 'linear-unit') linear ??= unit
    else angular ??= unit
  }
  return {
    // The units of the standard where a file names none. Values in them are refused: see `readUnit`.
    linear: linear ?? 'm',
    angular: angular ?? 'rad',
    named: (name) => names.get(name) ?? name,
  }
}

function unitOf(record: Gathered, name: string): string {
  const factorText = textOf(record, 'UnitConversion/Factor')
  const byName = readUnit(name)
  if (factorText === '') return byName ?? name
  const factor = Number(factorText)
  const byFactor =
    record.kind === 'angular-unit'
      ? isClose(factor, RADIANS_PER_DEGREE)
        ? 'deg'
        : null
      : (LINEAR.find(([metres]) => isClose(factor, metres))?.[1] ?? null)
  if (byName !== null && byName !== byFactor) {
    throw new FileProblemError(
      `The file calls its unit ${name}, but gives it the factor ${factorText}, which is another one: ${byFactor ?? 'none that this program knows'}.`,
      `FileUnits, line ${record.leaves.get('UnitConversion/Factor')?.[0]?.line ?? 0}`,
      'Find out in which unit the values are, have name and factor corrected, and bring the file again.',
    )
  }
  return byFactor ?? name
}

function isClose(a: number, b: number): boolean {
  return Math.abs(a / b - 1) < CLOSE
}
