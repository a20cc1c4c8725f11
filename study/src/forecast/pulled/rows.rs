//! The rows of the comparison.

use super::course::{On, course};
use super::factors::{Factors, factors};
use super::row::{Reason, Row, Seen, What};
use crate::pull_to_failure::{PullError, Pulled, Ready, Shutting};
use crate::{CaseError, Step};
use solver::findings::{Joints, Untrusted};
use solver::plastic::Motion;
use solver::pull_to_failure::{Course, End, Reached, Watch};
use solver::response::Pull;
use solver::rig::GateState;
use solver::strength::{FailureMode, Limits, LoadPath};
use solver::system::Side;

/// Steps of the pulls that take a difference apart, as a part of those of the pull: only their loads are read.
const COARSER: u32 = 2;

/// A forecast beside a pull.
#[derive(Clone, Debug)]
pub struct Beside<'a> {
    /// The pull, without what stays after unloading.
    pub pulled: Pulled<'a>,
    /// What both tell.
    pub rows: Vec<Row>,
}

/// Pulls a connector and lines up what its forecast says. `watch` is told each step of the pull, `stop` is asked in those that take a
/// difference apart, and `begins` is told when those begin.
///
/// # Errors
/// [`PullError`]: no equilibrium is found, the load path is not, or it was stopped.
pub fn beside<'a>(
    ready: &'a Ready,
    limits: &Limits,
    steps: u32,
    (watch, stop): (&mut Watch<'_>, &(dyn Fn() -> bool + Sync)),
    begins: &dyn Fn(Step),
) -> Result<Beside<'a>, PullError> {
    let own = On {
        hardening: ready.curve.hardening.clone(),
        motion: Motion::Large,
        tears: true,
        gate: ready.rig.gate,
        steps,
    };
    let course = course(ready, &own, watch)?;
    let hook_stopped = course.hook.as_ref().is_some_and(|hook| hook.end == End::Stopped);
    if course.end == End::Stopped || hook_stopped {
        return Err(PullError::Case(CaseError::Stopped));
    }
    let pulled = Pulled {
        ready,
        course,
        shutting: Shutting::Unknown,
        set_found: None,
        bent: None,
        not_unloaded: None,
        stopped: false,
    };
    begins(Step::Assumptions);
    let rows = Rows { ready, limits, pulled: &pulled, steps: (steps / COARSER).max(1), stop }.all()?;
    Ok(Beside { pulled, rows })
}

struct Rows<'r, 'a> {
    ready: &'a Ready,
    limits: &'r Limits,
    pulled: &'r Pulled<'a>,
    steps: u32,
    stop: &'r (dyn Fn() -> bool + Sync),
}

