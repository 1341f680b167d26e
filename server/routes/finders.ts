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

export async function findCharacteristic(
  store: Store,
  partNumber: PartNumber,
  designator: string,
): Promise<Characteristic> {
  const found = (await store.characteristics(partNumber.id)).find((c) => c.designator === designator)
  if (found === undefined) {
    throw notFound(
      `${partNumber.number} ${partNumber.revision} has no characteristic ${designator}.`,
      'Pick one from the list of characteristics.',
    )
  }
  return found
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
