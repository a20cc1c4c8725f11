//! The server of the live page: right answers, and proper ones to everything that should not be asked.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::run;
use pullmap_tests::served::{Answer, Served, state};
use serde_json::{Value, json};
use std::io::{Read, Write};
use std::thread::{scope, sleep};
use std::time::{Duration, Instant};

/// The most memory that the server may have held, MB.
const MOST_MEMORY_MB: f64 = 500.0;

fn solve(served: &Served, of: &Value) -> Answer {
    served.ask("/api/solve", json!({ "state": of }))
}

/// Still there, and right: the share of the broad bar.
fn still_serves(served: &Served) {
    let answer = solve(served, &state("broadbar-alu", &[]));
    let share = answer.solved().0["findings"]["share"]["gate_fraction"].as_f64().unwrap();
    assert!((share - 0.425).abs() < 0.01, "{share}");
}

#[test]
fn answers_are_those_of_map() {
    let served = Served::start(&["--port", "0"]);
    let folder = tempfile::tempdir().unwrap();
    for (model, set) in [
        ("broadbar-alu", vec![]),
        ("broadbar-alu", vec![("rig.both.offset_mm", json!(10)), ("rig.load_kn", json!(6.5))]),
        ("oval", vec![("nose.pin_clearance_mm", json!("0.2"))]),
        ("offset-d", vec![("rig.gate", json!("open"))]),
    ] {
        let mut words = vec!["map".to_owned(), model.to_owned(), "--json".to_owned()];
        for (key, value) in &set {
            let value = value.as_str().map_or_else(|| value.to_string(), ToOwned::to_owned);
            words.extend(["--set".to_owned(), format!("{key}={value}")]);
        }
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let mapped = run(folder.path(), &words);
        assert_eq!(mapped.code, 0, "{mapped:?}");
        let of = state(model, &set);
        let findings = served.ask("/api/findings", json!({ "state": of }));
        assert_eq!(String::from_utf8(findings.body).unwrap(), mapped.out, "{words:?}: byte for byte");
        let answer = solve(&served, &of);
        let mapped: Value = serde_json::from_str(&mapped.out).unwrap();
        assert_eq!(answer.solved().0["findings"], mapped, "{words:?}");
        let limits = served.ask("/api/limits", json!({ "state": of })).json();
        assert_eq!(limits["findings"], mapped);
        assert!(limits["limits"]["breaks_at_kn"].as_f64().unwrap() > 0.0);
        assert!(limits["caution"].as_str().unwrap().contains("accredited laboratory"));
    }
    let (code, said) = served.interrupt();
    assert_eq!((code, said.as_str()), (Some(0), ""), "Ctrl-C ends it cleanly");
}

#[test]
fn a_change_of_rig_sends_fields_and_no_mesh() {
    let served = Served::start(&[]);
    let first = solve(&served, &state("broadbar-alu", &[]));
    let (head, blocks) = first.solved();
    let names = |head: &Value| -> Vec<String> {
        head["blocks"].as_array().unwrap().iter().map(|b| b["name"].as_str().unwrap().to_owned()).collect()
    };
    assert!(names(&head).contains(&"frame.triangles".to_owned()));
    let end = head["blocks"].as_array().unwrap().iter().map(|b| {
        let count: u64 = b["shape"].as_array().unwrap().iter().map(|n| n.as_u64().unwrap()).product();
        b["offset"].as_u64().unwrap() + 4 * count
    });
    assert_eq!(end.max().unwrap(), blocks.len() as u64, "the last block ends with the answer");

    let moved = state("broadbar-alu", &[("rig.both.offset_mm", json!(4))]);
    let want =
        json!({ "mesh_id": head["mesh_id"], "fields": ["pull", "principal", "ribbon"], "quick": true });
    let second = served.ask("/api/solve", json!({ "state": moved, "want": want }));
    let (again, _) = second.solved();
    assert_eq!(again["mesh_id"], head["mesh_id"]);
    assert_eq!(
        names(&again),
        [
            "frame.u",
            "frame.von_mises",
            "frame.pull",
            "frame.principal",
            "frame.ribbon",
            "gate.u",
            "gate.von_mises",
            "gate.pull",
            "gate.principal",
            "gate.ribbon"
        ]
    );
    assert_eq!((&again["complete"], &again["findings"]["first_yield_kn"]), (&json!(false), &Value::Null));

    let deeper = state("broadbar-alu", &[("nose.notch_depth_mm", json!(6.4))]);
    let third = served.ask("/api/solve", json!({ "state": deeper, "want": want }));
    assert!(names(&third.solved().0).contains(&"gate.points".to_owned()), "another shape, another mesh");
}

