import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import type { PartNumber, TimelineBuild } from '../contract/views.ts'
import { notFound } from '../problem.ts'
import type { Store } from '../store/store.ts'

/** What an address names, or the problem that it is not there. */

export async function findPartNumber(
  store: Store,
  at: { number: string; revision: string },
): Promise<PartNumber> {
  const found = await store.partNumber(at.number, at.revision)
  if (found === null) {
    throw notFound(
      `Part number ${at.number}, revision ${at.revision}, is not known.`,
      'Pick one from the list of part numbers.',
    )
  }
  return found
}

/** The characteristic that an address names, with its part number. */
export async function findCharacteristic(
  store: Store,
  at: { number: string; revision: string; designator: string },
): Promise<{ readonly partNumber: PartNumber; readonly characteristic: Characteristic }> {
  const partNumber = await findPartNumber(store, at)
  const characteristic = (await store.characteristics(partNumber.id)).find(
    (each) => each.designator === at.designator,
  )
  if (characteristic === undefined) {
    throw notFound(
      `${partNumber.number} ${partNumber.revision} has no characteristic ${at.designator}.`,
      'Pick one from the list of characteristics.',
    )
  }
  return { partNumber, characteristic }
}

export function findBuild(
  builds: readonly TimelineBuild[],
  partNumber: PartNumber,
  name: string,
  stage: Stage,
): TimelineBuild {
  const found = builds.find((build) => build.name === name)
  if (found === undefined) {
    throw notFound(
      `Build ${name} has no ${stage} parts of ${partNumber.number}.`,
      'Pick a build from the chart.',
    )
  }
  return found
}
