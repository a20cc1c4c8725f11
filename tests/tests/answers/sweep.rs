//! Sweeps by the real binary: what a deeper notch buys, failures as rows, stops and restarts, every refusal.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use explorer::sweeping::checked;
use pullmap_tests::binary::{refused, run, run_with_threads};
use pullmap_tests::schemas::follows;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// A table by columns.
struct Table {
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    fn read(path: &Path) -> Self {
        // The reader refuses a row that has not every column.
        let texts = |record: &csv::StringRecord| record.iter().map(str::to_owned).collect();
        let mut reader = csv::Reader::from_path(path).unwrap();
        let header = texts(reader.headers().unwrap());
        Self { header, rows: reader.records().map(|row| texts(&row.unwrap())).collect() }
    }

    fn texts(&self, column: &str) -> Vec<&str> {
        let at = self.header.iter().position(|h| h == column).unwrap_or_else(|| panic!("no {column}"));
        self.rows.iter().map(|r| r[at].as_str()).collect()
    }

    /// Empty cells are infinite: no load brings the part there.
    fn numbers(&self, column: &str) -> Vec<f64> {
        self.texts(column)
            .iter()
            .map(|t| if t.is_empty() { f64::INFINITY } else { t.parse().unwrap() })
            .collect()
    }
}

const NOTCH: [&str; 6] =
    ["sweep", "broadbar-alu", "--vary", "nose.notch_depth_mm=2.5..9:40", "--set", "rig.both.width_mm=40"];