#[test]
fn impossible_states_are_explained_by_key() {
    let served = Served::start(&[]);
    for (key, value) in [
        ("nose.notch_depth_mm", json!(13.9)),
        ("window.corner_radius_mm", json!(29)),
        ("rig.upper.offset_mm", json!(60)),
        ("nose.tip_mm", json!("fourteen")),
        ("nose.tpi_mm", json!(14)),
    ] {
        let answer = solve(&served, &state("broadbar-alu", &[(key, value.clone())]));
        assert_eq!(answer.status, 422, "{key} = {value}: {}", String::from_utf8_lossy(&answer.body));
        let told = answer.json();
        let mistakes = told["mistakes"].as_array().unwrap();
        assert!(mistakes.iter().any(|m| m["key"] == key && m["says"] != ""), "{key}: {told}");
    }
    let opened =
        served.ask("/api/open", json!({ "toml": "title = \"x\"\n[window]\ninside_length_mm = -3\n" }));
    assert_eq!((opened.status, &opened.json()["mistakes"][0]["place"]), (422, &json!("line 2")));
    still_serves(&served);
}

#[test]
fn files_go_out_and_come_back() {
    let served = Served::start(&["oval", "--set", "rig.load_kn=7"]);
    let start = served.get("/api/start").json();
    assert_eq!(start["opens_with"], json!({ "model": "oval", "set": { "rig.load_kn": "7" } }));
    assert_eq!(start["models"].as_array().unwrap().len(), 5);

    let of = state("oval", &[("nose.tip_mm", json!("13.5"))]);
    let saved = served.ask("/api/save", json!({ "state": of }));
    let text = String::from_utf8(saved.body).unwrap();
    let opened = served.ask("/api/open", json!({ "toml": text })).json();
    assert_eq!(opened["values"]["nose.tip_mm"], "13.5");
    let own = json!({ "model": opened["values"], "set": {} });
    let (a, b) = (solve(&served, &of), solve(&served, &own));
    assert_eq!(a.solved().0["findings"]["share"], b.solved().0["findings"]["share"]);

    for size in [[1920, 1080], [1080, 1920], [1080, 1080]] {
        let still = served.ask("/api/still", json!({ "state": of, "size": size, "field": "pull" }));
        assert_eq!(&still.body[..8], b"\x89PNG\r\n\x1a\n");
        let side = |at: usize| u32::from_be_bytes(still.body[at..at + 4].try_into().unwrap());
        assert_eq!([side(16), side(20)], size);
    }
    let svg = served.ask("/api/svg", json!({ "state": of, "size": [1600, 1200] }));
    assert!(svg.body.starts_with(b"<svg") || svg.body.starts_with(b"<?xml"));
    let huge = served.ask("/api/still", json!({ "state": of, "size": [60000, 60000] }));
    assert_eq!(huge.status, 400);
}

#[test]
fn charts_tell_where_their_plot_lies() {
    let served = Served::start(&[]);
    let chart = |what: &str, from: f64, to: f64| {
        let request = json!({
            "state": state("broadbar-alu", &[]), "key": "rig.both.offset_mm", "from": from, "to": to, "n": 5,
            "what": what, "dark": true, "size": [640, 360],
        });
        served.ask("/api/chart", request).json()
    };
    let share = chart("share", -30.0, 30.0);
    let plot = &share["plot"];
    assert!(plot["left"].as_f64().unwrap() < plot["right"].as_f64().unwrap());
    assert_eq!((&share["now"], &share["rows"][2]["value"]), (&json!(0.0), &json!(0.0)));
    assert!(share["rows"][0]["mistake"].as_str().unwrap().contains("upper strap"), "off its seat: {share}");
    assert!((share["rows"][2]["gate_fraction"].as_f64().unwrap() - 0.425).abs() < 0.01);
    let svg = share["svg"].as_str().unwrap();
    assert!(
        svg.starts_with("<svg") && !svg.contains("style="),
        "inline styles are against the page's policy"
    );
    let forecast = chart("forecast", -6.0, 6.0);
    assert!(
        forecast["rows"].as_array().unwrap().iter().all(|row| row["breaks_at_kn"].as_f64().unwrap() > 5.0)
    );
}

