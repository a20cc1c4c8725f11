//! What all requests share.

use super::background::Background;
use super::guard::Guard;
use super::prepared::Systems;
use super::records::Kept;
use super::turns::Turns;
use super::work::WorkQueue;
use rayon::ThreadPool;
use serde_json::Value as Json;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::sync::Semaphore;

/// Time for a solve, a model file, a findings file.
const SOLVE_TIME: Duration = Duration::from_secs(20);
/// Time for a chart or a page.
const CHART_TIME: Duration = Duration::from_secs(120);
/// Time for a pull until something fails: some metals take hundreds of steps.
pub const PULL_TIME: Duration = Duration::from_secs(900);
/// Wires open at once, over all pages. Whoever finds no place asks by requests.
const MOST_WIRES: usize = 64;

/// Where requests of one kind are worked on. Each kind has systems of its own: what is made of a system on first use is never
/// waited for by quick work while a thread of low weight makes it. (Lips alone are solved once for the whole program: limits may wait for one.)
#[derive(Debug)]
pub struct Lane {
    /// Where they queue.
    pub queue: WorkQueue,
    /// Systems that are kept.
    pub systems: Systems,
    /// Threads that nothing works on: a pool for each piece of work at once, so that a thread which waits for its own piece never takes up
    /// another's. Without any the work shares those of the whole program.
    idle: Mutex<Vec<ThreadPool>>,
}

/// A pool that goes back when the work is over, whichever way it ends.
struct Taken<'a> {
    threads: Option<ThreadPool>,
    idle: &'a Mutex<Vec<ThreadPool>>,
}

impl Drop for Taken<'_> {
    fn drop(&mut self) {
        let threads = self.threads.take();
        // A list of pools is whole at every moment.
        self.idle.lock().unwrap_or_else(PoisonError::into_inner).extend(threads);
    }
}

impl Lane {
    fn new(queue: WorkQueue, pools: Vec<ThreadPool>) -> Self {
        Self { queue, systems: Systems::default(), idle: Mutex::new(pools) }
    }

    /// Does a piece of work on its threads.
    pub fn on_threads<T: Send>(&self, work: impl FnOnce(&Systems) -> T + Send) -> T {
        let threads = self.idle.lock().unwrap_or_else(PoisonError::into_inner).pop();
        let taken = Taken { threads, idle: &self.idle };
        match &taken.threads {
            Some(threads) => threads.install(|| work(&self.systems)),
            None => work(&self.systems),
        }
    }
}

/// What all requests share.
#[derive(Debug)]
pub struct Live {
    /// Who may ask.
    pub guard: Guard,
    /// Whose turn it is.
    pub turns: Turns,
    /// What a hand waits for.
    pub quick: Lane,
    /// What may take a while.
    pub slow: Lane,
    /// Pulls until something fails, one at a time: each may take minutes, and nothing else waits for that.
    pub pulls: Lane,
    /// What is read of a logbook and recorded in it: it may be held by another program for a while.
    pub records: Lane,
    /// A place for a file that is being taken in and read: one at a time, as each may be large.
    pub carrier: Arc<Semaphore>,
    /// Places for standing connections.
    pub wires: Arc<Semaphore>,
    /// The logbook.
    pub kept: Kept,
    /// The state that the page shows first.
    pub opens_with: Json,
}

impl Live {
    /// `kept`: the logbook; `opens_with`: the state that the page shows first; `background`: threads for what may take a while.
    #[must_use]
    pub fn new(guard: Guard, kept: Kept, opens_with: Json, background: Background) -> Self {
        let Background { slow, pulls } = background;
        Self {
            guard,
            turns: Turns::default(),
            quick: Lane::new(WorkQueue::new(2, SOLVE_TIME), Vec::new()),
            slow: Lane::new(WorkQueue::new(slow.len(), CHART_TIME), slow),
            pulls: Lane::new(WorkQueue::new(1, PULL_TIME), vec![pulls]),
            records: Lane::new(WorkQueue::new(2, SOLVE_TIME), Vec::new()),
            carrier: Arc::new(Semaphore::new(1)),
            wires: Arc::new(Semaphore::new(MOST_WIRES)),
            kept,
            opens_with,
        }
    }
}
