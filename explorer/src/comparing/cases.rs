//! The variants, solved. They do not depend on each other, so they are solved at the same time; their order is kept.

use super::mistake::CompareError;
use super::request::VariantRequest;
use crate::failure::Failure;
use crate::mapping::room_for_meshes;
use rayon::prelude::*;
use report::notes;
use solver::findings::Tells;
use solver::rig::GateState;
use solver::strength::{Limits, limits};
use solver::system::SystemSettings;
use study::map::{self, Mapped};
use study::model::{Model, Note, Taken};
use study::{Engine, inputs};

/// A variant that was solved.
#[derive(Debug)]
pub struct Case {
    /// What it is called beside its picture.
    pub label: String,
    /// What it is called in a sentence.
    pub short: String,
    /// The model's short name.
    pub stem: String,
    /// The checked model.
    pub model: Model,
    /// Values that took the place of the model's.
    pub sets: Vec<(String, String)>,
    /// Hash of its inputs.
    pub hash: String,
    /// The solved connector.
    pub solved: Mapped,
    /// What fails first.
    pub limits: Limits,
}

/// A variant that could not be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// What it is called.
    pub label: String,
    /// Why.
    pub reason: String,
}

/// What a comparison compares.
#[derive(Debug)]
pub struct Compared {
    /// The variants, in the order asked for: at least two.
    pub cases: Vec<Case>,
    /// Those that could not be computed.
    pub left_out: Vec<LeftOut>,
    /// Words of the key that varies, when one does.
    pub key: Option<String>,
}

/// Letters of a title that names every model.
const LONGEST_TITLE: usize = 90;

impl Compared {
    /// Twelve hexadecimal digits for the inputs of all variants together.
    #[must_use]
    pub fn hash(&self) -> String {
        inputs::hash(self.cases.iter().map(|case| case.hash.as_str()).collect())
    }

    /// What was assumed about the variants, each sentence once; of several models each sentence that is not of all names its own.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        self.each_once(|model| model.notes())
    }

    /// Of these, what was taken because a `--set` or `--vary` left it untold: no label and no rig says it.
    #[must_use]
    pub fn taken(&self) -> Vec<String> {
        self.each_once(|model| model.taken.iter().copied().map(Note::Taken).collect())
    }

    /// Sentences about the models. What plays no part in one variant and does in another is no news.
    fn each_once(&self, of: impl Fn(&Model) -> Vec<Note<'_>>) -> Vec<String> {
        let half = self.cases.iter().any(|case| matches!(case.model.rig.gate, GateState::Half { .. }));
        let of_all = |note: &Note| self.cases.iter().all(|case| of(&case.model).contains(note));
        let mut all: Vec<String> = Vec::new();
        for case in &self.cases {
            let is_news = |note: &Note| !(half && *note == Note::Taken(Taken::IdleEngaged));
            for note in of(&case.model).into_iter().filter(is_news) {
                let sentence = notes::note(note);
                let told = match self.key.is_some() || of_all(&note) {
                    true => sentence,
                    false => format!("{}: {sentence}", case.short),
                };
                if !all.contains(&told) {
                    all.push(told);
                }
            }
        }
        all
    }

    /// What was changed about all of the variants alike, as typed.
    #[must_use]
    pub fn changed_in_all(&self) -> Vec<(String, String)> {
        let Some((first, others)) = self.cases.split_first() else { return Vec::new() };
        first.sets.iter().filter(|set| others.iter().all(|case| case.sets.contains(set))).cloned().collect()
    }

    /// The models' short names, each once: "broadbar-alu", "oval and pear".
    #[must_use]
    pub fn title_of_models(&self) -> String {
        let mut stems: Vec<&str> = self.cases.iter().map(|case| case.stem.as_str()).collect();
        stems.dedup();
        stems.join(", ")
    }

    /// Which variants are loaded beyond what they hold, and what their stresses then tell; absent where all of them hold.
    #[must_use]
    pub fn beyond(&self) -> Option<String> {
        let tells = |case: &Case| Tells::of(&case.solved.findings.beyond, case.solved.findings.load_kn);
        let labelled = |of: &dyn Fn(Tells) -> bool| -> Vec<&str> {
            self.cases.iter().filter(|case| of(tells(case))).map(|case| case.label.as_str()).collect()
        };
        let labels = |beyond: bool| labelled(&|tells| (tells != Tells::All) == beyond);
        let nothing = labelled(&|tells| matches!(tells, Tells::Nothing(_)));
        let and = |all: &[&str]| match all.split_last() {
            Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
            _ => all.concat(),
        };
        let who = match (labels(true).as_slice(), labels(false).as_slice()) {
            ([], _) => return None,
            ([_], []) => "it holds".to_owned(),
            (_, []) => "each holds".to_owned(),
            // A load holds nothing.
            (loads, _) if self.key.as_deref() == Some("load") => format!("it holds, at {}", and(loads)),
            ([only], _) => format!("{only} holds"),
            (some, others) if others.len() < some.len() => format!("all but {} hold", and(others)),
            (some, _) => format!("{} hold", and(some)),
        };
        let tells = match nothing.as_slice() {
            [] => "where, not how much".to_owned(),
            all if all.len() == labels(true).len() => "neither where nor how much".to_owned(),
            some => format!("where, not how much, and nothing of {}", and(some)),
        };
        Some(format!("Above what {who}: stresses tell {tells}."))
    }

    /// What the variants are variants of: one model's title, or the models' names.
    #[must_use]
    pub fn title(&self) -> String {
        match (&self.key, self.cases.first()) {
            (Some(_), Some(first)) => first.model.title.clone(),
            _ => {
                let names: Vec<&str> = self.cases.iter().map(|case| case.short.as_str()).collect();
                let all = match names.split_last() {
                    Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
                    _ => String::new(),
                };
                // Each has its name beside it; above all of them long ones would leave no room for what differs.
                if all.chars().count() > LONGEST_TITLE { format!("{} connectors", names.len()) } else { all }
            }
        }
    }
}

