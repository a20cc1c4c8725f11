//! Engagement: the load at which clearance is used up and the gate starts to carry.
//!
//! Under load the open-gate frame moves its side of every gap in proportion to the load, and the gate, still carrying
//! nothing, is free to move along as a rigid body. Clearance lasts as long as some rigid motion keeps every gap open:
//! maximise `F >= 0` subject to `gap_i + F open_i - a_i . q >= 0`, `q` free in three dimensions.
//!
//! A general linear-programming library was tried first; it gave up on some of the degenerate cases that bench bars and
//! half-shut gates make (many gaps closing at once), and a programme in four unknowns is small enough to solve by Bland's
//! rule, which cannot cycle.
//!
//! The gate's motion is expressed in orthonormal columns and gaps and openings in units of the largest, so that absolute
//! tolerances become relative ones. When the load comes out much smaller than that unit (a small
//! gap beside wide ones), the programme is solved once more in the unit that was found.

use nalgebra::{DMatrix, DVector};

/// Length of a rigid-motion column outside the others, relative, below which it adds no motion of its own.
const DEPENDENT: f64 = 1e-12;

/// Loads below this part of the unit (largest gap over largest opening) are zero.
const ZERO: f64 = 1e-8;

/// Loads below this part of the unit are solved again in a smaller one.
const SMALL: f64 = 1e-2;

/// Absolute tolerance of the scaled programme.
const FEASIBILITY: f64 = 1e-11;

/// Entries of a scaled column below this part of its largest are taken for rounding: no basis is built on them.
const PIVOT: f64 = 1e-9;

/// A load that the stand-ins must carry by more than this part is not balanced by any pressing forces.
const UNBALANCED: f64 = 1e-9;

/// Far above what a few rows and some hundred columns ever take.
const MOST_STEPS: usize = 20_000;

/// Why an engagement could not be found. Displayed as it is held, for logs; people read `report::building`.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{self:?}")]
pub enum EngagementError {
    /// The three slices differ in length.
    Shape {
        /// Number of gaps.
        gaps: usize,
        /// Number of openings.
        openings: usize,
        /// Number of rigid rows.
        motions: usize,
    },
    /// A number of this row is infinite or not a number.
    NotFinite {
        /// Index of the row.
        row: usize,
    },
    /// A gap is closed by more than nothing before any load.
    NegativeGap {
        /// Index of the row.
        row: usize,
        /// The gap, mm.
        gap_mm: f64,
    },
    /// The linear programme ended without an answer.
    NoAnswer,
}

/// The largest load in kN at which a rigid motion of the gate still keeps every gap open; `None` when no load ends it.
///
/// `gap_mm`: gaps at no load, zero or more. `open_per_kn`: how fast each opens with the load on the open-gate frame,
/// mm/kN, negative where it closes. `rigid`: how far each gap closes per unit of the gate's three rigid motions.
/// Good to 1e-7 relative; loads below 1e-8 of the largest gap over the largest opening are returned as zero.
///
/// # Errors
/// Slices of different lengths, numbers that are not finite, negative gaps; no answer (rounding beyond repair).
///
/// ```
/// use solver::contact::engagement::engagement;
/// // Two faces that the frame closes by 0.1 mm/kN each, from 0.2 and 0.4 mm; the gate may give way along x.
/// let load = engagement(&[0.2, 0.4], &[-0.1, -0.1], &[[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]])?;
/// assert!((load.unwrap() - 3.0).abs() < 1e-7);
/// # Ok::<(), solver::contact::engagement::EngagementError>(())
/// ```
pub fn engagement(
    gap_mm: &[f64],
    open_per_kn: &[f64],
    rigid: &[[f64; 3]],
) -> Result<Option<f64>, EngagementError> {
    check(gap_mm, open_per_kn, rigid)?;
    if open_per_kn.iter().all(|&o| o >= 0.0) {
        return Ok(None);
    }
    let largest = |values: &[f64]| values.iter().fold(0.0, |a: f64, v| a.max(v.abs()));
    let (gap, opening) = (largest(gap_mm), largest(open_per_kn));
    let clearance = gap > 0.0;
    let mut unit_mm = if clearance { gap } else { 1.0 };
    let scaled = Rows {
        openings: open_per_kn.iter().map(|o| o / opening).collect(),
        motions: orthonormal_columns(rigid),
    };
    let solve = |unit_mm: f64| scaled.largest_load(&gap_mm.iter().map(|g| g / unit_mm).collect::<Vec<_>>());

    let Some(mut load) = solve(unit_mm)? else { return Ok(None) };
    if !clearance || load < ZERO {
        return Ok(Some(0.0));
    }
    if load < SMALL {
        unit_mm *= load;
        match solve(unit_mm)? {
            Some(again) => load = again,
            None => return Err(EngagementError::NoAnswer),
        }
    }
    Ok(Some(load.max(0.0) * unit_mm / opening))
}

