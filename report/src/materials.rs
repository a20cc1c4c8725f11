//! The metals that a model may name, in words and as a document.

use crate::caution::CAUTION;
use crate::keys::{about, left_out, metal_value};
use crate::numbers::plain;
use crate::quantities::range_in_words;
use serde::Serialize;
use solver::material::library::{self, Datum, Handbook};
use solver::material::lot::Lot;
use study::model::keys::{self, Key, Kind, MATERIALS, Need};

/// Name and version of the document.
pub const FORMAT: &str = "pullmap-materials-2";

/// The metals as a document.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Listing {
    format: &'static str,
    materials: &'static [Handbook],
    caution: &'static str,
}

/// All metals with their values and sources.
#[must_use]
pub fn listing() -> Listing {
    Listing { format: FORMAT, materials: library::all(), caution: CAUTION }
}

/// The same as a table for a terminal, and how a model describes another metal.
#[must_use]
pub fn table() -> String {
    let mut text = String::new();
    for metal in library::all() {
        text.push_str(&format!("{}  ({})\n", metal.key, metal.name));
        for (name, datum) in metal.values() {
            let quantity = metal_value(name);
            let unit = keys::find(&format!("{}.{name}", MATERIALS[0])).map_or("", Key::unit);
            text.push_str(&line(quantity, &number(&datum), unit, datum.source));
        }
        text.extend(metal.lot.map(of_lot));
        text.push('\n');
    }
    text + &own_table() + CAUTION + "\n"
}

fn line(quantity: &str, value: &str, unit: &str, source: &str) -> String {
    format!("  {quantity:<18}{value:>18} {unit:<7} {source}\n")
}

/// The lot that was pulled until it broke.
fn of_lot(lot: &Lot) -> String {
    let Lot { yield_mpa, ultimate_mpa, exponent, true_fracture_mpa, reduction_of_area, source } = lot;
    let stresses = [yield_mpa, ultimate_mpa, true_fracture_mpa].map(|stress| plain(*stress)).join(", ");
    let strains = [exponent, reduction_of_area].map(|strain| plain(*strain)).join(", ");
    line("lot pulled apart", &stresses, "MPa", "yield, ultimate, true stress at fracture")
        + &line("", &strains, "", "strain at the greatest force, reduction of area")
        + &line("", "", "", source)
}

/// How a model describes a metal that is not listed.
fn own_table() -> String {
    let tables: Vec<String> = MATERIALS.iter().map(|table| format!("[{table}]")).collect();
    let mut text =
        format!("A metal that is not listed is a table of its own in the model, {}:\n", tables.join(" or "));
    for key in keys::of_table(MATERIALS[0]) {
        let allowed = match key.kind {
            Kind::Number { dimension, low, high } => range_in_words([low, high], dimension),
            _ => "a text in quotes".to_owned(),
        };
        let left_out = match key.need {
            Need::Else(_) => format!("; left out: {}", left_out(key)),
            _ => String::new(),
        };
        text.push_str(&format!("  {:<18}  {}: {allowed}{left_out}\n", key.table_and_name().1, about(key)));
    }
    text
}

/// Strengths converted from ksi have no decimals worth showing.
fn number(datum: &Datum) -> String {
    let short = |value: f64| if value.abs() >= 100.0 { plain(value.round()) } else { plain(value) };
    match datum.range {
        Some([low, high]) => format!("{} to {}", short(low), short(high)),
        None => short(datum.value),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_metal_and_source_is_listed() {
        let text = table();
        for metal in library::all() {
            assert!(text.contains(metal.key));
            for (_, datum) in metal.values() {
                assert!(text.contains(datum.source));
            }
            assert!(metal.lot.is_none_or(|lot| text.contains(lot.source)), "{}", metal.key);
        }
        assert!(text.contains("430 to 505") && text.contains("469, 578, 744 MPa"));
        for key in ["name", "youngs_modulus_mpa", "yield_mpa", "shear_ultimate_mpa", "elongation", "source"] {
            assert!(text.contains(&format!("\n  {key} ")), "{key}: {text}");
        }
        assert!(text.lines().all(|line| line.chars().count() < 120 || line == CAUTION), "a line wraps");
    }
}
