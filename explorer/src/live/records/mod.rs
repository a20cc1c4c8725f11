//! What a bench has recorded, in the page: traces that are read (`trace`), and the logbook (`kept`): its pulls (`list`, `show`), a
//! forecast recorded before its pull (`plan`) and the result after it (`add`), what they allow to be claimed (`lot`). Everything is done by
//! what the commands `trace`, `log` and `lot` are made of; `refused` tells in the page's form why something is not done.

mod add;
mod kept;
mod list;
mod lot;
mod plan;
mod refused;
mod show;
mod trace;

pub use add::{ADD, add};
pub use kept::Kept;
pub use list::{LIST, list};
pub use lot::{LOT, lot};
pub use plan::{PLAN, plan};
pub use show::{SHOW, show};
pub use trace::{TRACE, read_trace};
