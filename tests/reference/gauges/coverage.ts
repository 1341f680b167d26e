/**
 * Coverage of the intervals of a gauge study, simulated: run `npx tsx coverage.ts > coverage.csv` in this folder, which
 * takes half an hour. Analysis of variance, crossed and nested: 10,000 studies a line; likelihood: 300, the first line
 * 500, nested 1,000. The interaction is kept. Written with Node 20.20.2.
 *
 * Every line has a seed of its own, so that some can be computed alone: `npx tsx coverage.ts 17 19` computes the
 * seventeenth to the nineteenth, the heading not counted.
 */
import { gaugeStudy } from '../../../src/gauges/gauge-study.ts'
import type { StudyFigure } from '../../../src/gauges/study-model.ts'
import type { GaugeReading } from '../../../src/gauges/readings.ts'
import { drawStudy, type Scatter } from '../../src/gauges/readings.ts'
import { normalSource } from '../../src/run-length/simulation.ts'

const DESIGNS: readonly (readonly [number, number, number])[] = [
  [10, 3, 3],
  [10, 2, 2],
  [20, 3, 2],
  [15, 6, 2],
]
const SCATTERS: readonly Scatter[] = [
  { part: 1, inspector: 0.2, interaction: 0.1, repeatability: 0.2 },
  { part: 1, inspector: 0.1, interaction: 0.3, repeatability: 0.3 },
  { part: 1, inspector: 0.5, interaction: 0.2, repeatability: 0.1 },
]

/** Every inspector has parts of his own. */
function drawNested(
  parts: number,
  inspectors: number,
  trials: number,
  sd: Scatter,
  normal: () => number,
): GaugeReading[] {
  return Array.from({ length: inspectors }, (_, j) => j).flatMap((j) => {
    const offset = sd.inspector * normal()
    return Array.from({ length: parts }, (_, i) => i).flatMap((i) => {
      const size = offset + sd.part * normal()
      return Array.from({ length: trials }, () => ({
        part: `${j} ${i}`,
        inspector: String(j),
        value: size + sd.repeatability * normal(),
      }))
    })
  })
}

function covers(figure: StudyFigure | null | undefined, truth: number): boolean {
  return !!figure && figure.lower <= truth && (figure.upper === null || figure.upper >= truth)
}

const [from = 1, to = Number.POSITIVE_INFINITY] = process.argv.slice(2).map(Number)
let line = 0

const names = ['repeatability', 'inspector', 'interaction', 'gauge', 'part', 'total', 'share'] as const
console.log(`method,parts,inspectors,trials,left out,${Object.keys(SCATTERS[0] as Scatter).join(' sd,')} sd,${names.join(',')}`)
for (const [method, leftOut, studies, designs, scatters] of [
  ['analysis of variance', 0, 10_000, DESIGNS, SCATTERS],
  ['restricted maximum likelihood', 5, 500, DESIGNS.slice(0, 1), SCATTERS.slice(0, 1)],
  ['restricted maximum likelihood', 5, 300, DESIGNS.slice(0, 1), SCATTERS.slice(1)],
  ['restricted maximum likelihood', 5, 300, DESIGNS.slice(1, 2), SCATTERS.slice(0, 1)],
  // Five parts to each of three inspectors.
  ['nested analysis of variance', 0, 10_000, [[5, 3, 3]], SCATTERS],
  ['nested restricted maximum likelihood', 5, 1000, [[5, 3, 3]], SCATTERS],
] as const) {
  for (const [parts, inspectors, trials] of designs) {
    for (const sd of scatters) {
      line++
      if (line < from || line > to) continue
      const k = SCATTERS.indexOf(sd)
      const normal = normalSource(1000 * parts + 100 * inspectors + 10 * trials + k)
      const nested = method.startsWith('nested')
      // Without an interaction, which parts of their own do not tell from the parts.
      const own = nested ? { ...sd, interaction: 0 } : sd
      const gauge = Math.hypot(own.repeatability, own.inspector, own.interaction)
      const total = Math.hypot(gauge, own.part)
      const truth = { ...own, gauge, total, share: gauge / total }
      const hits = names.map(() => 0)
      const told = names.map(() => 0)
      for (let s = 0; s < studies; s++) {
        // Every ninth reading from the second on, five in all, is missing in an unbalanced study.
        const readings = nested
          ? drawNested(parts, inspectors, trials, own, normal)
          : drawStudy(parts, inspectors, trials, own, normal)
        const kept = readings.filter((_, i) => i % 9 !== 1 || i >= 9 * leftOut)
        const study = gaugeStudy(kept, { interaction: 'kept', layout: nested ? 'nested' : 'crossed' })
        for (const [i, name] of names.entries()) {
          const figure = name === 'share' ? study.gaugeShareOfSpread : study.components[name]?.sd
          if (figure) told[i] = (told[i] as number) + 1
          if (covers(figure, truth[name])) hits[i] = (hits[i] as number) + 1
        }
      }
      const shares = hits.map((count, i) => (told[i] === 0 ? '' : (count / studies).toFixed(4)))
      console.log([method, parts, inspectors, trials, leftOut, ...Object.values(own), ...shares].join(','))
    }
  }
}
