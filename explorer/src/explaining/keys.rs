//! What a user types to have a cause: the keys of a model, with values.

use super::causes::Typed;
use super::ranking::{Candidate, Study};
use solver::rig::{GateState, Rig};

/// A number without the noise of sums: a millionth of its unit is nothing that anybody types.
fn number(value: f64) -> String {
    format!("{}", (value * 1e6).round() / 1e6)
}

/// Keys in which a rig differs from the one that was told.
fn of_the_rig(told: &Rig, rig: &Rig) -> Vec<String> {
    let mut keys = Vec::new();
    for (end, told, now) in [("upper", told.upper, rig.upper), ("lower", told.lower, rig.lower)] {
        if told.offset_mm() != now.offset_mm() {
            keys.push(format!("rig.{end}.offset_mm={}", number(now.offset_mm())));
        }
    }
    if told.gate != rig.gate {
        keys.push(format!("rig.gate={}", rig.gate.word()));
        if let GateState::Half { engaged_mm } = rig.gate {
            keys.push(format!("rig.engaged_mm={}", number(engaged_mm)));
        }
    }
    keys
}

impl Study<'_> {
    /// What makes a candidate of the model as entered, each as after `--set`; `None` where no key does.
    pub(super) fn keys(&self, candidate: &Candidate) -> Option<Vec<String>> {
        if self.is_drawn(candidate) {
            return None;
        }
        let setting = self.setting(candidate)?;
        let mut keys = of_the_rig(&self.nominal.rig, &setting.rig);
        match candidate.cause.map(|cause| &self.causes[cause].typed) {
            None | Some(Typed::Nothing) => {}
            Some(Typed::Word(key, word)) => keys.insert(0, format!("{key}={word}")),
            Some(Typed::Value(key)) => {
                let typed = format!("{key}={}", number(*candidate.values.first()?));
                // The model's range of an engagement is a key of the rig as well.
                if !keys.contains(&typed) {
                    keys.insert(0, typed);
                }
            }
            Some(Typed::NoKey) => return None,
        }
        // Where it is not told, how far a half-shut gate is engaged follows the depth of its notch.
        if let GateState::Half { engaged_mm } = setting.rig.gate
            && !keys.is_empty()
            && !keys.iter().any(|key| key.starts_with("rig.engaged_mm="))
        {
            keys.push(format!("rig.engaged_mm={}", number(engaged_mm)));
        }
        Some(keys)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::explaining::coarse_mesh;
    use crate::source;

    #[test]
    fn a_rig_is_typed_by_what_differs() {
        let told = source::find("broadbar-alu").unwrap().model(&[]).unwrap().case(coarse_mesh()).rig;
        assert_eq!(of_the_rig(&told, &told), Vec::<String>::new());
        let mut rig = told;
        rig.lower = rig.lower.placed(-0.1 - 0.2);
        rig.gate = GateState::Half { engaged_mm: 1.58 };
        assert_eq!(
            of_the_rig(&told, &rig),
            ["rig.lower.offset_mm=-0.3", "rig.gate=half", "rig.engaged_mm=1.58"]
        );
    }
}
