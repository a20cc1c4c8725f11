//! Contact between bodies: the small optimisation problems it comes down to.
//!
//! Forces that only push and gaps that only open make the answer of a loaded connector the solution of one strictly
//! convex quadratic programme in the contact and seat forces ([`quadratic`]), and make the load at which the gate
//! starts to carry the solution of a linear programme in four unknowns ([`engagement`]).

pub mod engagement;
pub mod quadratic;
