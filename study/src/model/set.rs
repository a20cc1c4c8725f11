//! `--set key=value`: values of the command line put over those of the file, before anything is checked.
//!
//! A set value is judged like one in the file, by the same code; only its place differs. Words need no quotes
//! (`rig.gate=open`, `nose.pin_diameter_mm=1/8 in`), since the shell takes them away.

use super::checked::{End, Taken};
use super::hint::{Hint, at_both_ends, of_upper};
use super::keys::{self, Beside, Chosen, Key, Kind};
use super::misfit::LoaderKind;
use super::mistake::{ModelMistake, Problem};
use super::raw::{Entry, Place, Table, Value, parse_value};
use super::to::{Set, To};
use super::{reader, word};

impl To {
    /// The value of a key. Minus zero is read as zero.
    fn value(&self, path: &str, place: &Place) -> Value {
        match self {
            Self::Typed(text) => value(path, text, place),
            Self::Number(number) => Value::Number { value: number + 0.0, written: self.text() },
        }
    }
}

/// Keys and values as they were typed.
#[must_use]
pub fn typed(sets: &[(String, String)]) -> Vec<Set> {
    sets.iter().map(|(key, text)| (key.clone(), To::Typed(text.clone()))).collect()
}

/// A set that cannot be applied at all.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    /// Its place.
    pub place: Place,
    /// Its key.
    pub key: String,
    /// Why.
    pub problem: Problem,
    /// What to write instead.
    pub hint: Option<Hint>,
}

/// What came of the sets.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Applied {
    /// Those that name no key or reach into a value.
    pub refused: Vec<Refused>,
    /// What was taken where a set left something untold.
    pub taken: Vec<Taken>,
}

/// Puts the sets over the table, later ones over earlier ones.
///
/// `rig.both.x` stands for `rig.upper.x` and `rig.lower.x`. A set that changes the kind of a load, the shape of a bar or
/// the material takes the keys that only the old one had out of the file: who asks for a bench bar should not have to
/// edit the strap away first, nor to tell its diameter to see the difference.
pub fn apply(table: &mut Table, sets: &[Set]) -> Applied {
    let mut refused = Vec::new();
    for (at, (key, to)) in sets.iter().enumerate() {
        let place = Place::Set(at, format!("{key}={}", to.text()));
        for path in spread_over_both(key.trim()) {
            if let Err(problem) = put(table, (&path, &path), to.value(&path, &place), &place) {
                let hint = match problem {
                    Problem::NotATable(_) => reader::instead_of_table(&path),
                    _ => None,
                };
                refused.push(Refused { place: place.clone(), key: path, problem, hint });
            }
        }
    }
    drop_overruled(table);
    drop_measured_otherwise(table);
    Applied { refused, taken: size_what_was_chosen(table) }
}

fn spread_over_both(key: &str) -> Vec<String> {
    match key.strip_prefix("rig.both") {
        Some(rest) if rest.is_empty() || rest.starts_with('.') => {
            vec![format!("rig.upper{rest}"), format!("rig.lower{rest}")]
        }
        _ => vec![key.to_owned()],
    }
}

/// Mistakes of a set of `rig.both` that are the same at both ends, told once and under the key that was typed.
#[must_use]
pub fn as_typed(mistakes: Vec<ModelMistake>) -> Vec<ModelMistake> {
    let both = |mistake: &ModelMistake| {
        let Place::Set(_, text) = &mistake.place else { return None };
        text.trim_start().starts_with("rig.both").then(|| {
            let (key, hint) = (at_both_ends(&mistake.key), mistake.hint.as_ref().map(Hint::at_both_ends));
            let problem = match &mistake.problem {
                Problem::Missing(key) => Problem::Missing(of_upper(key)),
                problem => problem.clone(),
            };
            ModelMistake { key, hint, problem, ..mistake.clone() }
        })
    };
    let typed: Vec<Option<ModelMistake>> = mistakes.iter().map(both).collect();
    let mut all: Vec<ModelMistake> = Vec::new();
    for (mistake, typed_as) in mistakes.into_iter().zip(&typed) {
        match typed_as {
            Some(one) if typed.iter().flatten().filter(|other| *other == one).count() > 1 => {
                if !all.contains(one) {
                    all.push(one.clone());
                }
            }
            _ => all.push(mistake),
        }
    }
    all
}

