import { formatNumber } from '../words/format.ts'
import type { ShrinkageProblem } from './problem.ts'

/** Names of what a problem points at. */
export interface ProblemNames {
  characteristic(id: number): string
  build(id: number): string
}

/** A problem in words: what is missing or wrong, and what can still be computed. */
export interface ProblemWords {
  readonly missing: string
  readonly still: string
}

/** Of a single problem; missing factors are told together (`problemList`). */
export function problemWords(
  problem: Exclude<ShrinkageProblem, { readonly kind: 'factor-missing' }>,
  names: ProblemNames,
): ProblemWords {
  switch (problem.kind) {
    case 'no-nominal':
      return {
        missing: `${names.characteristic(problem.characteristicId)} has no nominal above zero.`,
        still: 'It is left out; the other characteristics are used.',
      }
    case 'factor-impossible':
      return {
        missing:
          `Build ${names.build(problem.buildId)} has scale factor ${problem.axis} ${problem.factor}` +
          (problem.meant === null ? ', which no print has.' : `; ${problem.meant} was probably meant.`),
        still: `Its sizes along ${problem.axis} are left out until the factor is put right; all else is used.`,
      }
    case 'stage-mixed':
      return {
        missing: `${names.characteristic(problem.characteristicId)} of build ${names.build(problem.buildId)}: ${
          problem.extent === 'all' ? 'the' : 'some'
        } ${problem.stage} values are as large as ${problem.stage === 'green' ? 'sintered' : 'green'} parts.`,
        still: 'These values are left out until their stage is put right.',
      }
    case 'no-values':
      return {
        missing: `Nothing usable is measured along ${problem.axis}.`,
        still: 'The other axes are computed.',
      }
    case 'one-characteristic':
      return {
        missing: `Only ${names.characteristic(problem.characteristicId)} is measured along ${problem.axis}, so that scale and offset cannot be told apart.`,
        still: 'Shrinkage is computed as if there were no offset; it holds for that size alone.',
      }
    case 'sizes-too-alike':
      return {
        missing: `The sizes along ${problem.axis} are too alike to tell scale and offset apart (an offset would swell the variance of the shrinkage ${formatNumber(problem.inflation, 0)} times).`,
        still: 'Shrinkage is computed as if there were no offset; it holds for sizes like these.',
      }
    case 'no-offset-acts':
      return {
        missing: `All sizes along ${problem.axis} are distances between middles, which no offset acts on.`,
        still: 'Shrinkage is computed; an offset is not needed for these sizes.',
      }
    case 'one-build':
      return {
        missing: 'Only one build is measured, so that nothing says how builds differ.',
        still: 'Shrinkage of that build is computed; it says nothing of the next.',
      }
    case 'loads-not-told-apart':
      return {
        missing: 'Every build had a furnace load of its own, so that their effects cannot be told apart.',
        still: 'Both together are counted as the difference between builds.',
      }
    case 'single-parts':
      return {
        missing: 'No characteristic is measured on two parts of a build.',
        still: 'How parts scatter is taken from how well the characteristics of a build agree.',
      }
  }
}
