//! The unit of a load as the file tells it: its heading, or a line about the values.

use super::columns::Column;
use super::remarks::{Fact, Remark};
use super::unit::Unit;
use crate::force_unit::ForceUnit;

/// That of a column.
pub(super) fn unit_of(column: &Column) -> Option<ForceUnit> {
    match column.unit {
        Some((Unit::Force(unit), _)) => Some(unit),
        _ => None,
    }
}

/// That which a line states, and the line, counted from 1.
pub(super) fn stated_unit(remarks: &[Remark]) -> Option<(ForceUnit, usize)> {
    remarks.iter().find_map(|r| match r.fact {
        Fact::Unit(unit) => Some((unit, r.line)),
        _ => None,
    })
}