#[test]
fn newer_tickets_overtake_older_ones() {
    let served = Served::start(&[]);
    let request = json!({ "state": state("pear", &[]) });
    assert_eq!(served.ask_as("pageone1", 5, "/api/solve", request.clone()).status, 200);
    let late = served.ask_as("pageone1", 4, "/api/solve", request.clone());
    assert_eq!((late.status, late.json()["error"].as_str()), (409, Some("overtaken by a newer request")));
    assert_eq!(served.ask_as("pagetwo2", 1, "/api/solve", request).status, 200);

    // A chart that is under way is given up for a newer one, and does not hold it up.
    let chart = |ticket: u64, n: u32| {
        let range = json!({
            "state": state("oval", &[]), "key": "nose.pin_clearance_mm", "from": 0.1, "to": 0.3, "n": n,
            "what": "forecast", "size": [400, 300],
        });
        served.ask_as("pageone1", ticket, "/api/chart", range)
    };
    scope(|s| {
        let old = s.spawn(|| chart(1, 41));
        sleep(Duration::from_millis(300));
        let new = s.spawn(|| chart(2, 3));
        assert_eq!(old.join().unwrap().status, 409);
        assert_eq!(new.join().unwrap().status, 200);
    });
}

#[test]
fn sixteen_clients_at_once() {
    let served = Served::start(&[]);
    let names = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"];
    scope(|s| {
        let served = &served;
        let clients: Vec<_> = (0..16)
            .map(|client| {
                s.spawn(move || {
                    let session = format!("client{client:04}");
                    for step in 0..4_u64 {
                        let set = [
                            ("rig.load_kn", json!(5 + client)),
                            ("nose.pin_clearance_mm", json!(0.1 + 0.01 * f64::from(client % 3))),
                        ];
                        let of = state(names[client as usize % names.len()], &set);
                        let address = if step == 3 { "/api/limits" } else { "/api/solve" };
                        let want = json!({ "fields": ["pull", "principal", "ribbon"] });
                        let answer =
                            served.ask_as(&session, step, address, json!({ "state": of, "want": want }));
                        assert_eq!(answer.status, 200, "{}", String::from_utf8_lossy(&answer.body));
                        if step < 3 {
                            let load = answer.solved().0["findings"]["load_kn"].as_f64().unwrap();
                            assert_eq!(load, f64::from(5 + client), "an answer of its own");
                        }
                    }
                })
            })
            .collect();
        for client in clients {
            client.join().unwrap();
        }
    });
    let memory = served.most_memory_mb();
    assert!(memory.is_none_or(|mb| mb < MOST_MEMORY_MB), "{memory:?} MB");
    let (code, said) = served.interrupt();
    assert_eq!((code, said.as_str()), (Some(0), ""));
}

