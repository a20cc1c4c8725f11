//! What the server of the live page answers: mesh and fields, explanations, files, charts.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use pullmap_tests::binary::run;
use pullmap_tests::server::{Answer, Server};
use serde_json::{Value, json};
use std::thread;
use std::time::Duration;

fn state(model: &str, set: &Value) -> Value {
    json!({ "state": { "model": model, "set": set } })
}

fn names(head: &Value) -> Vec<&str> {
    head["blocks"].as_array().unwrap().iter().map(|block| block["name"].as_str().unwrap()).collect()
}

#[test]
fn a_change_of_rig_sends_fields_and_no_mesh() {
    let server = Server::start(&[]);
    let first = server.post("/api/solve", &state("broadbar-alu", &json!({})));
    let head = first.solved();
    assert!(names(&head).contains(&"frame.triangles"));
    let start = u32::from_le_bytes(first.body[12..16].try_into().unwrap()) as usize;
    let ends = head["blocks"].as_array().unwrap().iter().map(|block| {
        let count: u64 = block["shape"].as_array().unwrap().iter().map(|n| n.as_u64().unwrap()).product();
        block["offset"].as_u64().unwrap() + 4 * count
    });
    assert_eq!(ends.max().unwrap() as usize, first.body.len() - start, "the last block ends with the answer");

    let mut moved = state("broadbar-alu", &json!({ "rig.both.offset_mm": 4 }));
    moved["want"] =
        json!({ "mesh_id": head["mesh_id"], "fields": ["pull", "principal", "ribbon"], "quick": true });
    let second = server.post("/api/solve", &moved).solved();
    assert_eq!(second["mesh_id"], head["mesh_id"]);
    let of_body = ["u", "von_mises", "pull", "principal", "ribbon"];
    let both = ["frame", "gate"].iter().flat_map(|body| of_body.map(|field| format!("{body}.{field}")));
    assert_eq!(names(&second), both.collect::<Vec<_>>());
    assert_eq!((&second["complete"], &second["findings"]["first_yield_kn"]), (&json!(false), &Value::Null));

    let mut deeper = state("broadbar-alu", &json!({ "nose.notch_depth_mm": 6.4 }));
    deeper["want"] = moved["want"].clone();
    let third = server.post("/api/solve", &deeper).solved();
    assert!(names(&third).contains(&"gate.points"), "another shape, another mesh");
    server.finish();
}

#[test]
fn what_was_asked_before_changes_no_byte() {
    let folder = tempfile::tempdir().unwrap();
    let words =
        ["map", "broadbar-alu", "--json", "--set", "rig.both.offset_mm=10", "--set", "rig.load_kn=6.5"];
    let printed = run(folder.path(), &words).out;
    let server = Server::start(&[]);
    for offset in [-7.3, 0.0, 3.1, 9.9] {
        let set = json!({ "rig.both.offset_mm": offset, "rig.both.width_mm": 20 });
        assert_eq!(server.post("/api/solve", &state("broadbar-alu", &set)).status, 200);
    }
    let set = json!({ "rig.both.offset_mm": 10, "rig.load_kn": 6.5 });
    let findings = server.post("/api/findings", &state("broadbar-alu", &set));
    assert_eq!(String::from_utf8(findings.body).unwrap(), printed);
    server.finish();
}

#[test]
fn impossible_states_are_explained_by_key() {
    let server = Server::start(&[]);
    for (key, value) in [
        ("nose.notch_depth_mm", json!(13.9)),
        ("window.corner_radius_mm", json!(29)),
        ("rig.upper.offset_mm", json!(60)),
        ("nose.tip_mm", json!("fourteen")),
        ("nose.tpi_mm", json!(14)),
    ] {
        let answer = server.post("/api/solve", &state("broadbar-alu", &json!({ key: value.clone() })));
        assert_eq!(answer.status, 422, "{key} = {value}: {}", answer.head);
        let told = answer.json();
        let mistakes = told["mistakes"].as_array().unwrap();
        assert!(mistakes.iter().any(|m| m["key"] == key && m["says"] != ""), "{key}: {told}");
    }
    let toml = "title = \"x\"\n[window]\ninside_length_mm = -3\n";
    let opened = server.post("/api/open", &json!({ "toml": toml })).json();
    assert!(opened["mistakes"].as_array().unwrap().iter().any(|m| m["place"] == "line 3"), "{opened}");
    server.finish();
}

