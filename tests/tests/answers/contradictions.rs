//! A hunt for answers that contradict each other: drawn questions, put to the real binary, their answers parsed. A direction
//! that is told agrees with its numbers, a place with the friction, a cause's load with a forecast of its keys, a percentage
//! with what it is of, and no headline speaks of a load above what holds. `PULLMAP_QUESTIONS=300` asks more than a test has
//! time for, `PULLMAP_FROM=1000` others.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use pullmap_tests::binary::{Ran, run};
use pullmap_tests::draws::Draws;
use pullmap_tests::trial::extent;
use rayon::prelude::*;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

const MODELS: [&str; 5] = ["broadbar-alu", "broadbar-steel", "offset-d", "oval", "pear"];
/// An explanation takes ten times as long as the others.
const COMMANDS: [&str; 11] = [
    "map", "map", "forecast", "forecast", "seats", "seats", "sweep", "sweep", "compare", "compare", "explain",
];
/// The friction that may be relied on is told to hundredths: what rounds to it is held.
const ROUNDED: f64 = 0.006;
const PLACES: [&str; 9] =
    ["spine", "lip", "nose pin", "hinge pin", "gate", "upper corner", "lower corner", "hinge", "nose"];
/// Two numbers printed to a tenth may stand so far apart and mean the same, kN.
const PRINTED_KN: f64 = 0.1;

/// Keys that are changed, and their ranges.
const CHANGED: [(&str, [f64; 2]); 12] = [
    ("rig.both.width_mm", [8.0, 26.0]),
    ("rig.both.offset_mm", [-9.0, 9.0]),
    ("rig.upper.offset_mm", [-9.0, 9.0]),
    ("rig.lower.offset_mm", [-9.0, 9.0]),
    ("rig.friction", [0.02, 0.5]),
    ("nose.notch_depth_mm", [2.5, 7.0]),
    ("nose.flank_angle_deg", [-4.0, 9.0]),
    ("nose.lip_height_mm", [2.0, 5.5]),
    ("nose.pin_diameter_mm", [2.0, 4.5]),
    ("nose.pin_clearance_mm", [0.0, 0.5]),
    ("hinge.pin_diameter_mm", [2.0, 5.0]),
    ("window.inside_length_mm", [60.0, 95.0]),
];

struct Asked<'a> {
    folder: &'a Path,
    index: u64,
    model: &'static str,
    sets: Vec<String>,
}

impl Asked<'_> {
    /// What a command prints and the numbers that it writes beside: those that `--json` prints.
    fn answer(&self, command: &str, sets: &[String], more: &[&str]) -> Result<(Ran, Value), Ran> {
        let out = format!("{command}-{}", self.index);
        let ran = self.run_with(command, sets, &[more, &["--out", &out]].concat());
        if ran.code != 0 {
            return Err(ran);
        }
        let name = if command == "map" { "findings" } else { command };
        let numbers = fs::read_to_string(self.folder.join(out).join(format!("{name}.json"))).unwrap();
        Ok((ran, serde_json::from_str(&numbers).unwrap()))
    }

    fn run_with(&self, command: &str, sets: &[String], more: &[&str]) -> Ran {
        let mut words = vec![command, self.model];
        for set in sets {
            words.extend(["--set", set]);
        }
        words.extend(more);
        run(self.folder, &words)
    }

    fn json(&self, command: &str, sets: &[String], more: &[&str]) -> Option<Value> {
        let mut words = more.to_vec();
        words.push("--json");
        let ran = self.run_with(command, sets, &words);
        (ran.code == 0).then(|| serde_json::from_str(&ran.out).unwrap())
    }

    fn with(&self, more: &[String]) -> Vec<String> {
        self.sets.iter().chain(more).cloned().collect()
    }
}

