//! What ended a pull, and what carried the load then.

use super::no_step::no_step;
use crate::failure_modes::{run_on, strap, subject_and_verb};
use crate::letters::capital;
use crate::locations::frame_in_sentence;
use crate::numbers::{kilonewtons, percent, typed};
use solver::pull_to_failure::{End, Hook, Reached};
use study::pull_to_failure::Pulled;

/// What ended it, in few words.
pub(super) fn end_short(end: &End) -> String {
    match end {
        End::Part(capacity) => {
            let (part, verb) = subject_and_verb(capacity.what);
            format!("{part} {verb}")
        }
        End::GateLost => "the pin leaves the notch".to_owned(),
        End::Maximum => "the frame opens".to_owned(),
        End::Torn => "the frame tears".to_owned(),
        End::Opened => "it has opened by a right angle".to_owned(),
        End::Slides => "friction no longer holds what pulls on its turned bars".to_owned(),
        End::Strap(end) => format!("the {} breaks", strap(*end)),
        End::Stroke => "the bench's stroke ends".to_owned(),
        End::Asked => "the pull ends at the load that was asked for".to_owned(),
        End::Stopped => "the pull was stopped".to_owned(),
        End::NoFurther(_) => "no further equilibrium was found".to_owned(),
        End::Steps => "the pull took more steps than any should".to_owned(),
    }
}

/// The end as a row or a label has it: "lip of the notch", "frame opens".
#[must_use]
pub fn ended(end: &End) -> String {
    match end {
        End::Part(capacity) => run_on(capacity.what).to_owned(),
        End::GateLost => "pin left the notch".to_owned(),
        End::Maximum => "frame opens".to_owned(),
        End::Torn => "frame tears".to_owned(),
        End::Opened => "opened by a right angle".to_owned(),
        End::Slides => "friction no longer holds on the turned bars".to_owned(),
        End::Strap(end) => format!("{} breaks", strap(*end)),
        End::Stroke => "stroke of the bench".to_owned(),
        End::Asked => "load asked for".to_owned(),
        End::Stopped => "stopped".to_owned(),
        End::NoFurther(_) => "no further equilibrium".to_owned(),
        End::Steps => "too many steps".to_owned(),
    }
}

/// Who carries how much.
fn carried(at: &Reached) -> String {
    format!(
        "the spine carries {} and the gate {}, {}",
        kilonewtons(at.spine_kn),
        kilonewtons(at.gate_kn),
        percent(at.gate_fraction.max(0.0))
    )
}

/// What the open hook does after a lost gate: what it holds for as long as friction keeps on it what pulls it.
#[must_use]
pub fn hook(pulled: &Pulled<'_>, hook: &Hook) -> String {
    let Some(first) = hook.steps.first() else { return String::new() };
    let first_kn = kilonewtons(first.load_kn);
    if pulled.hook_slides() {
        let angle = pulled.keeps_to_deg();
        let friction = pulled.ready.rig.friction;
        return match pulled.hook_keeps_kn() {
            None => format!(
                "The open hook holds {first_kn} right after, at the same stretch; its bars have turned by more than {angle:.0} degrees then, \
                 and friction of {friction:.2} no longer holds what pulls on them."
            ),
            Some(most) => format!(
                "The open hook holds {first_kn} right after, at the same stretch, and {}.",
                until_it_slides(pulled, most)
            ),
        };
    }
    if let (End::Stopped, Some(last)) = (&hook.end, hook.steps.last()) {
        return format!(
            "The open hook holds {first_kn} right after, at the same stretch, and {} where the pull was stopped.",
            kilonewtons(last.load_kn)
        );
    }
    let then = match &hook.end {
        End::NoFurther(reason) => format!("; beyond, {}", no_step(reason)),
        End::Maximum => String::new(),
        other => format!("; then {}", end_short(other)),
    };
    format!(
        "The open hook holds {first_kn} right after, at the same stretch, and {} at most{then}.",
        kilonewtons(hook.peak_kn())
    )
}