#[test]
fn keys_without_end_are_refused_before_anything_recurses() {
    let server = Server::start(&[]);
    let endless = "a.".repeat(60_000);
    for asked in [
        state("oval", &json!({ endless.as_str(): 1 })),
        json!({ "state": { "model": { endless.as_str(): 1 }, "set": {} } }),
    ] {
        assert_eq!(server.post("/api/solve", &asked).status, 400);
    }
    for toml in [format!("{endless}a = 1"), format!("[{endless}a]"), format!("a = {{ {endless}a = 1 }}")] {
        assert_eq!(server.post("/api/open", &json!({ "toml": toml })).status, 422);
    }
    server.finish();
}

#[test]
fn files_go_out_and_come_back() {
    let server = Server::start(&["oval", "--set", "rig.load_kn=7"]);
    let start = server.ask("GET", "/api/start", &[], b"").json();
    assert_eq!(start["opens_with"], json!({ "model": "oval", "set": { "rig.load_kn": "7" } }));
    assert_eq!(start["models"].as_array().unwrap().len(), 5);

    let of = state("oval", &json!({ "nose.notch_depth_mm": "4.25 mm" }));
    let saved = server.post("/api/save", &of);
    let text = String::from_utf8(saved.body).unwrap();
    let opened = server.post("/api/open", &json!({ "toml": text })).json();
    assert_eq!(opened["values"]["nose.notch_depth_mm"], "4.25 mm", "{opened}");
    let own = json!({ "state": { "model": opened["values"], "set": {} } });
    let [a, b] = [&of, &own].map(|asked| server.post("/api/solve", asked).solved());
    assert_eq!(a["findings"]["share"], b["findings"]["share"]);

    // Half shut alone is enough of a set, and not of a file: the depth that was taken is saved.
    let half = state("oval", &json!({ "rig.gate": "half" }));
    let text = String::from_utf8(server.post("/api/save", &half).body).unwrap();
    let again = server.post("/api/open", &json!({ "toml": text })).json();
    let again = json!({ "state": { "model": again["values"], "set": {} } });
    let [a, b] = [&half, &again].map(|asked| server.post("/api/solve", asked).solved());
    assert_eq!(a["findings"]["share"], b["findings"]["share"]);

    for size in [[1920_u32, 1080], [1080, 1920], [1080, 1080]] {
        let mut asked = of.clone();
        asked["size"] = json!(size);
        asked["field"] = json!("pull");
        let still = server.post("/api/still", &asked);
        assert_eq!(&still.body[..8], b"\x89PNG\r\n\x1a\n");
        let side = |at: usize| u32::from_be_bytes(still.body[at..at + 4].try_into().unwrap());
        assert_eq!([side(16), side(20)], size);
    }
    let mut asked = of.clone();
    asked["size"] = json!([1600, 1200]);
    let svg = server.post("/api/svg", &asked);
    assert!(svg.body.starts_with(b"<svg") || svg.body.starts_with(b"<?xml"));
    asked["size"] = json!([60_000, 60_000]);
    assert_eq!(server.post("/api/still", &asked).status, 400);
    server.finish();
}

