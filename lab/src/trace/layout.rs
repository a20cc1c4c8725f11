//! How a file's lines are to be read: what stands between values, which decimal mark they have, and where they begin and end.

use super::clock::stamp_s;
use super::error::TraceError;
use super::kind::{is_plain, kind_of};
use super::number::Decimal;
use super::punctuation::{Reading, best, looked_at};
use super::separator::{fit, uncommented};
use super::unit::Unit;

pub use super::kind::Kind;
pub use super::separator::Separator;

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

/// Lines above the values in which their heading is sought.
const ABOVE: usize = 3;

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
    pub(super) fn wrong_cell(&self, cells: &[&str]) -> Option<usize> {
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
    fn decimal_commas_in_quotes_stand_between_commas() {
        for text in ["t,F\n\"0,1\",\"12,5\"\n\"0,2\",\"13,25\"\n", "t,F\n0,\"12,5\"\n1,\"13,25\"\n"] {
            let layout = of(text).unwrap();
            assert_eq!((layout.separator, layout.decimal), (Separator::Comma, Decimal::Comma), "{text}");
            assert_eq!((layout.kinds.len(), layout.rows.len()), (2, 2));
        }
        // Thousands or parts of one: asked.
        assert!(matches!(of("t,F\n0,\"12,125\"\n1,\"13,250\"\n"), Err(TraceError::TwoWays { line: 2, .. })));
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
        // The same heading at the top of the next page.
        let pages = of("n;t;F\n1;0,1;2,5\n2;0,2;3,5\n3;0,3;3,6\nPage 2\nn;t;F\n4;0,4;2,5\n").unwrap();
        assert_eq!((pages.rows, pages.parts), (vec![1, 2, 3, 6], vec![1]));
        let again = of("n;t;F\n1;0,1;2,5\n2;0,2;3,5\nn;t;F\n3;0,1;2,5\n4;0,2;1,5\n").unwrap();
        assert_eq!(again.parts, [1, 4]);
        // A foot, a second recording.
        assert_eq!(of("t,F\n0,1.5\n1,1.6\nmax,1.6\n").unwrap().rows, [1, 2]);
        assert_eq!(of("t,F\n0,1.5\n1,1.6\nt,F\n0,1.5\n").unwrap().parts, [1, 4]);
    }
}
