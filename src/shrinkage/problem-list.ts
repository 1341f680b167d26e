import type { Axis } from '../domain/characteristic.ts'
import { formatCount, listed } from '../words/format.ts'
import type { ShrinkageProblem } from './problem.ts'
import { type ProblemNames, type ProblemWords, problemWords } from './problem-words.ts'
import { AXES } from './terms.ts'

/** More builds than this that lack the same are counted, not listed. */
const MOST_LISTED = 3

type MissingFactor = Extract<ShrinkageProblem, { readonly kind: 'factor-missing' }>

/** A build with the factors that it lacks. */
interface LackingBuild {
  readonly buildId: number
  readonly greenUsed: boolean
  readonly axes: Axis[]
}

/**
 * All problems in words. Factors that a build lacks are one problem, and so are builds that lack the same where there
 * are many of them. That nothing is usable along an axis is not said again where that is why.
 */
export function problemList(problems: readonly ShrinkageProblem[], names: ProblemNames): ProblemWords[] {
  const lacking = lackingBuilds(problems.filter((problem) => problem.kind === 'factor-missing'))
  const without = new Set(lacking.flatMap(({ axes }) => axes))
  const unusable = problems.filter((problem) => problem.kind === 'no-values').map(({ axis }) => axis)
  const others = problems.flatMap((problem) => {
    if (problem.kind === 'factor-missing') return []
    if (problem.kind !== 'no-values') return [problemWords(problem, names)]
    if (without.has(problem.axis)) return []
    // Nothing along any axis is one thing, said by the sentence that the page opens with.
    return unusable.length === AXES.length ? [] : [problemWords(problem, names)]
  })
  return [...missingFactors(lacking, names), ...others]
}

function lackingBuilds(missing: readonly MissingFactor[]): LackingBuild[] {
  const builds = new Map<string, LackingBuild>()
  for (const { buildId, greenUsed, axis } of missing) {
    const key = `${buildId} ${greenUsed}`
    const known = builds.get(key)
    if (known === undefined) builds.set(key, { buildId, greenUsed, axes: [axis] })
    else if (!known.axes.includes(axis)) known.axes.push(axis)
  }
  return [...builds.values()]
}

function missingFactors(lacking: readonly LackingBuild[], names: ProblemNames): ProblemWords[] {
  const alike = new Map<string, LackingBuild[]>()
  for (const build of lacking) {
    const key = `${build.greenUsed} ${build.axes.join()}`
    alike.set(key, [...(alike.get(key) ?? []), build])
  }
  return [...alike.values()].flatMap((builds) => {
    const name = (build: LackingBuild | undefined) => names.build(build?.buildId as number)
    if (builds.length <= MOST_LISTED)
      return builds.map((build) => lackingWords(`Build ${name(build)} has`, 'Its', build))
    const subject = `${formatCount(builds.length)} builds from ${name(builds[0])} to ${name(builds.at(-1))} have`
    return [lackingWords(subject, 'Their', builds[0] as LackingBuild)]
  })
}

function lackingWords(subject: string, whose: string, { axes, greenUsed }: LackingBuild): ProblemWords {
  const along = listed(AXES.filter((axis) => axes.includes(axis)))
  const [factors, columns] = [
    `scale factor${axes.length === 1 ? '' : 's'} ${along}`,
    listed(axes.map((axis) => `scale_${axis.toLowerCase()}`)),
  ]
  return {
    missing: `${subject} no ${factors}.`,
    still: greenUsed
      ? `${whose} measured green sizes stand in; other characteristics along ${along} are left out.`
      : `${whose} sizes along ${along} are left out${axes.length === AXES.length ? '' : `; ${whose.toLowerCase()} other axes and all other builds are used`}. A list of builds with ${axes.length === 1 ? 'a column' : 'columns'} ${columns} puts that right.`,
  }
}
