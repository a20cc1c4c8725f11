//! The table of keys agrees with itself.

use super::super::tests::{BASE, resolved};
use super::*;

#[test]
fn paths_are_unique_and_ranges_are_ranges() {
    for (at, key) in all().iter().enumerate() {
        assert!(all()[..at].iter().all(|other| other.path != key.path), "{} twice", key.path);
        if let Some([low, high]) = key.kind.range() {
            assert!(low < high, "{}", key.path);
        }
    }
}

#[test]
fn a_length_says_so_in_its_name() {
    for key in all() {
        if let Kind::Number { dimension, .. } = key.kind {
            let ending = dimension.ending();
            assert!(key.path.ends_with(ending), "{}", key.path);
        }
    }
}

#[test]
fn keys_that_change_nothing_say_why() {
    let idle: Vec<&str> =
        all().iter().map(|key| key.path.as_str()).filter(|path| changes_nothing(path).is_some()).collect();
    // A title, three markings, a check of the opening, the load in use, the bench's stroke, and name, source, density and what tells the stretch of
    // three materials.
    assert_eq!(idle.len(), 1 + 3 + 1 + 1 + 1 + 15, "{idle:?}");
    assert!(changes_nothing("material.frame").is_none() && changes_nothing("rig.load_kn").is_none());
}

#[test]
fn tables_are_known() {
    assert!(is_table("section.spine") && is_table("rig") && is_table("material.gate"));
    assert!(!is_table("window.inside_length_mm") && !is_table("win"));
    assert_eq!(find("rig.upper.width_mm").unwrap().table_and_name(), ("rig.upper", "width_mm"));
    assert_eq!(tables()[..3], ["", "window", "section.spine"]);
}

#[test]
fn sliders_keep_within_what_is_allowed() {
    for key in all() {
        let of_a_metal = MATERIALS.contains(&key.table_and_name().0);
        // What a caliper reads is told in a file; a page moves the value that the outline is drawn from.
        let read = key.in_place_of().is_some() || key.path == "gate.opening_mm";
        // And no page pulls until failure, which the bench's stroke ends.
        let read = read || key.path == "rig.stroke_mm";
        assert_eq!(key.slider.is_some(), key.kind.range().is_some() && !of_a_metal && !read, "{}", key.path);
        if let (Some(slider), Some([low, high])) = (key.slider, key.kind.range()) {
            assert!(low <= slider.min && slider.max <= high && slider.step > 0.0, "{}", key.path);
            assert!(slider.min < slider.max, "{}", key.path);
        }
    }
}

#[test]
fn what_a_key_has_a_meaning_beside_is_a_choice_of_its_table() {
    for key in all() {
        let Some(Beside { chooser, words }) = key.beside else {
            assert!(key.need != Need::WhenShown && key.chosen.is_none(), "{}", key.path);
            continue;
        };
        let table = key.table_and_name().0;
        let Kind::Choice(known) = find(&format!("{table}.{chooser}")).unwrap().kind else { panic!() };
        assert!(words.iter().all(|word| known.contains(word)), "{}", key.path);
    }
}

#[test]
fn defaults_are_allowed_values() {
    for key in all() {
        match key.need {
            Need::Else(Fallback::Number(value)) => {
                let [low, high] = key.kind.range().unwrap();
                assert!((low..=high).contains(&value), "{}", key.path);
            }
            Need::Else(Fallback::Word(word)) => {
                assert_eq!(super::super::word::refused(key.kind, word), None, "{}", key.path);
            }
            Need::Else(Fallback::Key(other)) => {
                let path = match other.contains('.') {
                    true => other.to_owned(),
                    false => format!("{}.{other}", key.table_and_name().0),
                };
                assert_eq!(find(&path).unwrap().kind.dimension(), key.kind.dimension(), "{}", key.path);
            }
            Need::Else(Fallback::As(table)) => assert!(is_table(table), "{}", key.path),
            _ => {}
        }
    }
}

#[test]
fn every_value_that_is_set_is_read_again() {
    // Beside which words a key has a meaning, and a value of it that fits the model.
    let half = |low: f64, high: f64| low + 0.25 * (high - low);
    for key in all() {
        let (Some(slider), Some(_)) = (key.slider, key.kind.range()) else { continue };
        let table = key.table_and_name().0;
        let mut sets: Vec<(String, String)> = key
            .beside
            .iter()
            .map(|beside| (format!("{table}.{}", beside.chooser), beside.words[0].to_owned()))
            .collect();
        if table.starts_with("section.") && key.beside.is_some_and(|beside| beside.words == ["i"]) {
            sets.push((format!("{table}.flange_mm"), "3".to_owned()));
            sets.push((format!("{table}.web_mm"), "3".to_owned()));
        }
        // A step beside what the model has, which fits it too.
        let before = {
            let model = resolved_with(&sets).unwrap_or_else(|errors| panic!("{}: {errors}", key.path));
            match key.value(&model) {
                Some(KeyValue::Number(value)) => value,
                Some(KeyValue::Corners(corners)) => corners[0],
                _ => half(slider.min, slider.max),
            }
        };
        let value = before + slider.step;
        sets.push((key.path.clone(), value.to_string()));
        let model = resolved_with(&sets).unwrap_or_else(|errors| panic!("{}: {errors}", key.path));
        let read = match key.value(&model) {
            Some(KeyValue::Number(read)) => read,
            Some(KeyValue::Corners([read, ..])) => read,
            other => panic!("{}: {other:?}", key.path),
        };
        assert_eq!(read.to_bits(), value.to_bits(), "{}", key.path);
    }
    let model = resolved(BASE);
    assert_eq!(find("title").unwrap().value(&model), Some(KeyValue::Text("base".to_owned())));
    assert_eq!(find("section.lower.shape").unwrap().value(&model), Some(KeyValue::Word("oval")));
    assert_eq!(find("rig.engaged_mm").unwrap().value(&model), None);
}

#[test]
fn what_a_caliper_reads_stands_in_the_place_of_a_length() {
    let read: Vec<(&str, &str)> =
        all().iter().filter_map(|key| Some((key.path.as_str(), key.in_place_of()?))).collect();
    assert_eq!(read.len(), 6);
    for (path, own) in read {
        let (key, own) = (find(path).unwrap(), find(own).unwrap());
        assert_eq!((key.kind.dimension(), key.group()), (own.kind.dimension(), own.group()), "{path}");
        assert_eq!((value_of(path), value_of(&own.path)), (own.path.as_str(), own.path.as_str()));
        assert!(in_place_of(&own.path).any(|other| other == key) && own.in_place_of().is_none());
        // A step beside what the model reads is read again.
        let Some(KeyValue::Number(before)) = key.value(&resolved(BASE)) else { panic!("{path}") };
        let sets = [(path.to_owned(), (before + 0.25).to_string())];
        let model = resolved_with(&sets).unwrap_or_else(|errors| panic!("{path}: {errors}"));
        let Some(KeyValue::Number(after)) = key.value(&model) else { panic!("{path}") };
        assert!((after - before - 0.25).abs() < 1e-10, "{path}: {before} {after}");
    }
    let both = [("window.clear_length_mm".to_owned(), "60".to_owned())];
    assert_eq!(set_as_well("window.inside_length_mm", &both), Some("window.clear_length_mm"));
    assert_eq!(set_as_well("window.upper_width_mm", &both), None);
}

fn resolved_with(sets: &[(String, String)]) -> Result<Model, super::super::ModelErrors> {
    super::super::Source::of("base.toml", BASE).model(sets)
}
