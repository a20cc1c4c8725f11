//! Which pulls are asked for. What a pull is now counts, not what it was first told to be.

use super::pull::Pull;

/// Two markings that differ by less are the same, kN: half of the last digit that is stamped.
const SAME_MARKING_KN: f64 = 0.05;

/// Which pulls are asked for: those that meet all that is told.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Filter {
    /// Name of the sample, or with a star behind it how the name begins; capital letters or not.
    pub sample: Option<String>,
    /// What kind of connector it is, told in the same way.
    pub kind: Option<String>,
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
    /// Whether those that are withdrawn are asked for as well.
    pub withdrawn: bool,
}

/// Whether a name is that which is wanted, or begins with what stands before a star.
fn is_named(name: &str, wanted: &str) -> bool {
    let (name, wanted) = (name.to_lowercase(), wanted.trim().to_lowercase());
    wanted.strip_suffix('*').map_or_else(|| name == wanted, |start| name.starts_with(start))
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
        (self.withdrawn || pull.withdrawn.is_none())
            && asked(&self.sample, &|wanted| is_named(&plan.sample, wanted))
            && asked(&self.kind, &|wanted| plan.kind.as_ref().is_some_and(|kind| is_named(kind, wanted)))
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_star_stands_for_the_rest_of_a_name() {
        for (name, wanted, is) in [
            ("SB-01", "sb-01", true),
            ("SB-01", " SB-01 ", true),
            ("SB-01", "SB-0", false),
            ("SB-01", "sb-*", true),
            ("SB-01", "*", true),
            ("SC-01", "SB-*", false),
            ("SB-01", "*01", false),
        ] {
            assert_eq!(is_named(name, wanted), is, "{name} {wanted}");
        }
    }
}