/// Solves the variants.
///
/// # Errors
/// Fewer than two can be computed: the reasons of all that cannot.
pub fn compute(
    wanted: Vec<VariantRequest>,
    key: Option<String>,
    settings: &SystemSettings,
) -> Result<Compared, CompareError> {
    let asked = wanted.len();
    let varies = key.is_some();
    // Values of a rig's key share one system from when the first of them is built.
    let engine = &Engine::default();
    let solved: Vec<Result<Case, LeftOut>> =
        wanted.into_par_iter().map(|variant| case(engine, variant, varies, settings)).collect();
    let (mut cases, mut left_out) = (Vec::new(), Vec::new());
    for result in solved {
        match result {
            Ok(case) => cases.push(case),
            Err(left) => left_out.push(left),
        }
    }
    if cases.len() < 2 {
        // A mistake that all variants share is told once.
        let mut reasons: Vec<String> = Vec::new();
        for left in left_out {
            if !reasons.contains(&left.reason) {
                reasons.push(left.reason);
            }
        }
        return Err(CompareError::TooFew { found: cases.len(), asked, reasons });
    }
    Ok(Compared { cases, left_out, key })
}

fn case(
    engine: &Engine,
    wanted: VariantRequest,
    varies: bool,
    settings: &SystemSettings,
) -> Result<Case, LeftOut> {
    let label = wanted.label.clone();
    let varied = wanted.sets.last().filter(|_| varies).cloned();
    Case::solve(engine, wanted, settings).map_err(|failure| {
        let mut reason = failure.to_string();
        // What varies was typed after another word than what is set.
        if let Some((key, value)) = varied {
            reason = reason.replace(&format!("--set {key}={value}:"), &format!("--vary {key}={value}:"));
        }
        LeftOut { label, reason }
    })
}

impl Case {
    /// Solves one variant.
    ///
    /// # Errors
    /// The model has mistakes, or cannot be solved.
    pub fn solve(
        engine: &Engine,
        wanted: VariantRequest,
        settings: &SystemSettings,
    ) -> Result<Self, Failure> {
        let VariantRequest { label, short, source, sets } = wanted;
        let source = source?;
        let model = source.model(&sets)?;
        room_for_meshes(&model, settings, 1)?;
        let solved = map::solve(engine, &model.case(*settings), &|_| ())
            .map_err(|error| Failure::case(&model.title, &error))?;
        let limits = limits(&solved.system, &solved.strengths, &model.rig)
            .map_err(|error| Failure::pulling(&model.title, &error))?;
        let hash = model.inputs_hash(settings);
        Ok(Self { label, short, stem: source.stem, model, sets, hash, solved, limits })
    }
}
