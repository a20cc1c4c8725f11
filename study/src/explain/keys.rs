//! What a user types to have a cause: the keys of a model, with values.

use super::causes::Typed;
use super::ranking::{Candidate, Study};
use super::set_key::SetKey;
use solver::rig::{GateState, Rig};

/// The key of how far a half-shut gate is engaged.
const ENGAGED: &str = "rig.engaged_mm";

/// Keys in which a rig differs from the one that was told.
fn of_the_rig(told: &Rig, rig: &Rig) -> Vec<SetKey> {
    let mut keys = Vec::new();
    for (key, told, now) in
        [("rig.upper.offset_mm", told.upper, rig.upper), ("rig.lower.offset_mm", told.lower, rig.lower)]
    {
        if told.offset_mm() != now.offset_mm() {
            keys.push(SetKey::number(key, now.offset_mm()));
        }
    }
    if told.gate != rig.gate {
        keys.push(SetKey::word("rig.gate", rig.gate.word()));
        if let GateState::Half { engaged_mm } = rig.gate {
            keys.push(SetKey::number(ENGAGED, engaged_mm));
        }
    }
    keys
}

impl Study<'_> {
    /// What makes a candidate of the model as entered, `None` where no key does.
    pub(super) fn keys(&self, candidate: &Candidate) -> Option<Vec<SetKey>> {
        if self.is_drawn(candidate) {
            return None;
        }
        let setting = self.setting(candidate)?;
        let mut keys = of_the_rig(&self.nominal.rig, &setting.rig);
        match candidate.cause.map(|cause| &self.causes[cause].typed) {
            None | Some(Typed::Nothing) => {}
            Some(Typed::Word(key, word)) => keys.insert(0, SetKey::word(key, word)),
            Some(Typed::Value(key)) => {
                let typed = SetKey::number(key, *candidate.values.first()?);
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
            && !keys.iter().any(|set| set.key == ENGAGED)
        {
            keys.push(SetKey::number(ENGAGED, engaged_mm));
        }
        Some(keys)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::explain::coarse_mesh;
    use crate::model::Source;

    #[test]
    fn a_rig_is_typed_by_what_differs() {
        const BASE: &str = include_str!("../model/tests/base.toml");
        let told = Source::of("base.toml", BASE).model(&[]).unwrap().case(coarse_mesh()).rig;
        assert_eq!(of_the_rig(&told, &told), []);
        let mut rig = told;
        rig.lower = rig.lower.placed(-0.1 - 0.2);
        rig.gate = GateState::Half { engaged_mm: 1.58 };
        assert_eq!(
            of_the_rig(&told, &rig),
            [
                SetKey::number("rig.lower.offset_mm", -0.3),
                SetKey::word("rig.gate", "half"),
                SetKey::number("rig.engaged_mm", 1.58)
            ]
        );
    }
}
