//! A key of a model with a value, as after `--set`.

/// What a key is set to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum KeyValue {
    /// A number, in the unit of the key.
    Number(f64),
    /// A word.
    Word(&'static str),
}

/// A key of a model with a value.
#[derive(Clone, Debug, PartialEq)]
pub struct SetKey {
    /// The key.
    pub key: String,
    /// Its value.
    pub value: KeyValue,
}

impl SetKey {
    /// A number without the noise of sums: a millionth of its unit is nothing that anybody types.
    pub(super) fn number(key: &str, value: f64) -> Self {
        Self { key: key.to_owned(), value: KeyValue::Number((value * 1e6).round() / 1e6) }
    }

    pub(super) fn word(key: &str, word: &'static str) -> Self {
        Self { key: key.to_owned(), value: KeyValue::Word(word) }
    }
}
