//! What the machine gives: threads, and the memory that is left. A number of threads that makes no sense, and work that would
//! not fit, are refused in words before the work begins; running out on the way ends a program without them.

use report::program::machine as words;
pub use report::program::machine::Need;
use std::fs;
use std::sync::OnceLock;

/// Most threads that may be asked for.
const MOST_THREADS: usize = 256;
/// The variable that a number of threads is asked for with.
const THREADS: &str = "RAYON_NUM_THREADS";
/// What an answer needs on a default mesh, its pictures included, bytes of address space (measured on two threads: 100 to 150 MB
/// for one model, up to 200 for `verify` and for six variants).
const PLAIN: f64 = 90e6;
/// What each thread adds: its stack and its part of the heap, and a mesh of its own in a sweep, bytes.
const PER_THREAD: f64 = 65e6;
/// What an unknown of a mesh needs, with factor and stress, bytes (measured: 1,800 to 2,050 from 60,000 to 1,150,000 unknowns).
pub const PER_UNKNOWN: f64 = 2200.0;
/// What a pixel of a picture needs while it is drawn and packed, bytes.
pub const PER_PIXEL: f64 = 20.0;

/// Why work is not begun.
#[derive(Debug, thiserror::Error, PartialEq)]
pub enum MachineError {
    /// A number of threads that makes no sense.
    #[error("{}", words::threads(THREADS, .found, MOST_THREADS))]
    Threads {
        /// What was found.
        found: String,
    },
    /// The system gives no threads.
    #[error("{}", words::no_threads(THREADS, .0))]
    NoThreads(String),
    /// Too little memory.
    #[error("{}", words::memory(.need, *.needed_mb, *.free_mb))]
    Memory {
        /// What for.
        need: Need,
        /// What it needs, MB.
        needed_mb: f64,
        /// What is left, MB.
        free_mb: f64,
    },
}

/// Starts the threads that the commands share which solve something: as many as are asked for, else one a core as far as memory
/// has room for them. No answer depends on their number.
///
/// # Errors
/// A number of threads that makes no sense, too little memory for an answer, or a system that gives no threads.
pub fn prepare() -> Result<(), MachineError> {
    let asked = std::env::var(THREADS).ok().filter(|text| !text.trim().is_empty());
    let threads = match threads(asked.as_deref())? {
        Some(asked) => asked,
        None => {
            let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
            as_many_as_fit(cores, free_bytes())
        }
    };
    enough(Need::Answer { threads }, PLAIN + threads as f64 * PER_THREAD)?;
    let started = STARTED.get_or_init(|| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        pool.build_global().map_err(|error| error.to_string())
    });
    started.clone().map_err(MachineError::NoThreads)
}

/// What starting the threads came to: a second run in the same process finds them started.
static STARTED: OnceLock<Result<(), String>> = OnceLock::new();

/// One thread a core, or as many as so much memory has room for, one at least.
fn as_many_as_fit(cores: usize, free: Option<f64>) -> usize {
    let room = free.map_or(f64::INFINITY, |free| (free - PLAIN) / PER_THREAD);
    // What is below one, or no number of threads at all, saturates.
    cores.min(MOST_THREADS).min(room as usize).max(1)
}

/// The number of threads asked for: none, or zero, leaves it to the machine.
fn threads(asked: Option<&str>) -> Result<Option<usize>, MachineError> {
    let Some(text) = asked else { return Ok(None) };
    match text.trim().parse::<usize>() {
        Ok(0) => Ok(None),
        Ok(count) if count <= MOST_THREADS => Ok(Some(count)),
        _ => Err(MachineError::Threads { found: text.chars().take(40).collect() }),
    }
}

/// Whether there is memory for so many bytes.
///
/// # Errors
/// There is less. Where the system does not say how much there is, work begins.
pub fn enough(need: Need, bytes: f64) -> Result<(), MachineError> {
    match free_bytes() {
        Some(free) if free < bytes => {
            Err(MachineError::Memory { need, needed_mb: 1e-6 * bytes, free_mb: 1e-6 * free })
        }
        _ => Ok(()),
    }
}

/// Memory that the process may still take, bytes: what the machine has free, and what limits of its address space and of its
/// container leave. `None` where the system tells none of them.
#[must_use]
pub fn free_bytes() -> Option<f64> {
    let machine =
        fs::read_to_string("/proc/meminfo").ok().and_then(|text| field(&text, "MemAvailable:", 1024.0));
    let limit =
        fs::read_to_string("/proc/self/limits").ok().and_then(|text| field(&text, "Max address space", 1.0));
    let taken = fs::read_to_string("/proc/self/status").ok().and_then(|text| field(&text, "VmSize:", 1024.0));
    let left = |limit: Option<f64>, taken: Option<f64>| Some((limit? - taken?).max(0.0));
    let group =
        |name: &str| fs::read_to_string(format!("/sys/fs/cgroup/memory.{name}")).ok()?.trim().parse().ok();
    [machine, left(limit, taken), left(group("max"), group("current"))].into_iter().flatten().reduce(f64::min)
}

/// The number after a name at the start of a line, in bytes; none where it is "unlimited".
fn field(text: &str, name: &str, unit: f64) -> Option<f64> {
    let line = text.lines().find_map(|line| line.strip_prefix(name))?;
    line.split_whitespace().next()?.parse::<f64>().ok().map(|number| unit * number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn threads_are_counted_or_refused() {
        assert_eq!([None, Some("0"), Some(" 5 ")].map(|text| threads(text).unwrap()), [None, None, Some(5)]);
        for text in ["5000", "-1", "many"] {
            let words = threads(Some(text)).unwrap_err().to_string();
            assert!(words.contains(&format!("found {text}; allowed: 1 to 256")), "{words}");
        }
    }

    #[test]
    fn threads_are_as_many_as_memory_has_room_for() {
        let fit = |cores: usize, megabytes: f64| as_many_as_fit(cores, Some(1e6 * megabytes));
        assert_eq!([fit(2, 1000.0), fit(64, 1000.0), fit(64, 50.0), fit(500, 1e6)], [2, 14, 1, 256]);
        assert_eq!(as_many_as_fit(8, None), 8);
    }

    #[test]
    fn memory_is_read_from_what_the_system_tells() {
        let text = "Max cpu time              unlimited            unlimited            seconds\n\
                    Max address space         204800000            unlimited            bytes\n";
        assert_eq!(field(text, "Max address space", 1.0), Some(204_800_000.0));
        assert_eq!(field(text, "Max cpu time", 1.0), None);
        assert_eq!(field("VmSize:\t   12345 kB\n", "VmSize:", 1024.0), Some(12_345.0 * 1024.0));
        let refused = enough(Need::Pictures, 1e18).err();
        // Where the system tells nothing, nothing is refused.
        assert_eq!(refused.is_none(), free_bytes().is_none());
        assert!(!matches!(refused, Some(MachineError::Memory { need, .. }) if need != Need::Pictures));
    }
}
