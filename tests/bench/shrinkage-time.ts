/**
 * Time of a fit of 40 characteristics over many builds, from cells of 40 parts each:
 *
 *     npx tsx tests/bench/shrinkage-time.ts [builds] [builds in a furnace load]
 *
 * 2,000 builds (80,000 parts, 3.2 million values) unless said otherwise, each with a load of its own. Prints processor
 * time too, which other work on the machine disturbs less.
 */
import { Random } from '../../sample-data/random.ts'
import type { Cell } from '../../src/domain/cell.ts'
import { fitShrinkage } from '../../src/shrinkage/fit.ts'
import { type SizeTerms, termsOf } from '../../src/shrinkage/terms.ts'

const BUILDS = Number(process.argv[2] ?? 2000)
const IN_LOAD = Number(process.argv[3] ?? 1)
const PARTS = 40
const AXES = ['X', 'Y', 'Z'] as const
const KEPT = [0.8438, 0.8413, 0.8336]
const FACTORS = [1.1851, 1.1887, 1.1996]

const random = Random.stream(1, 'time')
const terms = Array.from(
  { length: 40 },
  (_, j) =>
    termsOf(
      {
        id: j,
        designator: String(j),
        name: j % 5 === 0 ? 'slot' : 'length',
        kind: 'length',
        nominal: 4 + ((j * 7) % 40),
        lower: null,
        upper: null,
        unit: 'mm',
        axis: AXES[j % 3] ?? 'X',
      },
      1,
    ) as SizeTerms,
)
const builds = Array.from({ length: BUILDS }, (_, id) => ({
  id,
  name: String(id),
  scale: { x: FACTORS[0] ?? null, y: FACTORS[1] ?? null, z: FACTORS[2] ?? null },
}))
const cells = builds.flatMap(({ id }) => {
  const change = AXES.map(() => 0.0004 * random.normal())
  const offset = 0.005 + 0.001 * random.normal()
  return terms.map(({ characteristic, sense }, j): Cell => {
    const nominal = characteristic.nominal as number
    const sd = Math.hypot(0.00045 * nominal, 0.003)
    const kept = (KEPT[j % 3] as number) * (1 + (change[j % 3] as number))
    const mean =
      nominal * (FACTORS[j % 3] as number) * kept + sense * offset + (sd / Math.sqrt(PARTS)) * random.normal()
    return {
      characteristicId: j,
      buildId: id,
      furnaceLoadId: Math.floor(id / IN_LOAD),
      stage: 'sintered',
      n: PARTS,
      mean,
      m2: sd * sd * (PARTS - 1),
      min: mean - 3 * sd,
      max: mean + 3 * sd,
    }
  })
})
for (let run = 1; run <= 5; run++) {
  const processor = process.cpuUsage()
  const begun = performance.now()
  fitShrinkage({ terms, cells, builds })
  const seconds = (performance.now() - begun) / 1000
  const { user, system } = process.cpuUsage(processor)
  console.log(`run ${run}: ${seconds.toFixed(2)} s, processor ${((user + system) / 1e6).toFixed(2)} s`)
}
