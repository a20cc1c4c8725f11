//! The story of a pull: what goes first, what then carries the load, whether it can, where it tears.

use crate::failure_modes;
use crate::locations::frame_in_sentence;
use crate::numbers::kilonewtons;
use solver::response::{Hold, Leans};
use solver::rig::GateState;
use solver::strength::{Ends, LimitKind, Limits};

/// The story of a pull in sentences.
#[must_use]
pub fn story(limits: &Limits) -> Vec<String> {
    let mut lines = Vec::new();
    match limits.course.held {
        Hold::NotHeld(_) => {
            lines.push("The notch does not hold the pin, so the gate carries nothing.".to_owned())
        }
        Hold::ByFriction(lean) if matches!(limits.course.gate, GateState::Half { .. }) => lines.push(
            match Leans::of(lean) {
                Leans::Out => "The gate is half shut: only friction keeps its pin in the notch.",
                Leans::Neither => {
                    "The gate is half shut: the line of its pins stands square to the flank, and nothing but a little \
                     friction keeps the pin from sliding."
                }
                Leans::In => {
                    "The gate is half shut: its pin leans into the notch, and friction keeps it from sliding home."
                }
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
    lines.extend(sliding(limits));
    // What is told next builds on it.
    lines.extend(limits.course.unsettled_from_kn.map(|kn| {
        format!(
            "At {} the contact did not settle: shares and loads near it are less certain than usual.",
            kilonewtons(kn)
        )
    }));
    // Bending before the first break is worth a sentence: the connector would not be the same after it.
    if limits.bends_at_kn < limits.fails_at_kn {
        let bends = kilonewtons(limits.bends_at_kn);
        let yields = limits.first_yield_kn.filter(|kn| *kn < limits.bends_at_kn).map(kilonewtons);
        lines.push(match yields {
            Some(yields) if yields != bends => {
                format!("From {yields} the frame yields in places, from {bends} it is permanently bent.")
            }
            _ => format!("From {bends} the frame is permanently bent."),
        });
    } else if let Some(kn) = limits.first_yield_kn.filter(|kn| *kn < limits.fails_at_kn) {
        lines.push(format!("From {} the frame yields in places.", kilonewtons(kn)));
    }
    lines.push(first_sentence(limits));
    lines.extend(next_sentence(limits));
    lines.extend(others_suppose(limits));
    lines.extend(contradiction(limits));
    lines
}

fn first_sentence(limits: &Limits) -> String {
    let (at, share) = (kilonewtons(limits.fails_at_kn), 100.0 * limits.course.gate_fraction);
    match limits.course.kind {
        LimitKind::Strap => {
            format!(
                "At {at} the {} breaks, before any part of the connector.",
                failure_modes::name(limits.fails_first)
            )
        }
        LimitKind::Opens => {
            let place = limits.tears_at.map_or_else(|| "frame".to_owned(), frame_in_sentence);
            let second = limits.may_tear_at.map_or_else(String::new, |second| {
                format!(", or at the {}, which has yielded through as well", frame_in_sentence(second))
            });
            format!("At {at} the frame opens and tears at the {place}{second}.")
        }
        LimitKind::Slips if limits.fails_at_kn <= 0.0 => {
            "The pin leaves the notch as soon as there is a pull.".to_owned()
        }
        LimitKind::Slips => {
            format!("At {at} the pin rides out of the notch: the gate carried {share:.0} % of the pull.")
        }
        _ => {
            let (part, verb) = failure_modes::subject_and_verb(limits.fails_first);
            format!("At {at} {part} {verb}: the gate carries {share:.0} % of the pull.")
        }
    }
}

/// A load where friction does not keep the strap: what follows is told for a place that it leaves.
fn sliding(limits: &Limits) -> Option<String> {
    let [upper, lower] = limits.course.slides;
    let (what, needed) = match (upper, lower) {
        (Some(u), Some(l)) => ("The straps do", u.max(l)),
        (Some(needed), None) => ("The upper strap does", needed),
        (None, Some(needed)) => ("The lower strap does", needed),
        (None, None) => return None,
    };
    Some(format!(
        "{what} not stay there: friction of {needed:.2} is needed, and {:.2} may be relied on. What follows holds only \
         where something keeps the load in its place.",
        limits.course.friction
    ))
}

/// Limits that contradict themselves.
fn contradiction(limits: &Limits) -> Option<String> {
    let yields_kn = limits.contradicting_yield_kn()?;
    Some(format!(
        "This contradicts itself: the frame is said to open at {} and to yield first at {}. One of \
         the two is wrong; do not rely on either.",
        kilonewtons(limits.fails_at_kn),
        kilonewtons(yields_kn)
    ))
}

/// After the gate line has gone: can the open hook hold what is on it?
fn next_sentence(limits: &Limits) -> Option<String> {
    if !matches!(limits.course.kind, LimitKind::Breaks | LimitKind::Slips) {
        return None;
    }
    let hook = kilonewtons(limits.open_hook_kn);
    let place = limits.tears_at.map(frame_in_sentence).unwrap_or_default();
    Some(match limits.ends {
        Ends::Breaks => format!(
            "The open hook then holds {hook}, less than what is on it, so it opens and tears at the {place}."
        ),
        Ends::Opens => format!(
            "The open hook then holds {hook}, more than what is on it: it still holds{}, then opens and tears at the \
             {place}.",
            if limits.course.hook_bends_kn > limits.fails_at_kn {
                format!(", permanently bent from {}", kilonewtons(limits.course.hook_bends_kn))
            } else {
                " but is permanently bent".to_owned()
            }
        ),
        Ends::Strap => format!(
            "The open hook then holds {hook}, more than the strap, which breaks at {}.",
            kilonewtons(limits.peak_kn)
        ),
    })
}

/// What the limits of the other parts suppose, where the pull goes on after the first part has failed.
fn others_suppose(limits: &Limits) -> Option<String> {
    limits.goes_on().then(|| {
        format!(
            "Loads of other parts above {}, and the frame's, suppose that {}.",
            kilonewtons(limits.fails_at_kn),
            still_whole(limits)
        )
    })
}

/// That what fails first is still whole, in a clause: "the hinge pin still holds".
#[must_use]
pub fn still_whole(limits: &Limits) -> String {
    match limits.course.kind {
        LimitKind::Slips => "the pin is still in its notch".to_owned(),
        _ => format!("the {} still holds", failure_modes::part(limits.fails_first)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use geometry::connector::Pin;
    use geometry::outline::{Across, Along, Bar, FrameLocation};
    use solver::rig::RigEnd;
    use solver::strength::{Course, FailureMode, PinFailure};

    fn lip() -> Limits {
        Limits {
            peak_kn: 12.46,
            fails_first: FailureMode::Lip,
            fails_at_kn: 12.46,
            ends: Ends::Breaks,
            first_yield_kn: None,
            bends_at_kn: 15.0,
            open_hook_kn: 4.6,
            tears_at: Some(FrameLocation::Bar(Bar::Spine, Along::EitherEnd, Across::Inner)),
            tears_point_mm: None,
            may_tear_at: None,
            limits: Vec::new(),
            course: Course {
                kind: LimitKind::Breaks,
                gate_fraction: 0.72,
                gate: GateState::Closed,
                friction: 0.2,
                held: Hold::Held,
                hook_bends_kn: 4.3,
                slides: [None; 2],
                unsettled_from_kn: None,
            },
        }
    }

    /// The pull of the lip with something else about it.
    fn changed(change: impl Fn(&mut Limits)) -> Limits {
        let mut limits = lip();
        change(&mut limits);
        limits
    }

    #[test]
    fn a_broken_lip_opens_the_hook() {
        assert_eq!(
            story(&lip()).join(" "),
            "At 12.5 kN the lip of the notch fails: the gate carries 72 % of the pull. The open hook then holds 4.6 kN, \
             less than what is on it, so it opens and tears at the spine's inner side beside a corner."
        );
    }

    #[test]
    fn other_ends_are_told_as_they_are() {
        let opens = |limits: &mut Limits| {
            (limits.course.kind, limits.ends, limits.bends_at_kn) = (LimitKind::Opens, Ends::Opens, 12.0);
        };
        assert_eq!(
            story(&changed(opens)),
            [
                "From 12.0 kN the frame is permanently bent.",
                "At 12.5 kN the frame opens and tears at the spine's inner side beside a corner."
            ]
        );
        let yields = story(&changed(|l| {
            opens(l);
            l.first_yield_kn = Some(7.0);
        }));
        assert_eq!(yields[0], "From 7.0 kN the frame yields in places, from 12.0 kN it is permanently bent.");
        let strap = changed(|l| {
            l.fails_first = FailureMode::Strap(RigEnd::Upper);
            (l.course.kind, l.ends) = (LimitKind::Strap, Ends::Strap);
        });
        assert_eq!(story(&strap), ["At 12.5 kN the upper strap breaks, before any part of the connector."]);
        let pin = |limits: &mut Limits| {
            limits.fails_first = FailureMode::Pin(Pin::Hinge, PinFailure::Sheared);
            (limits.open_hook_kn, limits.course.hook_bends_kn, limits.ends) = (14.0, 13.1, Ends::Opens);
            limits.peak_kn = limits.open_hook_kn;
        };
        let told = story(&changed(pin));
        assert!(told[0].contains("the hinge pin is sheared:"), "{told:?}");
        assert!(told[1].contains("it still holds, permanently bent from 13.1 kN, then opens"), "{told:?}");
        let soft = story(&changed(|l| {
            pin(l);
            l.course.hook_bends_kn = 12.0;
        }));
        assert!(soft[1].contains("it still holds but is permanently bent, then opens"), "{soft:?}");
        let slides = story(&changed(|l| l.course.slides = [Some(0.434), None]));
        assert!(
            slides[0].contains("upper strap does not stay there: friction of 0.43 is needed, and 0.20"),
            "{slides:?}"
        );
        assert!(
            told[2].starts_with(
                "Loads of other parts above 12.5 kN, and the frame's, suppose that the hinge pin"
            ),
            "{told:?}"
        );
        // No frame opens at less than half of the load that it first yields at: an elastic solution can be carried.
        let wrong = story(&changed(|l| {
            opens(l);
            (l.fails_at_kn, l.first_yield_kn) = (1.3, Some(6.9));
        }));
        assert!(wrong.last().unwrap().contains("contradicts itself"), "{wrong:?}");
        assert!(!story(&changed(opens)).iter().any(|s| s.contains("contradicts")));
        let unsettled = story(&changed(|l| {
            (l.course.unsettled_from_kn, l.course.slides) = (Some(6.04), [Some(0.434), None]);
        }));
        assert!(unsettled[0].contains("does not stay there"), "a hazard first: {unsettled:?}");
        assert!(unsettled[1].starts_with("At 6.0 kN the contact did not settle"), "{unsettled:?}");
        assert_eq!(unsettled[2..], story(&lip()));
        let half = |lean| {
            story(&changed(|l| {
                l.course.gate = GateState::Half { engaged_mm: 3.0 };
                l.course.held = Hold::ByFriction(lean);
            }))
            .remove(0)
        };
        assert!(half(-0.01).contains("square to the flank"), "{}", half(-0.01));
        assert!(half(-0.1).contains("leans into the notch"), "{}", half(-0.1));
        assert!(half(0.1).contains("only friction keeps its pin in"), "{}", half(0.1));
        let open = story(&changed(|l| {
            opens(l);
            (l.course.gate, l.course.held) = (GateState::Open, Hold::Open);
        }));
        assert_eq!(open[0], "The gate is open and carries nothing.");
    }
}
