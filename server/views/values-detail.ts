import { independentValues } from '../../src/capability/design-effect.ts'
import { type IndexCourse, indexCourse } from '../../src/capability/index-course.ts'
import type { Limits } from '../../src/capability/indices.ts'
import { observedOutside } from '../../src/capability/observed-outside.ts'
import { bindingLimits } from '../../src/capability/quantile-method.ts'
import type { Shape } from '../../src/capability/shape.ts'
import { binnedValues, binWidth } from '../../src/description/binned-values.ts'
import { momentsOf } from '../../src/description/moments.ts'
import type { ValuesDetail } from '../contract/capability-detail.ts'
import type { PartNumber } from '../contract/views.ts'
import type { ValuesByBuild } from '../store/single-values.ts'
import type { Store } from '../store/store.ts'
import { type CapabilityQuestion, openLast } from './capability-span.ts'
import { shapeOfValues } from './judged-shapes.ts'
import { sampledValues } from './sampled-values.ts'

/** The distribution of one characteristic's values, and what else needs them one by one. */
export interface ShapedValues {
  readonly shape: Shape | null
  readonly detail: ValuesDetail
}

/** How single values of one characteristic are read: on another thread where this one must not wait. */
export interface ValuesReaders {
  shapedValues(): Promise<ShapedValues | null>
  shapeAgainst(limits: Limits): Promise<Shape | null>
  courseOf(shape: Shape | null): Promise<IndexCourse | null>
}

/**
 * The distribution of one characteristic's values over a span, with the figures that it would have against other
 * limits; as slow as `shapedValues`.
 */
export async function shapeAgainst(
  store: Store,
  partNumber: PartNumber,
  question: CapabilityQuestion,
  characteristicId: number,
  limits: Limits,
): Promise<Shape | null> {
  const [row] = (await openLast(store, partNumber, question, characteristicId)).rows
  if (row === undefined) return null
  const { characteristic, counting, requirement } = row
  const values = await store.valuesByBuild(characteristic.id, question.stage, counting)
  return shapeOfValues({ ...characteristic, ...limits }, values, requirement.confidence)
}

/**
 * What the single values of one characteristic show over a span. As for `judgedShapes`, this may take seconds: use
 * another thread.
 *
 * @returns null where the span holds no value of it
 */
export async function shapedValues(
  store: Store,
  partNumber: PartNumber,
  question: CapabilityQuestion,
  characteristicId: number,
): Promise<ShapedValues | null> {
  const [row] = (await openLast(store, partNumber, question, characteristicId)).rows
  if (row === undefined) return null
  const { characteristic, counting, requirement } = row
  const values = await store.valuesByBuild(characteristic.id, question.stage, counting)
  const shape = shapeOfValues(characteristic, values, requirement.confidence)
  const { value } = values
  const width = binWidth(momentsOf(value))
  return {
    shape,
    detail: {
      binned: width === null ? null : binnedValues(value, width),
      nEffective: independentValues(row.basis(shape).groups.map(({ moments }) => moments)),
      seenOutside: observedOutside(
        bindingLimits(characteristic, characteristic.kind),
        value,
        requirement.confidence,
      ),
    },
  }
}

/**
 * The index of one characteristic over a running window; as slow as `shapedValues`, several times over where the
 * distribution is of a Johnson family.
 *
 * @param shape of the values of the whole span
 */
export async function courseOf(
  store: Store,
  partNumber: PartNumber,
  question: CapabilityQuestion,
  characteristicId: number,
  shape: Shape | null,
): Promise<IndexCourse | null> {
  const [row] = (await openLast(store, partNumber, question, characteristicId)).rows
  if (row === undefined) return null
  const values = await store.valuesByBuild(characteristicId, question.stage, row.counting)
  return indexCourse(row.basis(shape), (builds) => sampledValues(valuesWithin(values, builds)))
}

function valuesWithin({ value, build, part }: ValuesByBuild, builds: ReadonlySet<number>): ValuesByBuild {
  const places: number[] = []
  for (let i = 0; i < build.length; i++) if (builds.has(build[i] as number)) places.push(i)
  return {
    value: Float64Array.from(places, (i) => value[i] as number),
    build: Int32Array.from(places, (i) => build[i] as number),
    part: Int32Array.from(places, (i) => part[i] as number),
  }
}