#[test]
fn a_deeper_notch_helps_the_pin_and_costs_the_nose() {
    let folder = tempdir().unwrap();
    let ran = run(folder.path(), &[&NOTCH[..], &["--out", "s"]].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    let table = Table::read(&folder.path().join("s/sweep.csv"));
    let care = table.texts("caution");
    assert!(care[0].contains("accredited laboratory") && care[1..].iter().all(|cell| cell.is_empty()));
    assert_eq!(table.header.last().unwrap(), "caution");
    let depth = table.numbers("nose.notch_depth_mm");
    assert_eq!((depth.len(), depth[0], depth[39]), (40, 2.5, 9.0));
    assert!(table.texts("status").iter().all(|s| *s == "done"));

    // The flank is pressed over the width of the pin that is inside: full from 2 r + clearance = 4.15 mm on. A step of
    // 0.167 mm below that adds at least 0.167 / 4.15 = 4 %. Above, the limit moves with the gate's share only: 0.2 % a
    // step, and once 0.45 % at 8.41 mm, where the pin line comes within one degree of square to the flank and the row
    // that steadies it comes in.
    let flank = table.numbers("limit_flank_of_the_notch_kn");
    for (i, pair) in flank.windows(2).enumerate() {
        let grows = pair[1] / pair[0] - 1.0;
        if depth[i + 1] < 4.15 {
            assert!(grows > 0.04, "at {} mm: {grows}", depth[i]);
        } else if depth[i] > 4.15 {
            assert!(grows.abs() < 0.007, "at {} mm: {grows}", depth[i]);
        }
    }
    // A pin that sits deeper does not ride out sooner.
    let riding = table.numbers("limit_pin_riding_out_of_the_notch_kn");
    assert!(riding.windows(2).all(|w| w[1] >= w[0]), "{riding:?}");
    let root = table.numbers("limit_root_of_the_nose_kn");
    assert!(root.windows(2).all(|w| w[1] < w[0]), "{root:?}");

    // The forecast is the lowest of the limits that end the pull.
    let ends_nothing = ["limit_nose_pin_bent_kn", "limit_hinge_pin_bent_kn"];
    let mut lowest = table.numbers("opens_at_kn");
    for column in
        table.header.iter().filter(|h| h.starts_with("limit_") && !ends_nothing.contains(&h.as_str()))
    {
        for (low, value) in lowest.iter_mut().zip(table.numbers(column)) {
            *low = low.min(value);
        }
    }
    let forecast = table.numbers("peak_kn");
    for (f, low) in forecast.iter().zip(&lowest) {
        assert!((f / low - 1.0).abs() < 1e-4, "{f} is not {low}");
    }
    // Rising on the lip while its pin needs flank to bed in on, flat on the gate's lug, then falling on the root; it changes
    // where the computed limits cross.
    let parts = ["lip of the notch", "gate, torn out at the hinge pin", "root of the nose"];
    let limits =
        ["limit_lip_of_the_notch_kn", "limit_gate_torn_out_at_the_hinge_pin_kn", "limit_root_of_the_nose_kn"]
            .map(|column| table.numbers(column));
    let first = table.texts("fails_first");
    let part_of = |row: usize| parts.iter().position(|part| *part == first[row]).unwrap();
    assert_eq!((part_of(0), part_of(39)), (0, 2), "{first:?}");
    for row in 1..first.len() {
        let (before, after) = (part_of(row - 1), part_of(row));
        assert!(
            limits[before][row - 1] <= limits[after][row - 1] && limits[after][row] <= limits[before][row]
        );
    }
    let begins = parts.map(|part| first.iter().position(|p| *p == part).unwrap());
    assert!(first[begins[2]..].iter().all(|p| *p == parts[2]), "{first:?}");
    let [_, lug, switch] = begins;
    assert!((2.75..3.75).contains(&depth[lug]) && (6.0..7.0).contains(&depth[switch]), "{first:?}");
    assert!(forecast[0] < 0.7 * forecast[lug], "{forecast:?}");
    assert!((forecast[switch - 1] / forecast[lug] - 1.0).abs() < 0.04, "{forecast:?}");
    assert!(forecast[39] < 0.8 * forecast[switch - 1]);
    for words in
        ["the lip of the notch fails first", "the root of the nose fails first, and the forecast falls"]
    {
        assert!(ran.out.contains(words), "{}", ran.out);
    }
    assert!(ran.out.contains("accredited laboratory") && ran.out.contains("8000 unknowns"), "{}", ran.out);

    let png = fs::read(folder.path().join("s/sweep.png")).unwrap();
    assert_eq!(u32::from_be_bytes(png[16..20].try_into().unwrap()), 1600);
    let svg = fs::read_to_string(folder.path().join("s/sweep.svg")).unwrap();
    assert!(svg.contains("root of the nose fails first") && svg.contains("accredited laboratory"));
    let about = about(&folder.path().join("s"));
    assert_eq!((about["points"].as_u64(), about["failed"].as_u64()), (Some(40), Some(0)));
    assert!(about["caution"].as_str().unwrap().contains("accredited"));
}

const SMALL: [&str; 6] =
    ["sweep", "broadbar-alu", "--vary", "rig.both.offset_mm=-18..18:7", "--vary", "nose.notch_depth_mm=5,7"];

fn about(folder: &Path) -> serde_json::Value {
    serde_json::from_slice(&fs::read(folder.join("sweep.json")).unwrap()).unwrap()
}

fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all: Vec<(String, Vec<u8>)> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .map(|p| (p.file_name().unwrap().to_str().unwrap().to_owned(), fs::read(&p).unwrap()))
        .collect();
    all.sort();
    all
}

