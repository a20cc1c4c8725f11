//! Statistics of a few pulls: what they allow to be said of the lot that they were drawn from.
//!
//! `pull` has the pulls, `figures` all that is computed of them. Below those: `moments`; `tolerance` (exact bounds of a normal lot) and
//! `three_sigma` (the trade's rating, with the confidence that it has) on `student`; `normal_lot` and `weibull`, with pulls that ended
//! without a break, on `location_scale` and `likelihood_drop`; `outlier`, `marking`, `claim`, `welch`; `binomial` (how often something happens). At the bottom are `normal_curve`,
//! `quadrature` and `root`.
//!
//! A pull that ended without a break never counts as a break: its peak is a lower bound of what it would have held.

mod binomial;
mod claim;
mod figures;
mod likelihood_drop;
mod location_scale;
mod marking;
mod moments;
mod normal_curve;
mod normal_lot;
mod outlier;
mod pull;
mod quadrature;
mod root;
mod student;
mod three_sigma;
mod tolerance;
mod weibull;
mod welch;

#[cfg(test)]
mod drawn;
#[cfg(test)]
mod published;

pub use binomial::Share;
pub use claim::{Asked, CONFIDENCES_ALLOWED, Claim, MOST_PULLS, Plan, SHARES_ALLOWED};
pub use figures::{Figures, Note, Question};
pub use location_scale::NoMaximum;
pub use marking::{Against, Belief, BySpread, SPREADS, SPREADS_ALLOWED};
pub use moments::Moments;
pub use normal_lot::{Normal, NormalLot};
pub use outlier::{Farthest, LEAST_JUDGED, OUTLIER_LEVEL, farthest};
pub use pull::{Lot, LotMistake, PEAKS_KN, Pull};
pub use three_sigma::{BREAKS_ASKED, Rating, ThreeSigma};
pub use tolerance::{ABOVE_THREE_SIGMA, Bound, CONFIDENCE, SHARES, confidence, factor};
pub use weibull::{Estimate, Exceeded, Weibull};
pub use welch::{NoWelch, Welch, mean_interval};