#[test]
fn a_saved_page_holds_everything_and_fetches_nothing() {
    let server = Server::start(&[]);
    let mut asked = state("broadbar-alu", &json!({ "title": "</script><b>x" }));
    asked["kept"] = json!([{ "name": "A & B", "state": { "model": "oval", "set": {} } }]);
    asked["sweep"] = json!({ "key": "rig.both.offset_mm", "from": -30, "to": 30, "n": 5 });
    let answer = server.post("/api/page", &asked);
    assert_eq!(answer.status, 200, "{}", answer.head);
    let page = String::from_utf8(answer.body).unwrap();
    for place in ["{{title}}", "{{policy}}", "{{style}}", "{{script}}", "{{data}}", "<b>x"] {
        assert!(!page.contains(place), "every place is filled, and every text escaped: {place}");
    }
    for outside in ["src=\"http", "href=\"http", "@import", "url(http"] {
        assert!(!page.contains(outside), "{outside}");
    }
    let data = page.split("id=\"data\">").nth(1).unwrap().split("</script>").next().unwrap();
    let data: Value = serde_json::from_str(data).unwrap();
    assert_eq!(
        (&data["kept"][0]["name"], &data["now"]["limits"]["caution"]),
        (&json!("A & B"), &data["caution"])
    );
    let steps = data["sweep"]["steps"].as_array().unwrap();
    assert_eq!(steps.len(), 5);
    assert!(
        steps[0]["mistake"].as_str().unwrap().contains("a strap from -36") && steps[0]["answer"].is_null()
    );
    // In the middle the straps lie as they do in the model as it is: what the page holds is what the server answers.
    let body = STANDARD.decode(steps[2]["answer"].as_str().unwrap()).unwrap();
    let held = Answer { status: 200, head: String::new(), body }.solved();
    let asked = state("broadbar-alu", &json!({ "title": "</script><b>x", "rig.both.offset_mm": 0 }));
    let solved = server.post("/api/solve", &asked).solved();
    assert_eq!((&steps[2]["value"], &steps[2]["mistake"]), (&json!(0.0), &Value::Null));
    let share = |of: &Value| of["findings"]["share"]["gate_fraction"].as_f64().unwrap();
    assert!((share(&held) - share(&solved)).abs() < 1e-9, "{} {}", share(&held), share(&solved));
    assert!(names(&held).contains(&"frame.von_mises"), "{:?}", names(&held));
    // Each step says what fails first there, and all its warnings.
    let judged = server.post("/api/limits", &asked).json();
    assert_eq!(
        (&steps[2]["limits"], &held["findings"], &steps[0]["limits"]),
        (&judged["limits"], &judged["findings"], &Value::Null)
    );
    server.finish();
}

#[test]
fn charts_tell_where_their_plot_lies() {
    let server = Server::start(&[]);
    let chart = |what: &str, from: f64, to: f64| {
        let mut asked = state("broadbar-alu", &json!({}));
        for (key, value) in [("key", json!("rig.both.offset_mm")), ("from", json!(from)), ("to", json!(to))] {
            asked[key] = value;
        }
        for (key, value) in [("n", json!(5)), ("what", json!(what)), ("size", json!([640, 360]))] {
            asked[key] = value;
        }
        server.post("/api/chart", &asked).json()
    };
    let share = chart("share", -30.0, 30.0);
    let plot = &share["plot"];
    assert!(plot["left"].as_f64().unwrap() < plot["right"].as_f64().unwrap());
    assert_eq!((&share["now"], &share["rows"][2]["value"]), (&json!(0.0), &json!(0.0)));
    assert!(
        share["rows"][0]["mistake"].as_str().unwrap().contains("a strap from -36"),
        "off its seat: {share}"
    );
    assert!((share["rows"][2]["gate_fraction"].as_f64().unwrap() - 0.425).abs() < 0.01);
    let svg = share["svg"].as_str().unwrap();
    assert!(
        svg.starts_with("<svg") && !svg.contains("style="),
        "inline styles are against the page's policy"
    );
    let forecast = chart("forecast", -6.0, 6.0);
    let rows = forecast["rows"].as_array().unwrap();
    assert!(rows.iter().all(|row| row["peak_kn"].as_f64().unwrap() > 5.0), "{forecast}");
    assert!(forecast["caution"].as_str().unwrap().contains("accredited laboratory"));
    server.finish();
}

