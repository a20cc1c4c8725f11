//! What all requests share.

use super::guard::Guard;
use super::prepared::Systems;
use super::turns::Turns;
use super::work::WorkQueue;
use serde_json::Value as Json;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::Semaphore;

/// Time for a solve, a model file, a findings file.
const SOLVE_TIME: Duration = Duration::from_secs(20);
/// Time for a chart or a page.
const CHART_TIME: Duration = Duration::from_secs(120);
/// Wires open at once, over all pages. Whoever finds no place asks by requests.
const MOST_WIRES: usize = 64;

/// What all requests share.
#[derive(Debug)]
pub struct Live {
    /// Who may ask.
    pub guard: Guard,
    /// Whose turn it is.
    pub turns: Turns,
    /// What a hand waits for.
    pub quick: WorkQueue,
    /// What may take a while.
    pub slow: WorkQueue,
    /// Places for standing connections.
    pub wires: Arc<Semaphore>,
    /// Systems that are kept.
    pub systems: Systems,
    /// The state that the page shows first.
    pub opens_with: Json,
}

impl Live {
    /// `opens_with`: the state that the page shows first.
    #[must_use]
    pub fn new(guard: Guard, opens_with: Json) -> Self {
        Self {
            guard,
            turns: Turns::default(),
            quick: WorkQueue::new(2, SOLVE_TIME),
            slow: WorkQueue::new(1, CHART_TIME),
            wires: Arc::new(Semaphore::new(MOST_WIRES)),
            systems: Systems::default(),
            opens_with,
        }
    }
}
