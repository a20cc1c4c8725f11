//! One mistake in a state, as the page shows it beside the control that caused it.

use report::reason::Reason;
use report::{building, mistakes, page};
use serde::{Serialize, Serializer};
use study::model::ModelMistake;
use study::model::quantity::QuantityError;
use study::model::raw::Place;

/// A mistake. Texts are empty where nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Mistake {
    /// The key that it is about.
    pub key: String,
    /// The line of an opened file.
    pub line: Option<usize>,
    /// What is wrong.
    pub reason: Reason,
    /// What to do instead.
    pub hint: String,
}

/// The same as it travels.
#[derive(Serialize)]
struct Told<'a> {
    key: &'a str,
    place: String,
    found: &'a str,
    allowed: &'a str,
    says: String,
    hint: &'a str,
}

impl Serialize for Mistake {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let (found, allowed) = self.reason.parts().unwrap_or_default();
        let place = self.line.map(page::line).unwrap_or_default();
        Told { key: &self.key, place, found, allowed, says: self.reason.to_string(), hint: &self.hint }
            .serialize(to)
    }
}

impl Mistake {
    /// A mistake that is about one key, or about none.
    #[must_use]
    pub fn about(key: &str, reason: Reason) -> Self {
        Self { key: key.to_owned(), line: None, reason, hint: String::new() }
    }

    /// A text that is not the quantity that a key wants.
    #[must_use]
    pub fn of_quantity(key: &str, error: &QuantityError) -> Self {
        let (reason, hint) = mistakes::quantity_on_a_page(error);
        Self { hint: hint.unwrap_or_default(), ..Self::about(key, reason) }
    }

    /// A mistake of a model; `with_lines` when the page sent the lines that they count.
    #[must_use]
    pub fn of_model(mistake: &ModelMistake, with_lines: bool) -> Self {
        let line = match &mistake.place {
            Place::Line(line) if with_lines => Some(*line),
            _ => None,
        };
        // What stands in a file is told as in a file, what was typed on the page as on a page.
        let (reason, hint) = match with_lines {
            true => (mistakes::reason_of(mistake), mistakes::told_hint(mistake)),
            false => (mistakes::reason_on_a_page(mistake), mistakes::told_hint_on_a_page(mistake)),
        };
        Self { line, hint: hint.unwrap_or_default(), ..Self::about(&mistake.key, reason) }
    }

    /// A mistake of a connector or its rig.
    #[must_use]
    pub fn of_building(mistake: building::Mistake) -> Self {
        let building::Mistake { key, reason, hint } = mistake;
        Self { hint: hint.unwrap_or_default(), ..Self::about(key.unwrap_or_default(), reason) }
    }

    /// A mistake that can stand alone: with its key where the sentence does not name what it is about.
    #[must_use]
    pub fn alone(&self) -> String {
        self.reason.after(&self.key)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_mistake_travels_in_its_parts() {
        let mistake = Mistake {
            line: Some(12),
            ..Mistake::about("nose.tip_mm", Reason::found("900 mm", "2 to 150 mm"))
        };
        assert_eq!(
            json!(mistake),
            json!({
                "key": "nose.tip_mm", "place": "line 12", "found": "900 mm", "allowed": "2 to 150 mm",
                "says": "found 900 mm; allowed: 2 to 150 mm", "hint": "",
            })
        );
        let plain = Mistake::about("", Reason::Whole("the notch misses".to_owned()));
        let told = json!(plain);
        assert_eq!((&told["found"], &told["says"]), (&json!(""), &json!("the notch misses")));
    }
}
