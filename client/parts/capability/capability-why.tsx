/** How indices, intervals and verdicts are computed, with their sources. */
export function CapabilityWhy({ confidence: sure }: { readonly confidence: number }) {
  const confidence = `${Number((100 * sure).toFixed(1))} %`
  return (
    <div class="why">
      <dl>
        <dt>Pp</dt>
        <dd>
          (upper − lower) / 6s: the tolerance against the standard deviation s of all values, whatever
          happened.
        </dd>
        <dt>Ppk</dt>
        <dd>
          the smaller of (upper − mean) / 3s and (mean − lower) / 3s; with one limit, the one that there is.
        </dd>
        <dt>Cp, Cpk</dt>
        <dd>
          the same with the sigma of a process without shifts: that inside builds, or, where builds differ as
          a matter of course, that of parts from neighbouring builds, which is never less. They speak of a
          process in statistical control, so the verdict rests on Ppk unless the customer asks for Cpk; both
          are in the table of figures.
        </dd>
        <dt>{`${confidence} interval`}</dt>
        <dd>
          two-sided. Parts of one build are alike, so where builds differ the interval counts fewer
          independent values than parts were measured.
        </dd>
        <dt>verdict</dt>
        <dd>
          “holds” where the whole interval of the index lies at what is asked or above, “does not” where the
          whole of it lies below, “not yet sure” where what is asked is inside.
        </dd>
        <dt>the picture</dt>
        <dd>
          offset of the mean from the middle of the tolerance against s, both in half tolerances. Equal Ppk
          lies on straight lines, s = (1 − |offset|) / (3 Ppk); bars show the interval of s.
        </dd>
        <dt>assumed</dt>
        <dd>
          the distribution that stands beside each characteristic. Where it is not normal, Pp and Ppk are by
          its quantiles X0.135 %, X50 % and X99.865 % in the place of mean and three sigma; their intervals
          are by profile likelihood, or by bootstrap for Johnson’s distributions. Cp and Cpk are the same then
          while the process is in control, and do not exist otherwise.
        </dd>
        <dt>outside</dt>
        <dd>
          share of parts expected beyond the limits under that distribution, with its {confidence} interval;
          it rests on the distribution being right far out.
        </dd>
        <dt>source</dt>
        <dd>ISO 22514-1 and 22514-2 for the terms and indices.</dd>
      </dl>
    </div>
  )
}
