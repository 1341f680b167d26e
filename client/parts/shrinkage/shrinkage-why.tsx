import type { ShrinkageView } from '../../../server/contract/shrinkage.ts'
import { formatNumber } from '../../../src/words/format.ts'

/** How shrinkage is computed and how the advice is made, with sources. */
export function ShrinkageWhy({ view }: { view: ShrinkageView }) {
  const { settings, confidence } = view.advice
  return (
    <div class="why">
      <h3>The model</h3>
      <ul>
        <li>
          Sintered size = nominal × factor × (1 − shrinkage) ± offset, along each axis; a diameter takes half
          of X and half of Y. All characteristics of an axis are fitted together, by generalised least squares
          on the means of builds and furnace loads.
        </li>
        <li>
          The scatter of parts comes from inside the builds, that of builds and furnace loads by restricted
          maximum likelihood. Source: H. D. Patterson and R. Thompson, Biometrika 58 (1971), 545–554.
        </li>
        <li>{`Intervals are ${formatNumber(100 * confidence, 0)} %.`}</li>
      </ul>
      <h3>The advice</h3>
      <ul>
        <li>
          The factor needed is followed build by build as an exponentially weighted level, whose weight is
          found from the record. Source: J. F. Muth, Journal of the American Statistical Association 55
          (1960), 299–306.
        </li>
        <li>
          Whether a factor still fits is a likelihood ratio over the whole record, of a level that drifts or
          stands elsewhere against none, all axes together. Without drift it ever exceeds r with a probability
          of 1/r at most, however often one looks: J. Ville, Étude critique de la notion de collectif (1939).
        </li>
        <li>
          A factor is changed only once the level is further off than the deadband, a matter of cost: the
          bounded adjustment of G. Box and A. Luceño, Statistical Control by Monitoring and Feedback
          Adjustment (1997), widened by what a change costs that was not needed.
        </li>
        <li>
          {`Never before ${settings.leastBuilds} builds, never while a signal of the last eight builds stands unexplained, and by ${formatNumber(settings.largestStep, 4)} at most in one step. A change is counted as ${formatNumber(settings.changeCost, 2)} builds that are off by one standard deviation of builds, one that was not needed as ${formatNumber(settings.needlessCost, 2)} more.`}
        </li>
        <li>
          Correcting on every build adds each build’s chance to the next: rule 2 of the funnel, W. E. Deming,
          Out of the Crisis (1986), chapter 11.
        </li>
      </ul>
      <h3>Places</h3>
      <ul>
        <li>
          Boxes of the bed, layers and trays are crossed random effects beside the builds; variances by
          restricted maximum likelihood, effects as best linear unbiased predictions. Source: C. R. Henderson,
          Biometrics 31 (1975), 423–447.
        </li>
      </ul>
      <h3>What was decided</h3>
      <ul>
        <li>
          The prediction of the moment is kept with the decision. What comes is held against it with an
          allowance for the doubt of the prediction, the difference of builds and the scatter of the parts
          measured.
        </li>
      </ul>
      <p>
        <a href="/guide/shrinkage">More in the guide</a>
      </p>
    </div>
  )
}
