//! Hand-computed places, and properties over shapes.

use super::*;
use crate::connector::{Section, SectionShape};
use crate::mesh::{MeshSettings, triangulate};
use crate::sizes::Sizes;

fn close(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} against {b}");
}

fn leaning() -> Connector {
    let mut connector = Connector::example();
    connector.window.inside_length_mm = 80.0;
    connector.window.upper_width_mm = 50.0;
    connector.window.lower_width_mm = 40.0;
    connector.window.upper_slope_deg = 8.0;
    connector.window.lower_slope_deg = -5.0;
    connector.window.corner_radius_mm = [12.0, 11.0, 9.0, 10.0];
    connector.lower.depth_mm = 13.0;
    connector.spine.depth_mm = 12.0;
    connector.nose.tip_mm = 22.0;
    connector.hinge.height_mm = 14.0;
    connector
}

fn shapes() -> Vec<Connector> {
    let mut gate_lip = Connector::example();
    gate_lip.nose.lip_on = LipOn::Gate;
    let mut big_ear = Connector::example();
    big_ear.hinge.lug_radius_mm = 8.0;
    let mut round_ends = Connector::example();
    round_ends.window.inside_length_mm = 100.0;
    round_ends.window.corner_radius_mm = [22.0; 4];
    round_ends.nose.tip_mm = 26.0;
    round_ends.hinge.height_mm = 24.0;
    vec![Connector::example(), leaning(), gate_lip, big_ear, round_ends]
}

#[test]
fn pins_sit_where_the_numbers_say() {
    let outline = Outline::try_new(&Connector::example(), GatePlace::Shut).unwrap();
    let seats = &outline.seats;
    close(seats.nose_pin.centre[0], 22.0 + 6.0 - 2.15, 1e-12);
    close(seats.nose_pin.centre[1], 30.0 - 14.0 + 4.5 + 2.15, 1e-12);
    close(seats.hinge_pin.centre[0], 29.0, 1e-12);
    close(seats.hinge_pin.centre[1], -20.0, 1e-12);
    close(outline.frame_stations[0].centroid[0], -29.0, 1e-12);
    close(outline.frame_stations[0].centroid[1], 0.0, 1e-9);
}

#[test]
fn a_half_shut_pin_stands_with_its_leading_edge_past_the_mouth() {
    let outline = Outline::try_new(&Connector::example(), GatePlace::Half { engaged_mm: 2.5 }).unwrap();
    let pin = outline.seats.nose_pin;
    close(pin.centre[0] + pin.radius, 22.0 + 2.5, 1e-12);
    close(pin.centre[1], 22.65, 1e-12);
}

#[test]
fn undercut_turns_the_lip_so_that_it_rises_toward_the_mouth() {
    let mut connector = Connector::example();
    connector.nose.flank_angle_deg = 5.0;
    let outline = Outline::try_new(&connector, GatePlace::Shut).unwrap();
    let to_mouth = outline.seats.notch.to_mouth;
    assert!(to_mouth[0] < 0.0 && to_mouth[1] > 0.0, "{to_mouth:?}");
}

#[test]
fn a_place_is_found_again_from_its_point() {
    for connector in shapes() {
        let outline = Outline::try_new(&connector, GatePlace::Shut).unwrap();
        let strip = &outline.strip;
        for segment in 0..9 {
            if strip.path[segment].curve.length() < 0.1 {
                continue;
            }
            for t in [0.05, 0.3, 0.5, 0.8, 0.95] {
                for outward_mm in [0.1, 3.0, 6.0, 11.0] {
                    let place = Place { segment, t, outward_mm };
                    let found = strip.place(strip.point(place));
                    assert_eq!(found.segment, segment);
                    close(found.t, t, 1e-9);
                    close(found.outward_mm, outward_mm, 1e-9);
                }
            }
        }
    }
}

#[test]
fn the_end_of_the_ear_is_a_machined_block() {
    // Points beyond the hinge belong to the lug, not to the spine across the window.
    let connector = Connector::example();
    let outline = Outline::try_new(&connector, GatePlace::Shut).unwrap();
    let breadth = outline.frame_breadth(&connector, DEFAULT_FLOOR);
    for p in [[29.0, -17.0], [29.0, -13.5], [33.0, -18.0], [24.0, -17.5]] {
        close(breadth.at(p), 9.0, 1e-12);
    }
    // The nose likewise, and the bar's own chord at its middle and its edge.
    close(breadth.at([30.0, 17.0]), 9.0, 1e-12);
    close(breadth.at([-29.0, 0.0]), 11.0, 1e-12);
    close(breadth.at([-22.0, 0.0]), 0.01 * 11.0, 1e-9);
}

