//! Why a pull cannot be done as it was asked.

use super::ends::end_short;
use super::no_step::no_step;
use crate::building;
use crate::numbers::{kilonewtons, typed};
use solver::pull_to_failure::End;
use study::pull_to_failure::PullError;

/// Why a pull cannot be done as it was asked, in its parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// What is wrong.
    pub says: String,
    /// What to do about it, where it is clear.
    pub hint: Option<String>,
}

/// Why a pull cannot be done as it was asked.
#[must_use]
pub fn error(error: &PullError) -> String {
    let Refused { says, hint } = refused(error);
    match hint {
        Some(hint) => format!("{says}\n  hint: {hint}"),
        None => says,
    }
}

/// The same in its parts. A connector that cannot be built tells all of it in `says`.
#[must_use]
pub fn refused(error: &PullError) -> Refused {
    let (says, hint) = match error {
        PullError::Case(reason) => return Refused { says: building::case(reason), hint: None },
        PullError::NoElongation => (
            "material.frame.elongation is missing, and the metal's curve beyond yield stands on it".to_owned(),
            "add the elongation after fracture, a share of the length (0.11: 11 %), or name a metal that `pullmap materials` lists".to_owned(),
        ),
        PullError::NoStep(reason) => (
            format!("no equilibrium was found under the first load: {}", no_step(reason)),
            "`pullmap map` shows what presses where; or try another --mesh-size".to_owned(),
        ),
        PullError::NotReached { asked_kn, highest_kn, end } => (
            format!(
                "{} is not reached: the highest load is {} ({})",
                kilonewtons(*asked_kn),
                kilonewtons(*highest_kn),
                end_short(end)
            ),
            higher(end, *asked_kn),
        ),
        PullError::SetNotReached { asked_mm, most_mm, apart_mm, end } => {
            let way = if *most_mm < 0.0 { "shorter" } else { "longer" };
            let notch = if *apart_mm < 0.0 { "nearer to" } else { "farther from" };
            (
                format!(
                    "a permanent stretch of {} mm is not reached: the pull leaves it {:.2} mm {way} between the load centres, gate opened, \
                     and its notch up to {:.2} mm {notch} the hinge ({})",
                    typed(*asked_mm),
                    most_mm.abs(),
                    apart_mm.abs(),
                    end_short(end)
                ),
                longer(end),
            )
        }
        PullError::NotUnloaded { from_kn, reason } => (
            format!(
                "the connector could not be unloaded from {}: {}",
                kilonewtons(*from_kn),
                no_step(reason)
            ),
            "try a load a little below, or another number of --steps".to_owned(),
        ),
        PullError::SetNotFound { asked_mm } => (
            format!(
                "the load that leaves a permanent stretch of {} mm was not found: the connector could not be unloaded from some steps of \
                 the pull",
                typed(*asked_mm)
            ),
            "try another number of --steps, or a coarser mesh (--mesh-size 3)".to_owned(),
        ),
    };
    Refused { says, hint: Some(hint) }
}

/// What to do where a load is never reached.
fn higher(end: &End, asked_kn: f64) -> String {
    let below = "give --until or --unload-from a load below that";
    match end {
        End::Asked => format!("leave out --until, or let it be {} or more", kilonewtons(asked_kn)),
        End::Stroke => format!("{below}, or the bench a longer stroke by --set rig.stroke_mm=..."),
        End::NoFurther(_) | End::Steps => {
            format!("{below}, or try another number of --steps or another --mesh-size")
        }
        _ => below.to_owned(),
    }
}

/// What to do where a permanent stretch is never left.
fn longer(end: &End) -> String {
    let measure = "measure the distance of the two load centres again, gate opened, and give --set-found what it is longer than before; where it is \
                   the notch that stands nearer to the hinge, look for the load that leaves as much with --unload-from";
    match end {
        End::Asked => "leave out --until, or give it a higher load: a longer pull may leave more".to_owned(),
        End::Stroke => {
            "give the bench a longer stroke by --set rig.stroke_mm=...: a longer pull may leave more"
                .to_owned()
        }
        End::NoFurther(_) | End::Steps => {
            format!("try another number of --steps or another --mesh-size; or {measure}")
        }
        _ => measure.to_owned(),
    }
}
