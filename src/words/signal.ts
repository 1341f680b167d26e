import type { Signal } from '../charts/model.ts'
import { countWord } from './format.ts'

const PANEL_WORDS = {
  location: '',
  'moving-range': ' (step from build to build)',
  spread: ' (spread inside the build)',
} as const

/** A signal in words, as it stands beside its points: "nineteen in a row below the centre". */
export function signalWords(signal: Signal): string {
  return testWords(signal) + PANEL_WORDS[signal.panel]
}

/** The test and its count alone, for use on a panel whose name is in sight. */
export function testWords(signal: Signal): string {
  const count = signal.points.length
  const { side } = signal
  switch (signal.test) {
    case 'beyond-three-sigma': {
      const limit = side === 'above' ? 'above the upper limit' : 'below the lower limit'
      return count === 1 ? limit : `${countWord(count)} in a row ${limit}`
    }
    case 'two-of-three':
      return count === 2
        ? `two of three beyond two sigma, ${side}`
        : `${countWord(count)} close together beyond two sigma, ${side}`
    case 'four-of-five':
      return count === 4
        ? `four of five beyond one sigma, ${side}`
        : `${countWord(count)} close together beyond one sigma, ${side}`
    case 'six-steadily':
      return `${countWord(count)} in a row steadily ${side === 'above' ? 'rising' : 'falling'}`
    case 'fourteen-alternating':
      return `${countWord(count)} in a row up and down by turns`
    case 'fifteen-near-the-centre':
      return `${countWord(count)} in a row within one sigma of the centre`
    case 'eight-away-from-the-centre':
      return `${countWord(count)} in a row with none within one sigma of the centre`
    case 'eight-on-one-side':
    case 'nine-on-one-side':
      return `${countWord(count)} in a row ${side} the centre`
  }
}
