//! The load in use beside what was computed: how far first yield, failure and marking lie above it.

use crate::map::Mapped;
use crate::model::Model;
use solver::response::Pull;
use solver::strength::{FailureMode, Limits, limits_without_yield};

/// A load beside the load in use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Above {
    /// The load, kN.
    pub at_kn: f64,
    /// How far it lies above the load in use, kN; below zero where it lies under it.
    pub by_kn: f64,
    /// It over the load in use.
    pub times: f64,
}

impl Above {
    /// A load beside one in use, both above zero, kN.
    #[must_use]
    pub fn of(at_kn: f64, working_kn: f64) -> Self {
        Self { at_kn, by_kn: at_kn - working_kn, times: at_kn / working_kn }
    }
}

/// What lies above the load in use, and how far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InUse {
    /// The load in use, kN.
    pub working_kn: f64,
    /// Where the frame first yields; absent where that was not found.
    pub first_yield: Option<Above>,
    /// The load up to which nothing breaks, with everything at its middle.
    pub failure: Above,
    /// The part that fails first.
    pub fails_first: FailureMode,
    /// The load that 5 of 100 pulls stay below; absent where no range was drawn.
    pub low_end: Option<Above>,
    /// What is marked for this state of the gate; absent where nothing is.
    pub marked: Option<Above>,
}

impl InUse {
    /// Of a map of a model that tells its load in use: its limits are solved besides. `None` too where no forces balance one of the
    /// loads that they need: the map stands without it.
    #[must_use]
    pub fn of_map(model: &Model, mapped: &Mapped) -> Option<Self> {
        model.working_load_kn?;
        let mut pull = Pull::new(&mapped.system, &model.rig).ok()?;
        let limits = limits_without_yield(&mut pull, &mapped.strengths, &model.rig).ok()?;
        Self::of(model, &limits, mapped.findings.first_yield_kn, None)
    }

    /// Of a model that tells its load in use; `None` without one. `low_end_kn`: the low end of the 90 % range, where it was drawn.
    ///
    /// ```
    /// use study::in_use::InUse;
    /// use study::model::Source;
    /// use study::{Engine, Watch};
    ///
    /// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../models/oval.toml"));
    /// let model = Source::of("oval.toml", text).model(&[("rig.working_load_kn".into(), "4".into())]).unwrap();
    /// let mesh = solver::system::SystemSettings { unknowns: 4000.0, ..Default::default() };
    /// let pulled = Engine::default().evaluate(&[model.case(mesh)], &Watch::quiet()).remove(0).unwrap();
    /// let in_use = InUse::of(&model, &pulled.limits, pulled.limits.first_yield_kn, None).unwrap();
    /// assert_eq!(in_use.failure.by_kn, pulled.limits.holds_kn() - 4.0);
    /// assert_eq!(in_use.marked.unwrap().times, 18.0 / 4.0);
    /// ```
    #[must_use]
    pub fn of(
        model: &Model,
        limits: &Limits,
        first_yield_kn: Option<f64>,
        low_end_kn: Option<f64>,
    ) -> Option<Self> {
        let working_kn = model.working_load_kn?;
        let above = |at_kn: f64| Above::of(at_kn, working_kn);
        Some(Self {
            working_kn,
            first_yield: first_yield_kn.map(above),
            failure: above(limits.holds_kn()),
            fails_first: limits.fails_first,
            low_end: low_end_kn.map(above),
            marked: model.marking.of(model.rig.gate).map(above),
        })
    }
}
