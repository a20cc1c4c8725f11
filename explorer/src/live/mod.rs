//! The live page's server: everything that the commands compute, under the hand.
//!
//! A request passes the `guard` (or comes by a `wire` that did), is read (`protocol`), takes its page's `turns`, waits in a
//! queue of `work` (`endpoint`) and is worked on by `solve`, `limits`, `charts`, `explanation`, `range`, `sensitivity`, `pull` (with the
//! `pull_steps` that travel), `records` (some with a file that is `carried`), `export` or `offline_page`, which take their systems from the study's engine through `prepared`. What may take a while has systems and
//! threads of its own (`background`) and tells how far it has come (`under_way`, asked for by `progress`). What is refused is an
//! `api_error`, each mistake `told` in its parts. The page itself lies in `assets/live` and is part of the program.
//! `docs/live-protocol.md` tells what travels.
//!
//! Limits: one machine, one person, a few pages. Nothing is stored but pulls in the logbook, nothing else is read from disk, no path
//! is ever taken from a request.

mod allowed;
mod answer;
mod api;
mod api_error;
mod assets;
mod background;
mod bad_request;
mod blocks;
mod carried;
mod charts;
mod endpoint;
mod explanation;
mod export;
mod guard;
mod limits;
mod mesh_blocks;
mod offline_page;
mod offline_script;
mod parameters;
mod prepared;
mod progress;
mod protocol;
mod pull;
mod pull_steps;
mod range;
mod reached;
mod records;
mod reply;
mod sensitivity;
mod server;
mod shared;
mod solve;
mod state;
mod to_failure;
mod told;
mod turns;
mod under_way;
mod wire;
mod work;

pub use server::{Options, serve};
pub use state::flat;
