//! Words of the picture of resting places.

/// The name of the picture; `bars` is how many of the two loads are bars.
#[must_use]
pub fn name(connector: &str, bars: usize) -> String {
    let loads = match bars {
        0 => "straps",
        2 => "bars",
        _ => "straps and bars",
    };
    format!("{connector}: where {loads} come to rest")
}
