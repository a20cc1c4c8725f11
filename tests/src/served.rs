//! The real server, spoken to by bytes: no client library between the test and what travels.

use crate::binary;
use serde_json::{Map, Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

/// A running `pullmap explore`; it ends with the test.
#[derive(Debug)]
pub struct Served {
    child: Child,
    _out: BufReader<ChildStdout>,
    /// Where it listens.
    pub at: SocketAddr,
    ticket: AtomicU64,
}

/// What came back.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Status; zero when the connection broke off without one.
    pub status: u16,
    /// Lines of the head, lower case.
    pub head: String,
    /// The body.
    pub body: Vec<u8>,
}

impl Answer {
    /// Cuts an answer that came whole.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        let end = bytes.windows(4).position(|four| four == b"\r\n\r\n").unwrap_or(bytes.len());
        let head = String::from_utf8_lossy(&bytes[..end]).to_lowercase();
        let status = head.split(' ').nth(1).and_then(|word| word.parse().ok()).unwrap_or(0);
        Self { status, head, body: bytes.get(end + 4..).unwrap_or_default().to_vec() }
    }

    /// The body as JSON.
    #[must_use]
    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body).expect("a body of JSON")
    }

    /// The JSON at the start of a solve's answer, and the bytes after it.
    #[must_use]
    pub fn solved(&self) -> (Value, &[u8]) {
        assert_eq!(self.status, 200, "{}", String::from_utf8_lossy(&self.body));
        assert_eq!(&self.body[..8], b"PMAP\x01\0\0\0");
        let word = |at: usize| {
            let four: [u8; 4] = self.body[at..at + 4].try_into().expect("four bytes");
            usize::try_from(u32::from_le_bytes(four)).expect("a length")
        };
        let (length, start) = (word(8), word(12));
        (serde_json::from_slice(&self.body[16..16 + length]).expect("JSON"), &self.body[start..])
    }
}

/// A state: a built-in model with values set.
#[must_use]
pub fn state(model: &str, set: &[(&str, Value)]) -> Value {
    let set: Map<String, Value> = set.iter().map(|(key, value)| ((*key).to_owned(), value.clone())).collect();
    json!({ "model": model, "set": set })
}

impl Served {
    /// Starts it on a free port and waits for the line that names its address.
    #[must_use]
    pub fn start(words: &[&str]) -> Self {
        let mut child = Command::new(binary::path())
            .arg("explore")
            .args(words)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the binary starts");
        let mut out = BufReader::new(child.stdout.take().expect("a standard output"));
        let mut line = String::new();
        out.read_line(&mut line).expect("a line");
        let address = line.split("http://").nth(1).and_then(|rest| rest.split('/').next());
        let at =
            address.and_then(|text| text.parse().ok()).unwrap_or_else(|| panic!("no address in {line:?}"));
        Self { child, _out: out, at, ticket: AtomicU64::new(0) }
    }

    /// A connection that gives up after a minute of silence.
    #[must_use]
    pub fn connection(&self) -> TcpStream {
        let stream = TcpStream::connect(self.at).expect("the server accepts");
        stream.set_read_timeout(Some(Duration::from_secs(60))).expect("a timeout");
        stream
    }

    /// Sends bytes as they stand and reads to the end. The sender goes on when the server stops listening.
    #[must_use]
    pub fn send(&self, bytes: &[u8]) -> Answer {
        let mut stream = self.connection();
        let _: std::io::Result<()> = stream.write_all(bytes);
        let mut all = Vec::new();
        let _: std::io::Result<usize> = stream.read_to_end(&mut all);
        Answer::of(&all)
    }

    /// A GET with its own Host.
    #[must_use]
    pub fn get(&self, path: &str) -> Answer {
        self.send(format!("GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", self.at).as_bytes())
    }

    /// A POST of bytes with lines added to its head.
    #[must_use]
    pub fn post_bytes(&self, path: &str, more: &str, body: &[u8]) -> Answer {
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/json\r\n{more}\
             Content-Length: {}\r\n\r\n",
            self.at,
            body.len()
        );
        self.send(&[head.as_bytes(), body].concat())
    }

    /// A POST of a request, envelope added.
    #[must_use]
    pub fn ask(&self, path: &str, request: Value) -> Answer {
        self.ask_as("sessionofatest", self.ticket.fetch_add(1, Ordering::Relaxed), path, request)
    }

    /// The same for a session and a ticket.
    #[must_use]
    pub fn ask_as(&self, session: &str, ticket: u64, path: &str, mut request: Value) -> Answer {
        request["version"] = json!(1);
        request["session"] = json!(session);
        request["ticket"] = json!(ticket);
        self.post_bytes(path, "", request.to_string().as_bytes())
    }

    /// The most memory that it has held so far, MB; `None` where the system does not tell.
    #[must_use]
    pub fn most_memory_mb(&self) -> Option<f64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
        let kb: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
        Some(kb / 1024.0)
    }

    /// Interrupts it as Ctrl-C does; its exit code and what it said on the standard error.
    #[must_use]
    pub fn interrupt(mut self) -> (Option<i32>, String) {
        let id = self.child.id().to_string();
        let sent = Command::new("kill").args(["-INT", &id]).status().expect("kill runs");
        assert!(sent.success());
        let code = self.child.wait().expect("it ends").code();
        let mut said = String::new();
        if let Some(mut err) = self.child.stderr.take() {
            err.read_to_string(&mut said).expect("UTF-8 on the standard error");
        }
        (code, said)
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        // It has ended already where the test interrupted it.
        let _: std::io::Result<()> = self.child.kill();
        let _: std::io::Result<std::process::ExitStatus> = self.child.wait();
    }
}