#[test]
fn sections_have_the_area_and_second_moment_of_the_real_bar() {
    let pi = std::f64::consts::PI;
    let round = Section { shape: SectionShape::Round, depth_mm: 10.0, breadth_mm: 10.0 };
    close(round.area_mm2() / (25.0 * pi), 1.0, 1e-5);
    close(round.second_moment_mm4() / (pi * 1e4 / 64.0), 1.0, 1e-5);
    // Rectangle of 3 between half circles of radius 5.5: 33 + 30.25 pi.
    let oval = Section { shape: SectionShape::Oval, depth_mm: 14.0, breadth_mm: 11.0 };
    close(oval.area_mm2() / (33.0 + 30.25 * pi), 1.0, 1e-5);
    let flat = Section { shape: SectionShape::Oval, depth_mm: 11.0, breadth_mm: 14.0 };
    close(flat.area_mm2() / (33.0 + 30.25 * pi), 1.0, 1e-5);
    let rectangle = Section { shape: SectionShape::Rectangle, depth_mm: 12.0, breadth_mm: 5.0 };
    close(rectangle.second_moment_mm4() / (5.0 * 1728.0 / 12.0), 1.0, 1e-5);
    // Two flanges 10 x 3 and a web 8 x 4.
    let i =
        Section { shape: SectionShape::I { flange_mm: 3.0, web_mm: 4.0 }, depth_mm: 14.0, breadth_mm: 10.0 };
    close(i.area_mm2() / (60.0 + 32.0), 1.0, 1e-4);
    let exact = 10.0 * 14.0_f64.powi(3) / 12.0 - 6.0 * 8.0_f64.powi(3) / 12.0;
    close(i.second_moment_mm4() / exact, 1.0, 0.01);
}

#[test]
fn every_shape_meshes_well_and_keeps_its_stations() {
    for connector in shapes() {
        for place in [GatePlace::Shut, GatePlace::Half { engaged_mm: 2.5 }] {
            let outline = Outline::try_new(&connector, place).unwrap();
            let sizes = Sizes::new(&outline, 1.3);
            let settings = MeshSettings::default();
            let frame = triangulate(&outline.frame, &|p| sizes.frame(p), &settings).unwrap();
            let gate = triangulate(&outline.gate, &|p| sizes.gate(p), &settings).unwrap();
            frame.check().unwrap();
            gate.check().unwrap();
            assert!(frame.min_angle_deg >= 25.0 && gate.min_angle_deg >= 25.0);
            for station in outline.frame_stations {
                assert!(frame.lines.iter().any(|e| e.stretch == station.stretch), "{:?}", station.stretch);
            }
        }
    }
}

#[test]
fn the_spine_station_lies_across_the_order_of_travel() {
    let outline = Outline::try_new(&leaning(), GatePlace::Shut).unwrap();
    for station in outline.frame_stations {
        let across = [station.outer[0] - station.inner[0], station.outer[1] - station.inner[1]];
        // The outside lies on the left of travel.
        let left = -station.along[1] * across[0] + station.along[0] * across[1];
        assert!(left > 0.0, "{:?}", station.stretch);
    }
    assert!(outline.frame_stations[0].is_beyond([-30.0, 5.0]));
}

#[test]
fn impossible_parameters_are_refused_with_their_numbers() {
    let refuse = |change: &dyn Fn(&mut Connector)| {
        let mut connector = Connector::example();
        change(&mut connector);
        Outline::try_new(&connector, GatePlace::Shut).unwrap_err()
    };
    assert!(matches!(refuse(&|c| c.nose.notch_depth_mm = 13.5)[..], [OutlineError::NotchTooDeep { .. }]));
    assert!(matches!(
        refuse(&|c| c.window.corner_radius_mm = [31.0; 4])[0],
        OutlineError::RadiiDoNotFit { .. }
    ));
    assert!(matches!(refuse(&|c| c.hinge.lug_radius_mm = 3.0)[..], [OutlineError::LugTooSmall { .. }]));
    assert!(matches!(refuse(&|c| c.hinge.lug_radius_mm = 18.0)[..], [OutlineError::LugTooLarge { .. }]));
    assert!(matches!(refuse(&|c| c.nose.tip_mm = 45.0)[0], OutlineError::NoOpening { .. }));
    assert!(matches!(refuse(&|c| c.gate.width_mm = 4.0)[0], OutlineError::PinWiderThanGate { .. }));
    let two = refuse(&|c| {
        c.nose.notch_depth_mm = 13.5;
        c.hinge.lug_radius_mm = 3.0;
    });
    assert!(
        matches!(
            two[..],
            [
                OutlineError::LugTooSmall { lug_mm: 3.0, .. },
                OutlineError::NotchTooDeep { depth_mm: 13.5, .. }
            ]
        ),
        "{two:?}"
    );
}
