//! What each column is: by its heading, by the units beside its values, and by the values themselves.

use super::error::TraceError;
use super::kind::Kind;
use super::layout::Layout;
use super::separator::uncommented;
use super::unit::Unit;

/// What a column is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Times.
    Clock,
    /// A load.
    Load,
    /// Raw counts of a load.
    Counts,
    /// How far the bench has moved.
    Way,
    /// The number of a sample.
    Index,
    /// Something else.
    Other,
}

/// Where a unit is from. Lines are counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitFrom {
    /// It was asked for.
    Asked,
    /// The heading of the column.
    Heading(usize),
    /// It stands beside each value.
    Rows,
    /// A line about the values.
    Line(usize),
}

/// A column.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its name without its unit; its number, from 1, where it has none.
    pub name: String,
    /// Its unit by the heading, and where that stands.
    pub unit: Option<(Unit, UnitFrom)>,
    /// The column that holds the units of its values.
    pub unit_column: Option<usize>,
    /// What it is for.
    pub role: Role,
}

const TIME: [&str; 17] = [
    "ts",
    "utc",
    "hhmmss",
    "time",
    "zeit",
    "t",
    "elapsed",
    "timestamp",
    "date",
    "datum",
    "uhrzeit",
    "seconds",
    "clock",
    "temps",
    "tiempo",
    "datetime",
    "sec",
];
const LOAD: [&str; 17] = [
    "force",
    "kraft",
    "load",
    "last",
    "tension",
    "pull",
    "cell",
    "weight",
    "zug",
    "f",
    "fuerza",
    "charge",
    "dyno",
    "zugkraft",
    "loadcell",
    "kraftwert",
    "channel",
];
const WAY: [&str; 10] =
    ["displacement", "disp", "stroke", "weg", "extension", "position", "travel", "way", "hub", "elongation"];
const COUNTS: [&str; 4] = ["raw", "counts", "adc", "cts"];
const INDEX: [&str; 7] = ["index", "n", "no", "nr", "sample", "lfd", "id"];
/// Columns that keep an extreme.
const KEPT: [&str; 8] = ["max", "min", "peak", "maximum", "minimum", "hold", "spitze", "mean"];

/// The name and the unit of a heading's cell: Kraft [N], force_kN, Load (lbs), kN.
fn named(cell: &str) -> (String, Option<Unit>) {
    let inside = cell.trim_matches(['[', ']', '(', ')']);
    // A single letter by itself is a name, but for these: t is time, n counts.
    if (inside.len() > 1 || inside.len() < cell.len() || matches!(cell, "N" | "s"))
        && let Some(unit) = Unit::of(inside)
    {
        return (cell.to_owned(), Some(unit));
    }
    for (open, close) in [('[', ']'), ('(', ')'), ('{', '}')] {
        if let (Some(from), Some(to)) = (cell.find(open), cell.rfind(close))
            && from < to
        {
            let name = format!("{}{}", &cell[..from], &cell[to + close.len_utf8()..]);
            let name = name.trim().to_owned();
            // F(t) is a function of time, and g is what an acceleration counts: tonnes and grams are only those of a load.
            let inside = cell[from + 1..to].trim();
            let loose = matches!(inside, "t" | "g" | "G") && !(name.len() > 1 && is(&name, &LOAD));
            return (name, Unit::of(inside).filter(|_| !loose));
        }
    }
    if let Some(at) = cell.rfind(['/', '_', ' ', ',']) {
        let word = cell[at + 1..].trim();
        let letter = word.len() == 1 && !matches!(word, "N" | "s") && !cell[at..].starts_with('/');
        if let Some(unit) = Unit::of(word).filter(|_| !letter) {
            let name = cell[..at].trim().trim_end_matches(" in").trim_end_matches("_in").to_owned();
            return (name, Some(unit));
        }
    }
    (cell.to_owned(), None)
}

pub(super) fn is(name: &str, list: &[&str]) -> bool {
    name.split(|c: char| !c.is_alphabetic()).any(|w| list.contains(&w.to_lowercase().as_str()))
}

fn role(name: &str, unit: Option<Unit>, kind: Kind) -> Role {
    if kind == Kind::Stamp {
        return Role::Clock;
    }
    if kind != Kind::Number {
        return Role::Other;
    }
    match unit {
        Some(Unit::Force(_)) => Role::Load,
        Some(Unit::Seconds(_)) => Role::Clock,
        Some(Unit::Millimetres(_)) => Role::Way,
        Some(Unit::Counts) => Role::Counts,
        Some(Unit::Other) => Role::Other,
        None if is(name, &COUNTS) => Role::Counts,
        None if is(name, &LOAD) => Role::Load,
        None if is(name, &TIME) => Role::Clock,
        None if is(name, &WAY) => Role::Way,
        None if is(name, &INDEX) => Role::Index,
        None => Role::Other,
    }
}

