//! Shapes whose rests are known by hand.

use super::*;
use geometry::curve::Point;

/// A half circle about (0, y) that bulges away from the window's middle, or a flat edge.
fn arc(upper: bool, radius: f64, y: f64) -> Vec<Point> {
    let sign = if upper { 1.0 } else { -1.0 };
    (0..=2000)
        .map(|i| {
            let x = radius * (f64::from(i) / 1000.0 - 1.0);
            [x, y + sign * (radius * radius - x * x).max(0.0).sqrt()]
        })
        .collect()
}

fn line(half: f64, at_middle: f64, slope: f64) -> Vec<Point> {
    vec![[-half, at_middle - half * slope], [half, at_middle + half * slope]]
}

fn straps(upper: Vec<Point>, lower: Vec<Point>, width: f64, reach: f64) -> Seating {
    Seating {
        upper: Track::strap(true, upper, width, (-reach, reach)),
        lower: Track::strap(false, lower, width, (-reach, reach)),
    }
}

fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{found} is not {wanted}");
}

#[test]
fn parallel_flats_leave_the_middle_for_a_diagonal() {
    let seating = straps(line(20.0, 30.0, 0.0), line(20.0, -30.0, 0.0), 12.0, 14.0);
    let (rests, flat) = seating.rests();
    assert_eq!(rests.len(), 2, "{rests:?}");
    near(rests[0].upper_mm, 14.0, 1e-3);
    near(rests[0].lower_mm, -14.0, 1e-3);
    near(rests[1].upper_mm, -14.0, 1e-3);
    // 60 high, 28 across.
    near(rests[0].distance_mm, 60.0_f64.hypot(28.0), 1e-9);
    near(rests[0].share_of_starting_places + rests[1].share_of_starting_places + flat, 1.0, 1e-12);
    assert_eq!(seating.footing(0.0, 0.0), Footing::Unstable);
    assert_eq!(seating.footing(14.0, -14.0), Footing::Stable);
    assert_eq!(seating.footing(6.0, 0.0), Footing::Slides);
    assert_eq!(regime(&seating, &rests), Regime::NoPreferredPlace);
    // 6 mm apart over 60 mm: tangent 0.1 at both ends.
    let needed = seating.friction_needed(6.0, 0.0);
    near(needed[0], 0.1, 1e-9);
    near(needed[1], 0.1, 1e-9);
    // Both together stay anywhere with no friction at all.
    assert_eq!(seating.held_together(0.0), vec![[-14.0, 14.0]]);
}

#[test]
fn full_round_ends_rest_at_the_middle_of_the_arc() {
    let seating = straps(arc(true, 17.0, 26.0), arc(false, 17.0, -26.0), 11.0, 11.0);
    let (rests, _) = seating.rests();
    assert_eq!(rests.len(), 1, "{rests:?}");
    near(rests[0].upper_mm, 0.0, 2e-3);
    near(rests[0].lower_mm, 0.0, 2e-3);
    assert_eq!(seating.footing(0.0, 0.0), Footing::Stable);
    assert_eq!(regime(&seating, &rests), Regime::HeldInTheMiddle);
    // The mean height under a strap whose half width is h: (r^2 asin(h / r) + h sqrt(r^2 - h^2)) / (2 h) over the centre.
    let (r, h) = (17.0_f64, 5.5_f64);
    let mean = (r * r * (h / r).asin() + h * (r * r - h * h).sqrt()) / (2.0 * h);
    near(seating.upper.point(0.0)[1], 26.0 + mean, 1e-3);
    // A narrow strap at 17 sin 10 degrees needs the tangent of 10 degrees.
    let narrow = straps(arc(true, 17.0, 26.0), arc(false, 17.0, -26.0), 0.0, 12.0);
    let x = 17.0 * 10.0_f64.to_radians().sin();
    near(narrow.friction_needed(x, x)[0], 10.0_f64.to_radians().tan(), 2e-3);
    let held = narrow.held_together(10.0_f64.to_radians().tan());
    assert_eq!(held.len(), 1);
    near(held[0][1], x, 0.1);
}

