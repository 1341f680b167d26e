import type { ChartModel, PhaseLimits } from '../charts/model.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import { standingShift } from '../overview/standing-shift.ts'
import { capitalise, characteristicTitle, countOf, countWord, formatNumber, meanDecimals } from './format.ts'
import type { Phrase, Sentence } from './sentence.ts'

/** What one control chart says, and how its limits came about. */
export function chartWords(
  characteristic: Characteristic,
  chart: ChartModel,
): { readonly headline: Sentence; readonly grounds: Sentence } {
  const last = chart.phases[chart.phases.length - 1]
  if (last === undefined) return { headline: [{ text: 'Nothing is measured yet.' }], grounds: [] }
  return { headline: headline(characteristic, chart), grounds: grounds(characteristic, chart, last) }
}

function headline(characteristic: Characteristic, chart: ChartModel): Sentence {
  const name = characteristicTitle(characteristic)
  const shift = standingShift(chart)
  if (shift !== null) {
    const decimals = meanDecimals(characteristic)
    const word: Phrase = shift.size < 0 ? { text: 'small', role: 'under' } : { text: 'large', role: 'over' }
    return [
      { text: `${name} comes out ` },
      word,
      {
        text: ` since build ${chart.subgroups[shift.from]?.label}, by ${formatNumber(Math.abs(shift.size), decimals)} ± ${formatNumber(shift.halfWidth, decimals)}.`,
      },
    ]
  }
  const signals = chart.signals.length
  if (signals === 0) return [{ text: `${name} is steady.` }]
  return [
    {
      text: `${name} stands where it stood; ${countWord(signals)} ${signals === 1 ? 'signal' : 'signals'} on the way.`,
    },
  ]
}

function grounds(characteristic: Characteristic, chart: ChartModel, phase: PhaseLimits): Sentence {
  const label = (i: number) => chart.subgroups[i]?.label ?? ''
  const builds = phase.baselineTo - phase.from + 1
  const words: Phrase[] = [
    {
      text: `Limits from ${countOf(builds, 'build')}, ${label(phase.from)}${builds === 1 ? '' : ` to ${label(phase.baselineTo)}`}${phase.provisional ? ', provisional' : ''}. `,
    },
    { text: formWords(chart, phase) },
  ]
  if (phase.sigmaWithin !== null && phase.sigmaBetween !== null && chart.form === 'three-way') {
    const decimals = meanDecimals(characteristic)
    words.push({
      text: `Standard deviation inside a build ${formatNumber(phase.sigmaWithin, decimals)}, between builds ${formatNumber(phase.sigmaBetween, decimals)}. `,
    })
  }
  return words
}

function formWords(chart: ChartModel, phase: PhaseLimits): string {
  const test = phase.betweenTest
  const figure = test === null ? '' : ` (F = ${formatNumber(test.f, 1)}, p ${probability(test.p)})`
  switch (chart.form) {
    case 'three-way':
      return `Builds differ by more than the scatter inside them explains${figure}, so the means are charted as single values, with limits from the steps between neighbours. `
    case 'mean-and-s':
      return test === null
        ? 'Limits of the means come from the scatter inside builds. '
        : `Builds do not differ beyond the scatter inside them${figure}, so the limits of the means come from that scatter. `
    case 'individuals':
      return `${capitalise('one value')} a build: charted as single values, with limits from the steps between neighbours. `
  }
}

/** A probability as it stands in a sentence: "= 0.03", or "< 0.0001" where it is smaller. */
function probability(p: number): string {
  return p < 0.0001 ? '< 0.0001' : `= ${formatNumber(p, p < 0.01 ? 4 : 2)}`
}
