//! Strength of whole connectors, on the broad bar of the examples.

use super::*;
use crate::findings::{GateLineThen, Gone, NodalStress, findings};
use crate::material::{Materials, library};
use crate::response::{Hold, Pull, held_from_mm, hold, lean, section_forces};
use crate::rig::{GateState, Loader, Rig, RigEnd};
use crate::sections::Cut;
use crate::system::{System, SystemSettings};
use geometry::connector::{Connector, GatePlace, LipOn, Pin, Section, SectionShape};
use geometry::outline::{Across, Along, Bar, FrameLocation, Outline};

fn system_of(connector: &Connector) -> System {
    system_at(connector, GatePlace::Shut)
}

fn system_at(connector: &Connector, place: GatePlace) -> System {
    System::try_new(connector, place, &metals(), &SystemSettings::default()).unwrap()
}

fn metals() -> Materials {
    let material = |key: &str| library::find(key).unwrap().material();
    Materials { frame: material("7075-t6"), gate: material("7075-t6"), pins: material("4340-180") }
}

fn strengths(system: &System) -> Strengths {
    Strengths::new(&system.connector, &metals())
}

fn pulled(system: &System, rig: &Rig) -> Limits {
    limits(system, &strengths(system), rig).unwrap()
}

fn line(system: &System) -> Vec<Capacity> {
    gate_line(system, &strengths(system), 0.2)
}

fn straps(width_mm: f64, offset_mm: f64, gate: GateState) -> Rig {
    let end = Loader::Strap { width_mm, offset_mm, stiffness_n_per_mm2: 100.0, strength_kn: None };
    Rig { load_kn: 10.0, gate, friction: 0.2, upper: end, lower: end }
}

fn limits_of(system: &System, width_mm: f64, offset_mm: f64, gate: GateState) -> Limits {
    pulled(system, &straps(width_mm, offset_mm, gate))
}

#[track_caller]
fn near(what: &str, found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{what}: {found} is not {wanted} within {tolerance}");
}

impl Limits {
    #[track_caller]
    fn at(&self, what: FailureMode) -> f64 {
        let limit = self.limits.iter().find(|l| l.what == what).unwrap_or_else(|| panic!("no {what:?}"));
        limit.at_kn.unwrap_or(f64::INFINITY)
    }
}

#[test]
fn the_gate_of_the_broad_bar_goes_first_under_wide_straps_and_later_the_hook() {
    let system = system_of(&Connector::example());
    let even = limits_of(&system, 40.0, 0.0, GateState::Closed);
    // The gate's lug holds 11.15 kN (an independent limit analysis), of which the gate's share is 0.44 at that load.
    assert_eq!(even.fails_first, FailureMode::Gate(Pin::Hinge, LugFailure::TornOut));
    near("40 mm centred", even.peak_kn, 11.15 / 0.44, 0.5);
    assert!(even.peak_kn >= 20.0 && even.ends == Ends::Breaks);

    let at_gate = limits_of(&system, 12.0, 15.0, GateState::Closed);
    assert_eq!(at_gate.fails_first, even.fails_first);
    let share = |width: f64, offset: f64, load_kn: f64| {
        let rig = Rig { load_kn, ..straps(width, offset, GateState::Closed) };
        Sample::new(&system, &system.respond(&rig).unwrap()).gate_fraction
    };
    let shares = share(12.0, 15.0, at_gate.fails_at_kn) / share(40.0, 0.0, even.fails_at_kn);
    near("ratio of forecasts", even.peak_kn / at_gate.peak_kn / shares, 1.0, 0.05);
    near("12 mm at +15 over 40 mm centred", at_gate.peak_kn / even.peak_kn, 0.6, 0.1);
    let spine = FrameLocation::Bar(Bar::Spine, Along::EitherEnd, Across::Inner);
    assert_eq!((at_gate.tears_at, at_gate.ends), (Some(spine), Ends::Breaks));
    near("share of the gate as it breaks", at_gate.course.gate_fraction, 0.72, 0.005);
    assert!(at_gate.open_hook_kn < at_gate.fails_at_kn, "{at_gate:?}");

    let open = limits_of(&system, 40.0, 0.0, GateState::Open);
    let part = open.peak_kn / even.peak_kn;
    assert!((0.25..=0.5).contains(&part), "open over closed: {part}");
    assert_eq!(open.ends, Ends::Opens);
    assert_eq!(open.peak_kn, even.open_hook_kn);
    // 537.5 MPa on a plastic modulus of 389 mm^3 and an arm of 22 + 7 mm, the axial force taking a little off.
    let narrow = limits_of(&system, 12.0, 0.0, GateState::Open);
    near("open hook, narrow straps", narrow.peak_kn, 537.5 * 389.2 / 29.0 / 1e3, 0.12);
    // Grips that do not rotate move a wide strap's resultant toward the spine: the arm is shorter by as much.
    let shift = |width: f64| {
        let response = system.respond(&straps(width, 0.0, GateState::Open)).unwrap();
        let stress = NodalStress::new(&system, &response);
        findings(&system, &metals(), &response, &stress).unwrap().rig.upper.resultant_mm
    };
    assert!(shift(40.0) < -4.0, "{}", shift(40.0));
    let by_arms = narrow.peak_kn * (29.0 + shift(12.0)) / (29.0 + shift(40.0));
    near("open hook, wide straps, by the arm", open.peak_kn / by_arms, 1.0, 0.01);
    near("19 % more than an even pull holds", open.peak_kn / narrow.peak_kn, 1.19, 0.03);
}

