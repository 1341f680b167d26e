import type { Study } from '../charts/study.ts'
import { WESTERN_ELECTRIC } from '../charts/tests.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import { characteristicTitle, countOf, formatCount, formatNumber } from './format.ts'
import { REPEAT_WORDS } from './study-words.ts'

/** How something was computed, and where that is written down. */
export interface MethodWords {
  readonly what: string
  readonly how: string
  readonly source: string
}

/** What a report's figures are computed by. */
export function methodWords(
  studies: readonly Study[],
  confidence: number,
  characteristics: readonly Characteristic[],
): MethodWords[] {
  const optional = studies.some((study) =>
    study.tests.some((id) => !WESTERN_ELECTRIC.some((test) => test.id === id)),
  )
  const within = new Set(studies.map((study) => study.within))
  const repeats = new Set(studies.map((study) => study.repeats).filter((choice) => choice !== 'every'))
  const estimators = [
    ...(within.has('pooled-s') ? ['the pooled standard deviation over c4(ν + 1)'] : []),
    ...(within.has('average-s') ? ['the average standard deviation over c4'] : []),
    ...(within.has('average-range') ? ['the average range over d2'] : []),
  ]
  return [
    {
      what: 'Control chart',
      how: 'One point a build. Limits are three sigma from the centre, computed from the first 25 builds of a phase unless a baseline was chosen, and stepped where sizes differ. Where an F test at level 0.01 says that builds differ, means are charted as single values with limits from the steps between neighbours, beside the spread inside builds.',
      source: 'ISO 7870-2; the chart for builds that differ is common practice',
    },
    {
      what: 'Tests for signals',
      how: optional
        ? 'The tests in force for each characteristic: those of the handbook, and optional run tests.'
        : 'One point beyond three sigma; two of three beyond two sigma, four of five beyond one sigma, eight in a row, each on one side of the centre.',
      source: optional
        ? 'Western Electric Statistical Quality Control Handbook (1956), pages 25–28; L. S. Nelson, Journal of Quality Technology 16 (1984), 237–239'
        : 'Western Electric Statistical Quality Control Handbook (1956), pages 25–28',
    },
    {
      what: 'Sigma within, between, overall',
      how: `Within builds: ${estimators.join(', or ')}. Between builds: from the steps between neighbouring means where builds differ, otherwise zero. Overall: the standard deviation of all values, divisor n − 1.`,
      source:
        'ISO 7870-2, annex on estimators; I. W. Burr, Statistical Quality Control Methods (1976), section 3.3',
    },
    ...(repeats.size === 0
      ? []
      : [
          {
            what: 'Parts measured more than once',
            how: `Of several measurements of a part, ${[...repeats].map((choice) => REPEAT_WORDS[choice]).join(', or ')} where the study says so; elsewhere ${REPEAT_WORDS.every}.`,
            source: 'rule of this program',
          },
        ]),
    ...(characteristics.every(({ ownLimits }) => ownLimits === undefined)
      ? []
      : [
          {
            what: 'Tolerance of the part’s own',
            how: 'Where each part comes with a limit of its own, as a position at maximum material condition does with its bonus, its value is divided by that limit before anything else is computed; where it comes with two, the distance from their middle is divided by half the way between them. Charts, indices and shares are of these multiples, with the limit at 1, or at −1 and 1. Of several measurements of a part each is divided by the limit that it came with; where their mean counts, it is the mean of the multiples.',
            source:
              'The bonus: ISO 2692 and ASME Y14.5. That parts are judged by the share of their own tolerance that they take up is common practice',
          },
        ]),
    {
      what: 'Cp, Cpk, Pp, Ppk',
      how: 'Pp is the tolerance over six sigma, Ppk the distance from the mean to the nearer limit over three sigma, both with sigma overall: performance, what happened. Cp and Cpk take the sigma of a process without shifts: capability, which speaks of a process in statistical control. Where the distribution is not normal, its quantiles stand in: Pp is (U − L) / (X99.865 % − X0.135 %), Ppk the lesser of (U − X50 %) / (X99.865 % − X50 %) and (X50 % − L) / (X50 % − X0.135 %); Cp and Cpk are the same while the process is in control, and are not stated otherwise. A lower limit of zero on flatness, position and the like is a floor, not a limit.',
      source: 'ISO 22514-1 and ISO 22514-2',
    },
    {
      what: 'Intervals',
      how: `Two-sided at ${formatNumber(100 * confidence, 1).replace('.0', '')} %: chi-square for Cp and Pp, noncentral t for Cpk and Ppk; by quantiles, profile likelihood for distributions with a floor at zero and bootstrap (BCa) for Johnson’s. Parts of one build are alike; where builds differ, the intervals count as many independent values as the data are worth.`,
      source:
        'ISO 22514-2, annex on confidence intervals; D. B. Owen, Technometrics 10 (1968), 445–478; F. E. Satterthwaite, Biometrics Bulletin 2 (1946), 110–114; S. S. Wilks, Annals of Mathematical Statistics 9 (1938), 60–62; B. Efron, JASA 82 (1987), 171–185',
    },
    {
      what: 'Verdict',
      how: 'On the interval of the index that is asked for: “holds” where all of it lies at the requirement or above, “does not” where all of it lies below, otherwise “not yet sure”.',
      source: 'rule of this program',
    },
    {
      what: 'Distribution',
      how: 'What is usual for the kind of characteristic stands until the values clearly refute it: the Anderson–Darling test at 0.5 % for lengths, and another family only where Schwarz’s criterion is better by at least 6. Values of exactly zero on flatness, position and the like are read as rounded, up to one in twenty. It is drawn with the values and gives the share of parts expected outside the limits; tails are computed as tails.',
      source:
        'M. A. Stephens in Goodness-of-Fit Techniques (1986), chapter 4; R. E. Kass and A. E. Raftery, JASA 90 (1995), 773–795',
    },
    {
      what: 'Histogram, probability plot',
      how: 'Bars of the width that Scott’s rule gives, put to a round figure. Shares at (i − ½)/n against the normal distribution; the line is the chosen distribution. The band is where points would lie, height by height and at the confidence asked, if it is the right one, and allows for builds that differ.',
      source: 'D. W. Scott, Biometrika 66 (1979), 605–610',
    },
  ]
}

