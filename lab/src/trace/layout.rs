//! How a file's lines are to be read: what stands between values, which decimal mark they have, and where they begin and end.

use super::clock::stamp_s;
use super::error::TraceError;
use super::number::{Cell, Decimal, read, two_ways, with_word};
use super::unit::Unit;

/// What stands between values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Separator {
    /// A tabulator.
    Tab,
    /// A semicolon.
    Semicolon,
    /// An upright line.
    Bar,
    /// Spaces.
    Space,
    /// A comma.
    Comma,
    /// Nothing: one value a line.
    None,
}

/// What most cells of a column are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Numbers.
    Number,
    /// Times of day, with or without a date.
    Stamp,
    /// Units.
    Unit,
    /// Other words.
    Word,
}

/// A file's layout. Lines are counted from 0 here.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Between values.
    pub separator: Separator,
    /// The decimal mark that its numbers are read with.
    pub decimal: Decimal,
    /// Whether any number has that mark.
    pub marked: bool,
    /// What the columns are.
    pub kinds: Vec<Kind>,
    /// The lines of values.
    pub rows: Vec<usize>,
    /// First lines of the recordings in it.
    pub parts: Vec<usize>,
    /// The line that names the columns.
    pub heading: Option<usize>,
    /// The line of their units, where that is a line of its own.
    pub units: Option<usize>,
}

/// Lines that are looked at to find the separator: so many at the beginning, and as many spread over the others.
const LOOKED_AT: usize = 1500;
/// Lines behind the values that begin as values do: fewer may be a foot.
const NO_FOOT: usize = 3;
/// Lines above the values in which their heading is sought.
const ABOVE: usize = 3;

impl Separator {
    const ALL: [Self; 6] = [Self::Tab, Self::Semicolon, Self::Bar, Self::Space, Self::Comma, Self::None];

    /// The cells of a line, without spaces and quotes about them.
    pub fn split<'t>(self, line: &'t str, into: &mut Vec<&'t str>) {
        into.clear();
        let mark = match self {
            Self::Tab => '\t',
            Self::Semicolon => ';',
            Self::Bar => '|',
            Self::Comma => ',',
            Self::Space => {
                into.extend(line.split_whitespace().map(bare));
                return;
            }
            Self::None => {
                into.push(bare(line));
                return;
            }
        };
        if !line.contains('"') {
            into.extend(line.split(mark).map(str::trim));
            return;
        }
        let (mut from, mut quoted) = (0, false);
        for (at, c) in line.char_indices() {
            if c == '"' {
                quoted = !quoted;
            } else if c == mark && !quoted {
                into.push(bare(&line[from..at]));
                from = at + c.len_utf8();
            }
        }
        into.push(bare(&line[from..]));
    }
}