/// The rows with openings at most one and motions orthonormal times the root of their number.
struct Rows {
    openings: Vec<f64>,
    motions: Vec<Vec<f64>>,
}

impl Rows {
    /// The largest load for gaps in the chosen unit.
    ///
    /// Solved through the dual: the least work `gap . force` of pressing forces that balance a unit of load against the
    /// free motions. It has a handful of equality rows, so each step solves afresh with the few columns in the basis.
    fn largest_load(&self, gaps: &[f64]) -> Result<Option<f64>, EngagementError> {
        let height = 1 + self.motions.len();
        let columns: Vec<Vec<f64>> = (0..gaps.len())
            .map(|i| std::iter::once(-self.openings[i]).chain(self.motions.iter().map(|m| m[i])).collect())
            .collect();
        let mut right = vec![0.0; height];
        right[0] = 1.0;
        least_cost(&columns, gaps, &right)
    }
}

/// Smallest `cost . x` with `sum x_i column_i = right`, `x >= 0`; `None` when nothing satisfies the equations.
/// `right` and `cost` are zero or more. Bland's rule: it ends on degenerate data too.
fn least_cost(columns: &[Vec<f64>], cost: &[f64], right: &[f64]) -> Result<Option<f64>, EngagementError> {
    let (n, height) = (columns.len(), right.len());
    // Columns n, n + 1, ... are unit columns that stand in for rows not yet satisfied.
    let column = |j: usize| {
        if j < n {
            DVector::from_column_slice(&columns[j])
        } else {
            DVector::from_fn(height, |r, _| f64::from(u8::from(r == j - n)))
        }
    };
    let mut basis: Vec<usize> = (n..n + height).collect();
    let mut value = 0.0;
    for stand_ins_cost in [true, false] {
        let price = |j: usize| match (j < n, stand_ins_cost) {
            (true, false) => cost[j],
            (false, true) => 1.0,
            _ => 0.0,
        };
        let mut steps = 0;
        let mut passed: Vec<usize> = Vec::new();
        loop {
            let matrix = DMatrix::from_columns(&basis.iter().map(|j| column(*j)).collect::<Vec<_>>());
            let factor = matrix.clone().lu();
            let prices = DVector::from_iterator(height, basis.iter().map(|j| price(*j)));
            let amounts =
                factor.solve(&DVector::from_column_slice(right)).ok_or(EngagementError::NoAnswer)?;
            let duals = matrix.transpose().lu().solve(&prices).ok_or(EngagementError::NoAnswer)?;
            value = prices.dot(&amounts);
            let entering = (0..n).find(|j| {
                !basis.contains(j)
                    && !passed.contains(j)
                    && price(*j) - duals.dot(&column(*j)) < -FEASIBILITY * (1.0 + duals.amax())
            });
            let Some(entering) = entering else { break };
            let change = factor.solve(&column(entering)).ok_or(EngagementError::NoAnswer)?;
            // Columns of a basis may be nearly the same, and what rounding leaves of a change is then large in itself.
            let pivot = PIVOT * change.amax();
            let mut leaving: Option<(usize, f64)> = None;
            for r in 0..height {
                // A stand-in that is left at zero must not grow again: it leaves on any change.
                let stuck = !stand_ins_cost && basis[r] >= n && change[r].abs() > pivot;
                if change[r] <= pivot && !stuck {
                    continue;
                }
                let ratio = if stuck { 0.0 } else { amounts[r].max(0.0) / change[r] };
                let better = leaving
                    .is_none_or(|(row, least)| ratio < least || (ratio <= least && basis[r] < basis[row]));
                if better {
                    leaving = Some((r, ratio));
                }
            }
            match leaving {
                Some((row, _)) => basis[row] = entering,
                // Costs are zero or more, so the value is bounded below: a column that nothing blocks changes nothing but
                // rounding, and its gain is rounding too.
                None => passed.push(entering),
            }
            steps += 1;
            if steps > MOST_STEPS {
                return Err(EngagementError::NoAnswer);
            }
        }
        if stand_ins_cost && value > UNBALANCED {
            return Ok(None);
        }
    }
    Ok(Some(value))
}

