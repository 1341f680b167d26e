import type { Fault } from './faults.ts'
import type { LateFault, RowChecker } from './row-checker.ts'

/**
 * A checker that notes rows down and writes them all at the end. Files other than measurements are short enough for that,
 * and none of their values is held against limits or doubted.
 */
export abstract class CollectingChecker implements RowChecker {
  readonly partNumbers: Set<number> = new Set()
  readonly outOfSpecification = 0
  readonly doubts = null
  readonly nonconforming = []

  abstract prepare(rows: readonly (readonly string[])[]): Promise<void>
  abstract check(row: readonly string[], line: number, position: number): Fault | null
  abstract finish(): Promise<readonly LateFault[]>

  get couldConvertUnits(): boolean {
    return false
  }

  get couldNamePartNumber(): boolean {
    return false
  }

  checkMissing(): void {}

  async advance(): Promise<readonly LateFault[]> {
    return []
  }
}