/// The value of a set. Where a word is wanted the text is taken as it stands (`material.frame=304` is a name, not a
/// number), unless it is written as a TOML string or table.
fn value(path: &str, text: &str, place: &Place) -> Value {
    let text = text.trim();
    let word =
        matches!(keys::find(path).map(|key| key.kind), Some(Kind::Text | Kind::Choice(_) | Kind::Material));
    match parse_value(text, place) {
        Some(value @ (Value::Text(_) | Value::Table(_))) => value,
        Some(value) if !word => value,
        _ => Value::Text(text.to_owned()),
    }
}

/// Why a set of this key to this text can never be read: a word that the key does not know; and what was meant.
#[must_use]
pub fn word_refused(key: &str, text: &str) -> Option<(Problem, Option<Hint>)> {
    let path = spread_over_both(key.trim()).swap_remove(0);
    let known = keys::find(&path)?;
    match value(&path, text, &Place::File) {
        Value::Text(word) => word::refused(known.kind, word.trim()),
        _ => None,
    }
}

/// More parts than any key has.
const MOST_PARTS: usize = 16;

/// Puts a value at what is left of the path of a key.
fn put(table: &mut Table, (whole, path): (&str, &str), value: Value, place: &Place) -> Result<(), Problem> {
    // Each part is a table within a table: a key of a million parts would end the recursion.
    if path.split('.').nth(MOST_PARTS).is_some() {
        return Err(Problem::UnknownKey);
    }
    let (first, rest) = match path.split_once('.') {
        Some((first, rest)) => (first, Some(rest)),
        None => (path, None),
    };
    if first.trim().is_empty() {
        return Err(Problem::NoKey);
    }
    let Some(rest) = rest else {
        // A value in the place of a table of the file would leave all that the table held untold.
        if let Some(Entry { value: Value::Table(_), .. }) = table.get(first)
            && !matches!(value, Value::Table(_))
            && keys::find(whole).is_none()
        {
            return Err(Problem::NotATable(value));
        }
        table.insert(first.to_owned(), Entry { place: place.clone(), value });
        return Ok(());
    };
    let inner = table
        .entry(first.to_owned())
        .or_insert_with(|| Entry { place: place.clone(), value: Value::Table(Table::new()) });
    // A material by name gives way to a table of one's own.
    if let Value::Text(_) = inner.value
        && rest.split('.').count() == 1
        && keys::MATERIALS.iter().any(|material| material.strip_prefix("material.") == Some(first))
    {
        inner.value = Value::Table(Table::new());
    }
    match &mut inner.value {
        Value::Table(inner) => put(inner, (whole, rest), value, place),
        other => Err(Problem::NotATable(other.clone())),
    }
}

/// Keys that belong to one kind of load or one shape of bar, with what they belong beside. The depth of engagement belongs to
/// a half-shut gate, but stays: a gate is switched and switched back.
fn owned() -> impl Iterator<Item = (&'static Key, Beside)> {
    let of_a_kind = |beside: &Beside| ["kind", "shape"].contains(&beside.chooser);
    keys::all().iter().filter_map(move |key| Some((key, key.beside.filter(of_a_kind)?)))
}

/// The table at a path of two parts.
fn table_at<'a>(table: &'a mut Table, path: &str) -> Option<&'a mut Table> {
    let (group, name) = path.split_once('.')?;
    let Entry { value: Value::Table(group), .. } = table.get_mut(group)? else { return None };
    let Entry { value: Value::Table(inner), .. } = group.get_mut(name)? else { return None };
    Some(inner)
}

