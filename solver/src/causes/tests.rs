//! Made-up parts with limits that are known by hand.

use super::*;
use crate::forecast::{Arm, Ending, Endings, Law, Response};
use crate::response::Hold;
use crate::rig::{GateState, RigEnd};
use crate::strength::{Course, Ends, FailureMode, Formula, Limit, LimitKind, Limits, LugFailure, PinFailure};
use geometry::connector::Pin;
use geometry::outline::{Across, Along, Bar, Corner, FrameLocation};

fn limits(parts: &[(FailureMode, LimitKind, f64)], hook_kn: f64, tears_at: FrameLocation) -> Limits {
    Limits {
        peak_kn: 0.0,
        fails_first: OPENS,
        fails_at_kn: 0.0,
        ends: Ends::Breaks,
        first_yield_kn: None,
        bends_at_kn: 0.0,
        open_hook_kn: hook_kn,
        tears_at: Some(tears_at),
        tears_point_mm: None,
        may_tear_at: None,
        limits: parts
            .iter()
            .map(|(what, kind, kn)| Limit {
                what: *what,
                at_kn: Some(*kn),
                kind: *kind,
                formula: Formula::PinShear,
                inputs: Vec::new(),
                by_hand: None,
            })
            .collect(),
        course: Course {
            kind: LimitKind::Breaks,
            gate_fraction: 0.0,
            gate: GateState::Closed,
            friction: 0.2,
            held: Hold::Held,
            hook_bends_kn: hook_kn,
            slides: [None; 2],
            unsettled_from_kn: None,
        },
    }
}

const LIP: FailureMode = FailureMode::Lip;
const PIN: FailureMode = FailureMode::Pin(Pin::Hinge, PinFailure::Sheared);
const OPENS: FailureMode = FailureMode::FrameOpens;
const SPINE: FrameLocation = FrameLocation::Bar(Bar::Spine, Along::Between, Across::Inner);
const UPPER_BAR: FrameLocation = FrameLocation::Bar(Bar::Upper, Along::Between, Across::Outer);

/// A lip at `lip`, a pin at `pin`, a frame that opens at 30 kN, a hook that holds 5.
fn made(parts: &mut Parts, lip: f64, pin: f64) -> Outcome {
    let all = [(LIP, LimitKind::Breaks, lip), (PIN, LimitKind::Breaks, pin), (OPENS, LimitKind::Opens, 30.0)];
    parts.outcome(&limits(&all, 5.0, FrameLocation::Bar(Bar::Spine, Along::EitherEnd, Across::Inner)))
}

fn saw(broke_at_kn: f64, place: Option<Place>) -> Observed {
    Observed::new(broke_at_kn, place)
}

fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{found} is not {wanted}");
}

#[test]
fn an_outcome_ends_as_its_limits_do() {
    let mut parts = Parts::default();
    let outcome = made(&mut parts, 20.0, 25.0);
    let ending = parts.ending(&outcome);
    near(ending.peak_kn, 20.0, 1e-9);
    assert_eq!(parts.mode(ending.first), LIP);
    // A hook that holds more than the first break carries on.
    let hook = limits(&[(LIP, LimitKind::Breaks, 4.0), (OPENS, LimitKind::Opens, 30.0)], 5.0, SPINE);
    let outcome = parts.outcome(&hook);
    let ending = parts.ending(&outcome);
    near(ending.fails_at_kn, 4.0, 1e-9);
    near(ending.peak_kn, 5.0, 1e-9);
    // But not beyond the weaker strap.
    for (strap, peak) in [(4.5, 4.5), (7.0, 5.0)] {
        let all = [
            (LIP, LimitKind::Breaks, 4.0),
            (OPENS, LimitKind::Opens, 30.0),
            (FailureMode::Strap(RigEnd::Upper), LimitKind::Strap, strap),
            (FailureMode::Strap(RigEnd::Lower), LimitKind::Strap, 9.0),
        ];
        let outcome = parts.outcome(&limits(&all, 5.0, SPINE));
        near(parts.ending(&outcome).peak_kn, peak, 1e-9);
    }
    // Bent pins and first yield end nothing.
    let bent = [
        (FailureMode::Pin(Pin::Nose, PinFailure::Bent), LimitKind::Yields, 3.0),
        (OPENS, LimitKind::Opens, 30.0),
    ];
    let outcome = parts.outcome(&limits(&bent, 5.0, SPINE));
    near(parts.ending(&outcome).peak_kn, 30.0, 1e-9);
}

