//! Numbers of a lot: what may be claimed is never told higher than it is.

use crate::numbers::{kilonewtons, plain};

/// Rounded down to so many decimals; a last digit that arithmetic left below it does not count.
fn down(value: f64, decimals: i32) -> f64 {
    let times = 10.0_f64.powi(decimals);
    (value * times + 1e-7).floor() / times
}

/// A load that may be claimed: rounded down, to hundredths below one kilonewton.
#[must_use]
pub fn claimed(kn: f64) -> String {
    kilonewtons(down(kn, if kn < 1.0 { 2 } else { 1 }))
}

/// Whether a load that may be claimed is one: above zero as it is told.
#[must_use]
pub fn is_a_load(kn: f64) -> bool {
    down(kn, 2) > 0.0
}

/// The same beside a load that it reaches or does not: with as many decimals as that takes to be seen.
#[must_use]
pub fn claimed_beside(kn: f64, limit_kn: f64) -> String {
    match (1..6).find(|decimals| (down(kn, *decimals) >= limit_kn) == (kn >= limit_kn)) {
        Some(1) => claimed(kn),
        Some(decimals) => format!("{} kN", exact(down(kn, decimals))),
        None => format!("{} kN", exact(kn)),
    }
}

/// A load as it was asked for, with all its digits: rounded, another one would be granted or refused than was asked for.
#[must_use]
pub fn exact(kn: f64) -> String {
    kn.to_string()
}

/// A confidence in percent, rounded down.
#[must_use]
pub fn confident(confidence: f64) -> String {
    match down(100.0 * confidence, 0) {
        none if none < 1.0 => "under 1 %".to_owned(),
        whole if whole >= 100.0 => "over 99 %".to_owned(),
        whole => format!("{whole} %"),
    }
}

/// The same beside one that it reaches or does not.
#[must_use]
pub fn confident_beside(confidence: f64, asked: f64) -> String {
    let (found, limit) = (100.0 * confidence, 100.0 * asked);
    match (0..6).find(|decimals| (down(found, *decimals) >= limit) == (found >= limit)) {
        Some(decimals @ 1..) => format!("{} %", plain(down(found, decimals))),
        _ => confident(confidence),
    }
}

/// A share of a lot, as it was asked for.
#[must_use]
pub fn share(share: f64) -> String {
    // 99.865 % is told with the digits that the trade has.
    format!("{} %", plain((1e5 * share).round() / 1e3))
}

/// A share that is no larger than told, in percent.
#[must_use]
pub fn at_most(share: f64) -> String {
    let percent = 100.0 * share;
    match percent {
        little if little < 0.1 => "0.1 %".to_owned(),
        little if little < 10.0 => format!("{} %", plain((10.0 * little).ceil() / 10.0)),
        more => format!("{} %", plain(more.ceil())),
    }
}

/// A number with a sign that type has.
#[must_use]
pub fn two_decimals(value: f64) -> String {
    // What is not zero is not told as zero.
    if value != 0.0 && value.abs() < 0.005 { plain(value) } else { crate::numbers::decimals(value, 2) }
}

/// What a bound says where it is no load.
pub const NO_LOAD: &str = "no load";

/// A bound, or that it is no load.
#[must_use]
pub fn bound(kn: f64) -> String {
    if is_a_load(kn) { claimed(kn) } else { NO_LOAD.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_may_be_claimed_is_never_told_higher() {
        assert_eq!(
            [claimed(19.97), claimed(21.9), claimed(0.3), claimed(24.04)],
            ["19.9 kN", "21.9 kN", "0.30 kN", "24.0 kN"]
        );
        assert_eq!((is_a_load(0.004), is_a_load(-3.0), is_a_load(0.01)), (false, false, true));
        assert_eq!(claimed_beside(19.97, 20.0), "19.9 kN");
        assert_eq!(claimed_beside(19.97, 19.95), "19.97 kN");
        assert_eq!(claimed_beside(20.04, 20.0), "20.0 kN");
        // A load asked for is told as it is, and what reaches it or does not is told so that this is seen.
        assert_eq!([21.999, 22.0, 0.1 + 0.2].map(exact), ["21.999", "22", "0.30000000000000004"]);
        assert_eq!(claimed_beside(21.9991, 21.999), "21.999 kN");
        assert_eq!(claimed_beside(21.999_000_1, 21.999_000_05), "21.9990001 kN");
        assert_eq!(claimed_beside(1_234.567_8, 1_234.567_9), "1234.5 kN");
        assert_eq!(claimed_beside(1_234.567_85, 1_234.567_8), "1234.5678 kN");
    }

    #[test]
    fn confidences_and_shares_keep_to_their_side() {
        assert_eq!(
            [0.729, 0.004, 0.9995, 1.0, 0.95].map(confident),
            ["72 %", "under 1 %", "99 %", "over 99 %", "95 %"]
        );
        assert_eq!(confident_beside(0.9497, 0.95), "94 %");
        assert_eq!(confident_beside(0.9758, 0.975), "97.5 %");
        assert_eq!([0.95, 0.998_650_101_968].map(share), ["95 %", "99.865 %"]);
        assert_eq!([0.0, 0.0312, 0.4501, 0.0999].map(at_most), ["0.1 %", "3.2 %", "46 %", "10 %"]);
        assert_eq!([0.003, -2.346, 0.0].map(two_decimals), ["0.003", "-2.35", "0.00"]);
    }
}