#[test]
fn a_pin_on_the_lips_corner_is_held_only_by_the_friction_that_the_corner_asks_for() {
    // Radius 2: at 0.5 mm engaged the centre is 1.5 mm outside, the normal turned by asin(1.5 / 2) = 48.6 degrees.
    let at = |engaged_mm: f64, friction: f64| {
        let system = system_at(&Connector::example(), GatePlace::Half { engaged_mm });
        let rig = Rig { friction, ..straps(12.0, 0.0, GateState::Half { engaged_mm }) };
        let flank = lean(&system.outline.seats, LipOn::Frame);
        (hold(&system, rig.gate, friction), pulled(&system, &rig), flank)
    };
    let (held, found, flank) = at(0.5, 0.2);
    let Hold::NotHeld(leans) = held else { panic!("{held:?}") };
    near("turn, deg", (leans - flank).to_degrees(), 48.59, 0.01);
    assert_eq!(found.fails_first, FailureMode::RidesOut);
    assert_eq!((found.peak_kn, found.ends), (found.open_hook_kn, Ends::Opens));
    // Just above the depth that is told it is held, just below it is not.
    let from = held_from_mm(&Connector::example(), 0.2).unwrap();
    assert!(from > 0.5 && from < 2.0, "{from}");
    assert!(!at(from - 0.01, 0.2).0.holds() && at(from + 0.01, 0.2).0.holds(), "{from}");
    // On the flank nothing has changed, and at the corner's end the two agree.
    assert!(at(2.001, 0.2).0.holds() && at(1.999, 0.2).0.holds());
    near("across the corner", at(1.999, 0.2).1.peak_kn / at(2.001, 0.2).1.peak_kn, 1.0, 1e-3);
}

#[test]
fn small_parts_computed_stand_beside_their_formulas() {
    let found = {
        let system = system_of(&Connector::example());
        computed_limits(&system, &strengths(&system), 0.2)
    };
    let of = |what: FailureMode| found.iter().find(|c| c.what == what).unwrap();
    // An independent limit analysis (cone programmes, a strict lower bound): 11.12 to 11.60 kN with 1.2 mm of flank and 40
    // degrees, 11.8 with 2 mm and 60 degrees; with 0.7 mm and 25 degrees, on finer meshes than its 9.4 kN was found on, 7.98
    // strictly below and 8.2 to 8.6 above. The patch that the contact finds lies between.
    let lip = of(FailureMode::Lip);
    let (narrow, deep) = (lip.narrow_kn.unwrap(), lip.deep_kn.unwrap());
    assert!(narrow > 7.98 && narrow < 8.61, "{narrow}");
    assert!(narrow < lip.computed_kn && lip.computed_kn < deep && deep < 11.8, "{lip:?}");
    assert!(lip.computed_kn > 11.12 && lip.computed_kn < 11.60, "{lip:?}");
    assert!(
        (0.6..1.6).contains(&lip.flank_mm.unwrap()) && (10.0..40.0).contains(&lip.arc_deg.unwrap()),
        "{lip:?}"
    );
    assert!(lip.far && lip.decides && (lip.by_hand_kn - 8.99).abs() < 0.01, "{lip:?}");
    let root = of(FailureMode::NoseRoot);
    near("root", root.computed_kn / 12.98, 1.0, 0.06);
    assert!(!root.decides && !root.far && root.by_hand_kn < root.computed_kn, "{root:?}");
    let lug = of(FailureMode::Gate(Pin::Hinge, LugFailure::TornOut));
    near("lug", lug.computed_kn / 11.15, 1.0, 0.02);
    assert!(
        lug.narrow_kn.unwrap() < lug.by_hand_kn && lug.by_hand_kn < lug.computed_kn && !lug.far,
        "{lug:?}"
    );
    assert!(found.is_sorted_by(|a, b| a.computed_kn <= b.computed_kn));
    // The limits say the same.
    let limits = limits_of(&system_of(&Connector::example()), 12.0, 0.0, GateState::Closed);
    let by_hand = limits.limits.iter().find(|l| l.what == FailureMode::Lip).unwrap().by_hand.unwrap();
    assert!(by_hand.far && (by_hand.excess - (8.991 / lip.computed_kn - 1.0)).abs() < 1e-3, "{by_hand:?}");
}

