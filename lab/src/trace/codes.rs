//! Numbers that stand for an error and are no loads: -999, 9999, 32767 and the like.

use super::quiet::noise_kn;

/// No cell measures numbers of this size.
const HUGE: f64 = 1e30;
/// The ends of what whole numbers of 16, 24 and 32 bits hold.
const ENDS: [f64; 9] = [
    32_767.0,
    32_768.0,
    65_535.0,
    8_388_607.0,
    8_388_608.0,
    16_777_215.0,
    2_147_483_647.0,
    2_147_483_648.0,
    4_294_967_295.0,
];
/// So many nines are a code, and so many where they have no fraction.
const NINES: usize = 4;
const WHOLE_NINES: usize = 3;
/// Farther from the values beside it than this part of what the others span, or so many times their scatter, is far.
const FAR: f64 = 0.02;
const FAR_NOISE: f64 = 8.0;
/// Above all others by this part of what they span, no load comes to it and back from one value to the next.
const ABOVE: f64 = 0.5;
/// Among the others it lies so many times as far from those beside it as they lie from each other, and stands so often.
const ACROSS: f64 = 4.0;
const OFTEN: usize = 2;
/// Fewer other values tell nothing.
const FEWEST: usize = 3;

/// Whether a number as it is written has the shape of an error code.
pub(super) fn is_shaped(written: f64) -> bool {
    let size = written.abs();
    if size >= HUGE || ENDS.contains(&size) {
        return true;
    }
    // Nines alone lie just below a power of ten: of others nothing is written out.
    let mut power = 10.0;
    while power <= size {
        power *= 10.0;
    }
    if size < 0.998 * power {
        return false;
    }
    let text = size.to_string();
    let nines = text.bytes().filter(|b| *b == b'9').count();
    let others = text.bytes().any(|b| b != b'9' && b != b'.');
    !others && (nines >= NINES || nines >= WHOLE_NINES && !text.contains('.'))
}

/// Whether a count is the highest or the lowest that a converter has: the load is that or more.
pub(super) fn is_end(count: f64) -> bool {
    ENDS.contains(&count.abs())
}

/// Which of some values, each as it is written and in kN, are error codes: of the shape of one, and far from the values beside them
/// wherever they stand.
pub(super) fn codes(written: &[f64], kn: &[f64]) -> Vec<bool> {
    let shaped: Vec<bool> = written.iter().map(|w| is_shaped(*w)).collect();
    let mut is_code = vec![false; kn.len()];
    let others: Vec<f64> = kn.iter().zip(&shaped).filter(|(_, s)| !**s).map(|(kn, _)| *kn).collect();
    if others.len() < FEWEST || others.len() == kn.len() {
        return is_code;
    }
    let (low, high) =
        others.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(*v), h.max(*v)));
    let far = (FAR * (high - low)).max(FAR_NOISE * noise_kn(&others));
    // The values of that shape beside each other, with the other values before and after them.
    let mut runs: Vec<[usize; 2]> = Vec::new();
    for at in (0..kn.len()).filter(|i| shaped[*i]) {
        match runs.last_mut().filter(|run| run[1] == at) {
            Some(run) => run[1] = at + 1,
            None => runs.push([at, at + 1]),
        }
    }
    let mut values: Vec<f64> = written.iter().zip(&shaped).filter(|(_, s)| **s).map(|(w, _)| *w).collect();
    values.sort_by(f64::total_cmp);
    values.dedup();
    for value in values {
        let of: Vec<&[usize; 2]> = runs.iter().filter(|[a, b]| written[*a..*b].contains(&value)).collect();
        // Whether it is far from what stands beside it, and by that alone a code.
        let apart = |[a, b]: &[usize; 2]| {
            let Some(at) = (*a..*b).find(|i| written[*i] == value) else { return (false, false) };
            let before = a.checked_sub(1).map(|i| kn[i]);
            let after = kn.get(*b).copied();
            let near =
                [before, after].iter().flatten().map(|v| (kn[at] - v).abs()).fold(f64::INFINITY, f64::min);
            let outside = kn[at] > high + ABOVE * (high - low) || kn[at] < low - far;
            let across = match (before, after) {
                (Some(before), Some(after)) => near > ACROSS * (after - before).abs(),
                _ => true,
            };
            (near > far, outside || across && of.len() >= OFTEN)
        };
        let found: Vec<(bool, bool)> = of.iter().map(|run| apart(run)).collect();
        // Where the load falls from one side of it to the other as well, it is that code once more.
        if found.iter().all(|f| f.0) && found.iter().any(|f| f.1) {
            for i in (0..kn.len()).filter(|i| written[*i] == value) {
                is_code[i] = true;
            }
        }
    }
    is_code
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nines_and_ends_of_whole_numbers_have_the_shape() {
        for code in [-999.0, 999.0, 9999.0, -9999.0, 99_999.0, 999.9, 32_767.0, -32_768.0, 1e38] {
            assert!(is_shaped(code), "{code}");
        }
        for load in [99.9, 9.99, 99.0, 998.0, 19_999.0, 32_766.0, 0.0, -1.0] {
            assert!(!is_shaped(load), "{load}");
        }
    }

    #[test]
    fn what_lies_far_from_its_neighbours_is_a_code_and_a_load_that_is_passed_is_none() {
        let ramp: Vec<f64> = (0..300).map(|i| 100.0 * f64::from(i)).collect();
        let with = |code: f64, at: &[usize]| {
            let mut loads = ramp.clone();
            at.iter().for_each(|i| loads[*i] = code);
            let kn: Vec<f64> = loads.iter().map(|n| 1e-3 * n).collect();
            codes(&loads, &kn).iter().enumerate().filter(|(_, c)| **c).map(|(i, _)| i).collect::<Vec<_>>()
        };
        assert_eq!(with(-999.0, &[7, 150]), [7, 150]);
        assert_eq!(with(99_999.0, &[150]), [150]);
        assert_eq!(with(32_767.0, &[10, 11, 12, 200]), [10, 11, 12, 200]);
        assert_eq!(with(9_999.0, &[10, 200]), [10, 200]);
        // Once, among the loads: a disturbance perhaps, no code. On the way up: a load.
        assert_eq!(with(9_999.0, &[10]), [0; 0]);
        assert_eq!(with(9_999.0, &[100]), [0; 0]);
        assert_eq!(with(9_999.0, &[10, 100, 200]), [0; 0]);
        // The top of a cell that counts to 32767.
        let counts: Vec<f64> = (0..400).map(|i| (100.0 * f64::from(i)).min(32_767.0)).collect();
        assert!(codes(&counts, &counts).iter().all(|c| !c));
    }
}
