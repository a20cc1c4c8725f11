//! Words of the chart of a pin that beds into a lip.

/// What its three parts show, with units.
pub const HEADINGS: [&str; 3] = ["the lip holds, kN", "flank pressed, mm", "round end pressed, degrees"];
/// What its axis counts.
pub const AXIS: &str = "travel of the pin after it touched, in its radii";

/// A mark of the alternative text: its name, its travel in radii as written, its numbers.
#[must_use]
pub fn mark(name: &str, travel: &str, numbers: &str) -> String {
    format!(" {name}: {travel} radii, {numbers}.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_is_told_with_its_travel() {
        assert_eq!(mark("nominal", "0.25", "10.4 kN, 1.0 mm"), " nominal: 0.25 radii, 10.4 kN, 1.0 mm.");
    }
}
