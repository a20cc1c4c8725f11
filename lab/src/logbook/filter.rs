//! Which pulls are asked for. What a pull is now counts, not what it was first told to be.

use super::pull::Pull;

/// Two markings that differ by less are the same, kN: half of the last digit that is stamped.
const SAME_MARKING_KN: f64 = 0.05;

/// Which pulls are asked for: those that meet all that is told.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Filter {
    /// Name of the sample, capital letters or not.
    pub sample: Option<String>,
    /// What is marked with the gate closed, kN.
    pub marking_kn: Option<f64>,
    /// State of the gate.
    pub gate: Option<String>,
    /// How the pull ended.
    pub outcome: Option<String>,
    /// The first day.
    pub since: Option<String>,
    /// The last day.
    pub until: Option<String>,
    /// Part of what pulled or of the rig's words, capital letters or not.
    pub rig: Option<String>,
    /// Name of the model, or the beginning of its hash.
    pub model: Option<String>,
}

impl Filter {
    /// Whether a pull is asked for.
    #[must_use]
    pub fn meets(&self, pull: &Pull) -> bool {
        let plan = &pull.now.plan;
        let day = || pull.now.pulled.as_ref().and_then(|pulled| pulled.pulled_on.get(..10));
        let outcome = || pull.now.pulled.as_ref().and_then(|pulled| pulled.outcome.as_deref());
        let holds = |text: &Option<String>, part: &str| {
            text.as_ref().is_some_and(|text| text.to_lowercase().contains(&part.to_lowercase()))
        };
        let asked = |wanted: &Option<String>, is: &dyn Fn(&str) -> bool| wanted.as_deref().is_none_or(is);
        asked(&self.sample, &|name| plan.sample.to_lowercase() == name.trim().to_lowercase())
            && self.marking_kn.is_none_or(|kn| {
                plan.marked_closed_kn.is_some_and(|marked| (marked - kn).abs() < SAME_MARKING_KN)
            })
            && asked(&self.gate, &|gate| plan.gate.as_deref() == Some(gate))
            && asked(&self.outcome, &|wanted| outcome() == Some(wanted))
            && asked(&self.since, &|first| day().is_some_and(|day| day >= first))
            && asked(&self.until, &|last| day().is_some_and(|day| day <= last))
            && asked(&self.rig, &|part| {
                [&plan.rig, &plan.upper, &plan.lower].iter().any(|text| holds(text, part))
            })
            && asked(&self.model, &|wanted| {
                plan.model.as_ref().is_some_and(|model| {
                    let hash = model.sha256.as_deref().unwrap_or_default();
                    model.name == wanted || wanted.len() >= 6 && hash.starts_with(&wanted.to_lowercase())
                })
            })
    }
}
