//! The story of a pull: what goes first, what then carries the load, whether it can, where it tears.

use super::capacity::LimitKind;
use super::limits::Ends;
use crate::load_words::kilonewtons;
use crate::part_words::{of_place, part_in_words};
use crate::response::Hold;
use crate::rig::GateState;

/// What the story is told from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Course<'a> {
    pub what: &'a str,
    pub kind: LimitKind,
    pub fails_at_kn: f64,
    pub gate_fraction: f64,
    pub gate: GateState,
    /// What may be relied on.
    pub friction: f64,
    pub held: Hold,
    pub open_hook_kn: f64,
    pub hook_bends_kn: f64,
    pub peak_kn: f64,
    pub ends: Ends,
    pub bends_at_kn: f64,
    pub first_yield_kn: Option<f64>,
    pub tears_at: Option<&'a str>,
    /// The second place that has yielded through when the frame opens.
    pub may_tear_at: Option<&'a str>,
    /// Friction that the upper and the lower strap need to stay where they are, where it is more than may be relied on.
    pub slides: [Option<f64>; 2],
    /// The lowest load at which the contact did not settle, kN.
    pub unsettled_from_kn: Option<f64>,
}

pub(super) fn story(told: &Course<'_>) -> Vec<String> {
    let mut lines = Vec::new();
    match told.held {
        Hold::NotHeld(_) => {
            lines.push("The notch does not hold the pin, so the gate carries nothing.".to_owned())
        }
        Hold::ByFriction(lean) if matches!(told.gate, GateState::Half { .. }) => lines.push(
            if lean > 0.0 {
                "The gate is half shut: only friction keeps its pin in the notch."
            } else {
                "The gate is half shut: its pin leans into the notch, and friction keeps it from sliding home."
            }
            .to_owned(),
        ),
        Hold::Blocked(_) => lines.push(
            "The gate is half shut: its pin leans into the notch and would slide home; what keeps the gate from shutting is \
             taken to keep it where it is."
                .to_owned(),
        ),
        Hold::Open => lines.push("The gate is open and carries nothing.".to_owned()),
        Hold::ByFriction(_) | Hold::Held => {}
    }
    lines.extend(sliding(told));
    // Bending before the first break is worth a sentence: the connector would not be the same after it.
    if told.bends_at_kn < told.fails_at_kn {
        lines.push(format!("From {} the frame is permanently bent.", kilonewtons(told.bends_at_kn)));
    } else if let Some(kn) = told.first_yield_kn.filter(|kn| *kn < told.fails_at_kn) {
        lines.push(format!("From {} the frame yields in places.", kilonewtons(kn)));
    }
    lines.push(first_sentence(told));
    lines.extend(next_sentence(told));
    lines.extend(told.unsettled_from_kn.map(|kn| {
        format!(
            "At {} the contact did not settle: shares and loads near it are less certain than usual.",
            kilonewtons(kn)
        )
    }));
    lines.extend(contradiction(told));
    lines
}

fn first_sentence(told: &Course<'_>) -> String {
    let (at, share) = (kilonewtons(told.fails_at_kn), 100.0 * told.gate_fraction);
    match told.kind {
        LimitKind::Strap => {
            format!("At {at} the {} breaks, before any part of the connector.", told.what)
        }
        LimitKind::Opens => {
            let place = told.tears_at.unwrap_or("frame");
            let second = told.may_tear_at.map_or_else(String::new, |second| {
                format!(", or at the {}, which has yielded through as well", of_place(second))
            });
            format!("At {at} the frame opens and tears at the {}{second}.", of_place(place))
        }
        LimitKind::Slips if told.fails_at_kn <= 0.0 => {
            "The pin leaves the notch as soon as there is a pull.".to_owned()
        }
        LimitKind::Slips => {
            format!("At {at} the pin rides out of the notch: the gate carried {share:.0} % of the pull.")
        }
        _ => {
            let (part, verb) = part_in_words(told.what);
            format!("At {at} {part} {verb}: the gate carries {share:.0} % of the pull.")
        }
    }
}

/// A load where friction does not keep the strap: what follows is told for a place that it leaves.
fn sliding(told: &Course<'_>) -> Option<String> {
    let [upper, lower] = told.slides;
    let (what, needed) = match (upper, lower) {
        (Some(u), Some(l)) => ("The straps do", u.max(l)),
        (Some(needed), None) => ("The upper strap does", needed),
        (None, Some(needed)) => ("The lower strap does", needed),
        (None, None) => return None,
    };
    Some(format!(
        "{what} not stay there: friction of {needed:.2} is needed, and {:.2} may be relied on. What follows holds only \
         where something keeps the load in its place.",
        told.friction
    ))
}

