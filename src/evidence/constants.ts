import { c4 } from '../constants/c4.ts'
import { factorA2, factorA3, factorB3, factorB4, factorD3, factorD4 } from '../constants/limit-factors.ts'
import { d2, d3 } from '../constants/range-constants.ts'
import { type Check, check } from './check.ts'

const SOURCE =
  'ASTM E2587, table of control chart factors, and ISO 7870-2; NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2 (from memory)'

const NAMES = ['d2', 'd3', 'c4', 'A2', 'A3', 'B3', 'B4', 'D3', 'D4'] as const

const COMPUTED: Record<(typeof NAMES)[number], (n: number) => number> = {
  d2,
  d3,
  c4,
  A2: factorA2,
  A3: factorA3,
  // The tables print 0 where a lower limit does not exist.
  B3: (n) => factorB3(n) ?? 0,
  B4: factorB4,
  D3: (n) => factorD3(n) ?? 0,
  D4: factorD4,
}

/** By subgroup size, in the order of the names. */
const TABLE: readonly (readonly [number, string])[] = [
  [2, '1.128 0.853 0.7979 1.880 2.659 0 3.267 0 3.267'],
  [4, '2.059 0.880 0.9213 0.729 1.628 0 2.266 0 2.282'],
  [5, '2.326 0.864 0.9400 0.577 1.427 0 2.089 0 2.114'],
  [6, '2.534 0.848 0.9515 0.483 1.287 0.030 1.970 0 2.004'],
  [7, '2.704 0.833 0.9594 0.419 1.182 0.118 1.882 0.076 1.924'],
  [10, '3.078 0.797 0.9727 0.308 0.975 0.284 1.716 0.223 1.777'],
  [15, '3.472 0.756 0.9823 0.223 0.789 0.428 1.572 0.347 1.653'],
  [25, '3.931 0.708 0.9896 0.153 0.606 0.565 1.435 0.459 1.541'],
]

export const CONSTANTS: readonly Check[] = TABLE.flatMap(([n, row]) =>
  row.split(' ').map((published, i) => {
    const name = NAMES[i] as (typeof NAMES)[number]
    return check('Control chart constants', `${name}, n = ${n}`, SOURCE, published, () => COMPUTED[name](n))
  }),
)
