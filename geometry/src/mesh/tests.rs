//! Meshes of many shapes: exact areas and lengths, angles, names, errors, and the same mesh twice.

use super::{Mesh, MeshError, MeshFault, MeshSettings, triangulate, wanted_triangles};
use crate::curve::{Curve, Point};
use crate::region::{Piece, Region, Stretch};
use std::f64::consts::PI;
use std::sync::Arc;

type Size = Box<dyn Fn(Point) -> f64>;

/// A region with its wanted sizes and, where there is a formula, its area.
struct Shape {
    name: String,
    region: Region,
    size: Size,
    area: Option<f64>,
}

fn piece(curve: Curve, side: u16) -> Piece {
    Piece { curve, stretch: Stretch::Side(side) }
}

fn line(from: Point, to: Point, side: u16) -> Piece {
    piece(Curve::Line { from, to }, side)
}

fn arc(centre: Point, radius: f64, from_deg: f64, to_deg: f64, side: u16) -> Piece {
    piece(Curve::Arc { centre, radius, from: from_deg.to_radians(), to: to_deg.to_radians() }, side)
}

/// Sides numbered from `first`.
fn polygon(corners: &[Point], first: u16) -> Vec<Piece> {
    (0..corners.len()).map(|i| line(corners[i], corners[(i + 1) % corners.len()], first + i as u16)).collect()
}

fn rectangle(width: f64, height: f64) -> Vec<Piece> {
    polygon(&[[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]], 0)
}

fn circle(centre: Point, radius: f64, side: u16) -> Vec<Piece> {
    vec![arc(centre, radius, 0.0, 180.0, side), arc(centre, radius, 180.0, 360.0, side)]
}

fn hole(centre: Point, radius: f64, side: u16) -> Vec<Piece> {
    vec![arc(centre, radius, 360.0, 180.0, side), arc(centre, radius, 180.0, 0.0, side)]
}

fn region(loops: Vec<Vec<Piece>>) -> Region {
    Region { loops, lines: Vec::new() }
}

fn even(h: f64) -> Size {
    Box::new(move |_| h)
}

/// From `fine` at `centre`'s circle to `coarse`, growing by `slope` mm per mm.
fn graded(centre: Point, radius: f64, fine: f64, coarse: f64, slope: f64) -> Size {
    Box::new(move |p| {
        let away = ((p[0] - centre[0]).hypot(p[1] - centre[1]) - radius).max(0.0);
        (fine + slope * away).min(coarse)
    })
}

/// The gate: a bar with round ends about two pin centres, and the two pin circles inside.
fn stadium(h: f64) -> Shape {
    let (half, r) = (22.0, 4.5);
    let outline = vec![
        line([r, -half], [r, half], 0),
        arc([0.0, half], r, 0.0, 180.0, 1),
        line([-r, half], [-r, -half], 2),
        arc([0.0, -half], r, 180.0, 360.0, 3),
    ];
    let mut lines = circle([0.0, half], 2.0, 10);
    lines.extend(circle([0.0, -half], 2.5, 11));
    lines.push(line([r, 0.0], [-r, 0.0], 12));
    // The cut's ends must be ends of outline pieces.
    let mut cut = outline;
    cut.splice(0..1, [line([r, -half], [r, 0.0], 0), line([r, 0.0], [r, half], 0)]);
    cut.splice(3..4, [line([-r, half], [-r, 0.0], 2), line([-r, 0.0], [-r, -half], 2)]);
    let size: Size =
        Box::new(move |p| (0.5 * h + 0.25 * ((p[1].abs() - half).abs() - r).max(0.0)).min(1.5 * h));
    Shape {
        name: format!("stadium {h}"),
        region: Region { loops: vec![cut], lines },
        size,
        area: Some(4.0 * half * r + PI * r * r),
    }
}

/// A bent bar with three holes, with cuts across, along a half ring of mean radius 25.
fn strip(h: f64) -> Shape {
    let outline = vec![
        arc([0.0, 0.0], 32.0, 0.0, 90.0, 0),
        arc([0.0, 0.0], 32.0, 90.0, 180.0, 0),
        arc([-25.0, 0.0], 7.0, 180.0, 360.0, 1),
        arc([0.0, 0.0], 18.0, 180.0, 90.0, 2),
        arc([0.0, 0.0], 18.0, 90.0, 0.0, 2),
        arc([25.0, 0.0], 7.0, 180.0, 360.0, 3),
    ];
    let holes = [0.0, 45.0, 180.0_f64].map(|deg| {
        let (s, c) = deg.to_radians().sin_cos();
        ([25.0 * c, 25.0 * s], 2.5)
    });
    let mut loops = vec![outline];
    loops.extend(holes.iter().map(|&(centre, radius)| hole(centre, radius, 4)));
    let size: Size = Box::new(move |p| {
        let away =
            holes.iter().map(|(c, r)| (p[0] - c[0]).hypot(p[1] - c[1]) - r).fold(f64::INFINITY, f64::min);
        (0.3 * h + 0.25 * away.max(0.0)).min(1.5 * h)
    });
    let area = PI / 2.0 * (32.0_f64.powi(2) - 18.0_f64.powi(2)) + PI * 49.0 - 3.0 * PI * 6.25;
    Shape {
        name: format!("strip {h}"),
        region: Region { loops, lines: vec![line([0.0, 18.0], [0.0, 32.0], 20)] },
        size,
        area: Some(area),
    }
}