#[test]
fn what_goes_first_is_told_first() {
    // The example opens at 21.9 kN, its gate line holds some 26 kN of pull.
    let system = system_of(&Connector::example());
    let mut rig = Rig { load_kn: 30.0, ..straps(12.0, 0.0, GateState::Closed) };
    let told = beyond(&system, &strengths(&system), &system.respond(&rig).unwrap());
    let opened = Gone::FrameOpened { pin_not_held: false, gate_line: GateLineThen::Whole };
    assert!(told.len() == 2 && told[0].gone == opened, "{told:?}");
    near("the frame would have opened", told[0].at_kn, 21.9, 0.05);
    let Loader::Strap { strength_kn, .. } = &mut rig.lower else { panic!("a strap") };
    *strength_kn = Some(8.0);
    let told = beyond(&system, &strengths(&system), &system.respond(&rig).unwrap());
    assert!(told.len() == 3, "{told:?}");
    assert_eq!((told[0].gone, told[0].at_kn, told[0].load_kn), (Gone::Strap(RigEnd::Lower), 8.0, 30.0));
}

#[test]
fn a_frame_whose_gate_line_goes_first_is_told_as_the_open_hook_that_is_left() {
    // With a slender pin the gate line holds little, and the hook that is left opens where the forecast ends.
    let mut slender = Connector::example();
    slender.nose.pin_diameter_mm = 2.0;
    let system = system_of(&slender);
    let rig = Rig { load_kn: 30.0, ..straps(12.0, 0.0, GateState::Closed) };
    let told = beyond(&system, &strengths(&system), &system.respond(&rig).unwrap());
    let forecast = limits_of(&system, 12.0, 0.0, GateState::Closed);
    assert!(matches!(forecast.fails_first, FailureMode::Pin(Pin::Nose, _)), "{forecast:?}");
    assert_eq!(forecast.ends, Ends::Opens);
    let opened = Gone::FrameOpened { pin_not_held: false, gate_line: GateLineThen::GoneBefore };
    let told_opened = told.iter().find(|beyond| beyond.gone == opened).unwrap();
    near("the frame would have opened", told_opened.at_kn, forecast.peak_kn, 0.05);
    assert!(matches!(told[0].gone, Gone::GateLine { .. }), "{told:?}");
}

#[test]
fn a_slender_pin_is_bent_through_and_ends_the_pull() {
    let mut slender = Connector::example();
    slender.nose.pin_diameter_mm = 2.4;
    let found = limits_of(&system_of(&slender), 12.0, 0.0, GateState::Closed);
    assert_eq!(
        (found.fails_first, found.ends),
        (FailureMode::Pin(Pin::Nose, PinFailure::BentThrough), Ends::Breaks)
    );
    assert!(found.at(FailureMode::Pin(Pin::Nose, PinFailure::Bent)) < found.fails_at_kn);
}

