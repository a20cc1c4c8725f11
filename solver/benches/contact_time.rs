//! Time of the contact programme at the sizes of a loaded connector: a line of points on a half-plane's compliance under
//! a parabolic gap, force and moment given, both ways to the answer.

#![allow(
    clippy::print_stdout,
    missing_docs,
    reason = "a benchmark reports, and its macros write undocumented items"
)]

use std::f64::consts::TAU;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use solver::contact::engagement::engagement;
use solver::contact::quadratic::{Params, QuadraticProgram, solve};

/// Compliance of `n` points, and the gap under which about `n - zeros` of them press.
fn punch(n: usize, zeros: usize) -> (Vec<f64>, Vec<f64>, Vec<f64>, Vec<f64>) {
    let h = 1.0 / n as f64;
    let x: Vec<f64> = (0..n).map(|i| (i as f64 + 0.5) * h - 0.5).collect();
    let mut hessian = Vec::with_capacity(n * n);
    for a in &x {
        hessian.extend(x.iter().map(|b| -(a - b).abs().max(0.2 * h).ln() + if a == b { 0.1 } else { 0.0 }));
    }
    let reach = 0.5 * (n - zeros) as f64 * h;
    let gradient = x.iter().map(|x| x * x).collect();
    let rows = [vec![1.0; n], x].concat();
    (hessian, gradient, rows, vec![reach * reach, 0.0])
}

fn programmes(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("quadratic");
    group.sample_size(20);
    for (n, zeros) in [(160, 60), (300, 100), (300, 200), (600, 300)] {
        let (hessian, gradient, rows, right) = punch(n, zeros);
        let nonnegative = vec![true; n];
        let program = QuadraticProgram {
            hessian: &hessian,
            gradient: &gradient,
            rows: &rows,
            right: &right,
            nonnegative: &nonnegative,
        };
        for (name, guesses) in [("guesses", 15), ("steps", 0)] {
            let params = Params { guesses, ..Params::default() };
            if let Ok(solution) = solve(&program, &params) {
                let zero = solution.x.iter().filter(|x| **x == 0.0).count();
                println!("{name} n {n}: {zero} at zero, {:?}", solution.info);
            }
            group.bench_function(format!("{name}/{n}_{zeros}"), |b| {
                b.iter(|| solve(black_box(&program), &params));
            });
        }
    }
    group.finish();
}

fn engagement_load(criterion: &mut Criterion) {
    let m = 300;
    let angle = |i: usize| TAU * (i as f64 + 0.5) / m as f64;
    let gaps = vec![0.1; m];
    let openings: Vec<f64> = (0..m).map(|i| -0.05 * (2.0 * angle(i)).cos() - 0.01).collect();
    let rigid: Vec<[f64; 3]> =
        (0..m).map(|i| [angle(i).cos(), angle(i).sin(), 20.0 * angle(i).sin()]).collect();
    criterion
        .bench_function("engagement/300", |b| b.iter(|| engagement(black_box(&gaps), &openings, &rigid)));
}

criterion_group!(benches, programmes, engagement_load);
criterion_main!(benches);