fn asked(index: u64, folder: &Path) -> (Asked<'_>, &'static str, Draws) {
    let mut d = Draws::of(index + 77);
    let model = *d.one(&MODELS);
    let mut sets: Vec<String> = Vec::new();
    for _ in 0..(d.unit() * 3.0) as usize {
        let (key, [low, high]) = *d.one(&CHANGED);
        sets.push(format!("{key}={:.2}", d.between(low, high)));
    }
    match d.unit() {
        x if x < 0.15 => sets.push("rig.gate=open".to_owned()),
        x if x < 0.35 => {
            sets.extend(["rig.gate=half".to_owned(), format!("rig.engaged_mm={:.2}", d.between(0.3, 4.0))]);
        }
        _ => {}
    }
    if d.chance(0.12) {
        sets.push("nose.lip_on=gate".to_owned());
    }
    if d.chance(0.15) {
        sets.extend([
            "rig.both.kind=bar".to_owned(),
            format!("rig.both.diameter_mm={:.1}", d.between(8.0, 12.0)),
        ]);
        sets.retain(|set| !set.contains("width_mm"));
    }
    // From a load that takes nothing up to one far beyond all.
    if d.chance(0.7) {
        sets.push(format!("rig.load_kn={:.2}", 0.05 * 800.0_f64.powf(d.unit())));
    }
    let command = *d.one(&COMMANDS);
    (Asked { folder, index, model, sets }, command, d)
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn words<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} in {value}"))
}

/// The number that begins a text; a sign and blanks before it do not matter.
fn first_number(text: &str) -> Option<f64> {
    let text = text.trim_start();
    let end = text.find(|c: char| !(c.is_ascii_digit() || ".+-".contains(c))).unwrap_or(text.len());
    text[..end].trim_end_matches('.').parse().ok()
}

/// The number after each place where words stand.
fn numbers_after(text: &str, before: &str) -> Vec<f64> {
    text.match_indices(before).filter_map(|(at, _)| first_number(&text[at + before.len()..])).collect()
}

/// Notes what does not agree.
#[derive(Default)]
struct Found(Vec<String>);

impl Found {
    fn unless(&mut self, holds: bool, what: impl FnOnce() -> String) {
        if !holds {
            self.0.push(what());
        }
    }

    fn near(&mut self, what: &str, a: f64, b: f64, apart: f64) {
        self.unless((a - b).abs() <= apart, || format!("{what}: {a} and {b}"));
    }
}

fn map(asked: &Asked<'_>, found: &mut Found) {
    let (ran, map) = match asked.answer("map", &asked.sets, &[]) {
        Ok(answer) => answer,
        Err(ran) => return refused(&ran, found),
    };
    let (load, share) = (number(&map, "load_kn"), &map["share"]);
    let (gate, spine, fraction) =
        (number(share, "gate_kn"), number(share, "spine_kn"), number(share, "gate_fraction"));
    found.near("gate and spine against the load", gate + spine, load, 1e-6 * load);
    found.near("the gate's share", fraction * load, gate, 1e-6 * load);
    let text = ran.out.as_str();
    for told in numbers_after(text, "the gate carries ") {
        found.near("the gate as entered", told, gate, 0.051);
    }
    let gate_engages = share["gate_engages_at_kn"].as_f64();
    if text.contains("carries nothing yet") {
        found.unless(gate_engages.is_some_and(|kn| kn >= 0.999 * load), || {
            format!("nothing yet at {load}, from {gate_engages:?}")
        });
    } else if let Some(kn) = gate_engages {
        found.unless(kn <= 1.001 * load || gate < 1e-3 * load, || {
            format!("engages at {kn}, carries {gate} at {load}")
        });
    }
    let friction = friction(asked);
    for (end, name) in
        [("upper", "The upper load stays put only"), ("lower", "The lower load stays put only")]
    {
        let needed = number(&map["rig"][end], "friction_needed");
        // Beside the limit the rounding of the friction decides.
        if (needed - friction).abs() > ROUNDED {
            found.unless((needed > friction) == text.contains(name), || {
                format!("{end}: friction {needed} of {friction}")
            });
        }
    }
    let Some(forecast) = asked.json("forecast", &asked.sets, &[]) else {
        return found.0.push("a map without a forecast".to_owned());
    };
    if let (Some(a), Some(b)) = (map["first_yield_kn"].as_f64(), forecast["first_yield_kn"].as_f64()) {
        found.near("first yield of map and forecast", a, b, 1e-3 * a);
    }
    let (ends, gives) = (number(&forecast, "peak_kn"), number(&forecast, "fails_at_kn"));
    let beyond = map["beyond"].as_array().unwrap();
    if load > 1.05 * ends.max(gives) {
        found.unless(!beyond.is_empty() && text.contains("Before "), || {
            format!("no word at {load} beyond {ends}")
        });
    }
    if load < 0.95 * gives {
        found.unless(beyond.is_empty(), || format!("{beyond:?} at {load}, and all hold to {gives}"));
    }
}

