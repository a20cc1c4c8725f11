//! A connector that is pulled until it fails: metal that yields, pins that slide and leave, a load that rises and falls.
//!
//! The frame is [`crate::plastic`]'s deformed body. Its gate is a link between two pins (`gate_link`), pins press on surfaces wherever
//! both have moved (`face`, `joints`, `rub`; where a loose gate stands: `gate_balance`; whether a gate still shuts: `room`), straps and bars pull along the axis (`grip`).
//! `balance` finds the next equilibrium, a sparse system with a `border` (`joint_border`); `standing` is a connector where a step has
//! left it; `course` goes on until something ends the pull (`marks`: what shows on the way; `set`: what it leaves).

mod balance;
mod border;
mod course;
mod face;
mod fields;
mod gate_balance;
mod gate_link;
mod grip;
mod joint_border;
mod joints;
mod marks;
mod reached;
mod room;
mod rub;
mod set;
mod standing;

pub use course::{Asked, Course, DEFAULT_STEPS, Hook, HookCourse, Watch, pull, pull_with_gate};
pub use fields::{Fields, GateAt};
pub use marks::{Marks, OFFSET_MM};
pub use reached::{End, Reached};
pub use set::{Shuts, Unloaded};
pub use standing::{AVERAGED_OVER_MM, Metal};

#[cfg(test)]
mod tests;