fn looked_at<'l, 't>(lines: &'l [&'t str]) -> impl Iterator<Item = (usize, &'t str)> + 'l {
    let step = (lines.len().saturating_sub(LOOKED_AT) / LOOKED_AT).max(1);
    let all = lines.iter().copied().enumerate().filter(|(_, line)| !line.trim().is_empty());
    all.filter(move |(at, _)| *at < LOOKED_AT || at % step == 0)
}

fn bare(cell: &str) -> &str {
    let cell = cell.trim();
    cell.strip_prefix('"').and_then(|c| c.strip_suffix('"')).map_or(cell, str::trim)
}

/// What a cell is by itself; nothing where it stands for a value that is not there.
fn kind_of(cell: &str, decimal: Decimal) -> Option<Kind> {
    match read(cell, decimal) {
        Cell::Number(_) => Some(Kind::Number),
        Cell::Missing | Cell::Over => None,
        Cell::Word if with_word(cell, decimal).is_some_and(|(_, word)| Unit::of(word).is_some()) => {
            Some(Kind::Number)
        }
        Cell::Word if stamp_s(cell).is_some() => Some(Kind::Stamp),
        Cell::Word if Unit::of(cell).is_some() => Some(Kind::Unit),
        Cell::Word => Some(Kind::Word),
    }
}

/// Whether a cell is a number of digits, one point at most, and a sign: what most cells of a long file are.
fn is_plain(cell: &str) -> bool {
    let unsigned = cell.strip_prefix(['+', '-']).unwrap_or(cell);
    let (mut digits, mut points) = (0, 0);
    unsigned.bytes().all(|b| {
        digits += u32::from(b.is_ascii_digit());
        points += u32::from(b == b'.');
        b.is_ascii_digit() || b == b'.'
    }) && digits > 0
        && points < 2
}

/// How well lines are understood with a separator and a decimal mark.
struct Reading {
    separator: Separator,
    decimal: Decimal,
    /// Cells of a row.
    cells: usize,
    /// Rows, each by the part of its cells that is understood.
    understood: f64,
    /// A line and a cell that would be another number with the other mark.
    two_ways: Option<(usize, String)>,
    marked: bool,
}

impl Reading {
    fn of(lines: &[&str], separator: Separator, decimal: Decimal) -> Option<Self> {
        let mut cells = Vec::new();
        // How often a line with numbers has so many cells.
        let mut often: Vec<(usize, f64)> = Vec::new();
        let (mut ambiguous, mut marked) = (None, false);
        for (at, line) in looked_at(lines) {
            separator.split(line, &mut cells);
            while cells.len() > 1 && cells.last().is_some_and(|c| c.is_empty()) {
                cells.pop();
            }
            let kinds: Vec<Option<Kind>> = cells.iter().map(|c| kind_of(c, decimal)).collect();
            if !kinds.contains(&Some(Kind::Number)) {
                continue;
            }
            let known = kinds.iter().filter(|k| **k != Some(Kind::Word)).count();
            let part = known as f64 / cells.len() as f64;
            match often.iter_mut().find(|(n, _)| *n == cells.len()) {
                Some((_, sum)) => *sum += part,
                None => often.push((cells.len(), part)),
            }
            for (cell, _) in cells.iter().zip(&kinds).filter(|(_, k)| **k == Some(Kind::Number)) {
                marked |= cell.contains(if decimal == Decimal::Point { '.' } else { ',' });
                if ambiguous.is_none() && two_ways(cell) {
                    ambiguous = Some((at, (*cell).to_owned()));
                }
            }
        }
        let (cells, understood) = often.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        // A mark that parts nothing is not there.
        if cells == 1 && separator != Separator::None {
            return None;
        }
        Some(Self { separator, decimal, cells, understood, two_ways: ambiguous, marked })
    }
}

/// The reading that understands most.
fn best(lines: &[&str], decimal: Option<Decimal>) -> Result<Reading, TraceError> {
    let mut readings: Vec<Reading> = Vec::new();
    for separator in Separator::ALL {
        for mark in [Decimal::Point, Decimal::Comma] {
            // A comma cannot be both.
            let possible = separator != Separator::Comma || mark == Decimal::Point;
            let wanted =
                decimal.is_none_or(|d| d == mark || separator == Separator::Comma && d == Decimal::Point);
            if possible && wanted {
                readings.extend(Reading::of(lines, separator, mark));
            }
        }
    }
    let most = readings.iter().map(|r| r.understood).fold(0.0, f64::max);
    if most <= 0.0 {
        return Err(TraceError::NoValues);
    }
    readings.retain(|r| r.understood > most - 1e-9);
    let with = |readings: &[Reading], separator: Separator| readings.iter().any(|r| r.separator == separator);
    // One value a line, or two with a comma or a space between: both can be read.
    for (other, by_heading) in [(Separator::Comma, true), (Separator::Space, false)] {
        if with(&readings, other)
            && with(&readings, Separator::None)
            && readings.iter().any(|r| r.separator == other && r.cells > 1)
        {
            let one = one_column(lines, other);
            match one.or_else(|| falls(lines, other).then_some(true)) {
                Some(true) if by_heading => readings.retain(|r| r.separator == Separator::None),
                Some(false) if by_heading => readings.retain(|r| r.separator == other),
                _ => {
                    let (line, found) = first_with_digit(lines);
                    return Err(TraceError::TwoWays { line, found });
                }
            }
        }
    }
    let first = Separator::ALL.into_iter().find(|s| with(&readings, *s)).unwrap_or(Separator::None);
    let mut left = readings.into_iter().filter(|r| r.separator == first);
    let Some(reading) = left.next() else { return Err(TraceError::NoValues) };
    // With both marks all is understood: does it matter?
    if let (Some(_), Some((line, found))) = (left.next(), &reading.two_ways) {
        return Err(TraceError::TwoWays { line: line + 1, found: found.clone() });
    }
    Ok(reading)
}

/// Whether the line above the first number names one column; nothing where there is no such line.
fn one_column(lines: &[&str], separator: Separator) -> Option<bool> {
    let first =
        lines.iter().position(|l| l.trim().starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)))?;
    let above = lines[..first].iter().rev().find(|l| !l.trim().is_empty())?;
    if above.contains([':', '=']) || above.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    let mut cells = Vec::new();
    separator.split(above, &mut cells);
    Some(cells.iter().filter(|c| !c.is_empty()).count() == 1)
}