impl Rows<'_, '_> {
    fn course(&self) -> &Course<'_> {
        &self.pulled.course
    }

    /// The load that the forecast gives a part.
    fn forecast(&self, what: FailureMode) -> Option<f64> {
        self.limits.limits.iter().find(|limit| limit.what == what)?.at_kn
    }

    fn all(&self) -> Result<Vec<Row>, PullError> {
        let course = self.course();
        let (marks, last) = (course.marks, self.pulled.last());
        let gated = self.pulled.is_gated();
        let seen = |kn: Option<f64>| kn.map_or(Seen::NotUpTo(marks.peak_kn), Seen::At);
        let opens = matches!(course.end, End::Maximum | End::Torn | End::Opened).then_some(marks.peak_kn);
        // What a hook bears is told as far as friction holds what pulls.
        let bears = (course.end == End::Slides).then_some(marks.peak_kn).or(opens);
        let mut rows = vec![
            self.row(What::FirstYield, self.limits.first_yield_kn, seen(marks.yields_kn)),
            self.row(What::Bends, Some(self.limits.bends_at_kn), seen(marks.offset_kn)),
        ];
        if !gated {
            rows.push(self.row(What::OpenHook, Some(self.limits.open_hook_kn), seen(bears)));
        } else {
            rows.push(self.row(What::Opens, self.forecast(FailureMode::FrameOpens), seen(opens)));
            if let End::Part(part) = &course.end {
                let pull = Seen::At(last.load_kn);
                rows.push(self.row(What::Part(part.what), self.forecast(part.what), pull));
            }
            let lost = (course.end == End::GateLost).then_some(last.load_kn);
            rows.push(self.row(What::RidesOut, self.forecast(FailureMode::RidesOut), seen(lost)));
            if let Some(hook) = &course.hook {
                let pull = match hook.end {
                    End::Maximum | End::Torn | End::Opened | End::Slides => Seen::At(hook.peak_kn()),
                    _ => Seen::NotUpTo(hook.peak_kn()),
                };
                rows.push(self.row(What::OpenHook, Some(self.limits.open_hook_kn), pull));
            }
        }
        let shares = if gated { Some(self.shares()?) } else { None };
        if let Some(shares) = shares {
            if let Some([forecast, pull]) = shares.yields {
                rows.push(self.row(What::ShareAtYield, Some(forecast), Seen::At(pull)));
            }
            let [forecast, pull] = shares.end;
            rows.push(self.row(What::ShareAtEnd, Some(forecast), Seen::At(pull)));
        }
        for row in &mut rows {
            if row.disagrees() {
                row.reason = self.reason(row, shares)?;
            }
        }
        Ok(rows)
    }

    fn row(&self, what: What, forecast: Option<f64>, pull: Seen) -> Row {
        Row { what, forecast, pull, reason: None }
    }

    fn reason(&self, row: &Row, shares: Option<Shares>) -> Result<Option<Reason>, PullError> {
        let course = self.course();
        Ok(match row.what {
            What::FirstYield => self.begins()?,
            What::Bends => Some(Reason::Criterion { left_mm: self.left_mm(self.limits.bends_at_kn) }),
            What::Part(_) | What::ShareAtYield | What::ShareAtEnd => {
                shares.map(|s| Reason::Share { yields: s.yields, end: s.end })
            }
            What::RidesOut => Some(Reason::Pin {
                out_mm: self.pulled.last().pin_out_mm,
                inside_mm: self.ready.system.outline.seats.pin_inside_mouth_mm(),
            }),
            What::Opens => {
                self.factors(row.forecast, &course.steps, self.ready.rig.gate)?.map(Reason::Assumptions)
            }
            What::OpenHook => {
                let steps = course.hook.as_ref().map_or(&course.steps, |hook| &hook.steps);
                self.factors(row.forecast, steps, GateState::Open)?.map(Reason::Assumptions)
            }
        })
    }

    /// Where and from which stress on the pull first yields.
    fn begins(&self) -> Result<Option<Reason>, PullError> {
        let Some(first) = self.pulled.first_plastic() else { return Ok(None) };
        let step = &self.course().steps[first];
        let system = &self.ready.system;
        let case = |e| PullError::Case(CaseError::from(e));
        let response =
            Pull::new(system, &self.ready.rig).and_then(|mut p| p.respond(step.load_kn)).map_err(case)?;
        let joints = Joints::new(system, Side::Frame);
        Ok(Some(Reason::Begins {
            begins_mpa: self.ready.curve.hardening.at(0.0).stress_mpa,
            yield_mpa: self.ready.strengths.materials.frame.yield_mpa,
            at: self.pulled.place(step.plastic_at),
            looked_at: Untrusted::new(system, &response, Side::Frame)
                .with_joints(&joints)
                .trusts(step.plastic_at),
        }))
    }

    fn factors(
        &self,
        forecast_kn: Option<f64>,
        steps: &[Reached],
        gate: GateState,
    ) -> Result<Option<Factors>, PullError> {
        match forecast_kn {
            Some(kn) => factors(self.ready, kn, steps, (gate, self.steps), self.stop),
            None => Ok(None),
        }
    }

    /// The stretch that would stay after a load on the way up, by the line through first yield along the slope there.
    fn left_mm(&self, load_kn: f64) -> Option<f64> {
        let steps = &self.course().steps;
        let first = self.pulled.first_plastic().filter(|first| *first > 1)?;
        let (a, b) = (&steps[first - 2], &steps[first - 1]);
        let slope = (b.load_kn - a.load_kn) / (b.stretch_mm - a.stretch_mm);
        let pair = steps.windows(2).skip(first - 1).find(|pair| pair[1].load_kn >= load_kn)?;
        let part = (load_kn - pair[0].load_kn) / (pair[1].load_kn - pair[0].load_kn);
        let stretch = pair[0].stretch_mm + part.clamp(0.0, 1.0) * (pair[1].stretch_mm - pair[0].stretch_mm);
        Some((stretch - b.stretch_mm - (load_kn - b.load_kn) / slope).max(0.0))
    }

    /// The gate's share by the elastic load path of the forecast, at the loads of the pull's own.
    fn shares(&self) -> Result<Shares, PullError> {
        let found = self.pulled.shares();
        let case = |e| PullError::Case(CaseError::from(e));
        let mut pull = Pull::new(&self.ready.system, &self.ready.rig).map_err(case)?;
        let horizon = self.forecast(FailureMode::FrameOpens).unwrap_or(self.limits.peak_kn);
        let mut path = LoadPath::new(&mut pull, horizon).map_err(case)?;
        let mut beside = |load_kn: f64, pull: f64| -> Result<[f64; 2], PullError> {
            Ok([path.solve(load_kn).map_err(case)?.gate_fraction, pull])
        };
        Ok(Shares {
            yields: found.yields.map(|s| beside(s.load_kn, s.gate)).transpose()?,
            end: beside(found.end.load_kn, found.end.gate)?,
        })
    }
}

/// Shares of the gate: forecast and pull.
#[derive(Clone, Copy)]
struct Shares {
    yields: Option<[f64; 2]>,
    end: [f64; 2],
}
