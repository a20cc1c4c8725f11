//! One second-order cone of four components, `t >= |y|`, and its scaling point.
//!
//! Scaling after Nesterov and Todd, in the closed form for second-order cones; written with `J = diag(1, -1, -1, -1)`.

/// A member of the cone: `t` first.
pub type Member = [f64; 4];

/// `t^2 - |y|^2`, kept accurate near the boundary.
fn determinant(s: &Member) -> f64 {
    let length = (s[1] * s[1] + s[2] * s[2] + s[3] * s[3]).sqrt();
    (s[0] - length) * (s[0] + length)
}

fn dot(a: &Member, b: &Member) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// The scaling that maps a primal and a dual member to the same point.
#[derive(Clone, Copy, Debug)]
pub struct Scaling {
    beta: f64,
    /// The scaling point, of determinant one.
    point: Member,
    /// Its square root.
    root: Member,
    /// The scaled point: the dual member scaled, which is the primal one scaled back.
    scaled: Member,
}

impl Scaling {
    /// The scaling of `primal` and `dual`, both inside the cone; `None` when one has reached the boundary.
    #[must_use]
    pub fn new(primal: &Member, dual: &Member) -> Option<Self> {
        let (ds, dz) = (determinant(primal), determinant(dual));
        if !(ds > 0.0 && dz > 0.0) {
            return None;
        }
        let (ls, lz) = (ds.sqrt(), dz.sqrt());
        let s = primal.map(|x| x / ls);
        let z = dual.map(|x| x / lz);
        let gamma = (0.5 * (1.0 + dot(&s, &z))).sqrt();
        let half = 0.5 / gamma;
        let mut point = [half * (s[0] + z[0]), 0.0, 0.0, 0.0];
        for k in 1..4 {
            point[k] = half * (s[k] - z[k]);
        }
        point[0] = (1.0 + point[1] * point[1] + point[2] * point[2] + point[3] * point[3]).sqrt();
        let scale = (2.0 * (point[0] + 1.0)).sqrt();
        let root = [(point[0] + 1.0) / scale, point[1] / scale, point[2] / scale, point[3] / scale];
        let beta = (ls / lz).sqrt();
        let mut scaling = Self { beta, point, root, scaled: [0.0; 4] };
        scaling.scaled = scaling.apply(dual);
        Some(scaling)
    }

    /// The scaling applied to a dual vector.
    #[must_use]
    pub fn apply(&self, x: &Member) -> Member {
        let c = 2.0 * dot(&self.root, x);
        let v = &self.root;
        [
            self.beta * (c * v[0] - x[0]),
            self.beta * (c * v[1] + x[1]),
            self.beta * (c * v[2] + x[2]),
            self.beta * (c * v[3] + x[3]),
        ]
    }

    /// The inverse scaling applied to a primal vector.
    #[must_use]
    pub fn apply_inverse(&self, x: &Member) -> Member {
        let v = &self.root;
        let c = 2.0 * (v[0] * x[0] - v[1] * x[1] - v[2] * x[2] - v[3] * x[3]);
        let b = 1.0 / self.beta;
        [b * (c * v[0] - x[0]), b * (x[1] - c * v[1]), b * (x[2] - c * v[2]), b * (x[3] - c * v[3])]
    }

    /// The scaled point.
    #[must_use]
    pub fn scaled(&self) -> &Member {
        &self.scaled
    }

    /// `x` with `scaled o x = d` in the cone's product.
    #[must_use]
    pub fn divide(&self, d: &Member) -> Member {
        let l = &self.scaled;
        let det = determinant(l).max(f64::MIN_POSITIVE);
        let ld = l[1] * d[1] + l[2] * d[2] + l[3] * d[3];
        let first = (l[0] * d[0] - ld) / det;
        let inner = (ld / l[0] - d[0]) / det;
        let rest = |k: usize| d[k] / l[0] + l[k] * inner;
        [first, rest(1), rest(2), rest(3)]
    }

    /// Curvature over `y` once `t` is eliminated, with dual `t` held: `a (I - b w w')` as `(a, b, w)`.
    #[must_use]
    pub fn condensed(&self) -> (f64, f64, [f64; 3]) {
        let w = &self.point;
        let a = 1.0 / (self.beta * self.beta);
        (a, 2.0 / (2.0 * w[0] * w[0] - 1.0), [w[1], w[2], w[3]])
    }

    /// What the dual right-hand side `q` leaves for `y` once `t` is eliminated.
    #[must_use]
    pub fn condensed_side(&self, q: &Member) -> [f64; 3] {
        let w = &self.point;
        let share = 2.0 * w[0] / (2.0 * w[0] * w[0] - 1.0) * q[0];
        [q[1] + share * w[1], q[2] + share * w[2], q[3] + share * w[3]]
    }

