//! What a map tells of the nose: where it is seen, what its pin presses with, and what lip and pin hold.

/// The nose of a gate that holds. Lengths in mm (y up).
#[derive(Clone, Debug)]
pub struct NoseInset {
    /// The box that shall be seen: its lower left and its upper right corner.
    pub shown: [[f64; 2]; 2],
    /// Whether the gate has the notch and the nose the pin, not the other way round.
    pub notch_on_gate: bool,
    /// The forces of the pin on the notch, one for each place where it presses.
    pub forces: Vec<ContactForce>,
    /// What lip and pin hold at most, in words: "lip holds 11.2 kN, pin 12.5 kN".
    pub holds: String,
    /// What is said beside that where there is room for it.
    pub aside: Option<&'static str>,
    /// What the trajectories in a window carry that is so many times enlarged: "lines carry 1/3.9 of the map's".
    pub lines_carry: fn(f64) -> String,
}

/// A force of the pin on the notch.
#[derive(Clone, Debug, PartialEq)]
pub struct ContactForce {
    /// The middle of where it presses, mm (y up).
    pub at: [f64; 2],
    /// The force on the notch, kN (y up).
    pub kn: [f64; 2],
    /// Its size as written: "4.4 kN".
    pub told: String,
}
