//! The line that every output carries which shows a strength or a margin.

use schemars::JsonSchema;
use serde::Serialize;

/// What the program is not.
pub const CAUTION: &str = "A plane model with handbook data, for understanding and planning only; markings, standards, the \
                        maker's instructions and an accredited laboratory decide about life-safety equipment.";

/// The same of what a bench has recorded.
pub const CAUTION_OF_RECORDS: &str = "Readings of single pulls, for understanding and planning only; markings, standards, the maker's \
                        instructions and an accredited laboratory decide about life-safety equipment.";

/// The same of what is concluded from a few pulls.
pub const CAUTION_OF_LOTS: &str = "Statistics of a few pulls, for understanding and planning only; markings, standards, the maker's \
                        instructions and an accredited laboratory decide about life-safety equipment.";

/// What a pull may do to whoever stands beside it.
pub const HAZARD: &str =
    "Breaking a connector throws metal: pull behind a shield, from a distance, and read the load remotely.";

/// Something written as JSON with the line as its last key, `caution`.
#[derive(JsonSchema, Serialize)]
pub struct WithCaution<'a, T: Serialize> {
    #[serde(flatten)]
    what: &'a T,
    /// What the answer is not.
    caution: &'static str,
}

/// `what`, an object in JSON, with the line.
pub fn with_caution<T: Serialize>(what: &T) -> WithCaution<'_, T> {
    WithCaution { what, caution: CAUTION }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_comes_last_and_changes_no_number() {
        let what = serde_json::json!({ "z": 0.1, "a": 1e-9 });
        let text = serde_json::to_string(&with_caution(&what)).unwrap();
        assert_eq!(text, format!(r#"{{"z":0.1,"a":1e-9,"caution":"{CAUTION}"}}"#));
    }
}
