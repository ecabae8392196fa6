// Package predict says what consumption to expect of a combination of induction,
// fuel, boost and valves, from the band of common practice and from measured pulls.
//
// [Consumption] holds a small Bayesian linear model. What is modelled is
//
//	z = ln(fuel energy per unit of work) - ln(middle of the band)
//
// for the induction kind and fuel of each pull, so that blends compare on energy and
// the band is where knowledge starts. Seen from the combination asked for,
//
//	z = level + induction + ethanol·Δshare + boost·Δboost + valves·Δvalves + engine + pull + error
//
// where Δ is the difference to the combination asked for and induction a step for each
// other kind. The level, the steps and the slopes have normal priors around zero. Engine
// is drawn once per engine, a level and slopes over ethanol and boost of its own, and pull
// once per pull, so that ten pulls of one engine are not ten engines. Error has the measured pull's own standard uncertainties, a part new
// in every pull and a part shared by the pulls of one engine.
//
// Engine and pull together have the variance σ² at the combination asked for, of which a part r belongs to the pull.
// The prior variances of level, steps and slopes are multiples of κ², how far common
// practice may be off. It is a scale of its own, for engines that scatter little do not
// prove that the band is right. Both have an inverse gamma prior, which makes level, slopes
// and scatter Student t distributed: a band that is far off is doubted before the engines
// are. Given σ, r and κ everything is normal and exact; over these it is summed on a grid
// that fits itself to where the posterior lies. Every result is thus a mixture of normal
// distributions.
//
// Without data the prediction is the band: the prior is scaled so that the band is the
// central 68 % of it, as one standard deviation to either side would be, whatever the
// combination. That the band should hold at the combination asked for, and the doubt grow
// with the distance of a pull from it, makes the prior depend on the question; every
// answer is coherent in itself, two answers may differ by a little.
//
// Measured pulls that contradict the band widen the prediction before they narrow it:
// doubt about the scatter is part of the model. Moments are of the logarithm, because
// the exponential of a Student t distribution has no mean.
//
// The priors are common practice, with no source; prior.go holds them.
package predict
