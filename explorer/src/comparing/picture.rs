//! What the picture of a comparison shows.

use super::cases::{Case, Compared};
use super::report::{peak, plain};
use super::weakest::weakest;
use super::words::difference;
use crate::args::Field;
use crate::care::CAUTION;
use crate::mapping::{Shown, rig_in_words};
use viz::{Comparison, Number, Variant};

/// What the numbers of the table are.
const ROWS: [&str; 6] = ["gate", "spine", "gives first", "forecast", "first yield", "hottest"];

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
        description,
        caution: CAUTION,
        source_line: format!("pullmap {} · inputs {}", env!("CARGO_PKG_VERSION"), compared.hash()),
    }
}

/// The difference between the first variant and the one whose forecast, or else whose share, is farthest from it.
pub(super) fn headline(compared: &Compared) -> String {
    let Some((first, others)) = compared.cases.split_first() else { return String::new() };
    let far = |case: &Case| {
        let load = (case.limits.breaks_at_kn / first.limits.breaks_at_kn - 1.0).abs();
        let share = case.solved.findings.share.gate_fraction - first.solved.findings.share.gate_fraction;
        load + share.abs()
    };
    // The first of equals: later ones must be farther by more than rounding.
    let farthest = others.iter().fold(None::<&Case>, |best, case| match best {
        Some(best) if far(case) <= far(best) + 1e-9 => Some(best),
        _ => Some(case),
    });
    farthest.map_or_else(String::new, |other| difference(compared.key.as_deref(), first, other))
}

/// The rig where all share it, and what is not shown.
fn subtitle(compared: &Compared) -> String {
    let rigs: Vec<String> = compared.cases.iter().map(|case| rig_in_words(&case.model.rig)).collect();
    let mut words = match rigs.first() {
        Some(first) if rigs.iter().all(|rig| rig == first) => first.clone(),
        _ => {
            let loads: Vec<f64> = compared.cases.iter().map(|case| case.model.rig.load_kn).collect();
            match loads.first() {
                Some(first) if loads.iter().all(|load| load == first) => format!("each at {first} kN"),
                _ => "each under its own rig".to_owned(),
            }
        }
    };
    for note in compared.taken() {
        // Which key is missing is for the terminal; a picture's reader has no keys.
        let taken = note.split(", since").next().unwrap_or(note);
        words.push_str(&format!("; {taken}, the usual size"));
    }
    if !compared.left_out.is_empty() {
        let names: Vec<&str> = compared.left_out.iter().map(|left| left.label.as_str()).collect();
        words.push_str(&format!("; cannot be computed: {}", names.join(", ")));
    }
    words.replace(" mm", "\u{a0}mm").replace(" kN", "\u{a0}kN")
}

fn numbers(case: &Case) -> Vec<Number> {
    let (findings, limits) = (&case.solved.findings, &case.limits);
    let share = &findings.share;
    let number = |value: String, beside: String| Number { value: value.replace(' ', "\u{a0}"), beside };
    let kn = |x: f64| format!("{:.1} kN", if x.abs() < 0.05 { 0.0 } else { x });
    let part = limits.gives_first.split(", ").next().unwrap_or_default();
    vec![
        number(format!("{:.0} %", 100.0 * share.gate_fraction.max(0.0)), String::new()),
        number(kn(share.spine_kn), String::new()),
        Number { value: part.to_owned(), beside: String::new() },
        number(kn(limits.breaks_at_kn), String::new()),
        number(limits.first_yield_kn.map_or_else(|| "not found".to_owned(), kn), String::new()),
        match peak(case) {
            Some(peak) => number(format!("{:.0} MPa", peak.von_mises_mpa), peak.place.clone()),
            None => number("not found".to_owned(), String::new()),
        },
    ]
}

fn description(compared: &Compared, sentence: &str, field: viz::Field) -> String {
    let mut out = format!("{sentence} {}. It shows {}. ", subtitle(compared), field.in_words());
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
    out.push_str("A ring marks the part that gives first. ");
    out.push_str(CAUTION);
    plain(&out)
}
