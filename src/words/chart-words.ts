import type { ChartModel, PhaseLimits } from '../charts/model.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import type { ProcessEvent } from '../events/event.ts'
import type { StandingChange } from '../events/standing-change.ts'
import { capitalise, countOf, countWord, formatNumber, meanDecimals } from './format.ts'
import { ownToleranceWords } from './own-tolerance-words.ts'
import { probabilityText } from './probability.ts'
import type { Phrase, Sentence } from './sentence.ts'
import { shiftSentence, unmovedSentence } from './shift-words.ts'

/**
 * What is to be said of the control chart of a characteristic. Whether and by how much it moved is told by the events of
 * its part number, since a chart alone calls much a shift that chance explains.
 *
 * @param change what of the events stands for the characteristic
 * @param buildNames of the builds that the events count
 */
export function chartHeadline(
  characteristic: Characteristic,
  chart: ChartModel,
  change: StandingChange<Pick<ProcessEvent, 'kind' | 'from' | 'to' | 'confinedTo'>> | null,
  buildNames: readonly string[],
): Sentence {
  if (chart.phases.length === 0) {
    const text =
      chart.subgroups.length === 0 ? 'Nothing is measured yet.' : 'Everything measured is left out.'
    return [{ text }]
  }
  if (change === null) return unmovedSentence(characteristic, chart)
  const { event, shift } = change
  const name = (position: number) => buildNames[position] ?? ''
  return shiftSentence(characteristic, { ...event, from: name(event.from), to: name(event.to), shift })
}

/**
 * How the limits of a control chart came about, and what became of its signals and values.
 *
 * @param answers number of the finding that answers each signal, parallel to `chart.signals`
 */
export function chartGrounds(
  characteristic: Characteristic,
  chart: ChartModel,
  answers: readonly (number | null)[] = [],
): Sentence {
  const last = chart.phases[chart.phases.length - 1]
  if (last === undefined) return []
  return [
    ...answeredWords(chart, answers),
    ...ownToleranceWords(characteristic),
    ...limitsWords(characteristic, chart, last),
    ...leftOutWords(chart),
  ]
}

function answeredWords({ signals }: ChartModel, answers: readonly (number | null)[]): Phrase[] {
  const findings = [...new Set(answers.filter((answer) => answer !== null))].sort((a, b) => a - b)
  if (findings.length === 0) return []
  const answered = answers.filter((answer) => answer !== null).length
  const by = `finding${findings.length === 1 ? '' : 's'} ${findings.join(', ')}`
  return [
    {
      text:
        answered === signals.length
          ? `Answered by ${by}. `
          : `${capitalise(countWord(answered))} of ${countOf(signals.length, 'signal')} ${answered === 1 ? 'is' : 'are'} answered by ${by}. `,
    },
  ]
}

function leftOutWords({ subgroups }: ChartModel): Phrase[] {
  const wholes = subgroups.filter((subgroup) => subgroup.leftOut).length
  const singles = subgroups.reduce((sum, each) => sum + (each.leftOut ? 0 : each.leftOutValues.length), 0)
  if (wholes + singles === 0) return []
  const parts = [
    ...(wholes > 0 ? [countOf(wholes, 'build')] : []),
    ...(singles > 0 ? [countOf(singles, 'single value')] : []),
  ]
  return [{ text: `${capitalise(parts.join(' and '))} ${wholes + singles === 1 ? 'is' : 'are'} left out. ` }]
}

function limitsWords(characteristic: Characteristic, chart: ChartModel, phase: PhaseLimits): Sentence {
  const words: Phrase[] = [{ text: `${limitsOrigin(chart, phase)}. ` }, { text: formWords(chart, phase) }]
  if (phase.sigmaWithin !== null && phase.sigmaBetween !== null && chart.form === 'three-way') {
    const decimals = meanDecimals(characteristic)
    words.push({
      text: `In those builds the standard deviation is ${formatNumber(phase.sigmaWithin, decimals)} inside a build and ${formatNumber(phase.sigmaBetween, decimals)} between builds. `,
    })
  }
  return words
}

/** What the limits of a phase come from: "Limits from 25 builds, 0400 to 0424", "Limits frozen on … by …". */
export function limitsOrigin(chart: ChartModel, phase: PhaseLimits): string {
  const label = (i: number) => chart.subgroups[i]?.label ?? ''
  const { baselineFrom, baselineTo, baselineCount, frozen, provisional } = phase
  const builds = `${countOf(baselineCount, 'build')}, ${label(baselineFrom)}${baselineCount === 1 ? '' : ` to ${label(baselineTo)}`}`
  const doubt = provisional ? ', provisional' : ''
  if (frozen === null) return `Limits from ${builds}${doubt}`
  return `Limits frozen by ${frozen.who} on ${dayOf(frozen.at)} (${frozen.reason}), from ${builds}${doubt}`
}

/** The day of a time in seconds since 1970-01-01, in UTC. */
function dayOf(at: number): string {
  return new Date(at * 1000).toISOString().slice(0, 10)
}

function formWords(chart: ChartModel, phase: PhaseLimits): string {
  const test = phase.betweenTest
  const figure =
    test === null
      ? ''
      : test.f === null
        ? ' (where nothing scatters)'
        : ` (F = ${formatNumber(test.f, 1)}, p ${probabilityText(test.p)})`
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
