//! What nobody has measured and somebody has to judge, each with its reason: chances beforehand, scatter, and where a
//! difference counts. All of it is engineering judgement; [`Judgement::all`] is what an answer prints.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};
use std::borrow::Cow;

/// A constant that was judged.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub struct Judged {
    /// What it is called, in capitals.
    pub name: String,
    /// Its value: a chance, or a part of something, but for `FAR`, which counts standard deviations, and `HARDLY_BETTER`, which
    /// is a ratio of fits.
    #[schemars(extend("exclusiveMinimum" = 0))]
    pub value: f64,
    /// Why it is what it is.
    pub reason: &'static str,
}

/// Declares the constants, the list of all of them and the way to each by its name from one text each.
macro_rules! judged {
    ($($name:ident = $value:literal, $reason:literal;)*) => {
        /// The constants of judgement that an explanation is weighed by. Serialised it is the list of all of them.
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct Judgement {
            $(#[doc = $reason] pub $name: f64,)*
        }

        impl Judgement {
            /// The values as they stand.
            pub const STANDING: Self = Self { $($name: $value),* };

            /// All of them, in the order of their declaration.
            #[must_use]
            pub fn all(&self) -> Vec<Judged> {
                vec![$(Judged {
                    name: stringify!($name).to_ascii_uppercase(),
                    value: self.$name,
                    reason: $reason,
                }),*]
            }

            /// The value of the one that is called so, in capitals or not; `None` where none is.
            pub fn named_mut(&mut self, name: &str) -> Option<&mut f64> {
                $(if name.eq_ignore_ascii_case(stringify!($name)) {
                    return Some(&mut self.$name);
                })*
                None
            }
        }
    };
}

judged! {
    scatter = 0.05, "scatter of the break of one and the same set-up, model and load cell together, as a part of the load: one standard deviation";
    near_tie = 0.03, "a part whose limit is this close above the first one's may have gone first after all";
    torn_out_tie = 0.16, "the same of a lug that is torn out: a pin that presses on a narrow patch takes up to 14 % from it (computed, five models)";
    tie_chance = 0.3, "chance that it did";
    tear_named = 0.5, "chance that someone names the tear in the frame when part of the gate line went first: the tear is what is seen, but the part lies there broken as well";
    second_cut = 0.5, "chance that a frame that opens tears at the second of the two cuts that have yielded through and not at the first, which has turned more by then";
    slides = 0.2, "chance, against a strap that stays by itself, that one stays where the friction that was entered does not hold it: stitching, a rough edge or a knot may have held it";
    likely = 0.6, "values whose weight is at least this part of the best one's count as likely: about one standard deviation";
    as_entered = 0.5, "chance, against all others, that everything was as entered";
    stated_range = 0.5, "chance that what the model itself gives as a range differs from its middle";
    offsets = 0.1, "chance that both loads lay beside where they were entered";
    one_offset = 0.05, "chance that one of them did, or both in opposite directions";
    gate = 0.05, "chance that the gate stood in another state than entered: open, half shut, or shut";
    alloy = 0.06, "chance of another alloy than entered, shared among the alternatives";
    lot = 0.2, "chance that the lot of an alloy was stronger or weaker: pins, frame, gate";
    soft = 0.05, "chance of pins of the entered size that are soft: of some steel, not hardened, or let down by heat";
    dimension = 0.3, "chance that a machined dimension differs: it is never exact";
    clearance = 0.1, "chance that a clearance differs from what was entered";
    pin = 0.1, "chance of a pin of another diameter: a size too thin, the wrong one put in";
    far_lip = 0.03, "chance of a lip far lower or narrower than entered, each: an eye sees that, so it is rare";
    shallow = 0.1, "chance of a notch shallower than entered: a caliper does not reach into a notch well, and what is packed into its closed end makes it shallower";
    far = 2.0, "an outcome farther from the observed load than this many standard deviations explains nothing: a row that is shown gives the load that was pulled within a tenth";
    hardly_better = 1.25, "what fits by less than this much better, with the same part first, is no explanation of its own";
    same_load = 0.03, "loads that differ by less than this part are the same load";
    nearly = 0.8, "likelihoods from this part of the first one's on are a near tie with it, unless both are small";
    clearly = 0.05, "a part, or a cause, is likelier than another when its chance is above the other's by more than this";
    cleared = 0.5, "from this likelihood on nothing need differ from what was entered; below it something else is the likelier, whatever it is";
    well = 0.32, "below this a line does not fit well: its load lies one and a half standard deviations off, or its place is one that the part seen is only a near tie at";
    only = 0.995, "from this likelihood on only one thing is left";
}

impl Default for Judgement {
    fn default() -> Self {
        Self::STANDING
    }
}

impl JsonSchema for Judgement {
    fn schema_name() -> Cow<'static, str> {
        "Judgement".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Vec::<Judged>::json_schema(generator)
    }
}

impl Serialize for Judgement {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.all().serialize(serializer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_constant_has_its_reason_and_a_name_of_its_own() {
        let all = Judgement::default().all();
        for (i, judged) in all.iter().enumerate() {
            assert!(judged.value > 0.0 && judged.reason.len() > 15, "{judged:?}");
            assert!(all[..i].iter().all(|other| other.name != judged.name), "{judged:?}");
        }
        let chances = all.iter().filter(|j| j.reason.starts_with("chance"));
        assert!(chances.clone().count() > 15 && chances.clone().all(|j| j.value < 1.0));
    }

    #[test]
    fn each_is_set_by_its_name_and_no_other_with_it() {
        let standing = Judgement::default().all();
        for (i, judged) in standing.iter().enumerate() {
            let mut changed = Judgement::default();
            *changed.named_mut(&judged.name).unwrap() *= 2.0;
            for (j, (before, now)) in standing.iter().zip(changed.all()).enumerate() {
                let factor = if i == j { 2.0 } else { 1.0 };
                assert_eq!((&before.name, factor * before.value), (&now.name, now.value));
            }
        }
        assert_eq!(Judgement::default().named_mut("guess"), None);
    }
}
