//! The real server of the live page, and a client that is as rude as a test needs.
//!
//! Requests are bytes on a socket: a polite client library would mend the very heads and bodies that are to be refused.

use crate::binary;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// Longest wait for an answer: above every limit of the server, so that a server that hangs fails the test.
const PATIENCE: Duration = Duration::from_secs(150);

/// A running server. Killed when dropped; a test ends with [`Server::finish`].
#[derive(Debug)]
pub struct Server {
    child: Child,
    /// Where it listens.
    pub address: SocketAddr,
    errors: Option<JoinHandle<String>>,
}

/// An answer to a request.
#[derive(Debug)]
pub struct Answer {
    /// HTTP status.
    pub status: u16,
    /// Status line and headers.
    pub head: String,
    /// Body.
    pub body: Vec<u8>,
}

impl Answer {
    /// The body as JSON.
    ///
    /// # Panics
    /// When it is none.
    #[must_use]
    pub fn json(&self) -> Value {
        let text = String::from_utf8_lossy(&self.body);
        serde_json::from_slice(&self.body).unwrap_or_else(|e| panic!("{e}: {} {text}", self.head))
    }

    /// A header, in any case.
    #[must_use]
    pub fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (key, value) = line.split_once(':')?;
            key.eq_ignore_ascii_case(name).then(|| value.trim())
        })
    }

    /// The JSON before the blocks of an answer of `/api/solve`.
    ///
    /// # Panics
    /// When the answer has another form.
    #[must_use]
    pub fn solved(&self) -> Value {
        assert_eq!((self.status, &self.body[..4]), (200, &b"PMAP"[..]), "{}", self.head);
        let length = u32::from_le_bytes(self.body[8..12].try_into().expect("four bytes")) as usize;
        serde_json::from_slice(&self.body[16..16 + length]).expect("JSON before the blocks")
    }
}

impl Server {
    /// Starts the binary with more words behind `explore`, on a free port.
    ///
    /// # Panics
    /// When it prints no address.
    #[must_use]
    pub fn start(words: &[&str]) -> Self {
        let mut child = Command::new(binary::path())
            .args(["explore", "--port", "0"])
            .args(words)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the binary starts");
        let mut stderr = child.stderr.take().expect("piped");
        let errors = std::thread::spawn(move || {
            let mut text = String::new();
            stderr.read_to_string(&mut text).expect("UTF-8 on the standard error");
            text
        });
        let mut line = String::new();
        let mut out = BufReader::new(child.stdout.take().expect("piped"));
        out.read_line(&mut line).expect("a line on the standard output");
        let address = line.trim().strip_prefix("The page is at http://").and_then(|a| a.strip_suffix('/'));
        let address =
            address.unwrap_or_else(|| panic!("no address in {line:?}")).parse().expect("an address");
        // Read on to the end: a full pipe would stop the server.
        std::thread::spawn(move || std::io::copy(&mut out, &mut std::io::sink()));
        Self { child, address, errors: Some(errors) }
    }

    /// A connection.
    ///
    /// # Panics
    /// When the server takes none.
    #[must_use]
    pub fn connect(&self) -> TcpStream {
        let port = SocketAddr::from(([127, 0, 0, 1], self.address.port()));
        let stream = TcpStream::connect(port).expect("the server takes a connection");
        stream.set_read_timeout(Some(PATIENCE)).expect("a time limit");
        stream
    }

