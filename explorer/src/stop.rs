//! What ends a command from outside: Ctrl-C, or a signal to terminate.

/// Who wants the process to end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// Ctrl-C.
    Interrupted,
    /// A signal to terminate: from the system, a script or a person.
    Terminated,
}

/// Listens from now on, also before anybody waits for it, inside a runtime. Where a signal cannot be heard the process is ended
/// by the system itself.
#[cfg(unix)]
pub fn stopped() -> impl Future<Output = Stop> {
    use tokio::signal::unix::{SignalKind, signal};
    let heard = [SignalKind::interrupt(), SignalKind::terminate()].map(signal);
    async move {
        let [interrupt, terminate] = heard.map(async |signal| match signal {
            Ok(mut signal) => drop(signal.recv().await),
            Err(_) => std::future::pending().await,
        });
        tokio::select! {
            () = interrupt => Stop::Interrupted,
            () = terminate => Stop::Terminated,
        }
    }
}

/// Listens for Ctrl-C. Where it cannot be heard the process is ended by the system itself.
#[cfg(not(unix))]
pub async fn stopped() -> Stop {
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
    Stop::Interrupted
}