#[test]
fn the_switch_between_parts_is_found_where_their_limits_cross() {
    let mut parts = Parts::default();
    let mut scan = Scan::default();
    // Reciprocals run straight: lip 20 to 10, pin 16 throughout; they cross where 1/20 + t/20 = 1/16, at t = 0.25.
    scan.add(0.0, made(&mut parts, 20.0, 16.0));
    scan.add(1.0, made(&mut parts, 10.0, 16.0));
    let first = |v: f64| parts.mode(parts.ending(&scan.at(v).unwrap()).first);
    assert_eq!((first(0.24), first(0.26)), (PIN, LIP));
    near(parts.ending(&scan.at(0.5).unwrap()).peak_kn, 1.0 / 0.075, 1e-9);
}

#[test]
fn a_fit_is_one_at_the_load_and_falls_as_a_normal() {
    let mut parts = Parts::default();
    let outcome = made(&mut parts, 20.0, 25.0);
    near(saw(20.0, None).fits(&parts, &outcome), 1.0, 1e-12);
    // One standard deviation off: exp(-1/2).
    near(
        saw(20.0 * (-Judgement::STANDING.scatter).exp(), None).fits(&parts, &outcome),
        (-0.5_f64).exp(),
        1e-9,
    );
    near(saw(20.0, Some(Place::Lip)).fits(&parts, &outcome), 1.0, 1e-12);
    near(saw(20.0, Some(Place::Spine)).fits(&parts, &outcome), 0.5, 1e-12);
    assert_eq!(saw(20.0, Some(Place::HingePin)).fits(&parts, &outcome), 0.0);
    // Within 3 % of the first it may have been the pin.
    let tie = made(&mut parts, 20.0, 20.5);
    near(saw(20.0, Some(Place::HingePin)).fits(&parts, &tie), 0.3, 1e-12);
}

#[test]
fn a_place_that_friction_does_not_hold_weighs_less() {
    let mut parts = Parts::default();
    let held = made(&mut parts, 20.0, 25.0);
    let mut slides = held.clone();
    slides.friction_lacks = 0.1;
    near(saw(20.0, None).fits(&parts, &slides), Judgement::STANDING.slides, 1e-12);
    // It slides from where the friction needed passes the one told: a tenth is lacking here, a tenth is spare there.
    let mut spare = held.clone();
    spare.friction_lacks = -0.1;
    let fits = |part: f64| saw(20.0, None).fits(&parts, &spare.toward(&slides, part));
    assert_eq!((fits(0.49), fits(0.51)), (1.0, Judgement::STANDING.slides));
    // What slides by one of two causes slides by both.
    assert_eq!(held.changed_as(&held, &slides).friction_lacks, 0.1);
    assert_eq!(slides.changed_as(&held, &spare).friction_lacks, 0.1);
}

#[test]
fn what_the_forecast_leaves_open_is_weighed_by_its_draws() {
    let ending = |lip: f64| Endings {
        parts: vec![
            Ending { what: LIP, kind: LimitKind::Breaks, at_kn: Some(lip) },
            Ending { what: OPENS, kind: LimitKind::Opens, at_kn: Some(30.0) },
        ],
        open_hook_kn: 5.0,
    };
    // ln(load) runs straight and evenly from 16 to 25 kN over the draws: from 16 to 20 in half of them.
    let arm = Arm {
        law: Law::Even { low: -1.0, high: 1.0 },
        middle: 0.0,
        low: Some(ending(16.0)),
        high: Some(ending(25.0)),
        kinked: true,
    };
    let response = Response::new(&ending(20.0), vec![arm]);
    let mut parts = Parts::default();
    let as_it_is = parts.outcome(&limits(&[], 5.0, SPINE));
    let mut weigh = |seen: &Observed, held: bool| {
        let drawn = Draws::of(&mut parts, &response, &[held], &as_it_is).weigh(&parts, seen).unwrap();
        let ending = parts.ending(&drawn.best);
        (drawn.evidence, ending.peak_kn)
    };
    // Well inside, the mean of a normal of 5 % over ln(25 / 16) = 0.446: 0.05 sqrt(2 pi) / 0.446.
    let (evidence, load) = weigh(&saw(18.0, Some(Place::Lip)), false);
    near(evidence, 0.05 * std::f64::consts::TAU.sqrt() / (25.0_f64 / 16.0).ln(), 0.02);
    near(load, 18.0, 0.05);
    // Held at its middle the forecast is one load: 18 is ln(20 / 18) / 0.05 = 2.107 deviations off.
    let (evidence, load) = weigh(&saw(18.0, Some(Place::Lip)), true);
    near(evidence, (-0.5 * (2.107_f64).powi(2)).exp(), 1e-3);
    near(load, 20.0, 1e-9);
    // Another place is not as entered, whatever the load.
    assert_eq!(weigh(&saw(18.0, Some(Place::Gate)), false).0, 0.0);
}