#[test]
fn the_same_bytes_on_any_number_of_threads_and_after_a_stop() {
    let folder = tempdir().unwrap();
    for (name, threads) in [("one", 1), ("two", 2)] {
        let ran = run_with_threads(folder.path(), &[&SMALL[..], &["--out", name]].concat(), threads);
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
    let whole = files(&folder.path().join("one"));
    assert_eq!(
        whole.iter().map(|f| f.0.as_str()).collect::<Vec<_>>(),
        ["sweep.csv", "sweep.json", "sweep.png", "sweep.rows", "sweep.svg"]
    );
    assert!(whole == files(&folder.path().join("two")), "one and two threads differ");

    follows("sweep", &about(&folder.path().join("one")));

    // Failures are rows: the outermost straps do not fit beside the corners.
    let table = Table::read(&folder.path().join("one/sweep.csv"));
    assert_eq!(table.texts("point"), (0..14).map(|i| i.to_string()).collect::<Vec<_>>());
    let status = table.texts("status");
    assert_eq!(status.iter().filter(|s| **s == "failed").count(), 4, "{status:?}");
    assert!(table.texts("reason")[0].contains("allowed: -21.5 to 21.5 mm"), "{}", table.texts("reason")[0]);

    // A sweep that was stopped in the middle of a line: what is whole is kept, the rest is computed.
    let inputs = serde_json::from_slice::<serde_json::Value>(&whole[1].1).unwrap();
    let header = serde_json::json!({ "inputs": inputs["inputs"], "sweep": inputs["sweep"] });
    let stopped = folder.path().join("stopped");
    fs::create_dir(&stopped).unwrap();
    let part = |rows: &str| format!("{}{rows}", checked(&header.to_string()));
    let kept = checked("{\"point\":3,\"outcome\":{\"failed\":\"kept from before\"}}");
    // A digit that was changed on the disk: the line is whole, and its check tells.
    let damaged = checked("{\"point\":5,\"outcome\":{\"failed\":\"sound\"}}").replace("sound", "wound");
    fs::write(stopped.join("sweep.part"), part(&format!("{kept}{damaged}{{\"point\":4,\"outc"))).unwrap();
    // The stop may as well have come between two of the files that are written at the end.
    fs::write(stopped.join("sweep.csv"), "half of the end").unwrap();
    let ran = run(folder.path(), &[&SMALL[..], &["--out", "stopped"]].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("1 of the 14 points."), "{}", ran.out);
    let again = Table::read(&stopped.join("sweep.csv"));
    assert_eq!(again.texts("reason")[3], "kept from before", "the finished point is not computed again");
    for (i, (a, b)) in again.rows.iter().zip(&table.rows).enumerate() {
        assert!(i == 3 || a == b, "row {i} differs");
    }
    assert!(!stopped.join("sweep.part").exists());
}

#[test]
fn a_finished_sweep_answers_at_once_and_a_changed_one_is_refused() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("s");
    let words = [&SMALL[..], &["--out", "s"]].concat();
    let first = run(folder.path(), &words);
    assert_eq!(first.code, 0, "{}", first.err);
    let whole = files(&out);

    // The rows are read, not computed: one that says something else is told as it stands.
    let rows = fs::read_to_string(out.join("sweep.rows")).unwrap();
    // The first points may have failed.
    let first_peak = || {
        let table = Table::read(&out.join("sweep.csv"));
        table.texts("peak_kn").into_iter().find(|text| !text.is_empty()).unwrap().to_owned()
    };
    let computed = first_peak();
    let marked = rows.replacen("\"peak_kn\":", "\"peak_kn\":9", 1);
    assert_ne!(rows, marked);
    let marked = marked.lines().map(|line| checked(line.rsplit_once('\t').unwrap().0));
    fs::write(out.join("sweep.rows"), marked.collect::<String>()).unwrap();
    let ran = run(folder.path(), &words);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        ran.out.contains("Kept from an earlier run: all 14 points; nothing was computed anew"),
        "{}",
        ran.out
    );
    assert_eq!(first_peak(), format!("9{computed}"));
    assert!(out.join("sweep.png").exists() && !out.join("sweep.part").exists());

    // Begun anew it is computed again, to the same bytes; nothing says that anything was kept.
    let ran = run(folder.path(), &[&words[..], &["--restart"]].concat());
    assert!(ran.code == 0 && ran.out == first.out, "{ran:?}");
    assert!(files(&out) == whole);

    // Rows that were cut off are kept as far as they go.
    fs::write(out.join("sweep.rows"), &rows[..rows.len() / 2]).unwrap();
    let ran = run(folder.path(), &words);
    assert!(ran.out.contains("Taken up from an earlier run: ") && files(&out) == whole, "{}", ran.out);

    // A change of what is set, of the mesh or of the model is another sweep, even in the same words.
    for more in [&["--set", "rig.load_kn=9"][..], &["--mesh-size", "2"]] {
        let words = [&words[..], more].concat();
        refused(folder.path(), &words, &["the finished sweep of", "of another model, --set", "--restart"]);
    }
    let other = ["sweep", "broadbar-steel"];
    refused(folder.path(), &[&other[..], &words[2..]].concat(), &["of another model", "--out"]);
    assert!(files(&out) == whole, "a refusal changes nothing");
}