/// Columns that span the same motions: Gram and Schmidt twice over, dependent ones dropped.
fn orthonormal_columns(rigid: &[[f64; 3]]) -> Vec<Vec<f64>> {
    let size = (rigid.len() as f64).sqrt();
    let mut kept: Vec<Vec<f64>> = Vec::new();
    for c in 0..3 {
        let largest = rigid.iter().fold(0.0, |a: f64, row| a.max(row[c].abs()));
        if largest == 0.0 {
            continue;
        }
        let mut column: Vec<f64> = rigid.iter().map(|row| row[c] / largest).collect();
        let before = norm(&column);
        for _ in 0..2 {
            for other in &kept {
                let along: f64 = column.iter().zip(other).map(|(a, b)| a * b).sum::<f64>() / (size * size);
                column.iter_mut().zip(other).for_each(|(a, b)| *a -= along * b);
            }
        }
        let length = norm(&column);
        if length > DEPENDENT * before {
            column.iter_mut().for_each(|v| *v *= size / length);
            kept.push(column);
        }
    }
    kept
}

fn norm(values: &[f64]) -> f64 {
    values.iter().map(|v| v * v).sum::<f64>().sqrt()
}

fn check(gap_mm: &[f64], open_per_kn: &[f64], rigid: &[[f64; 3]]) -> Result<(), EngagementError> {
    let (gaps, openings, motions) = (gap_mm.len(), open_per_kn.len(), rigid.len());
    if gaps != openings || gaps != motions {
        return Err(EngagementError::Shape { gaps, openings, motions });
    }
    for (row, ((gap, open), motion)) in gap_mm.iter().zip(open_per_kn).zip(rigid).enumerate() {
        if !gap.is_finite() || !open.is_finite() || motion.iter().any(|v| !v.is_finite()) {
            return Err(EngagementError::NotFinite { row });
        }
        if *gap < 0.0 {
            return Err(EngagementError::NegativeGap { row, gap_mm: *gap });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{Matrix4, Vector4};

    /// Number `k` of a fixed sequence, in [-1, 1).
    fn number(k: u64) -> f64 {
        let mut z = k.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 52) as f64 - 1.0
    }

    fn close(found: f64, wanted: f64) -> bool {
        (found - wanted).abs() <= 1e-7 * wanted.abs()
    }

    #[test]
    fn one_closing_gap_without_any_way_out() {
        let load = engagement(&[0.3], &[-0.05], &[[0.0; 3]]).unwrap().unwrap();
        assert!(close(load, 6.0), "{load}");
    }

    #[test]
    fn a_gate_that_can_move_away_never_takes_up() {
        assert_eq!(engagement(&[0.3], &[-0.05], &[[1.0, 0.0, 0.0]]).unwrap(), None);
        assert_eq!(engagement(&[0.3, 0.0], &[0.05, 0.0], &[[0.0; 3]; 2]).unwrap(), None);
        assert_eq!(engagement(&[], &[], &[]).unwrap(), None);
    }

    #[test]
    fn a_turning_gate_shares_its_play() {
        // Faces at -1 and 1 close upward, one in the middle downward: turning helps nobody, moving up or down trades.
        // Outer: 0.1 - 0.02 F - (q + x t) >= 0; middle: 0.2 - 0.01 F + q >= 0. Sum with weights 1/2, 1/2, 1: 0.3 = 0.03 F.
        let rigid = [[0.0, 1.0, -1.0], [0.0, 1.0, 1.0], [0.0, -1.0, 0.0]];
        let load = engagement(&[0.1, 0.1, 0.2], &[-0.02, -0.02, -0.01], &rigid).unwrap().unwrap();
        assert!(close(load, 10.0), "{load}");
    }

    #[test]
    fn no_play_means_zero_and_a_small_gap_keeps_its_digits() {
        let pressed = engagement(&[0.0, 0.0], &[-0.1, -0.1], &[[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]]).unwrap();
        assert_eq!(pressed, Some(0.0));
        let tiny = engagement(&[1e-6, 5.0], &[-0.1, -0.1], &[[0.0; 3]; 2]).unwrap().unwrap();
        assert!(close(tiny, 1e-5), "{tiny}");
        let free_of_clearance = engagement(&[0.0, 5.0], &[-0.1, -0.1], &[[0.0; 3]; 2]).unwrap();
        assert_eq!(free_of_clearance, Some(0.0));
    }

    #[test]
    fn three_times_the_gaps_take_three_times_the_load() {
        let (gaps, openings, rigid) = pins(300);
        let once = engagement(&gaps, &openings, &rigid).unwrap().unwrap();
        let wide: Vec<f64> = gaps.iter().map(|g| 3.0 * g).collect();
        let thrice = engagement(&wide, &openings, &rigid).unwrap().unwrap();
        assert!(once > 0.0 && close(thrice, 3.0 * once), "{once} {thrice}");
    }

    #[test]
    fn two_pins_agree_with_every_vertex() {
        let (gaps, openings, rigid) = pins(24);
        let found = engagement(&gaps, &openings, &rigid).unwrap().unwrap();
        assert!(close(found, best_vertex(&gaps, &openings, &rigid, 1e6)));
    }

    #[test]
    fn random_cases_agree_with_every_vertex() {
        let (mut bounded, mut unbounded) = (0, 0);
        for case in 0..120u64 {
            let m = 5 + (case % 8) as usize;
            let base = case * 1000;
            let gaps: Vec<f64> = (0..m as u64).map(|i| number(base + i).abs()).collect();
            let openings: Vec<f64> = (0..m as u64).map(|i| 0.1 * number(base + 100 + i) - 0.03).collect();
            let rigid: Vec<[f64; 3]> = (0..m as u64)
                .map(|i| [0, 1, 2].map(|c| [1.0, 3.0, 40.0][c as usize] * number(base + 200 + 3 * i + c)))
                .collect();
            let wanted = best_vertex(&gaps, &openings, &rigid, 1e5);
            match engagement(&gaps, &openings, &rigid).unwrap() {
                Some(load) => {
                    bounded += 1;
                    assert!(close(load, wanted), "case {case}: {load} {wanted}");
                }
                None => {
                    unbounded += 1;
                    assert!(wanted > 0.999e5, "case {case}: unbounded, but {wanted}");
                }
            }
        }
        assert!(bounded > 20 && unbounded > 20, "{bounded} {unbounded}");
    }

    #[test]
    fn bad_input_is_refused() {
        assert!(matches!(engagement(&[0.1], &[], &[]), Err(EngagementError::Shape { .. })));
        assert!(matches!(
            engagement(&[f64::NAN], &[-1.0], &[[0.0; 3]]),
            Err(EngagementError::NotFinite { row: 0 })
        ));
        assert!(matches!(
            engagement(&[-0.1], &[-1.0], &[[0.0; 3]]),
            Err(EngagementError::NegativeGap { .. })
        ));
    }

    /// A pin in a round hole at the origin and one in a half-round notch 42 mm above, the notch moving up and aside.
    fn pins(points: usize) -> (Vec<f64>, Vec<f64>, Vec<[f64; 3]>) {
        let half = points / 2;
        let (mut gaps, mut openings, mut rigid) = (Vec::new(), Vec::new(), Vec::new());
        for i in 0..points {
            let at_notch = i >= half;
            let turn = if at_notch { std::f64::consts::PI } else { std::f64::consts::TAU };
            let angle = turn * ((i % half) as f64 + 0.5) / half as f64 + if at_notch { -1.0 } else { 0.0 };
            let (y, x) = angle.sin_cos();
            let height = if at_notch { 42.0 } else { 0.0 };
            gaps.push(if at_notch { 0.15 } else { 0.05 });
            openings.push(if at_notch { -0.08 * y - 0.02 * x } else { 0.0 });
            rigid.push([x, y, -x * height]);
        }
        // The notch's outer side, so that the pin cannot leave downward.
        gaps.push(0.15);
        openings.push(-0.08);
        rigid.push([0.0, -1.0, 0.0]);
        (gaps, openings, rigid)
    }

    /// The largest feasible corner, with a ceiling on the load.
    fn best_vertex(gaps: &[f64], openings: &[f64], rigid: &[[f64; 3]], ceiling: f64) -> f64 {
        let mut rows: Vec<(Vector4<f64>, f64)> = openings
            .iter()
            .zip(rigid)
            .zip(gaps)
            .map(|((o, a), g)| (Vector4::new(*o, -a[0], -a[1], -a[2]), *g))
            .collect();
        rows.push((Vector4::new(-1.0, 0.0, 0.0, 0.0), ceiling));
        let m = rows.len();
        let mut best = 0.0;
        for a in 0..m {
            for b in a + 1..m {
                for c in b + 1..m {
                    for d in c + 1..m {
                        let pick = [a, b, c, d];
                        let matrix = Matrix4::from_rows(&pick.map(|i| rows[i].0.transpose()));
                        let right = -Vector4::from(pick.map(|i| rows[i].1));
                        let Some(corner) = matrix.lu().solve(&right) else { continue };
                        let size = 1.0 + corner.amax();
                        if rows.iter().all(|(row, gap)| gap + row.dot(&corner) >= -1e-12 * size) {
                            best = f64::max(best, corner[0]);
                        }
                    }
                }
            }
        }
        best
    }
}
