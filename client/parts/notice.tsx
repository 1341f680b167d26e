import type { Problem } from '../data/http.ts'
import type { Resource } from '../data/resource.ts'

/** What is wrong, where, and what to do next, with a button to do it. */
export function ProblemNotice({ problem, again }: { problem: Problem; again?: () => void }) {
  return (
    <div class="notice" role="alert">
      <p>
        <span class="said-mark">{problem.what}</span>
        {problem.where !== null && <span> ({problem.where})</span>} {problem.next}
      </p>
      {again !== undefined && (
        <button type="button" onClick={again}>
          Try again
        </button>
      )}
    </div>
  )
}

/** Notices of something read from the server: on its way, or not to be had. */
export function Reading({ resource, what }: { resource: Resource<unknown>; what: string }) {
  if (resource.problem !== null) return <ProblemNotice problem={resource.problem} again={resource.again} />
  if (resource.loading && resource.value === null)
    return <p class="quiet" role="status">{`Reading ${what} …`}</p>
  return null
}

/** As `Reading`, on a page of one part number: where that is not to be had, with the way to all of them. */
export function ReadingOfPartNumber({ resource, what }: { resource: Resource<unknown>; what: string }) {
  return (
    <>
      <Reading resource={resource} what={what} />
      {resource.problem !== null && resource.value === null && (
        <p>
          <a href="/drift">All part numbers</a>
        </p>
      )}
    </>
  )
}

/** What a page about part numbers says while there are none. */
export function NothingMeasured() {
  return (
    <header class="opening">
      <h1>Nothing is measured yet.</h1>
      <p class="grounds">
        Bring a file of measurements to the <a href="/intake">intake</a>; its charts appear here.
      </p>
    </header>
  )
}

/** The short line wherever the page says that parts conform or what a process can hold. */
export function Caution() {
  return (
    <p class="caution">
      These figures support, and do not replace, the judgement of whoever is responsible for release; the
      drawing and the customer’s requirements govern.
    </p>
  )
}