/// Whether the first of two cells falls on the way: then it is no clock and counts nothing, and without a heading such a pair is one number.
fn falls(lines: &[&str], separator: Separator) -> bool {
    let mut cells = Vec::new();
    let mut before = f64::NEG_INFINITY;
    for line in lines {
        separator.split(line, &mut cells);
        let Cell::Number(first) = read(cells.first().copied().unwrap_or(""), Decimal::Point) else {
            continue;
        };
        if first < before {
            return true;
        }
        before = first;
    }
    false
}

fn first_with_digit(lines: &[&str]) -> (usize, String) {
    let at =
        lines.iter().position(|l| l.trim().starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)));
    let at = at.unwrap_or(0);
    (at + 1, lines.get(at).map_or_else(String::new, |l| l.trim().to_owned()))
}

impl Layout {
    /// Finds it.
    ///
    /// # Errors
    /// Lines that can be read two ways, none of values, or some among them that are no values.
    pub fn of(lines: &[&str], decimal: Option<Decimal>) -> Result<Self, TraceError> {
        let Reading { separator, decimal, cells: width, marked, .. } = best(lines, decimal)?;
        let mut cells = Vec::new();
        let mut seen = vec![[0_usize; 4]; width];
        let mut whole = true;
        let mut padded = false;
        for (_, line) in looked_at(lines) {
            separator.split(line, &mut cells);
            fit(&mut cells, width);
            let kinds: Vec<Option<Kind>> = cells.iter().map(|c| kind_of(c, decimal)).collect();
            if cells.len() != width || !kinds.contains(&Some(Kind::Number)) {
                continue;
            }
            for ((kind, seen), (column, cell)) in kinds.iter().zip(&mut seen).zip(cells.iter().enumerate()) {
                if let Some(kind) = kind {
                    seen[*kind as usize] += 1;
                }
                whole &= cell.bytes().all(|b| b.is_ascii_digit() || b == b'-' || b == b'+');
                padded |= column > 0 && cell.len() > 1 && cell.starts_with('0');
            }
        }
        let kinds: Vec<Kind> = seen
            .iter()
            .map(|seen| {
                let all = [Kind::Number, Kind::Stamp, Kind::Unit, Kind::Word];
                // A column of marks only may yet hold numbers.
                let most = seen.iter().max().copied().unwrap_or(0);
                all.into_iter().find(|k| seen[*k as usize] == most).unwrap_or(Kind::Number)
            })
            .collect();
        let mut layout = Self {
            separator,
            decimal,
            marked,
            kinds,
            rows: Vec::new(),
            parts: Vec::new(),
            heading: None,
            units: None,
        };
        let first = lines.iter().position(|l| layout.takes(l, &mut cells)).ok_or(TraceError::NoValues)?;
        layout.find_heading(lines, first);
        if layout.heading.is_none()
            && let Some(named) =
                layout.named_width(lines, first).filter(|named| *named > 1 && *named != width)
            && !(separator == Separator::Comma && whole && width == 2 * named)
        {
            return Err(TraceError::HeadingWidth { line: first + 1, named, found: width });
        }
        if separator == Separator::Comma && whole && width % 2 == 0 {
            let named = layout.named_width(lines, first);
            if named == Some(width / 2) || (named.is_none() && padded) {
                let columns = named.unwrap_or(width / 2);
                return Err(TraceError::CommaTwice { line: first + 1, pieces: width, columns });
            }
        }
        layout.find_rows(lines, first)?;
        Ok(layout)
    }

    /// How many columns the nearest line of words above the values names.
    fn named_width(&self, lines: &[&str], first: usize) -> Option<usize> {
        let above = lines[..first].iter().rev().find(|l| !l.trim().is_empty())?;
        let mut cells = Vec::new();
        self.separator.split(above, &mut cells);
        fit(&mut cells, 1);
        let words = cells.iter().all(|c| kind_of(c, self.decimal).is_none_or(|k| k != Kind::Number));
        words.then_some(cells.len())
    }

