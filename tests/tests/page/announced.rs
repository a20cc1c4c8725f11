//! What the server of the page prints: an address that can be typed, the same from one day to the next.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary;
use std::io::{BufRead, BufReader};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::process::{Child, Command, Stdio};

/// The port that `explore --help` promises.
const USUAL: u16 = 7855;

/// A server that is killed when dropped, and what it printed before it served.
struct Started {
    child: Child,
    lines: Vec<String>,
}

impl Drop for Started {
    fn drop(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

fn start(words: &[&str]) -> Started {
    let mut child = Command::new(binary::path())
        .arg("explore")
        .args(words)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let out = BufReader::new(child.stdout.take().unwrap());
    let mut lines = Vec::new();
    for line in out.lines() {
        lines.push(line.unwrap());
        if lines.last().unwrap().starts_with("Ctrl-C") {
            break;
        }
    }
    Started { child, lines }
}

/// The addresses in what was printed, in their order.
fn addresses(started: &Started) -> Vec<SocketAddr> {
    let one = |line: &String| line.split_once("http://")?.1.strip_suffix('/')?.parse().ok();
    started.lines.iter().filter_map(one).collect()
}

#[test]
fn the_usual_port_is_taken_when_it_is_free_and_another_when_not() {
    // Whether this test holds the port or something else of this machine does: from here on it is taken.
    let held = TcpListener::bind(("127.0.0.1", USUAL));
    let second = start(&[]);
    let [at] = addresses(&second)[..] else { panic!("{:?}", second.lines) };
    assert_ne!(at.port(), USUAL);
    assert!(TcpStream::connect(at).is_ok());
    assert!(
        second.lines.iter().any(|line| line.contains("7855") && line.contains("taken")),
        "{:?}",
        second.lines
    );
    drop(second);
    if held.is_err() {
        // Somebody else's: nothing more can be asked here.
        return;
    }
    drop(held);
    let first = start(&[]);
    assert_eq!(addresses(&first), [SocketAddr::from(([127, 0, 0, 1], USUAL))], "{:?}", first.lines);
    assert_eq!(first.lines.len(), 2, "{:?}", first.lines);
    drop(first);
    assert_ne!(addresses(&start(&["--port", "0"]))[0].port(), USUAL, "a free one when asked for");
}

#[test]
fn on_all_addresses_those_are_printed_that_others_can_type() {
    let started = start(&["--address", "0.0.0.0", "--port", "0"]);
    let all = addresses(&started);
    assert!(!all.is_empty(), "{:?}", started.lines);
    for at in &all {
        assert!(!at.ip().is_unspecified(), "{:?}", started.lines);
        assert!(TcpStream::connect(at).is_ok(), "{at}");
    }
    assert!(all.last().unwrap().ip().is_loopback(), "this machine's own comes last: {all:?}");
    assert!(all.len() == 1 || !all[0].ip().is_loopback(), "an address for others comes first: {all:?}");
}
