import type { StepPattern } from '../../../src/run-length/step-memory.ts'

/**
 * Average run length of a pattern of steps, by counting permutations: whatever the distribution, as long as points
 * are independent and ties do not occur, all orders of k points are equally likely. What is counted is, by rank of the
 * last point among the first k and by length of the run of steps that ends there, the share of orders without a
 * signal so far. Once the share lost with each point is constant to twelve digits, the geometric remainder is added.
 */
export function runLengthByCounting({ pattern, length }: StepPattern): number {
  const { survivals, lost } = survivalByCounting({ pattern, length }, 400)
  return (
    survivals.reduce((sum, share) => sum + share, 0) +
    (survivals[survivals.length - 1] as number) * (1 / lost - 1)
  )
}

/**
 * @returns for k = 0, 1, … points the share of orders without a signal, at most `most` + 1 of them, and the share of
 *   what is left that the last of them lost
 */
export function survivalByCounting(
  { pattern, length }: StepPattern,
  most: number,
): { survivals: number[]; lost: number } {
  const turn = pattern === 'steady' ? 1 : -1
  // shares[run][rank], separately for a last step up (0) and down (1), as shares of the orders left.
  let shares: Map<string, number[]> = new Map([['none,1', [1]]])
  const survivals = [1, 1]
  let lost = 0
  for (let k = 1; k < most; k++) {
    const next: Map<string, number[]> = new Map()
    let signals = 0
    let alive = 0
    for (const [key, byRank] of shares) {
      const [last, run] = key.split(',') as [string, string]
      const all = byRank.reduce((sum, share) => sum + share, 0)
      for (const direction of ['up', 'down']) {
        const goesOn = last === 'none' || (last === direction) === (turn === 1)
        const points = goesOn ? Number(run) + 1 : 2
        const target = `${direction},${points}`
        const into = next.get(target) ?? new Array<number>(k + 1).fill(0)
        let below = 0
        for (let rank = 0; rank <= k; rank++) {
          const share = (direction === 'up' ? below : all - below) / (k + 1)
          if (points >= length) signals += share
          else {
            into[rank] = (into[rank] as number) + share
            alive += share
          }
          below += byRank[rank] ?? 0
        }
        if (points < length) next.set(target, into)
      }
    }
    survivals.push((survivals[k] as number) * alive)
    for (const byRank of next.values())
      for (const rank of byRank.keys()) byRank[rank] = (byRank[rank] as number) / alive
    shares = next
    const settled = signals > 0 && Math.abs(signals - lost) <= 1e-12 * signals
    lost = signals
    if (settled) break
  }
  return { survivals, lost }
}
