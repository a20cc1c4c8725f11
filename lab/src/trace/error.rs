//! Why a file gives no reading. Lines are counted from 1.

use crate::force_unit::ForceUnit;

/// Why a file gives no reading.
#[derive(Clone, Debug, PartialEq)]
pub enum TraceError {
    /// Nothing stands in it.
    Empty,
    /// It holds no text.
    NoText,
    /// No lines of values are found.
    NoValues,
    /// Fewer values than make a curve.
    TooFew {
        /// How many.
        found: usize,
    },
    /// The comma stands between values and in them.
    CommaTwice {
        /// Line.
        line: usize,
        /// Pieces there.
        pieces: usize,
        /// Columns that the heading names.
        columns: usize,
    },
    /// The heading names another number of columns than there are.
    HeadingWidth {
        /// First line of values.
        line: usize,
        /// Columns that the heading names.
        named: usize,
        /// Cells of that line.
        found: usize,
    },
    /// Loads of one size in no order, without names and without a clock: a list of peaks, or a curve.
    PeaksOrCurve {
        /// How many.
        values: usize,
    },
    /// Two lines state different rates.
    TwoRates {
        /// The second of them.
        line: usize,
        /// Both, Hz.
        hz: [f64; 2],
    },
    /// A time that cannot be read.
    UnknownTime {
        /// Line.
        line: usize,
        /// What stands there.
        found: String,
    },
    /// A recording of days.
    TooLong {
        /// Line.
        line: usize,
        /// Time there, s.
        seconds: f64,
    },
    /// No load rises above what scatters.
    NoPull {
        /// The most that the load changes by, kN.
        change_kn: f64,
    },
    /// Every number can be read two ways.
    TwoWays {
        /// Line of an example.
        line: usize,
        /// The example.
        found: String,
    },
    /// No column is a load.
    NoLoad {
        /// The columns, as they are named.
        columns: Vec<String>,
    },
    /// Several columns may be the load.
    WhichLoad {
        /// Those columns.
        columns: Vec<String>,
    },
    /// No unit stands in the file.
    NoUnit {
        /// The load's column.
        column: String,
    },
    /// The file says two units.
    TwoUnits {
        /// Line of the second.
        line: usize,
        /// Both.
        units: [ForceUnit; 2],
    },
    /// There is no such column.
    NoSuchColumn {
        /// What was asked for.
        wanted: String,
        /// The columns.
        columns: Vec<String>,
    },
    /// The column that was asked for holds no numbers.
    NoNumbers {
        /// The column.
        column: String,
    },
    /// Raw counts without what a count is.
    NoScale {
        /// The column.
        column: String,
    },
    /// A scale of zero, or none that is a number.
    BadScale {
        /// Line.
        line: usize,
    },
    /// A cell in which a number must stand.
    BadCell {
        /// Line.
        line: usize,
        /// Column.
        column: String,
        /// What stands there.
        found: String,
    },
    /// A line with another number of cells.
    OtherLength {
        /// Line.
        line: usize,
        /// Cells there.
        found: usize,
        /// Cells elsewhere.
        wanted: usize,
    },
    /// Several recordings in one file.
    SeveralParts {
        /// Lines on which the recordings begin.
        lines: Vec<usize>,
    },
    /// There is no such part.
    NoSuchPart {
        /// What was asked for.
        wanted: usize,
        /// How many there are.
        parts: usize,
    },
    /// A clock that goes back.
    TimeGoesBack {
        /// Line.
        line: usize,
        /// Time there, s.
        to_s: f64,
        /// Time before, s.
        from_s: f64,
    },
    /// Loads that no bench has.
    NotALoad {
        /// Line.
        line: usize,
        /// The load, kN.
        kn: f64,
    },
    /// No load stands in any line.
    AllMissing,
}
