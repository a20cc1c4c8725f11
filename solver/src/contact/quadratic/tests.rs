//! Both ways to the answer are held to the optimality conditions in the numbers as given, not as scaled.

use super::*;

/// Straight to the dual method.
const STEPS: Params = Params { max_steps: None, tolerance: 1e-9, guesses: 0 };

/// An owned programme.
#[derive(Clone)]
struct Case {
    hessian: Vec<f64>,
    gradient: Vec<f64>,
    rows: Vec<f64>,
    right: Vec<f64>,
    nonnegative: Vec<bool>,
}

impl Case {
    fn program(&self) -> QuadraticProgram<'_> {
        QuadraticProgram {
            hessian: &self.hessian,
            gradient: &self.gradient,
            rows: &self.rows,
            right: &self.right,
            nonnegative: &self.nonnegative,
        }
    }

    /// Largest violation of the optimality conditions, recomputed from the input; assumes a diagonal of about one.
    fn violation(&self, solution: &Solution) -> f64 {
        let n = self.gradient.len();
        // Where only the origin is feasible, forces are rounding about zero: gaps put a floor under the measure.
        let floor = 1e-4 * self.gradient.iter().fold(0.0, |a: f64, v| a.max(v.abs()));
        let size = solution.x.iter().fold(floor, |a: f64, v| a.max(v.abs()));
        let mut worst: f64 = 0.0;
        for i in 0..n {
            let mut residual = self.gradient[i] - solution.slack[i];
            residual += (0..n).map(|j| self.hessian[i * n + j] * solution.x[j]).sum::<f64>();
            for (r, y) in solution.multipliers.iter().enumerate() {
                residual -= self.rows[r * n + i] * y;
            }
            worst = worst.max(residual.abs() / size);
            if self.nonnegative[i] {
                assert!(solution.x[i] >= 0.0 && solution.slack[i] >= 0.0);
                assert!(solution.x[i] == 0.0 || solution.slack[i] == 0.0);
            } else {
                assert_eq!(solution.slack[i], 0.0);
            }
        }
        for (r, right) in self.right.iter().enumerate() {
            let row: f64 = (0..n).map(|j| self.rows[r * n + j] * solution.x[j]).sum();
            worst = worst.max((row - right).abs() / size);
        }
        worst
    }

    /// Solves both ways, checks both, and returns the number of variables at zero.
    fn check_both(&self, name: &str) -> usize {
        let quick = solve(&self.program(), &Params::default()).unwrap_or_else(|e| panic!("{name}: {e}"));
        let walked = solve(&self.program(), &STEPS).unwrap_or_else(|e| panic!("{name}, steps: {e}"));
        for solution in [&quick, &walked] {
            let violation = self.violation(solution);
            assert!(violation < 1e-9, "{name}: {violation:e}, {:?}", solution.info);
            assert!(solution.info.optimality <= 1e-9);
        }
        let pressed = quick.slack.iter().any(|s| *s > 1e-6);
        assert!(walked.info.steps > 0 || !pressed, "{name}: the dual method did nothing");
        quick.x.iter().filter(|x| **x == 0.0).count()
    }
}

/// Number `k` of a fixed sequence, in [-1, 1).
fn number(k: u64) -> f64 {
    let mut z = k.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 52) as f64 - 1.0
}

fn numbers(from: u64, count: usize) -> Vec<f64> {
    (0..count as u64).map(|k| number(from * 1_000_003 + k)).collect()
}

/// `G G' / k + ridge`, with `k` columns in `G`.
fn gram(seed: u64, n: usize, k: usize, ridge: f64) -> Vec<f64> {
    let g = numbers(seed, n * k);
    let mut hessian = vec![0.0; n * n];
    for i in 0..n {
        for j in 0..n {
            let product: f64 = (0..k).map(|c| g[i * k + c] * g[j * k + c]).sum();
            hessian[i * n + j] = 3.0 * product / k as f64 + if i == j { ridge } else { 0.0 };
        }
    }
    hessian
}

fn kernel(n: usize, f: impl Fn(f64) -> f64) -> Vec<f64> {
    let mut hessian = Vec::with_capacity(n * n);
    for i in 0..n {
        for j in 0..n {
            hessian.push(f((i as f64 - j as f64) / n as f64));
        }
    }
    hessian
}

/// Rows that a point with about half its variables positive meets.
fn feasible(seed: u64, n: usize, m: usize, free: usize, hessian: Vec<f64>) -> Case {
    let rows = numbers(seed + 1, n * m);
    let inside: Vec<f64> = numbers(seed + 2, n).iter().map(|v| v.max(0.0)).collect();
    let right = (0..m).map(|r| (0..n).map(|j| rows[r * n + j] * inside[j]).sum()).collect();
    Case {
        hessian,
        gradient: numbers(seed + 3, n),
        rows,
        right,
        nonnegative: (0..n).map(|i| i >= free).collect(),
    }
}

