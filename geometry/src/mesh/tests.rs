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
fn areas_are_the_exact_ones() {
    for shape in shapes() {
        let mesh = mesh(&shape);
        let exact = shape.area.expect("every shape here has a formula");
        // A parabola through an arc of 30 degrees or less is off by 5e-5 of the radius at most.
        let error = (mesh.area() / exact - 1.0).abs();
        assert!(error < 2e-5, "{}: {error}", shape.name);
    }
}

#[test]
fn a_disc_converges_with_the_fourth_power_of_the_size() {
    let disc = region(vec![circle([3.0, -2.0], 10.0, 0)]);
    let [coarse, fine] = [1.0, 0.5].map(|h| {
        let mesh = triangulate(&disc, &|_| h, &MeshSettings::default()).unwrap();
        (mesh.area() / (100.0 * PI) - 1.0).abs()
    });
    assert!(coarse < 1e-6, "{coarse}");
    let rate = (coarse / fine).log2();
    assert!((3.8..4.2).contains(&rate), "{rate}");
}

#[test]
fn corners_are_never_sharp() {
    for shape in shapes() {
        let mesh = mesh(&shape);
        assert!(mesh.refinement_complete, "{}", shape.name);
        assert!(mesh.min_angle_deg >= 28.0, "{}: {}", shape.name, mesh.min_angle_deg);
    }
}

#[test]
fn thirty_plates_with_holes_anywhere_keep_their_angles() {
    for i in 0..30_u32 {
        // Fixed steps of an irrational number place the holes without chance.
        let step = |k: f64| (f64::from(i) * k).fract();
        let (a, b) = ([8.0 + 6.0 * step(0.618), 8.0 + 20.0 * step(0.414)], [26.0 + 6.0 * step(0.732), 18.0]);
        let (r, q) = (1.0 + 3.0 * step(0.236), 1.0 + 2.0 * step(0.873));
        let h = 0.6 + step(0.146);
        let shape = Shape {
            name: format!("plate {i}"),
            region: Region { loops: vec![rectangle(40.0, 36.0), hole(a, r, 8)], lines: circle(b, q, 9) },
            size: graded(a, r, 0.3 * h, 2.0 * h, 0.3),
            area: None,
        };
        let mesh = mesh(&shape);
        assert!(mesh.min_angle_deg >= 28.0, "{i}: {}", mesh.min_angle_deg);
        let error = mesh.area() / (1440.0 - PI * r * r) - 1.0;
        assert!(error.abs() < 1e-5, "{i}: {error}");
    }
}

#[test]
fn a_line_too_near_the_outline_for_luck_is_held() {
    // Half a step off the points of the bottom side and a fifth above it, its chords are no Delaunay sides.
    let mut body = region(vec![rectangle(10.0, 10.0)]);
    body.lines.push(line([2.5, 0.2], [7.5, 0.2], 9));
    let mesh = triangulate(&body, &|_| 1.0, &MeshSettings::default()).unwrap();
    mesh.check().unwrap();
    assert!(mesh.min_angle_deg >= 28.0, "{}", mesh.min_angle_deg);
    assert!((mesh.area() - 100.0).abs() < 1e-9);
    let length: f64 = mesh.lines.iter().map(|edge| mesh.edge_length(edge)).sum();
    assert!((length - 5.0).abs() < 1e-9);
    assert!(mesh.lines.len() > 5, "refinement next to the outline must have cut the five chords");
}

#[test]
fn a_sharp_wedge_still_gives_a_sound_mesh() {
    let wedge = region(vec![polygon(&[[0.0, 0.0], [20.0, 0.0], [20.0, 4.0]], 0)]);
    let mesh = triangulate(&wedge, &|_| 0.7, &MeshSettings::default()).unwrap();
    mesh.check().unwrap();
    // The corner itself, atan(0.2) = 11.3 degrees, cannot be blunted.
    assert!((11.0..11.4).contains(&mesh.min_angle_deg), "{}", mesh.min_angle_deg);
    assert!((mesh.area() - 40.0).abs() < 1e-9);
}

