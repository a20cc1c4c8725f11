//! The names of the files of a sweep.

/// Name of the record of a sweep that is not finished.
pub const PART: &str = "sweep.part";

/// Name of the record of a finished sweep.
pub const ROWS: &str = "sweep.rows";

/// Name of the description of a finished sweep.
pub const ABOUT: &str = "sweep.json";

/// Name of the table of a finished sweep.
pub const TABLE: &str = "sweep.csv";
