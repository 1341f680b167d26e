import { bindingLimits } from '../../src/capability/quantile-method.ts'
import { type Shape, shapeOf } from '../../src/capability/shape.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import type { PartNumber } from '../contract/views.ts'
import type { ValuesByBuild } from '../store/single-values.ts'
import type { Store } from '../store/store.ts'
import { type CapabilityQuestion, openLast } from './capability-span.ts'
import { sampledValues } from './sampled-values.ts'

/** Distributions by the identity of their characteristic; null where none fits. */
export type Shapes = ReadonlyMap<number, Shape | null>

/** The distribution that values of a characteristic are judged by, with the figures that follow from it. */
export function shapeOfValues(
  characteristic: Characteristic,
  values: ValuesByBuild,
  confidence: number,
): Shape | null {
  const { kind } = characteristic
  const { value, build } = sampledValues(values)
  return shapeOf(kind, bindingLimits(characteristic, kind), value, build, confidence)
}

/**
 * The distributions of all characteristics over a span. Where one is of the Johnson families this takes seconds: use
 * another thread.
 *
 * @param onProgress told how many characteristics are done, of how many
 */
export async function judgedShapes(
  store: Store,
  partNumber: PartNumber,
  question: CapabilityQuestion,
  onProgress: (done: number, all: number) => void = () => undefined,
): Promise<Shapes> {
  const { stage } = question
  const { rows } = await openLast(store, partNumber, question)
  const shapes = new Map<number, Shape | null>()
  for (const { characteristic, counting, requirement } of rows) {
    const values = await store.valuesByBuild(characteristic.id, stage, counting)
    shapes.set(characteristic.id, shapeOfValues(characteristic, values, requirement.confidence))
    onProgress(shapes.size, rows.length)
  }
  return shapes
}