/// The friction that the question may rely on.
fn friction(asked: &Asked<'_>) -> f64 {
    let set = asked.sets.iter().rev().find_map(|set| set.strip_prefix("rig.friction="));
    set.map_or(0.2, |text| text.parse().unwrap())
}

fn refused(ran: &Ran, found: &mut Found) {
    let told = ["allowed", "no meaning", "does not hold", "fits", "told to no purpose"];
    found.unless(ran.code == 2 && ran.out.is_empty(), || format!("code {} and {}", ran.code, ran.out));
    found.unless(told.iter().any(|word| ran.err.contains(word)), || {
        format!("refused without a way: {}", ran.err)
    });
    found.unless(!ran.err.contains("panicked"), || ran.err.clone());
}

fn forecast(asked: &Asked<'_>, found: &mut Found) {
    let (ran, told) = match asked.answer("forecast", &asked.sets, &[]) {
        Ok(answer) => answer,
        Err(ran) => return refused(&ran, found),
    };
    let text = ran.out.as_str();
    let (ends, gives) = (number(&told, "peak_kn"), number(&told, "fails_at_kn"));
    let range = &told["range_kn"];
    let [low, middle, high] = ["p5", "p50", "p95"].map(|key| number(range, key));
    found.unless(low <= middle && middle <= high, || format!("{range}"));
    found.unless(gives <= ends + 1e-9, || format!("gives at {gives} and ends at {ends}"));
    let headline = text.lines().nth(3).unwrap_or_default();
    for (what, wanted) in [(" at ", ends), ("(", low), (" to ", high)] {
        let number = numbers_after(headline, what).first().copied().unwrap_or(f64::NAN);
        found.near(headline, number, wanted, 0.051);
    }
    let chances: f64 = told["chances"].as_array().unwrap().iter().map(|c| number(c, "chance")).sum();
    found.unless(chances <= 1.001, || format!("chances add up to {chances}"));
    // What fails first is the lowest of what ends a pull.
    let limits = told["limits"].as_array().unwrap();
    let first = words(&told, "fails_first");
    let ending = limits.iter().filter(|l| !["yields", "bends"].contains(&words(l, "kind")));
    let lowest = ending
        .filter_map(|l| l["at_kn"].as_f64().map(|kn| (kn, words(l, "what"))))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((kn, what)) = lowest {
        found.unless(what == first || (kn - gives).abs() < 1e-6, || {
            format!("{first} first at {gives}, {what} at {kn}")
        });
        found.near("what fails first in list and headline", kn, gives, 1e-6 * gives.max(1.0));
    }
    let at: Vec<f64> = limits.iter().filter_map(|l| l["at_kn"].as_f64()).collect();
    found.unless(at.is_sorted(), || format!("limits out of order: {at:?}"));
    if let Some(against) = told["against_marking"].as_object() {
        let ratio = against["ratio"].as_f64().unwrap();
        found.near("times the marking", ratio * against["marked_kn"].as_f64().unwrap(), ends, 1e-6 * ends);
        found.unless((ratio >= 1.0) == text.contains("the forecast is not below that"), || {
            format!("ratio {ratio}")
        });
    }
    // Yield comes before a set that lasts, but where one of them supposes what the other does not.
    let (yields, bends) = (told["first_yield_kn"].as_f64(), number(&told, "bends_at_kn"));
    if let Some(yields) = yields.filter(|y| *y > 1.01 * bends && bends < gives) {
        found.0.push(format!("yields at {yields}, permanently bent at {bends}, gives at {gives}"));
    }
    for told in numbers_after(text, "is permanently bent.") {
        found.near("permanently bent", told, bends, 0.051);
    }
}

