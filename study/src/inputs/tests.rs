use super::*;
use crate::model::Source;
use crate::model::keys::{self, Beside, Idle, Key, KeyValue, Kind, MATERIALS};
use crate::model::tests::{BASE, resolved};
use std::collections::BTreeSet;

type Sets = Vec<(String, String)>;

fn model(sets: &Sets) -> Model {
    Source::of("base.toml", BASE).model(sets).unwrap_or_else(|errors| panic!("{sets:?}: {errors:?}"))
}

fn hash_of(model: &Model) -> String {
    model.inputs_hash(&SystemSettings::default())
}

fn set(key: &str, value: impl ToString) -> (String, String) {
    (key.to_owned(), value.to_string())
}

/// What makes an I of a bar.
fn flanges(table: &str) -> Sets {
    let names = [("shape", "i"), ("breadth_mm", "11.5"), ("flange_mm", "3"), ("web_mm", "4")];
    names.map(|(name, value)| set(&format!("{table}.{name}"), value)).to_vec()
}

/// What stands beside a key that has no meaning without it: a word of its table, the rest of its metal.
fn beside(key: &Key) -> Sets {
    let table = key.table_and_name().0;
    if MATERIALS.contains(&table) {
        let told = |own: &Key| match own.value(&resolved(BASE))? {
            KeyValue::Number(value) => Some(set(&own.path, value)),
            KeyValue::Text(text) => Some(set(&own.path, text)),
            KeyValue::Corners(_) | KeyValue::Word(_) => None,
        };
        return keys::of_table(table).filter_map(told).collect();
    }
    match key.beside {
        Some(Beside { words: ["i"], .. }) => flanges(table),
        Some(Beside { chooser, words }) => vec![set(&format!("{table}.{chooser}"), words[0])],
        None => Sets::new(),
    }
}

/// Sets that differ in the value of one key: numbers as little as two of their size can, words in all that there are.
fn others(key: &Key) -> Vec<Sets> {
    let over = |value: &str| {
        let mut sets = beside(key);
        sets.push(set(&key.path, value));
        sets
    };
    let texts: Vec<String> = match key.kind {
        Kind::Number { low, high, .. } => {
            let value = match key.value(&model(&beside(key))) {
                Some(KeyValue::Number(value)) => value,
                _ => 0.5 * (low + high),
            };
            let next = if value == 0.0 { 1e-300 } else { f64::from_bits(value.to_bits() + 1) };
            vec![value.to_string(), next.to_string()]
        }
        Kind::Corners { .. } => {
            let one_more = |corner: usize| {
                let radii = std::array::from_fn(|at| if at == corner { 8.0_f64.next_up() } else { 8.0 });
                format!("{:?}", radii as [f64; 4])
            };
            (0..5).map(one_more).collect()
        }
        Kind::Material => ["7075-t6", "6082-t6"].map(str::to_owned).to_vec(),
        Kind::Text => ["one", "other"].map(str::to_owned).to_vec(),
        Kind::Choice(words) => {
            let shaped = |word: &&str| match *word {
                "i" => flanges(key.table_and_name().0),
                word => over(word),
            };
            return words.iter().map(shaped).collect();
        }
    };
    texts.iter().map(|text| over(text)).collect()
}

#[test]
fn every_key_changes_the_hash_but_what_is_kept_for_the_reader() {
    for key in keys::all() {
        let all = others(key);
        let hashes: BTreeSet<String> = all.iter().map(|sets| hash_of(&model(sets))).collect();
        let for_the_reader =
            keys::changes_nothing(&key.path) == Some(Idle::ForTheReader) && key.path.ends_with(".source");
        let expected = if for_the_reader { 1 } else { all.len() };
        assert!(all.len() > 1);
        assert_eq!(hashes.len(), expected, "{}: {all:?}", key.path);
    }
}