#[test]
fn a_lip_narrower_than_its_nose_leaves_the_pin_more_to_span() {
    let force = |lip_breadth_mm: f64| {
        let mut connector = Connector::example();
        connector.nose.lip_breadth_mm = lip_breadth_mm;
        let parts = line(&system_of(&connector));
        parts.iter().find(|p| p.what == FailureMode::Pin(Pin::Nose, PinFailure::BentThrough)).unwrap().force_n
    };
    // F / 2 (F / (2 p) + gap) = M with p = 858 * 4 N/mm and M = 1241 * 64 / 6 N mm; 1 mm of lip on each side is 1 mm of gap.
    let by_hand = |gap: f64| {
        let (p, m): (f64, f64) = (858.0 * 4.0, 1241.0 * 64.0 / 6.0);
        -p * gap + ((p * gap).powi(2) + 4.0 * p * m).sqrt()
    };
    near("as broad as the nose", force(9.0) / by_hand(0.5), 1.0, 1e-3);
    near("narrower", force(7.0) / by_hand(1.5), 1.0, 1e-3);
}

#[test]
fn a_side_that_full_round_ends_leave_no_length_is_no_section() {
    // Half the width as radius: rounding leaves an end a straight of some 1e-15 mm, whose direction is noise.
    let mut before: Option<f64> = None;
    for step in 0..40 {
        let mut oval = Connector::example();
        oval.window.upper_width_mm = 34.0;
        oval.window.lower_width_mm = 34.0;
        oval.window.corner_radius_mm = [17.0; 4];
        oval.window.lower_slope_deg = -2.0 + 0.1 * f64::from(step);
        oval.nose.tip_mm = 24.0;
        oval.hinge.height_mm = 20.0;
        let outline = Outline::try_new(&oval, GatePlace::Shut);
        let Ok(outline) = outline else { continue };
        let settings = SystemSettings { unknowns: 6000.0, ..SystemSettings::default() };
        let material = library::find("7075-t6").unwrap().material();
        let materials = Materials { frame: material.clone(), gate: material.clone(), pins: material };
        let system = System::try_new(&oval, GatePlace::Shut, &materials, &settings).unwrap();
        for cut in system.cuts() {
            // A section runs square to the bar: as deep as the bar is there, and its middle lies in the bar.
            let place = outline.strip.place(cut.centroid);
            let (inner, outer) = outline.strip.edges(place.segment, place.t);
            near("depth", cut.limit.depth_mm() / (outer - inner), 1.0, 0.05);
            assert!(place.outward_mm > inner && place.outward_mm < outer);
        }
        let rig = straps(11.0, 0.0, GateState::Open);
        let opens = pulled(&system, &rig).peak_kn;
        if let Some(before) = before {
            near("open hook from 0.1 degree to the next", opens / before, 1.0, 0.01);
        }
        before = Some(opens);
    }
    assert!(before.is_some());
}

#[test]
fn yield_bending_and_break_stay_apart() {
    let system = system_of(&Connector::example());
    let found = limits_of(&system, 40.0, 0.0, GateState::Closed);
    let yields = found.first_yield_kn.unwrap();
    assert!(yields < found.bends_at_kn && found.bends_at_kn < found.at(FailureMode::FrameOpens));
    // The pin bends long before it is sheared, and that ends nothing.
    assert!(found.at(FailureMode::Pin(Pin::Nose, PinFailure::Bent)) < found.fails_at_kn);
    assert!(found.limits.is_sorted_by(|a, b| a.at_kn <= b.at_kn || b.at_kn.is_none()));
    assert!(found.limits.iter().all(|l| !l.inputs.is_empty()));
}

#[test]
fn pins_go_by_their_areas_and_a_thin_hinge_pin_goes_first() {
    let system = system_of(&Connector::example());
    let found = limits_of(&system, 40.0, 0.0, GateState::Closed);
    // Loads differ from forces by the engagement only.
    let ratio = found.at(FailureMode::Pin(Pin::Hinge, PinFailure::Sheared))
        / found.at(FailureMode::Pin(Pin::Nose, PinFailure::Sheared));
    near("ratio of the pins' loads", ratio, 25.0 / 16.0, 0.01);
    let parts = line(&system);
    let force = |what: FailureMode| parts.iter().find(|p| p.what == what).unwrap().force_n;
    near(
        "ratio of areas",
        force(FailureMode::Pin(Pin::Hinge, PinFailure::Sheared))
            / force(FailureMode::Pin(Pin::Nose, PinFailure::Sheared)),
        25.0 / 16.0,
        1e-12,
    );

    let mut thin = Connector::example();
    thin.hinge.pin_diameter_mm = 2.5;
    let found = limits_of(&system_of(&thin), 40.0, 0.0, GateState::Closed);
    // Slender between walls 3 mm thick with 0.5 mm of clearance, it is bent through before it is sheared.
    assert_eq!(found.fails_first, FailureMode::Pin(Pin::Hinge, PinFailure::BentThrough));
    assert!(
        found.at(FailureMode::Pin(Pin::Hinge, PinFailure::Sheared))
            < found.at(FailureMode::Pin(Pin::Nose, PinFailure::Sheared))
    );
}

