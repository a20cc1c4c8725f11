//! The logbook: one SQLite file with samples, pulls, traces and forecasts, to which only is added.
