//! The server of the live page under everything that a network can throw at it.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::run;
use pullmap_tests::server::{Server, read_answer};
use serde_json::{Value, json};
use std::io::{ErrorKind, Write};
use std::thread;
use std::time::{Duration, Instant};

const JSON: (&str, &str) = ("Content-Type", "application/json");

fn state(model: &str, set: &Value) -> Value {
    json!({ "state": { "model": model, "set": set } })
}

/// An error as the protocol words it: a sentence, and a list of mistakes.
fn told(answer: &pullmap_tests::server::Answer, status: u16, what: &str) -> Value {
    assert_eq!(answer.status, status, "{what}: {}{}", answer.head, String::from_utf8_lossy(&answer.body));
    let json = answer.json();
    assert!(!json["error"].as_str().unwrap().is_empty(), "{what}: {json}");
    assert!(json["mistakes"].is_array(), "{what}: {json}");
    json
}

/// What `map MODEL --json --set ...` prints.
fn printed(model: &str, set: &Value) -> String {
    let typed: Vec<String> = set
        .as_object()
        .unwrap()
        .iter()
        .map(|(key, value)| {
            format!("{key}={}", value.as_str().map_or_else(|| value.to_string(), str::to_owned))
        })
        .collect();
    let mut words = vec!["map", model, "--json"];
    for one in &typed {
        words.extend(["--set", one]);
    }
    let folder = tempfile::tempdir().unwrap();
    let ran = run(folder.path(), &words);
    assert_eq!(ran.code, 0, "{}", ran.err);
    ran.out
}

#[test]
fn findings_are_those_of_the_command_to_the_byte() {
    let cases = [
        ("broadbar-alu", json!({ "rig.upper.offset_mm": 6.5, "rig.lower.offset_mm": 6.5 })),
        ("pear", json!({ "rig.gate": "open", "rig.load_kn": 4 })),
        ("oval", json!({ "rig.gate": "half", "rig.engaged_mm": 1.5, "nose.notch_depth_mm": 4.5 })),
    ];
    for (model, set) in cases {
        let server = Server::start(&[]);
        let text = printed(model, &set);
        let whole: Value = serde_json::from_str(&text).unwrap();
        let mut asked = state(model, &set);
        asked["want"] = json!({ "quick": true });
        let solved = server.post("/api/solve", &asked).solved();
        assert_eq!(solved["findings"]["share"], whole["share"], "{model}");
        assert_eq!(solved["findings"]["peaks"], whole["peaks"], "{model}");
        let limits = server.post("/api/limits", &state(model, &set)).json();
        assert_eq!(limits["findings"], whole, "{model}");
        let file = server.post("/api/findings", &state(model, &set));
        assert_eq!(String::from_utf8_lossy(&file.body), text, "{model}");
        server.finish();
    }
}

/// Compliances are kept from one rig to the next, and which of them were solved together shows in the last digits.
#[test]
fn the_share_does_not_depend_on_what_was_asked_before() {
    const ROUNDING: f64 = 1e-10;
    let server = Server::start(&[]);
    for offset in [0.0, -4.0, 6.5, 2.0, 6.5] {
        let set = json!({ "rig.upper.offset_mm": offset, "rig.lower.offset_mm": offset });
        let command: Value = serde_json::from_str(&printed("broadbar-alu", &set)).unwrap();
        let page = server.post("/api/solve", &state("broadbar-alu", &set)).solved();
        for part in ["gate_kn", "spine_kn", "gate_fraction", "gate_engages_at_kn"] {
            let [a, b] = [&command, &page["findings"]].map(|found| found["share"][part].as_f64().unwrap());
            assert!((a - b).abs() <= ROUNDING * a.abs().max(1.0), "{part} at {offset}: {a}, {b}");
        }
    }
    server.finish();
}

#[test]
fn sixteen_clients_at_once() {
    let server = Server::start(&[]);
    let models = ["broadbar-alu", "oval", "offset-d", "pear"];
    thread::scope(|scope| {
        for client in 0..16 {
            let server = &server;
            scope.spawn(move || {
                for round in 0..6 {
                    let set = json!({ "rig.upper.offset_mm": f64::from(round) - 2.0, "nose.notch_depth_mm": 3.0 + f64::from(client % 4) * 0.5 });
                    let asked = state(models[client as usize % 4], &set);
                    // Each kind of work, so that cheap and dear ones meet.
                    let path = ["/api/solve", "/api/solve", "/api/limits", "/api/save", "/api/findings", "/api/solve"][(client + round) as usize % 6];
                    let answer = server.post(path, &asked);
                    assert!(matches!(answer.status, 200 | 503), "{path}: {}", answer.head);
                    if path == "/api/solve" && answer.status == 200 {
                        let share = &answer.solved()["findings"]["share"];
                        let (spine, gate) = (share["spine_kn"].as_f64().unwrap(), share["gate_kn"].as_f64().unwrap());
                        assert!((spine + gate - 10.0).abs() < 0.05, "{share}");
                    }
                }
            });
        }
    });
    server.finish();
}

