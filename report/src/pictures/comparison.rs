//! Words of a comparison.

use super::map::FieldWords;
use crate::caution::CAUTION;
use crate::compare::{beyond, headline, label, rigs, taken, title};
use crate::letters::{plain, typeset};
use crate::numbers::kilonewtons;
use crate::{failure_modes, locations, notes};
use study::compare::{Compared, SolvedVariant};
use study::model::Taken;

/// What the numbers of the table are.
pub const ROWS: [&str; 6] = ["gate", "spine", "fails first", "forecast", "first yield", "highest stress"];

/// A number of the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    /// With its unit.
    pub value: String,
    /// What there is to say beside it; may be empty.
    pub beside: String,
}

/// The name of the picture; `field` is the stress that all variants show.
#[must_use]
pub fn name<E>(compared: &Compared<E>, field: FieldWords) -> String {
    format!("{}: {} compared", title(compared), field.name)
}

/// The numbers of a variant, one for each of [`ROWS`].
#[must_use]
pub fn cells(variant: &SolvedVariant) -> [Cell; 6] {
    let (share, limits) = (&variant.mapped.findings.share, &variant.limits);
    let number = |value: &str| Cell { value: value.replace(' ', "\u{a0}"), beside: String::new() };
    let not_found = || number("not found");
    let part = failure_modes::part(limits.fails_first);
    [
        number(&format!("{:.0} %", 100.0 * share.gate_fraction.max(0.0))),
        number(&kilonewtons(share.spine_kn)),
        Cell { value: part.to_owned(), beside: String::new() },
        number(&kilonewtons(limits.peak_kn)),
        limits.first_yield_kn.map_or_else(not_found, |kn| number(&kilonewtons(kn))),
        variant.mapped.findings.hottest().map_or_else(not_found, |peak| Cell {
            beside: locations::location(peak.place),
            ..number(&format!("{:.0} MPa", peak.von_mises_mpa))
        }),
    ]
}

/// The rigs, what was taken, and what is not shown.
#[must_use]
pub fn subtitle<E>(compared: &Compared<E>) -> String {
    let mut parts = vec![rigs(compared)];
    parts.extend(taken(compared, taken_for_a_reader));
    if !compared.left_out.is_empty() {
        let names: Vec<String> = compared.left_out.iter().map(|left| label(&left.name)).collect();
        parts.push(format!("cannot be computed: {}", names.join(", ")));
    }
    typeset(&parts.join("; "))
}

/// The same above a table: with what the highest stress leaves out.
#[must_use]
pub fn subtitle_of_table<E>(compared: &Compared<E>) -> String {
    format!("{}; {}", subtitle(compared), typeset(&format!("highest stress {}", locations::AWAY)))
}

/// What was taken, for somebody who knows no key.
fn taken_for_a_reader(taken: Taken) -> String {
    let usual = matches!(taken, Taken::Size { .. });
    format!("{}{}", notes::taken_in_short(taken), if usual { ", the usual size" } else { "" })
}

/// The line that says by which program and from which inputs it is.
#[must_use]
pub fn source_line<E>(compared: &Compared<E>) -> String {
    format!("pullmap {} · inputs {}", env!("CARGO_PKG_VERSION"), compared.hash())
}

/// The alternative text; `field` is the stress that all variants show.
#[must_use]
pub fn description<E>(compared: &Compared<E>, field: FieldWords) -> String {
    let mut out =
        format!("{} {}. It shows {}. ", headline(compared), subtitle_of_table(compared), field.in_sentence);
    for variant in &compared.variants {
        let cells: Vec<String> = ROWS
            .iter()
            .zip(cells(variant))
            .map(|(row, Cell { value, beside })| format!("{row} {value} {beside}").trim().to_owned())
            .collect();
        out.push_str(&format!("{}: {}. ", label(&variant.name), cells.join(", ")));
    }
    if let Some(beyond) = beyond(compared) {
        out.push_str(&format!("{beyond} "));
    }
    out.push_str("A ring marks the part that fails first. ");
    out.push_str(CAUTION);
    plain(&out)
}