#[test]
fn named_edges_keep_names_order_and_length() {
    let shape = stadium(0.8);
    let mesh = mesh(&shape);
    let length = |edges: &[super::NamedEdge], side: u16| -> f64 {
        edges.iter().filter(|e| e.stretch == Stretch::Side(side)).map(|e| mesh.edge_length(e)).sum()
    };
    for (side, exact) in [(0, 44.0), (1, 4.5 * PI), (2, 44.0), (3, 4.5 * PI)] {
        let found = length(&mesh.boundary, side);
        assert!((found / exact - 1.0).abs() < 1e-5, "side {side}: {found} instead of {exact}");
    }
    for (side, exact) in [(10, 4.0 * PI), (11, 5.0 * PI), (12, 9.0)] {
        let found = length(&mesh.lines, side);
        assert!((found / exact - 1.0).abs() < 1e-5, "line {side}: {found} instead of {exact}");
    }
    let names: Vec<_> = mesh.boundary.iter().map(|e| e.stretch).collect();
    let mut runs = names;
    runs.dedup();
    assert_eq!(runs, [0, 1, 2, 3].map(Stretch::Side));
    for pair in mesh.lines.windows(2).filter(|pair| pair[0].stretch == pair[1].stretch) {
        assert_eq!(pair[0].nodes[1], pair[1].nodes[0]);
    }
}

#[test]
fn all_three_nodes_of_a_circle_edge_are_on_the_circle() {
    for h in [0.35, 0.8, 1.7, 3.0] {
        let shape = stadium(h);
        let mesh = mesh(&shape);
        let mut seen = 0;
        for edge in mesh.boundary.iter().chain(&mesh.lines) {
            let (centre, radius) = match edge.stretch {
                Stretch::Side(1) => ([0.0, 22.0], 4.5),
                Stretch::Side(3) => ([0.0, -22.0], 4.5),
                Stretch::Side(10) => ([0.0, 22.0], 2.0),
                Stretch::Side(11) => ([0.0, -22.0], 2.5),
                _ => continue,
            };
            for node in edge.nodes {
                let [x, y] = mesh.points[node as usize];
                let off = (x - centre[0]).hypot(y - centre[1]) - radius;
                assert!(off.abs() < 1e-12, "{:?}: {off}", edge.stretch);
            }
            seen += 1;
        }
        assert!(seen >= 3 * 12, "{seen} edges on three full turns");
    }
}

#[test]
fn the_same_region_gives_the_same_mesh_to_the_bit() {
    for (one, two) in shapes().iter().zip(&shapes()) {
        let (one, two) = (mesh(one), mesh(two));
        assert_eq!(one.triangles, two.triangles);
        assert_eq!(one.boundary, two.boundary);
        assert_eq!(one.lines, two.lines);
        let bits = |mesh: &Mesh| mesh.points.iter().flatten().map(|x| x.to_bits()).collect::<Vec<_>>();
        assert_eq!(bits(&one), bits(&two));
    }
}

#[test]
fn the_estimate_is_near_the_count() {
    for shape in shapes() {
        let count = mesh(&shape).triangle_count() as f64;
        let wanted = wanted_triangles(&shape.region, &*shape.size);
        // Rounding up the number of edges per piece is not in the estimate, and shows on the coarsest.
        let allowed = if count > 900.0 { 0.08 } else { 0.15 };
        assert!((count / wanted - 1.0).abs() < allowed, "{}: {count} instead of {wanted}", shape.name);
    }
}

#[test]
fn sides_follow_the_wanted_size() {
    let shape = &notched(1.0, 0.25);
    let mesh = mesh(shape);
    let mut ratios: Vec<f64> = Vec::new();
    for nodes in &mesh.triangles {
        for i in 0..3 {
            let [p, q] = [nodes[i], nodes[(i + 1) % 3]].map(|node| mesh.points[node as usize]);
            let wanted = (shape.size)([0.5 * (p[0] + q[0]), 0.5 * (p[1] + q[1])]);
            ratios.push((p[0] - q[0]).hypot(p[1] - q[1]) / wanted);
        }
    }
    ratios.sort_by(f64::total_cmp);
    let at = |part: f64| ratios[(part * (ratios.len() - 1) as f64) as usize];
    assert!((0.9..1.1).contains(&at(0.5)), "median {}", at(0.5));
    assert!(at(0.01) > 0.5 && at(0.99) < 1.6, "{} to {}", at(0.01), at(0.99));
}

#[test]
fn crossing_outlines_are_named() {
    let bow = region(vec![polygon(&[[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]], 0)]);
    let error = triangulate(&bow, &|_| 1.0, &MeshSettings::default()).unwrap_err();
    let MeshError::Crossing { first, second, near } = error else { panic!("{error}") };
    assert_eq!((first, second), (Stretch::Side(0), Stretch::Side(2)));
    assert!((near[0] - 5.0).abs() < 1e-9 && (near[1] - 5.0).abs() < 1e-9, "{near:?}");

    let hole_over_edge = region(vec![rectangle(10.0, 10.0), hole([9.5, 5.0], 1.0, 7)]);
    let error = triangulate(&hole_over_edge, &|_| 0.8, &MeshSettings::default()).unwrap_err();
    assert!(
        matches!(error, MeshError::Crossing { first: Stretch::Side(1), second: Stretch::Side(7), .. }),
        "{error}"
    );

    // A line that ends in the middle of a side touches it where no point is shared.
    let mut touching = region(vec![rectangle(10.0, 10.0)]);
    touching.lines.push(line([0.33, 0.0], [5.0, 5.0], 9));
    let error = triangulate(&touching, &|_| 1.0, &MeshSettings::default()).unwrap_err();
    assert!(matches!(error, MeshError::Crossing { .. }), "{error}");

    // The same line twice.
    let mut doubled = region(vec![rectangle(10.0, 10.0)]);
    doubled.lines.extend([line([0.0, 0.0], [10.0, 10.0], 8), line([0.0, 0.0], [10.0, 10.0], 9)]);
    let error = triangulate(&doubled, &|_| 1.0, &MeshSettings::default()).unwrap_err();
    assert!(matches!(error, MeshError::Crossing { .. }), "{error}");
}