#[test]
fn the_value_that_gives_the_load_is_found_and_the_evidence_is_its_part_of_the_range() {
    let mut parts = Parts::default();
    let mut scan = Scan::default();
    for i in 0..=20 {
        let x = f64::from(i);
        scan.add(x, made(&mut parts, 20.0 * (-0.04 * x).exp(), 100.0));
    }
    // 20 exp(-0.04 * 10): at 10. The load's 5 % are 1.25 in x: the integral is 1.25 sqrt(2 pi) of 20.
    let found = scan.weigh(&parts, &saw(20.0 * (-0.4_f64).exp(), Some(Place::Lip)), Prior::Even).unwrap();
    near(found.value, 10.0, 0.1);
    near(found.evidence, 1.25 * std::f64::consts::TAU.sqrt() / 20.0, 2e-3);
    assert!(found.likely[0] > 8.0 && found.likely[1] < 12.0, "{found:?}");
    // A prior about another value draws the find toward it.
    let drawn = Prior::About { middle: 5.0, spread: 1.25 };
    let found = scan.weigh(&parts, &saw(20.0 * (-0.4_f64).exp(), Some(Place::Lip)), drawn).unwrap();
    near(found.value, 7.5, 0.1);
    // Two normals of the same width whose middles lie 4 widths apart: mean fit exp(-4) / sqrt(2), each value by its chance.
    near(found.evidence / ((-4.0_f64).exp() / 2.0_f64.sqrt()), 1.0, 0.02);
    let reach = scan.reach(&parts, &saw(1.0, Some(Place::Lip))).unwrap();
    near(reach[0].0, 20.0 * (-0.8_f64).exp(), 1e-6);
    near(reach[1].0, 20.0, 1e-6);
    assert!(scan.reach(&parts, &saw(1.0, Some(Place::Gate))).is_none());
}

#[test]
fn two_changes_at_once_multiply() {
    let mut parts = Parts::default();
    let base = made(&mut parts, 20.0, 25.0);
    let (lower_lip, off_centre) = (made(&mut parts, 18.0, 25.0), made(&mut parts, 15.0, 20.0));
    let both = lower_lip.changed_as(&base, &off_centre);
    near(parts.ending(&both).peak_kn, 20.0 * 0.9 * 0.75, 1e-9);
    let (mut one, mut two) = (Scan::default(), Scan::default());
    one.add(0.0, base.clone());
    one.add(1.0, lower_lip);
    two.add(0.0, base.clone());
    two.add(1.0, off_centre);
    let found =
        weigh_pair(&parts, &saw(13.5, None), &base, (&one, Prior::Even), (&two, Prior::Even)).unwrap();
    assert_eq!(found.values, [1.0, 1.0]);
    // The load runs with the product: 0.6 of the best fit lies 1.01 deviations off, 5 % above 13.5 kN or 9 % of either range.
    assert!(found.likely.iter().all(|l| l[1] == 1.0 && (0.3..0.9).contains(&l[0])), "{found:?}");
    // 13.5 kN lies at the very corner: both ends of the ranges together fit it, neither of the two does alone.
    assert!(found.evidence > 2.0 * found.alone, "{found:?}");
    // A second cause that changes nothing adds nothing.
    let mut idle = Scan::default();
    idle.add(0.0, base.clone());
    idle.add(1.0, base.clone());
    let found =
        weigh_pair(&parts, &saw(18.0, None), &base, (&one, Prior::Even), (&idle, Prior::Even)).unwrap();
    near(found.evidence, found.alone, 1e-12);
    // Lowest and highest load of the pair, and what they come from: 18 to 20 kN with the lip alone.
    let [low, high] = reach_of_pair(&parts, &saw(18.0, None), &base, &one, &idle).unwrap();
    near(low.0, 18.0, 1e-9);
    near(high.0, 20.0, 1e-9);
    assert_eq!((low.1[0], high.1[0]), (1.0, 0.0));
}

