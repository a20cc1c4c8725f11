//! Published limit loads.

use super::*;
use crate::plane::grid::grid;
use geometry::curve::Point;

fn flow(metal: &Metal) -> Flow {
    let mut linear = Linear::new(&metal.mesh, &metal.held).unwrap();
    let flow = least_dissipation(metal, &[], &mut linear).unwrap();
    eprintln!("{} iterations, {} above {}", flow.iterations, flow.dissipation, flow.dual);
    assert!(flow.relative_gap().abs() < 1e-3, "{flow:?}");
    flow
}

#[test]
fn a_plain_strip_bears_its_section() {
    // 10 x 4 x 2 at 100 MPa, ends free to narrow: 800 N.
    let mut metal = Metal::new(grid(6, 3, &|p| [10.0 * p[0], 4.0 * p[1]]), &|_| 2.0, 100.0);
    metal.drive(&|p| p[0] < 1e-9, 0, 0.0);
    metal.drive(&|p| p[0] > 10.0 - 1e-9, 0, 1.0);
    metal.drive(&|p: Point| p[0] < 1e-9 && p[1] < 1e-9, 1, 0.0);
    let flow = flow(&metal);
    assert!((flow.dissipation / 800.0 - 1.0).abs() < 1e-3);
}

#[test]
fn a_slender_cantilever_collapses_at_its_plastic_hinge() {
    // C5: s b h^2 / (4 L). Length 20 h: shear takes nothing that could be seen here.
    let (l, h, b, s) = (40.0, 2.0, 3.0, 250.0);
    let mut metal = Metal::new(grid(60, 8, &|p| [l * p[0] * p[0].sqrt(), h * (p[1] - 0.5)]), &|_| b, s);
    metal.hold(&|p| p[0] < 1e-9);
    metal.drive(&|p| p[0] > l - 1e-9, 1, 1.0);
    let found = flow(&metal).dissipation;
    let wanted = s * b * h * h / (4.0 * l);
    eprintln!("cantilever {}", found / wanted);
    assert!((found / wanted - 1.0).abs() < 0.03, "{found} {wanted}");
}

/// Quarter of a strip of half width 1 and half length 2.5 with a hole of radius `r`.
fn quarter_with_hole(r: f64) -> Metal {
    let map = |p: Point| {
        let angle = 0.5 * std::f64::consts::PI * p[1];
        let (sin, cos) = angle.sin_cos();
        // Outer edge: along x = 1 up to the corner, then back along y = 1.
        let reach = 1.0 / sin.max(cos);
        let radius = r + (reach - r) * p[0];
        [radius * cos, radius * sin]
    };
    let mut metal = Metal::new(grid(12, 24, &map), &|_| 1.0, 1.0);
    metal.drive(&|p| p[0] < 1e-9, 0, 0.0);
    metal.drive(&|p| p[1] < 1e-9, 1, 0.0);
    metal
}

#[test]
fn a_strip_with_a_hole_bears_its_ligament() {
    // C8: gross stress over strength is 1 - d / W. The square quarter is loaded over its end, which moves as one.
    for ratio in [0.2, 0.4, 0.6] {
        let mut metal = quarter_with_hole(ratio);
        metal.drive(&|p| p[1] > 1.0 - 1e-9, 1, 1.0);
        let found = flow(&metal).dissipation;
        eprintln!("hole {ratio}: {found}");
        assert!((found / (1.0 - ratio) - 1.0).abs() < 0.02, "{ratio}: {found}");
    }
}

#[test]
fn a_deep_double_notch_is_held_in_and_a_shallow_one_less() {
    // C9: net stress over strength 2 / sqrt 3 when the notch is deeper than 0.286 of the half width, 1 + 0.54 a / w below
    // (Hill 1952; Ewing and Richards 1974). Quarter: ligament along y = 0 from x = 0 to 1 - a.
    for (depth, wanted) in [(0.5, 1.1547), (0.15, 1.0 + 0.54 * 0.15)] {
        let net = 1.0 - depth;
        let columns = 40;
        let ligament = (f64::from(columns) * net).round();
        // Columns meet the notch's tip.
        let x = |p: f64| {
            let i = p * f64::from(columns);
            if i <= ligament { net * i / ligament } else { net + depth * (i - ligament) / (f64::from(columns) - ligament) }
        };
        let mut metal = Metal::new(grid(columns, 48, &|p| [x(p[0]), 2.0 * p[1] * p[1].sqrt()]), &|_| 1.0, 1.0);
        metal.drive(&|p| p[0] < 1e-9, 0, 0.0);
        metal.drive(&|p| p[1] < 1e-9 && p[0] < net + 1e-9, 1, 0.0);
        metal.drive(&|p| p[1] > 2.0 - 1e-9, 1, 1.0);
        let found = flow(&metal).dissipation / net;
        eprintln!("notch {depth}: {found}");
        assert!((found / wanted - 1.0).abs() < 0.03, "{depth}: {found}");
    }
}
