//! Cuts through the frame and what a section holds: shape alone, per unit of strength.

mod cut;
mod limit;

pub use cut::{Cut, centre_length, cuts_beside, frame_cuts};
pub use limit::{MEAN_FLOW, SectionLimit, flow_at_mpa, flow_mpa};
