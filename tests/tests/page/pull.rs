//! A pull until failure, asked of the page's server: the command's numbers, what of it travels, and how it is called off.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::run;
use pullmap_tests::server::Server;
use serde_json::{Value, json};
use std::io::Write;
use std::thread;
use std::time::{Duration, Instant};

const JSON: (&str, &str) = ("Content-Type", "application/json");
/// Steps that travel, at most.
const MOST_SHOWN: usize = 40;
/// Steps that may still end after nobody waits: the one that is being sought, and one that the last look at it missed.
const IN_WORK: u64 = 2;
/// They are worked on with a tenth of the weight of whatever else the machine does: alone they take some tenths of a second.
const ENDS_WITHIN: Duration = Duration::from_secs(5);

fn list<'v>(of: &'v Value, key: &str) -> &'v [Value] {
    of[key].as_array().map_or(&[], Vec::as_slice)
}

/// The f32 of a block.
fn block(head: &Value, body: &[u8], name: &str) -> Vec<f64> {
    let start = u32::from_le_bytes(body[12..16].try_into().unwrap()) as usize;
    let found = list(head, "blocks").iter().find(|b| b["name"] == name).unwrap_or_else(|| panic!("{name}"));
    let count: u64 = list(found, "shape").iter().map(|n| n.as_u64().unwrap()).product();
    let from = start + found["offset"].as_u64().unwrap() as usize;
    let bytes = &body[from..from + 4 * count as usize];
    bytes.chunks_exact(4).map(|b| f64::from(f32::from_le_bytes(b.try_into().unwrap()))).collect()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-6 * (1.0 + b.abs())
}

