//! What the program says of itself: its options, its files, the threads and the memory that it is given.

pub mod fields;
pub mod files;
pub mod machine;
pub mod options;
pub mod welcome;
