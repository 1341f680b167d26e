import { BASELINE_SUBGROUPS } from '../../../src/charts/study.ts'
import { CapabilityWhy } from './capability-why.tsx'

/** How what stands only on the page of one characteristic is computed, and then how its indices are. */
export function CapabilityDetailWhy({ confidence }: { readonly confidence: number }) {
  return (
    <>
      <p>
        <a href="/guide/figures">How the figures are computed</a> has the formulas with their sources;{' '}
        <a href="/guide/capability">Capability</a> says how to read this page.
      </p>
      <div class="why">
        <dl>
          <dt>the histogram</dt>
          <dd>
            bars of the width of Scott’s rule (Biometrika 66, 1979), put to a round figure; the curve is the
            distribution, to the scale of the bars.
          </dd>
          <dt>the probability plot</dt>
          <dd>
            shares at (i − ½)/n. The i-th of n independent values has a share below it distributed as Beta(i,
            n + 1 − i); the band is what this leaves of the line (H. A. David and H. N. Nagaraja, Order
            Statistics, 2003). Where builds differ, n is how many independent values they are worth for a
            mean, which makes the band wide rather than narrow.
          </dd>
          <dt>over time</dt>
          <dd>
            {`the same index, by the same computation, of each ${BASELINE_SUBGROUPS} builds in a row: as many as limits are computed from. The family of the distribution stays that of all builds. Where there are many windows, only every second, third or so is worked out.`}
          </dd>
          <dt>outside, seen</dt>
          <dd>
            values counted beyond a limit, with the exact binomial interval (C. J. Clopper and E. S. Pearson,
            Biometrika 26, 1934).
          </dd>
          <dt>tolerance used</dt>
          <dd>1 / Pp or, with one limit, 1 / Ppk; its interval follows from theirs.</dd>
          <dt>what if</dt>
          <dd>
            Pp and Ppk from the supposed mean, sigma and limits. With builds alike sigma is that inside
            builds, and every value counts as independent. Where the distribution is not normal, it is moved
            or judged against other limits as it is.
          </dd>
        </dl>
      </div>
      <CapabilityWhy confidence={confidence} />
    </>
  )
}
