//! Threads for work that may take a while, of so little weight that they never slow down what a hand waits for.

use rayon::{ThreadPool, ThreadPoolBuildError, ThreadPoolBuilder};

/// Pieces of work at once that take seconds: charts do not wait for an explanation. A pull takes minutes and has threads of its own: two pulls
/// would hold both places for as long.
const AT_ONCE: usize = 2;

/// A pool for each piece of work at once, each with as many threads as the one that quick work shares, below everything else on the
/// machine where the system knows such weights.
#[derive(Debug)]
pub struct Background {
    /// For what takes seconds.
    pub slow: Vec<ThreadPool>,
    /// For the one pull at a time.
    pub pulls: ThreadPool,
}

/// All of them.
///
/// # Errors
/// The system gives no threads.
pub fn pools() -> Result<Background, ThreadPoolBuildError> {
    Ok(Background { slow: (0..AT_ONCE).map(|_| threads()).collect::<Result<_, _>>()?, pulls: threads()? })
}

fn threads() -> Result<ThreadPool, ThreadPoolBuildError> {
    ThreadPoolBuilder::new()
        .num_threads(rayon::current_num_threads())
        .thread_name(|number| format!("background {number}"))
        .start_handler(|_| step_back())
        .build()
}

/// Takes weight from the present thread. A system that refuses leaves it as it is: answers are the same, only later.
#[cfg(target_os = "linux")]
fn step_back() {
    // On Linux a priority is one thread's; without an id it is that of the thread that asks.
    let _: rustix::io::Result<()> = rustix::process::setpriority_process(None, STEP_BACK);
}

/// Elsewhere a priority belongs to the whole process, which holds what the hand waits for as well.
#[cfg(not(target_os = "linux"))]
fn step_back() {}

/// Little weight: a tenth of a thread of the hand's. With less, work would stand still as long as anything else keeps both cores.
#[cfg(target_os = "linux")]
const STEP_BACK: i32 = 10;

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;
    use rustix::process::getpriority_process;

    #[test]
    fn threads_of_the_background_step_back_and_no_others() {
        let before = getpriority_process(None).unwrap();
        let pool = threads().unwrap();
        for weight in pool.broadcast(|_| getpriority_process(None).unwrap()) {
            assert_eq!(weight, STEP_BACK);
        }
        assert_eq!(getpriority_process(None).unwrap(), before);
    }
}