fn explain(asked: &Asked<'_>, d: &mut Draws, found: &mut Found) {
    let kn = format!("{:.1}", d.between(3.0, 24.0));
    let place = d.chance(0.7).then(|| *d.one(&PLACES));
    let mut more = vec!["--broke-at", kn.as_str()];
    more.extend(place.iter().flat_map(|place| ["--where", place]));
    let told = match asked.answer("explain", &asked.sets, &more) {
        Ok((_, told)) => told,
        Err(ran) => return refused(&ran, found),
    };
    let causes = told["causes"].as_array().unwrap();
    let likely: Vec<f64> = causes.iter().map(|c| number(c, "likelihood")).collect();
    let others = number(&told, "others_likelihood");
    let whole = likely.iter().sum::<f64>() + others;
    found.unless(causes.is_empty() || (whole - 1.0).abs() < 1e-3, || {
        format!("{kn} {place:?}: likelihoods {likely:?}, others {others}")
    });
    found.unless(likely.is_sorted_by(|a, b| a >= b), || format!("{kn} {place:?}: out of order {likely:?}"));
    let said = words(&told, "sentence");
    for percent in numbers_after(said, "Most likely (") {
        found.near(said, percent, 100.0 * likely[0], 0.51);
        found.unless(likely.get(1).is_none_or(|second| second < &(0.9 * likely[0])), || {
            format!("{kn} {place:?} no tie: {likely:?}")
        });
    }
    for cause in causes.iter().take(3) {
        // What no key makes (everything as entered within its forecast's scatter) has none.
        let Some(keys) = cause["keys"].as_array() else { continue };
        let keys: Vec<String> = keys.iter().map(|k| k.as_str().unwrap().to_owned()).collect();
        let Some(forecast) = asked.json("forecast", &asked.with(&keys), &[]) else {
            found.0.push(format!("{kn} {place:?}: no forecast with {keys:?}"));
            continue;
        };
        let gives = number(cause, "peak_kn");
        let apart = ["peak_kn", "fails_at_kn"].map(|key| (number(&forecast, key) - gives).abs());
        found.unless(apart[0].min(apart[1]) <= PRINTED_KN, || {
            format!(
                "{kn} {place:?}: {} gives {gives}, its forecast ends at {}",
                words(cause, "cause"),
                forecast["peak_kn"]
            )
        });
    }
    for marking in told["marking"].as_array().unwrap() {
        for rig in marking["reached_by"].as_array().unwrap() {
            let up_to = number(rig, "up_to_kn");
            let within =
                up_to >= number(marking, "marked_kn") - 1e-9 && up_to <= number(marking, "highest_kn") + 1e-9;
            found.unless(within, || format!("{marking}"));
        }
    }
}

fn seats(asked: &Asked<'_>, found: &mut Found) {
    let (ran, told) = match asked.answer("seats", &asked.sets, &[]) {
        Ok(answer) => answer,
        Err(ran) => return refused(&ran, found),
    };
    let friction = number(&told, "friction");
    let rows: Vec<&Value> =
        ["resting_places", "places"].iter().flat_map(|key| told[*key].as_array().unwrap()).collect();
    let drawn: f64 = rows.iter().filter_map(|row| row["share_of_starting_places"].as_f64()).sum();
    found.unless(drawn <= 1.001, || format!("{drawn} of all starting places"));
    for row in &rows {
        let needed = row["friction_needed"]
            .as_array()
            .unwrap()
            .iter()
            .map(|f| f.as_f64().unwrap())
            .fold(0.0, f64::max);
        let (held, name) = (row["held"].as_bool().unwrap(), words(row, "name"));
        if (needed - friction).abs() > ROUNDED {
            found.unless(held == (needed < friction), || {
                format!("{name}: held {held}, friction {needed} of {friction}")
            });
        }
        found.unless(held || words(row, "footing") != "held", || format!("{name}: held and not held"));
    }
    // One row again, as a forecast.
    if let Some(row) = rows.iter().find(|row| row["forecast"].is_object()) {
        let offsets = ["upper", "lower"]
            .map(|end| format!("rig.{end}.offset_mm={}", number(row, &format!("{end}_mm"))));
        match asked.json("forecast", &asked.with(&offsets), &[]) {
            Some(forecast) => {
                let (a, b) = (number(&row["forecast"], "peak_kn"), number(&forecast, "peak_kn"));
                found.near(&format!("{} in seats and forecast", words(row, "name")), a, b, 1e-3 * a);
            }
            None => found.0.push(format!("{} has no forecast of its own", words(row, "name"))),
        }
    }
    // "cut strength here, by 53 %" against the two loads that follow.
    let text = ran.out.as_str();
    let cut = numbers_after(text, "cut strength here, by ");
    let holds: Vec<f64> = text
        .split("At its weakest resting place")
        .skip(1)
        .flat_map(|rest| {
            numbers_after(rest, " strap holds ").into_iter().chain(numbers_after(rest, " mm strap "))
        })
        .collect();
    if let ([percent], [narrow, wide, ..]) = (cut.as_slice(), holds.as_slice()) {
        let (low, high) = if narrow < wide { (narrow, wide) } else { (wide, narrow) };
        // Both loads are rounded to tenths, the percentage to ones.
        let apart = 0.5 + 5.0 * (1.0 / high + low / (high * high));
        found.near("cut of strength", *percent, 100.0 * (1.0 - low / high), apart);
        found.unless(
            (text.contains("Narrow straps cut ") || text.contains("Narrow straps can cut "))
                == (narrow < wide),
            || format!("{narrow} and {wide}"),
        );
    }
}

