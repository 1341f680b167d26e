/**
 * Coverage of the intervals of a gauge study, simulated: run `npx tsx coverage.ts > coverage.csv` in this folder, which
 * takes some minutes. Analysis of variance: 10,000 studies a line; likelihood: 400. The interaction is
 * kept. Written with Node 20.20.2.
 */
import { gaugeStudy } from '../../../src/gauges/gauge-study.ts'
import type { StudyFigure } from '../../../src/gauges/study-model.ts'
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

function covers(figure: StudyFigure | null | undefined, truth: number): boolean {
  return !!figure && figure.lower <= truth && (figure.upper === null || figure.upper >= truth)
}

const names = ['repeatability', 'inspector', 'interaction', 'gauge', 'part', 'total', 'share'] as const
console.log(`method,parts,inspectors,trials,left out,${Object.keys(SCATTERS[0] as Scatter).join(' sd,')} sd,${names.join(',')}`)
for (const [method, leftOut, studies, designs, scatters] of [
  ['analysis of variance', 0, 10_000, DESIGNS, SCATTERS],
  ['restricted maximum likelihood', 5, 400, DESIGNS.slice(0, 1), SCATTERS.slice(0, 1)],
] as const) {
  for (const [parts, inspectors, trials] of designs) {
    for (const [k, sd] of scatters.entries()) {
      const normal = normalSource(1000 * parts + 100 * inspectors + 10 * trials + k)
      const gauge = Math.hypot(sd.repeatability, sd.inspector, sd.interaction)
      const total = Math.hypot(gauge, sd.part)
      const truth = { ...sd, gauge, total, share: gauge / total }
      const hits = names.map(() => 0)
      for (let s = 0; s < studies; s++) {
        // Every ninth reading from the second on, five in all, is missing in an unbalanced study.
        const readings = drawStudy(parts, inspectors, trials, sd, normal)
        const kept = readings.filter((_, i) => i % 9 !== 1 || i >= 9 * leftOut)
        const study = gaugeStudy(kept, { interaction: 'kept' })
        for (const [i, name] of names.entries()) {
          const figure = name === 'share' ? study.gaugeShareOfSpread : study.components[name]?.sd
          if (covers(figure, truth[name])) hits[i] = (hits[i] as number) + 1
        }
      }
      const shares = hits.map((count) => (count / studies).toFixed(4))
      console.log([method, parts, inspectors, trials, leftOut, ...Object.values(sd), ...shares].join(','))
    }
  }
}