#[test]
fn unusable_regions_are_refused() {
    let refuse = |region: &Region, size: f64| {
        triangulate(region, &|_| size, &MeshSettings::default())
            .map(|mesh| mesh.triangle_count())
            .unwrap_err()
    };
    assert_eq!(refuse(&Region::default(), 1.0), MeshError::Empty);

    let mut open = rectangle(10.0, 10.0);
    open[2] = line([10.0, 10.0], [0.0, 9.0], 2);
    let error = refuse(&region(vec![open]), 1.0);
    assert_eq!(error, MeshError::Open { stretch: Stretch::Side(2), near: [0.0, 9.0], gap_mm: 1.0 });

    let mut broken = rectangle(10.0, 10.0);
    broken[1] = piece(Curve::Path(Arc::new(|t| [10.0, if t == 0.5 { f64::NAN } else { 10.0 * t }])), 1);
    assert_eq!(refuse(&region(vec![broken]), 1.0), MeshError::NotFinite { stretch: Stretch::Side(1) });

    let clockwise = region(vec![polygon(&[[0.0, 0.0], [0.0, 10.0], [10.0, 10.0], [10.0, 0.0]], 0)]);
    assert!(matches!(refuse(&clockwise, 1.0), MeshError::WrongSide { .. }));

    let hole_turned = region(vec![rectangle(10.0, 10.0), circle([5.0, 5.0], 2.0, 5)]);
    assert!(matches!(refuse(&hole_turned, 1.0), MeshError::WrongSide { stretch: Stretch::Side(5), .. }));

    let plain = region(vec![rectangle(10.0, 10.0)]);
    assert!(matches!(refuse(&plain, 0.0), MeshError::BadSize { .. }));
    assert!(matches!(refuse(&plain, f64::NAN), MeshError::BadSize { .. }));
    assert!(matches!(refuse(&plain, 0.001), MeshError::TooManyPoints { .. }));
    assert!(wanted_triangles(&plain, &|_| -1.0).is_nan());
}

#[test]
fn a_spent_budget_is_reported() {
    let shape = strip(0.8);
    let none = MeshSettings { max_added_points: 0, ..MeshSettings::default() };
    let mesh = triangulate(&shape.region, &*shape.size, &none).unwrap();
    assert!(!mesh.refinement_complete);
    mesh.check().unwrap();
}

#[test]
fn the_check_finds_what_is_broken() {
    let sound = mesh(&stadium(1.7));
    let fault = |spoil: &dyn Fn(&mut Mesh)| {
        let mut mesh = sound.clone();
        spoil(&mut mesh);
        mesh.check().unwrap_err()
    };
    assert!(matches!(fault(&|m| m.points.push([0.0, 0.0])), MeshFault::Unused { .. }));
    assert!(matches!(fault(&|m| m.points[3][0] = f64::NAN), MeshFault::NotFinite { node: 3 }));
    assert!(matches!(fault(&|m| m.triangles[5][2] = 1 << 30), MeshFault::NoSuchNode { .. }));
    assert!(matches!(fault(&|m| m.triangles[5].swap(0, 1)), MeshFault::Folded { triangle: 5, .. }));
    assert!(matches!(fault(&|m| m.triangles.push(m.triangles[0])), MeshFault::Doubled { .. }));
    assert!(matches!(fault(&|m| m.boundary.truncate(m.boundary.len() - 1)), MeshFault::FreeSide { .. }));
    assert!(matches!(fault(&|m| m.boundary[0].nodes.swap(0, 1)), MeshFault::Edge { .. }));
    assert!(matches!(fault(&|m| m.lines[0].nodes[2] = m.lines[1].nodes[2]), MeshFault::Middle { .. }));
    assert!(matches!(fault(&|m| m.boundary.swap(4, 9)), MeshFault::OpenBoundary { .. }));
}