#[test]
fn sixteen_clients_with_bodies_of_20_mb() {
    let server = Server::start(&[]);
    thread::scope(|scope| {
        for client in 0..16 {
            let server = &server;
            scope.spawn(move || {
                let body = vec![b'7'; 20 << 20];
                let path = ["/api/solve", "/api/open", "/api/page"][client % 3];
                if client % 2 == 0 {
                    told(&server.ask("POST", path, &[JSON], &body), 413, "a long body");
                } else {
                    // Without a length told beforehand.
                    let mut chunked =
                        server.request("POST", path, &[JSON, ("Transfer-Encoding", "chunked")], b"");
                    for piece in body.chunks(1 << 20) {
                        chunked.extend(format!("{:x}\r\n", piece.len()).bytes());
                        chunked.extend(piece);
                        chunked.extend(b"\r\n");
                    }
                    chunked.extend(b"0\r\n\r\n");
                    told(&server.send(&chunked), 413, "a long body in pieces");
                }
            });
        }
    });
    // One that announces far more than anybody reads on is refused without waiting for it.
    let clock = Instant::now();
    let head = server.request("POST", "/api/solve", &[JSON, ("Content-Length", "90000000000")], b"");
    told(&server.send(&head), 413, "a length told beforehand");
    assert!(clock.elapsed() < Duration::from_secs(5));
    server.finish();
}

