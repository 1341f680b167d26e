import { useEffect, useState } from 'preact/hooks'
import { computedText } from '../../src/evidence/computed-text.ts'
import { CHECKS, type CheckResult, evidence } from '../../src/evidence/evidence.ts'
import { useTitle } from '../parts/title.ts'
import { counted } from '../words/quantities.ts'

/** Milliseconds of computing between two looks at the screen. */
const SLICE = 12

/** Every published figure that the statistics are checked against, recomputed where the page is read. */
export function EvidencePage() {
  useTitle('Published figures, recomputed')
  const results = useRecomputed()
  const done = results.length === CHECKS.length
  const failed = results.filter((result) => !result.agrees)
  const limited = results.filter((result) => result.agrees && !result.complete)
  return (
    <>
      <p class="back">
        <a href="/record">The record</a>
      </p>
      <header class="opening">
        <h1>{headline(results.length, done, failed.length)}</h1>
        <p class="grounds" role="status">
          {done
            ? `Recomputed just now, in this browser, by the code that computes your charts. ${counted(limited.length, 'figure')} can agree in fewer digits than are printed; the reason stands beside each.`
            : 'Each is computed by the code that computes your charts.'}
        </p>
      </header>
      {groupsOf(results).map(([group, members]) => (
        <section key={group}>
          <h2>{group}</h2>
          <ResultTable caption={group} results={members} />
        </section>
      ))}
    </>
  )
}

function headline(count: number, done: boolean, failed: number): string {
  if (!done) return `Recomputing published figures: ${count} of ${CHECKS.length}.`
  return failed === 0
    ? `All ${count} published figures agree.`
    : `${counted(failed, 'figure')} of ${count} ${failed === 1 ? 'does' : 'do'} not agree with what was published.`
}

/** Computes in slices, so that the page stays alive, and stops where it is left. */
function useRecomputed(): readonly CheckResult[] {
  const [results, setResults] = useState<readonly CheckResult[]>([])
  useEffect(() => {
    let next = 0
    let frame = 0
    const slice = () => {
      const until = performance.now() + SLICE
      const found: CheckResult[] = []
      while (next < CHECKS.length && performance.now() < until) {
        found.push(...evidence(CHECKS.slice(next, next + 1)))
        next++
      }
      setResults((before) => [...before, ...found])
      if (next < CHECKS.length) frame = requestAnimationFrame(slice)
    }
    setResults([])
    frame = requestAnimationFrame(slice)
    return () => cancelAnimationFrame(frame)
  }, [])
  return results
}

function groupsOf(results: readonly CheckResult[]): [string, CheckResult[]][] {
  const groups = new Map<string, CheckResult[]>()
  for (const result of results) {
    const members = groups.get(result.group)
    if (members === undefined) groups.set(result.group, [result])
    else members.push(result)
  }
  return [...groups]
}

function ResultTable({ caption, results }: { caption: string; results: readonly CheckResult[] }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label={caption} tabIndex={0}>
      <table class="list">
        <caption class="unseen">{caption}</caption>
        <thead>
          <tr>
            <th scope="col">figure</th>
            <th scope="col" class="number">
              computed
            </th>
            <th scope="col" class="number">
              published
            </th>
            <th scope="col">digits</th>
            <th scope="col">source</th>
          </tr>
        </thead>
        <tbody>
          {results.map((result) => (
            <tr key={result.id}>
              <td>{result.what}</td>
              <td class="number">{computedText(result)}</td>
              <td class="number">{result.published}</td>
              <td class={result.agrees ? undefined : 'said-mark'}>{digitsText(result)}</td>
              <td>{result.limit === null ? result.source : `${result.source}. ${result.limit.why}`}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function digitsText({ agrees, digits, expectedDigits }: CheckResult): string {
  const share = `${Math.floor(digits)} of ${expectedDigits}`
  return agrees ? share : `${share}, does not agree`
}
