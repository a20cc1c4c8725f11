//! What was used last, as much of it as there is room for.

/// Values under keys, the one used longest ago going first when their weights sum up to more than there is room for.
#[derive(Debug)]
pub struct Kept<K, T> {
    /// Key, value, weight; the one used last at the end.
    entries: Vec<(K, T, usize)>,
    room: usize,
}

impl<K: PartialEq, T: Clone> Kept<K, T> {
    /// An empty list with room for a sum of weights.
    #[must_use]
    pub fn new(room: usize) -> Self {
        Self { entries: Vec::new(), room }
    }

    /// The value under a key, which counts as used.
    pub fn get(&mut self, key: &K) -> Option<T> {
        let at = self.entries.iter().position(|entry| entry.0 == *key)?;
        let entry = self.entries.remove(at);
        let value = entry.1.clone();
        self.entries.push(entry);
        Some(value)
    }

    /// Keeps a value. One that is too heavy by itself is not kept.
    pub fn put(&mut self, key: K, value: T, weight: usize) {
        self.entries.retain(|entry| entry.0 != key);
        if weight > self.room {
            return;
        }
        self.entries.push((key, value, weight));
        while self.entries.iter().map(|entry| entry.2).sum::<usize>() > self.room {
            self.entries.remove(0);
        }
    }

    /// How many are kept.
    #[must_use]
    pub fn count(&self) -> usize {
        self.entries.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_used_longest_ago_goes_first() {
        let mut kept = Kept::new(3);
        for (key, value) in ["a", "b", "c"].into_iter().zip(1..) {
            kept.put(key, value, 1);
        }
        assert_eq!(kept.get(&"a"), Some(1));
        kept.put("d", 4, 1);
        assert_eq!((kept.get(&"b"), kept.get(&"a"), kept.count()), (None, Some(1), 3));
        // The same key again takes no second place.
        kept.put("d", 5, 1);
        assert_eq!((kept.get(&"d"), kept.count()), (Some(5), 3));
        // What is heavier takes the place of more than one, and what has no room at all takes none.
        kept.put("e", 6, 2);
        assert_eq!((kept.get(&"e"), kept.get(&"d"), kept.count()), (Some(6), Some(5), 2));
        kept.put("f", 7, 4);
        assert_eq!((kept.get(&"f"), kept.count()), (None, 2));
    }
}
