//! Placeholder while the workspace is laid out.

pub mod fields_file;
