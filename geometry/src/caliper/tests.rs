//! Readings by hand on plain shapes, and the way back.

use super::*;
use crate::connector::{LipOn, Pin};

fn close(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} against {b}");
}

/// Where the own value of a measure is sought, mm.
fn range(measure: Measure) -> [f64; 2] {
    match measure {
        Measure::OverallLength | Measure::ClearLength => [10.0, 500.0],
        Measure::UpperOverAll | Measure::LowerOverAll => [5.0, 300.0],
        Measure::TipOverBar => [2.0, 150.0],
        Measure::PinToPin | Measure::GateOpening => [2.0, 200.0],
    }
}

fn asked(measure: Measure, mm: f64) -> Asked {
    Asked { measure, mm, range_mm: range(measure) }
}

#[test]
fn a_plain_shape_reads_what_adds_up() {
    let mut connector = Connector::example();
    connector.spine.depth_mm = 12.0;
    connector.upper.depth_mm = 13.0;
    connector.window.lower_width_mm = 44.0;
    let read = Caliper::read(&connector).unwrap();
    close(read.overall_length_mm, 13.0 + 60.0 + 14.0, 1e-12);
    close(read.clear_length_mm, 60.0, 1e-12);
    close(read.upper_over_all_mm, 12.0 + 44.0 + 13.0, 1e-12);
    close(read.lower_over_all_mm, 12.0 + 44.0 + 14.0, 1e-12);
    close(read.tip_over_bar_mm, 14.0 + 13.0, 1e-12);
    // Nose pin: 14 - 4.5 - 2.15 below the upper edge, 6 - 2.15 out; hinge pin: 10 above the lower edge, half of 14 out.
    close(read.pin_to_pin_mm, (60.0_f64 - 7.35 - 10.0).hypot(7.0 - 3.85), 1e-12);
}

#[test]
fn sloping_ends_read_as_their_corners_stand() {
    // The upper end rises by 10 degrees: highest is the gate corner, its arc about a centre that is the same for both edges.
    let mut connector = Connector::example();
    connector.window.upper_slope_deg = 10.0;
    let read = Caliper::read(&connector).unwrap();
    let (tan, cos) = (10.0_f64.to_radians().tan(), 10.0_f64.to_radians().cos());
    // The centre lies 8 inside the gate side (x = 22) and 8 square below the slope.
    let centre = 30.0 + tan * 14.0 - 8.0 / cos;
    close(read.overall_length_mm, centre + 22.0 + 30.0 + 14.0, 1e-12);
    close(read.clear_length_mm, 60.0, 1e-12);
    close(read.tip_over_bar_mm, centre + 22.0 - (30.0 + tan * 22.0) + 14.0, 1e-12);
}

#[test]
fn a_blend_between_bars_reads_its_farthest_point() {
    let mut connector = Connector::example();
    connector.spine.depth_mm = 6.0;
    connector.upper.depth_mm = 20.0;
    // Along the upper spine corner the depth grows from that of the spine to that of the bar.
    let outline = Outline::try_new(&connector, GatePlace::Shut).unwrap();
    let far = (0..=200_000)
        .map(|i| outline.strip.outer(5, f64::from(i) / 2e5))
        .fold(f64::INFINITY, |x, p| x.min(p[0]));
    let [left, right] = touched(&connector, Measure::UpperOverAll).unwrap();
    assert!(left[0] <= far && far - left[0] < 1e-8, "{left:?} {far}");
    assert!(left[0] < -28.05);
    close(right[0], 42.0, 1e-12);
}

#[test]
fn the_mouth_opens_until_the_gate_lies_on_the_spine() {
    let mut connector = Connector::example();
    connector.window.upper_width_mm = 36.0;
    connector.window.lower_width_mm = 36.0;
    // Nose pin at (18 + 6 - 2.15, 22.65), hinge pin at (25, -20), gate 9 wide. Its end rests where its centre is 4.5 from the
    // spine's edge at -18.
    let long = (25.0_f64 - 21.85).hypot(42.65);
    let end = [-13.5, -20.0 + (long * long - 38.5 * 38.5).sqrt()];
    // From the tip's inner corner (18, 16) square to the line from the hinge pin to that end.
    let (along, to) = ([end[0] - 25.0, end[1] + 20.0], [18.0 - 25.0, 16.0 + 20.0]);
    let by_hand = (along[0] * to[1] - along[1] * to[0]).abs() / long - 4.5;
    let outline = Outline::try_new(&connector, GatePlace::Shut).unwrap();
    let opening = Opening::new(&outline);
    close(opening.clear_mm, by_hand, 1e-9);
    close(opening.on_nose[0], 18.0, 1e-9);
    close(opening.on_nose[1], 16.0, 1e-9);
    let apart = (opening.on_gate[0] - 18.0).hypot(opening.on_gate[1] - 16.0);
    close(apart, by_hand, 1e-9);
    let shut = 3.15_f64.atan2(42.65);
    close(opening.turned, (38.5 / long).asin() - shut, 1e-9);
}

