//! What a sweep says when Ctrl-C or another signal stops it: how much is kept, and how to go on.
//!
//! Every finished point is in the record already, so there is nothing to save: the listener only speaks, then ends the
//! process as the system would have done. Where it cannot listen the system ends the process without a word.

use crate::output::complain;
use crate::progress::Progress;
use crate::stop::{Stop, stopped};
use report::sweep::folder::stopped as stopped_sweep;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What a stopped sweep tells its caller: it could not be done.
const STOPPED: i32 = 2;

/// Listens for what may stop it from now on, on a thread of its own. `kept`: points in the record so far.
pub(super) fn listen(kept: &Arc<AtomicUsize>, points: usize, folder: &Path, progress: &Arc<Progress>) {
    let Ok(runtime) = tokio::runtime::Builder::new_current_thread().enable_io().build() else { return };
    let (kept, folder, progress) = (Arc::clone(kept), folder.display().to_string(), Arc::clone(progress));
    // Heard from here on, whenever the thread comes to wait.
    let stopped = {
        let _inside = runtime.enter();
        stopped()
    };
    std::thread::spawn(move || {
        let stop = runtime.block_on(stopped);
        progress.done();
        let kept = kept.load(Ordering::Relaxed);
        complain(&stopped_sweep(stop == Stop::Interrupted, kept, points, &folder));
        std::process::exit(STOPPED);
    });
}
