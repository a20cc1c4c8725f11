//! A case pulled until it fails: the same case, limits and metals as a forecast, on the deformed connector with metal that yields.
//!
//! [`Ready`] is the connector before the pull, [`Wanted`] what is asked of it, [`Pulled`] what came of it.

mod bent;
mod pulled;
mod ready;
mod refusal;
mod sets;
mod solve;
mod wanted;

pub use bent::Bent;
pub use pulled::{Pulled, Share, Shares};
pub use ready::{Ready, UNKNOWNS};
pub use refusal::PullError;
pub use sets::{NoLongerShuts, SetFound, Shutting};
pub use wanted::Wanted;
