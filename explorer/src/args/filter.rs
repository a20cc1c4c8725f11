//! Which pulls of the logbook are asked for, of `log` and of `lot`.

use super::values::load;
use clap::Args;
use lab::logbook::field::{GATES, OUTCOMES};
use lab::logbook::{Filter, dates};
use report::program::options::Refusal;
use serde::Deserialize;

/// Which pulls are asked for.
#[derive(Clone, Debug, Default, PartialEq, Args)]
pub struct FilterFields {
    /// Only this sample, or all whose names begin so: 'SB-*' (in quotes: a shell takes the star for itself)
    #[arg(long = "sample", value_name = "NAME")]
    pub of_sample: Option<String>,
    /// Only this kind of connector, or all whose kinds begin so: 'broad*'
    #[arg(long = "kind", value_name = "TEXT")]
    pub of_kind: Option<String>,
    /// Only what is marked so with its gate closed, kN
    #[arg(long = "marked", value_name = "KN", value_parser = load, allow_hyphen_values = true)]
    pub of_marking: Option<f64>,
    /// Only with the gate so
    #[arg(long = "gate", value_name = "STATE", value_parser = GATES)]
    pub of_gate: Option<String>,
    /// Only what ended so
    #[arg(long = "outcome", value_name = "OUTCOME", value_parser = OUTCOMES)]
    pub of_outcome: Option<String>,
    /// Only what was pulled on this day or later, such as 2026-05-03
    #[arg(long, value_name = "DAY", value_parser = day)]
    pub since: Option<String>,
    /// Only what was pulled on this day or earlier
    #[arg(long, value_name = "DAY", value_parser = day)]
    pub until: Option<String>,
    /// Only rigs with this in their words, or straps or bars so named
    #[arg(long = "rig", value_name = "TEXT")]
    pub of_rig: Option<String>,
    /// Only this model: its name as it was given, or the first six or more digits of its hash
    #[arg(long = "model", value_name = "MODEL")]
    pub of_model: Option<String>,
}

impl FilterFields {
    /// The same as the logbook takes it.
    #[must_use]
    pub fn filter(&self) -> Filter {
        Filter {
            sample: self.of_sample.clone(),
            kind: self.of_kind.clone(),
            marking_kn: self.of_marking,
            gate: self.of_gate.clone(),
            outcome: self.of_outcome.clone(),
            since: self.since.clone(),
            until: self.until.clone(),
            rig: self.of_rig.clone(),
            model: self.of_model.clone(),
            withdrawn: false,
        }
    }

    /// The options that were given.
    #[must_use]
    pub fn given(&self) -> Vec<&'static str> {
        let all = [
            ("--sample", self.of_sample.is_some()),
            ("--kind", self.of_kind.is_some()),
            ("--marked", self.of_marking.is_some()),
            ("--gate", self.of_gate.is_some()),
            ("--outcome", self.of_outcome.is_some()),
            ("--since", self.since.is_some()),
            ("--until", self.until.is_some()),
            ("--rig", self.of_rig.is_some()),
            ("--model", self.of_model.is_some()),
        ];
        all.into_iter().filter(|option| option.1).map(|option| option.0).collect()
    }
}

/// Which pulls are asked for, each field as it is typed behind its option.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
#[serde(default)]
pub struct TypedFilter {
    /// Name of the sample, or how it begins.
    pub sample: Option<String>,
    /// Kind of connector, or how it begins.
    pub kind: Option<String>,
    /// What is marked with the gate closed.
    pub marked: Option<String>,
    /// State of the gate.
    pub gate: Option<String>,
    /// How the pull ended.
    pub outcome: Option<String>,
    /// The first day.
    pub since: Option<String>,
    /// The last day.
    pub until: Option<String>,
    /// Words of the rig.
    pub rig: Option<String>,
    /// The model.
    pub model: Option<String>,
}

impl TypedFilter {
    /// The same as it is read behind the options.
    ///
    /// # Errors
    /// Every value that may not be, after the name of its field.
    pub fn filter(&self) -> Result<Filter, Vec<(&'static str, String)>> {
        let mut wrong = Vec::new();
        let mut keep = |field, refusal: Refusal| wrong.push((field, refusal.to_string()));
        let told = |text: &Option<String>| text.clone().filter(|text| !text.trim().is_empty());
        let mut day = |field, text: &Option<String>| {
            told(text).and_then(|text| day(&text).map_err(|refusal| keep(field, refusal)).ok())
        };
        let (since, until) = (day("since", &self.since), day("until", &self.until));
        let marking_kn = told(&self.marked)
            .and_then(|text| load(&text).map_err(|refusal| wrong.push(("marked", refusal.to_string()))).ok());
        let filter = Filter {
            sample: told(&self.sample),
            kind: told(&self.kind),
            marking_kn,
            gate: told(&self.gate),
            outcome: told(&self.outcome),
            since,
            until,
            rig: told(&self.rig),
            model: told(&self.model),
            withdrawn: false,
        };
        if wrong.is_empty() { Ok(filter) } else { Err(wrong) }
    }
}

fn day(text: &str) -> Result<String, Refusal> {
    dates::day(text).ok_or_else(|| Refusal::NoDay { found: text.to_owned() })
}