#[test]
fn mesh_ranges_and_what_was_taken_change_the_hash() {
    let base = resolved(BASE);
    let usual = SystemSettings::default();
    let next = |value: f64| value.next_up();
    let meshes = [
        usual,
        SystemSettings { mesh_size_mm: Some(1.0), ..usual },
        SystemSettings { mesh_size_mm: Some(next(1.0)), ..usual },
        SystemSettings { unknowns: next(usual.unknowns), ..usual },
        SystemSettings { floor: next(usual.floor), ..usual },
    ];
    let mut hashes: BTreeSet<String> = meshes.iter().map(|mesh| base.inputs_hash(mesh)).collect();
    assert_eq!(hashes.len(), meshes.len());
    hashes.extend([0.02, next(0.02)].map(|accuracy| base.refined_inputs_hash(&usual, accuracy)));
    assert_eq!(hashes.len(), meshes.len() + 2);

    let clearance = |value: &str| hash_of(&model(&vec![set("nose.pin_clearance_mm", value)]));
    let ranges = [
        "0.15",
        "{ between = [0.1, 0.2] }",
        "{ value = 0.15, plus_minus = 0.05 }",
        "{ value = 0.15, plus_minus = 0.04 }",
    ]
    .map(clearance);
    assert_eq!(BTreeSet::from(ranges.clone()).len(), ranges.len());

    // The same strap, once as it was told and once as the usual one.
    let told = model(&vec![set("rig.both.kind", "strap"), set("rig.both.width_mm", "12")]);
    let taken = model(&vec![set("rig.both.kind", "strap")]);
    assert_eq!((&told.rig, taken.taken.len()), (&taken.rig, 1));
    assert_ne!(hash_of(&told), hash_of(&taken));
}

#[test]
fn order_comments_and_units_do_not() {
    let reordered: String = {
        let (head, tables) = BASE.split_once('[').unwrap();
        let mut tables: Vec<String> = tables.split("\n[").map(|table| format!("[{table}\n")).collect();
        tables[0].insert_str(0, "# Measured twice.\n");
        tables.reverse();
        format!("# A comment.\n{head}{}", tables.concat().replace("[[", "["))
    };
    assert_ne!(reordered, BASE);
    assert_eq!(hash_of(&resolved(&reordered)), hash_of(&resolved(BASE)));
    let written = BASE.replace("tip_mm = 14\n", "tip_mm = '14.0 mm'\n");
    assert_ne!(written, BASE);
    assert_eq!(hash_of(&resolved(&written)), hash_of(&resolved(BASE)));
    let signed = model(&vec![set("rig.upper.offset_mm", "-0.0")]);
    assert_eq!(hash_of(&signed), hash_of(&resolved(BASE)));

    let told = |text: &str| hash(Source::of("base.toml", text).told(&[]).unwrap().inputs());
    assert_eq!(told(&reordered), told(BASE));
    assert_ne!(told(&BASE.replace("tip_mm = 14", "tip_mm = 14.000001")), told(BASE));
}

#[test]
fn what_was_told_is_told_apart() {
    let told = |text: &str, sets: &[(String, String)]| {
        canonical(Source::of("model.toml", text).told(sets).unwrap().inputs())
    };
    let texts = [
        "a = 1",
        "a = 1.5",
        "a = '1'",
        "a = true",
        "a = [1]",
        "a = {b = 1}",
        "a = nan",
        "a = inf",
        "a = 2026-01-01",
    ];
    let all: BTreeSet<String> = texts.iter().map(|text| told(text, &[])).collect();
    assert_eq!(all.len(), texts.len());
    assert_eq!(told("a = 1", &[]), told("\n\na = 1.0 # one", &[]));
    let [first, second] = [set("nose.tip_mm", 1), set("nose.tip_mm", 2)];
    assert_ne!(told("", &[first.clone(), second.clone()]), told("", &[second, first]));
}

#[test]
fn the_canonical_text_of_an_example() {
    let mesh = SystemSettings { mesh_size_mm: None, unknowns: 13_300.0, floor: 0.05 };
    let text = canonical(resolved(BASE).inputs(&mesh));
    assert_eq!(text, include_str!("base.canonical.json").trim_end());
    let version = env!("CARGO_PKG_VERSION");
    let whole = format!("{{\"inputs\":{text},\"version\":\"{version}\"}}");
    assert_eq!(resolved(BASE).inputs_hash(&mesh), digits(&whole));
    // FIPS 180-4: the digest of "abc".
    assert_eq!(digits("abc"), "ba7816bf8f01");
}
