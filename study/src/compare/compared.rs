//! What is known about all variants of a comparison together.

use super::variant::{LeftOut, SolvedVariant};
use crate::inputs;

/// Forecasts that all lie this close to the first one's, as a part of it, tell less than the shares do.
const HARDLY_STRONGER: f64 = 0.02;

/// The key whose values are loads.
const LOAD: &str = "rig.load_kn";

/// Variants side by side.
#[derive(Debug)]
pub struct Compared<E> {
    /// Those that could be computed, in the order asked for: at least two where [`solve`](super::solve) gives them.
    pub variants: Vec<SolvedVariant>,
    /// Those that could not be.
    pub left_out: Vec<LeftOut<E>>,
    /// The key that varies, as typed, when one does.
    pub key: Option<String>,
}

impl<E> Compared<E> {
    /// Twelve hexadecimal digits for the inputs of all variants together.
    #[must_use]
    pub fn hash(&self) -> String {
        inputs::hash(self.variants.iter().map(|variant| variant.hash.as_str()).collect())
    }

    /// Whether the variants are loads on one connector.
    #[must_use]
    pub fn varies_the_load(&self) -> bool {
        self.key.as_deref() == Some(LOAD)
    }

    /// What was changed about all of the variants alike, keys and values as typed.
    #[must_use]
    pub fn changed_in_all(&self) -> Vec<(String, String)> {
        let Some((first, others)) = self.variants.split_first() else { return Vec::new() };
        first.sets.iter().filter(|set| others.iter().all(|other| other.sets.contains(set))).cloned().collect()
    }

    /// The place, counted from zero, of the variant whose forecast is farthest from the first one's, or, where forecasts hardly
    /// differ, whose gate's share is; of equals the first. `None` where there is no other variant.
    #[must_use]
    pub fn farthest(&self) -> Option<usize> {
        let (first, others) = self.variants.split_first()?;
        let share = |variant: &SolvedVariant| variant.mapped.findings.share.gate_fraction;
        let load_off = |variant: &SolvedVariant| (variant.limits.peak_kn / first.limits.peak_kn - 1.0).abs();
        let share_off = |variant: &SolvedVariant| (share(variant) - share(first)).abs();
        let by_load = others.iter().any(|variant| load_off(variant) > HARDLY_STRONGER);
        let far = |variant: &SolvedVariant| if by_load { load_off(variant) } else { share_off(variant) };
        let mut best: Option<(usize, f64)> = None;
        for (at, variant) in others.iter().enumerate() {
            let far = far(variant);
            // Later ones must be farther by more than rounding.
            if best.is_none_or(|(_, most)| far > most + 1e-9) {
                best = Some((at + 1, far));
            }
        }
        best.map(|(at, _)| at)
    }
}