    /// Sends bytes as they are and reads the answer.
    ///
    /// # Panics
    /// When there is none.
    #[must_use]
    pub fn send(&self, bytes: &[u8]) -> Answer {
        let mut stream = self.connect();
        // A server may answer and close before all is sent.
        let _sent = stream.write_all(bytes);
        read_answer(&mut stream)
            .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&bytes[..bytes.len().min(200)])))
    }

    /// A request with chosen method, path, headers and body; Host is right unless it is given.
    #[must_use]
    pub fn ask(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Answer {
        self.send(&self.request(method, path, headers, body))
    }

    /// The bytes of such a request.
    #[must_use]
    pub fn request(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Vec<u8> {
        let mut text = format!("{method} {path} HTTP/1.1\r\n");
        let given = |name: &str| headers.iter().any(|(key, _)| key.eq_ignore_ascii_case(name));
        if !given("host") {
            text.push_str(&format!("Host: {}\r\n", self.address));
        }
        if !body.is_empty() && !given("content-length") && !given("transfer-encoding") {
            text.push_str(&format!("Content-Length: {}\r\n", body.len()));
        }
        for (key, value) in headers {
            text.push_str(&format!("{key}: {value}\r\n"));
        }
        text.push_str("\r\n");
        [text.as_bytes(), body].concat()
    }

    /// Posts a file behind its JSON, as a page of its own.
    ///
    /// # Panics
    /// When there is no answer.
    #[must_use]
    pub fn post_file(&self, path: &str, json: &Value, file: &[u8]) -> Answer {
        let json = Self::enveloped(json).to_string();
        let length = u32::try_from(json.len()).expect("a short JSON").to_le_bytes();
        let body = [&length[..], json.as_bytes(), file].concat();
        self.ask("POST", path, &[("Content-Type", "application/octet-stream")], &body)
    }

    /// Posts JSON as the page does, as a page of its own.
    #[must_use]
    pub fn post(&self, path: &str, body: &Value) -> Answer {
        let body = Self::enveloped(body).to_string();
        self.ask("POST", path, &[("Content-Type", "application/json")], body.as_bytes())
    }

    /// A body in the envelope of a page of its own.
    fn enveloped(body: &Value) -> Value {
        static PAGES: AtomicU64 = AtomicU64::new(0);
        let mut whole = json!({ "version": 2, "ticket": 1,
            "session": format!("testpage{}", PAGES.fetch_add(1, Ordering::Relaxed)) });
        for (key, value) in body.as_object().expect("an object") {
            whole[key] = value.clone();
        }
        whole
    }

    /// Most memory that the process ever held, MB.
    ///
    /// # Panics
    /// Where there is no `/proc`.
    #[must_use]
    pub fn most_memory_mb(&self) -> f64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).expect("/proc");
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).expect("VmHWM");
        let kib: f64 = line.trim().trim_end_matches("kB").trim().parse().expect("a number");
        kib * 1024.0 / 1e6
    }

    /// Ctrl-C; then exit code and standard error.
    ///
    /// # Panics
    /// When the server does not end within ten seconds.
    pub fn interrupt(mut self) -> (Option<i32>, String) {
        let pid = self.child.id().to_string();
        let sent = Command::new("kill").args(["-INT", &pid]).status().expect("kill");
        assert!(sent.success(), "the server had ended before");
        let clock = Instant::now();
        let status = loop {
            if let Some(status) = self.child.try_wait().expect("a child") {
                break status;
            }
            assert!(clock.elapsed() < Duration::from_secs(10), "Ctrl-C does not end the server");
            std::thread::sleep(Duration::from_millis(20));
        };
        let errors = self.errors.take().expect("taken once").join().expect("read to its end");
        (status.code(), errors)
    }

    /// What must hold at the end of every test: it still solves, in little memory, never panicked, and Ctrl-C ends it.
    ///
    /// # Panics
    /// When one of these fails.
    #[expect(clippy::print_stdout, reason = "told among the output of the test")]
    pub fn finish(self) {
        let answer = self.post("/api/solve", &json!({ "state": { "model": "pear" } }));
        assert!(answer.solved()["sentence"].is_string());
        let memory = self.most_memory_mb();
        println!("most memory: {memory:.0} MB");
        assert!(memory < 500.0, "{memory} MB");
        let (code, errors) = self.interrupt();
        assert_eq!((code, errors.as_str()), (Some(0), ""));
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // It may have ended already.
        let _killed = self.child.kill();
        let _waited = self.child.wait();
    }
}

/// Reads one answer.
///
/// # Errors
/// The connection ends before the answer does.
pub fn read_answer(stream: &mut TcpStream) -> std::io::Result<Answer> {
    let mut reader = BufReader::new(stream);
    let mut head = String::new();
    while !head.ends_with("\r\n\r\n") {
        if reader.read_line(&mut head)? == 0 {
            return Err(std::io::Error::new(
                std::io::ErrorKind::UnexpectedEof,
                format!("no answer: {head:?}"),
            ));
        }
    }
    let status = head.split(' ').nth(1).and_then(|code| code.parse().ok()).unwrap_or(0);
    let mut answer = Answer { status, head, body: Vec::new() };
    let length = answer.header("content-length").and_then(|length| length.parse().ok()).unwrap_or(0);
    answer.body = vec![0; length];
    reader.read_exact(&mut answer.body)?;
    Ok(answer)
}
