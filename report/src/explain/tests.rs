//! What an explanation comes to, in words.

use super::*;
use geometry::connector::Pin;
use solver::causes::Observed;
use solver::strength::LugFailure;
use study::explain::{
    CauseOf, Difference, Differs, Family, Kind, Miss, Rounded, RoundedRange, Unit, ValueKind, coarse_mesh,
};
use study::model::Source;
use study::model::quantity::Dimension;

fn model() -> Model {
    const BASE: &str = include_str!("../../../study/src/model/tests/base.toml");
    Source::of("base.toml", BASE).model(&[]).unwrap()
}

fn line(difference: Difference, likelihood: f64, fit: f64) -> explain::RankedCause {
    explain::RankedCause {
        family: if difference.is_none() { Family::AS_ENTERED } else { Family::alone(Kind::SoftPins) },
        difference,
        values: Vec::new(),
        likelihood,
        fit,
        friction_needed: None,
        peak_kn: 14.0,
        pull_ends_at_kn: 14.0,
        fails_first: FailureMode::FrameOpens,
        near_tie: None,
        tears_at: None,
        may_tear_at: None,
        miss: None,
        keys: None,
        setting: model().case(coarse_mesh()),
    }
}

fn one(of: CauseOf) -> Difference {
    let (told, values) = match of {
        CauseOf::Gate(..) => (ValueKind::Nothing, Vec::new()),
        _ => (ValueKind::Plain(Unit::Of(Dimension::Length)), vec![Rounded { value: 2.6, decimals: 1 }]),
    };
    Difference::One(Differs { of, told, values, likely: Vec::new() })
}

fn low_lip() -> Difference {
    one(CauseOf::FarOff(explain::Size::LipHeight))
}

fn thin_pin() -> Difference {
    one(CauseOf::Off(explain::Size::NosePin))
}

/// Lines with a likelihood and a fit each; the forecast of everything as entered runs from 18 to 22 kN.
fn explanation(broke_at_kn: f64, lines: Vec<(Difference, f64, f64)>) -> explain::Explanation {
    explain::Explanation {
        observed: Observed::new(broke_at_kn, Some(Place::Lip)),
        as_entered: explain::RankedCause { peak_kn: 20.0, ..line(Difference::AsEntered, 0.0, 0.0) },
        forecast_kn: Some([18.0, 22.0]),
        causes: lines.into_iter().map(|l| line(l.0, l.1, l.2)).collect(),
        others_likelihood: 0.0,
        closest: None,
        measure_next: Vec::new(),
        marking: Vec::new(),
        solved: 1,
    }
}

fn said(broke_at_kn: f64, lines: Vec<(Difference, f64, f64)>) -> String {
    sentence::sentence(&explanation(broke_at_kn, lines))
}

#[test]
fn a_near_tie_is_told_as_one() {
    let two = said(14.0, vec![(low_lip(), 0.51, 1.0), (thin_pin(), 0.48, 0.9)]);
    let all = "It broke at 14.0 kN at the lip; as entered it would have held 20.0 kN. Two things are about equally likely (51 % \
               and 48 %): a far lower lip, its height 2.6 mm; or the nose pin's diameter 2.6 mm.";
    assert_eq!(two, all);
    let open = one(CauseOf::Gate(explain::Stood::Open, None));
    let three = said(14.0, vec![(low_lip(), 0.35, 1.0), (thin_pin(), 0.33, 0.9), (open, 0.31, 1.0)]);
    assert!(three.contains("Three things are about equally likely (35 %, 33 % and 31 %): "), "{three}");
    assert!(three.ends_with("; or the gate was open."), "{three}");
    let told = said(19.5, vec![(Difference::AsEntered, 0.5, 1.0), (thin_pin(), 0.48, 0.9)]);
    assert!(told.contains("nothing different, for 19.5 kN, broken at the lip, is within"), "{told}");
}