/// Part of the turn that lets the pin out which is used up where the frame opens.
fn turn_used(found: &Limits) -> f64 {
    let limit = found.limits.iter().find(|l| l.kind == LimitKind::Slips).unwrap();
    let of = |what: Quantity| limit.inputs.iter().find(|i| i.quantity == what).unwrap().value;
    of(Quantity::TurnWhereFrameOpens) / of(Quantity::TurnToLeave)
}

#[test]
fn a_notch_deeper_than_the_pin_needs_buys_nothing_and_costs_the_nose_root() {
    let depths = [2.5, 3.0, 3.5, 4.0, 4.15, 4.5, 5.0, 6.0, 7.0, 7.5, 8.0, 9.0];
    let mut flank = Vec::new();
    let mut found = Vec::new();
    for depth in depths {
        let mut connector = Connector::example();
        connector.nose.notch_depth_mm = depth;
        let system = system_of(&connector);
        let parts = line(&system);
        flank.push(parts.iter().find(|p| p.what == FailureMode::Flank).unwrap().force_n);
        found.push(limits_of(&system, 40.0, 0.0, GateState::Closed));
    }
    let kink = 4;
    for i in 1..depths.len() {
        let grown = flank[i] - flank[i - 1];
        // Force on the flank: 9 mm at 1.5 * 572 MPa for each mm of depth, up to 2 r + clearance.
        let wanted = if i <= kink { 9.0 * 858.0 * (depths[i] - depths[i - 1]) } else { 0.0 };
        near("flank", grown, wanted, 1.0);
        let [before, after] = [&found[i - 1], &found[i]];
        // The pin is held at every depth until the frame opens: riding out never comes earlier.
        assert!(after.at(FailureMode::RidesOut) >= before.at(FailureMode::RidesOut));
        // A deeper seat turns less, from where the gate line holds as much as it ever does until the notch has thinned the
        // nose: judged from 3.5 to 7.5 mm.
        if depths[i - 1] >= 3.5 && depths[i] <= 7.5 {
            assert!(turn_used(after) < turn_used(before), "at {}", depths[i]);
        }
        assert!(after.at(FailureMode::NoseRoot) < before.at(FailureMode::NoseRoot));
        // The lip needs flank for its pin to bed in on: up to 3.5 mm a deeper notch holds more, then less by up to 3 % a step
        // while its own root does not flow.
        let lip = after.at(FailureMode::Lip) / before.at(FailureMode::Lip);
        match depths[i] {
            d if d <= 3.5 => assert!(lip > 1.1, "lip at {d}: {lip}"),
            d if d <= 6.0 => near("lip", lip, 1.0, 0.03),
            d => assert!(lip < 1.0, "lip at {d}: {lip}"),
        }
        let envelope =
            [FailureMode::Lip, FailureMode::NoseRoot, FailureMode::Gate(Pin::Hinge, LugFailure::TornOut)]
                .map(|what| after.at(what))
                .into_iter()
                .fold(f64::INFINITY, f64::min);
        near("envelope", after.peak_kn, envelope, 1e-9);
    }
    let first = |depth: f64| &found[depths.iter().position(|d| *d == depth).unwrap()];
    assert_eq!(first(3.0).fails_first, FailureMode::Lip);
    assert_eq!(first(6.0).fails_first, FailureMode::Gate(Pin::Hinge, LugFailure::TornOut));
    assert_eq!(first(7.0).fails_first, FailureMode::NoseRoot);
    assert!(first(9.0).peak_kn < 0.8 * first(7.0).peak_kn);
}

