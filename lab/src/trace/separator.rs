//! What stands between the values of a line, and the cells that it parts.

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

impl Separator {
    pub(super) const ALL: [Self; 6] =
        [Self::Tab, Self::Semicolon, Self::Bar, Self::Space, Self::Comma, Self::None];

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

fn bare(cell: &str) -> &str {
    let cell = cell.trim();
    cell.strip_prefix('"').and_then(|c| c.strip_suffix('"')).map_or(cell, str::trim)
}

/// A line without the marks that some loggers put before lines that are no values.
pub(super) fn uncommented(line: &str) -> &str {
    line.trim_start().trim_start_matches(['#', '%', '/']).trim_start()
}

/// Takes away empty cells at the end of a line that has too many.
pub(super) fn fit(cells: &mut Vec<&str>, width: usize) {
    while cells.len() > width && cells.last().is_some_and(|c| c.is_empty()) {
        cells.pop();
    }
}
