//! Weighted lists whose entries may name one index several times.

/// One entry for each index, rising, with the sum of its values; sums run in the order given.
pub fn summed(mut entries: Vec<(u32, f64)>) -> Vec<(u32, f64)> {
    entries.sort_by_key(|e| e.0);
    entries.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            kept.1 += next.1;
        }
        same
    });
    entries
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_index_that_comes_again_is_summed() {
        let entries = vec![(7, 1.0), (2, 0.5), (7, -0.25), (2, 0.5)];
        assert_eq!(summed(entries), [(2, 1.0), (7, 0.75)]);
        assert!(summed(Vec::new()).is_empty());
    }
}