/// The columns of a file. `sample` holds the cells of some rows, each as a number where it is one.
///
/// # Errors
/// No column is a load, or several may be.
pub fn columns(
    layout: &Layout,
    lines: &[&str],
    sample: &[Vec<Option<f64>>],
    wanted: Option<&str>,
) -> Result<Vec<Column>, TraceError> {
    let width = layout.kinds.len();
    let cells = |line: Option<usize>| -> Vec<&str> {
        let mut cells = Vec::new();
        if let Some(line) = line {
            layout.separator.split(uncommented(lines[line]), &mut cells);
            cells.resize(width, "");
        }
        cells
    };
    let (heading, below) = (cells(layout.heading), cells(layout.units));
    let mut columns: Vec<Column> = (0..width)
        .map(|k| {
            let (name, mut unit) = heading.get(k).map_or((String::new(), None), |c| named(c));
            let mut line = layout.heading;
            if let Some(word) = below.get(k).and_then(|c| Unit::of(c.trim_matches(['[', ']', '(', ')']))) {
                (unit, line) = (Some(word), layout.units);
            }
            let role = role(&name, unit, layout.kinds[k]);
            let from = UnitFrom::Heading(line.map_or(0, |l| l + 1));
            let name: String =
                name.chars().map(|c| if c.is_control() { char::REPLACEMENT_CHARACTER } else { c }).collect();
            let name = if name.is_empty() { (k + 1).to_string() } else { name };
            Column { name, unit: unit.map(|u| (u, from)), unit_column: None, role }
        })
        .collect();
    units_beside(layout, lines, &mut columns);
    if layout.heading.is_none() {
        unnamed(&mut columns, layout, sample);
    }
    if let Some(wanted) = wanted {
        asked_for(&mut columns, layout, &heading, wanted)?;
        return Ok(columns);
    }
    // What keeps an extreme is no cell, where a cell is there.
    let loads = |columns: &[Column]| columns.iter().filter(|c| c.role == Role::Load).count();
    let kept = columns.iter().filter(|c| c.role == Role::Load && is(&c.name, &KEPT)).count();
    if kept < loads(&columns) {
        for column in columns.iter_mut().filter(|c| c.role == Role::Load && is(&c.name, &KEPT)) {
            column.role = Role::Other;
        }
    }
    // Beside a load with a unit one without is none.
    let with_unit = |c: &Column| c.unit.is_some_and(|(u, _)| matches!(u, Unit::Force(_)));
    if columns.iter().any(|c| c.role == Role::Load && with_unit(c)) {
        for column in columns.iter_mut().filter(|c| c.role == Role::Load && !with_unit(c)) {
            column.role = Role::Other;
        }
    }
    if loads(&columns) == 0 && !columns.iter().any(|c| c.role == Role::Counts) {
        let open: Vec<usize> = (0..width)
            .filter(|k| {
                columns[*k].role == Role::Other
                    && layout.kinds[*k] == Kind::Number
                    && columns[*k].unit.is_none_or(|(u, _)| u != Unit::Other)
            })
            .collect();
        let names = |of: &[usize]| of.iter().map(|k| columns[*k].name.clone()).collect::<Vec<_>>();
        match open[..] {
            [one] => columns[one].role = Role::Load,
            [] => return Err(TraceError::NoLoad { columns: names(&(0..width).collect::<Vec<_>>()) }),
            _ => return Err(TraceError::WhichLoad { columns: names(&open) }),
        }
    }
    Ok(columns)
}

/// Columns of units say what the numbers before them are; so do units in the cells themselves.
fn units_beside(layout: &Layout, lines: &[&str], columns: &mut [Column]) {
    let mut cells = Vec::new();
    let Some(first) = layout.rows.first() else { return };
    layout.takes(lines[*first], &mut cells);
    for k in 0..columns.len() {
        let (holder, word) = match layout.kinds[k] {
            Kind::Unit if k > 0 && layout.kinds[k - 1] == Kind::Number => (k - 1, cells.get(k).copied()),
            Kind::Number => {
                let word =
                    cells.get(k).and_then(|c| super::number::with_word(c, layout.decimal)).map(|(_, w)| w);
                if word.is_none() {
                    continue;
                }
                (k, word)
            }
            _ => continue,
        };
        let Some(unit) = word.and_then(Unit::of) else { continue };
        let column = &mut columns[holder];
        column.unit = Some((unit, UnitFrom::Rows));
        column.unit_column = Some(k);
        column.role = role(&column.name, Some(unit), Kind::Number);
    }
}

