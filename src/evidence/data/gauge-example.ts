import type { GaugeReading } from '../../gauges/readings.ts'

/**
 * The ten-part, three-inspector, three-trial example of AIAG, Measurement Systems Analysis, fourth edition (2010),
 * chapter III, section B (from memory). For each inspector, trial after trial, the parts in order.
 */
const TRIALS: Readonly<Record<string, readonly string[]>> = {
  A: [
    '0.29 -0.56 1.34 0.47 -0.80 0.02 0.59 -0.31 2.26 -1.36',
    '0.41 -0.68 1.17 0.50 -0.92 -0.11 0.75 -0.20 1.99 -1.25',
    '0.64 -0.58 1.27 0.64 -0.84 -0.21 0.66 -0.17 2.01 -1.31',
  ],
  B: [
    '0.08 -0.47 1.19 0.01 -0.56 -0.20 0.47 -0.63 1.80 -1.68',
    '0.25 -1.22 0.94 1.03 -1.20 0.22 0.55 0.08 2.12 -1.62',
    '0.07 -0.68 1.34 0.20 -1.28 0.06 0.83 -0.34 2.19 -1.50',
  ],
  C: [
    '0.04 -1.38 0.88 0.14 -1.46 -0.29 0.02 -0.46 1.77 -1.49',
    '-0.11 -1.13 1.09 0.20 -1.07 -0.67 0.01 -0.56 1.45 -1.77',
    '-0.15 -0.96 0.67 0.11 -1.45 -0.49 0.21 -0.49 1.87 -2.16',
  ],
}

export const GAUGE_EXAMPLE: readonly GaugeReading[] = Object.entries(TRIALS).flatMap(([inspector, trials]) =>
  trials.flatMap((trial) =>
    trial.split(' ').map((value, i) => ({ part: String(i + 1), inspector, value: Number(value) })),
  ),
)

/** Readings of five reference parts, the manual's example of linearity: as above. */
const LINEARITY: readonly (readonly [number, string])[] = [
  [2, '2.7 2.5 2.4 2.5 2.7 2.3 2.5 2.5 2.4 2.4 2.6 2.4'],
  [4, '5.1 3.9 4.2 5.0 3.8 3.9 3.9 3.9 3.9 4.0 4.1 3.8'],
  [6, '5.8 5.7 5.9 5.9 6.0 6.1 6.0 6.1 6.4 6.3 6.0 6.1'],
  [8, '7.6 7.7 7.8 7.7 7.8 7.8 7.8 7.7 7.8 7.5 7.6 7.7'],
  [10, '9.1 9.3 9.5 9.3 9.4 9.5 9.5 9.5 9.6 9.2 9.3 9.4'],
]

export const LINEARITY_EXAMPLE = LINEARITY.flatMap(([reference, values]) =>
  values.split(' ').map((value) => ({ reference, value: Number(value) })),
)

/** Fifteen readings of one reference part of 6.00, the manual's example of bias: as above. */
export const BIAS_EXAMPLE = '5.8 5.7 5.9 5.9 6.0 6.1 6.0 6.1 6.4 6.3 6.0 6.1 6.2 5.6 6.0'
  .split(' ')
  .map((value) => ({ reference: 6, value: Number(value) }))

/**
 * Peak flow by two meters, first readings of each, J. M. Bland and D. G. Altman, Lancet 327 (1986), 307–310 (from
 * memory).
 */
const LARGE_METER = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
const SMALL_METER = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]

export const AGREEMENT_EXAMPLE = LARGE_METER.map((first, i) => ({ first, second: SMALL_METER[i] as number }))
