//! What the picture of a comparison shows.

use super::cases::{Case, Compared};
use super::report::{peak, plain};
use super::weakest::weakest;
use super::words::{alone, difference};
use crate::args::Field;
use crate::mapping::{Shown, field_words};
use report::caution::CAUTION;
use report::changes::changed;
use report::letters::typeset;
use report::numbers::kilonewtons;
use report::{failure_modes, locations, rigs};
use viz::{Comparison, Number, Variant};

/// What the numbers of the table are.
const ROWS: [&str; 6] = ["gate", "spine", "fails first", "forecast", "first yield", "peak stress"];

/// The picture's data; `shown` belongs to the cases, in their order.
#[must_use]
pub fn comparison<'a>(compared: &'a Compared, shown: &'a [Shown<'a>], field: Field) -> Comparison<'a> {
    let variants: Vec<Variant<'a>> = compared
        .cases
        .iter()
        .zip(shown)
        .map(|(case, shown)| Variant {
            label: case.label.clone(),
            map: shown.map(&case.stem, &case.hash, field),
            numbers: numbers(case),
            mark: weakest(case).at,
        })
        .collect();
    let sentence = headline(compared);
    let shows = variants.first().map_or(viz::Field::VonMises, |variant| variant.map.field);
    let description = description(compared, &sentence, shows);
    Comparison {
        title: compared.title(),
        subtitle: subtitle(compared),
        sentence,
        beyond: compared.beyond(),
        rows: ROWS.map(str::to_owned).to_vec(),
        variants,
        ring: report::pictures::FAILS_FIRST.to_owned(),
        name: report::pictures::comparison::name(&compared.title(), field_words(shows).name),
        description,
        caution: CAUTION,
        source_line: format!("pullmap {} · inputs {}", env!("CARGO_PKG_VERSION"), compared.hash()),
    }
}

/// Forecasts that all lie this close to the first one's, as a part of it, tell less than the shares do.
const HARDLY_STRONGER: f64 = 0.02;

/// The difference between the first variant and the one whose forecast is farthest from it, or, where forecasts hardly differ,
/// whose share is; and what the last one comes to, where that is another.
pub(super) fn headline(compared: &Compared) -> String {
    let Some((first, others)) = compared.cases.split_first() else { return String::new() };
    let load = |case: &Case| (case.limits.peak_kn / first.limits.peak_kn - 1.0).abs();
    let share = |case: &Case| {
        (case.solved.findings.share.gate_fraction - first.solved.findings.share.gate_fraction).abs()
    };
    let by_load = others.iter().any(|case| load(case) > HARDLY_STRONGER);
    let far = |case: &Case| if by_load { load(case) } else { share(case) };
    // The first of equals: later ones must be farther by more than rounding.
    let farthest = others.iter().fold(None::<&Case>, |best, case| match best {
        Some(best) if far(case) <= far(best) + 1e-9 => Some(best),
        _ => Some(case),
    });
    let key = compared.key.as_deref();
    let mut words = farthest.map_or_else(String::new, |other| difference(key, first, other));
    if let (Some(last), Some(farthest)) = (others.last(), farthest)
        && !std::ptr::eq(last, farthest)
    {
        words.push_str(&alone(key, last));
    }
    words
}

/// What all share of the rig and were changed in, and what of the rig each has of its own: with one key varied that stands over
/// each.
#[must_use]
pub fn rigs(compared: &Compared) -> String {
    let rigs: Vec<String> = compared.cases.iter().map(|case| rigs::rig(&case.model.rig)).collect();
    let clauses: Vec<Vec<&str>> = rigs.iter().map(|rig| rig.split(", ").collect()).collect();
    let (shared, own) = shared_and_own(&clauses);
    let over_each = compared.key.is_some() || own.iter().all(Vec::is_empty);
    let mut parts: Vec<String> = Vec::new();
    if !shared.is_empty() {
        parts.push(shared.join(", "));
    } else if over_each {
        parts.push("each under its own rig".to_owned());
    }
    parts.extend(changed(&compared.changed_in_all()));
    if !over_each {
        let of_its_own = compared.cases.iter().zip(own).filter(|(_, own)| !own.is_empty());
        parts.extend(of_its_own.map(|(case, own)| format!("{}: {}", case.label, own.join(", "))));
    }
    parts.join("; ")
}