#[test]
fn a_frame_may_tear_at_the_second_cut_that_has_yielded_through() {
    let mut parts = Parts::default();
    let opens = [(OPENS, LimitKind::Opens, 20.0)];
    let told = Limits { may_tear_at: Some(UPPER_BAR), ..limits(&opens, 5.0, SPINE) };
    let outcome = parts.outcome(&told);
    let fits = |place| saw(20.0, Some(place)).place_fits(&parts, &outcome);
    assert_eq!((fits(Place::Spine), fits(Place::Frame), fits(Place::LowerBar)), (1.0, 1.0, 0.0));
    let second = fits(Place::UpperBar);
    assert!(second > 0.0 && second < 1.0, "{second}");
    // Where a part of the gate line goes first the frame never opens so.
    let lip = [(LIP, LimitKind::Breaks, 15.0), (OPENS, LimitKind::Opens, 20.0)];
    let told = Limits { may_tear_at: Some(UPPER_BAR), ..limits(&lip, 5.0, SPINE) };
    let outcome = parts.outcome(&told);
    assert_eq!(saw(15.0, Some(Place::UpperBar)).place_fits(&parts, &outcome), 0.0);
}

#[test]
fn a_tear_beside_a_corner_is_at_that_corner() {
    let spine = |along| FrameLocation::Bar(Bar::Spine, along, Across::Inner);
    let corner = Place::UpperCorner;
    assert!(corner.is_tear(spine(Along::End)) && corner.is_tear(spine(Along::EitherEnd)));
    assert!(!corner.is_tear(spine(Along::Start)) && !corner.is_tear(spine(Along::Middle)));
    let at = FrameLocation::Corner(Corner::LowerSpine, Across::Inner);
    assert!(Place::Spine.is_tear(at) && Place::LowerCorner.is_tear(at) && Place::Corner.is_tear(at));
    assert!(!Place::UpperCorner.is_tear(at) && !Place::LowerBar.is_tear(at));
    // The frame is its bars and corners; the nose has a word of its own.
    let nose = FrameLocation::NoseLeg(Across::Inner);
    assert!(Place::Frame.is_tear(at) && !Place::Frame.is_tear(nose) && Place::Nose.is_tear(nose));
}

#[test]
fn a_place_at_a_pin_is_all_that_is_there() {
    let holds = |place: Place, what: &FailureMode| place.is_part(*what);
    let hinge = [
        FailureMode::Pin(Pin::Hinge, PinFailure::Sheared),
        FailureMode::Pin(Pin::Hinge, PinFailure::BentThrough),
        FailureMode::Gate(Pin::Hinge, LugFailure::TornOut),
    ];
    let lug = [FailureMode::HingeLug(LugFailure::TornOut), FailureMode::HingeLug(LugFailure::TornAcross)];
    let nose = [
        FailureMode::Pin(Pin::Nose, PinFailure::Sheared),
        FailureMode::Gate(Pin::Nose, LugFailure::TornAcross),
    ];
    for what in hinge.iter().chain(&lug) {
        assert!(holds(Place::HingePin, what) && holds(Place::Hinge, what), "{what:?}");
        assert!(!holds(Place::NosePin, what) && !holds(Place::Nose, what), "{what:?}");
    }
    for what in &nose {
        assert!(holds(Place::NosePin, what) && holds(Place::Nose, what), "{what:?}");
        assert!(!holds(Place::HingePin, what) && !holds(Place::Hinge, what), "{what:?}");
    }
    // Everything of the nose, but what only its pin is in is not at the pin.
    for what in &[FailureMode::NoseRoot, FailureMode::NoseHead, LIP] {
        assert!(holds(Place::Nose, what) && !holds(Place::NosePin, what), "{what:?}");
    }
    // The pins themselves keep a word of their own.
    assert!(
        holds(Place::Pin, &PIN) && !holds(Place::Pin, &FailureMode::Gate(Pin::Hinge, LugFailure::TornOut))
    );
}