#[test]
fn malformed_bodies_are_refused_in_words() {
    let served = Served::start(&[]);
    let deep = "a.".repeat(100_000);
    let whole = |state: &str| {
        format!("{{\"version\":1,\"session\":\"malformed1\",\"ticket\":9,\"state\":{state}}}").into_bytes()
    };
    let bodies: Vec<(Vec<u8>, &[u16])> = vec![
        (Vec::new(), &[400]),
        (b"{".to_vec(), &[400]),
        (b"null".to_vec(), &[400]),
        (vec![0xff; 1000], &[400]),
        (vec![b'['; 200_000], &[400]),
        (b"{\"version\":1}".to_vec(), &[400]),
        (b"{\"version\":2,\"session\":\"malformed1\",\"ticket\":9}".to_vec(), &[400]),
        (whole("null"), &[400]),
        (whole("{\"model\":7}"), &[400]),
        (whole("{\"model\":\"../../../etc/passwd\"}"), &[422]),
        (whole("{\"model\":\"/etc/passwd\"}"), &[422]),
        (whole("{\"model\":\"oval\",\"set\":{\"nose.tip_mm\":1e999}}"), &[400, 422]),
        (whole("{\"model\":\"oval\",\"set\":{\"nose.tip_mm\":\"nan\"}}"), &[422]),
        (whole("{\"model\":\"oval\",\"set\":{\"nose\":\"[[[[[[[[\"}}"), &[422]),
        (whole(&format!("{{\"model\":\"oval\",\"set\":{{\"{deep}\":1}}}}")), &[400, 422]),
        (whole(&format!("{{\"model\":{{\"{deep}\":1}}}}")), &[400, 422]),
        (whole(&format!("{{\"model\":\"oval\",\"set\":{{\"title\":\"{}\"}}}}", "[".repeat(200_000))), &[422]),
    ];
    for (body, expected) in bodies {
        let answer = served.post_bytes("/api/solve", "", &body);
        let shown = String::from_utf8_lossy(&body[..body.len().min(120)]).into_owned();
        assert!(
            expected.contains(&answer.status),
            "{shown}: {} {:?}",
            answer.status,
            String::from_utf8_lossy(&answer.body)
        );
        assert_ne!(answer.json()["error"], "", "{shown}");
    }
    for text in [
        format!("{} = 1", "a.".repeat(200_000) + "a"),
        format!("a = {}", "[".repeat(500_000)),
        "\u{0}".repeat(1000),
    ] {
        let answer = served.ask("/api/open", json!({ "toml": text }));
        assert!([413, 422].contains(&answer.status), "{}", answer.status);
    }
    let form = served.send(
        format!(
            "POST /api/solve HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\n\
             Content-Length: 3\r\n\r\na=b",
            served.at
        )
        .as_bytes(),
    );
    assert_eq!(form.status, 415);
    assert_eq!(served.send(b"nonsense\r\n\r\n").status, 400);
    assert_eq!(
        served.ask("/api/explain", json!({})).status / 100 % 2,
        1,
        "not there yet, or a request without a state"
    );
    still_serves(&served);
    let (code, said) = served.interrupt();
    assert_eq!((code, said.as_str()), (Some(0), ""), "nothing panicked");
}

#[test]
fn large_bodies_are_refused_and_not_kept() {
    let served = Served::start(&[]);
    let large = vec![b' '; 20 << 20];
    scope(|s| {
        for _ in 0..8 {
            s.spawn(|| {
                let answer = served.post_bytes("/api/solve", "", &large);
                assert_eq!(answer.status, 413);
                assert!(answer.json()["error"].as_str().unwrap().contains("256 KiB"));
            });
        }
        // The same in chunks, its length unknown until the end.
        s.spawn(|| {
            let mut bytes = format!(
                "POST /api/open HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/json\r\n\
                 Transfer-Encoding: chunked\r\n\r\n{:x}\r\n",
                served.at,
                large.len()
            )
            .into_bytes();
            bytes.extend_from_slice(&large);
            bytes.extend_from_slice(b"\r\n0\r\n\r\n");
            assert_eq!(served.send(&bytes).status, 413);
        });
    });
    let head = format!("GET / HTTP/1.1\r\nHost: {}\r\nX-Long: {}\r\n\r\n", served.at, "a".repeat(1 << 20));
    let answer = served.send(head.as_bytes());
    assert!([0, 431].contains(&answer.status), "{}", answer.status);
    still_serves(&served);
    let memory = served.most_memory_mb();
    assert!(memory.is_none_or(|mb| mb < 200.0), "bodies were kept: {memory:?} MB");
}

#[test]
fn slow_senders_are_cut_off_and_nobody_waits_for_them() {
    let served = Served::start(&[]);
    let clock = Instant::now();
    let heads = [
        // A head that never ends, and a body that never comes.
        format!("GET / HTTP/1.1\r\nHost: {}\r\nX-Slow: ", served.at),
        format!(
            "POST /api/solve HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: 5000\r\n\r\n{{",
            served.at
        ),
    ];
    let mut slow: Vec<_> = (0..40)
        .map(|i| {
            let mut stream = served.connection();
            stream.write_all(heads[i % 2].as_bytes()).unwrap();
            stream
        })
        .collect();
    still_serves(&served);
    assert!(clock.elapsed() < Duration::from_secs(10), "others were held up: {:?}", clock.elapsed());
    for (i, stream) in slow.iter_mut().enumerate() {
        let mut all = Vec::new();
        stream.read_to_end(&mut all).unwrap();
        let answer = Answer::of(&all);
        if i % 2 == 1 {
            assert_eq!(answer.status, 408, "{:?}", answer.head);
        } else {
            assert!([0, 408].contains(&answer.status), "{:?}", answer.head);
        }
    }
    assert!(clock.elapsed() < Duration::from_secs(40), "{:?}", clock.elapsed());
    still_serves(&served);
}