#[test]
fn another_sweep_in_the_folder_is_left_as_it_is() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("s");
    fs::create_dir(&out).unwrap();
    let other = "{\"inputs\":\"0123456789ab\",\"sweep\":\"rig.load_kn 1 to 9 kN, 9 points\"}\n";
    fs::write(out.join("sweep.part"), other).unwrap();
    let words = ["sweep", "oval", "--vary", "rig.gate=closed,open", "--out", "s"];
    refused(folder.path(), &words, &["unfinished sweep of rig.load_kn 1 to 9 kN", "--restart"]);
    assert_eq!(fs::read_to_string(out.join("sweep.part")).unwrap(), other);
    assert_eq!(run(folder.path(), &[&words[..], &["--restart"]].concat()).code, 0);
    let finished = fs::read(out.join("sweep.csv")).unwrap();
    let changed = ["sweep", "oval", "--vary", "rig.gate=open,closed", "--out", "s"];
    refused(folder.path(), &changed, &["the finished sweep of rig.gate closed, open"]);
    assert_eq!(fs::read(out.join("sweep.csv")).unwrap(), finished);
    assert!(!out.join("sweep.part").exists(), "a refusal leaves nothing");
    assert_eq!(run(folder.path(), &words).code, 0, "the same sweep may be run again");
    assert_eq!(fs::read(out.join("sweep.csv")).unwrap(), finished);
}

#[test]
fn slips_are_refused_before_anything_is_written() {
    let folder = tempdir().unwrap();
    let at = folder.path();
    let vary = |values: &str, says: &[&str]| {
        refused(at, &["sweep", "oval", "--vary", values], says);
    };
    vary("nose.notch_dept_mm=2..3:4", &["no model file has", "did you mean nose.notch_depth_mm?"]);
    vary("nose=2..3:4", &["found a table"]);
    vary("nose.notch_depth_mm=3..3:4", &["the range is empty"]);
    vary("nose.notch_depth_mm=3..4:0", &["at least 2 points"]);
    vary("nose.notch_depth_mm=3..4:1", &["at least 2 points"]);
    vary("nose.notch_depth_mm=3..4", &["number of points"]);
    vary("nose.notch_depth_mm=3..400:4", &["allowed: 0.3 to 30 mm"]);
    vary("nose.notch_depth_mm=3 kN,4", &["a force"]);
    vary("rig.gate=shut,open", &["found \"shut\"; allowed: closed, half, open"]);
    // A metal that no list has is a slip, not a point that fails; both are told at once.
    vary(
        "material.frame=7075-T6,cheese",
        &["found \"7075-T6\"; allowed: ", "mean 7075-t6?", "found \"cheese\""],
    );
    vary("rig.load_kn=1..2:100001", &["found 100001 points", "--yes"]);
    vary("rig.load_kn=1..2:99999999999", &["99999999999 points", "use fewer"]);
    vary("title=a,b", &["title: found a key that changes nothing: it is a name"]);
    vary("rig.engaged_mm=1,2", &["changes nothing: the gate is not half shut", "add --set rig.gate=half"]);
    let two = |a: &str, b: &str, says: &[&str]| {
        refused(at, &["sweep", "oval", "--vary", a, "--vary", b], says);
    };
    two("rig.both.offset_mm=1,2", "rig.lower.offset_mm=1,2", &["rig.lower.offset_mm: found this key twice"]);
    two("rig.load_kn=1..2:1000", "rig.friction=0..1:1000", &["found 1000000 points"]);
    // All at once, the model's own mistakes among them.
    let words = [
        "sweep",
        "oval",
        "--vary",
        "rig.loud_kn=1,2",
        "--vary",
        "nose.tip_mm=9..9:3",
        "--vary",
        "rig.gate=open",
        "--set",
        "rig.friction=7",
    ];
    refused(at, &words, &["3 keys", "rig.load_kn?", "is empty", "at least 2 values", "rig.friction"]);
    refused(at, &["sweep", "oval"], &["--vary"]);
    assert_eq!(fs::read_dir(at).unwrap().count(), 0, "nothing is written");
}

#[test]
fn a_sweep_without_a_single_point_says_why_and_keeps_the_reasons() {
    let folder = tempdir().unwrap();
    let words = ["sweep", "oval", "--vary", "rig.both.offset_mm=100,120", "--out", "s", "--restart"];
    // Pictures of a sweep that was thrown away do not stay beside the table of this one.
    fs::create_dir(folder.path().join("s")).unwrap();
    for old in ["sweep.png", "sweep.svg"] {
        fs::write(folder.path().join("s").join(old), "old").unwrap();
    }
    refused(folder.path(), &words, &["none of the 2 points", "rig.both.offset_mm"]);
    let table = Table::read(&folder.path().join("s/sweep.csv"));
    assert_eq!(table.texts("status"), ["failed", "failed"]);
    follows("sweep", &about(&folder.path().join("s")));
    assert!(files(&folder.path().join("s")).iter().all(|f| !f.0.ends_with("png") && !f.0.ends_with("svg")));
    assert!(table.texts("reason").iter().all(|r| !r.is_empty()));
}

