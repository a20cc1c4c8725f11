//! The simulated pull that `forecast --pulled` sets beside a forecast.

use super::pull_stopped;
use crate::failure::Failure;
use crate::mapping::room_for_pull;
use crate::output::complain;
use crate::progress::Progress;
use report::forecast::{Forecast, STOPPED};
use report::pull_so_far::PullSoFar;
use report::pull_to_failure::error;
use report::steps;
use solver::plastic::FirstPull;
use solver::pull_to_failure::{DEFAULT_STEPS, Reached};
use solver::system::SystemSettings;
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use study::forecast::{self, pulled::beside};
use study::model::Model;
use study::pull_to_failure::{PullError, Ready, UNKNOWNS};
use study::{CaseError, Engine};

/// Pulls beside forecasts, until somebody stops them.
pub(super) struct Pulling {
    stop: Arc<AtomicBool>,
}

impl Pulling {
    /// Listens for what may stop it from now on.
    pub fn listen() -> Self {
        Self { stop: pull_stopped::listen() }
    }

    /// Whether a model can be pulled at all: told before the first one is solved.
    ///
    /// # Errors
    /// Its metal has no curve, or there is no memory for its mesh.
    pub fn check(model: &Model) -> Result<(), Failure> {
        room_for_pull(model, &mesh(), DEFAULT_STEPS)?;
        match FirstPull::of(&model.materials.frame) {
            Some(_) => Ok(()),
            None => Err(Failure::solving(&model.title, &error(&PullError::NoElongation))),
        }
    }

    /// The forecast with its pull beside it; nothing where it was stopped, which is then told.
    ///
    /// # Errors
    /// The connector cannot be pulled.
    pub fn beside(
        &self,
        engine: &Engine,
        model: &Model,
        told: &forecast::Forecast,
        progress: &Progress,
    ) -> Result<Option<Forecast>, Failure> {
        let begins = |step| progress.say(steps::step(step));
        let asked_to_stop = || self.stop.load(Ordering::Relaxed);
        let mut so_far = PullSoFar::default();
        let mut watch = |reached: &Reached| {
            so_far.take(reached);
            progress.tell(so_far.words());
            if asked_to_stop() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        };
        let found = Ready::new(engine, model, mesh(), &begins).and_then(|ready| {
            let pull = beside(&ready, &told.limits, DEFAULT_STEPS, (&mut watch, &asked_to_stop), &begins)?;
            Ok(Forecast::new(told, model).beside(&pull))
        });
        match found {
            Ok(forecast) => Ok(Some(forecast)),
            Err(PullError::Case(CaseError::Stopped)) => {
                progress.done();
                complain(STOPPED);
                Ok(None)
            }
            Err(e) => Err(Failure::solving(&model.title, &error(&e))),
        }
    }
}

/// The mesh of a pull.
fn mesh() -> SystemSettings {
    SystemSettings { unknowns: UNKNOWNS, ..SystemSettings::default() }
}