/// Takes keys out of the file that have no meaning beside a word that a set chose.
fn drop_overruled(table: &mut Table) {
    for (key, Beside { chooser, words }) in owned() {
        let (path, name) = key.table_and_name();
        let Some(keys) = table_at(table, path) else { continue };
        let Some(Entry { place: Place::Set(..), value: Value::Text(chosen) }) = keys.get(chooser) else {
            continue;
        };
        let from_file = keys.get(name).is_some_and(|entry| !matches!(entry.place, Place::Set(..)));
        if from_file && !words.contains(&chosen.as_str()) {
            keys.remove(name);
        }
    }
}

/// Takes keys out of the file that give what a set gives in another way: the width over all in the place of the width inside.
fn drop_measured_otherwise(table: &mut Table) {
    for own in keys::all().iter().filter(|key| keys::in_place_of(&key.path).next().is_some()) {
        let (path, name) = own.table_and_name();
        let Some(Entry { value: Value::Table(keys), .. }) = table.get_mut(path) else { continue };
        let mut names = vec![name];
        names.extend(keys::in_place_of(&own.path).map(|key| key.table_and_name().1));
        let is_set = |entry: &Entry| matches!(entry.place, Place::Set(..));
        if names.iter().any(|name| keys.get(*name).is_some_and(is_set)) {
            keys.retain(|name, entry| is_set(entry) || !names.contains(&name.as_str()));
        }
    }
}

/// Gives a kind of load that a set chose the usual size where none is told, and says so. Of what the file itself
/// names nothing is told here: a bar must have its diameter there, a strap has the same usual width.
fn size_what_was_chosen(table: &mut Table) -> Vec<Taken> {
    let mut taken = Vec::new();
    for kind in LoaderKind::ALL {
        let mut sized = Vec::new();
        for end in End::BOTH {
            let path = format!("rig.{}", end.word());
            let Some(Chosen::Number(size_mm)) =
                keys::find(&format!("{path}.{}", kind.size_key())).and_then(|key| key.chosen)
            else {
                continue;
            };
            let Some(keys) = table_at(table, &path) else { continue };
            let chosen = match keys.get("kind") {
                Some(Entry { place: place @ Place::Set(..), value: Value::Text(word) })
                    if word == kind.word() =>
                {
                    place.clone()
                }
                _ => continue,
            };
            if !keys.contains_key(kind.size_key()) {
                let value = Value::Number { value: size_mm, written: size_mm.to_string() };
                keys.insert(kind.size_key().to_owned(), Entry { place: chosen, value });
                sized.push((end, size_mm));
            }
        }
        match sized.as_slice() {
            [] => {}
            [(end, size_mm)] => taken.push(Taken::Size { kind, end: Some(*end), size_mm: *size_mm }),
            [(_, size_mm), ..] => taken.push(Taken::Size { kind, end: None, size_mm: *size_mm }),
        }
    }
    taken
}

#[cfg(test)]
mod tests {
    use super::super::raw::parse;
    use super::*;

    fn sets(pairs: &[(&str, &str)]) -> Vec<Set> {
        pairs.iter().map(|(key, value)| ((*key).to_owned(), To::Typed((*value).to_owned()))).collect()
    }

    fn written(table: &Table) -> String {
        Value::Table(table.clone()).to_toml()
    }

    #[test]
    fn later_values_win_and_tables_appear() {
        let mut table = parse("[nose]\ntip_mm = 14\n").unwrap();
        let refused =
            apply(&mut table, &sets(&[("nose.tip_mm", "15"), ("nose.tip_mm", "1/2 in"), ("a.b", "[1, 2]")]));
        assert_eq!(refused, Applied::default());
        assert_eq!(written(&table), "{ a = { b = [1, 2] }, nose = { tip_mm = \"1/2 in\" } }");
        let Value::Table(nose) = &table["nose"].value else { panic!() };
        assert_eq!(nose["tip_mm"].place, Place::Set(1, "nose.tip_mm=1/2 in".to_owned()));
    }

    #[test]
    fn both_sets_both() {
        let mut table = Table::new();
        assert_eq!(apply(&mut table, &sets(&[("rig.both.width_mm", "25")])), Applied::default());
        assert_eq!(written(&table), "{ rig = { lower = { width_mm = 25 }, upper = { width_mm = 25 } } }");
    }