    /// Whether a line is one of values; its cells are then as many as there are columns.
    pub fn takes<'t>(&self, line: &'t str, cells: &mut Vec<&'t str>) -> bool {
        if line.trim().is_empty() {
            return false;
        }
        self.separator.split(line, cells);
        fit(cells, self.kinds.len());
        cells.len() == self.kinds.len() && self.wrong_cell(cells).is_none() && {
            let number = |(c, k): (&&str, &Kind)| {
                *k == Kind::Number
                    && !c.is_empty()
                    && (is_plain(c)
                        || !matches!(kind_of(c, self.decimal), Some(Kind::Word | Kind::Unit | Kind::Stamp)))
            };
            cells.iter().zip(&self.kinds).any(number)
        }
    }

    /// The first cell that is not what its column is.
    fn wrong_cell(&self, cells: &[&str]) -> Option<usize> {
        cells.iter().zip(&self.kinds).position(|(cell, kind)| match kind {
            Kind::Number if self.decimal == Decimal::Point && is_plain(cell) => false,
            Kind::Number => !matches!(kind_of(cell, self.decimal), Some(Kind::Number) | None),
            Kind::Stamp => stamp_s(cell).is_none(),
            Kind::Unit => !cell.is_empty() && Unit::of(cell).is_none(),
            Kind::Word => false,
        })
    }

    fn find_heading(&mut self, lines: &[&str], first: usize) {
        let width = self.kinds.len();
        let mut cells = Vec::new();
        let above: Vec<usize> =
            (0..first).rev().filter(|l| !lines[*l].trim().is_empty()).take(ABOVE).collect();
        let mut units = None;
        for at in above {
            let line = uncommented(lines[at]);
            self.separator.split(line, &mut cells);
            fit(&mut cells, width);
            let words =
                cells.iter().all(|c| !matches!(kind_of(c, self.decimal), Some(Kind::Number | Kind::Stamp)));
            let named = width > 1 || !line.contains([':', '=']);
            if cells.len() != width || !words || !named || cells.iter().all(|c| c.is_empty()) {
                break;
            }
            let unit = |c: &&str| c.is_empty() || Unit::of(c.trim_matches(['[', ']', '(', ')'])).is_some();
            if units.is_none() && self.heading.is_none() && cells.iter().all(unit) {
                units = Some(at);
            } else {
                self.heading = Some(at);
                break;
            }
        }
        match (self.heading, units) {
            (None, Some(at)) => self.heading = Some(at),
            (_, units) => self.units = units,
        }
    }

    fn find_rows(&mut self, lines: &[&str], first: usize) -> Result<(), TraceError> {
        let mut cells = Vec::new();
        let heading = self.heading.map(|h| lines[h]);
        self.parts.push(first);
        let mut between: Vec<usize> = Vec::new();
        for (at, line) in lines.iter().enumerate().skip(first) {
            if self.takes(line, &mut cells) {
                let again = between.iter().any(|l| Some(lines[*l]) == heading);
                // A line of the table with a word in it does not part two recordings.
                let rows = |l: &usize| {
                    let mut cells = Vec::new();
                    self.separator.split(lines[*l], &mut cells);
                    fit(&mut cells, self.kinds.len());
                    cells.len() == self.kinds.len() && self.kinds.len() > 1
                };
                if again || between.len() > 1 && !between.iter().all(rows) {
                    self.parts.push(at);
                } else if let Some(odd) = between.first() {
                    return Err(self.why_odd(lines[*odd], *odd));
                }
                between.clear();
                self.rows.push(at);
            } else if !line.trim().is_empty() && !line.trim_start().starts_with(['#', '%']) {
                between.push(at);
            }
        }
        // What begins as values do is no foot.
        let like =
            |l: &usize| lines[*l].trim_start().starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c));
        if between.iter().filter(|l| like(l)).count() >= NO_FOOT
            && let Some(odd) = between.iter().find(|l| like(l))
        {
            return Err(self.why_odd(lines[*odd], *odd));
        }
        Ok(())
    }

    /// Why a line among values is none of them.
    fn why_odd(&self, line: &str, at: usize) -> TraceError {
        let mut cells = Vec::new();
        self.separator.split(line, &mut cells);
        fit(&mut cells, self.kinds.len());
        match self.wrong_cell(&cells) {
            Some(column) if cells.len() == self.kinds.len() => TraceError::BadCell {
                line: at + 1,
                column: (column + 1).to_string(),
                found: cells[column].to_owned(),
            },
            _ => TraceError::OtherLength { line: at + 1, found: cells.len(), wanted: self.kinds.len() },
        }
    }
}

