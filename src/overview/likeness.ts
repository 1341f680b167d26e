/**
 * Rows put so that those whose deviations move together stand together.
 *
 * Distances are 1 − r, r being the correlation over the builds that both rows have; rows with fewer than three builds in
 * common, or no spread there, count as unrelated. Rows are joined by average linkage, and each join is turned so that the
 * two rows that meet are the nearest of the four possible ends.
 *
 * Sources: average linkage after R. R. Sokal and C. D. Michener, University of Kansas Science Bulletin 38 (1958),
 * 1409–1438; turning the joins after G. Gruvaeus and H. Wainer, British Journal of Mathematical and Statistical
 * Psychology 25 (1972), 200–206.
 *
 * @param rows deviations by position on the timeline, null where a build has none
 * @returns indices of the rows in the new order; the first row given stands in the upper half
 */
export function likenessOrder(rows: readonly (readonly (number | null)[])[]): number[] {
  const n = rows.length
  const apart = rows.map((a) => rows.map((b) => 1 - correlation(a, b)))
  let groups = rows.map((_, i) => [i])
  while (groups.length > 1) {
    let best: [number, number] = [0, 1]
    let least = Number.POSITIVE_INFINITY
    for (let i = 0; i < groups.length; i++) {
      for (let j = i + 1; j < groups.length; j++) {
        const distance = averageDistance(groups[i] as number[], groups[j] as number[], apart)
        if (distance < least - 1e-12) {
          least = distance
          best = [i, j]
        }
      }
    }
    const [a, b] = best.map((i) => groups[i] as number[]) as [number[], number[]]
    groups = [...groups.filter((_, i) => !best.includes(i)), joined(a, b, apart)]
  }
  const order = groups[0] ?? []
  return order.indexOf(0) > (n - 1) / 2 ? order.reverse() : order
}

function averageDistance(
  a: readonly number[],
  b: readonly number[],
  apart: readonly (readonly number[])[],
): number {
  let sum = 0
  for (const i of a) for (const j of b) sum += apart[i]?.[j] as number
  return sum / (a.length * b.length)
}

/** Both groups in one, each turned or not so that the rows that meet are nearest. */
function joined(a: number[], b: number[], apart: readonly (readonly number[])[]): number[] {
  const turned = (group: readonly number[]) => [...group].reverse()
  const ways = [a, turned(a)].flatMap((first) =>
    [b, turned(b)].map((second) => ({
      rows: [...first, ...second],
      gap: apart[first.at(-1) as number]?.[second[0] as number] as number,
    })),
  )
  let best = ways[0] as (typeof ways)[number]
  for (const way of ways) if (way.gap < best.gap - 1e-12) best = way
  return best.rows
}

function correlation(a: readonly (number | null)[], b: readonly (number | null)[]): number {
  let n = 0
  let [meanA, meanB, aa, bb, ab] = [0, 0, 0, 0, 0]
  for (const [i, x] of a.entries()) {
    const y = b[i]
    if (x === null || y === null || y === undefined) continue
    n++
    const [da, db] = [x - meanA, y - meanB]
    meanA += da / n
    meanB += db / n
    aa += da * (x - meanA)
    bb += db * (y - meanB)
    ab += da * (y - meanB)
  }
  return n < 3 || aa <= 0 || bb <= 0 ? 0 : ab / Math.sqrt(aa * bb)
}
