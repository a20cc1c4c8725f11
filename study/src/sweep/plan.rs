//! What a sweep computes: its points in order.

use super::mistake::{PlanError, SweepMistake};
use super::read::{MANY_POINTS, MOST_POINTS, read};
use super::varied::{Values, Varied, VariedKey};
use crate::inputs;
use crate::model::{Model, ModelErrors, Source, Taken, Told};
use serde_json::{Value as Json, json};
use solver::material::library;
use solver::rig::GateState;
use solver::system::SystemSettings;

/// Unknowns that a point of a sweep is meshed with by default: half of a map's. No limit that ends a pull moves by 1 %; a first
/// yield, which is read off the stress at nodes, by up to 5 %.
pub const UNKNOWNS: f64 = 8000.0;

/// The key of the depth of engagement, which plays a part beside a half-shut gate only.
const DEPTH: &str = "rig.engaged_mm";
/// The key that says where the gate stands, and its word for half shut.
const GATE: (&str, &str) = ("rig.gate", "half");

/// A sweep, ready to be run.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The model.
    pub source: Source,
    /// Its title.
    pub title: String,
    /// What `--set` says.
    pub sets: Vec<(String, String)>,
    /// The varied keys: one or two.
    pub varied: Vec<Varied>,
    /// How finely each point is meshed.
    pub settings: SystemSettings,
    /// The model as it is told, read once for all points.
    told: Told,
}

impl Plan {
    /// A sweep of a model, under its short name; [`Plan::asked`] judges what was typed as well.
    ///
    /// # Errors
    /// The text of the model is not TOML.
    pub fn try_new(
        source: Source,
        sets: Vec<(String, String)>,
        varied: Vec<Varied>,
        settings: SystemSettings,
    ) -> Result<Self, ModelErrors> {
        let (told, title) = (source.told(&sets)?, source.stem.clone());
        Ok(Self { source, title, sets, varied, settings, told })
    }

    /// A sweep as it was typed: keys with their values, `a..b:n` or `x,y,z`, units included. Everything that can be judged
    /// before the first point is judged here. `many`: whether more than [`MANY_POINTS`] points are meant.
    ///
    /// # Errors
    /// Every slip there is, those of the model among them; too many points; or a model that is wrong whatever the values of the
    /// sweep.
    pub fn asked(
        source: Source,
        sets: Vec<(String, String)>,
        typed: &[(String, String)],
        settings: SystemSettings,
        many: bool,
    ) -> Result<Self, PlanError> {
        let base = source.model(&sets);
        let varied = read(typed, &sets)
            .map_err(|asked| PlanError::Asked { asked, model: base.as_ref().err().cloned() })?;
        let one = |mistake| PlanError::Asked { asked: vec![mistake], model: None };
        match varied.iter().try_fold(1_usize, |n, v| n.checked_mul(v.values.len())) {
            Some(points) if points <= MANY_POINTS || (many && points <= MOST_POINTS) => {}
            Some(found) if found <= MOST_POINTS => return Err(one(SweepMistake::TooMany { found })),
            found => return Err(one(SweepMistake::FarTooMany { found })),
        }
        if is_depth_idle(&varied, &base) {
            return Err(one(SweepMistake::IdleDepth));
        }
        let mut plan = Self::try_new(source, sets, varied, settings)?;
        // A model that is wrong by itself may still be right with the values of the sweep, a missing key say; one that is
        // wrong at both ends is told as it is.
        plan.title = match base {
            Ok(base) => base.title,
            Err(errors) => match plan.model(0).or_else(|_| plan.model(plan.len() - 1)) {
                Ok(model) => model.title,
                Err(_) => return Err(errors.into()),
            },
        };
        Ok(plan)
    }

    /// Number of points.
    #[must_use]
    pub fn len(&self) -> usize {
        self.varied.iter().map(|v| v.values.len()).product()
    }

    /// True without points; never so.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Which value of each varied key a point has. The last key runs fastest.
    #[must_use]
    pub fn place(&self, point: usize) -> Vec<usize> {
        let mut rest = point;
        let mut place: Vec<usize> = self
            .varied
            .iter()
            .rev()
            .map(|v| {
                let at = rest % v.values.len();
                rest /= v.values.len();
                at
            })
            .collect();
        place.reverse();
        place
    }