#[test]
fn a_pull_is_that_of_the_command_with_the_steps_that_a_page_shows() {
    let folder = tempfile::tempdir().unwrap();
    let words = ["pull", "oval", "--json", "--steps", "20", "--mesh-size", "3"];
    let printed: Value = serde_json::from_str(&run(folder.path(), &words).out).unwrap();
    let server = Server::start(&[]);
    let asked = json!({ "state": { "model": "oval" }, "steps": 20, "mesh_size_mm": 3 });
    let answer = server.post("/api/pull", &asked);
    let head = answer.solved();
    let body = &answer.body;
    assert!(body.len() < 3_500_000, "{} bytes", body.len());

    // One report: what the command prints, but for steps that do not travel.
    let shown = list(&head, "shown");
    let of_branch = |name: &str| -> Vec<usize> {
        let of = shown.iter().filter(|s| s["branch"] == name);
        of.map(|s| s["step"].as_u64().unwrap() as usize).collect()
    };
    let (gate, hook) = (of_branch("gate"), of_branch("hook"));
    assert!(shown.len() <= MOST_SHOWN && gate.len() + hook.len() == shown.len() && hook.len() > 2);
    let mut wanted = printed.clone();
    let picked = |all: &Value, which: &[usize]| -> Value { which.iter().map(|i| all[*i].clone()).collect() };
    wanted["steps"] = picked(&printed["steps"], &gate);
    wanted["hook"]["steps"] = picked(&printed["hook"]["steps"], &hook);
    assert_eq!(head["pull"], wanted);

    // The curve has all of them, the hook as far as friction keeps on it what pulls it.
    let curve = block(&head, body, "curve");
    let all = list(&printed, "steps");
    assert_eq!(curve.len(), 3 * all.len());
    for (row, step) in curve.chunks_exact(3).zip(all) {
        for (value, key) in row.iter().zip(["stretch_mm", "load_kn", "gate_fraction"]) {
            assert!(near(*value, step[key].as_f64().unwrap()), "{key}: {value}, {}", step[key]);
        }
    }
    let kept = block(&head, body, "hook");
    let most = kept.chunks_exact(3).map(|row| row[1]).fold(0.0, f64::max);
    assert!(near(most, printed["hook"]["keeps_to_kn"].as_f64().unwrap()), "{most}");
    assert!(kept.len() < 3 * list(&printed["hook"], "steps").len());

    // What is said of a step comes in sentences, and its load and stretch apart.
    let end = &shown[gate.len() - 1];
    let last = &all[all.len() - 1];
    assert_eq!(
        end["words"],
        format!("{}, {}", end["load"].as_str().unwrap(), end["stretch"].as_str().unwrap())
    );
    let strain = format!(
        "{:.1} %: {}.",
        100.0 * last["plastic_strain"].as_f64().unwrap(),
        last["plastic_at"].as_str().unwrap()
    );
    let yielded = end["yielded"].as_str().unwrap();
    assert!(yielded.ends_with(&strain), "{yielded}");
    let carries = end["carries"].as_str().unwrap();
    assert!(
        carries.starts_with(&format!("The gate carries {:.1} kN, ", last["gate_kn"].as_f64().unwrap())),
        "{carries}"
    );
    assert!(shown[gate.len()]["carries"].as_str().unwrap().starts_with("The spine carries "), "{shown:?}");

    // Each step has its shape and its two fields over the frame's nodes; with the gate it says where that is.
    let nodes = block(&head, body, "frame.points").len() / 2;
    for (i, step) in shown.iter().enumerate() {
        let u = block(&head, body, &format!("steps.{i}.u"));
        let mean = u.iter().step_by(2).sum::<f64>() / nodes as f64;
        assert!(u.len() == 2 * nodes && mean.abs() < 1e-4, "the middle of the frame stands still: {mean}");
        let stress = block(&head, body, &format!("steps.{i}.von_mises"));
        let strain = block(&head, body, &format!("steps.{i}.plastic_strain"));
        assert_eq!((stress.len(), strain.len()), (nodes, nodes));
        assert_eq!(step["gate"].is_null(), step["branch"] == "hook", "{step}");
        let yielded = strain.iter().any(|s| *s > 1e-3);
        assert!(yielded || step["step"].as_u64().unwrap() < 20, "{step}");
    }
    let start = u32::from_le_bytes(body[12..16].try_into().unwrap()) as usize;
    let ends = list(&head, "blocks").iter().map(|b| {
        let count: u64 = list(b, "shape").iter().map(|n| n.as_u64().unwrap()).product();
        b["offset"].as_u64().unwrap() + 4 * count
    });
    assert_eq!(ends.max().unwrap() as usize, body.len() - start, "the last block ends with the answer");

    // A mark is at the first step that has come as far, and those of this pull are there.
    let marks = list(&head, "marks");
    let of_marks: Vec<&str> = marks.iter().map(|m| m["words"].as_str().unwrap()).collect();
    for word in [
        "gate begins to carry",
        "first yield",
        "0.2 mm beyond elastic",
        "gate no longer shuts",
        "knee",
        "friction holds up to here",
    ] {
        assert!(of_marks.iter().any(|m| m.starts_with(word)), "{word} in {of_marks:?}");
    }
    for mark in marks {
        let at = mark["shown"].as_u64().unwrap() as usize;
        let numbers =
            if at < gate.len() { &all[gate[at]] } else { &printed["hook"]["steps"][hook[at - gate.len()]] };
        let stretch = mark["at"][0].as_f64().unwrap();
        assert!(numbers["stretch_mm"].as_f64().unwrap() >= stretch - 1e-9, "{mark}");
        let before = if at < gate.len() { gate[at].checked_sub(1) } else { None };
        assert!(before.is_none_or(|step| all[step]["stretch_mm"].as_f64().unwrap() < stretch), "{mark}");
    }
    let rows = list(&head, "rows");
    assert!(rows.iter().any(|row| row["what"] == "the forecast"), "the table of the command: {rows:?}");
    server.finish();
}