#[test]
fn a_bar_in_a_larger_arc_keeps_the_difference_of_the_radii_from_its_centre() {
    let seating = Seating {
        upper: Track::bar(true, arc(true, 17.0, 26.0), 12.0, (-8.0, 8.0)),
        lower: Track::bar(false, arc(false, 17.0, -26.0), 12.0, (-8.0, 8.0)),
    };
    near(seating.upper.point(0.0)[1], 26.0 + 11.0, 1e-4);
    // Its centre runs on a circle of 17 - 6 = 11 mm.
    near(seating.upper.point(5.0)[1], 26.0 + (121.0_f64 - 25.0).sqrt(), 1e-3);
    near(seating.upper.slope(5.0), -5.0 / (121.0_f64 - 25.0).sqrt(), 5e-3);
    let (rests, _) = seating.rests();
    assert_eq!(rests.len(), 1);
    near(rests[0].distance_mm, 74.0, 1e-3);
}

#[test]
fn ends_that_slope_to_the_spine_hold_there_and_to_the_gate_draw_there() {
    // The upper end falls toward the gate, the lower rises: the window is longest at the spine.
    let slope = 10.0_f64.to_radians().tan();
    let at_spine = straps(line(20.0, 37.0, -slope), line(20.0, -37.0, slope), 12.0, 12.0);
    let (rests, _) = at_spine.rests();
    // The two diagonals are rests too: who starts far out on one stays there.
    assert_eq!(rests.len(), 3, "{rests:?}");
    assert!(rests[0].share_of_starting_places > 0.7);
    near(rests[0].upper_mm, -12.0, 1e-3);
    near(rests[0].lower_mm, -12.0, 1e-3);
    assert_eq!(regime(&at_spine, &rests), Regime::HeldAtTheSpine);
    near(at_spine.friction_needed(0.0, 0.0)[0], slope, 1e-9);
    assert_eq!(at_spine.footing(0.0, 0.0), Footing::Slides);
    // The lower load 6 mm nearer to the spine: the axis leans by that over the height, the upper end's normal by the slope. At
    // the lower end the two lean away from each other.
    let leans = (6.0 / (74.0 + 6.0 * slope)).atan();
    let needed = at_spine.friction_needed(0.0, -6.0);
    near(needed[0], (10.0_f64.to_radians() - leans).tan(), 1e-9);
    near(needed[1], (10.0_f64.to_radians() + leans).tan(), 1e-9);
    let at_gate = straps(line(20.0, 37.0, slope), line(20.0, -37.0, -slope), 12.0, 12.0);
    let (rests, _) = at_gate.rests();
    assert_eq!(regime(&at_gate, &rests), Regime::DrawnToTheGate);
    near(rests[0].upper_mm, 12.0, 1e-3);
}

#[test]
fn a_circle_of_diameters_is_neutral_ground() {
    // Two halves of one circle: every pair of opposite points is as far apart as any other.
    let seating = straps(arc(true, 30.0, 0.0), arc(false, 30.0, 0.0), 0.0, 15.0);
    assert_eq!(seating.footing(0.0, 0.0), Footing::Neutral);
    // The edge's polygon lies up to 4e-6 mm inside its arc.
    near(seating.distance_mm(5.0, -5.0), 60.0, 1e-5);
}

#[test]
fn straps_that_fill_the_window_have_no_room() {
    let seating = straps(line(20.5, 30.0, 0.0), line(20.5, -30.0, 0.0), 40.0, 0.5);
    let (rests, _) = seating.rests();
    assert_eq!(regime(&seating, &rests), Regime::NoRoom);
}

#[test]
fn ends_that_slope_the_same_way_draw_the_loads_aslant() {
    // Both ends rise toward the gate: the upper load runs there, the lower one to the spine.
    let slope = 12.0_f64.to_radians().tan();
    let seating = straps(line(20.0, 37.0, slope), line(20.0, -37.0, slope), 12.0, 12.0);
    let (rests, _) = seating.rests();
    near(rests[0].upper_mm, 12.0, 1e-3);
    near(rests[0].lower_mm, -12.0, 1e-3);
    assert_eq!(regime(&seating, &rests), Regime::Diagonal);
}