#[test]
fn malformed_bodies_are_told_what_is_wrong() {
    let server = Server::start(&[]);
    let post = |path: &str, body: &[u8]| server.ask("POST", path, &[JSON], body);
    let deep = "[".repeat(200_000);
    let head = r#"{"version":2,"session":"abcdefgh","ticket":1"#;
    let bad: &[(&str, String)] = &[
        ("empty", String::new()),
        ("no JSON", "hello".into()),
        ("cut off", head.into()),
        ("an array", "[]".into()),
        ("null", "null".into()),
        ("deep", deep.clone()),
        ("no state", format!("{head}}}")),
        ("state of a wrong kind", format!(r#"{head},"state":7}}"#)),
        (
            "another version",
            r#"{"version":1,"session":"abcdefgh","ticket":1,"state":{"model":"oval"}}"#.into(),
        ),
        (
            "a ticket below zero",
            r#"{"version":2,"session":"abcdefgh","ticket":-1,"state":{"model":"oval"}}"#.into(),
        ),
        (
            "a ticket beyond all numbers",
            r#"{"version":2,"session":"abcdefgh","ticket":1e99,"state":{"model":"oval"}}"#.into(),
        ),
        (
            "a session that is a path",
            r#"{"version":2,"session":"../../../etc","ticket":1,"state":{"model":"oval"}}"#.into(),
        ),
        ("a short session", r#"{"version":2,"session":"","ticket":1,"state":{"model":"oval"}}"#.into()),
        ("a list as value", format!(r#"{head},"state":{{"model":"oval","set":{{"rig.load_kn":[1]}}}}}}"#)),
    ];
    for path in [
        "/api/solve",
        "/api/limits",
        "/api/chart",
        "/api/save",
        "/api/still",
        "/api/svg",
        "/api/findings",
        "/api/page",
        "/api/open",
    ] {
        for (what, body) in bad {
            // `/api/open` knows no state; those bodies fail there for want of a text.
            told(&post(path, body.as_bytes()), 400, &format!("{path}: {what}"));
        }
        told(&post(path, &[0xff, 0xfe, 0x00, 0x80]), 400, "no UTF-8");
    }
    // Impossible, not malformed: every mistake with its key, the whole sentence, and what is allowed.
    let set = json!({ "window.corner_radius_mm": 900, "rig.load_kn": -3, "rig.uper.offset_mm": 1 });
    let wrong = told(&server.post("/api/solve", &state("oval", &set)), 422, "three mistakes");
    let keys: Vec<&str> =
        wrong["mistakes"].as_array().unwrap().iter().map(|m| m["key"].as_str().unwrap()).collect();
    for key in ["window.corner_radius_mm", "rig.load_kn", "rig.uper"] {
        assert!(keys.contains(&key), "{key} in {wrong}");
    }
    assert!(wrong["mistakes"].as_array().unwrap().iter().all(|m| !m["says"].as_str().unwrap().is_empty()));
    // Texts that a reader of numbers could choke on.
    for text in [
        "nan",
        "1e999",
        "-0",
        "1/0 in",
        "[1, 2",
        "{ between = [15, 12] }",
        "'",
        "\"\n[rig]\"",
        "\u{0}",
        &"[".repeat(100_000),
        &"9".repeat(50_000),
        &"{a=".repeat(20_000),
    ] {
        let answer = server.post("/api/solve", &state("oval", &json!({ "window.inside_length_mm": text })));
        told(&answer, 422, &text.chars().take(30).collect::<String>());
    }
    for model in
        [json!("../../etc/passwd"), json!("/etc/passwd"), json!("nothing"), json!({}), json!({ "a": 1 })]
    {
        told(&server.post("/api/solve", &json!({ "state": { "model": model } })), 422, &model.to_string());
    }
    for text in [
        "",
        "=",
        "\u{0}",
        &"[".repeat(900_000),
        &"a=".repeat(100_000),
        &"[a]\n".repeat(100_000),
        &format!("a={}", "[".repeat(500_000)),
    ] {
        told(
            &server.post("/api/open", &json!({ "toml": text })),
            422,
            &text.chars().take(30).collect::<String>(),
        );
    }
    let shape = |more: Value| {
        let mut asked = state("oval", &json!({}));
        for (key, value) in more.as_object().unwrap() {
            asked[key] = value.clone();
        }
        asked
    };
    // The same with a size that can be drawn is answered: it is the size that is refused.
    let sized = |size: &Value| shape(json!({ "size": size, "field": "von_mises", "enlarged": 0 }));
    for path in ["/api/still", "/api/svg"] {
        assert_eq!(server.post(path, &sized(&json!([1080, 1080]))).status, 200, "{path}");
        for size in [json!([0, 0]), json!([1, 1]), json!([60000, 60000]), json!([-5, 7])] {
            told(&server.post(path, &sized(&size)), 400, &format!("{path} {size}"));
        }
    }
    let range = |n: u64| {
        shape(
            json!({ "key": "rig.both.offset_mm", "from": -8, "to": 8, "n": n, "what": "share", "dark": false, "size": [640, 360] }),
        )
    };
    assert_eq!(server.post("/api/chart", &range(3)).status, 200);
    told(&server.post("/api/chart", &range(4_000_000_000)), 400, "a chart without end");
    server.finish();
}

#[test]
fn a_slow_sender_is_cut_off_while_others_are_served() {
    let server = Server::start(&[]);
    let whole = server.request("POST", "/api/solve", &[JSON, ("Content-Length", "5000")], b"");
    let head = format!("GET / HTTP/1.1\r\nHost: {}\r\nX-Slow: ", server.address);
    let done = std::sync::atomic::AtomicUsize::new(0);
    thread::scope(|scope| {
        for (what, at_once) in [("head", head.as_bytes()), ("body", &whole[..])] {
            for _ in 0..8 {
                let (server, done) = (&server, &done);
                scope.spawn(move || {
                    let mut stream = server.connect();
                    stream.write_all(at_once).unwrap();
                    let clock = Instant::now();
                    // A byte a second, until the server has had enough.
                    let mut writer = stream.try_clone().unwrap();
                    let drip = thread::spawn(move || {
                        while writer.write_all(b"x").is_ok() {
                            thread::sleep(Duration::from_secs(1));
                        }
                    });
                    match read_answer(&mut stream) {
                        Ok(answer) => drop(told(&answer, 408, what)),
                        // Of a head that never came there is nothing to answer.
                        Err(error) => assert!(
                            what == "head"
                                && matches!(
                                    error.kind(),
                                    ErrorKind::UnexpectedEof | ErrorKind::ConnectionReset
                                ),
                            "{what}: {error}"
                        ),
                    }
                    let took = clock.elapsed().as_secs_f64();
                    assert!((8.0..18.0).contains(&took), "{what}: {took} s");
                    drop(stream);
                    drip.join().unwrap();
                    done.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
                });
            }
        }
        let (server, done) = (&server, &done);
        scope.spawn(move || {
            thread::sleep(Duration::from_secs(1));
            for _ in 0..5 {
                let clock = Instant::now();
                assert_eq!(server.ask("GET", "/", &[], b"").status, 200);
                assert_eq!(server.post("/api/solve", &state("oval", &json!({}))).status, 200);
                assert!(clock.elapsed() < Duration::from_secs(5), "served within reason");
            }
            assert_eq!(
                done.load(std::sync::atomic::Ordering::Relaxed),
                0,
                "served while the slow ones were still at it"
            );
        });
    });
    server.finish();
}

#[test]
fn only_its_own_page_may_ask() {
    let server = Server::start(&[]);
    let port = server.address.port();
    for host in ["evil.example", "127.0.0.1", "127.0.0.1:1", "", "localhost.evil.example"] {
        told(&server.ask("GET", "/", &[("Host", host)], b""), 403, host);
    }
    told(&server.ask("GET", "/", &[("Host", &format!("evil.example:{port}"))], b""), 403, "rebinding");
    told(&server.ask("GET", "http://evil.example/", &[], b""), 403, "a name in the first line");
    assert_eq!(server.ask("GET", "/", &[("Host", &format!("localhost:{port}"))], b"").status, 200);
    let twice = format!("GET / HTTP/1.1\r\nHost: {}\r\nHost: evil.example\r\n\r\n", server.address);
    let status = server.send(twice.as_bytes()).status;
    assert!(matches!(status, 400 | 403), "two hosts: {status}");
    let none = server.send(b"GET / HTTP/1.1\r\n\r\n").status;
    assert!(matches!(none, 400 | 403), "no host: {none}");

    let body =
        json!({ "version": 2, "session": "abcdefgh", "ticket": 1, "state": { "model": "oval" } }).to_string();
    let ask = |headers: &[(&str, &str)]| server.ask("POST", "/api/save", headers, body.as_bytes());
    for origin in [
        "http://evil.example",
        "null",
        "https://evil.example",
        &format!("https://127.0.0.1:{port}"),
        "file://",
    ] {
        told(&ask(&[JSON, ("Origin", origin)]), 403, origin);
    }
    told(&ask(&[JSON, ("Sec-Fetch-Site", "cross-site")]), 403, "of another site");
    // What a form of another site can send without asking first.
    for kind in ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data"] {
        told(&ask(&[("Content-Type", kind)]), 415, kind);
    }
    told(&ask(&[]), 415, "no type");
    assert_eq!(ask(&[JSON, ("Origin", &format!("http://{}", server.address))]).status, 200);

    let page = server.ask("GET", "/", &[], b"");
    let policy = page.header("content-security-policy").unwrap();
    assert!(policy.contains("default-src 'none'") && policy.contains("frame-ancestors 'none'"), "{policy}");
    assert!(!policy.contains("unsafe") && !policy.contains("http"), "{policy}");
    assert!(policy.contains(&format!("connect-src 'self' ws://{};", server.address)), "{policy}");
    let refused = server.ask("GET", "/", &[("Host", "evil.example")], b"");
    assert!(!refused.header("content-security-policy").unwrap().contains("ws://"), "nobody else's address");
    assert_eq!(page.header("x-content-type-options"), Some("nosniff"));
    assert_eq!(page.header("cache-control"), Some("no-store"));
    assert!(page.header("access-control-allow-origin").is_none());
    server.finish();
}

#[test]
fn no_path_leads_out_of_the_page() {
    let server = Server::start(&[]);
    for path in [
        "/../Cargo.toml",
        "/../../../../etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/assets/../../Cargo.toml",
        "/assets/../index.html",
        "/assets/%2e%2e/%2e%2e/Cargo.toml",
        "/assets/..%2f..%2fCargo.toml",
        "/assets//etc/passwd",
        "/assets/%2fetc%2fpasswd",
        "/assets/..\\..\\Cargo.toml",
        "/assets/main.js%00.css",
        "/assets/%ff%fe",
        "/assets/",
        "/assets",
        "/assets/offline.html",
        "//",
        "//etc/passwd",
        "/index.html/",
        "/api",
        "/api/",
        "/api/solve/",
        "/api/../assets/main.js",
        "/.git/config",
        "/?/../../etc/passwd/%",
    ] {
        let answer = server.ask("GET", path, &[], b"");
        if path.starts_with("/?") {
            assert_eq!(answer.status, 200, "{path}: what stands behind ? leads nowhere");
            continue;
        }
        assert!(matches!(answer.status, 400 | 404), "{path}: {}", answer.head);
        let body = String::from_utf8_lossy(&answer.body);
        assert!(!body.contains("root:") && !body.contains("[workspace"), "{path}: {body}");
    }
    for name in ["main.js", "theme.css", "icon.svg"] {
        assert_eq!(server.ask("GET", &format!("/assets/{name}"), &[], b"").status, 200, "{name}");
    }
    server.finish();
}

#[test]
fn other_methods_are_told_which_are_taken() {
    let server = Server::start(&[]);
    for method in ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND", "BREW"] {
        let page = server.ask(method, "/", &[], b"");
        told(&page, 405, method);
        assert_eq!(page.header("allow"), Some("GET, HEAD"), "{method}");
        let solve = server.ask(method, "/api/solve", &[JSON], b"{}");
        told(&solve, 405, method);
        assert_eq!(solve.header("allow"), Some("POST"), "{method}");
    }
    told(&server.ask("GET", "/api/solve", &[], b""), 405, "GET");
    told(&server.ask("POST", "/", &[JSON], b"{}"), 405, "POST");
    for junk in [
        "\r\n\r\n\r\n",
        "GET\r\n\r\n",
        "GET / HTTP/9.9\r\n\r\n",
        "\u{16}\u{3}\u{1}\u{2}\r\n\r\n",
        "GET / HTTP/1.1\r\nno colon\r\n\r\n",
    ] {
        let mut stream = server.connect();
        stream.write_all(junk.as_bytes()).unwrap();
        stream.shutdown(std::net::Shutdown::Write).unwrap();
        if let Ok(answer) = read_answer(&mut stream) {
            assert_eq!(answer.status, 400, "{junk:?}");
        }
    }
    let long = server.ask("GET", "/", &[("X-Long", &"x".repeat(200_000))], b"");
    assert!(matches!(long.status, 400 | 431), "{}", long.head);
    server.finish();
}

#[test]
fn newer_requests_overtake_older_ones() {
    let server = Server::start(&[]);
    let ask = |ticket: u64| {
        let body =
            json!({ "version": 2, "session": "onepage1", "ticket": ticket, "state": { "model": "oval" } });
        server.ask("POST", "/api/solve", &[JSON], body.to_string().as_bytes())
    };
    assert_eq!(ask(7).solved()["ticket"], 7);
    told(&ask(3), 409, "an older ticket");
    assert_eq!(ask(8).status, 200);
    // A hundred at once of one page: the last is answered, none breaks the server.
    thread::scope(|scope| {
        let asked: Vec<_> =
            (100..200).map(|ticket| scope.spawn(move || (ticket, ask(ticket).status))).collect();
        for (ticket, status) in asked.into_iter().map(|one| one.join().unwrap()) {
            assert!(matches!(status, 200 | 409 | 503), "{ticket}: {status}");
        }
    });
    assert_eq!(ask(200).status, 200);
    server.finish();
}

#[test]
fn clients_that_hang_up_leave_nothing_behind() {
    let server = Server::start(&[]);
    for round in 0..60 {
        let mut stream = server.connect();
        let body = json!({ "version": 2, "session": format!("gone{round:04}"), "ticket": 1, "state": { "model": "oval", "set": { "nose.notch_depth_mm": 3.0 + 0.01 * f64::from(round) } } });
        let request = server.request("POST", "/api/solve", &[JSON], body.to_string().as_bytes());
        let cut = if round % 2 == 0 { request.len() } else { request.len() - 9 };
        stream.write_all(&request[..cut]).unwrap();
    }
    let clock = Instant::now();
    assert_eq!(server.post("/api/solve", &state("oval", &json!({}))).status, 200);
    assert!(clock.elapsed() < Duration::from_secs(20), "{:?}", clock.elapsed());
    server.finish();
}

#[test]
fn another_address_is_warned_of() {
    let server = Server::start(&["--address", "0.0.0.0"]);
    let host = format!("127.0.0.1:{}", server.address.port());
    assert_eq!(server.ask("GET", "/", &[("Host", &host)], b"").status, 200);
    told(
        &server.ask("GET", "/", &[("Host", &format!("bench.example:{}", server.address.port()))], b""),
        403,
        "a name",
    );
    let (code, errors) = server.interrupt();
    assert_eq!(code, Some(0));
    assert!(errors.starts_with("warning: ") && errors.contains("--address"), "{errors}");

    let (code, errors) = Server::start(&[]).interrupt();
    assert_eq!((code, errors.as_str()), (Some(0), ""), "nothing to warn of on the loopback address");
}

#[test]
fn a_port_that_is_taken_is_told() {
    let server = Server::start(&[]);
    let folder = tempfile::tempdir().unwrap();
    let ran = run(folder.path(), &["explore", "--port", &server.address.port().to_string()]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{ran:?}");
    assert!(ran.err.contains("cannot listen") && !ran.err.contains("panicked"), "{}", ran.err);
    drop(server);
}