    /// The model of a point.
    ///
    /// # Errors
    /// The values do not make a connector.
    pub fn model(&self, point: usize) -> Result<Model, ModelErrors> {
        let varied = self.varied.iter().zip(self.place(point));
        self.told.with(varied.map(|(v, at)| (v.key.path(), v.values.to(at)))).model()
    }

    /// Twelve hexadecimal digits that stand for everything the sweep depends on: the values of model and sets, what is varied,
    /// the mesh, the handbook and the version of the program.
    #[must_use]
    pub fn hash(&self) -> String {
        let Self { varied, settings, told, source: _, title: _, sets: _ } = self;
        let values = |v: &Varied| match &v.values {
            Values::Numbers { values, dimension: _ } => json!([v.key.path(), values]),
            Values::Words(words) => json!([v.key.path(), words]),
        };
        let varied: Vec<Json> = varied.iter().map(values).collect();
        inputs::hash(json!({
            "told": told.inputs(),
            "varied": varied,
            "mesh": settings,
            "handbook": library::all(),
        }))
    }

    /// What was taken where a chosen word left a value untold, each once: only words choose, so each word is looked at once,
    /// with everything else at its first value.
    #[must_use]
    pub fn taken(&self) -> Vec<Taken> {
        let mut all: Vec<Taken> = Vec::new();
        let mut fast = self.len();
        let mut half = false;
        for varied in &self.varied {
            let count = varied.values.len();
            fast /= count.max(1);
            let looked_at = if varied.values.numbers().is_some() { 1 } else { count };
            for model in (0..looked_at).filter_map(|at| self.model(at * fast).ok()) {
                half |= matches!(model.rig.gate, GateState::Half { .. });
                for taken in model.taken {
                    if !all.contains(&taken) {
                        all.push(taken);
                    }
                }
            }
        }
        // What plays no part at one point and does at another is no news.
        all.retain(|taken| !(half && *taken == Taken::IdleEngaged));
        all
    }
}

/// Whether a depth of engagement is varied beside a gate that is never half shut.
fn is_depth_idle(varied: &[Varied], base: &Result<Model, ModelErrors>) -> bool {
    let values = |path: &str| {
        let key = VariedKey::find(path)?;
        varied.iter().find(|v| v.key == key).map(|v| &v.values)
    };
    if values(DEPTH).is_none() {
        return false;
    }
    let (gate, half) = GATE;
    match (values(gate), base) {
        (Some(Values::Words(words)), _) => !words.iter().any(|word| word == half),
        (_, Ok(model)) => !matches!(model.rig.gate, GateState::Half { .. }),
        // Told as it is.
        (_, Err(_)) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn plan(text: &str, sets: &[(&str, &str)], vary: (&str, &str), settings: SystemSettings) -> String {
        let pair = |(key, value): (&str, &str)| (key.to_owned(), value.to_owned());
        let sets: Vec<(String, String)> = sets.iter().copied().map(pair).collect();
        let varied = read(&[pair(vary)], &sets).unwrap();
        Plan::try_new(Source::of("oval.toml", text), sets, varied, settings).unwrap().hash()
    }

    #[test]
    fn a_sweep_is_another_when_one_of_its_values_is_and_not_when_its_file_is_written_otherwise() {
        let text = include_str!("../../../models/oval.toml");
        let usual = SystemSettings::default();
        let loads = ("rig.load_kn", "1,2");
        let same = plan(text, &[], loads, usual);
        assert_eq!(plan(&format!("# Measured again.\n{text}\n\n"), &[], loads, usual), same);
        assert_eq!(plan(text, &[], ("rig.load_kn", "1.0,2 kN"), usual), same);
        let others = [
            same,
            plan(&text.replacen("tip_mm = ", "tip_mm = 1", 1), &[], loads, usual),
            plan(text, &[("nose.tip_mm", "9")], loads, usual),
            plan(text, &[("nose.tip_mm", "9.5")], loads, usual),
            plan(text, &[], ("rig.load_kn", "1,2.5"), usual),
            plan(text, &[], ("rig.friction", "0.1,0.2"), usual),
            plan(text, &[], ("rig.gate", "closed,open"), usual),
            plan(text, &[], loads, SystemSettings { mesh_size_mm: Some(1.0), ..usual }),
        ];
        assert_eq!(BTreeSet::from(others.clone()).len(), others.len(), "{others:?}");
    }
}