#[test]
fn three_numbers_by_hand() {
    // Project (1, -2, 4) on x >= 0 with sum 3: x = (0, 0, 3), y = -1, s = Hx + g - y = (-1 + 1, 2 + 1, 0).
    let case = Case {
        hessian: vec![1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0],
        gradient: vec![-1.0, 2.0, -4.0],
        rows: vec![1.0, 1.0, 1.0],
        right: vec![3.0],
        nonnegative: vec![true; 3],
    };
    for params in [Params::default(), STEPS] {
        let solution = solve(&case.program(), &params).unwrap();
        for (found, wanted) in solution.x.iter().zip([0.0, 0.0, 3.0]) {
            assert!((found - wanted).abs() < 1e-13);
        }
        assert!((solution.multipliers[0] + 1.0).abs() < 1e-13);
        for (found, wanted) in solution.slack.iter().zip([0.0, 3.0, 0.0]) {
            assert!((found - wanted).abs() < 1e-13);
        }
    }
}

#[test]
fn a_free_variable_goes_below_zero_and_bare_bounds_work() {
    // Minimise x^2/2 + x + (y^2/2 + y): the free one is -1, the other stays at zero with slack 1.
    let case = Case {
        hessian: vec![1.0, 0.0, 0.0, 1.0],
        gradient: vec![1.0, 1.0],
        rows: vec![],
        right: vec![],
        nonnegative: vec![false, true],
    };
    let solution = solve(&case.program(), &Params::default()).unwrap();
    assert!((solution.x[0] + 1.0).abs() < 1e-15 && solution.x[1] == 0.0);
    assert!((solution.slack[1] - 1.0).abs() < 1e-15);
    case.check_both("bare bounds");

    let all_pinned = Case { nonnegative: vec![true; 2], ..case };
    assert_eq!(all_pinned.check_both("all pinned"), 2);
    let empty = Case { hessian: vec![], gradient: vec![], rows: vec![], right: vec![], nonnegative: vec![] };
    assert!(solve(&empty.program(), &Params::default()).unwrap().x.is_empty());
}

#[test]
fn units_do_not_matter() {
    let case = feasible(5, 40, 4, 6, gram(5, 40, 60, 0.1));
    let base = solve(&case.program(), &Params::default()).unwrap();
    // Compliance a millionth, gaps a thousandth: forces grow a thousandfold.
    let small = Case {
        hessian: case.hessian.iter().map(|v| v * 1e-6).collect(),
        gradient: case.gradient.iter().map(|v| v * 1e-3).collect(),
        right: case.right.iter().map(|v| v * 1e3).collect(),
        ..case
    };
    let scaled = solve(&small.program(), &Params::default()).unwrap();
    for (a, b) in base.x.iter().zip(&scaled.x) {
        assert!((a * 1e3 - b).abs() < 1e-8, "{a} {b}");
    }
    for (a, b) in base.multipliers.iter().zip(&scaled.multipliers) {
        assert!((a * 1e-3 - b).abs() < 1e-12, "{a} {b}");
    }
}

#[test]
fn random_programmes() {
    for (case, &(n, m, free)) in
        [(2, 1, 0), (5, 2, 1), (12, 4, 3), (30, 6, 0), (60, 8, 10), (120, 4, 0), (200, 8, 20)]
            .iter()
            .enumerate()
    {
        for repeat in 0..4 {
            let seed = 100 + 40 * case as u64 + 10 * repeat;
            let case = feasible(seed, n, m, free, gram(seed, n, n + 5, 0.01));
            case.check_both(&format!("n {n}, seed {seed}"));
        }
    }
}

#[test]
fn smooth_gram_matrices_beyond_rounding() {
    for n in [40, 100, 200] {
        for width in [0.02, 0.1, 0.3] {
            let hessian =
                kernel(n, |d| (-(d / width) * (d / width)).exp() + if d == 0.0 { 1e-9 } else { 0.0 });
            let mut case = feasible(n as u64, n, 4, 0, hessian);
            case.check_both(&format!("rough gap, n {n}, width {width}"));
            case.gradient = (0..n).map(|i| 4.0 * (i as f64 / n as f64 - 0.4).powi(2)).collect();
            case.check_both(&format!("smooth gap, n {n}, width {width}"));
        }
    }
}

