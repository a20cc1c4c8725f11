//! The nearest known word to one that is not known.

/// The candidate with the smallest edit distance (letters added, dropped, changed, or two swapped), if it is near enough
/// to be meant: at most two edits for short words, a third of the letters for long ones. The first of equals wins, so
/// the order of the candidates decides.
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let reach = (word.chars().count() / 3).max(2);
    candidates
        .into_iter()
        .map(|candidate| (strsim::osa_distance(word, candidate), candidate))
        // A word as far away as it is long shares nothing with what was written.
        .filter(|(distance, candidate)| *distance <= reach && *distance < candidate.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn finds_what_was_meant() {
        let keys = ["tip_mm", "notch_depth_mm", "lip_height_mm"];
        assert_eq!(nearest("tpi_mm", keys), Some("tip_mm"));
        assert_eq!(nearest("notch_dept_mm", keys), Some("notch_depth_mm"));
        assert_eq!(nearest("notch_depth", keys), Some("notch_depth_mm"));
        assert_eq!(nearest("colour", keys), None);
        assert_eq!(nearest("", keys), None);
    }
}
