//! Time against mesh size: assemble, factor, solve, recover.

#![allow(missing_docs, reason = "the macro that makes the entry point writes no docs")]

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use geometry::curve::Point;
use solver::plane::grid::grid;
use solver::plane::{Body, Elastic, Factor, Pattern, PlaneState, Recovery, Stiffness, three_supports};
use std::f64::consts::PI;
use std::hint::black_box;
use std::sync::Arc;

const ALUMINIUM: Elastic =
    Elastic { youngs_modulus_mpa: 71e3, poisson_ratio: 0.33, state: PlaneState::Stress };

/// An open thin ring, like a connector's frame, `rows` triangles deep.
fn ring(rows: u32) -> Body {
    let mesh = grid(14 * rows, rows, &|p: Point| {
        let (r, angle) = (32.0 - 14.0 * p[1], 1.7 * PI * p[0]);
        [r * angle.cos(), r * angle.sin()]
    });
    let breadth = |p: Point| {
        let s = (p[0].hypot(p[1]) - 25.0) / 7.0;
        11.0 * (1.0 - s * s).max(4e-4).sqrt()
    };
    let fine = |t: usize| (t / 28 / rows as usize).is_multiple_of(rows as usize - 1);
    Body::new(mesh, &breadth, &fine, ALUMINIUM).unwrap_or_else(|error| panic!("{error}"))
}

fn against_size(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("plane");
    group.sample_size(10);
    // About 5, 20 and 80 thousand unknowns.
    for rows in [7, 13, 27] {
        let body = ring(rows);
        let size = body.unknowns();
        let name = |what: &str| BenchmarkId::new(what.to_owned(), size);
        let Some(held) = three_supports(body.mesh(), &|_| false) else { panic!("the ring has corners") };
        let Ok(pattern) = Pattern::new(body.mesh()) else { panic!("the ring has a pattern") };
        let pattern = Arc::new(pattern);
        group.bench_function(name("pattern"), |b| b.iter(|| Pattern::new(black_box(body.mesh()))));
        group.bench_function(name("assemble"), |b| {
            b.iter(|| Stiffness::assemble(black_box(&body), Arc::clone(&pattern)));
        });
        group
            .bench_function(name("assemble and factor"), |b| b.iter(|| Factor::new(black_box(&body), &held)));
        let Ok(factor) = Factor::new(&body, &held) else { panic!("the ring is held") };
        let load: Vec<f64> = (0..size).map(|i| (i % 7) as f64 - 3.0).collect();
        group.bench_function(name("solve one"), |b| b.iter(|| factor.solve(black_box(&load))));
        let many = load.repeat(200);
        group.bench_function(name("solve 200"), |b| {
            b.iter_batched_ref(
                || many.clone(),
                |columns| factor.solve_in_place(columns, 200),
                criterion::BatchSize::LargeInput,
            );
        });
        let u = factor.solve(&load);
        group.bench_function(name("build recovery"), |b| b.iter(|| Recovery::new(black_box(&body), &|_| 0)));
        let recovery = Recovery::new(&body, &|_| 0);
        group.bench_function(name("recover"), |b| b.iter(|| recovery.nodal_stress(&body, black_box(&u))));
    }
    group.finish();
}

criterion_group!(benches, against_size);
criterion_main!(benches);
