//! A calibration as a logbook keeps it: its draws as JSON.

use lab::logbook::{KeptCalibration, Logbook, LogbookError};
use solver::forecast::Calibration;
use solver::strength::Constant;
use std::sync::Arc;

/// The calibration of a name, ready for a model.
///
/// # Errors
/// There is none of that name, or what is kept is damaged.
pub fn calibration_of(logbook: &Logbook, name: &str) -> Result<Arc<Calibration>, LogbookError> {
    told(&logbook.calibration(name)?).map(Arc::new)
}

/// What a kept calibration says.
///
/// # Errors
/// It is damaged.
pub fn told(kept: &KeptCalibration) -> Result<Calibration, LogbookError> {
    let sound = |told: &Calibration| {
        let fits = |of: Constant, value: f64| match of {
            Constant::Flow => (0.0..=1.0).contains(&value),
            Constant::Press => (-1.0..=1.0).contains(&value),
            _ => value.is_finite() && value > 0.0,
        };
        !told.draws.is_empty()
            && told.draws.iter().all(|draw| Constant::ALL.iter().all(|of| fits(*of, draw.get(*of))))
    };
    let read: Option<Calibration> = serde_json::from_str(&kept.told).ok();
    read.filter(sound).ok_or_else(|| LogbookError::Damaged(format!("calibration {}", kept.name)))
}
