//! What a still says and shows.

use crate::args::{Field, StillKind};
use crate::comparing::{self, Compared, difference, weakest};
use crate::mapping::{Shown, field_words};
use report::beyond::in_short;
use report::caution::CAUTION;
use report::changes::heading;
use report::failure_modes::{name, subject_and_verb};
use report::letters::{capital, typeset};
use report::numbers::kilonewtons;
use report::pictures::forecast::marked;
use report::pictures::source_line;
use report::rigs;
use solver::rig::GateState;
use solver::strength::LimitKind;
use viz::{Marked, Still, StillContent, StillVariant, StrengthBar};

/// A still with the sentence and the source that go beside it.
#[derive(Clone, Debug)]
pub struct Scene<'a> {
    /// The picture.
    pub still: Still<'a>,
    /// "pullmap 0.1.0, model broadbar-alu, inputs 379bea074c2a".
    pub citation: String,
}

/// The still of solved connectors: one, or the two of a pair. `shown` belongs to the cases, in their order. `None` without a
/// case, or with one for a pair.
#[must_use]
pub fn still<'a>(
    kind: StillKind,
    compared: &'a Compared,
    shown: &'a [Shown<'a>],
    field: Field,
    transparent: bool,
) -> Option<Scene<'a>> {
    let case = compared.cases.first()?;
    let map = |i: usize| Some(shown.get(i)?.map(&compared.cases[i].stem, &compared.cases[i].hash, field));
    let (content, sentence) = match kind {
        StillKind::Map => {
            let content = StillContent::Map { map: Box::new(map(0)?), weakest: weakest(case) };
            (content, map_sentence(compared))
        }
        StillKind::Forecast => {
            let content = StillContent::Strength {
                map: Box::new(map(0)?),
                weakest: weakest(case),
                bars: bars(compared),
                marked: marked_kn(compared).map(|kn| Marked { kn, told: marked(kn) }),
            };
            (content, forecast_sentence(compared))
        }
        StillKind::Compare => {
            let [first, second] = compared.cases.get(..2)? else { return None };
            let variant = |i: usize| {
                let case = &compared.cases[i];
                Some(StillVariant { label: case.label.clone(), map: map(i)?, weakest: weakest(case) })
            };
            let pair = Box::new([variant(0)?, variant(1)?]);
            (StillContent::Pair(pair), difference(compared.key.as_deref(), first, second))
        }
    };
    let (models, hash) = match kind {
        StillKind::Compare => (compared.title_of_models(), compared.hash()),
        StillKind::Map | StillKind::Forecast => (case.stem.clone(), case.hash.clone()),
    };
    let version = env!("CARGO_PKG_VERSION");
    let title = match kind {
        StillKind::Compare => compared.title(),
        StillKind::Map | StillKind::Forecast => case.model.title.clone(),
    };
    let description = description(compared, &content, &title, &sentence);
    let still = Still {
        title,
        subtitle: subtitle(compared),
        sentence,
        beyond: compared.beyond(),
        description,
        caution: CAUTION,
        source_line: source_line(&models, &hash),
        transparent,
        content,
    };
    Some(Scene { still, citation: format!("pullmap {version}, {models}, inputs {hash}") })
}

fn subtitle(compared: &Compared) -> String {
    // Of several models each has a rig of its own to name; of one key the labels name what varies.
    if compared.key.is_none() && compared.cases.len() > 1 {
        return comparing::subtitle(compared);
    }
    let mut rigs: Vec<String> = compared.cases.iter().map(|case| rigs::rig(&case.model.rig)).collect();
    rigs.dedup();
    let rigs = match rigs.as_slice() {
        [one] => one.clone(),
        _ => {
            let mut loads: Vec<f64> = compared.cases.iter().map(|case| case.model.rig.load_kn).collect();
            loads.dedup();
            let loads = match loads.as_slice() {
                [load] => format!("each at {load} kN"),
                _ => "each under its own rig".to_owned(),
            };
            // Why something was taken has no room on a still.
            let taken = compared.taken();
            let taken = taken.iter().filter_map(|sentence| sentence.split(", since").next());
            std::iter::once(loads.as_str()).chain(taken).collect::<Vec<_>>().join("; ")
        }
    };
    heading(&rigs, &compared.changed_in_all())
}

