//! The server of the live page, in a binary of its own: it is timed, and nothing else runs beside it.

mod announced;
mod live;
mod live_answers;
mod logbook;
mod pull;
mod records;
mod slow;
mod wire;
