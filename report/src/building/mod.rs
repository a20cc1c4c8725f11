//! Why a connector cannot be drawn, meshed or pulled, each mistake after the key of the model that it is told beside.

mod contact;
mod mesh;
mod outline;
mod plane;
mod rig;

#[cfg(test)]
mod tests;

pub use contact::engagement;

use crate::reason::Reason;
use geometry::outline::OutlineError;
use solver::response::RigError;
use solver::system::SystemError;
use std::fmt;
use study::CaseError;
use study::model::key_of::{of_outline, of_rig};

/// One mistake, with all that is told of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// The key that it is told beside; `None` where no single one is to blame.
    pub key: Option<&'static str>,
    /// What is wrong.
    pub reason: Reason,
    /// What to do about it, where it is clear.
    pub hint: Option<String>,
}

impl Mistake {
    fn plain(key: Option<&'static str>, reason: Reason) -> Self {
        Self { key, reason, hint: None }
    }
}

impl fmt::Display for Mistake {
    /// On a line, its hint on a second.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.reason.after(self.key.unwrap_or_default()))?;
        self.hint.as_ref().map_or(Ok(()), |hint| write!(f, "\n  hint: {hint}"))
    }
}

fn of_one(error: &OutlineError) -> Mistake {
    let hint = match error {
        OutlineError::NotchMissesTheEdge => {
            Some("nose.flank_angle_deg turns the flanks, nose.notch_depth_mm makes them longer".to_owned())
        }
        _ => None,
    };
    Mistake { key: Some(of_outline(error)), reason: outline::reason(error), hint }
}

/// Why a system could not be built: every mistake of the outline, or the one of the mesh.
#[must_use]
pub fn mistakes(error: &SystemError) -> Vec<Mistake> {
    match error {
        SystemError::Outline(errors) => errors.iter().map(of_one).collect(),
        other => mesh::mistake(other).into_iter().collect(),
    }
}

/// Why a rig cannot be pulled.
#[must_use]
pub fn mistake(error: &RigError) -> Mistake {
    Mistake::plain(of_rig(error), rig::reason(error))
}

/// Why a system could not be built, each mistake of the outline after its key.
#[must_use]
pub fn system(error: &SystemError) -> String {
    mistakes(error).iter().map(Mistake::to_string).collect::<Vec<_>>().join("\n")
}

/// Why a case cannot be solved, each mistake after its key.
#[must_use]
pub fn case(error: &CaseError) -> String {
    match error {
        CaseError::System(reason) => system(reason),
        CaseError::Rig(reason) => rig(reason),
        CaseError::Stopped => "called off".to_owned(),
    }
}

/// Why a case cannot be solved in a place where nobody's model has it: of a rig that does not fit there, without a key.
#[must_use]
pub fn there(error: &CaseError) -> String {
    match error {
        CaseError::Rig(reason) => mistake(reason).reason.to_string(),
        other => case(other),
    }
}

/// Why a rig cannot be pulled, after its key.
#[must_use]
pub fn rig(error: &RigError) -> String {
    mistake(error).to_string()
}