#[test]
fn a_part_that_gives_long_before_the_end_is_in_sentence_table_and_csv() {
    let folder = tempdir().unwrap();
    let gate = ["sweep", "broadbar-alu", "--set", "nose.lip_on=gate", "--vary", "rig.gate=closed,half,open"];
    let ran = run(folder.path(), &[&gate[..], &["--out", "s"]].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    let table = Table::read(&folder.path().join("s/sweep.csv"));
    let (gives, ends) = (table.numbers("fails_at_kn"), table.numbers("peak_kn"));
    assert!(gives[0] < 0.6 * ends[0] && gives[1] < 0.6 * ends[1], "{gives:?} {ends:?}");
    for (part, at) in [("gate behind its notch", gives[0]), ("lip of the notch", gives[1])] {
        let words = format!("the {part} fails first, at {at:.1} kN; the open hook still holds");
        assert!(ran.out.contains(&words), "`{words}` is missing in:\n{}", ran.out);
    }
    assert!(ran.out.contains("open: the frame opens, and the forecast"), "{}", ran.out);
    let row = ran.out.lines().find(|l| l.starts_with("closed ")).unwrap();
    assert!(row.contains(&format!("{:.2}", gives[0])), "{row}");
}

#[cfg(unix)]
#[test]
fn a_stopped_sweep_says_what_it_keeps() {
    stopped_by("-INT", "Stopped: ");
    stopped_by("-TERM", "Terminated: ");
}

#[cfg(unix)]
fn stopped_by(signal: &str, word: &str) {
    use std::process::{Command, Stdio};
    use std::time::{Duration, Instant};
    let folder = tempdir().unwrap();
    let words = ["sweep", "broadbar-alu", "--vary", "nose.notch_depth_mm=2.5..9:2000", "--out", "s"];
    let mut command = Command::new(pullmap_tests::binary::path());
    command.args(words).current_dir(folder.path()).stdin(Stdio::null());
    let child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let part = folder.path().join("s/sweep.part");
    let lines = || fs::read_to_string(&part).map_or(0, |text| text.lines().count());
    let began = Instant::now();
    while lines() < 4 {
        assert!(began.elapsed() < Duration::from_secs(60), "no point is finished");
        std::thread::sleep(Duration::from_millis(20));
    }
    assert!(Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap().success());
    let ended = child.wait_with_output().unwrap();
    let told = String::from_utf8(ended.stderr).unwrap();
    assert_eq!(ended.status.code(), Some(2), "{told}");
    let kept =
        told.strip_prefix(word).and_then(|t| t.split_once(" of 2000 points are kept in s;")).unwrap().0;
    // One that was being written may be kept beside those told, on each of the threads.
    let kept: usize = kept.parse().unwrap();
    let whole = fs::read_to_string(&part).unwrap().matches('\n').count() - 1;
    assert!(kept >= 2 && whole >= kept && whole < 2000, "{kept} told, {whole} kept");
    assert!(told.contains("the same command goes on"), "{told}");
}

#[test]
fn words_of_a_kind_are_swept_without_a_size() {
    let folder = tempdir().unwrap();
    let words =
        ["sweep", "oval", "--vary", "rig.both.kind=strap,bar", "--vary", "rig.load_kn=5,10", "--out", "s"];
    let ran = run(folder.path(), &words);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("Note: bench bars of 12 mm are taken, since"), "{}", ran.out);
    let gate = run(folder.path(), &["sweep", "oval", "--vary", "rig.gate=closed,half,open", "--out", "g"]);
    assert!(gate.out.contains("engaged half way into the notch is taken"), "{}", gate.out);
    assert_eq!(Table::read(&folder.path().join("g/sweep.csv")).texts("status"), ["done"; 3]);
    let about = about(&folder.path().join("s"));
    assert_eq!(about["assumed"][0], "bench bars of 12 mm are taken, since rig.both.diameter_mm is not given");
    follows("sweep", &about);
}
