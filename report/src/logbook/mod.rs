//! The logbook in words: what was recorded, what stands in it, why something is refused, and the JSON.

mod document;
mod error;
mod forecast;
mod line;
mod list;
mod names;
mod notes;
mod on_a_page;
mod recorded;
mod score;
mod show;

pub use document::{ListDocument, ShowDocument};
pub use error::{
    error, export_format, is_the_logbook, no_model, no_traced_peak, no_traced_peak_on_a_page, none_readable,
    not_for_a_planned_pull, nothing_kept, nothing_to_amend, too_large, unread,
};
pub use line::Line;
pub use list::{exported, left_out, list, not_listed, sentence as how_many};
pub use names::{BENCH_BAR, STRAP, field, numbers as pulls, option, with_unit};
pub use on_a_page::{error_on_a_page, mistake_on_a_page, parted, planned_on_a_page};
pub use recorded::{
    added, amended, ended_otherwise, imported, open_plans, peak_of_trace, planned, trace_contradicts,
    withdrawn,
};
pub use score::{ScoreDocument, score};
pub use show::{Shown, ShownValue, show};