fn sweep(asked: &Asked<'_>, d: &mut Draws, found: &mut Found) {
    let (key, [low, high]) = *d.one(&CHANGED);
    let points = 4 + (d.unit() * 6.0) as usize;
    let vary = format!("{key}={low}..{high}:{points}");
    let out = format!("sweep-{}", asked.index);
    let sets: Vec<String> = asked.sets.iter().filter(|set| !set.starts_with(key)).cloned().collect();
    let ran = asked.run_with("sweep", &sets, &["--vary", &vary, "--out", &out]);
    if ran.code == 2 {
        return refused(&ran, found);
    }
    let told: Value =
        serde_json::from_str(&fs::read_to_string(asked.folder.join(&out).join("sweep.json")).unwrap())
            .unwrap();
    let says = words(&told, "says");
    for (way, sign) in [("rises", 1.0), ("falls", -1.0)] {
        for part in says.split(&format!(" {way} from ")).skip(1) {
            let from = first_number(part).unwrap();
            let to = part.split(" to ").nth(1).and_then(first_number).unwrap();
            found.unless(sign * (to - from) > 0.0, || format!("{vary}: {way} from {from} to {to}"));
            let by =
                part.split(" kN").nth(1).and_then(|rest| rest.strip_prefix(", by ")).and_then(first_number);
            if let Some(by) = by {
                // Both loads are rounded to tenths, the percentage to ones.
                let apart = 0.5 + 5.0 * (1.0 / from + to / (from * from));
                found.near(&format!("{vary}: {says}"), by, 100.0 * (to / from - 1.0).abs(), apart);
            }
        }
    }
    // The table has what the sentence has.
    let table = fs::read_to_string(asked.folder.join(&out).join("sweep.csv")).unwrap();
    let head: Vec<&str> = table.lines().next().unwrap().split(',').collect();
    let column = |name: &str| head.iter().position(|h| *h == name).unwrap();
    for line in table.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        if cells[column("status")] != "done" {
            continue;
        }
        let cell = |name: &str| cells[column(name)].parse::<f64>().unwrap_or(f64::NAN);
        let load = cell("gate_kn") + cell("spine_kn");
        found.near(
            &format!("{vary}: share in a row"),
            cell("gate_fraction") * load,
            cell("gate_kn"),
            1e-5 * load,
        );
        found.unless(cell("fails_at_kn") <= cell("peak_kn") * (1.0 + 1e-4), || format!("{vary}: {line}"));
    }
}

