//! What fails first: the load at which each part of a connector reaches its limit under a rig, and what follows.
//!
//! [`limits`] is the way in. Under it, from the bottom up: what a bent section holds ([`SectionLimit`](crate::sections::SectionLimit)); what each part of
//! the gate line holds, as a force along the line of its two pins ([`gate_line`]); what the frame holds whatever the gate
//! carries ([`FrameStatics`]); the load at which the gate carries a given force ([`LoadPath`]); the pin riding out
//! ([`riding_out`]).
//!
//! Forces of parts and the static limit of the frame need strengths and sizes only; the elastic solution enters through
//! the load path, first yield and riding out.

mod beyond;
mod capacity;
mod computed;
mod constants;
mod course;
mod cut_forces;
mod ending;
mod ends;
mod failure_mode;
mod formula;
mod frame_limit;
mod gate;
mod gate_line;
mod hinge_lug;
mod limits;
mod lip;
mod load_path;
mod lug;
mod nose_root;
mod part_point;
mod pin;
mod riding_out;
mod strap;
mod strengths;

pub use beyond::{beyond, held_gate_line, surely_holds};
pub use capacity::{ByHand, Capacity, LimitKind};
pub use computed::{ComputedLimit, computed_limits};
pub use constants::{Constant, Constants};
pub use course::Course;
pub use cut_forces::{cuts_under, gate_parts, gate_pull, load_parts, open_load_parts};
pub use ending::ending;
pub use ends::Ends;
pub use failure_mode::{FailureMode, LugFailure, PinFailure};
pub use formula::{Formula, Input, Quantity, input};
pub use frame_limit::{FrameLimit, FrameStatics};
pub use gate::{behind_notch_n, gate_capacities, gate_lug};
pub use gate_line::{gate_line, gate_line_force_n};
pub use hinge_lug::{hinge_lug, hinge_lug_capacities};
pub use limits::{Limit, Limits, limits, limits_of, limits_without_yield};
pub use lip::{BEARING_OVER_ULTIMATE, engaged_width_mm, lip_capacities, lip_force_n};
pub use load_path::{LoadPath, Sample};
pub use lug::{Lug, lug_capacities};
pub use nose_root::nose_root_capacity;
pub use part_point::part_point;
pub use pin::{
    PinSeat, Support, bending_arm_mm, bending_yield_n, bent_through_n, double_shear_n, pin_capacities,
    plastic_moment_nmm,
};
pub use riding_out::{RidingOut, riding_out, turn_to_leave};
pub use strap::strap_limits;
pub use strengths::Strengths;

#[cfg(test)]
mod tests;
