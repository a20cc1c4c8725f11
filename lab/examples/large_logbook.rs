//! Makes a logbook of many invented pulls, to be measured with: `large_logbook FILE [PULLS]`, 20,000 unless told otherwise. Every second
//! pull has a forecast, every tenth an amendment, every fifth a trace.

use lab::logbook::package::{Content, FORMAT, Package, PackagedForecast, PackagedPull, PackagedResult};
use lab::logbook::peak::Peak;
use lab::logbook::{
    Amendment, Field, Filter, Forecast, Logbook, LogbookError, NamedFile, Plan, Pulled, Sound,
};
use std::io::{Error, Write, stdout};
use std::path::Path;
use std::time::Instant;

const AT: &str = "2026-05-03T14:05:00Z";

fn pull(place: usize, traces: &[Content]) -> Result<PackagedPull, Error> {
    let entered = format!("{}.{}", 18 + place % 9, place % 10);
    let peak = Peak::read(&entered).map_err(|_| Error::other("no peak"))?;
    let trace = traces
        .get(place % (5 * traces.len()))
        .map(|content| NamedFile { name: format!("pull-{place}.csv"), sha256: Some(content.sha256.clone()) });
    let corrected = Amendment {
        recorded_at: AT.to_owned(),
        field: Field::Peak,
        old: Some(entered),
        new: Some("21.05".to_owned()),
        why: "read again".to_owned(),
    };
    let forecast = Forecast {
        p5_kn: 18.0,
        p50_kn: 21.0,
        p95_kn: 24.0,
        first: "hinge pin, sheared".to_owned(),
        program: "0.1.0".to_owned(),
        inputs: "0123456789ab".to_owned(),
        calibration: None,
    };
    let mut pull = PackagedPull {
        uid: format!("{place:032x}"),
        recorded_at: AT.to_owned(),
        plan: Plan {
            sample: format!("ring {}", place % 400),
            kind: Some("Broad bar of the trapeze".to_owned()),
            marked_closed_kn: Some(if place.is_multiple_of(3) { 22.0 } else { 20.0 }),
            upper: Some("strap".to_owned()),
            upper_size_mm: Some(12.0),
            lower: Some("strap".to_owned()),
            lower_size_mm: Some(12.0),
            gate: Some(["closed", "open"][place % 2].to_owned()),
            rig: Some("bench in the tent".to_owned()),
            ..Plan::default()
        },
        forecast: place
            .is_multiple_of(2)
            .then(|| PackagedForecast { recorded_at: AT.to_owned(), told: forecast }),
        result: Some(PackagedResult {
            recorded_at: AT.to_owned(),
            told: Pulled {
                pulled_on: format!("20{:02}-{:02}-{:02}", 20 + place % 7, 1 + place % 12, 1 + place % 28),
                peak,
                outcome: Some(["broke", "opened", "strap broke", "stopped"][place % 4].to_owned()),
                place: Some("hinge pin".to_owned()),
                photo: None,
                remark: Some("Loud. The gate lay four metres off.".to_owned()),
                trace,
            },
        }),
        amendments: if place.is_multiple_of(10) { vec![corrected] } else { Vec::new() },
        withdrawn: None,
        sha256: String::new(),
    };
    pull.sha256 = pull.hash();
    Ok(pull)
}

fn told(error: &LogbookError) -> Error {
    Error::other(error.to_string())
}

fn main() -> Result<(), Error> {
    let mut words = std::env::args().skip(1);
    let file = words.next().ok_or_else(|| Error::other("large_logbook FILE [PULLS]"))?;
    let count: usize = words.next().map_or(Ok(20_000), |count| count.parse()).map_err(Error::other)?;
    let traces: Vec<Content> = (0..100_u32)
        .map(|trace| {
            Content::of(
                (0..2000)
                    .map(|row| format!("{row},{}\n", (row * (trace + 1)) % 977))
                    .collect::<String>()
                    .into_bytes(),
            )
        })
        .collect();
    let mut contents = traces.clone();
    contents.sort_by(|one, other| one.sha256.cmp(&other.sha256));
    let package = Package {
        format: FORMAT.to_owned(),
        pulls: (0..count).map(|place| pull(place, &traces)).collect::<Result<_, _>>()?,
        contents,
        caution: String::new(),
    };
    let bytes = serde_json::to_vec(&package)?;
    let began = Instant::now();
    let sound =
        Sound::read(&bytes, "large.json", &|_| true).map_err(|error| Error::other(format!("{error:?}")))?;
    let read_s = began.elapsed().as_secs_f64();
    let mut logbook = Logbook::write(Path::new(&file)).map_err(|error| told(&error))?;
    let began = Instant::now();
    logbook.import(&sound).map_err(|error| told(&error))?;
    let import_s = began.elapsed().as_secs_f64();
    let filter = Filter { marking_kn: Some(22.0), gate: Some("closed".to_owned()), ..Filter::default() };
    let began = Instant::now();
    let found = logbook.pulls(&filter).map_err(|error| told(&error))?.len();
    let query_s = began.elapsed().as_secs_f64();
    writeln!(
        stdout(),
        "{count} pulls, package of {} MB: read in {read_s:.2} s, taken in in {import_s:.2} s; {found} found by a filter in {query_s:.3} s",
        bytes.len() / 1_000_000
    )
}