#[test]
fn every_number_has_a_chart_around_where_it_stands() {
    let server = Server::start(&[]);
    let told = server.ask("GET", "/api/start", &[], b"").json();
    let mut charted = 0;
    for parameter in told["parameters"].as_array().unwrap() {
        if parameter["slider"].is_null() {
            continue;
        }
        let key = parameter["key"].as_str().unwrap();
        // What gives the key a meaning, and what that needs beside.
        let mut set = json!({});
        if let Some(when) = parameter["shown_when"].as_object() {
            set[when["key"].as_str().unwrap()] = when["in"][0].clone();
        }
        if parameter["shown_when"]["in"][0] == "i" {
            let (table, _) = key.rsplit_once('.').unwrap();
            set[format!("{table}.flange_mm")] = json!(3);
            set[format!("{table}.web_mm")] = json!(3);
        }
        let keys = [key.to_owned(), key.replace("rig.upper.", "rig.both.")];
        for key in &keys[..if keys[0] == keys[1] { 1 } else { 2 }] {
            if key.starts_with("rig.both.") && !set.as_object().unwrap().is_empty() {
                set = json!({ "rig.both.kind": parameter["shown_when"]["in"][0] });
            }
            let chart = |from: f64, to: f64| {
                let mut asked = state("broadbar-alu", &set);
                for (name, value) in [
                    ("key", json!(key)),
                    ("from", json!(from)),
                    ("to", json!(to)),
                    ("n", json!(3)),
                    ("what", json!("share")),
                    ("size", json!([640, 360])),
                ] {
                    asked[name] = value;
                }
                let answer = server.post("/api/chart", &asked);
                assert_eq!(answer.status, 200, "{key}: {}", String::from_utf8_lossy(&answer.body));
                answer.json()
            };
            let slider = &parameter["slider"];
            let [min, max, step] = ["min", "max", "step"].map(|end| slider[end].as_f64().unwrap());
            let whole = chart(min, max);
            for row in whole["rows"].as_array().unwrap() {
                let refused = !row["mistake"].is_null();
                assert!(refused != row["gate_fraction"].is_number(), "{key}: {row}");
                assert_eq!(refused, !row["mistakes"].as_array().unwrap().is_empty(), "{key}: {row}");
            }
            let now = whole["now"].as_f64().unwrap_or(0.5 * (min + max));
            let low = parameter["allowed"][0].as_f64().unwrap();
            let around = chart((now - step).max(low), now + step);
            for row in around["rows"].as_array().unwrap() {
                assert!(row["gate_fraction"].is_number(), "{key}: {row}");
            }
            charted += 1;
        }
    }
    assert!(charted > 45, "{charted}");
    server.finish();
}

#[test]
fn a_chart_under_way_is_given_up_for_a_newer_one() {
    let server = Server::start(&[]);
    let chart = |ticket: u64, n: u32| {
        let asked = json!({
            "version": 2, "session": "pageone1", "ticket": ticket, "state": { "model": "oval" },
            "key": "nose.pin_clearance_mm", "from": 0.1, "to": 0.3, "n": n, "what": "forecast", "size": [400, 300],
        });
        server
            .ask("POST", "/api/chart", &[("Content-Type", "application/json")], asked.to_string().as_bytes())
            .status
    };
    thread::scope(|scope| {
        let old = scope.spawn(|| chart(1, 41));
        thread::sleep(Duration::from_millis(300));
        let new = scope.spawn(|| chart(2, 3));
        assert_eq!((old.join().unwrap(), new.join().unwrap()), (409, 200));
    });
    server.finish();
}

#[test]
fn a_pull_is_explained_as_by_the_command() {
    let server = Server::start(&[]);
    let asked = |broke_at_kn: f64, place: &str| {
        let mut body = state("broadbar-alu", &json!({}));
        body["broke_at_kn"] = json!(broke_at_kn);
        body["where"] = json!(place);
        server.post("/api/explain", &body)
    };
    let mut told = asked(12.5, "lip").json();
    told.as_object_mut().unwrap().remove("ticket");
    let folder = tempfile::tempdir().unwrap();
    let words = ["explain", "broadbar-alu", "--broke-at", "12.5", "--where", "lip", "--json"];
    let printed: Value = serde_json::from_str(&run(folder.path(), &words).out).unwrap();
    assert_eq!(told, printed);
    for (peak, place, key) in [(-1.0, "lip", "broke_at_kn"), (12.5, "moon", "where")] {
        let refused = asked(peak, place);
        assert_eq!((refused.status, &refused.json()["mistakes"][0]["key"]), (422, &json!(key)));
    }
    server.finish();
}
