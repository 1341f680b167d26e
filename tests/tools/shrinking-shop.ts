import { normalSource } from '../src/run-length/simulation.ts'

/** Files of a part number whose parts shrink by 15.6 % along X and 16.7 % along Z, five to a build. */

export interface ShrinkingSize {
  readonly designator: string
  /** Null for none on the drawing; parts are 5 mm then. */
  readonly nominal: number | null
  readonly axis: string
  readonly kind?: string
}

export interface ShrinkingShop {
  readonly number: string
  readonly builds: number
  readonly sizes: readonly ShrinkingSize[]
  /** Factor X of a build by its place, as the file has it. */
  readonly factorX?: (build: number) => string
  /** What is measured where this came out of the furnace. */
  readonly value?: (size: number, build: number, designator: string) => number
}

/** Name and text of each file, in the order in which they are to be brought. */
export function shrinkingFiles({
  number,
  builds,
  sizes,
  factorX = () => '1.185',
  value = (size) => size,
}: ShrinkingShop): readonly { readonly name: string; readonly text: string }[] {
  const normal = normalSource(5)
  const characteristics = [
    'part number,revision,characteristic,name,kind,nominal,lower,upper,unit,axis',
    ...sizes.map(
      ({ designator, nominal, axis, kind = 'length' }) =>
        `${number},A,${designator},length ${designator},${kind},${nominal ?? ''},${nominal === null ? '' : nominal - 0.1},${nominal === null ? '' : nominal + 0.1},mm,${axis}`,
    ),
  ]
  const names = Array.from({ length: builds }, (_, i) => `${number}-${String(i + 1).padStart(2, '0')}`)
  const printed = [
    'build,printed at,scale x,scale y,scale z',
    ...names.map(
      (name, i) => `${name},2026-03-${String(i + 1).padStart(2, '0')}T08:00:00Z,${factorX(i)},1.187,1.2005`,
    ),
  ]
  const rows = names.flatMap((name, build) => {
    const shift = 0.0004 * normal()
    return [1, 2, 3, 4, 5].flatMap((part) =>
      sizes.map(({ designator, nominal, axis }) => {
        const kept = axis === 'Z' ? 1.2005 * (1 - 0.167) : 1.185 * (1 - 0.156)
        const size = (nominal ?? 5) * kept * (1 + shift + 0.0003 * normal()) + 0.005
        return `${number},A,${name}-${part},${name},${designator},${value(size, build, designator).toFixed(4)},mm,sintered`
      }),
    )
  })
  return [
    { name: `${number} characteristics.csv`, text: characteristics.join('\n') },
    { name: `${number} builds.csv`, text: printed.join('\n') },
    {
      name: `${number}.csv`,
      text: ['part_number,revision,serial,build,characteristic,value,unit,stage', ...rows].join('\n'),
    },
  ]
}
