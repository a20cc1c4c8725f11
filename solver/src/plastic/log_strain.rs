//! Logarithmic strain of a large motion in the plane, and the way back: what a stress that works on it makes of forces and stiffness.
//!
//! With C = F'F, the strain is half the logarithm of C, so a turn of the whole changes nothing. Along the principal axes of C its derivatives
//! are divided differences of that function: those of first order turn a stress on the logarithmic strain into one on Green's strain, those
//! of second order give the stiffness that comes from the change of axes.

/// A symmetric matrix by its parts: for strains `[xx, yy, engineering xy]`, for stresses `[xx, yy, xy]`.
type Parts = [f64; 3];

/// The strain at a point, and what turns stresses and stiffness over.
#[derive(Clone, Copy, Debug)]
pub struct LogStrain {
    /// Logarithmic strain `[xx, yy, engineering xy]`.
    pub strain: Parts,
    /// Turns parts of a strain into the principal axes.
    turn: [[f64; 3]; 3],
    /// Twice the first differences, for `[11, 22, 12]`.
    first: Parts,
    /// Second differences for `[111, 112, 122, 222]`.
    second: [f64; 4],
}

/// How near two principal stretches are, as a part of one, to be taken by a series.
const NEAR: f64 = 1e-2;

/// (f(b) - f(a)) / (b - a) of half the logarithm.
fn first(a: f64, b: f64) -> f64 {
    let r = (a - b) / (a + b);
    let by_ratio = if r.abs() < NEAR {
        let q = r * r;
        1.0 + q * (1.0 / 3.0 + q * (1.0 / 5.0 + q * (1.0 / 7.0 + q / 9.0)))
    } else {
        r.atanh() / r
    };
    by_ratio / (a + b)
}

/// The second difference over a, a and b.
fn second(a: f64, b: f64) -> f64 {
    let h = (b - a) / a;
    // (ln(1 + h) / h - 1) / h.
    let by_ratio = if h.abs() < NEAR {
        (2..=9).rev().fold(0.0, |sum, k| {
            let sign = if k % 2 == 0 { -1.0 } else { 1.0 };
            sign / f64::from(k) + h * sum
        })
    } else {
        (h.ln_1p() / h - 1.0) / h
    };
    by_ratio / (2.0 * a * a)
}

fn turned_to(turn: &[[f64; 3]; 3], strain: Parts) -> Parts {
    turn.map(|row| row.iter().zip(strain).map(|(m, e)| m * e).sum())
}

/// What a matrix between strains and stresses in principal axes is in those of the page.
fn turned_back(turn: &[[f64; 3]; 3], inner: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let half: [[f64; 3]; 3] =
        inner.map(|row| std::array::from_fn(|j| (0..3).map(|k| row[k] * turn[k][j]).sum()));
    std::array::from_fn(|i| std::array::from_fn(|j| (0..3).map(|k| turn[k][i] * half[k][j]).sum()))
}

impl LogStrain {
    /// Of a deformation gradient `[[xx, xy], [yx, yy]]`; `None` where it folds the body.
    #[must_use]
    pub fn of([[a, b], [c, d]]: [[f64; 2]; 2]) -> Option<Self> {
        let area = a * d - b * c;
        if area.is_nan() || area <= 0.0 {
            return None;
        }
        let [xx, yy, xy] = [a * a + c * c, b * b + d * d, a * b + c * d];
        let (mean, half) = (0.5 * (xx + yy), 0.5 * (xx - yy));
        // Both are of the order of one at most: their squares do not overflow.
        let reach = (half * half + xy * xy).sqrt();
        let squares = [mean + reach, area.powi(2) / (mean + reach)];
        // Axes by half of the angle; any will do where both stretches are alike.
        let (sin, cos) = (0.5 * xy.atan2(half)).sin_cos();
        let (ss, cc, sc) = (sin * sin, cos * cos, sin * cos);
        let turn = [[cc, ss, sc], [ss, cc, -sc], [-2.0 * sc, 2.0 * sc, cc - ss]];
        let [e1, e2] = squares.map(|square| 0.5 * square.ln());
        let [l1, l2] = squares;
        Some(Self {
            strain: [cc * e1 + ss * e2, ss * e1 + cc * e2, 2.0 * sc * (e1 - e2)],
            turn,
            first: [l1.recip(), l2.recip(), 2.0 * first(l1, l2)],
            second: [-0.25 / (l1 * l1), second(l1, l2), second(l2, l1), -0.25 / (l2 * l2)],
        })
    }

    /// Parts in principal axes of a stress that works on the logarithmic strain.
    fn principal(&self, stress: Parts) -> Parts {
        // Its work stays: stress parts turn with the inverse transpose, which is the turn itself for angles the other way round.
        let [[cc, ss, sc], ..] = self.turn;
        let [xx, yy, xy] = stress;
        [
            cc * xx + ss * yy + 2.0 * sc * xy,
            ss * xx + cc * yy - 2.0 * sc * xy,
            sc * (yy - xx) + (cc - ss) * xy,
        ]
    }

    /// The stress that works on Green's strain `[xx, yy, engineering xy]`, of one that works on this strain.
    #[must_use]
    pub fn stress(&self, stress: Parts) -> Parts {
        let there = self.principal(stress);
        let green: Parts = std::array::from_fn(|i| self.first[i] * there[i]);
        std::array::from_fn(|j| (0..3).map(|k| self.turn[k][j] * green[k]).sum())
    }

