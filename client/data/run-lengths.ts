import { useEffect, useState } from 'preact/hooks'
import type { TestId } from '../../src/charts/tests.ts'
import type { RunLengthAnswer, RunLengthQuestion } from '../threads/run-length-worker.ts'

/**
 * Average run lengths of tests under shifts in standard errors, computed beside the page; null where they are not
 * computed yet. Figures of the question before stay until the first of the new ones.
 */
export function useRunLengths(
  tests: readonly TestId[],
  shifts: readonly number[],
): readonly (number | null)[] {
  const question: RunLengthQuestion = { tests, shifts }
  const key = JSON.stringify(question)
  const [found, setFound] = useState<readonly (number | null)[]>(() => shifts.map(() => null))
  useEffect(() => {
    const worker = new Worker(new URL('../threads/run-length-worker.ts', import.meta.url), { type: 'module' })
    const answers: (number | null)[] = shifts.map(() => null)
    worker.onmessage = ({ data }: MessageEvent<RunLengthAnswer>) => {
      answers[data.index] = data.runLength
      setFound([...answers])
    }
    worker.postMessage(question)
    return () => worker.terminate()
  }, [key])
  return found
}
