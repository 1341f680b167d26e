import type { StudyPurpose } from '../../../src/gauges/study-purpose.ts'

/** Formulas and sources behind a study. */
export function StudyWhy({ purpose }: { purpose: StudyPurpose }) {
  switch (purpose) {
    case 'spread':
      return (
        <div class="why">
          <p>
            What is seen varies by parts, inspectors, inspectors on some parts only, and repeated readings:
            the variances of these add up. Where every part was measured equally often by every inspector, or
            every inspector had as many parts of his own, all measured equally often, they follow from the
            mean squares of an analysis of variance (H. Scheffé, The Analysis of Variance, 1959), a negative
            one counting as 0, with intervals by modified large samples (R. K. Burdick, C. M. Borror and D. C.
            Montgomery, Design and Analysis of Gauge R&R Studies, 2005).
          </p>
          <p>
            Otherwise they maximise the restricted likelihood (D. A. Harville, Journal of the American
            Statistical Association 72, 1977, 320–338). Limits lie where the likelihood has fallen by as much
            as it would for a variance of as many degrees of freedom as the estimate is skew for; simulated,
            they hold about 95 % of the time also with two or three inspectors.
          </p>
          <p>
            The share of the tolerance is six standard deviations over its width. Groups told apart: √2 times
            the parts’ standard deviation over the gauge’s, cut off to a whole number (AIAG, Measurement
            Systems Analysis, 2010). Parts and inspectors stand out by tests that allow for how many were
            looked at (Bonferroni), at level 0.05.
          </p>
          <p>
            Misjudged shares integrate true and measured value over both sides of the limits (JCGM 106:2012),
            with the gauge’s variance taken out of what sintered parts on record show.
          </p>
        </div>
      )
    case 'known parts':
      return (
        <div class="why">
          <p>
            The bias is the mean reading less the known value, with an interval by Student’s t; the line is
            fitted by least squares over the known values (AIAG, Measurement Systems Analysis, 2010; N. R.
            Draper and H. Smith, Applied Regression Analysis, 1998). The known values themselves are taken as
            certain.
          </p>
        </div>
      )
    case 'two gauges':
      return (
        <div class="why">
          <p>
            Mean difference ± 1.96 standard deviations of the differences: between these limits 95 % of
            differences lie (J. M. Bland and D. G. Altman, Lancet 327, 1986, 307–310), with exact intervals
            for normal differences (A. Carkeet, Optometry and Vision Science 92, 2015, e71–e80).
          </p>
        </div>
      )
    case 'check part':
      return (
        <div class="why">
          <p>
            A control chart like that of a characteristic: readings of one day are one point, limits are three
            sigma, and the four tests of the Western Electric handbook are in force.
          </p>
        </div>
      )
  }
}
