//! What a still shows; `report::pictures::still` writes what it says.

use crate::args::{Field, StillKind};
use crate::comparing::{Compared, weakest};
use crate::mapping::{Shown, field_words};
use report::caution::CAUTION;
use report::changes::heading;
use report::compare::{beyond, difference, label, models, taken, title};
use report::failure_modes::name;
use report::numbers::kilonewtons;
use report::pictures::forecast::marked;
use report::pictures::{comparison, source_line, still as words};
use report::{notes, rigs};
use solver::rig::GateState;
use solver::strength::{LimitKind, Limits};
use study::compare::SolvedVariant;
use study::model::Model;
use viz::{Marked, Still, StillContent, StillVariant, StrengthBar};

/// A still with the sentence and the source that go beside it.
#[derive(Clone, Debug)]
pub struct Scene<'a> {
    /// The picture.
    pub still: Still<'a>,
    /// "pullmap 0.1.0, model broadbar-alu, inputs 379bea074c2a".
    pub citation: String,
}

impl Scene<'_> {
    /// The text of `still.txt`.
    #[must_use]
    pub fn caption(&self) -> String {
        words::caption(&self.still.sentence, &self.still.description, &self.citation)
    }
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
    let case = compared.variants.first()?;
    let map =
        |i: usize| Some(shown.get(i)?.map(&compared.variants[i].stem, &compared.variants[i].hash, field));
    let (content, sentence) = match kind {
        StillKind::Map => {
            let content = StillContent::Map { map: Box::new(map(0)?), weakest: weakest(case) };
            (content, map_sentence(case))
        }
        StillKind::Forecast => {
            let marked_kn = marked_kn(&case.model);
            let content = StillContent::Strength {
                map: Box::new(map(0)?),
                weakest: weakest(case),
                bars: bars(&case.limits),
                marked: marked_kn.map(|kn| Marked { kn, told: marked(kn) }),
            };
            (content, words::of_forecast(&case.limits, marked_kn))
        }
        StillKind::Compare => {
            compared.variants.get(..2)?;
            let variant = |i: usize| {
                let case = &compared.variants[i];
                Some(StillVariant { label: label(&case.name), map: map(i)?, weakest: weakest(case) })
            };
            let pair = Box::new([variant(0)?, variant(1)?]);
            (StillContent::Pair(pair), difference(compared, 1))
        }
    };
    let (models, hash) = match kind {
        StillKind::Compare => (models(compared), compared.hash()),
        StillKind::Map | StillKind::Forecast => (case.stem.clone(), case.hash.clone()),
    };
    let title = match kind {
        StillKind::Compare => title(compared),
        StillKind::Map | StillKind::Forecast => case.model.title.clone(),
    };
    let description = description(compared, &content, &title, &sentence);
    let still = Still {
        title,
        subtitle: subtitle(compared),
        sentence,
        beyond: beyond(compared),
        description,
        caution: CAUTION,
        source_line: source_line(&models, &hash),
        transparent,
        content,
    };
    Some(Scene { still, citation: words::citation(&models, &hash) })
}

fn subtitle(compared: &Compared) -> String {
    // Of several models each has a rig of its own to name; of one key the labels name what varies.
    if compared.key.is_none() && compared.variants.len() > 1 {
        return comparison::subtitle(compared);
    }
    let mut rigs: Vec<String> = compared.variants.iter().map(|case| rigs::rig(&case.model.rig)).collect();
    rigs.dedup();
    let rigs = match rigs.as_slice() {
        [one] => one.clone(),
        _ => {
            let mut loads: Vec<f64> = compared.variants.iter().map(|case| case.model.rig.load_kn).collect();
            loads.dedup();
            // Why something was taken has no room on a still.
            words::rigs(&loads, &taken(compared, notes::taken_in_short))
        }
    };
    heading(&rigs, &compared.changed_in_all())
}

fn map_sentence(case: &SolvedVariant) -> String {
    let found = &case.mapped.findings;
    words::of_map(found.load_kn, case.model.rig.gate, &found.share, found.beyond.first(), &case.limits)
}

/// The marking that belongs to the state of the gate.
fn marked_kn(model: &Model) -> Option<f64> {
    match model.rig.gate {
        GateState::Closed => model.marking.closed_kn,
        GateState::Open => model.marking.open_kn,
        GateState::Half { .. } => None,
    }
}

fn bars(limits: &Limits) -> Vec<StrengthBar> {
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
    let labels: Vec<String> = compared.variants.iter().map(|case| label(&case.name)).collect();
    let connectors: Vec<words::Told<'_>> = compared
        .variants
        .iter()
        .zip(&labels)
        .map(|(case, label)| words::Told {
            label,
            load_kn: case.mapped.findings.load_kn,
            share: &case.mapped.findings.share,
            limits: &case.limits,
        })
        .collect();
    let bars: Vec<(&str, f64)> = match content {
        StillContent::Strength { bars, .. } => {
            bars.iter().map(|bar| (bar.name.as_str(), bar.load_kn)).collect()
        }
        StillContent::Map { .. } | StillContent::Pair(_) => Vec::new(),
    };
    let shown = match content {
        StillContent::Map { map, .. } => words::Shown::Map(field_words(map.field).in_sentence),
        StillContent::Strength { .. } => words::Shown::Bars(&bars),
        StillContent::Pair(pair) => words::Shown::Pair(field_words(pair[0].map.field).in_sentence),
    };
    words::description(
        [title, sentence, &subtitle(compared)],
        &connectors,
        shown,
        beyond(compared).as_deref(),
    )
}
