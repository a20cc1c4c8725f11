//! What the program answers, asked of the real binary and of its library: one binary, so that it is linked once and its tests
//! fill both cores.

mod bench;
mod broken_files;
mod caliper;
mod cli;
mod compare;
mod contradictions;
mod explain;
mod explain_answers;
mod forecast;
mod forecast_pulled;
mod golden;
mod judgement;
mod labels;
mod levers;
mod limit_pulls;
mod limits;
mod log;
mod log_crashes;
mod log_score;
mod log_trace;
mod lot;
mod lot_logbook;
mod mesh;
mod pull;
mod questions;
mod random_connectors;
mod random_pulls;
mod reach;
mod scan;
mod schemas;
mod seats;
mod states;
mod still;
mod sweep;
mod trace;