fn compare(asked: &Asked<'_>, d: &mut Draws, found: &mut Found) {
    let (key, [low, high]) = *d.one(&CHANGED);
    let [a, b] = [(); 2].map(|()| format!("{:.2}", d.between(low, high)));
    let vary = format!("{key}={a},{b}");
    let sets: Vec<String> = asked.sets.iter().filter(|set| !set.starts_with(key)).cloned().collect();
    let told = match asked.answer("compare", &sets, &["--vary", &vary]) {
        Ok((_, told)) => told,
        Err(ran) => return refused(&ran, found),
    };
    let variants = told["variants"].as_array().unwrap();
    for (variant, value) in variants.iter().zip([&a, &b]) {
        let mut with = sets.clone();
        with.push(format!("{key}={value}"));
        let (Some(map), Some(forecast)) = (asked.json("map", &with, &[]), asked.json("forecast", &with, &[]))
        else {
            found.0.push(format!("{vary}: compared, and not mapped or forecast"));
            continue;
        };
        found.near(
            &format!("{vary}: share"),
            number(variant, "gate_fraction"),
            number(&map["share"], "gate_fraction"),
            1e-6,
        );
        found.near(&format!("{vary}: end"), number(variant, "peak_kn"), number(&forecast, "peak_kn"), 1e-6);
        found.unless(variant["fails_first"] == forecast["fails_first"], || {
            format!("{vary}: {variant} {forecast}")
        });
    }
    for (difference, pair) in told["differences"].as_array().unwrap().iter().zip(variants.windows(2)) {
        let by = number(&pair[1], "peak_kn") - number(&pair[0], "peak_kn");
        found.near(&format!("{vary}: difference"), number(difference, "peak_kn"), by, 1e-6);
        let said = words(difference, "sentence").replace('\u{a0}', " ");
        let percent = |v: &Value| (100.0 * number(v, "gate_fraction")).round();
        for told in numbers_after(&said, "the gate carries ") {
            found.near(&said, told, percent(&pair[1]), 0.5);
        }
        for told in numbers_after(&said, "the gate still carries ") {
            found.near(&said, told, percent(&pair[0]), 0.5);
        }
        let gives = [0, 1].map(|i| number(&pair[i], "fails_at_kn"));
        let at = numbers_after(&said, ", at ");
        if let Some(first) = at.first() {
            found.near(&said, *first, gives[1], 0.051);
        }
    }
}

#[test]
fn the_numbers_beside_an_answer_are_those_that_are_printed() {
    let folder = tempdir().unwrap();
    for (command, more) in [
        ("map", &[][..]),
        ("forecast", &[]),
        ("seats", &[]),
        ("compare", &["--vary", "nose.notch_depth_mm=4,8"]),
    ] {
        let sets = ["rig.both.offset_mm=2".to_owned(), "rig.load_kn=9".to_owned()];
        let asked = Asked { folder: folder.path(), index: 0, model: "oval", sets: sets.to_vec() };
        let (_, written) =
            asked.answer(command, &sets, more).unwrap_or_else(|ran| panic!("{command}: {}", ran.err));
        assert_eq!(asked.json(command, &sets, more), Some(written), "{command}");
    }
}

#[test]
fn no_two_answers_contradict_each_other() {
    let from_environment =
        |name: &str, default: u64| std::env::var(name).map_or(default, |v| v.parse().unwrap());
    let from = from_environment("PULLMAP_FROM", 0);
    let questions = from_environment("PULLMAP_QUESTIONS", extent(16, 60));
    let folder = tempdir().unwrap();
    let wrong: Vec<String> = (from..from + questions)
        .into_par_iter()
        .flat_map_iter(|index| {
            let (asked, command, mut d) = asked(index, folder.path());
            let mut found = Found::default();
            match command {
                "map" => map(&asked, &mut found),
                "forecast" => forecast(&asked, &mut found),
                "explain" => explain(&asked, &mut d, &mut found),
                "seats" => seats(&asked, &mut found),
                "sweep" => sweep(&asked, &mut d, &mut found),
                _ => compare(&asked, &mut d, &mut found),
            }
            let question = format!("{index}: {command} {} {:?}", asked.model, asked.sets);
            found.0.into_iter().map(move |what| format!("{question}: {what}")).collect::<Vec<_>>()
        })
        .collect();
    assert!(wrong.is_empty(), "{} contradictions:\n{}", wrong.len(), wrong.join("\n"));
}
