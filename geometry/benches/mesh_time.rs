//! Time against mesh size: a graded plate with a hole, and a bar with round ends and circles inside.

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use geometry::curve::{Curve, Point};
use geometry::mesh::{MeshSettings, triangulate, wanted_triangles};
use geometry::region::{Piece, Region, Stretch};
use std::f64::consts::{FRAC_PI_2, PI};
use std::hint::black_box;

fn piece(curve: Curve, side: u16) -> Piece {
    Piece { curve, stretch: Stretch::Side(side) }
}

fn line(from: Point, to: Point, side: u16) -> Piece {
    piece(Curve::Line { from, to }, side)
}

fn arc(centre: Point, radius: f64, from: f64, to: f64, side: u16) -> Piece {
    piece(Curve::Arc { centre, radius, from, to }, side)
}

fn plate() -> Region {
    let corners = [[-20.0, -20.0], [20.0, -20.0], [20.0, 20.0], [-20.0, 20.0]];
    let square = (0..4).map(|i| line(corners[i], corners[(i + 1) % 4], 0)).collect();
    let hole = vec![arc([0.0; 2], 2.0, 2.0 * PI, PI, 1), arc([0.0; 2], 2.0, PI, 0.0, 1)];
    Region { loops: vec![square, hole], lines: Vec::new() }
}

fn bar() -> Region {
    let (half, r) = (22.0, 4.5);
    let outline = vec![
        line([r, -half], [r, half], 0),
        arc([0.0, half], r, 0.0, PI, 1),
        line([-r, half], [-r, -half], 0),
        arc([0.0, -half], r, -PI, 0.0, 1),
    ];
    let circle = |y: f64| {
        [arc([0.0, y], 2.0, -FRAC_PI_2, FRAC_PI_2, 2), arc([0.0, y], 2.0, FRAC_PI_2, 3.0 * FRAC_PI_2, 2)]
    };
    Region { loops: vec![outline], lines: [circle(half), circle(-half)].concat() }
}

fn mesh_time(criterion: &mut Criterion) {
    let settings = MeshSettings::default();
    let mut group = criterion.benchmark_group("mesh time");
    for (name, region) in [("plate", plate()), ("bar", bar())] {
        // The scale for a wanted number of triangles follows from the estimate at scale one.
        let size =
            |scale: f64| move |p: Point| scale * (0.3 + 0.1 * (p[0].hypot(p[1]) - 2.0).max(0.0)).min(2.0);
        let at_one = wanted_triangles(&region, &size(1.0));
        for wanted in [1_000.0, 10_000.0, 100_000.0_f64] {
            let size = size((at_one / wanted).sqrt());
            let count = triangulate(&region, &size, &settings).map_or(0, |mesh| mesh.triangle_count());
            group.throughput(Throughput::Elements(count as u64));
            group.bench_with_input(BenchmarkId::new(name, count), &region, |bench, region| {
                bench.iter(|| triangulate(black_box(region), &size, &settings));
            });
            group.bench_with_input(
                BenchmarkId::new(format!("{name} estimate"), count),
                &region,
                |bench, region| {
                    bench.iter(|| wanted_triangles(black_box(region), &size));
                },
            );
        }
    }
    group.finish();
}

criterion_group!(benches, mesh_time);
criterion_main!(benches);