/// "the lip of the notch fails first, at 20.9 kN".
fn fails_first(compared: &Compared) -> String {
    compared.cases.first().map_or_else(String::new, |case| {
        let (part, verb) = subject_and_verb(case.limits.fails_first);
        format!("{part} {verb} first, at {}", kilonewtons(case.limits.fails_at_kn))
    })
}

fn map_sentence(compared: &Compared) -> String {
    let Some(case) = compared.cases.first() else { return String::new() };
    if let Some(beyond) = case.solved.findings.beyond.first() {
        return typeset(&in_short(beyond));
    }
    let share = &case.solved.findings.share;
    let carries = match (case.model.rig.gate, (100.0 * share.gate_fraction).round() as i64) {
        (GateState::Open, _) => "the spine carries it all".to_owned(),
        (_, 0) => "the gate carries nothing".to_owned(),
        (_, percent) => format!("the gate carries {percent} %"),
    };
    let load = case.solved.findings.load_kn;
    typeset(&format!("At {load} kN {carries}; {}.", fails_first(compared)))
}

fn forecast_sentence(compared: &Compared) -> String {
    let first = fails_first(compared);
    let first = capital(&first);
    let beside = match marked_kn(compared) {
        Some(kn) => format!("; it is marked {}", kilonewtons(kn)),
        None => String::new(),
    };
    typeset(&format!("{first}{beside}."))
}

/// The marking that belongs to the state of the gate.
fn marked_kn(compared: &Compared) -> Option<f64> {
    let model = &compared.cases.first()?.model;
    match model.rig.gate {
        GateState::Closed => model.marking.closed_kn,
        GateState::Open => model.marking.open_kn,
        GateState::Half { .. } => None,
    }
}

fn bars(compared: &Compared) -> Vec<StrengthBar> {
    let Some(case) = compared.cases.first() else { return Vec::new() };
    let limits = &case.limits;
    limits
        .limits
        .iter()
        .filter_map(|limit| {
            let load_kn = limit.at_kn?;
            let ends_pull = !matches!(limit.kind, LimitKind::Yields | LimitKind::Bends);
            let first = ends_pull && limit.what == limits.fails_first;
            Some(StrengthBar {
                name: name(limit.what).to_owned(),
                load_kn,
                load: kilonewtons(load_kn),
                ends_pull,
                first,
            })
        })
        .collect()
}

/// The picture in words.
fn description(compared: &Compared, content: &StillContent<'_>, title: &str, sentence: &str) -> String {
    let mut out = format!("{title}. {sentence} {}. ", capital(&subtitle(compared)));
    for case in &compared.cases {
        let share = &case.solved.findings.share;
        let (part, verb) = subject_and_verb(case.limits.fails_first);
        if compared.cases.len() > 1 {
            out.push_str(&format!("{}: ", capital(&case.label)));
        }
        out.push_str(&format!(
            "{} {} the spine carries {} and the gate {}; {part} {verb} first, at {}. ",
            if compared.cases.len() > 1 { "of" } else { "Of" },
            kilonewtons(case.solved.findings.load_kn),
            kilonewtons(share.spine_kn),
            kilonewtons(share.gate_kn),
            kilonewtons(case.limits.fails_at_kn)
        ));
    }
    let shown = match content {
        StillContent::Map { map, .. } => format!(
            "The connector is drawn with {}, and with the straps or bars that pull it; a ring marks the part that fails \
             first. ",
            field_words(map.field).in_sentence
        ),
        StillContent::Strength { .. } => {
            "Bars show the loads at which parts reach their limits, the lowest as far as there is room; all of them: ".to_owned()
        }
        StillContent::Pair(pair) => format!(
            "Both connectors are drawn with {}, on one scale of colour and one of length; rings mark the parts that fail \
             first. ",
            field_words(pair[0].map.field).in_sentence
        ),
    };
    out.push_str(&shown);
    if let StillContent::Strength { bars, .. } = content {
        let each: Vec<String> =
            bars.iter().map(|bar| format!("{} {}", bar.name, kilonewtons(bar.load_kn))).collect();
        out.push_str(&format!("{}. ", each.join(", ")));
    }
    if let Some(beyond) = compared.beyond() {
        out.push_str(&format!("{beyond} "));
    }
    out.push_str(CAUTION);
    out.replace('\u{a0}', " ")
}
