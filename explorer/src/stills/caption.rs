//! The text beside a still: what to write under it, what to tell those who cannot see it, where it is from.

use super::content::Scene;

/// The text of `still.txt`.
#[must_use]
pub fn caption(scene: &Scene<'_>) -> String {
    format!(
        "Caption: {}\n\nAlternative text: {}\n\nSource: {}\n\n{}\n",
        scene.still.sentence.replace('\u{a0}', " "),
        scene.still.description,
        scene.citation,
        scene.still.caution
    )
}
