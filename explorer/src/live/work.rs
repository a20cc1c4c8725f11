//! The work behind the requests: off the threads that answer, a few at a time, with a time limit each, and walled off so
//! that a panic is an answer and not the end of the server.

use super::api_error::{ApiError, Fault};
use super::turns::{Claim, Turn};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;
use tokio::sync::Semaphore;

/// Requests that may wait for one queue; more are sent away.
const MOST_WAITING: usize = 64;

/// Where a piece of work queues.
#[derive(Debug)]
pub struct WorkQueue {
    places: Arc<Semaphore>,
    waiting: AtomicUsize,
    limit: Duration,
}

/// Counts those who wait, whichever way they leave.
struct Waiting<'a>(&'a AtomicUsize);

impl Drop for Waiting<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

impl WorkQueue {
    /// A queue in which `at_once` pieces of work run at a time, each for at most `limit`.
    #[must_use]
    pub fn new(at_once: usize, limit: Duration) -> Self {
        Self { places: Arc::new(Semaphore::new(at_once)), waiting: AtomicUsize::new(0), limit }
    }

    /// Does a piece of work when its turn comes, within the time of the queue.
    ///
    /// Work cannot be stopped from outside. When its time is over or it is superseded, the answer goes out at once, and its
    /// place becomes free only when it has noticed and ended: the number of threads at work never grows.
    ///
    /// # Errors
    /// Those of the work; superseded, too late, too many waiting, or a panic inside.
    pub async fn run<T: Send + 'static>(
        &self,
        mut turn: Turn,
        work: impl FnOnce(Claim) -> Result<T, ApiError> + Send + 'static,
    ) -> Result<T, ApiError> {
        let wanted = turn.wanted();
        let limit = self.limit;
        let done = async {
            let place = {
                if self.waiting.fetch_add(1, Ordering::Relaxed) >= MOST_WAITING {
                    drop(Waiting(&self.waiting));
                    return Err(ApiError::Busy);
                }
                let _waiting = Waiting(&self.waiting);
                Arc::clone(&self.places).acquire_owned().await.map_err(|_| ApiError::Busy)?
            };
            let job = tokio::task::spawn_blocking(move || {
                let _place = place;
                wanted.check()?;
                wanted.begin();
                work(wanted)
            });
            match tokio::time::timeout(limit, job).await {
                Ok(Ok(result)) => result,
                Ok(Err(join)) => Err(if join.is_panic() { Fault::Stopped } else { Fault::Closing }.into()),
                Err(_) => Err(ApiError::TooLong(limit.as_secs())),
            }
        };
        tokio::select! {
            result = done => result,
            () = turn.superseded() => Err(ApiError::Superseded),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::turns::Turns;

    fn runtime() -> tokio::runtime::Runtime {
        tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap()
    }

    #[test]
    fn a_panic_is_an_answer_and_the_lane_goes_on() {
        let (turns, queue) = (Turns::default(), WorkQueue::new(1, Duration::from_secs(5)));
        runtime().block_on(async {
            let turn = turns.take("page", "/a", 1).unwrap();
            let result = queue.run(turn, |_| -> Result<(), ApiError> { panic!("wanted by the test") }).await;
            assert!(result == Err(Fault::Stopped.into()), "{result:?}");
            let turn = turns.take("page", "/a", 2).unwrap();
            assert_eq!(queue.run(turn, |_| Ok(7)).await, Ok(7));
        });
    }

    #[test]
    fn long_work_is_given_up_and_told_so() {
        let (turns, queue) = (Turns::default(), WorkQueue::new(1, Duration::from_millis(20)));
        runtime().block_on(async {
            let turn = turns.take("page", "/a", 1).unwrap();
            let result = queue
                .run(turn, |wanted| {
                    // Work looks up now and then; it ends once nobody wants it.
                    while wanted.check().is_ok() {
                        std::thread::sleep(Duration::from_millis(1));
                    }
                    Ok(())
                })
                .await;
            assert_eq!(result, Err(ApiError::TooLong(0)));
        });
    }

    #[test]
    fn superseded_work_is_dropped_while_it_waits() {
        let (turns, queue) = (Turns::default(), WorkQueue::new(1, Duration::from_secs(5)));
        runtime().block_on(async {
            let held = Arc::clone(&queue.places).acquire_owned().await.unwrap();
            let old = queue.run(turns.take("page", "/a", 1).unwrap(), |_| Ok("old"));
            let newer = async {
                let turn = turns.take("page", "/a", 2).unwrap();
                tokio::task::yield_now().await;
                drop(held);
                queue.run(turn, |_| Ok("new")).await
            };
            let (old, new) = tokio::join!(old, newer);
            assert_eq!((old, new), (Err(ApiError::Superseded), Ok("new")));
        });
    }
}
