//! Statistics of a few pulls.