/// Columns without a heading: a first one that only grows counts or tells the time.
fn unnamed(columns: &mut [Column], layout: &Layout, sample: &[Vec<Option<f64>>]) {
    let numbers = layout.kinds.iter().filter(|k| **k == Kind::Number).count();
    let stamped = columns.iter().any(|c| c.role == Role::Clock);
    let first = layout.kinds.iter().position(|k| *k == Kind::Number);
    let Some(first) = first.filter(|f| numbers > 1 && !stamped && columns[*f].unit.is_none()) else { return };
    let values: Vec<f64> = sample.iter().filter_map(|row| row[first]).collect();
    let grows =
        values.len() > 2 && values.windows(2).all(|w| w[1] >= w[0]) && values[values.len() - 1] > values[0];
    // Samples may be missing: then the numbers leave some out.
    let counts = super::absent::counted(&values).is_some_and(|places| {
        places.len() > 1 && values[values.len() - 1] - values[0] == places[places.len() - 1]
    });
    if counts && values.len() == sample.len() {
        columns[first].role = Role::Index;
    } else if grows {
        columns[first].role = Role::Clock;
    }
}

fn asked_for(
    columns: &mut [Column],
    layout: &Layout,
    heading: &[&str],
    wanted: &str,
) -> Result<(), TraceError> {
    let by_number =
        wanted.trim().parse::<usize>().ok().and_then(|n| n.checked_sub(1)).filter(|n| *n < columns.len());
    let small = wanted.trim().to_lowercase();
    let by_name = (0..columns.len()).find(|k| {
        columns[*k].name.to_lowercase() == small
            || heading.get(*k).is_some_and(|h| h.trim().to_lowercase() == small)
    });
    let Some(chosen) = by_name.or(by_number) else {
        let columns = columns.iter().map(|c| c.name.clone()).collect();
        return Err(TraceError::NoSuchColumn { wanted: wanted.to_owned(), columns });
    };
    if layout.kinds[chosen] != Kind::Number {
        return Err(TraceError::NoNumbers { column: columns[chosen].name.clone() });
    }
    for (k, column) in columns.iter_mut().enumerate() {
        if k == chosen {
            column.role = if column.role == Role::Counts { Role::Counts } else { Role::Load };
        } else if matches!(column.role, Role::Load | Role::Counts) {
            column.role = Role::Other;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::force_unit::ForceUnit;

    fn of(text: &str, wanted: Option<&str>) -> Result<Vec<(String, Role, Option<Unit>)>, TraceError> {
        let lines: Vec<&str> = text.lines().collect();
        let layout = Layout::of(&lines, None)?;
        let mut cells = Vec::new();
        let sample: Vec<Vec<Option<f64>>> = layout
            .rows
            .iter()
            .map(|r| {
                layout.takes(lines[*r], &mut cells);
                cells.iter().map(|c| super::super::number::number(c, layout.decimal)).collect()
            })
            .collect();
        Ok(columns(&layout, &lines, &sample, wanted)?
            .into_iter()
            .map(|c| (c.name, c.role, c.unit.map(|u| u.0)))
            .collect())
    }

    #[test]
    fn headings_name_roles_and_units() {
        let kn = Some(Unit::Force(ForceUnit::KN));
        let table = of("time_s,force_kN,temp\n0,1.5,20.1\n1,2.5,20.1\n", None).unwrap();
        assert_eq!(table[1], ("force".to_owned(), Role::Load, kn));
        assert_eq!((table[0].1, table[2].1), (Role::Clock, Role::Other));
        let unit_row = of("t\tF\tF max\ns\tkN\tkN\n0\t1.5\t1.5\n1\t2.5\t2.5\n", None).unwrap();
        assert_eq!((unit_row[1].1, unit_row[2].1), (Role::Load, Role::Other));
        let rows = of("+0012.45,kN,000.00,mm\n+0012.47,kN,000.01,mm\n", None).unwrap();
        assert_eq!((rows[0].1, rows[0].2, rows[2].1), (Role::Load, kn, Role::Way));
        let bare = of("0.1 1.5\n0.2 1.4\n0.3 1.6\n", None).unwrap();
        assert_eq!((bare[0].1, bare[1].1), (Role::Clock, Role::Load));
        let counted = of("1;7.5\n2;8.5\n3;7.0\n", None).unwrap();
        assert_eq!((counted[0].1, counted[1].1), (Role::Index, Role::Load));
    }

    #[test]
    fn what_may_be_the_load_is_asked() {
        let two = "a,b\n2.5,1.5\n1.5,2.5\n";
        assert_eq!(
            of(two, None),
            Err(TraceError::WhichLoad { columns: vec!["a".to_owned(), "b".to_owned()] })
        );
        assert_eq!(of(two, Some("b")).unwrap()[1].1, Role::Load);
        assert_eq!(of(two, Some("2")).unwrap()[1].1, Role::Load);
        assert!(matches!(of(two, Some("c")), Err(TraceError::NoSuchColumn { .. })));
    }
}