#[test]
fn a_bar_between_two_cuts_bends_as_on_two_supports() {
    let system = system_of(&Connector::example());
    let straight =
        |x: f64| Cut::new(&system.outline.strip, &system.breadth, [[x, 30.0], [x, 44.0]], [1.0, 0.0]);
    let cuts = [straight(-12.0), straight(0.0), straight(12.0)];
    for width in [4.0, 12.0, 20.0] {
        let load = load_parts(&system, &straps(width, 0.0, GateState::Closed), &cuts);
        let gate = gate_parts(&system, &cuts);
        // F (L / 4 - b / 8) over a span of 24 mm, whatever the gate carries.
        for share in [0.0, 0.43] {
            let m = [0, 1, 2].map(|i| load[i][1] + share * gate[i][1]);
            let sag = 0.5 * (m[0] + m[2]) - m[1];
            near("moment of a bar", sag / (24.0 / 4.0 - width / 8.0), 1.0, 0.02);
        }
    }
}

#[test]
fn narrow_straps_bend_the_upper_bar_by_33_newton_metres_more() {
    let system = system_of(&Connector::example());
    let moment = |width: f64| {
        let response = system.respond(&straps(width, 0.0, GateState::Closed)).unwrap();
        section_forces(&system, &response, &system.outline.frame_stations[1]).moment_nm
    };
    near("12 mm less 40 mm", moment(12.0) - moment(40.0), -33.0, 2.0);
}

#[test]
fn statics_agree_with_the_elements_where_the_gates_force_is_theirs() {
    let system = system_of(&Connector::example());
    for offset in [-15.0, 0.0, 15.0] {
        let rig = straps(12.0, offset, GateState::Closed);
        let response = system.respond(&rig).unwrap();
        let nose_n = Sample::new(&system, &response).nose_n;
        for station in &system.outline.frame_stations[..3] {
            let cut = [Cut::at_station(&system.outline.strip, &system.breadth, station)];
            let (load, gate) = (load_parts(&system, &rig, &cut)[0], gate_parts(&system, &cut)[0]);
            let [axial, moment] = [0, 1].map(|i| 1e4 * load[i] + nose_n * gate[i]);
            let solved = section_forces(&system, &response, station);
            near("axial, kN", 1e-3 * axial, solved.axial_kn, 0.02);
            // The strap's resultant moves by up to 0.3 mm with its uneven pull: 3 N m at 10 kN.
            near("moment, N m", 1e-3 * moment, solved.moment_nm, 4.0);
        }
    }
}

#[test]
fn a_half_shut_gate_bears_less_the_less_it_is_engaged() {
    let mut before = 0.0;
    let shut = gate_line_force_n(&line(&system_of(&Connector::example())));
    let lip_at = |engaged_mm: f64| {
        let parts = line(&system_at(&Connector::example(), GatePlace::Half { engaged_mm }));
        parts.iter().find(|p| p.what == FailureMode::Lip).unwrap().force_n
    };
    let at_the_mouth = lip_at(2.0);
    for engaged_mm in [0.4, 0.8, 1.5, 2.5, 4.0, 5.5] {
        let system = system_at(&Connector::example(), GatePlace::Half { engaged_mm });
        let rig = Rig { friction: 0.3, ..straps(40.0, 0.0, GateState::Half { engaged_mm }) };
        let found = pulled(&system, &rig);
        let parts = line(&system);
        // The flank carries the engaged width only: 9 mm at 858 MPa.
        let flank = parts.iter().find(|p| p.what == FailureMode::Flank).unwrap();
        near("flank", flank.force_n, 9.0 * 858.0 * engaged_mm.min(4.0), 1.0);
        // A pin whose centre is outside the mouth presses on the lip's corner, with the part of its radius that is inside;
        // by hand on a cantilever of 6 mm: 572 * 9 * 4.5^2 / 24 N in bending and 13 405.5 N in shear.
        let lip = parts.iter().find(|p| p.what == FailureMode::Lip).unwrap();
        if engaged_mm <= 2.0 {
            // The line of the pins leans by up to a degree less there.
            near("lip", lip.force_n / (0.5 * engaged_mm * at_the_mouth), 1.0, 0.01);
            near("by hand", lip.by_hand_n.unwrap(), 1.0 / (1.0_f64 / 4343.6).hypot(1.0 / 13_405.5), 1.0);
        }
        let force = gate_line_force_n(&parts);
        assert!(force >= before && force < shut, "{engaged_mm}: {force} N after {before} N, shut {shut} N");
        before = force;
        // Friction of 0.3 begins to hold the pin on the lip's corner at some 1.1 mm.
        let held = engaged_mm > held_from_mm(&Connector::example(), 0.3).unwrap();
        let first = if held { FailureMode::Lip } else { FailureMode::RidesOut };
        assert_eq!(found.fails_first, first, "{engaged_mm}");
        assert_eq!(found.course.held.holds(), held, "{engaged_mm}");
    }
}

