//! What a sweep computes: its points in order, and a hash that tells one sweep from another.

use super::vary::Varied;
use report::notes;
use sha2::{Digest, Sha256};
use solver::material::library;
use solver::rig::GateState;
use solver::system::SystemSettings;
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

    /// Twelve hexadecimal digits that stand for everything the sweep depends on, the handbook values among it.
    #[must_use]
    pub fn hash(&self) -> String {
        let Self { source, sets, varied, settings, .. } = self;
        let version = env!("CARGO_PKG_VERSION");
        let metals = library::all();
        let text = format!("{version} {metals:?} {:?} {sets:?} {varied:?} {settings:?}", source.text);
        Sha256::digest(text.as_bytes()).iter().take(6).map(|byte| format!("{byte:02x}")).collect()
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