/// A line without the marks that some loggers put before lines that are no values.
pub(super) fn uncommented(line: &str) -> &str {
    line.trim_start().trim_start_matches(['#', '%', '/']).trim_start()
}

/// Takes away empty cells at the end of a line that has too many.
fn fit(cells: &mut Vec<&str>, width: usize) {
    while cells.len() > width && cells.last().is_some_and(|c| c.is_empty()) {
        cells.pop();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Result<Layout, TraceError> {
        let lines: Vec<&str> = text.lines().collect();
        Layout::of(&lines, None)
    }

    #[test]
    fn separators_and_marks_are_found() {
        for (text, separator, decimal, heading, first) in [
            ("time_s,force_kN\n0.00,0.1\n0.01,0.2\n", Separator::Comma, Decimal::Point, Some(0), 1),
            (
                "Zeit;Kraft [N]\n0,0125;1532,4\n0,0250;1533,1\n",
                Separator::Semicolon,
                Decimal::Comma,
                Some(0),
                1,
            ),
            ("t\tF\ns\tkN\n0.1\t2\n0.2\t3\n", Separator::Tab, Decimal::Point, Some(0), 2),
            ("Device: a\nRate: 100\n\n1.5\n1.6\n", Separator::None, Decimal::Point, None, 3),
            ("Kraft\n1532,4\n1533,1\n", Separator::None, Decimal::Comma, Some(0), 1),
            (
                "0.01\n2026-03-01\n+0012.45,kN,000.00,mm\n+0012.47,kN,000.01,mm\n",
                Separator::Comma,
                Decimal::Point,
                None,
                2,
            ),
            ("12:00:00 1.5\n12:00:01 1.75\n", Separator::Space, Decimal::Point, None, 0),
            (
                "\"t\";\"F\"\n\"0\";\"1.234,5\"\n\"1\";\"1.300,0\"\n",
                Separator::Semicolon,
                Decimal::Comma,
                Some(0),
                1,
            ),
        ] {
            let layout = of(text).unwrap_or_else(|e| panic!("{text}: {e:?}"));
            assert_eq!((layout.separator, layout.decimal), (separator, decimal), "{text}");
            assert_eq!((layout.heading, layout.rows[0]), (heading, first), "{text}");
        }
    }

    #[test]
    fn what_can_be_read_two_ways_is_not_read() {
        assert!(matches!(of("1,234\n1,235\n"), Err(TraceError::TwoWays { line: 1, .. })));
        assert!(matches!(of("F;G\n1.234;5.678\n2.345;6.789\n"), Err(TraceError::TwoWays { line: 2, .. })));
        assert!(matches!(
            of("time,force\n0,0125,1532,4\n0,0250,1533,1\n"),
            Err(TraceError::CommaTwice { line: 2, pieces: 4, columns: 2 })
        ));
        let lines = ["F", "1.234", "2.345"];
        assert_eq!(Layout::of(&lines, Some(Decimal::Comma)).unwrap().decimal, Decimal::Comma);
    }

    #[test]
    fn odd_lines_are_told() {
        assert_eq!(
            of("t,F\n0,1.5\n1,x\n2,1.7\n"),
            Err(TraceError::BadCell { line: 3, column: "2".to_owned(), found: "x".to_owned() })
        );
        assert_eq!(
            of("t,F\n0,1.5\n1\n2,1.7\n"),
            Err(TraceError::OtherLength { line: 3, found: 1, wanted: 2 })
        );
        // A foot, a second recording.
        assert_eq!(of("t,F\n0,1.5\n1,1.6\nmax,1.6\n").unwrap().rows, [1, 2]);
        assert_eq!(of("t,F\n0,1.5\n1,1.6\nt,F\n0,1.5\n").unwrap().parts, [1, 4]);
    }
}
