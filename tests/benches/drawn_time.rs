//! How long drawn connectors take, each from its outline to its limits: the slowest of a hundred is what matters.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    reason = "criterion's macros, and a benchmark fails by panicking"
)]

use criterion::{Criterion, criterion_group, criterion_main};
use pullmap_tests::drawn::connector;
use solver::strength::{Strengths, limits};
use solver::system::{System, SystemSettings};
use std::time::{Duration, Instant};

/// Seconds that a model may take.
const MOST: Duration = Duration::from_secs(10);

/// Solves a drawn connector; true when it fits together.
fn solve(index: u64) -> bool {
    let (connector, rig) = connector(index);
    let materials = pullmap_tests::model("broadbar-alu", &[]).materials;
    let system = System::try_new(&connector, rig.gate.place(), &materials, &SystemSettings::default());
    system.is_ok_and(|system| limits(&system, &Strengths::new(&connector, &materials), &rig).is_ok())
}

fn drawn(criterion: &mut Criterion) {
    let slowest = (0..100)
        .filter_map(|index| {
            let began = Instant::now();
            solve(index).then(|| (began.elapsed(), index))
        })
        .max()
        .unwrap();
    assert!(slowest.0 < MOST, "number {} takes {:?}", slowest.1, slowest.0);
    let mut group = criterion.benchmark_group("drawn");
    group.sample_size(10);
    let name = format!("the slowest of 100, number {}", slowest.1);
    group.bench_function(name, |bench| bench.iter(|| solve(slowest.1)));
    group.finish();
}

criterion_group!(benches, drawn);
criterion_main!(benches);
