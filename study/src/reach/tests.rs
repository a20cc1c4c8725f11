use super::*;
use crate::model::Source;

fn model(text: &str, sets: &[(&str, &str)]) -> Model {
    let sets: Vec<(String, String)> =
        sets.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
    Source::of("oval.toml", text).model(&sets).unwrap()
}

const OVAL: &str = include_str!("../../../models/oval.toml");
const COARSE: f64 = 4000.0;

fn coarse() -> SystemSettings {
    SystemSettings { unknowns: COARSE, ..SystemSettings::default() }
}

#[test]
fn a_load_far_above_all_is_held_nowhere_and_the_nearest_miss_is_the_strongest() {
    let model = model(OVAL, &[]);
    let found = reach(&Engine::default(), &model, coarse(), Some(500.0), &Watch::quiet()).unwrap();
    for gate in &found.gates {
        assert_eq!(gate.count(Verdict::Holds), 0);
        let most = gate.settings().filter_map(Tried::kept_holds_kn).fold(0.0, f64::max);
        assert_eq!(gate.nearest_miss().and_then(Tried::kept_holds_kn), Some(most));
        assert!(gate.least_to_spare().is_none() && most > 0.0);
    }
}

#[test]
fn without_a_load_the_marking_of_each_gate_is_taken_and_without_a_marking_there_is_no_answer() {
    let engine = Engine::default();
    let ask = |sets: &[(&str, &str)]| {
        reach(&engine, &model(OVAL, sets), coarse(), None, &Watch { stop: &|| true, ..Watch::quiet() })
    };
    let loads = |found: Reach| found.gates.iter().map(|gate| gate.load).collect::<Vec<_>>();
    let marked = loads(ask(&[("marking.closed_kn", "21"), ("marking.open_kn", "6")]).unwrap());
    let closed = Load { kn: 21.0, is: LoadIs::MarkedClosed };
    assert_eq!(marked, [closed, closed, Load { kn: 6.0, is: LoadIs::MarkedOpen }]);
    let marks =
        |line: &&str| !["[marking]", "closed_kn", "open_kn", "across_kn"].iter().any(|m| line.starts_with(m));
    let text: String = OVAL.lines().filter(marks).map(|line| format!("{line}\n")).collect();
    let none = reach(&engine, &model(&text, &[]), coarse(), None, &Watch::quiet());
    assert!(matches!(none, Err(ReachError::NoLoad)));
    let flat = model(OVAL, &[("nose.notch_depth_mm", "2")]);
    let refused = reach(&engine, &flat, coarse(), Some(3.0), &Watch::quiet());
    assert!(matches!(refused, Err(ReachError::NoGate(_))));
}

#[test]
fn a_load_between_two_settings_parts_them() {
    let model = model(OVAL, &[]);
    let engine = Engine::default();
    let solved = reach(&engine, &model, coarse(), Some(1.0), &Watch::quiet()).unwrap();
    let mut held: Vec<f64> = solved.gates[0].settings().filter_map(Tried::kept_holds_kn).collect();
    held.sort_by(f64::total_cmp);
    let middle = held[held.len() / 2];
    let found = reach(&engine, &model, coarse(), Some(middle), &Watch::quiet()).unwrap();
    let gate = &found.gates[0];
    let reached = held.iter().filter(|kn| **kn >= middle).count();
    assert_eq!(
        (gate.count(Verdict::Holds), gate.count(Verdict::DoesNotHold)),
        (reached, held.len() - reached)
    );
    let (miss, spare) = (gate.nearest_miss().unwrap(), gate.least_to_spare().unwrap());
    assert!(miss.kept_holds_kn() < Some(middle) && spare.kept_holds_kn() == Some(middle));
    // Friction needed beyond what the rig relies on is no hold, however strong the place is.
    let slips: Vec<&Tried> = gate
        .settings()
        .filter(|t| t.friction_needed[0].max(t.friction_needed[1]) > found.friction + 0.01)
        .filter(|t| t.holds.as_ref().is_ok_and(|h| h.holds_kn > middle))
        .collect();
    assert!(!slips.is_empty() && slips.iter().all(|t| gate.verdict(t) == Verdict::NotKept));
}

#[test]
fn the_keys_of_a_setting_make_its_rig_of_the_model_whatever_pulls_there() {
    let engine = Engine::default();
    let stopped = Watch { stop: &|| true, ..Watch::quiet() };
    let bars = [("rig.both.kind", "bar"), ("rig.both.diameter_mm", "11")];
    let mixed = [("rig.lower.kind", "bar"), ("rig.lower.diameter_mm", "9")];
    let half = [("rig.gate", "half"), ("rig.engaged_mm", "1.3")];
    for sets in [&[][..], &bars, &mixed, &half] {
        let model = model(OVAL, sets);
        let found = reach(&engine, &model, coarse(), Some(5.0), &stopped).unwrap();
        // They stand in the place of other sets of the loads.
        let file = self::model(OVAL, &[]);
        let mut count = 0;
        for gate in &found.gates {
            for tried in gate.settings() {
                let made = file.told.with(tried.keys(gate.word)).model().unwrap();
                assert_eq!(made.rig, tried.rig, "{sets:?}");
                count += 1;
            }
            assert!(gate.pairs.iter().all(|(pair, fits)| gate.of_pair(*pair).count() > 0 || !fits));
        }
        assert!(count > 100, "{count}");
    }
}

#[test]
fn the_ends_of_what_friction_keeps_are_tried() {
    let kept = |part: f64| (0.31..=0.62).contains(&part) || part >= 0.9;
    let found = kept_through(&kept);
    let near = |wanted: f64| found.iter().any(|part| (part - wanted).abs() < 1e-5 && kept(*part));
    assert!(near(0.31) && near(0.62) && near(0.9) && near(0.5), "{found:?}");
    assert!(found.iter().all(|part| kept(*part)) && !near(0.25) && !near(0.75), "{found:?}");
    // Held everywhere: evenly spaced places.
    assert_eq!(kept_through(&|_| true), [0.25, 0.5, 0.75]);
    // The oval is weakest where friction just holds its straps, toward the gate.
    let model = model(OVAL, &[]);
    let found = reach(&Engine::default(), &model, coarse(), Some(18.0), &Watch::quiet()).unwrap();
    let own = |t: &&Tried| t.rig.upper.placed(0.0) == model.rig.upper.placed(0.0);
    let kept: Vec<&Tried> = found.gates[0].settings().filter(own).filter(|t| t.kept).collect();
    let far = kept.iter().map(|t| t.offsets_mm()[0]).fold(0.0, f64::max);
    assert!(far > 2.0 && kept.iter().any(|t| t.kept_holds_kn() < Some(17.0)), "{far}");
}
