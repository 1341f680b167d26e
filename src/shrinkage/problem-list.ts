import { formatCount } from '../words/format.ts'
import type { ShrinkageProblem } from './problem.ts'
import { type ProblemNames, type ProblemWords, problemWords } from './problem-words.ts'

/** More builds than this that lack the same are counted, not listed. */
const MOST_LISTED = 3

type MissingFactor = Extract<ShrinkageProblem, { readonly kind: 'factor-missing' }>

/** All problems in words; builds that lack the same factor are one problem where there are many of them. */
export function problemList(problems: readonly ShrinkageProblem[], names: ProblemNames): ProblemWords[] {
  const missing = new Map<string, MissingFactor[]>()
  for (const problem of problems) {
    if (problem.kind !== 'factor-missing') continue
    const known = missing.get(keyOf(problem))
    if (known === undefined) missing.set(keyOf(problem), [problem])
    else known.push(problem)
  }
  return problems.flatMap((problem) => {
    if (problem.kind !== 'factor-missing') return [problemWords(problem, names)]
    const own = missing.get(keyOf(problem)) as MissingFactor[]
    if (own.length <= MOST_LISTED) return [problemWords(problem, names)]
    if (own[0] !== problem) return []
    const [first, last] = [own[0], own.at(-1)].map((each) => names.build(each?.buildId as number))
    return [
      {
        missing: `${formatCount(own.length)} builds from ${first} to ${last} have no scale factor ${problem.axis}.`,
        still: problem.greenUsed
          ? 'Their measured green sizes stand in; other characteristics of the axis are left out.'
          : `Their sizes along ${problem.axis} are left out; their other axes and all other builds are used.`,
      },
    ]
  })
}

function keyOf({ axis, greenUsed }: MissingFactor): string {
  return `${axis} ${greenUsed}`
}
