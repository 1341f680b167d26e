import { describe, expect, it } from 'vitest'
import { generateShop } from '../../../sample-data/generate-shop.ts'
import { PLANTED_IDS } from '../../../sample-data/planted.ts'
import { DEFAULT_ADJUSTMENT } from '../../../src/shrinkage/adjustment.ts'
import { type Advice, advise } from '../../../src/shrinkage/advice.ts'
import { adviceWords } from '../../../src/shrinkage/advice-words.ts'
import { fitShrinkage } from '../../../src/shrinkage/fit.ts'
import { plain } from '../../../src/words/sentence.ts'
import { shopData } from './shop-data.ts'

const none = new Set<never>()
/** Right for the sample shop without planted causes (tests/src/shrinkage/known-truth.ts computes them). */
const RIGHT = { x: 1.1852, y: 1.1885, z: 1.1992 }
const quiet = fitShrinkage(shopData(generateShop(21, { leaveOut: PLANTED_IDS })))
const stepped = fitShrinkage(
  shopData(generateShop(21, { leaveOut: PLANTED_IDS.filter((id) => id !== 'powder-lot-step') })),
)

function axis(advice: Advice, name: 'X' | 'Y' | 'Z') {
  const found = advice.axes.find((a) => a.axis === name)
  if (found === undefined) throw new Error(name)
  return found
}

