//! How the requests of an address are worked on: how large they may be, and in which queue they wait.

use super::api_error::ApiError;
use super::prepared::Systems;
use super::protocol::{self, Envelope};
use super::reply::Reply;
use super::shared::{Lane, Live};
use super::turns::Claim;
use serde::de::DeserializeOwned;
use std::sync::Arc;

/// Largest body of a request.
pub const LARGEST_BODY: usize = 256 << 10;

/// How a request is worked on.
#[derive(Clone, Copy)]
pub struct Endpoint {
    /// Path of its URL.
    pub address: &'static str,
    /// Where it queues.
    pub queue: Queue,
    /// Largest body, bytes.
    pub largest: usize,
}

/// Where requests queue.
#[derive(Clone, Copy)]
pub enum Queue {
    /// What a hand waits for.
    Quick,
    /// What may take a while.
    Slow,
    /// Pulls until something fails.
    Pulls,
    /// What is read of a logbook and recorded in it.
    Records,
}

impl Endpoint {
    /// What a hand waits for.
    pub const fn quick(address: &'static str) -> Self {
        Self { address, queue: Queue::Quick, largest: LARGEST_BODY }
    }

    /// What may take a while.
    pub const fn slow(address: &'static str) -> Self {
        Self { address, queue: Queue::Slow, largest: LARGEST_BODY }
    }

    /// A pull until something fails.
    pub const fn pulls(address: &'static str) -> Self {
        Self { address, queue: Queue::Pulls, largest: LARGEST_BODY }
    }

    /// What is read of a logbook and recorded in it.
    pub const fn records(address: &'static str) -> Self {
        Self { address, queue: Queue::Records, largest: LARGEST_BODY }
    }

    /// Where its requests are worked on.
    fn lane(self, live: &Live) -> &Lane {
        match self.queue {
            Queue::Quick => &live.quick,
            Queue::Slow => &live.slow,
            Queue::Pulls => &live.pulls,
            Queue::Records => &live.records,
        }
    }
}

/// Reads a request and works on it when its turn comes.
///
/// # Errors
/// It is not of the form that the protocol describes, its work failed, or nobody wants the answer any more.
pub async fn in_turn<T: DeserializeOwned + Send + 'static>(
    endpoint: Endpoint,
    live: Arc<Live>,
    body: &[u8],
    work: impl FnOnce(&Systems, &Envelope, T, &Claim) -> Result<Reply, ApiError> + Send + 'static,
) -> Result<Reply, ApiError> {
    let (envelope, asked) = protocol::read::<T>(body)?;
    let turn = live.turns.take(&envelope.session, endpoint.address, envelope.ticket)?;
    let shared = Arc::clone(&live);
    endpoint
        .lane(&live)
        .queue
        .run(turn, move |wanted| {
            endpoint.lane(&shared).on_threads(|systems| work(systems, &envelope, asked, &wanted))
        })
        .await
}