#[test]
fn a_shallow_notch_with_little_friction_lets_the_pin_out() {
    let mut connector = Connector::example();
    connector.nose.notch_depth_mm = 2.5;
    connector.nose.flank_angle_deg = -9.0;
    let system = system_of(&connector);
    let rig = Rig { friction: 0.01, ..straps(40.0, 0.0, GateState::Closed) };
    let found = pulled(&system, &rig);
    assert_eq!(found.fails_first, FailureMode::RidesOut);
    assert!(
        found.fails_at_kn > 1.0 && found.fails_at_kn < found.at(FailureMode::Lip),
        "{}",
        found.fails_at_kn
    );
    // More friction holds it longer.
    let rougher = pulled(&system, &Rig { friction: 0.012, ..rig });
    assert!(rougher.at(FailureMode::RidesOut) > found.fails_at_kn);
    assert_eq!(found.course.kind, LimitKind::Slips);
}

#[test]
fn a_deeper_notch_never_lets_the_pin_out_earlier() {
    // Slippery enough that the pin leaves within the pull at every one of these depths.
    let leaves = [2.4, 2.5, 2.6].map(|depth| {
        let mut connector = Connector::example();
        connector.nose.notch_depth_mm = depth;
        connector.nose.flank_angle_deg = -9.0;
        let rig = Rig { friction: 0.02, ..straps(40.0, 0.0, GateState::Closed) };
        pulled(&system_of(&connector), &rig).at(FailureMode::RidesOut)
    });
    assert!(leaves.iter().all(|kn| kn.is_finite() && *kn > 1.0), "{leaves:?}");
    assert!(leaves[0] < leaves[1] && leaves[1] < leaves[2], "{leaves:?}");
}

#[test]
fn a_pin_without_friction_rides_out_of_a_flank_that_leans_out() {
    let mut connector = Connector::example();
    // A flank that falls toward the mouth by 6 degrees, more than the pin line's lean of 4.2 into the notch.
    connector.nose.flank_angle_deg = -6.0;
    let system = system_of(&connector);
    near("lean", lean(&system.outline.seats, LipOn::Frame).to_degrees(), 6.0 - 4.2, 0.3);
    let slippery = Rig { friction: 0.01, ..straps(40.0, 0.0, GateState::Closed) };
    let found = pulled(&system, &slippery);
    assert_eq!((found.fails_first, found.fails_at_kn), (FailureMode::RidesOut, 0.0));
    // The hook is then all there is.
    assert_eq!((found.peak_kn, found.ends), (found.open_hook_kn, Ends::Opens));
}

#[test]
fn a_weak_strap_goes_before_the_connector() {
    let system = system_of(&Connector::example());
    let end =
        Loader::Strap { width_mm: 40.0, offset_mm: 0.0, stiffness_n_per_mm2: 100.0, strength_kn: Some(15.0) };
    let rig = Rig { upper: end, ..straps(40.0, 0.0, GateState::Closed) };
    let found = pulled(&system, &rig);
    assert_eq!((found.fails_first, found.peak_kn), (FailureMode::Strap(RigEnd::Upper), 15.0));
    assert_eq!((found.ends, found.tears_at), (Ends::Strap, None));
}

#[test]
fn lips_inside_the_gate_are_judged_by_the_gates_metal() {
    let mut connector = Connector::example();
    connector.nose.lip_on = LipOn::Gate;
    connector.gate.width_mm = 12.0;
    let system = system_of(&connector);
    let parts = line(&system);
    for part in [FailureMode::Lip, FailureMode::NoseHead, FailureMode::BehindNotch, FailureMode::NoseRoot] {
        assert!(parts.iter().any(|p| p.what == part && p.force_n > 0.0), "{part:?}");
    }
    let found = limits_of(&system, 12.0, 0.0, GateState::Closed);
    assert!(found.peak_kn > 1.0 && found.peak_kn < 60.0, "{}", found.peak_kn);
}

#[test]
fn the_load_that_a_rig_states_does_not_move_its_limits() {
    let system = system_of(&Connector::example());
    let at = |load_kn| {
        let rig = Rig { load_kn, ..straps(40.0, 0.0, GateState::Closed) };
        pulled(&system, &rig).peak_kn
    };
    assert_eq!(at(2.0), at(30.0));
}

