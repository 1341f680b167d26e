/** A Markov chain over n states that ends in absorption, factored for repeated solution. */
export interface AbsorbingChain {
  /**
   * Expected total of a reward collected at every step until absorption, by starting state; infinite where
   * absorption is not certain.
   *
   * @param rewards n values that are not negative
   */
  expectedTotals(rewards: ArrayLike<number>): Float64Array
}

/**
 * Factors a chain by censoring its states one after the other, from the last to the first. Only sums, products
 * and quotients of numbers that are not negative occur, so every result keeps nearly full relative precision
 * however rare absorption is, where elimination on I − Q would lose it all in 1 − q.
 *
 * Source: W. K. Grassmann, M. I. Taksar and D. P. Heyman, Regenerative analysis and steady state distributions for
 * Markov chains, Operations Research 33 (1985), 1107–1116, carried over to absorption.
 *
 * @param transitions n × n probabilities in rows, overwritten; their diagonal is not read
 * @param absorption n probabilities of absorption at the next step, overwritten
 */
export function absorbingChain(transitions: Float64Array, absorption: Float64Array): AbsorbingChain {
  const n = absorption.length
  const leaving = new Float64Array(n)
  for (let k = n - 1; k >= 0; k--) {
    const rowK = k * n
    let out = absorption[k] as number
    for (let j = 0; j < k; j++) out += transitions[rowK + j] as number
    leaving[k] = out
    for (let i = 0; i < k; i++) {
      const rowI = i * n
      const share = transitions[rowI + k] as number
      if (share === 0) continue
      // From now on this entry holds visits to k per visit to i.
      const visits = share / out
      transitions[rowI + k] = visits
      for (let j = 0; j < k; j++)
        transitions[rowI + j] = (transitions[rowI + j] as number) + visits * (transitions[rowK + j] as number)
      absorption[i] = (absorption[i] as number) + visits * (absorption[k] as number)
    }
  }

  return {
    expectedTotals: (rewards) => {
      const totals = Float64Array.from(rewards)
      for (let k = n - 1; k >= 0; k--) {
        const reward = totals[k] as number
        for (let i = 0; i < k; i++) {
          const visits = transitions[i * n + k] as number
          if (visits !== 0) totals[i] = (totals[i] as number) + visits * reward
        }
      }
      for (let k = 0; k < n; k++) {
        let total = totals[k] as number
        for (let j = 0; j < k; j++) {
          const share = transitions[k * n + j] as number
          if (share !== 0) total += share * (totals[j] as number)
        }
        totals[k] = total / (leaving[k] as number)
      }
      return totals
    },
  }
}
