//! What a sweep computes: its points in order, and a hash that tells one sweep from another.

use super::vary::{Values, Varied};
use report::notes;
use serde_json::{Value as Json, json};
use solver::material::library;
use solver::rig::GateState;
use solver::system::SystemSettings;
use study::inputs;
use study::model::{Model, ModelErrors, Source, Taken, Told};

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
    /// A sweep of a model, under its short name.
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
        self.told.with(varied.map(|(v, at)| (v.key.clone(), v.values.to(at)))).model()
    }

    /// What was taken where a chosen word left a value untold, each sentence once: only words choose, so each word is
    /// looked at once, with everything else at its first value.
    #[must_use]
    pub fn taken(&self) -> Vec<String> {
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
        all.into_iter().map(notes::taken).collect()
    }

    /// Twelve hexadecimal digits that stand for everything the sweep depends on: the values of model and sets, what is varied,
    /// the mesh, the handbook and the version of the program.
    #[must_use]
    pub fn hash(&self) -> String {
        let Self { varied, settings, told, source: _, title: _, sets: _ } = self;
        let values = |v: &Varied| match &v.values {
            Values::Numbers { values, dimension: _ } => json!([v.key, values]),
            Values::Words(words) => json!([v.key, words]),
        };
        let varied: Vec<Json> = varied.iter().map(values).collect();
        inputs::hash(json!({
            "told": told.inputs(),
            "varied": varied,
            "mesh": settings,
            "handbook": library::all(),
        }))
    }

    /// The sweep in a line, and what was taken for it.
    #[must_use]
    pub fn told(&self) -> String {
        let all: Vec<String> = std::iter::once(self.in_words()).chain(self.taken()).collect();
        all.join("; ")
    }

    /// The sweep in a line: `nose.notch_depth_mm 2.5 to 9 mm, 40 points`.
    #[must_use]
    pub fn in_words(&self) -> String {
        let keys: Vec<String> =
            self.varied.iter().map(|v| format!("{} {}", v.key, v.values.in_words())).collect();
        format!("{}, {} points", keys.join(" by "), self.len())
    }
}

#[cfg(test)]
mod tests {
    use super::super::vary::read;
    use super::*;
    use crate::source;
    use std::collections::BTreeSet;

    fn plan(text: &str, sets: &[(&str, &str)], vary: (&str, &str), settings: SystemSettings) -> String {
        let pair = |(key, value): (&str, &str)| (key.to_owned(), value.to_owned());
        let sets: Vec<(String, String)> = sets.iter().copied().map(pair).collect();
        let varied = read(&[pair(vary)], &sets).unwrap();
        Plan::try_new(Source::of("oval.toml", text), sets, varied, settings).unwrap().hash()
    }

    #[test]
    fn a_sweep_is_another_when_one_of_its_values_is_and_not_when_its_file_is_written_otherwise() {
        let text = source::find("oval").unwrap().text;
        let usual = SystemSettings::default();
        let loads = ("rig.load_kn", "1,2");
        let same = plan(&text, &[], loads, usual);
        assert_eq!(plan(&format!("# Measured again.\n{text}\n\n"), &[], loads, usual), same);
        assert_eq!(plan(&text, &[], ("rig.load_kn", "1.0,2 kN"), usual), same);
        let others = [
            same,
            plan(&text.replacen("tip_mm = ", "tip_mm = 1", 1), &[], loads, usual),
            plan(&text, &[("nose.tip_mm", "9")], loads, usual),
            plan(&text, &[("nose.tip_mm", "9.5")], loads, usual),
            plan(&text, &[], ("rig.load_kn", "1,2.5"), usual),
            plan(&text, &[], ("rig.friction", "0.1,0.2"), usual),
            plan(&text, &[], ("rig.gate", "closed,open"), usual),
            plan(&text, &[], loads, SystemSettings { mesh_size_mm: Some(1.0), ..usual }),
        ];
        assert_eq!(BTreeSet::from(others.clone()).len(), others.len(), "{others:?}");
    }
}