#[test]
fn a_punch_on_a_half_plane_presses_where_it_should() {
    // Parabolic gap on a line compliance -ln|x|, total force and moment given.
    for (n, closed) in [(60, 24), (200, 80)] {
        let h = 1.0 / n as f64;
        let hessian = kernel(n, |d| if d == 0.0 { -(h / 2.0).ln() + 1.0 } else { -d.abs().ln() });
        let x: Vec<f64> = (0..n).map(|i| (i as f64 + 0.5) * h - 0.5).collect();
        // Contact from -a to a: the force per length is (2 c / pi) sqrt(a^2 - x^2) for the gap c x^2 and kernel -2/pi ln:
        // with -ln alone, p = (2 c / pi) * sqrt(a^2 - x^2) and the total is c a^2.
        let a = 0.5 * closed as f64 * h;
        let (c, force) = (10.0, 10.0 * a * a);
        let case = Case {
            hessian,
            gradient: x.iter().map(|x| c * x * x).collect(),
            rows: [vec![1.0; n], x].concat(),
            right: vec![force, 0.0],
            nonnegative: vec![true; n],
        };
        let zeros = case.check_both(&format!("punch {n}"));
        assert!((n - zeros).abs_diff(closed) <= 2, "{} pressed, expected {closed}", n - zeros);
        let solution = solve(&case.program(), &Params::default()).unwrap();
        let peak = solution.x[n / 2] / h;
        let wanted = 2.0 * c / std::f64::consts::PI * a;
        assert!((peak / wanted - 1.0).abs() < 0.02, "{peak} {wanted}");
    }
}

#[test]
fn a_prepared_programme_forgets_what_it_solved_before() {
    let n = 40;
    let case = feasible(9, n, 3, 2, gram(9, n, n, 0.02));
    let mut prepared = Prepared::try_new(&case.hessian, &case.rows, &case.nonnegative).unwrap();
    // Starts from the last answer, from nothing, and from a set that cannot be: all of them at zero but the free ones.
    let all: Vec<bool> = case.nonnegative.clone();
    let mut last = Vec::new();
    for (k, start) in [(0, "last"), (1, "last"), (0, "none"), (2, "all"), (1, "last"), (0, "all")] {
        let gradient = numbers(100 + k, n);
        let right: Vec<f64> = case.right.iter().map(|b| b * (1.0 + k as f64)).collect();
        let zero = match start {
            "last" => last.as_slice(),
            "all" => all.as_slice(),
            _ => &[],
        };
        let solution = prepared.solve(&gradient, &right, &Params::default(), zero).unwrap();
        let alone = Case { gradient, right, ..case.clone() };
        let fresh = solve(&alone.program(), &Params::default()).unwrap();
        assert!(alone.violation(&solution) < 1e-9);
        for (a, b) in solution.x.iter().zip(&fresh.x) {
            assert!((a - b).abs() < 1e-10, "programme {k} from {start}: {a} {b}");
        }
        last = solution.x.iter().map(|x| *x == 0.0).collect();
    }
}

#[test]
fn a_wrong_idea_of_what_is_likely_costs_time_only() {
    let n = 40;
    let case = feasible(9, n, 3, 2, gram(9, n, n, 0.02));
    let fresh = solve(&case.program(), &Params::default()).unwrap();
    let right_idea: Vec<bool> = fresh.x.iter().map(|x| *x != 0.0).collect();
    let wrong_idea: Vec<bool> = (0..n).map(|i| !case.nonnegative[i] || !right_idea[i]).collect();
    for likely in [right_idea, wrong_idea, vec![false; n], vec![true; n], Vec::new()] {
        let mut prepared = Prepared::try_new(&case.hessian, &case.rows, &case.nonnegative).unwrap();
        let solution =
            prepared.solve_from_likely(&case.gradient, &case.right, &Params::default(), &likely).unwrap();
        assert!(case.violation(&solution) < 1e-9);
        for (a, b) in solution.x.iter().zip(&fresh.x) {
            assert!((a - b).abs() < 1e-10, "{likely:?}: {a} {b}");
        }
    }
}

