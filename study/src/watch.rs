//! What a caller hears while cases are solved, and how it calls them off.

/// Plain callbacks, called from whichever thread has something to tell.
#[derive(Clone, Copy)]
pub struct Watch<'a> {
    /// Told of so many cases more, before they are solved.
    pub more: &'a (dyn Fn(usize) + Sync),
    /// Told after each case that it is done.
    pub done: &'a (dyn Fn() + Sync),
    /// Asked before each case; true leaves it and all that follow.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

impl Watch<'static> {
    /// Tells nothing and never stops.
    #[must_use]
    pub fn quiet() -> Self {
        Self { more: &|_| (), done: &|| (), stop: &|| false }
    }
}
