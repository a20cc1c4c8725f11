//! How sure a forecast is, in sentences.

use super::Forecast;
use crate::failure_modes;
use crate::numbers::{kilonewtons, kilonewtons_alone, likelihood, percent};
use crate::unknowns::{from_to, in_a_sentence, value, what};
use study::forecast::{self, Against, LeftOut, OffTheMiddle};

impl Forecast {
    /// How sure it is, and how it stands beside the marking.
    pub(super) fn sure_sentences(&self, told: &forecast::Forecast, against: Option<Against>) -> Vec<String> {
        let mut all = vec![format!(
            "With everything that is not known exactly, the 90 % range is {} to {}.",
            kilonewtons_alone(self.range_kn.p5),
            kilonewtons(self.range_kn.p95)
        )];
        let likely: Vec<String> = self
            .chances
            .iter()
            .take(3)
            .map(|c| format!("{} ({})", failure_modes::name(c.what), likelihood(c.chance)))
            .collect();
        if !likely.is_empty() {
            all.push(format!("First to fail among them: {}.", likely.join("; ")));
        }
        all.extend(told.off_the_middle().map(|off| self.off_the_middle(off)));
        if let Some(most) = told.range.matters.first().filter(|most| most.share > 0.0) {
            let unknown = &told.unknowns[most.unknown];
            all.push(format!(
                "The spread comes most of all from: {}, {} ({} of it).",
                in_a_sentence(unknown),
                from_to(unknown, unknown.law.ends()),
                percent(most.share)
            ));
        }
        if let Some(against) = against {
            let stands = if against.ratio >= 1.0 { "not below" } else { "below" };
            all.push(format!(
                "Marked {} with the gate {}: the forecast is {stands} that ({:.2} times it){} {} of the pulls reach it.",
                kilonewtons(against.marked_kn),
                told.gate().word(),
                against.ratio,
                if against.ratio >= 1.0 && against.reached_by < 0.5 { ", but only" } else { ";" },
                likelihood(against.reached_by)
            ));
            if against.breaks_below {
                all.push(format!(
                    "But the {} fails at {}, below the marking; only the open hook still holds.",
                    failure_modes::run_on(self.fails_first),
                    kilonewtons(self.fails_at_kn)
                ));
            }
        }
        all
    }

    fn off_the_middle(&self, off: OffTheMiddle) -> String {
        match off {
            OffTheMiddle::OutsideTheRange => format!(
                "With everything at its middle the pull ends at {}, outside that range: go by the range.",
                kilonewtons(self.peak_kn)
            ),
            OffTheMiddle::AnotherPart(likeliest) => format!(
                "With everything at its middle it is another part ({}) than the likeliest ({}).",
                failure_modes::name(self.fails_first),
                failure_modes::name(likeliest)
            ),
        }
    }
}

/// What is left out, and why.
#[must_use]
pub fn left_out(left_out: &LeftOut) -> String {
    match left_out {
        LeftOut::LipByElements => {
            "limit of the lip by finite elements: they gave none for this shape, the formula by hand decides"
                .to_owned()
        }
        LeftOut::NeitherEnd(unknown) => {
            format!("{}: neither end of its range gives a connector that can be solved", what(unknown))
        }
        LeftOut::CutShort { unknown, reach } => {
            let [from, to] = reach.map(|end| value(unknown, end));
            let [low, high] = unknown.law.ends().map(|end| value(unknown, end));
            format!(
                "{}: of {low} to {high} only {from} to {to} was varied; nearer the ends no connector or rig could be solved, or \
                 its notch holds the pin there where it does not here, or the other way round",
                what(unknown)
            )
        }
    }
}