    #[test]
    fn words_need_no_quotes() {
        let mut table = Table::new();
        let words = [
            ("rig.gate", "open"),
            ("material.frame", "304"),
            ("title", "12"),
            ("nose.tip_mm", "{ value = 3 }"),
        ];
        assert_eq!(apply(&mut table, &sets(&words)), Applied::default());
        assert_eq!(
            written(&table),
            "{ material = { frame = \"304\" }, nose = { tip_mm = { value = 3 } }, rig = { gate = \"open\" }, \
             title = \"12\" }"
        );
    }

    #[test]
    fn a_new_kind_drops_the_keys_of_the_old() {
        let mut table = parse("[rig.upper]\nkind = 'strap'\nwidth_mm = 12\noffset_mm = 3\n").unwrap();
        apply(&mut table, &sets(&[("rig.upper.kind", "bar"), ("rig.upper.diameter_mm", "10")]));
        assert_eq!(
            written(&table),
            "{ rig = { upper = { diameter_mm = 10, kind = \"bar\", offset_mm = 3 } } }"
        );
        let mut table =
            parse("[section.spine]\nshape = 'i'\ndepth_mm = 12\nbreadth_mm = 9\nweb_mm = 4\n").unwrap();
        apply(&mut table, &sets(&[("section.spine.shape", "round")]));
        assert_eq!(written(&table), "{ section = { spine = { depth_mm = 12, shape = \"round\" } } }");
    }

    #[test]
    fn a_chosen_kind_without_a_size_gets_the_usual_one_and_says_so() {
        let mut table = parse("[rig]\nupper = { kind = 'strap', width_mm = 40 }\n").unwrap();
        let applied = apply(&mut table, &sets(&[("rig.both.kind", "bar")]));
        let taken = |kind, end| [Taken::Size { kind, end, size_mm: 12.0 }];
        assert_eq!(applied.taken, taken(LoaderKind::Bar, None));
        assert_eq!(
            written(&table),
            "{ rig = { lower = { diameter_mm = 12, kind = \"bar\" }, upper = { diameter_mm = 12, kind = \"bar\" } } }"
        );
        let Value::Table(rig) = &table["rig"].value else { panic!() };
        let Value::Table(upper) = &rig["upper"].value else { panic!() };
        assert_eq!(upper["diameter_mm"].place, Place::Set(0, "rig.both.kind=bar".to_owned()));

        let mut table = parse("[rig]\nlower = { kind = 'bar', diameter_mm = 10 }\n").unwrap();
        let applied = apply(&mut table, &sets(&[("rig.lower.kind", "strap")]));
        assert_eq!(applied.taken, taken(LoaderKind::Strap, Some(End::Lower)));

        // Nothing is taken where a size is told, nor for a kind that the file itself names.
        let mut table = parse("[rig]\nlower = { kind = 'bar' }\n").unwrap();
        let told = sets(&[("rig.upper.kind", "bar"), ("rig.upper.diameter_mm", "10")]);
        assert_eq!(apply(&mut table, &told), Applied::default());
    }

    #[test]
    fn a_material_name_gives_way_to_a_table() {
        let mut table = parse("material.frame = '304'\n").unwrap();
        assert_eq!(apply(&mut table, &sets(&[("material.frame.yield_mpa", "300")])), Applied::default());
        assert_eq!(written(&table), "{ material = { frame = { yield_mpa = 300 } } }");
    }

    #[test]
    fn no_key_and_reaching_into_a_value_are_refused() {
        let mut table = parse("title = 'x'\n").unwrap();
        let refused = apply(&mut table, &sets(&[("nose..tip_mm", "1"), ("title.x", "1"), ("", "1")])).refused;
        assert_eq!(refused.len(), 3);
        assert_eq!(refused[0].problem, Problem::NoKey);
        let endless = apply(&mut table, &sets(&[(&"a.".repeat(100_000), "1")])).refused;
        assert_eq!(endless[0].problem, Problem::UnknownKey);
        assert!(matches!(refused[1].problem, Problem::NotATable(_)));
    }
}