fn shapes() -> Vec<Connector> {
    let mut leaning = Connector::example();
    leaning.window.inside_length_mm = 80.0;
    (leaning.window.upper_width_mm, leaning.window.lower_width_mm) = (50.0, 40.0);
    (leaning.window.upper_slope_deg, leaning.window.lower_slope_deg) = (8.0, -5.0);
    leaning.window.corner_radius_mm = [12.0, 11.0, 9.0, 10.0];
    (leaning.lower.depth_mm, leaning.spine.depth_mm) = (13.0, 12.0);
    (leaning.nose.tip_mm, leaning.hinge.height_mm) = (22.0, 14.0);
    let mut head = leaning.clone();
    head.nose.lip_on = LipOn::Gate;
    let mut round_ends = Connector::example();
    round_ends.window.inside_length_mm = 100.0;
    round_ends.window.corner_radius_mm = [22.0; 4];
    (round_ends.nose.tip_mm, round_ends.hinge.height_mm) = (26.0, 24.0);
    let mut big_lug = Connector::example();
    big_lug.hinge.lug_radius_mm = 8.0;
    big_lug.hinge.height_mm = 8.5;
    vec![Connector::example(), leaning, head, round_ends, big_lug]
}

#[test]
fn what_a_caliper_reads_leads_back() {
    const OWN: [&[Measure]; 4] = [
        &[Measure::OverallLength, Measure::ClearLength],
        &[Measure::UpperOverAll],
        &[Measure::LowerOverAll],
        &[Measure::TipOverBar, Measure::PinToPin],
    ];
    for connector in shapes() {
        let read = Caliper::read(&connector).unwrap();
        let alone = OWN.iter().copied().flatten().map(|measure| vec![*measure]);
        let together = OWN[0].iter().map(|length| {
            let mut all = vec![*length];
            all.extend(OWN[1..].iter().copied().flatten());
            all
        });
        for measures in alone.chain(together) {
            let asked: Vec<Asked> = measures.iter().map(|m| asked(*m, read.of(*m))).collect();
            let mut from = connector.clone();
            for measure in &measures {
                match measure {
                    Measure::OverallLength | Measure::ClearLength => from.window.inside_length_mm = f64::NAN,
                    Measure::UpperOverAll => from.window.upper_width_mm = f64::NAN,
                    Measure::LowerOverAll => from.window.lower_width_mm = f64::NAN,
                    Measure::TipOverBar => from.nose.tip_mm = f64::NAN,
                    _ => from.hinge.height_mm = f64::NAN,
                }
            }
            let found = connector_reading(&from, &asked, false).unwrap();
            let values = |c: &Connector| {
                let window = &c.window;
                [
                    window.inside_length_mm,
                    window.upper_width_mm,
                    window.lower_width_mm,
                    c.nose.tip_mm,
                    c.hinge.height_mm,
                ]
            };
            for (a, b) in values(&found).into_iter().zip(values(&connector)) {
                close(a, b, 1e-10);
            }
        }
    }
}

#[test]
fn a_lower_end_that_follows_is_as_wide_as_the_upper_one() {
    let asked = [asked(Measure::UpperOverAll, 74.0), asked(Measure::ClearLength, 66.0)];
    let found = connector_reading(&Connector::example(), &asked, true).unwrap();
    close(found.window.upper_width_mm, 46.0, 1e-10);
    close(found.window.inside_length_mm, 66.0, 1e-10);
    assert_eq!(found.window.lower_width_mm.to_bits(), found.window.upper_width_mm.to_bits());
}

#[test]
fn what_no_connector_reads_is_told_with_what_one_does() {
    let connector = Connector::example();
    let refused = |measure, mm| connector_reading(&connector, &[asked(measure, mm)], false).unwrap_err();
    // The radii of 8 take 16 of the upper end: 44 over all at least.
    let narrow = connector_reading(&connector, &[asked(Measure::UpperOverAll, 30.0)], true).unwrap_err();
    let [least, most] = narrow.possible_mm.unwrap();
    assert_eq!((narrow.measure, narrow.asked_mm), (Measure::UpperOverAll, 30.0));
    close(least, 44.0, 1e-8);
    close(most, 328.0, 1e-9);
    close(narrow.nearest_mm.unwrap(), least, 1e-9);
    // Pins 3.15 apart across cannot be 2 apart in all: 2 mm stay free between tip (14 down) and lug (7 above the pin). Nor are
    // they further apart than with the hinge pin where its leg begins, 8 up.
    let [near, far] = refused(Measure::PinToPin, 2.0).possible_mm.unwrap();
    close(near, (14.0_f64 + 2.0 + 7.0 - 7.35).hypot(3.15), 1e-9);
    close(far, (60.0_f64 - 7.35 - 8.0).hypot(3.15), 1e-9);
    assert_eq!(refused(Measure::PinToPin, 60.0).nearest_mm, Some(far));
    let tip = refused(Measure::TipOverBar, 20.0);
    // Radii may take a billionth of a millimetre more than there is.
    close(tip.possible_mm.unwrap()[0], 8.0 + 14.0, 1.1e-9);
    for measure in Measure::ALL.into_iter().filter(|measure| *measure != Measure::GateOpening) {
        for mm in [1e-9, 1.0, 1e4, 1e12] {
            assert!(connector_reading(&connector, &[asked(measure, mm)], false).is_err(), "{measure:?} {mm}");
        }
    }
}

#[test]
fn a_connector_without_an_outline_reads_nothing() {
    let mut connector = Connector::example();
    connector.window.corner_radius_mm = [40.0; 4];
    assert!(Caliper::read(&connector).is_err());
    *connector.pin_clearance_mut(Pin::Nose) = 0.2;
    assert!(touched(&connector, Measure::OverallLength).is_err());
}