describe('advice', () => {
  it('leaves a process on target alone', () => {
    const advice = advise(quiet, RIGHT, none)
    expect(advice.action).toBe('leave')
    expect(plain(adviceWords(advice).headline)).toBe('Leave the scale factors alone.')
  })

  it('puts right a factor that is surely off, to the factor needed', () => {
    const advice = advise(quiet, { ...RIGHT, y: 1.1902 }, none)
    const y = axis(advice, 'Y')
    expect(y).toMatchObject({ action: 'correct', reason: 'beyond-deadband', stepLimited: false })
    expect(y.next).toBe(y.needed?.value)
    expect(Math.abs((y.next as number) - RIGHT.y)).toBeLessThan(1.6 * (y.needed?.halfWidth as number))
    expect(y.deviation?.value).toBeCloseTo(1.1902 / (y.next as number) - 1, 12)
    expect(plain(adviceWords(advice).headline)).toMatch(
      /^Correct scale factor Y from 1\.1902 to 1\.188\d ± 0\.000\d; leave X and Z alone\.$/,
    )
  })

  it('follows the step of a powder lot', () => {
    const z = axis(advise(stepped, RIGHT, none), 'Z')
    // 0.12 % along Z (sample-data/planted.ts).
    expect(z.action).toBe('correct')
    expect(Math.abs((z.next as number) - RIGHT.z / (1 - 0.0012))).toBeLessThan(
      1.6 * (z.needed?.halfWidth as number),
    )
    expect(z.level?.driftProbability).toBeGreaterThan(0.95)
  })

  it('never corrects on an unexplained signal', () => {
    const advice = advise(stepped, RIGHT, new Set(['Z'] as const))
    expect(axis(advice, 'Z')).toMatchObject({ action: 'watch', reason: 'unexplained-signal', next: null })
    expect(plain(adviceWords(advice).headline)).toBe(
      'Find first what moved Z: a correction before that may answer the wrong thing; leave X and Y alone.',
    )
  })

  it('never corrects before enough builds', () => {
    const data = shopData(generateShop(21, { leaveOut: PLANTED_IDS }))
    const early = fitShrinkage({ ...data, cells: data.cells.filter((cell) => cell.buildId < 424) })
    const advice = advise(early, { ...RIGHT, y: 1.1902 }, none)
    expect(axis(advice, 'Y')).toMatchObject({
      action: 'watch',
      reason: 'too-few-builds',
      next: null,
      builds: 24,
    })
    expect(plain(adviceWords(advice).headline)).toContain('24 builds are too few')
    const alone = adviceWords(
      advise(fitShrinkage({ ...data, cells: data.cells.filter((cell) => cell.buildId < 401) }), RIGHT, none),
    )
    expect(plain(alone.headline)).toContain(': one build is too few')
    expect(plain(alone.grounds)).toContain('One build stands behind this')
    const two = fitShrinkage({ ...data, cells: data.cells.filter((cell) => cell.buildId < 402) })
    expect(axis(advise(two, RIGHT, none), 'X')).toMatchObject({ reason: 'too-few-builds', needed: null })
  })

  it('never goes past the largest step', () => {
    const advice = advise(quiet, { ...RIGHT, y: 1.1902 }, none, {
      ...DEFAULT_ADJUSTMENT,
      largestStep: 0.0005,
    })
    expect(axis(advice, 'Y')).toMatchObject({ stepLimited: true, next: 1.1902 - 0.0005 })
    expect(plain(adviceWords(advice).grounds)).toContain('is needed, but one step may not go so far')
  })

  it('names a factor that is missing or impossible, and an axis without measurements', () => {
    const advice = advise(quiet, { x: null, y: 118, z: RIGHT.z }, none)
    expect(axis(advice, 'X')).toMatchObject({ action: 'watch', reason: 'no-factor', current: null })
    expect(axis(advice, 'Y')).toMatchObject({ action: 'watch', reason: 'no-factor' })
    const empty = fitShrinkage({ terms: [], cells: [], builds: [] })
    const nothing = advise(empty, RIGHT, none)
    expect(nothing.axes.map(({ reason }) => reason)).toEqual([
      'nothing-measured',
      'nothing-measured',
      'nothing-measured',
    ])
    expect(plain(adviceWords(nothing).headline)).toBe('Nothing is measured yet that tells shrinkage.')
  })

  it('says what is missing where builds are measured, and shrinkage cannot be told all the same', () => {
    const data = shopData(generateShop(21, { leaveOut: PLANTED_IDS }))
    const builds = data.builds.map((build) => ({ ...build, scale: { x: null, y: null, z: null } }))
    const unknown = { x: null, y: null, z: null }
    const said = (fit: ReturnType<typeof fitShrinkage>) => adviceWords(advise(fit, unknown, none))
    const bare = said(
      fitShrinkage({ ...data, builds, cells: data.cells.filter(({ stage }) => stage === 'sintered') }),
    )
    expect(plain(bare.headline)).toBe(
      'Shrinkage cannot be told: builds are on record without their scale factors.',
    )
    expect(bare.groundLines).toEqual([])
    const terms = data.terms.map((each) => ({
      ...each,
      characteristic: { ...each.characteristic, nominal: null },
    }))
    expect(plain(said(fitShrinkage({ ...data, terms })).headline)).toBe(
      'Shrinkage cannot be told: no size has a nominal to shrink to.',
    )
  })

  it('says on what it rests, and that it does not replace judgement', () => {
    const { grounds, caution } = adviceWords(advise(stepped, RIGHT, none))
    expect(plain(grounds)).toMatch(
      /Z comes out small, by 0\.1\d\d % ± 0\.0\d\d \(chance that the factor still fits below 0\.1 %\); single builds scatter by 0\.0\d\d %; a correction pays from 0\.0\d\d % on\./,
    )
    expect(plain(grounds)).toContain('60 builds stand behind this, all axes together.')
    expect(plain(caution)).toContain('does not replace')
  })

  it('says why it corrects by less than the interval: cost decides, not being sure', () => {
    const z = axis(advise(stepped, RIGHT, none), 'Z')
    const needed = z.needed?.value as number
    // Off by a little more than what a change is worth, which is less than the interval.
    const current = needed * (1 - 1.05 * (z.deadband as number))
    const advice = advise(stepped, { ...RIGHT, z: current }, none)
    const own = axis(advice, 'Z')
    expect(own.action).toBe('correct')
    expect(Math.abs(own.deviation?.value as number)).toBeLessThan(own.deviation?.halfWidth as number)
    expect(own.fits).toBeLessThan(0.05)
    expect(plain(adviceWords(advice).grounds)).toMatch(
      /Z is near nominal, at −0\.0\d\d % ± 0\.0\d\d \(.*That is inside the interval: the drift is as good as sure, its size is not/,
    )
  })

  it('does not take the interval of one axis for evidence where the record as a whole speaks against it', () => {
    const { deviation, fits, action, deadband } = axis(
      advise(quiet, { ...RIGHT, y: RIGHT.y + 0.0004 }, none),
      'Y',
    )
    expect(Math.abs(deviation?.value as number)).toBeGreaterThan(deviation?.halfWidth as number)
    expect(fits).toBeGreaterThan(0.05)
    expect(Math.abs(deviation?.value as number)).toBeLessThan(deadband as number)
    expect(action).toBe('leave')
  })
})
