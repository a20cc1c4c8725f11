use super::*;
use crate::model::Source;

fn model(name: &str, sets: &[(&str, &str)]) -> Model {
    let text = match name {
        "oval" => include_str!("../../../models/oval.toml"),
        _ => include_str!("../../../models/broadbar-alu.toml"),
    };
    let sets: Vec<(String, String)> =
        sets.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
    Source::of("x.toml", text).model(&sets).unwrap()
}

fn coarse() -> SystemSettings {
    SystemSettings { unknowns: 3000.0, ..SystemSettings::default() }
}

fn found(model: &Model) -> Levers {
    levers(&Engine::default(), model, coarse(), &Watch::quiet(), &|_, _| ()).unwrap()
}

#[test]
fn what_cannot_be_moved_says_why_and_what_follows_is_named() {
    let all =
        found(&model("broadbar-alu", &[("hinge.pin_clearance_mm", "0.02"), ("rig.both.width_mm", "8")]));
    let lever = |path: &str| all.levers.iter().find(|lever| lever.lever.path() == path).unwrap();
    let clearance = lever("hinge.pin_clearance_mm");
    let less = clearance.ways[0].as_ref().unwrap();
    assert!(less.value < 0.0 && matches!(less.effect, Err(NotMoved::Model(_))), "{less:?}");
    // There is no narrower strap.
    assert!(lever("rig.both.width_mm").ways[0].is_none() && lever("rig.both.width_mm").ways[1].is_some());
    // Upper and lower bar are as the spine, the gate is of the frame's metal where it names none.
    let follow = |path: &str| lever(path).followers.iter().map(|key| key.path.clone()).collect::<Vec<_>>();
    let depths = follow("section.spine.depth_mm");
    assert!(depths.contains(&"section.upper.depth_mm".to_owned()), "{depths:?}");
    assert!(follow("nose.notch_depth_mm").is_empty(), "{:?}", follow("nose.notch_depth_mm"));
}

#[test]
fn where_the_failing_part_changes_it_does_so_at_the_value_told() {
    let model = model("broadbar-alu", &[]);
    let all = found(&model);
    let turning: Vec<(&Lever, &Moved)> = all
        .levers
        .iter()
        .flat_map(|lever| lever.ways.iter().flatten().map(move |way| (lever, way)))
        .filter(|(_, way)| way.turn.is_some())
        .collect();
    assert!(!turning.is_empty());
    for (lever, way) in turning {
        let turn = way.turn.unwrap();
        let first = |value: f64| {
            let moved = moved(&model, lever.lever, value).unwrap();
            Solved::of(&Engine::default(), &moved, coarse()).unwrap().effect.fails_first
        };
        let path = lever.lever.path();
        assert_eq!(first(turn.until), all.base.fails_first, "{path}");
        assert_eq!(first(turn.from), turn.to, "{path}");
        assert!((turn.from - turn.until).abs() <= 0.11 * (way.value - lever.value).abs(), "{path} {turn:?}");
        let inside = |v: f64| (v - lever.value) * (v - way.value) <= 1e-12;
        assert!(inside(turn.until) && inside(turn.from), "{path} {turn:?}");
    }
    // Every part that changes has its turn.
    let changes = |way: &&Moved| way.effect.as_ref().is_ok_and(|e| e.fails_first != all.base.fails_first);
    let ways = all.levers.iter().flat_map(|lever| lever.ways.iter().flatten());
    assert!(ways.filter(changes).all(|way| way.turn.is_some()));
}