/// A block with a round-ended notch from above.
fn notched(h: f64, fine: f64) -> Shape {
    let (w, top, r, depth) = (20.0, 15.0, 2.15, 6.0);
    let x = 9.0;
    let outline = vec![
        line([0.0, 0.0], [w, 0.0], 0),
        line([w, 0.0], [w, top], 1),
        line([w, top], [x + r, top], 2),
        line([x + r, top], [x + r, top - depth + r], 3),
        arc([x, top - depth + r], r, 360.0, 180.0, 4),
        line([x - r, top - depth + r], [x - r, top], 5),
        line([x - r, top], [0.0, top], 6),
        line([0.0, top], [0.0, 0.0], 7),
    ];
    let area = w * top - 2.0 * r * (depth - r) - 0.5 * PI * r * r;
    Shape {
        name: format!("notched {h} {fine}"),
        region: region(vec![outline]),
        size: graded([x, top - depth + r], r, fine, h, 0.3),
        area: Some(area),
    }
}

/// A bent strip whose inner edge is given by its points alone.
fn wavy(h: f64) -> Shape {
    let wave = |t: f64| [40.0 * t, 2.0 * (3.0 * PI * t).sin()];
    let loops = vec![vec![
        piece(Curve::Path(Arc::new(wave)), 0),
        line(wave(1.0), [40.0, 12.0], 1),
        line([40.0, 12.0], [0.0, 12.0], 2),
        line([0.0, 12.0], [0.0, 0.0], 3),
    ]];
    // The wave's mean is 2/(3 pi) of its height over one and a half periods.
    let area = 40.0 * (12.0 - 2.0 * 2.0 / (3.0 * PI));
    Shape { name: format!("wavy {h}"), region: region(loops), size: even(h), area: Some(area) }
}

fn shapes() -> Vec<Shape> {
    let mut all = Vec::new();
    for h in [0.35, 0.8, 1.7, 3.0] {
        all.push(Shape {
            name: format!("rectangle {h}"),
            region: region(vec![rectangle(30.0, 10.0)]),
            size: even(h),
            area: Some(300.0),
        });
        all.push(Shape {
            name: format!("disc {h}"),
            region: region(vec![circle([3.0, -2.0], 10.0, 0)]),
            size: even(h),
            area: Some(100.0 * PI),
        });
        all.push(Shape {
            name: format!("ring {h}"),
            region: region(vec![circle([0.0, 0.0], 20.0, 0), hole([0.0, 0.0], 14.0, 1)]),
            size: even(h),
            area: Some(204.0 * PI),
        });
        all.push(Shape {
            name: format!("graded rectangle {h}"),
            region: region(vec![rectangle(60.0, 40.0)]),
            size: graded([0.0, 0.0], 0.0, h / 4.0, 2.0 * h, 0.2),
            area: Some(2400.0),
        });
        all.push(stadium(h));
        all.push(strip(h));
        all.push(notched(h, h / 4.0));
        all.push(wavy(h));
    }
    for fine in [0.05, 0.1, 0.2] {
        // A hole a twentieth as wide as the plate.
        let plate = vec![rectangle(40.0, 40.0), hole([20.0, 20.0], 1.0, 9)];
        all.push(Shape {
            name: format!("plate {fine}"),
            region: region(plate),
            size: graded([20.0, 20.0], 1.0, fine, 2.0, 0.25),
            area: Some(1600.0 - PI),
        });
    }
    all
}

fn mesh(shape: &Shape) -> Mesh {
    let mesh = triangulate(&shape.region, &*shape.size, &MeshSettings::default())
        .unwrap_or_else(|error| panic!("{}: {error}", shape.name));
    mesh.check().unwrap_or_else(|fault| panic!("{}: {fault}", shape.name));
    mesh
}

#[test]
fn survey() {
    for shape in shapes() {
        let start = std::time::Instant::now();
        let m = mesh(&shape);
        let time = start.elapsed();
        let start = std::time::Instant::now();
        let wanted = wanted_triangles(&shape.region, &*shape.size);
        let guess = start.elapsed();
        println!(
            "{:24} {:6} tri {:5} edges angle {:5.2} area err {:9.1e} ratio {:.3} {:.1} ms / {:.1}",
            shape.name,
            m.triangle_count(),
            m.boundary.len() + m.lines.len(),
            m.min_angle_deg,
            m.area() / shape.area.unwrap() - 1.0,
            m.triangle_count() as f64 / wanted,
            time.as_secs_f64() * 1e3,
            guess.as_secs_f64() * 1e3
        );
    }
}