#[test]
fn a_load_is_found_where_the_force_is_met() {
    let system = system_of(&Connector::example());
    let rig = straps(12.0, 0.0, GateState::Closed);
    let mut pull = Pull::new(&system, &rig).unwrap();
    let mut path = LoadPath::new(&mut pull, 20.0).unwrap();
    for wanted in [40.0, 1000.0, 4000.0, 8000.0] {
        let load_kn = path.load_at(wanted, &|s| s.nose_n).unwrap().unwrap();
        let response = system.respond(&Rig { load_kn, ..rig }).unwrap();
        near("force", Sample::new(&system, &response).nose_n / wanted, 1.0, 2e-3);
    }
    // Half as far again as the horizon, the straight line is within 1 % of a solved load.
    let load_kn = path.load_at(13_000.0, &|s| s.nose_n).unwrap().unwrap();
    let response = system.respond(&Rig { load_kn, ..rig }).unwrap();
    near("force beyond", Sample::new(&system, &response).nose_n / 13_000.0, 1.0, 0.01);
}

#[test]
fn bench_bars_slopes_and_other_sections_give_an_answer() {
    let mut sloped = Connector::example();
    sloped.window.upper_slope_deg = 8.0;
    sloped.window.lower_slope_deg = -6.0;
    sloped.window.corner_radius_mm = [14.0, 10.0, 8.0, 12.0];
    let mut round = Connector::example();
    for section in [&mut round.spine, &mut round.upper, &mut round.lower] {
        *section = Section { shape: SectionShape::Round, depth_mm: 12.0, breadth_mm: 12.0 };
    }
    let mut flanged = Connector::example();
    flanged.spine.shape = SectionShape::I { flange_mm: 3.0, web_mm: 4.0 };
    for (name, connector) in [("sloped", sloped), ("round", round), ("flanged", flanged)] {
        let system = system_of(&connector);
        for (offset_mm, gate) in [(-6.0, GateState::Closed), (6.0, GateState::Closed), (0.0, GateState::Open)]
        {
            let bar = Loader::Bar { diameter_mm: 12.0, offset_mm };
            let rig = Rig { upper: bar, lower: bar, ..straps(12.0, 0.0, gate) };
            let found = pulled(&system, &rig);
            let case = format!("{name}, bar at {offset_mm}, {gate:?}: {}", found.peak_kn);
            assert!(found.peak_kn > 2.0 && found.peak_kn < 60.0, "{case}");
            assert!(found.peak_kn >= found.open_hook_kn, "{case}");
            assert!(found.limits.iter().all(|l| l.at_kn.is_none_or(f64::is_finite)), "{case}");
            assert!(found.limits.iter().flat_map(|l| &l.inputs).all(|i| i.value.is_finite()), "{case}");
        }
    }
}

#[test]
fn a_bench_bar_that_is_moved_takes_share_and_limit_along() {
    let system = system_of(&Connector::example());
    let bars = |offset_mm: f64| {
        let bar = |offset_mm| Loader::Bar { diameter_mm: 12.0, offset_mm };
        Rig { upper: bar(offset_mm), lower: bar(0.0), ..straps(12.0, 0.0, GateState::Closed) }
    };
    let opens_kn = |offset_mm: f64| {
        let rig = bars(offset_mm);
        let cuts = cuts_under(&system, &rig);
        let sections = cuts.iter().map(|c| &c.limit).collect();
        let (load, gate) = (load_parts(&system, &rig, &cuts), gate_parts(&system, &cuts));
        1e-3 * FrameStatics { sections, load, gate }.limit(9000.0, 500.0).load_n
    };
    for k in -160..160 {
        let at = |k: i32| opens_kn(0.05 * f64::from(k));
        near("a step of 0.05 mm", at(k + 1) / at(k), 1.0, 3e-3);
    }
    let share =
        |offset_mm: f64| Sample::new(&system, &system.respond(&bars(offset_mm)).unwrap()).gate_fraction;
    let shares: Vec<f64> = (0..=20).map(|k| share(0.1 * f64::from(k))).collect();
    let steps: Vec<f64> = shares.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let mean = steps.iter().sum::<f64>() / steps.len() as f64;
    assert!(mean > 0.0 && steps.iter().all(|step| (step / mean - 1.0).abs() < 0.2), "{steps:?}");
}