    /// Change of `t` that goes with the change `dy` and the right-hand side `q`.
    #[must_use]
    pub fn change_of_t(&self, q: &Member, dy: &[f64; 3]) -> f64 {
        let w = &self.point;
        let wy = w[1] * dy[0] + w[2] * dy[1] + w[3] * dy[2];
        (self.beta * self.beta * q[0] + 2.0 * w[0] * wy) / (2.0 * w[0] * w[0] - 1.0)
    }

    /// Change of the dual member: `q` less the curvature times `ds`.
    #[must_use]
    pub fn change_of_dual(&self, q: &Member, ds: &Member) -> Member {
        let w = &self.point;
        let c = 2.0 * (w[0] * ds[0] - w[1] * ds[1] - w[2] * ds[2] - w[3] * ds[3]);
        let a = 1.0 / (self.beta * self.beta);
        [
            q[0] - a * (c * w[0] - ds[0]),
            q[1] - a * (ds[1] - c * w[1]),
            q[2] - a * (ds[2] - c * w[2]),
            q[3] - a * (ds[3] - c * w[3]),
        ]
    }
}

/// The cone's product.
#[must_use]
pub fn product(a: &Member, b: &Member) -> Member {
    [dot(a, b), a[0] * b[1] + b[0] * a[1], a[0] * b[2] + b[0] * a[2], a[0] * b[3] + b[0] * a[3]]
}

/// Largest step, at most `most`, that keeps `s + step ds` in the cone.
#[must_use]
pub fn longest_step(s: &Member, ds: &Member, most: f64) -> f64 {
    let a = ds[0] * ds[0] - ds[1] * ds[1] - ds[2] * ds[2] - ds[3] * ds[3];
    let b = s[0] * ds[0] - s[1] * ds[1] - s[2] * ds[2] - s[3] * ds[3];
    let c = determinant(s);
    // Roots of a x^2 + 2 b x + c; the first positive one is where the boundary is met.
    let inside = b * b - a * c;
    let mut step = most;
    if inside >= 0.0 {
        let root = inside.sqrt();
        let far = if b >= 0.0 { -b - root } else { -b + root };
        for x in [far / a, c / far] {
            if x.is_finite() && x > 0.0 {
                step = step.min(x);
            }
        }
    }
    if ds[0] < 0.0 { step.min(-s[0] / ds[0]) } else { step }
}

#[cfg(test)]
mod tests {
    use super::*;

    const S: Member = [3.0, 1.0, -2.0, 0.5];
    const Z: Member = [2.0, -0.3, 0.9, 1.1];

    #[test]
    fn both_members_scale_to_one_point() {
        let scaling = Scaling::new(&S, &Z).unwrap();
        let (a, b) = (scaling.apply(&Z), scaling.apply_inverse(&S));
        for k in 0..4 {
            assert!((a[k] - b[k]).abs() < 1e-12, "{a:?} {b:?}");
        }
        // Dividing undoes the product.
        let back = product(scaling.scaled(), &scaling.divide(&Z));
        for k in 0..4 {
            assert!((back[k] - Z[k]).abs() < 1e-12);
        }
    }

    #[test]
    fn elimination_keeps_the_dual_t() {
        let scaling = Scaling::new(&S, &Z).unwrap();
        let (q, dy) = ([0.3, -0.2, 0.7, 0.1], [0.5, 0.4, -0.9]);
        let ds = [scaling.change_of_t(&q, &dy), dy[0], dy[1], dy[2]];
        let dz = scaling.change_of_dual(&q, &ds);
        assert!(dz[0].abs() < 1e-12, "{dz:?}");
        let (a, b, w) = scaling.condensed();
        let side = scaling.condensed_side(&q);
        let wy: f64 = w.iter().zip(&dy).map(|(x, y)| x * y).sum();
        for k in 0..3 {
            assert!((side[k] - a * (dy[k] - b * wy * w[k]) - dz[k + 1]).abs() < 1e-12);
        }
    }

    #[test]
    fn a_step_ends_on_the_boundary() {
        let ds = [-1.0, 0.7, 0.1, 0.3];
        let step = longest_step(&S, &ds, 100.0);
        let end: Member = std::array::from_fn(|k| S[k] + step * ds[k]);
        assert!(end[0] > 0.0 && determinant(&end).abs() < 1e-12);
        assert_eq!(longest_step(&S, &[1.0, 0.0, 0.0, 0.0], 5.0), 5.0);
    }
}