#[test]
fn a_pull_tells_its_steps_holds_up_other_pulls_alone_and_ends_when_nobody_waits() {
    let server = Server::start(&[]);
    let ask = |session: &str| {
        let body =
            json!({ "version": 2, "session": session, "ticket": 1, "state": { "model": "broadbar-alu" } });
        let mut stream = server.connect();
        stream.write_all(&server.request("POST", "/api/pull", &[JSON], body.to_string().as_bytes())).unwrap();
        stream
    };
    let progress_of = |session: &str| -> Value {
        let of = json!({ "version": 2, "session": session, "ticket": 1, "of": "/api/pull" });
        server.ask("POST", "/api/progress", &[JSON], of.to_string().as_bytes()).json()
    };
    let stream = ask("hangsup2");
    let progress = || progress_of("hangsup2");
    let told = loop {
        let told = progress();
        if told["done"].as_u64().unwrap() >= 12 {
            break told;
        }
        thread::sleep(Duration::from_millis(5));
    };
    let says = told["says"].as_str().unwrap();
    assert!(says.starts_with(&format!("Step {}: ", told["done"])), "{says}");
    assert!([" kN", " mm of stretch", " iterations."].iter().all(|part| says.contains(part)), "{says}");

    // Others wait and say so; a picture, which may take a while as well, does not.
    let others = ["waits001", "waits002"].map(|session| (session, ask(session)));
    let still = json!({ "state": { "model": "oval" }, "size": [400, 300], "enlarged": 0 });
    assert_eq!(server.post("/api/still", &still).status, 200);
    for (session, _) in &others {
        let waits = progress_of(session);
        assert!(waits["says"].as_str().unwrap().starts_with("Waiting for another pull"), "{waits}");
    }
    drop(others);
    let told = progress();
    assert_eq!(told["working"], json!(true), "{told}");

    drop(stream);
    let (left, left_at) = (Instant::now(), told["done"].as_u64().unwrap());
    loop {
        let told = progress();
        if told["working"] == json!(false) {
            break;
        }
        assert!(
            told["done"].as_u64().unwrap() <= left_at + IN_WORK,
            "left at step {left_at}, and still: {told}"
        );
        assert!(left.elapsed() < ENDS_WITHIN, "still at work {:?} after: {told}", left.elapsed());
        thread::sleep(Duration::from_millis(5));
    }
    server.finish();
}

#[test]
fn a_pull_up_to_a_load_ends_there() {
    let server = Server::start(&[]);
    let asked = json!({ "state": { "model": "oval" }, "steps": 20, "mesh_size_mm": 3, "until_kn": 0.6 });
    assert_eq!(server.post("/api/pull", &asked).solved()["pull"]["end"]["kind"], "asked");
    server.finish();
}

#[test]
fn a_pull_is_refused_as_the_command_refuses_it() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&[]);
    let own = "{ name = \"own\", density_g_cm3 = 2.8, youngs_modulus_mpa = 71700, poisson_ratio = 0.33, yield_mpa = 480, ultimate_mpa = 540 }";
    for (asked, words, key) in [
        (
            json!({ "state": { "model": "oval", "set": { "material.frame": own } } }),
            vec!["--set".to_owned(), format!("material.frame={own}")],
            "material.frame.elongation",
        ),
        (
            json!({ "state": { "model": "oval" }, "steps": 19 }),
            vec!["--steps".to_owned(), "19".to_owned()],
            "steps",
        ),
        (
            json!({ "state": { "model": "oval" }, "mesh_size_mm": 0.01 }),
            vec!["--mesh-size".to_owned(), "0.01".to_owned()],
            "mesh_size_mm",
        ),
        (
            json!({ "state": { "model": "oval", "set": { "rig.both.strap_strength_kn": 0.5 } }, "steps": 20, "mesh_size_mm": 3, "until_kn": "600 N" }),
            [
                "--set",
                "rig.both.strap_strength_kn=0.5",
                "--steps",
                "20",
                "--mesh-size",
                "3",
                "--until",
                "600 N",
            ]
            .map(str::to_owned)
            .to_vec(),
            "until_kn",
        ),
    ] {
        let answer = server.post("/api/pull", &asked);
        assert_eq!(answer.status, 422, "{asked}: {}", answer.head);
        let told = answer.json();
        let mistake = &list(&told, "mistakes")[0];
        assert_eq!(mistake["key"], key, "{told}");
        let all: Vec<&str> =
            ["pull", "oval", "--json"].into_iter().chain(words.iter().map(String::as_str)).collect();
        let said = run(folder.path(), &all).err;
        let says = mistake["says"].as_str().unwrap();
        assert!(said.contains(says), "{says}\n{said}");
        // The page has none of the command's options, and so advises none.
        let hint = mistake["hint"].as_str().unwrap();
        assert!(!hint.contains("--") && !hint.contains("pullmap"), "{hint}");
        assert_eq!(hint.is_empty(), key != "material.frame.elongation", "{told}");
    }
    server.finish();
}
