//! What a map shows: a connector under load with its stress, the straps that pull it, and what spine and gate carry.

use crate::body_field::{BodyField, Field};
use crate::callout::Callout;
use crate::load_shape::LoadShape;
use crate::nose_inset::NoseInset;

/// The words of a map beside its title, headline and labels.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MapWords {
    /// Short name of the picture, for screen readers.
    pub name: String,
    /// What the picture says, for those who cannot see it; a map that is part of another picture needs neither.
    pub description: String,
    /// What the colours or lines are, with the unit, in two lines over an upright legend.
    pub ruler: [String; 2],
    /// The same in one line beside a legend that lies across the page.
    pub across: String,
    /// The word at the mark of the yield stress.
    pub yields: String,
    /// The word before a stress that lies past an end of the legend.
    pub past: String,
    /// What stands under the key of trajectories.
    pub key_note: String,
    /// The pull, beside both straps.
    pub pull: String,
    /// What spine and gate carry: each load, and below it whose it is.
    pub shares: [[String; 2]; 2],
}

/// Everything the map shows. Forces in kN, tension positive.
#[derive(Clone, Debug)]
pub struct StressMap<'a> {
    /// Name of the connector.
    pub title: String,
    /// The rig in a line: "10 kN, gate closed, 12 mm straps centred".
    pub subtitle: String,
    /// What the picture says, in one plain sentence: the headline.
    pub sentence: String,
    /// The frame.
    pub frame: BodyField<'a>,
    /// The gate.
    pub gate: BodyField<'a>,
    /// Whether the gate is open: it is then drawn as a ghost, without stress.
    pub gate_open: bool,
    /// Centres and radii of the pins, mm.
    pub pins: Vec<([f64; 2], f64)>,
    /// What pulls up.
    pub upper: LoadShape,
    /// What pulls down.
    pub lower: LoadShape,
    /// Which stress is shown.
    pub field: Field,
    /// Yield stress of the frame, MPa.
    pub yield_mpa: f64,
    /// The pull.
    pub load_kn: f64,
    /// What the gate carries of it.
    pub gate_kn: f64,
    /// What the spine carries of it.
    pub spine_kn: f64,
    /// What is written at its legend, straps and see-saw.
    pub words: MapWords,
    /// Points to name, the most important first; those that find no room are left out.
    pub callouts: Vec<Callout>,
    /// The nose enlarged, where a gate that holds hides it.
    pub nose: Option<NoseInset>,
    /// The line that says what this picture is not.
    pub caution: &'a str,
    /// Program, model and inputs: "pullmap 0.1.0 · broadbar-alu · inputs 3f2a…".
    pub source_line: String,
    /// "shape drawn 20 times enlarged", when it is.
    pub shape_note: Option<String>,
    /// Where the load is beyond what parts hold: what the stresses then tell. Absent where everything holds.
    pub beyond: Option<String>,
}
