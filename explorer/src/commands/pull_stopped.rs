//! What a pull does when Ctrl-C or another signal stops it: it ends after the step that is under way, and keeps what was reached. A second
//! signal ends the program at once.

use crate::failure::COULD_NOT;
use crate::stop::stopped;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Listens for what may stop it from now on, on a thread of its own. Where it cannot listen the system ends the process.
pub(super) fn listen() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let Ok(runtime) = tokio::runtime::Builder::new_current_thread().enable_io().build() else { return stop };
    // Heard from here on, whenever the thread comes to wait.
    let heard = {
        let _inside = runtime.enter();
        stopped()
    };
    let told = Arc::clone(&stop);
    std::thread::spawn(move || {
        runtime.block_on(heard);
        // The second is listened for before anybody hears of the first.
        let again = {
            let _inside = runtime.enter();
            stopped()
        };
        told.store(true, Ordering::Relaxed);
        runtime.block_on(again);
        std::process::exit(i32::from(COULD_NOT));
    });
    stop
}
