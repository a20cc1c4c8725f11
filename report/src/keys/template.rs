//! Writes a model file in which every key is explained, in the order in which one measures a connector.
//!
//! The explanations come from the table of keys. Keys that a model does not give are written as comments with what is
//! used instead, so that the file is a form to fill in and still says only what was measured.

use super::{about, left_out, needed_when};
use study::model::keys::{self, Key, Kind, MATERIALS, Need};
use study::model::raw::{Entry, Place, Table, Value, parse};
use study::model::{MARK, ModelErrors, Source};

const PREAMBLE: &str = "\
# A connector for pullmap. Fill it in from top to bottom with a caliper in hand; `pullmap sketch` draws it.
#
# A bare number is in the unit that the name of its key ends with. Other units go in quotes: \"1/2 in\", \"5400 lbf\",
# \"500 daN\", \"2000 kgf\". What you know only roughly may be \"14 ± 0.2\" or \"12 to 15\", in quotes too: the map uses
# the middle and says so.
# Of two keys that give the same value, one by what a caliper reads, give one: the other stays a comment.
# The gate is on the right and its hinge below; `upper` is the end at the nose. Offsets are above 0 toward the gate.
";

/// The commented file of a model, with its values, under a title.
///
/// The file gives the same model again, ranges included, and the marks of values that are still the example's.
///
/// # Errors
/// The source has mistakes; a form with mistakes in it helps nobody.
pub fn commented(source: &Source, title: Option<&str>) -> Result<String, ModelErrors> {
    written(source, title, Marks::Own)
}

/// The same as a form to fill in: each value that it takes from the model is marked as the example's.
///
/// # Errors
/// The source has mistakes.
pub fn form(source: &Source, title: Option<&str>) -> Result<String, ModelErrors> {
    written(source, title, Marks::All)
}

/// Whether values are marked as the example's.
#[derive(Clone, Copy, PartialEq)]
enum Marks {
    /// Those that the source marks.
    Own,
    /// Every one.
    All,
}

fn written(source: &Source, title: Option<&str>, marks: Marks) -> Result<String, ModelErrors> {
    let model = source.model(&[])?;
    let mut values = parse(&source.text).unwrap_or_default();
    let own_title = title.is_some();
    let title = title.unwrap_or(&model.title).to_owned();
    let place = Place::File;
    values.insert("title".to_owned(), Entry { place, value: Value::Text(title) });
    let is_marked = |key: &Key| match marks {
        Marks::Own => model.marked.contains(&key.path.as_str()),
        Marks::All => !(own_title && key.path == "title"),
    };
    let any = marks == Marks::All || !model.marked.is_empty();
    Ok(write(&values, any, &is_marked))
}

fn write(values: &Table, any_marked: bool, is_marked: &dyn Fn(&Key) -> bool) -> String {
    let mut text = PREAMBLE.to_owned();
    if any_marked {
        text.push_str(&on_marks());
    }
    for table in keys::tables() {
        let own_material = MATERIALS.contains(&table);
        if own_material && !matches!(value(values, table), Some(Value::Table(_))) {
            continue;
        }
        text.push('\n');
        if !table.is_empty() {
            comment(&mut text, heading(table));
            line(&mut text, &format!("[{table}]"));
        }
        for key in keys::of_table(table) {
            write_key(&mut text, key, value(values, &key.path), is_marked(key));
        }
    }
    text
}

/// What the form says of its marks.
fn on_marks() -> String {
    format!(
        "#\n# A value with the mark `# {MARK}` behind it is still that of the connector that this form was made from: delete the \
         mark\n# when you have measured. Answers tell how many are left.\n"
    )
}

fn write_key(text: &mut String, key: &Key, value: Option<&Value>, is_marked: bool) {
    let name = key.table_and_name().1;
    if key.kind == Kind::Material && matches!(value, Some(Value::Table(_))) {
        // A table of one's own has a header below.
        return;
    }
    let unit = match key.unit() {
        "" => String::new(),
        unit => format!(", {unit}"),
    };
    let left_out = match key.need {
        Need::Required => String::new(),
        Need::WhenShown | Need::InOwnMaterial => format!(". Only when {}", needed_when(key)),
        Need::InPlaceOf(own) => format!(". In the place of {own}"),
        Need::Else(_) => format!(". Left out: {}", left_out(key)),
    };
    comment(text, &format!("{}{unit}{left_out}.", about(key)));
    match value {
        Some(value) => {
            let mark = if is_marked { format!(" # {MARK}") } else { String::new() };
            line(text, &format!("{name} = {}{mark}", value.to_toml()));
        }
        None => line(text, &format!("# {name} =")),
    }
}

/// The heading of a table; empty for none.
pub(super) fn heading(table: &str) -> &'static str {
    match table {
        "window" => "The window: the opening that the frame runs around.",
        "section.spine" => "The bar: measure the spine first, opposite the gate.",
        "section.upper" => "The bar at the nose end, if it differs from the spine: only what differs.",
        "section.lower" => "The bar at the hinge end, if it differs from the spine: only what differs.",
        "nose" => "Nose and notch: where the shut gate hangs on to the frame.",
        "gate" => "The gate.",
        "hinge" => "The hinge.",
        "material" => "What it is made of.",
        "material.frame" => "Material of the frame.",
        "material.gate" => "Material of the gate.",
        "material.pins" => "Material of the pins.",
        "marking" => "What is stamped on it.",
        "rig" => "How it is pulled, along the major axis.",
        "rig.upper" => "What pulls up, at the nose end.",
        "rig.lower" => "What pulls down, at the hinge end.",
        _ => "",
    }
}

fn value<'a>(values: &'a Table, path: &str) -> Option<&'a Value> {
    match path.split_once('.') {
        None => values.get(path).map(|entry| &entry.value),
        Some((first, rest)) => match &values.get(first)?.value {
            Value::Table(inner) => value(inner, rest),
            _ => None,
        },
    }
}

/// Comment lines of at most this many letters.
const WIDTH: usize = 110;

fn comment(text: &mut String, words: &str) {
    let mut length = 0;
    for word in words.split(' ') {
        let letters = word.chars().count();
        if length > 0 && length + 1 + letters > WIDTH {
            text.push('\n');
            length = 0;
        }
        if length == 0 {
            text.push('#');
            length = 1;
        }
        text.push(' ');
        text.push_str(word);
        length += 1 + letters;
    }
    text.push('\n');
}

fn line(text: &mut String, words: &str) {
    text.push_str(words);
    text.push('\n');
}
