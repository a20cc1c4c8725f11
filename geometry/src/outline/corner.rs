//! The four corners of the frame, by name.

/// A corner of the frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Corner {
    /// Between the leg of the hinge and the lower bar.
    LowerGate,
    /// Between lower bar and spine.
    LowerSpine,
    /// Between spine and upper bar.
    UpperSpine,
    /// Between the upper bar and the leg of the nose.
    UpperGate,
}
