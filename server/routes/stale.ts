import { ProblemError } from '../problem.ts'

/** What somebody else did meanwhile. */
export interface DoneByAnother {
  readonly who: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
  /** In words that follow the name. */
  readonly did: string
}

/** The answer to a decision that was made on the sight of what has changed since: what the other did. */
export function staleProblem(other: DoneByAnother | string): ProblemError {
  const what =
    typeof other === 'string' ? other : `Meanwhile, ${timeText(other.at)}, ${other.who} ${other.did}.`
  return new ProblemError(409, {
    what,
    where: null,
    next: 'What you decided was not kept. Look at it as it stands now, and decide again.',
  })
}

function timeText(at: number): string {
  return `${new Date(at * 1000).toISOString().slice(0, 16).replace('T', ' ')} UTC`
}
