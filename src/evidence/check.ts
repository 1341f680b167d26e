/** One published figure and how the core computes it. */
export interface Check {
  readonly id: string
  /** What it is evidence for, such as "Control chart constants". */
  readonly group: string
  readonly what: string
  /** Where it was published, with "from memory" where the figure was not copied from the source itself. */
  readonly source: string
  /** As printed: its digits say how exact it claims to be. */
  readonly published: string
  /** True where the published figure is exact, so that all fifteen digits of a double count. */
  readonly exact: boolean
  /** Where fewer digits than printed can agree: how many do, and why. */
  readonly limit: { readonly digits: number; readonly why: string } | null
  readonly compute: () => number
}

/** A figure printed to the digits that it is good for. */
export function check(
  group: string,
  what: string,
  source: string,
  published: string,
  compute: () => number,
): Check {
  const id = `${group}: ${what}`.replaceAll(/[^A-Za-z0-9.+-]+/g, '-')
  return { id, group, what, source, published, exact: false, limit: null, compute }
}

/** The same check of which only so many digits can be asked. */
export function limited(of: Check, digits: number, why: string): Check {
  return { ...of, limit: { digits, why } }
}