#[test]
fn other_hosts_and_other_sites_are_refused() {
    let served = Served::start(&[]);
    let with_host = |host: &str| {
        served.send(format!("GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n").as_bytes()).status
    };
    let port = served.at.port();
    assert_eq!(with_host(&format!("localhost:{port}")), 200);
    for host in [
        "evil.example",
        &format!("evil.example:{port}"),
        "127.0.0.1",
        "localhost:1",
        &format!("127.0.0.1.evil.example:{port}"),
    ] {
        assert_eq!(with_host(host), 403, "{host}");
    }
    assert_eq!(served.send(b"GET / HTTP/1.0\r\n\r\n").status, 403);

    let body =
        json!({ "version": 1, "session": "abcdefgh", "ticket": 1, "state": state("oval", &[]) }).to_string();
    let from = |head: &str| served.post_bytes("/api/save", head, body.as_bytes()).status;
    assert_eq!(from(&format!("Origin: http://{}\r\n", served.at)), 200);
    assert_eq!(from(""), 200);
    for head in [
        "Origin: http://evil.example\r\n",
        "Origin: null\r\n",
        "Sec-Fetch-Site: cross-site\r\n",
        "Sec-Fetch-Site: same-site\r\n",
    ] {
        assert_eq!(from(head), 403, "{head}");
    }
}

#[test]
fn no_path_leads_out_of_the_page() {
    let served = Served::start(&[]);
    let page = served.get("/");
    assert_eq!(page.status, 200);
    for header in [
        "content-security-policy: default-src 'none'; script-src 'self'; style-src 'self'",
        "x-content-type-options: nosniff",
        "referrer-policy: no-referrer",
        "cache-control: no-store",
    ] {
        assert!(page.head.contains(header), "{header} is missing in {}", page.head);
    }
    assert!(!page.head.contains("unsafe-"), "{}", page.head);
    assert_eq!(served.get("/assets/index.html").status, 200);
    for path in [
        "/../Cargo.toml",
        "/assets/../../Cargo.toml",
        "/assets/../index.html",
        "/assets/%2e%2e/%2e%2e/Cargo.toml",
        "/assets/..%2f..%2fCargo.toml",
        "/assets/%2fetc%2fpasswd",
        "/assets//etc/passwd",
        "/assets/..\\..\\Cargo.toml",
        "/assets/index.html%00.js",
        "/assets/",
        "/assets/%ff%fe",
        "/etc/passwd",
        "//etc/passwd",
        "/api/../etc/passwd",
        "/api/nothing",
    ] {
        let answer = served.get(path);
        assert!([400, 404].contains(&answer.status), "{path}: {}", answer.status);
        assert!(answer.head.contains("nosniff"), "{path}");
        assert!(!String::from_utf8_lossy(&answer.body).contains("root:"), "{path}");
    }
    assert_eq!(served.get("/api/solve").status, 405);
    for method in ["PUT", "DELETE", "TRACE", "OPTIONS"] {
        let line = format!("{method} / HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", served.at);
        assert_eq!(served.send(line.as_bytes()).status, 405, "{method}");
    }
}

#[test]
fn what_cannot_be_served_is_told_in_words() {
    let served = Served::start(&[]);
    let folder = tempfile::tempdir().unwrap();
    let port = served.at.port().to_string();
    let taken = run(folder.path(), &["explore", "--port", &port]);
    assert_eq!((taken.code, taken.out.as_str()), (2, ""));
    assert!(taken.err.contains("cannot listen on 127.0.0.1") && taken.err.contains("hint:"), "{}", taken.err);
    let unknown = run(folder.path(), &["explore", "ovla"]);
    assert_eq!(unknown.code, 2);
    assert!(unknown.err.contains("did you mean the built-in model oval"), "{}", unknown.err);
    assert_eq!(run(folder.path(), &["explore", "--port", "70000"]).code, 2);

    let open = Served::start(&["--address", "0.0.0.0"]);
    let (code, said) = open.interrupt();
    assert_eq!(code, Some(0));
    assert!(said.contains("warning: anybody who reaches this address"), "{said}");
}