/// A load, and that friction keeps nothing where it lies once the bars have turned too far.
fn until_it_slides(pulled: &Pulled<'_>, load_kn: f64) -> String {
    format!(
        "{} until its bars have turned by {:.0} degrees: from there on friction of {:.2} no longer holds what pulls on them",
        kilonewtons(load_kn),
        pulled.keeps_to_deg(),
        pulled.ready.rig.friction
    )
}

/// What ended it, at which load, and what carried the load. Of a hook that was open from the beginning first what it holds for as long as
/// friction keeps on it what pulls it.
#[must_use]
pub fn headline(pulled: &Pulled<'_>) -> String {
    match pulled.open_keeps_kn() {
        Some(_) if pulled.open_slides_at_once() => format!(
            "Friction of {:.2} does not hold what pulls on the bars of an open hook, which turn from the first load on.",
            pulled.ready.rig.friction
        ),
        Some(kept_kn) => format!("The open hook holds {}.", until_it_slides(pulled, kept_kn)),
        None => ended_at(pulled),
    }
}

fn ended_at(pulled: &Pulled<'_>) -> String {
    let course = &pulled.course;
    let (last, peak) = (pulled.last(), &course.steps[pulled.highest()]);
    let at = kilonewtons(last.load_kn);
    let highest = kilonewtons(course.marks.peak_kn);
    let carried = |at: &Reached| match pulled.is_gated() {
        true => carried(at),
        false => "the spine carries all of it".to_owned(),
    };
    let after = || {
        let none = || "No hook was found in balance after it.".to_owned();
        course.hook.as_ref().map_or_else(none, |of| hook(pulled, of))
    };
    match &course.end {
        End::Part(capacity) => format!(
            "{} at {at}, where {:.1} kN run along the gate. {}",
            capital(&end_short(&course.end)),
            1e-3 * capacity.force_n,
            after()
        ),
        End::GateLost => format!("The pin leaves the notch at {at}. {}", after()),
        End::Maximum => format!(
            "The frame opens: the load rises to {highest} and then falls; at the highest load {}.",
            carried(peak)
        ),
        End::Opened => format!(
            "It has opened by a right angle at {at}, and nothing lies in it any more; nothing broke until then, and {}.",
            carried(last)
        ),
        End::Torn => format!(
            "The {} tears at {at}, where the metal's ductility is used up; {} until then.",
            frame_in_sentence(pulled.place(last.ductility_at)),
            carried(last)
        ),
        End::Slides => {
            format!("At {at} friction no longer holds what pulls on the turned bars; {}.", carried(last))
        }
        End::Strap(_) => {
            format!("{} at {at}; {} until then.", capital(&end_short(&course.end)), carried(last))
        }
        End::Stroke => format!(
            "The bench's stroke of {} mm ends the pull at {at}, before anything fails; {}.",
            pulled.ready.stroke_mm.map_or_else(String::new, typed),
            carried(last)
        ),
        End::Asked => format!("Nothing ends the pull up to {at}, where it was to end; {}.", carried(last)),
        End::Stopped => format!("The pull was stopped at {at}, before anything failed; {}.", carried(last)),
        End::NoFurther(reason) => format!(
            "Beyond {at} no further equilibrium was found: {}. The highest load until then is {highest}; {}.",
            no_step(reason),
            carried(last)
        ),
        End::Steps => format!("The pull took more steps than any should; its highest load is {highest}."),
    }
}

/// A pull that was stopped: what is kept.
#[must_use]
pub fn stopped(pulled: &Pulled<'_>) -> String {
    let last =
        pulled.course.hook.as_ref().and_then(|hook| hook.steps.last()).unwrap_or_else(|| pulled.last());
    format!("stopped at {}; what was reached until then is kept\n", kilonewtons(last.load_kn))
}

/// What a table says of something that did not happen.
#[must_use]
pub fn nothing_more(pulled: &Pulled<'_>) -> &'static str {
    match pulled.course.end {
        End::Stopped => "not up to where it was stopped",
        End::Asked => "not up to the load that was asked for",
        _ => "not in this pull",
    }
}
