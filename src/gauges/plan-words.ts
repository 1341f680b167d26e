import { countOf, formatNumber } from '../words/format.ts'
import type { Sentence } from '../words/sentence.ts'
import type { StudyAim, StudyBounds, StudyPlan } from './plan-study.ts'

/** How large a study has to be, and what that rests on. */
export function planWords(
  aim: StudyAim,
  plan: StudyPlan | null,
  bounds: StudyBounds,
): { readonly headline: Sentence; readonly grounds: Sentence } {
  const whole = aim.of === 'tolerance' ? 'the tolerance' : 'the spread that is seen'
  const share = `about ${percent(aim.share)} of ${whole}`
  const within = `±\u00a0${percent(aim.halfWidth)}`
  const inspectors =
    aim.inspectorShare > 0
      ? `inspectors adding ${percent(aim.inspectorShare)} of the gauge’s variance`
      : 'inspectors adding nothing, as with a machine'
  const grounds: Sentence = [
    {
      text: `Expected with ${inspectors}, at ${percent(aim.confidence)} confidence. With few inspectors the interval is long however many parts there are.`,
    },
  ]
  if (plan === null) {
    return {
      headline: [
        { text: `Even ${bounds.parts} parts, ${bounds.inspectors} inspectors and ${bounds.trials} trials ` },
        { text: 'would not tell', role: 'mark' },
        { text: ` a share of ${share} to within ${within}.` },
      ],
      grounds,
    }
  }
  return {
    headline: [
      {
        text: `${countOf(plan.parts, 'part').replace(/^./, (c) => c.toUpperCase())}, ${countOf(plan.inspectors, 'inspector')} and ${countOf(plan.trials, 'trial')}`,
        role: 'strong',
      },
      {
        text: ` tell a share of ${share} to ±\u00a0${percent(plan.halfWidth)}: ${plan.readings} readings, the fewest for ${within}.`,
      },
    ],
    grounds,
  }
}

function percent(share: number): string {
  const value = 100 * share
  return `${formatNumber(value, Number.isInteger(Number(value.toFixed(6))) ? 0 : 1)}\u00a0%`
}