/// The clauses that all lists have, and what each list has beside them.
fn shared_and_own<'a>(lists: &[Vec<&'a str>]) -> (Vec<&'a str>, Vec<Vec<&'a str>>) {
    let everywhere = |clause: &&str| lists.iter().all(|list| list.contains(clause));
    let shared: Vec<&str> = lists.first().into_iter().flatten().copied().filter(everywhere).collect();
    let own =
        lists.iter().map(|list| list.iter().copied().filter(|c| !shared.contains(c)).collect()).collect();
    (shared, own)
}

/// The rigs, what was taken, and what is not shown.
#[must_use]
pub fn subtitle(compared: &Compared) -> String {
    let mut words = rigs(compared);
    for note in &compared.taken() {
        // Which key is missing is for the terminal; a picture's reader has no keys.
        let taken = note.split(", since").next().unwrap_or(note);
        let size = if taken.contains(" mm") { ", the usual size" } else { "" };
        words.push_str(&format!("; {taken}{size}"));
    }
    if !compared.left_out.is_empty() {
        let names: Vec<&str> = compared.left_out.iter().map(|left| left.label.as_str()).collect();
        words.push_str(&format!("; cannot be computed: {}", names.join(", ")));
    }
    typeset(&words)
}

fn numbers(case: &Case) -> Vec<Number> {
    let (findings, limits) = (&case.solved.findings, &case.limits);
    let share = &findings.share;
    let number = |value: String, beside: String| Number { value: value.replace(' ', "\u{a0}"), beside };
    let part = failure_modes::part(limits.fails_first);
    vec![
        number(format!("{:.0} %", 100.0 * share.gate_fraction.max(0.0)), String::new()),
        number(kilonewtons(share.spine_kn), String::new()),
        Number { value: part.to_owned(), beside: String::new() },
        number(kilonewtons(limits.peak_kn), String::new()),
        number(limits.first_yield_kn.map_or_else(|| "not found".to_owned(), kilonewtons), String::new()),
        match peak(case) {
            Some(peak) => number(format!("{:.0} MPa", peak.von_mises_mpa), locations::location(peak.place)),
            None => number("not found".to_owned(), String::new()),
        },
    ]
}

fn description(compared: &Compared, sentence: &str, field: viz::Field) -> String {
    let mut out = format!("{sentence} {}. It shows {}. ", subtitle(compared), field_words(field).in_sentence);
    for case in &compared.cases {
        let cells: Vec<String> = ROWS
            .iter()
            .zip(numbers(case))
            .map(|(row, n)| format!("{row} {} {}", n.value, n.beside).trim().to_owned())
            .collect();
        out.push_str(&format!("{}: {}. ", case.label, cells.join(", ")));
    }
    if let Some(beyond) = compared.beyond() {
        out.push_str(&format!("{beyond} "));
    }
    out.push_str("A ring marks the part that fails first. ");
    out.push_str(CAUTION);
    plain(&out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_rigs_share_is_told_once_and_the_rest_of_each() {
        let oval = vec!["10 kN", "gate closed", "both ends 11 mm strap centred"];
        let pear = vec!["10 kN", "gate closed", "upper 16 mm strap centred", "lower 12 mm strap centred"];
        let (shared, own) = shared_and_own(&[oval.clone(), pear]);
        assert_eq!(shared, ["10 kN", "gate closed"]);
        assert_eq!(own[0], ["both ends 11 mm strap centred"]);
        assert_eq!(own[1], ["upper 16 mm strap centred", "lower 12 mm strap centred"]);
        assert_eq!(shared_and_own(&[oval.clone(), oval.clone()]).0, oval);
    }
}
