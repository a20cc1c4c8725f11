//! Where and how a connector is drawn.

use crate::layout::View;
use crate::ruler::Span;
use crate::trajectories::Plan;

/// Where and how large a connector is drawn, and what its colours or trajectories mean: shared by all connectors of a picture.
#[derive(Clone, Copy)]
pub(crate) struct Stage<'a> {
    /// From millimetres to the page.
    pub view: &'a View,
    /// Range of the colours.
    pub span: Span,
    /// Thickness of trajectories.
    pub plan: &'a Plan,
    /// Pixels per unit.
    pub unit: f64,
    /// How far straps run.
    pub reach: f64,
}