#[test]
fn degenerate_programmes() {
    // Many bounds at zero with zero multipliers: the gradient is minus H times a point with zeros, no rows.
    for n in [10, 60, 150] {
        let hessian = gram(7, n, n, 0.05);
        let point: Vec<f64> = (0..n).map(|i| if i % 3 == 0 { 0.0 } else { 1.0 }).collect();
        let product = |i: usize| (0..n).map(|j| hessian[i * n + j] * point[j]).sum::<f64>();
        let gradient = (0..n).map(|i| -product(i)).collect();
        let rows = numbers(8, 3 * n);
        let right = (0..3).map(|r| (0..n).map(|j| rows[r * n + j] * point[j]).sum()).collect();
        let case = Case { hessian, gradient, rows, right, nonnegative: vec![true; n] };
        case.check_both(&format!("weak bounds {n}"));
        let solution = solve(&case.program(), &STEPS).unwrap();
        for (found, wanted) in solution.x.iter().zip(&point) {
            assert!((found - wanted).abs() < 1e-7);
        }
    }
    // Two copies of each point, told apart by a spring only: copies share evenly.
    let n = 40;
    let half = gram(9, n / 2, 30, 0.0);
    let mut hessian = vec![0.0; n * n];
    for i in 0..n {
        for j in 0..n {
            hessian[i * n + j] = half[(i / 2) * (n / 2) + j / 2] + if i == j { 1e-7 } else { 0.0 };
        }
    }
    let mut case = feasible(11, n, 2, 0, hessian);
    for i in (0..n).step_by(2) {
        case.gradient[i + 1] = case.gradient[i];
        case.rows[i + 1] = case.rows[i];
        case.rows[n + i + 1] = case.rows[n + i];
    }
    let inside: f64 = (0..n).map(|j| case.rows[j]).sum();
    let other: f64 = (0..n).map(|j| case.rows[n + j]).sum();
    case.right = vec![inside, other];
    case.check_both("copies");
    // The origin is the only feasible point: rows and bounds meet there many times over.
    let n = 20;
    let case = Case {
        hessian: gram(13, n, n, 0.1),
        gradient: numbers(14, n),
        rows: vec![1.0; n],
        right: vec![0.0],
        nonnegative: vec![true; n],
    };
    for params in [Params::default(), STEPS] {
        let solution = solve(&case.program(), &params).unwrap();
        assert!(solution.x.iter().all(|x| x.abs() < 1e-12));
        assert!(
            case.violation(&Solution { x: solution.x.iter().map(|_| 0.0).collect(), ..solution }).is_finite()
        );
    }
}

#[test]
fn contradictions_are_infeasible() {
    let n = 30;
    let mut case = feasible(21, n, 3, 0, gram(21, n, n, 0.1));
    case.rows[..n].fill(1.0);
    case.right[0] = -1.0;
    for params in [Params::default(), STEPS] {
        assert_eq!(solve(&case.program(), &params), Err(QuadraticError::Infeasible));
    }
    // One free variable in that row alone makes it possible again.
    case.nonnegative[4] = false;
    (case.rows[n + 4], case.rows[2 * n + 4]) = (0.0, 0.0);
    case.check_both("freed");
    // A couple outside the reach of pushing forces.
    let lever = Case {
        hessian: vec![1.0, 0.0, 0.0, 1.0],
        gradient: vec![0.0; 2],
        rows: vec![1.0, 1.0, -1.0, 1.0],
        right: vec![1.0, 1.5],
        nonnegative: vec![true; 2],
    };
    assert_eq!(solve(&lever.program(), &Params::default()), Err(QuadraticError::Infeasible));
}

#[test]
fn bad_input_is_refused() {
    let good = feasible(31, 6, 2, 0, gram(31, 6, 8, 0.1));
    let solve = |case: &Case| super::solve(&case.program(), &Params::default());
    for poison in [f64::NAN, f64::INFINITY] {
        let mut case = good.clone();
        case.hessian[3] = poison;
        assert!(matches!(solve(&case), Err(QuadraticError::NotFinite { what: "hessian", index: 3 })));
        let mut case = good.clone();
        case.right[1] = poison;
        assert!(matches!(solve(&case), Err(QuadraticError::NotFinite { what: "right", index: 1 })));
    }
    let mut case = good.clone();
    case.gradient.pop();
    assert!(matches!(solve(&case), Err(QuadraticError::Shape { .. })));
    let mut case = good.clone();
    case.hessian[1] += 0.5;
    assert!(matches!(solve(&case), Err(QuadraticError::NotSymmetric { row: 1, column: 0 })));
    let mut case = good.clone();
    case.hessian = vec![1.0; 36];
    case.hessian[1] = 2.0;
    case.hessian[6] = 2.0;
    assert_eq!(solve(&case), Err(QuadraticError::NotConvex));
    let mut case = good.clone();
    case.hessian[0] = -1.0;
    assert_eq!(solve(&case), Err(QuadraticError::NotConvex));
    let mut case = good.clone();
    for i in 0..6 {
        case.rows[6 + i] = 2.0 * case.rows[i];
    }
    assert_eq!(solve(&case), Err(QuadraticError::DependentRows { row: 1 }));
    let mut case = good.clone();
    case.rows[6..].fill(0.0);
    assert_eq!(solve(&case), Err(QuadraticError::DependentRows { row: 1 }));
    let limited = Params { max_steps: Some(0), ..STEPS };
    let mut case = good;
    case.gradient = vec![1.0, -1.0, 1.0, -1.0, 1.0, -1.0];
    case.right.truncate(1);
    case.rows.truncate(6);
    assert!(matches!(super::solve(&case.program(), &limited), Err(QuadraticError::OutOfSteps { steps: 0 })));
}
