//! Listening, connections, and the end.
//!
//! Connections are served one task each with hyper's own HTTP/1: unlike the ready-made loop it lets a head that dribbles
//! in be cut off, and the number of open connections be limited.

use super::api::routes;
use super::background;
use super::guard::Guard;
use super::reached::{Reached, reached};
use super::records::Kept;
use super::shared::Live;
use crate::failure::Failure;
use crate::output::{complain, print};
use crate::stop::stopped;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use report::page::serving;
use serde_json::Value as Json;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;

/// Connections open at once, beside the wires: a browser keeps six for each page.
const MOST_CONNECTIONS: usize = 256;
/// A head must be there by then; so must the next one on a connection that is kept.
const HEAD_TIME: Duration = Duration::from_secs(15);
/// Largest head of a request, bytes.
const LARGEST_HEAD: usize = 32 << 10;
/// Pause after a failed accept: too many open files, most likely, and those must close first.
const BREATH: Duration = Duration::from_millis(100);
/// Threads for work beside those that answer: the queues of work and what was given up but has not noticed yet.
const WORKERS: usize = 10;

/// The usual port: the page is found again under the same address, with what the browser kept for it. The help of `--port`
/// names it too.
const USUAL_PORT: u16 = 7855;

/// Where to listen, and what to do then.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Address.
    pub address: IpAddr,
    /// Port; zero for a free one, none for the usual one if nothing else holds it.
    pub port: Option<u16>,
    /// Show the page in a browser.
    pub open: bool,
    /// The logbook, where one is named.
    pub logbook: Option<PathBuf>,
    /// The state that the page shows first.
    pub opens_with: Json,
}

fn failed(what: &'static str, address: SocketAddr, source: &io::Error) -> Failure {
    Failure::Serving { what, address: address.to_string(), reason: source.to_string() }
}

/// Serves until it is interrupted.
///
/// # Errors
/// The address cannot be listened on.
pub fn serve(options: &Options) -> Result<(), Failure> {
    let wanted = SocketAddr::new(options.address, options.port.unwrap_or(USUAL_PORT));
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(WORKERS)
        .enable_all()
        .build()
        .map_err(|error| failed(serving::NO_START, wanted, &error))?;
    let result = runtime.block_on(async {
        let (listener, taken) = listen(wanted, options.port.is_some())
            .await
            .map_err(|error| failed(serving::NO_LISTENING, wanted, &error))?;
        let local = listener.local_addr().map_err(|error| failed(serving::NO_LISTENING, wanted, &error))?;
        // Before the address is told: whoever reads it may press Ctrl-C at once.
        let stopped = stopped();
        let threads = background::pools()
            .map_err(|error| failed(serving::NO_START, wanted, &io::Error::other(error)))?;
        let kept = Kept::new(options.logbook.clone(), local.ip());
        let live = Arc::new(Live::new(Guard::new(local), kept, options.opens_with.clone(), threads));
        announce(local, both_kinds(&listener), taken, options.open)?;
        tokio::select! {
            () = accept(&listener, live) => {}
            _ = stopped => {}
        }
        Ok(())
    });
    // Work that still runs is of no use to anybody.
    runtime.shutdown_background();
    result
}

/// Listens; where the port was not asked for and something else holds it, on a free one, and tells which was taken.
async fn listen(wanted: SocketAddr, asked_for: bool) -> io::Result<(TcpListener, Option<u16>)> {
    match TcpListener::bind(wanted).await {
        Err(error) if !asked_for && error.kind() == io::ErrorKind::AddrInUse => {
            Ok((TcpListener::bind(SocketAddr::new(wanted.ip(), 0)).await?, Some(wanted.port())))
        }
        bound => Ok((bound?, None)),
    }
}

/// Whether a listener of the newer kind of address answers the older one as well.
#[cfg(unix)]
fn both_kinds(listener: &TcpListener) -> bool {
    rustix::net::sockopt::ipv6_v6only(listener).is_ok_and(|only| !only)
}

/// Elsewhere it answers its own kind only, as that system has it unless it is asked for more.
#[cfg(not(unix))]
fn both_kinds(_listener: &TcpListener) -> bool {
    false
}

fn announce(local: SocketAddr, both: bool, taken: Option<u16>, open: bool) -> Result<(), Failure> {
    if !local.ip().is_loopback() {
        complain(serving::OPEN_TO_ALL);
    }
    let Reached { by_others, here } = reached(local, both);
    let written = |address: &SocketAddr| format!("http://{address}/");
    let first = written(by_others.first().unwrap_or(&here));
    let rest: Vec<_> =
        by_others.iter().skip(1).chain([&here]).map(written).filter(|one| *one != first).collect();
    print(&serving::addresses(&first, &rest, taken))?;
    if open && !show(&written(&here)) {
        complain(serving::NO_BROWSER);
    }
    Ok(())
}

/// Starts the desktop's browser; false when there is none.
fn show(address: &str) -> bool {
    let program = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(windows) {
        "explorer"
    } else {
        "xdg-open"
    };
    let quiet = || Stdio::null();
    let started = Command::new(program).arg(address).stdin(quiet()).stdout(quiet()).stderr(quiet()).spawn();
    match started {
        Ok(mut child) => {
            // Waited for aside, so that it does not stay a zombie; how it ends is its own affair.
            std::thread::spawn(move || child.wait());
            true
        }
        Err(_) => false,
    }
}

async fn accept(listener: &TcpListener, live: Arc<Live>) {
    let routes = routes(live);
    let places = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    loop {
        // Taken before accepting: whoever finds no place waits in the system's own queue.
        let Ok(place) = Arc::clone(&places).acquire_owned().await else { return };
        match listener.accept().await {
            Ok((stream, _)) => {
                let service = TowerToHyperService::new(routes.clone());
                tokio::spawn(async move {
                    let _place = place;
                    // A connection that breaks off concerns nobody but its sender.
                    let _: Result<(), hyper::Error> = http1::Builder::new()
                        .timer(TokioTimer::new())
                        .header_read_timeout(HEAD_TIME)
                        .max_buf_size(LARGEST_HEAD)
                        .serve_connection(TokioIo::new(ready(stream)), service)
                        .with_upgrades()
                        .await;
                });
            }
            Err(_) => tokio::time::sleep(BREATH).await,
        }
    }
}

fn ready(stream: TcpStream) -> TcpStream {
    // A picture that follows the hand cannot wait for packets to fill; a system that refuses only makes it slower.
    let _: io::Result<()> = stream.set_nodelay(true);
    stream
}
