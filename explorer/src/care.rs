//! The line that every output carries which shows a strength or a margin.

/// What the program is not.
pub const CAUTION: &str = "A plane model with handbook data, for understanding and planning only; markings, standards, \
    the maker's instructions and an accredited laboratory decide about life-safety equipment.";
