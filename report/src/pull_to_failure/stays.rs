//! What stays after unloading, in sentences.

use super::places::at_or_beside;
use crate::failure_modes::run_on;
use crate::numbers::{kilonewtons, kilonewtons_alone, typed};
use solver::strength::LimitKind;
use study::pull_to_failure::{Bent, Pulled, SetFound};

/// A second pull that came this near to the stretch of the first has come to it.
const SAME_STRETCH: f64 = 0.999;

/// Which pin or lug the forecast has bent up to a load though a pull keeps it elastic; empty where none.
pub(super) fn bent_pins(pulled: &Pulled<'_>, load_kn: f64) -> String {
    let limits = pulled.ready.limits.limits.iter().filter(|l| l.kind == LimitKind::Yields);
    let first = limits.filter_map(|l| Some((l.what, l.at_kn?))).min_by(|a, b| a.1.total_cmp(&b.1));
    match first.filter(|(_, at_kn)| *at_kn <= load_kn) {
        Some((what, at_kn)) => {
            format!("; the forecast has the {} from {} on", run_on(what), kilonewtons(at_kn))
        }
        None => String::new(),
    }
}

/// The load that left what was found.
#[must_use]
pub fn set_found(found: &SetFound) -> String {
    let [[below_kn, below_mm], [above_kn, above_mm]] = found.between;
    let range = format!(
        "{} to {}, with the frame's yield strength known to {:.0} % each way",
        kilonewtons_alone(found.range_kn[0]),
        kilonewtons(found.range_kn[1]),
        100.0 * found.scatter
    );
    if found.past_the_highest {
        return format!(
            "A permanent stretch of {} mm is left only once the highest load, {}, is past: it has seen that load ({range}).",
            typed(found.set_mm),
            kilonewtons(found.at_kn)
        );
    }
    format!(
        "A permanent stretch of {} mm is left by a pull to {} ({range}): {} leave {below_mm:.2} mm, {} leave {above_mm:.2} mm.",
        typed(found.set_mm),
        kilonewtons(found.at_kn),
        kilonewtons(below_kn),
        kilonewtons(above_kn)
    )
}

/// What a connector is like that was unloaded, and what a second pull on it does.
#[must_use]
pub fn bent(pulled: &Pulled<'_>, bent: &Bent) -> String {
    let unloaded = &bent.unloaded;
    let from = kilonewtons(unloaded.from_kn);
    let shuts = match unloaded.shuts {
        Some(shuts) if shuts.shuts() => format!(
            " The gate still shuts, as far as the frame goes: {:.2} mm of room are left of {:.2} mm{}.",
            shuts.room_mm,
            shuts.before_mm,
            bent_pins(pulled, unloaded.from_kn)
        ),
        Some(shuts) => format!(
            " The gate no longer shuts: its pin lacks {:.2} mm of room, and had {:.2} mm before.",
            -shuts.room_mm, shuts.before_mm
        ),
        None => String::new(),
    };
    let again = unloaded.again.last().map_or_else(String::new, |last| {
        let yields = last.plastic_strain - bent.before.plastic_strain;
        let carries = if unloaded.shuts.is_some_and(|s| !s.shuts()) { "as an open hook " } else { "" };
        if last.stretch_mm < SAME_STRETCH * bent.before.stretch_mm {
            return format!(
                " A second pull {carries}was found up to {} only, short of the same stretch.",
                kilonewtons(last.load_kn)
            );
        }
        format!(
            " Pulled a second time {carries}to the same stretch it carries {}, and {}.",
            kilonewtons(last.load_kn),
            if yields > 1e-5 { "yields further" } else { "its largest plastic strain does not grow" }
        )
    });
    let stays = match (100.0 * unloaded.set_mm).round() {
        still if still > 0.0 => format!("stays {:.2} mm longer between the load centres", unloaded.set_mm),
        still if still < 0.0 => format!("stays {:.2} mm shorter between the load centres", -unloaded.set_mm),
        _ => "is as long between the load centres as before".to_owned(),
    };
    let notch = unloaded.shuts.filter(|s| s.apart_mm.abs() >= 0.005).map_or_else(String::new, |s| {
        let way = if s.apart_mm < 0.0 { "nearer to" } else { "farther from" };
        format!(" Its notch stands {:.2} mm {way} the hinge than before.", s.apart_mm.abs())
    });
    let residual = if bent.before.plastic_strain > 0.0 {
        format!(
            " The highest residual stress of the bars is {:.0} MPa ({}).",
            unloaded.residual_mpa,
            at_or_beside(pulled, unloaded.residual_at)
        )
    } else {
        " Its bars have not yielded: no stress stays in them.".to_owned()
    };
    format!("Unloaded from {from} and its gate opened, it {stays}.{notch}{shuts}{residual}{again}")
}
