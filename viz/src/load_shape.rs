//! What pulls at the ends of a connector, as it is drawn.

/// What pulls at one end. Lengths in mm (y up).
#[derive(Clone, Debug, PartialEq)]
pub enum LoadShape {
    /// A strap around a bar.
    Strap {
        /// Where its middle lies along x.
        centre_x: f64,
        /// Its width.
        width: f64,
        /// The seat under it, left to right.
        edge: Vec<[f64; 2]>,
        /// Unit vector along which it pulls.
        direction: [f64; 2],
    },
    /// A bench bar, seen from its end.
    Bar {
        /// Its centre.
        centre: [f64; 2],
        /// Its radius.
        radius: f64,
        /// Unit vector along which it pulls.
        direction: [f64; 2],
    },
}

impl LoadShape {
    pub(crate) fn direction(&self) -> [f64; 2] {
        match self {
            Self::Strap { direction, .. } | Self::Bar { direction, .. } => *direction,
        }
    }
}
