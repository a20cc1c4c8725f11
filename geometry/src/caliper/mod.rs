//! What a caliper reads of a connector, and the connector whose outline reads so.
//!
//! Widths, nose tip and hinge height of a connector run from a sharp corner that the rounding took away: no caliper reaches it.
//! Here are the measures that one can take instead, each computed from the drawn outline, its lines and arcs as they are; and
//! the way back ([`connector_reading`]).

mod edges;
mod opening;
mod solve;

#[cfg(test)]
mod tests;

pub use opening::Opening;
pub use solve::{Asked, Unread, connector_reading};

use crate::connector::{Connector, GatePlace};
use crate::curve::Point;
use crate::outline::{Outline, OutlineError};
use edges::Edges;

/// A measure that a caliper takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Measure {
    /// Outside jaws square to the major axis: how long the frame is along it.
    OverallLength,
    /// Inside jaws on the major axis, in the middle of the window's width.
    ClearLength,
    /// Outside jaws along the major axis: how wide the upper bar is with its two corners.
    UpperOverAll,
    /// The same of the lower bar.
    LowerOverAll,
    /// Outside jaws square to the gate side: from the nose's tip to the far side of the upper bar.
    TipOverBar,
    /// From the centre of the nose pin to that of the hinge pin, the gate shut.
    PinToPin,
    /// The clear opening of the mouth, the gate turned into the window as far as it goes.
    GateOpening,
}

impl Measure {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::OverallLength,
        Self::ClearLength,
        Self::UpperOverAll,
        Self::LowerOverAll,
        Self::TipOverBar,
        Self::PinToPin,
        Self::GateOpening,
    ];

    /// What it is of a connector, mm.
    ///
    /// # Errors
    /// The reasons why the connector has no outline.
    pub fn read(self, connector: &Connector) -> Result<f64, Vec<OutlineError>> {
        if self == Self::GateOpening {
            let outline = Outline::try_new(connector, GatePlace::Shut)?;
            return Ok(Opening::new(&outline).clear_mm);
        }
        let edges = Edges::drawn(connector)?;
        edges.read(self).ok_or_else(|| vec![OutlineError::NotchMissesTheEdge])
    }
}

/// What a caliper reads of a connector, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Caliper {
    /// Outside jaws square to the major axis: extent of the frame along it.
    pub overall_length_mm: f64,
    /// Inside jaws on the major axis at mid-width: from the inner edge of the lower bar to that of the upper one.
    pub clear_length_mm: f64,
    /// Width over all at the upper end: extent across the axis of the upper bar's outer edge with its two corners.
    pub upper_over_all_mm: f64,
    /// The same at the lower end.
    pub lower_over_all_mm: f64,
    /// From the nose's tip to the farthest point of the upper bar's outer edge, along the gate side.
    pub tip_over_bar_mm: f64,
    /// From the centre of the nose pin (or of the nose's head) to that of the hinge pin, the gate shut.
    pub pin_to_pin_mm: f64,
    /// The clear opening between nose and gate, the gate turned into the window as far as it goes.
    pub gate_opening_mm: f64,
}

impl Caliper {
    /// Everything that a caliper reads of a connector.
    ///
    /// ```
    /// use geometry::caliper::Caliper;
    /// use geometry::connector::Connector;
    ///
    /// // Level ends, upright sides, bars 14 mm deep all round a window of 44 by 60 mm.
    /// let read = Caliper::read(&Connector::example()).unwrap();
    /// assert!((read.overall_length_mm - 88.0).abs() < 1e-12);
    /// assert!((read.upper_over_all_mm - 72.0).abs() < 1e-12);
    /// ```
    ///
    /// # Errors
    /// The reasons why the connector has no outline.
    pub fn read(connector: &Connector) -> Result<Self, Vec<OutlineError>> {
        let read = |measure: Measure| measure.read(connector);
        Ok(Self {
            overall_length_mm: read(Measure::OverallLength)?,
            clear_length_mm: read(Measure::ClearLength)?,
            upper_over_all_mm: read(Measure::UpperOverAll)?,
            lower_over_all_mm: read(Measure::LowerOverAll)?,
            tip_over_bar_mm: read(Measure::TipOverBar)?,
            pin_to_pin_mm: read(Measure::PinToPin)?,
            gate_opening_mm: read(Measure::GateOpening)?,
        })
    }

    /// One of its measures, mm.
    #[must_use]
    pub fn of(&self, measure: Measure) -> f64 {
        match measure {
            Measure::OverallLength => self.overall_length_mm,
            Measure::ClearLength => self.clear_length_mm,
            Measure::UpperOverAll => self.upper_over_all_mm,
            Measure::LowerOverAll => self.lower_over_all_mm,
            Measure::TipOverBar => self.tip_over_bar_mm,
            Measure::PinToPin => self.pin_to_pin_mm,
            Measure::GateOpening => self.gate_opening_mm,
        }
    }
}

/// The two points that the jaws of a caliper touch, for a drawing. In order: lower then upper, spine then gate, tip then bar,
/// nose then hinge. Of the opening: on the nose, then on the gate.
///
/// # Errors
/// The reasons why the connector has no outline.
pub fn touched(connector: &Connector, measure: Measure) -> Result<[Point; 2], Vec<OutlineError>> {
    if measure == Measure::GateOpening {
        let outline = Outline::try_new(connector, GatePlace::Shut)?;
        let opening = Opening::new(&outline);
        return Ok([opening.on_nose, opening.on_gate]);
    }
    let edges = Edges::drawn(connector)?;
    edges.touched(measure).ok_or_else(|| vec![OutlineError::NotchMissesTheEdge])
}