#[test]
fn a_near_tie_of_the_place_seen_is_told_with_its_load_and_what_is_left_out_is_summed() {
    let mut found = explanation(18.0, vec![(low_lip(), 0.7, 0.3), (thin_pin(), 0.2, 0.3)]);
    found.others_likelihood = 0.1;
    for cause in &mut found.causes {
        cause.near_tie =
            Some(NearTie { what: FailureMode::Gate(Pin::Hinge, LugFailure::TornOut), at_kn: 15.2 });
    }
    let written = Explanation::new(&found, &model());
    let words = "Nothing that is weighed here breaks there first; the likeliest (70 %) comes close (first to fail: frame opens, \
                 at 14.0 kN; the gate (torn out at the hinge pin) may have gone before it, at 15.2 kN): a far lower lip, its \
                 height 2.6 mm.";
    assert!(written.sentence.ends_with(words), "{}", written.sentence);
    let text = answer(&written);
    assert!(
        text.contains("2.6 mm; the gate (torn out at the hinge pin) may have gone before it, at 15.2 kN")
    );
    assert!(text.lines().any(|l| l.trim().starts_with("10 %") && l.ends_with("others, each less likely")));
}

#[test]
fn a_load_that_misses_what_was_measured_says_by_how_much_and_why() {
    let told = |difference: Difference, miss| {
        let mut found = explanation(15.3, vec![(difference, 1.0, 0.8)]);
        found.causes[0].miss = Some(miss);
        let written = Explanation::new(&found, &model());
        assert!(answer(&written).contains(&written.causes[0].misses), "also in the list");
        written.sentence
    };
    let bounds = vec![RoundedRange { ends: [2.5, 4.0], decimals: 1 }];
    assert!(told(thin_pin(), Miss::Bounds(bounds)).ends_with(
        "That gives 14.0 kN, 1.3 kN less than measured: nothing that breaks there comes nearer by more than 2.5 % of the load \
         within what is considered for it, 2.5 to 4.0 mm."
    ));
    assert!(told(thin_pin(), Miss::Bounds(Vec::new())).ends_with("within what is considered for it."));
    let Difference::One(pin) = thin_pin() else { panic!("one cause") };
    let both = Difference::WithOffset(pin.clone(), pin);
    assert!(told(both, Miss::Bounds(Vec::new())).ends_with("within what is considered for both."));
    let open = one(CauseOf::Gate(explain::Stood::Open, None));
    assert!(
        told(open, Miss::NoValue)
            .ends_with("1.3 kN less than measured: it has no value that could lie nearer.")
    );
    assert!(told(thin_pin(), Miss::Scatter).contains("a load may scatter by 5 % (one standard deviation)"));
    assert!(told(thin_pin(), Miss::Friction).contains("more friction than may be relied on"));
    for (broke_at_kn, told) in [(14.004, false), (14.04, true)] {
        let mut found = explanation(broke_at_kn, vec![(thin_pin(), 1.0, 0.8)]);
        found.causes[0].miss = Some(Miss::Scatter);
        let misses = &Explanation::new(&found, &model()).causes[0].misses;
        assert_eq!(misses.starts_with("0.04 kN less than measured: "), told, "{misses}");
        assert_eq!(misses.is_empty(), !told, "{misses}");
    }
}

#[test]
fn each_verdict_has_its_sentence() {
    let rare = said(25.0, vec![(Difference::AsForecast([18.0, 22.0]), 0.8, 1.0), (thin_pin(), 0.2, 1.0)]);
    let outside = "Most likely (80 %): everything as entered, a rare pull outside the 90 % range of its forecast, 18.0 to 22.0 kN.";
    assert!(rare.ends_with(outside), "{rare}");
    let alone = said(14.0, vec![(low_lip(), 1.0, 1.0)]);
    assert!(alone.ends_with("Of what is weighed here only this fits: a far lower lip, its height 2.6 mm."));
    let spanned = said(18.5, vec![(low_lip(), 1.0, 1.0)]);
    assert!(spanned.ends_with("Most likely (over 99 %): a far lower lip, its height 2.6 mm."), "{spanned}");
    let poor = said(15.3, vec![(low_lip(), 1.0, 0.06)]);
    let ends = "Nothing that is weighed here fits well; the likeliest gives 14.0 kN (first to fail: frame opens): a far lower lip, \
                its height 2.6 mm.";
    assert!(poor.ends_with(ends), "{poor}");
    let told = said(19.5, vec![(Difference::AsEntered, 1.0, 1.0)]);
    assert!(
        told.starts_with("Nothing need differ from what was entered: 19.5 kN, broken at the lip,"),
        "{told}"
    );
    let nothing = said(60.0, Vec::new());
    assert!(
        nothing.starts_with("Nothing within the ranges explains 60.0 kN, broken at the lip:"),
        "{nothing}"
    );
}