    /// Derivative of that stress by Green's strain, where `stiffness` is the derivative of the stress by this strain.
    #[must_use]
    pub fn stiffness(&self, stress: Parts, stiffness: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
        let [t11, t22, t12] = self.principal(stress);
        let [f111, f112, f122, f222] = self.second;
        let axes = [
            [8.0 * t11 * f111, 0.0, 4.0 * t12 * f112],
            [0.0, 8.0 * t22 * f222, 4.0 * t12 * f122],
            [4.0 * t12 * f112, 4.0 * t12 * f122, 2.0 * (t11 * f112 + t22 * f122)],
        ];
        // The law's stiffness in principal axes: its strains come from there by the turn the other way round.
        let [[cc, ss, sc], ..] = self.turn;
        let back = [[cc, ss, -sc], [ss, cc, sc], [2.0 * sc, -2.0 * sc, cc - ss]];
        let there = turned_back(&back, stiffness);
        let inner: [[f64; 3]; 3] = std::array::from_fn(|i| {
            std::array::from_fn(|j| self.first[i] * there[i][j] * self.first[j] + axes[i][j])
        });
        turned_back(&self.turn, &inner)
    }

    /// What an increment of Green's strain changes of this strain.
    #[must_use]
    pub fn change(&self, green: Parts) -> Parts {
        let there = turned_to(&self.turn, green);
        let scaled: Parts = std::array::from_fn(|i| self.first[i] * there[i]);
        let [[cc, ss, sc], ..] = self.turn;
        let [a, b, c] = scaled;
        [cc * a + ss * b - sc * c, ss * a + cc * b + sc * c, 2.0 * sc * (a - b) + (cc - ss) * c]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gradients from small to large, some with stretches that are nearly alike.
    const MOTIONS: [[[f64; 2]; 2]; 6] = [
        [[1.0, 0.0], [0.0, 1.0]],
        [[1.0001, 0.0002], [-0.0001, 0.9998]],
        [[1.2, 0.3], [-0.1, 0.9]],
        [[1.05, 0.0], [0.0, 1.05]],
        [[1.05, 1e-7], [0.0, 1.05 + 1e-7]],
        [[0.2, -1.4], [0.9, 0.3]],
    ];

    /// A gradient with this Green's strain beyond that of another one: its symmetric root.
    fn with_green([[a, b], [c, d]]: [[f64; 2]; 2], more: Parts) -> [[f64; 2]; 2] {
        let [xx, yy, xy] =
            [a * a + c * c + 2.0 * more[0], b * b + d * d + 2.0 * more[1], a * b + c * d + more[2]];
        let det = (xx * yy - xy * xy).sqrt();
        let trace = (xx + yy + 2.0 * det).sqrt();
        [[(xx + det) / trace, xy / trace], [xy / trace, (yy + det) / trace]]
    }

    #[test]
    fn a_stretch_has_its_logarithm_and_a_turn_none() {
        let stretched = LogStrain::of([[1.3, 0.0], [0.0, 0.8]]).unwrap().strain;
        for (found, wanted) in stretched.iter().zip([1.3_f64.ln(), 0.8_f64.ln(), 0.0]) {
            assert!((found - wanted).abs() < 1e-15);
        }
        let (sin, cos) = 1.2_f64.sin_cos();
        let turned = LogStrain::of([[cos, -sin], [sin, cos]]).unwrap().strain;
        assert!(turned.iter().all(|e| e.abs() < 1e-15), "{turned:?}");
        assert!(LogStrain::of([[1.0, 0.0], [0.0, -1.0]]).is_none());
        assert!(LogStrain::of([[f64::NAN, 0.0], [0.0, 1.0]]).is_none());
    }

    #[test]
    fn stress_and_stiffness_are_derivatives_of_the_work() {
        const STEP: f64 = 1e-5;
        let law = [[80e3, 25e3, 1e3], [25e3, 70e3, -2e3], [1e3, -2e3, 30e3]];
        let stress_of =
            |strain: Parts| law.map(|row| row.iter().zip(strain).map(|(d, e)| d * e).sum::<f64>());
        for motion in MOTIONS {
            let here = LogStrain::of(motion).unwrap();
            let green = |more: Parts| {
                let there = LogStrain::of(with_green(motion, more)).unwrap();
                (there.strain, there.stress(stress_of(there.strain)))
            };
            let stress = stress_of(here.strain);
            let (by_green, stiffness) = (here.stress(stress), here.stiffness(stress, &law));
            for j in 0..3 {
                let mut step = [0.0; 3];
                step[j] = STEP;
                let (up, down) = (green(step), green(step.map(|e| -e)));
                let changed: Parts = std::array::from_fn(|i| (up.0[i] - down.0[i]) / (2.0 * STEP));
                // Work on either strain is the same.
                let work: f64 = stress.iter().zip(changed).map(|(t, e)| t * e).sum();
                assert!((work - by_green[j]).abs() < 1e-7 * 80e3, "{motion:?} {j}: {work} {}", by_green[j]);
                let mut unit = [0.0; 3];
                unit[j] = 1.0;
                for (found, wanted) in here.change(unit).iter().zip(changed) {
                    assert!((found - wanted).abs() < 1e-7, "{motion:?} {j}: {found} {wanted}");
                }
                for (i, row) in stiffness.iter().enumerate() {
                    let slope = (up.1[i] - down.1[i]) / (2.0 * STEP);
                    assert!((slope - row[j]).abs() < 1e-6 * 80e3, "{motion:?} {i} {j}: {slope} {}", row[j]);
                }
            }
        }
    }
}