/// A frame that the limits say opens long before it first yields: by the static theorem of limit analysis an elastic stress
/// that yields nowhere can be carried, so one of the two numbers is wrong. Told below half only (engineering judgement): a trusted
/// peak and a strap's even pull may each be some percent off, a broken cut is off by far more.
fn contradiction(told: &Course<'_>) -> Option<String> {
    let yields = told.first_yield_kn?;
    (told.kind == LimitKind::Opens && told.fails_at_kn < 0.5 * yields).then(|| {
        format!(
            "This contradicts itself: the frame is said to open at {} and to yield first at {}. One of \
             the two is wrong; do not rely on either.",
            kilonewtons(told.fails_at_kn),
            kilonewtons(yields)
        )
    })
}

/// After the gate line has gone: can the open hook hold what is on it?
fn next_sentence(told: &Course<'_>) -> Option<String> {
    if !matches!(told.kind, LimitKind::Breaks | LimitKind::Slips) {
        return None;
    }
    let hook = kilonewtons(told.open_hook_kn);
    let place = told.tears_at.map(of_place).unwrap_or_default();
    Some(match told.ends {
        Ends::Breaks => format!(
            "The open hook then holds {hook}, less than what is on it, so it opens and tears at the {place}."
        ),
        Ends::Opens => format!(
            "The open hook then holds {hook}, more than what is on it: it still holds{}, then opens and tears at the \
             {place}.",
            if told.hook_bends_kn > told.fails_at_kn {
                format!(", permanently bent from {}", kilonewtons(told.hook_bends_kn))
            } else {
                " but is permanently bent".to_owned()
            }
        ),
        Ends::Strap => format!(
            "The open hook then holds {hook}, more than the strap, which breaks at {}.",
            kilonewtons(told.peak_kn)
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const COURSE: Course<'static> = Course {
        what: "lip of the notch",
        kind: LimitKind::Breaks,
        fails_at_kn: 12.46,
        gate_fraction: 0.72,
        gate: GateState::Closed,
        held: Hold::Held,
        open_hook_kn: 4.6,
        hook_bends_kn: 4.3,
        peak_kn: 12.46,
        ends: Ends::Breaks,
        bends_at_kn: 15.0,
        first_yield_kn: None,
        tears_at: Some("spine, inner side beside a corner"),
        may_tear_at: None,
        friction: 0.2,
        slides: [None; 2],
        unsettled_from_kn: None,
    };

    #[test]
    fn a_broken_lip_opens_the_hook() {
        assert_eq!(
            story(&COURSE).join(" "),
            "At 12.5 kN the lip of the notch fails: the gate carries 72 % of the pull. The open hook then holds 4.6 kN, \
             less than what is on it, so it opens and tears at the spine's inner side beside a corner."
        );
    }

    #[test]
    fn other_ends_are_told_as_they_are() {
        let opens = Course { kind: LimitKind::Opens, ends: Ends::Opens, bends_at_kn: 12.0, ..COURSE };
        assert_eq!(
            story(&opens),
            [
                "From 12.0 kN the frame is permanently bent.",
                "At 12.5 kN the frame opens and tears at the spine's inner side beside a corner."
            ]
        );
        let strap = Course { what: "upper strap", kind: LimitKind::Strap, ends: Ends::Strap, ..COURSE };
        assert_eq!(story(&strap), ["At 12.5 kN the upper strap breaks, before any part of the connector."]);
        let pin = Course {
            what: "hinge pin, sheared",
            open_hook_kn: 14.0,
            hook_bends_kn: 13.1,
            ends: Ends::Opens,
            ..COURSE
        };
        let told = story(&pin);
        assert!(told[0].contains("the hinge pin is sheared:"), "{told:?}");
        assert!(told[1].contains("it still holds, permanently bent from 13.1 kN, then opens"), "{told:?}");
        let soft = story(&Course { hook_bends_kn: 12.0, ..pin });
        assert!(soft[1].contains("it still holds but is permanently bent, then opens"), "{soft:?}");
        let slides = story(&Course { slides: [Some(0.434), None], ..COURSE });
        assert!(
            slides[0].contains("upper strap does not stay there: friction of 0.43 is needed, and 0.20"),
            "{slides:?}"
        );
        // No frame opens at less than half of the load that it first yields at: an elastic solution can be carried.
        let wrong = Course { fails_at_kn: 1.3, first_yield_kn: Some(6.9), ..opens };
        assert!(story(&wrong).last().unwrap().contains("contradicts itself"), "{:?}", story(&wrong));
        assert!(!story(&opens).iter().any(|s| s.contains("contradicts")));
        let unsettled = story(&Course { unsettled_from_kn: Some(6.04), ..COURSE });
        assert_eq!(unsettled[..unsettled.len() - 1], story(&COURSE));
        assert!(unsettled.last().unwrap().starts_with("At 6.0 kN the contact did not settle"));
        let open = Course { gate: GateState::Open, held: Hold::Open, ..opens };
        assert_eq!(story(&open)[0], "The gate is open and carries nothing.");
    }
}
