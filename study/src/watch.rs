//! What a caller hears while cases are solved, and how it calls them off.

/// Plain callbacks, called from whichever thread has something to tell.
#[derive(Clone, Copy)]
pub struct Watch<'a> {
    /// Told after each case that it is done.
    pub done: &'a (dyn Fn() + Sync),
    /// Asked before each case; true leaves it and all that follow.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

impl Watch<'static> {
    /// Tells nothing and never stops.
    #[must_use]
    pub fn quiet() -> Self {
        Self { done: &|| (), stop: &|| false }
    }
}
