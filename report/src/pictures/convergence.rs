//! Words of a convergence chart.

/// What the axes count: across, and upright.
pub const AXES: [&str; 2] = ["elements", "error, coarsest mesh = 1"];

/// What stands at the end of a curve: the measured rate beside that of theory.
#[must_use]
pub fn rate(measured: f64, expected: f64) -> String {
    format!("rate {measured:.2}, theory {expected:.0}")
}

/// One error of the alternative text, with a space behind it.
#[must_use]
pub fn falls(label: &str, measured: f64, expected: f64) -> String {
    format!("{label} falls with {}. ", rate(measured, expected))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_measured_rate_stands_beside_that_of_theory() {
        assert_eq!(falls("energy", 3.98, 4.0), "energy falls with rate 3.98, theory 4. ");
    }
}
