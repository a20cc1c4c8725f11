//! What nobody has measured and somebody has to judge, each with its reason: chances beforehand, scatter, and where a
//! difference counts. All of it is engineering judgement; [`ALL`] is what an answer prints.

/// A constant that was judged.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Judged {
    /// What it is called.
    pub name: &'static str,
    /// Its value: a chance, or a part of something, but for `far`, which counts standard deviations.
    pub value: f64,
    /// Why it is what it is.
    pub reason: &'static str,
}

/// Declares the constants and the list of all of them from one text each.
macro_rules! judged {
    ($($(#[$more:meta])* $name:ident = $value:literal, $reason:literal;)*) => {
        $(#[doc = $reason] $(#[$more])* pub const $name: f64 = $value;)*

        /// All of them.
        pub const ALL: &[Judged] = &[$(Judged { name: stringify!($name), value: $value, reason: $reason }),*];
    };
}

judged! {
    SCATTER = 0.05, "scatter of the break of one and the same set-up, model and load cell together, as a part of the load: one standard deviation";
    NEAR_TIE = 0.03, "a part whose limit is this close above the first one's may have gone first after all";
    TORN_OUT_TIE = 0.16, "the same of a lug that is torn out: a pin that presses on a narrow patch takes up to 14 % from it (computed, five models)";
    TIE_CHANCE = 0.3, "chance that it did";
    TEAR_NAMED = 0.5, "chance that someone names the tear in the frame when part of the gate line went first: the tear is what is seen, but the part lies there broken as well";
    SECOND_CUT = 0.5, "chance that a frame that opens tears at the second of the two cuts that have yielded through and not at the first, which has turned more by then";
    SLIDES = 0.2, "chance, against a strap that stays by itself, that one stays where the friction that was entered does not hold it: stitching, a rough edge or a knot may have held it";
    LIKELY = 0.6, "values whose weight is at least this part of the best one's count as likely: about one standard deviation";
    AS_ENTERED = 0.5, "chance, against all others, that everything was as entered";
    STATED_RANGE = 0.5, "chance that what the model itself gives as a range differs from its middle";
    OFFSETS = 0.1, "chance that both loads lay beside where they were entered";
    ONE_OFFSET = 0.05, "chance that one of them did, or both in opposite directions";
    GATE = 0.05, "chance that the gate stood in another state than entered: open, half shut, or shut";
    ALLOY = 0.06, "chance of another alloy than entered, shared among the alternatives";
    LOT = 0.2, "chance that the lot of an alloy was stronger or weaker: pins, frame, gate";
    SOFT = 0.05, "chance of pins of the entered size that are soft: of some steel, not hardened, or let down by heat";
    DIMENSION = 0.3, "chance that a machined dimension differs: it is never exact";
    CLEARANCE = 0.1, "chance that a clearance differs from what was entered";
    PIN = 0.1, "chance of a pin of another diameter: a size too thin, the wrong one put in";
    FAR_LIP = 0.03, "chance of a lip far lower or narrower than entered, each: an eye sees that, so it is rare";
    SHALLOW = 0.1, "chance of a notch shallower than entered: a caliper does not reach into a notch well, and what is packed into its closed end makes it shallower";
    FAR = 2.0, "an outcome farther from the observed load than this many standard deviations explains nothing: a row that is shown gives the load that was pulled within a tenth";
    HARDLY_BETTER = 1.25, "what fits by less than this much better, with the same part first, is no explanation of its own";
    SAME_LOAD = 0.03, "loads that differ by less than this part are the same load";
    NEARLY = 0.8, "likelihoods from this part of the first one's on are a near tie with it, unless both are small";
    CLEARLY = 0.05, "a part, or a cause, is likelier than another when its chance is above the other's by more than this";
    CLEARED = 0.5, "from this likelihood on nothing need differ from what was entered; below it something else is the likelier, whatever it is";
    WELL = 0.32, "below this a line does not fit well: its load lies one and a half standard deviations off, or its place is one that the part seen is only a near tie at";
    ONLY = 0.995, "from this likelihood on only one thing is left";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_constant_has_its_reason_and_a_name_of_its_own() {
        for (i, judged) in ALL.iter().enumerate() {
            assert!(judged.value > 0.0 && judged.reason.len() > 15, "{judged:?}");
            assert!(ALL[..i].iter().all(|other| other.name != judged.name), "{judged:?}");
        }
        let chances = ALL.iter().filter(|j| j.reason.starts_with("chance"));
        assert!(chances.clone().count() > 15 && chances.clone().all(|j| j.value < 1.0));
    }
}
