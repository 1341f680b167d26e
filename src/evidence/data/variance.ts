/**
 * One-way analyses of variance of the NIST Statistical Reference Datasets (NIST/ITL, public domain) with the certified
 * F statistics as printed.
 */

export interface VarianceSet {
  readonly name: string
  readonly f: string
  /** Values of each treatment. */
  readonly groups: readonly (readonly number[])[]
}

/**
 * The groups of a SmLs set: nine treatments, each a middle value with pairs a tenth below and above it. Tenths are
 * divided at the end, so that every value is the double nearest to the decimal.
 *
 * @param whole what every value begins with
 */
function smallScatter(whole: number): number[][] {
  return [4, 3, 5, 3, 5, 3, 5, 3, 5].map((tenths) =>
    [0, ...Array.from({ length: 20 }, (_, i) => (i % 2 === 0 ? -1 : 1))].map(
      (step) => (10 * whole + tenths + step) / 10,
    ),
  )
}

export const VARIANCE: readonly VarianceSet[] = [
  {
    name: 'SiRstvt',
    f: '1.18046237440255E+00',
    groups: [
      [196.3052, 196.124, 196.189, 196.2569, 196.3403],
      [196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
      [196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
      [196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
      [196.2119, 196.1051, 196.185, 196.0052, 196.209],
    ],
  },
  {
    name: 'AtmWtAgt',
    f: '1.59467335677930E+01',
    groups: [
      [
        107.8681568, 107.8681465, 107.8681572, 107.8681785, 107.8681446, 107.8681903, 107.8681526,
        107.8681494, 107.8681616, 107.8681587, 107.8681519, 107.8681486, 107.8681419, 107.8681569,
        107.8681508, 107.8681672, 107.8681385, 107.8681518, 107.8681662, 107.8681424, 107.868136, 107.8681333,
        107.868161, 107.8681477,
      ],
      [
        107.8681079, 107.8681344, 107.8681513, 107.8681197, 107.8681604, 107.8681385, 107.8681642,
        107.8681365, 107.8681151, 107.8681082, 107.8681517, 107.8681448, 107.8681198, 107.8681482,
        107.8681334, 107.8681609, 107.8681101, 107.8681512, 107.8681469, 107.868136, 107.8681254, 107.8681261,
        107.868145, 107.8681368,
      ],
    ],
  },
  { name: 'SmLs01t', f: '2.10000000000000E+01', groups: smallScatter(1) },
  { name: 'SmLs04t', f: '2.10000000000000E+01', groups: smallScatter(1000000) },
  { name: 'SmLs07t', f: '2.10000000000000E+01', groups: smallScatter(1000000000000) },
]