/** What the reader has to bear in mind of one characteristic. */
export interface CautionGround {
  readonly characteristic: Characteristic
  readonly stable: boolean
  readonly provisional: boolean
  readonly n: number
  readonly chosen: string | null
}

/** What limits the figures of a report, and the line on who decides. */
export function cautionWords(grounds: readonly CautionGround[]): string[] {
  const named = (which: (ground: CautionGround) => boolean) => grounds.filter(which)
  const list = (those: readonly CautionGround[]) =>
    those.length > 12
      ? countOf(those.length, 'characteristic')
      : those.map(({ characteristic }) => characteristicTitle(characteristic)).join(', ')
  const moved = named(({ stable }) => !stable)
  const provisional = named((ground) => ground.provisional)
  const shaped = named(({ chosen }) => chosen !== null && chosen !== 'normal')
  const few = named(({ n }) => n < 50)
  return [
    ...(moved.length > 0
      ? [
          `Not in statistical control in these builds: ${list(moved)}. There the indices state performance, what happened, and not capability, what the process can hold.`,
        ]
      : []),
    ...(provisional.length > 0
      ? [`Control limits from fewer than 25 builds, and so provisional: ${list(provisional)}.`]
      : []),
    ...(shaped.length > 0
      ? [
          `Not normal, and judged by the quantiles of another distribution: ${list(shaped)}. Such indices rest on that distribution being the right one far out.`,
        ]
      : []),
    ...(few.length > 0
      ? [`Fewer than ${formatCount(50)} values: ${list(few)}. Their intervals are wide.`]
      : []),
    'Shares far beyond the values at hand rest on the distribution having been chosen rightly.',
    'This report supports, and does not replace, the judgement of whoever is responsible for release, site rules and local codes; the drawing and the customer’s requirements govern. Where parts carry load, what they are qualified for is not shown by dimensions alone.',
  ]
}
