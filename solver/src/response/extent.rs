//! How far a response is solved.

/// Where displacements are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Extent {
    /// At all nodes.
    Whole,
    /// At the nodes that are watched.
    Joints,
}
