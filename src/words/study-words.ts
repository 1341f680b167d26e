import type { StudyChange } from '../charts/change-study.ts'
import type { RepeatChoice } from '../charts/repeats.ts'
import type { StepEstimator, WithinEstimator } from '../charts/study.ts'
import { OPTIONAL_TESTS, type TestId, WESTERN_ELECTRIC } from '../charts/tests.ts'
import { countOf, listed } from './format.ts'

/** A test in words, as it stands in a list. */
export const TEST_WORDS: Readonly<Record<TestId, string>> = {
  'beyond-three-sigma': 'one beyond three sigma',
  'two-of-three': 'two of three beyond two sigma',
  'four-of-five': 'four of five beyond one sigma',
  'eight-on-one-side': 'eight in a row on one side',
  'nine-on-one-side': 'nine in a row on one side',
  'six-steadily': 'six in a row steadily rising or falling',
  'fourteen-alternating': 'fourteen in a row up and down by turns',
  'fifteen-near-the-centre': 'fifteen in a row within one sigma',
  'eight-away-from-the-centre': 'eight in a row with none within one sigma',
}

export const WITHIN_WORDS: Readonly<Record<WithinEstimator, string>> = {
  'pooled-s': 'pooled standard deviation',
  'average-s': 'average standard deviation',
  'average-range': 'average range',
}

export const STEP_WORDS: Readonly<Record<StepEstimator, string>> = {
  average: 'average step',
  median: 'median step',
}

/** Which of several measurements of a part counts, in words that follow "of several measurements of a part". */
export const REPEAT_WORDS: Readonly<Record<RepeatChoice, string>> = {
  every: 'each counts as a value of its own',
  first: 'the first counts',
  last: 'the last counts',
  mean: 'their mean counts as one value',
}

/** Which tests are in force, in words: "the four of Western Electric and six in a row steadily rising or falling". */
export function testsInForce(tests: readonly TestId[]): string {
  if (tests.length === 0) return 'no test'
  const all = WESTERN_ELECTRIC.every(({ id }) => tests.includes(id))
  const rest = [...WESTERN_ELECTRIC, ...OPTIONAL_TESTS]
    .filter(({ id }) => tests.includes(id) && !(all && WESTERN_ELECTRIC.some((test) => test.id === id)))
    .map(({ id }) => TEST_WORDS[id])
  return listed([...(all ? ['the four of Western Electric'] : []), ...rest])
}

/**
 * What a change did, in words that follow a name: "opened a phase at build 0430".
 *
 * @param name of a build by its id
 */
export function changeWords(change: StudyChange, name: (build: number) => string): string {
  switch (change.kind) {
    case 'open-phase':
      return `opened a phase at build ${name(change.build)}`
    case 'join-phase':
      return `joined the phase with build ${name(change.build)} to the one before`
    case 'choose-baseline':
      return change.span === null
        ? `went back to limits from the first builds of the phase with ${name(change.build)}`
        : `chose builds ${name(change.span.from)} to ${name(change.span.to)} as the baseline`
    case 'freeze-limits':
      return `froze the limits of the phase with build ${name(change.build)}`
    case 'release-limits':
      return `had the limits of the phase with build ${name(change.build)} computed again`
    case 'choose-tests':
      return `put ${countOf(change.tests.length, 'test')} in force: ${testsInForce(change.tests)}`
    case 'choose-repeats':
      return `decided that of several measurements of a part ${REPEAT_WORDS[change.repeats]}`
    case 'choose-estimators':
      return `took sigma from the ${WITHIN_WORDS[change.within]} and the ${STEP_WORDS[change.step]}`
  }
}
