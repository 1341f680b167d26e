/** What `reference` took on the machine that limits of time in tests are written for. */
const REFERENCE_MS = 10

/**
 * Time that a computation takes, as a test may bound it: of the processor, so that waiting for one does not count; the
 * least of some turns, so that a first one does not; and in the measure of a machine that needs 10 ms for a fixed
 * computation, so that the limit holds on a slower one too.
 *
 * @param turns how often it is run; each is told which it is
 * @returns milliseconds
 */
export async function processorMs(run: (turn: number) => unknown, turns = 3): Promise<number> {
  const taken = await least(run, turns)
  return (REFERENCE_MS * taken) / (await least(reference, 5))
}

async function least(run: (turn: number) => unknown, turns: number): Promise<number> {
  let ms = Number.POSITIVE_INFINITY
  for (let turn = 1; turn <= turns; turn++) {
    const begun = process.cpuUsage()
    await run(turn)
    const { user, system } = process.cpuUsage(begun)
    ms = Math.min(ms, (user + system) / 1000)
  }
  return ms
}

function reference(): number {
  let sum = 0
  for (let i = 1; i <= 1_000_000; i++) sum += Math.exp(-i / 1e6) * Math.log(i)
  return sum
}
