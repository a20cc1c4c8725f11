//! The standing connection that a moving hand asks by: the same answers as by requests, and the same manners.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::server::Server;
use serde_json::{Value, json};
use std::io::Read;
use std::net::TcpStream;
use std::thread;
use std::time::{Duration, Instant};
use tungstenite::client::IntoClientRequest;
use tungstenite::{Error, HandshakeError, Message, WebSocket};

type Wire = WebSocket<TcpStream>;

/// Places that the server has for wires.
const PLACES: usize = 64;

/// Lays a wire with more headers; the status of the refusal when it is refused.
fn lay(server: &Server, headers: &[(&'static str, &str)]) -> Result<Wire, u16> {
    let mut request = format!("ws://{}/api/wire", server.address).into_client_request().unwrap();
    for (name, value) in headers {
        request.headers_mut().insert(*name, value.parse().unwrap());
    }
    match tungstenite::client(request, server.connect()) {
        Ok((wire, _)) => Ok(wire),
        Err(HandshakeError::Failure(Error::Http(response))) => Err(response.status().as_u16()),
        Err(other) => panic!("{other}"),
    }
}

fn question(ticket: u64, offset: f64) -> Value {
    json!({ "version": 2, "session": "wiretest", "ticket": ticket,
        "state": { "model": "pear", "set": { "rig.upper.offset_mm": offset } } })
}

fn ask(wire: &mut Wire, text: &str) -> Message {
    wire.send(Message::text(text)).unwrap();
    wire.read().unwrap()
}

/// What is wrong, as the protocol words it.
fn told(message: &Message) -> Value {
    let json: Value = serde_json::from_str(message.to_text().unwrap()).unwrap();
    assert!(!json["error"].as_str().unwrap().is_empty() && json["mistakes"].is_array(), "{json}");
    json
}

#[test]
fn answers_are_those_of_requests() {
    let server = Server::start(&[]);
    let origin = format!("http://{}", server.address);
    let mut wire = lay(&server, &[("Origin", &origin)]).unwrap();
    for (ticket, offset) in [(1, 0.0), (2, -3.5), (3, 0.0)] {
        let asked = question(ticket, offset);
        let Message::Binary(bytes) = ask(&mut wire, &asked.to_string()) else {
            panic!("an answer is binary")
        };
        let posted = server.post("/api/solve", &json!({ "state": asked["state"] }));
        // Their tickets and the times that they took are of the same length or not; what was found is the same.
        let head = |bytes: &[u8]| {
            let length = u32::from_le_bytes(bytes[8..12].try_into().unwrap()) as usize;
            let start = u32::from_le_bytes(bytes[12..16].try_into().unwrap()) as usize;
            let mut json: Value = serde_json::from_slice(&bytes[16..16 + length]).unwrap();
            json["ms"].take();
            (json, bytes[start..].to_vec())
        };
        let ((mut by_wire, blocks), (mut by_request, same)) = (head(&bytes), head(&posted.body));
        assert_eq!(by_wire["ticket"].take(), ticket);
        by_request["ticket"].take();
        assert_eq!(by_wire, by_request);
        assert!(blocks == same, "the blocks of ticket {ticket}");
    }
    let _closed = wire.close(None);
    server.finish();
}

#[test]
fn what_is_wrong_comes_as_text_and_the_wire_holds() {
    let server = Server::start(&[]);
    let mut wire = lay(&server, &[]).unwrap();
    let mut impossible = question(5, 0.0);
    impossible["state"]["set"] = json!({ "window.corner_radius_mm": 900, "rig.load_kn": -3 });
    let wrong = told(&ask(&mut wire, &impossible.to_string()));
    assert_eq!((&wrong["status"], &wrong["ticket"]), (&json!(422), &json!(5)));
    assert_eq!(wrong["mistakes"].as_array().unwrap().len(), 2, "{wrong}");
    for bad in
        ["", "hello", "null", &"[".repeat(100_000), r#"{"version":2,"session":"../../etc","ticket":6}"#]
    {
        assert_eq!(told(&ask(&mut wire, bad))["status"], 400, "{}", bad.chars().take(30).collect::<String>());
    }
    wire.send(Message::binary(vec![7; 1000])).unwrap();
    assert_eq!(told(&wire.read().unwrap())["status"], 400, "bytes");
    wire.send(Message::Ping("still there?".into())).unwrap();
    assert!(matches!(wire.read().unwrap(), Message::Pong(_)));
    assert_eq!(told(&ask(&mut wire, &question(4, 0.0).to_string()))["status"], 409, "an older ticket");
    assert!(ask(&mut wire, &question(6, 0.0).to_string()).is_binary());
    server.finish();
}

#[test]
fn other_sites_lay_no_wire() {
    let server = Server::start(&[]);
    let port = server.address.port();
    for origin in ["http://evil.example", "null", &format!("https://127.0.0.1:{port}"), "file://"] {
        assert_eq!(lay(&server, &[("Origin", origin)]).unwrap_err(), 403, "{origin}");
    }
    assert_eq!(lay(&server, &[("Host", &format!("evil.example:{port}"))]).unwrap_err(), 403, "rebinding");
    assert_eq!(lay(&server, &[("Sec-Fetch-Site", "cross-site")]).unwrap_err(), 403, "of another site");
    assert_eq!(server.ask("GET", "/api/wire", &[], b"").status, 400, "no WebSocket");
    let posted = server.post("/api/wire", &json!({}));
    assert_eq!((posted.status, posted.header("allow")), (405, Some("GET, HEAD")));
    server.finish();
}

#[test]
fn too_much_on_a_wire_cuts_it_and_nothing_else() {
    let server = Server::start(&[]);
    let mut other = lay(&server, &[]).unwrap();
    thread::scope(|scope| {
        for _ in 0..16 {
            scope.spawn(|| {
                let mut wire = lay(&server, &[]).unwrap();
                // The server may be gone before all is sent.
                let _sent = wire.send(Message::text("7".repeat(20 << 20)));
                let clock = Instant::now();
                while wire.read().is_ok() {}
                assert!(clock.elapsed() < Duration::from_secs(20), "cut at once");
            });
        }
    });
    assert!(ask(&mut other, &question(1, 0.0).to_string()).is_binary());
    server.finish();
}

#[test]
fn newer_questions_overtake_older_ones_of_the_same_wire() {
    let server = Server::start(&[]);
    let mut wire = lay(&server, &[]).unwrap();
    const LAST: u64 = 40;
    for ticket in 1..=LAST {
        let mut asked = question(ticket, 0.0);
        // Each of another shape, so that each takes a while.
        asked["state"]["set"] = json!({ "nose.notch_depth_mm": 3.0 + 0.02 * ticket as f64 });
        wire.send(Message::text(asked.to_string())).unwrap();
    }
    let (mut solved, mut superseded) = (0, 0);
    let mut last = Value::Null;
    for _ in 1..=LAST {
        match wire.read().unwrap() {
            Message::Binary(bytes) => {
                let length = u32::from_le_bytes(bytes[8..12].try_into().unwrap()) as usize;
                let head: Value = serde_json::from_slice(&bytes[16..16 + length]).unwrap();
                last = head["ticket"].clone();
                solved += 1;
            }
            text => {
                assert_eq!(told(&text)["status"], 409);
                superseded += 1;
            }
        }
    }
    assert_eq!(last, json!(LAST), "the newest is answered");
    assert!(superseded > 0, "{solved} solved, {superseded} superseded");
    server.finish();
}

#[test]
fn wires_that_are_left_give_their_places_back() {
    let server = Server::start(&[]);
    for round in 0..3 {
        let clock = Instant::now();
        let mut wires = Vec::new();
        // Those of the round before become free one after the other.
        while wires.len() < PLACES {
            match lay(&server, &[]) {
                Ok(wire) => wires.push(wire),
                Err(status) => assert_eq!((status, round > 0), (503, true)),
            }
            assert!(clock.elapsed() < Duration::from_secs(20), "places become free");
        }
        assert_eq!(lay(&server, &[]).unwrap_err(), 503, "round {round}: no place is left");
        // Requests have their own way.
        assert_eq!(server.post("/api/solve", &json!({ "state": { "model": "pear" } })).status, 200);
        for (wire, ticket) in wires.iter_mut().zip(1..) {
            // Left with a question in work: nobody waits for the answer.
            wire.send(Message::text(question(ticket, -2.0).to_string())).unwrap();
        }
    }
    server.finish();
}

#[test]
fn a_silent_wire_is_asked_whether_anyone_is_there_and_cut_when_nobody_is() {
    let server = Server::start(&[]);
    let mut wire = lay(&server, &[]).unwrap();
    wire.get_ref().set_read_timeout(Some(Duration::from_secs(60))).unwrap();
    assert!(matches!(wire.read().unwrap(), Message::Ping(_)));
    // Whoever answers stays.
    wire.flush().unwrap();
    assert!(matches!(ask(&mut wire, &question(1, 0.0).to_string()), Message::Binary(_)));
    assert!(matches!(wire.read().unwrap(), Message::Ping(_)));
    // A peer that does not is cut: nothing more comes than the end.
    let mut rest = Vec::new();
    let mut socket = wire.get_ref();
    socket.read_to_end(&mut rest).unwrap();
    assert!(rest.len() < 16, "{rest:?}");
}
