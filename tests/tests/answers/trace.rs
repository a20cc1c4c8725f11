//! Files of load cells in the layouts and with the traps that loggers are known for: each reading is that of the pull it was made of, and
//! what is broken is refused with its reason.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use lab::force_unit::ForceUnit;
use lab::trace::clock::Clock;
use lab::trace::number::Decimal;
use lab::trace::pull::{AtLeast, Ending, Pull};
use lab::trace::recording::{Found, Recording, read};
use lab::trace::{Asked, TraceError};
use pullmap_tests::binary::run;
use pullmap_tests::schemas::follows;
use pullmap_tests::trace_cases::{Case, GERMAN, PLAIN, cases, made, rows};
use pullmap_tests::traces::Made;
use serde_json::Value;
use std::fs;
use tempfile::tempdir;

fn recording(bytes: &[u8], asked: &Asked) -> Result<Recording, TraceError> {
    match read(bytes, asked)? {
        Found::Recording(recording) => Ok(*recording),
        Found::Peaks(peaks) => panic!("peaks: {peaks:?}"),
    }
}

#[test]
fn every_layout_gives_the_pull_that_it_was_made_of() {
    let cases = cases();
    assert!(cases.len() >= 100, "{}", cases.len());
    let mut wrong = Vec::new();
    for case in &cases {
        if let Err(why) = check(case) {
            wrong.push(format!("{}: {why}", case.name));
        }
    }
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), cases.len(), wrong.join("\n"));
}

/// What is wrong with the reading of a case.
fn check(case: &Case) -> Result<(), String> {
    let found = recording(&case.bytes, &case.asked).map_err(|e| format!("{e:?}"))?;
    let channel = &found.channels[0];
    let pull = Pull::of(&found, channel);
    let must =
        |holds: bool, what: &str, value: String| if holds { Ok(()) } else { Err(format!("{what}: {value}")) };
    let (one, digits) = case.written;
    let near = |a: f64, b: f64, by: f64| (a - b).abs() <= by;
    let peak = case.made.read_kn(one, digits);
    must(near(pull.peak.read_kn, peak, 1e-9 * peak), "peak", format!("{} of {peak}", pull.peak.read_kn))?;
    let zero = pull.quiet.as_ref().map_err(|e| format!("{e:?}"))?.zero_kn;
    let sign = if channel.turned { -1.0 } else { 1.0 };
    must(near(sign * zero, case.made.zero_kn * sign, 1e-3 * peak), "zero", zero.to_string())?;
    let hz = pull.steps.map(|s| 1.0 / s.0);
    must(
        match (hz, case.hz) {
            (Some(is), Some(wanted)) => near(is / wanted, 1.0, 0.02),
            (is, wanted) => is == wanted,
        },
        "rate",
        format!("{hz:?}, {:?}", found.clock),
    )?;
    must(pull.at_least.is_empty(), "lower bound", format!("{:?}", pull.at_least))?;
    let Ending::Broke { from_kn, .. } = pull.ending else { return Err(format!("{:?}", pull.ending)) };
    must(near(from_kn / pull.peak.kn, 1.0, 5e-3), "break", from_kn.to_string())?;
    must(pull.slips.len() == 1, "slips", format!("{:?}", pull.slips))?;
    let slip = pull.slips[0];
    let top = case.made.peak_kn;
    must(
        near(slip.from_kn / top, 0.38, 0.012) && near(slip.to_kn / top, 0.35, 0.012),
        "slip",
        format!("{slip:?}"),
    )?;
    must(pull.holds.len() == 1, "holds", format!("{:?}", pull.holds))?;
    let hold = pull.holds[0];
    must(near(hold.kn / top, 0.39, 4e-3) && near(hold.seconds, 3.0, 0.3), "hold", format!("{hold:?}"))?;
    let kink = pull.engagement.ok_or("no kink")?;
    must(near(kink.kn / top, 0.08, 0.012), "kink", format!("{kink:?}"))?;
    let knee = pull.knee.ok_or("no knee")?;
    must(near(knee.kn / top, 0.79, 0.03), "knee", format!("{knee:?}"))?;
    Ok(())
}

#[test]
fn what_a_cell_cannot_measure_makes_the_peak_a_lower_bound() {
    let m = made(50.0, 3);
    let text = |load: &dyn Fn(f64) -> String, above: &[&str]| {
        PLAIN.table(above, m.samples().iter().map(|s| vec![format!("{:.3}", s.0), load(s.1)]), &[])
    };
    let of = |text: &str| {
        let found = recording(text.as_bytes(), &Asked::default()).unwrap();
        Pull::of(&found, &found.channels[0])
    };
    let over = of(&text(&|kn| if kn > 20.0 { "OL".to_owned() } else { format!("{kn:.3}") }, &["t_s,F_kN"]));
    assert!(matches!(over.at_least[..], [AtLeast::Over { lines, .. }] if lines > 50), "{:?}", over.at_least);
    let flat = of(&text(&|kn| format!("{:.3}", kn.min(20.0)), &["t_s,F_kN"]));
    assert!(matches!(flat.at_least[..], [AtLeast::Flat { samples }] if samples > 50), "{:?}", flat.at_least);
    let range = of(&text(&|kn| format!("{:.3}", kn.min(20.0)), &["Range: 20 kN", "t_s,F_kN"]));
    assert!(range.at_least.contains(&AtLeast::AtRange { range_kn: 20.0 }), "{:?}", range.at_least);
}

/// A pull to 22 kN at 50 samples a second, in newtons, whose row each test may write otherwise.
fn pulled(head: &str, row: impl Fn(usize, f64, f64) -> Option<String>) -> String {
    let load = |t: f64| if (2.0..10.0).contains(&t) { 2750.0 * (t - 2.0) } else { 0.0 };
    let rows = (0..600).filter_map(|i| row(i, 0.02 * i as f64, load(0.02 * i as f64)));
    rows.fold(format!("{head}\n"), |text, row| text + &row + "\n")
}

#[test]
fn error_codes_are_no_loads_and_at_the_peak_it_is_a_lower_bound() {
    let with = |code: &str, at: &[usize]| {
        let text = pulled("t_s,F_N", |i, t, load| {
            Some(format!("{t:.2},{}", if at.contains(&i) { code.to_owned() } else { format!("{load:.0}") }))
        });
        let found = recording(text.as_bytes(), &Asked::default()).unwrap();
        let pull = Pull::of(&found, &found.channels[0]);
        (found.channels[0].codes.clone(), pull)
    };
    for (code, at) in [
        ("-999", vec![20, 300]),
        ("9999", vec![20, 200, 580]),
        ("99999", vec![300]),
        ("32767", vec![20, 300, 301]),
        ("-32768", vec![20, 300]),
        ("9999999", vec![20, 300]),
    ] {
        let (codes, pull) = with(code, &at);
        let lines: Vec<u32> = at.iter().map(|i| *i as u32 + 2).collect();
        assert_eq!(codes.len(), 1, "{code}");
        assert_eq!(codes[0].lines, lines, "{code}");
        assert!((pull.peak.kn - 21.945).abs() < 1e-9 && pull.at_least.is_empty(), "{code}: {:?}", pull.peak);
        assert!(pull.slips.is_empty() && pull.least_kn > -1e-9, "{code}: {:?}", pull.slips);
        let (_, pull) = with(code, &[20, 498, 499]);
        assert_eq!(pull.at_least, [AtLeast::Codes { line: 500 }], "{code}");
    }
    // The words name the lines.
    let folder = tempdir().unwrap();
    let text = pulled("t_s,F_N", |i, t, load| {
        Some(format!("{t:.2},{}", if i == 20 || i == 499 { -999.0 } else { load }))
    });
    fs::write(folder.path().join("codes.csv"), text).unwrap();
    let ran = run(folder.path(), &["trace", "codes.csv"]);
    for part in ["holds -999 on lines 22, 501", "left out", "the peak is a lower bound", "at least"] {
        assert!(ran.out.contains(part), "{part}: {}", ran.out);
    }
}

#[test]
fn samples_that_a_counter_leaves_out_at_the_peak_make_it_a_lower_bound() {
    let with = |head: &str, gone: std::ops::Range<usize>| {
        let text =
            pulled(head, |i, _, load| (!gone.contains(&i)).then(|| format!("{},{load:.0}", 3 * i + 7)));
        let found =
            recording(text.as_bytes(), &Asked { unit: Some(ForceUnit::N), ..Asked::default() }).unwrap();
        Pull::of(&found, &found.channels[0])
    };
    for head in ["sample,F_N", "Rate: 50 Hz\nsample,F_N"] {
        assert_eq!(with(head, 497..499).at_least, [AtLeast::Lost { samples: 2 }], "{head}");
        assert_eq!(with(head, 499..500).at_least, [AtLeast::Lost { samples: 1 }], "{head}");
        assert_eq!(with(head, 300..320).at_least, [], "{head}");
    }
    // Counted with them, times are right behind what was lost.
    assert!((with("Rate: 50 Hz\nsample,F_N", 300..320).peak.time_s.unwrap() - 9.98).abs() < 1e-9);
}

#[test]
fn quoted_commas_pages_and_clocks_that_run_together_give_the_same_pull() {
    let whole = pulled("t_s,F_N", |_, t, load| Some(format!("{t:.2},{load:.1}")));
    let of = |text: &str| {
        let found = recording(text.as_bytes(), &Asked::default()).unwrap();
        Pull::of(&found, &found.channels[0])
    };
    let plain = of(&whole);
    let quoted = pulled("t_s,F_N", |_, t, load| Some(format!("\"{t:.2}\",\"{load:.1}\"").replace('.', ",")));
    assert_eq!(of(&quoted).peak.kn.to_bits(), plain.peak.kn.to_bits());
    let pages = pulled("t_s,F_N", |i, t, load| {
        let head =
            if i > 0 && i % 60 == 0 { format!("Page {}\nt_s,F_N\n", i / 60 + 1) } else { String::new() };
        Some(format!("{head}{t:.2},{load:.1}"))
    });
    let paged = of(&pages);
    assert_eq!((paged.peak.kn, paged.peak.sample), (plain.peak.kn, plain.peak.sample));
    for from in [50_703.0, 86_395.0] {
        let clock = pulled("UTC,F_N", |_, t, load| {
            let s = (from + 10.0 * t) % 86_400.0;
            let together =
                format!("{:02}{:02}{:05.2}", (s / 3600.0) as u32, (s / 60.0) as u32 % 60, s % 60.0);
            Some(format!("{together},{load:.1}"))
        });
        let pull = of(&clock);
        assert!(
            (pull.peak.time_s.unwrap() - 99.8).abs() < 1e-6 && pull.steps.unwrap().1 == 0,
            "{:?}",
            pull.steps
        );
    }
}

/// Trials of a stranger, each with what went wrong.
#[test]
fn what_went_wrong_once_does_not_again() {
    let of = |text: &str| -> Result<Pull, TraceError> {
        let found = recording(text.as_bytes(), &Asked::default())?;
        Ok(Pull::of(&found, &found.channels[0]))
    };
    let rows = |head: &str, many: u32, row: &dyn Fn(u32) -> String| {
        format!("{head}\n{}", (0..many).map(|i| row(i) + "\n").collect::<String>())
    };
    let ramp = |t: f64| if (2.0..10.0).contains(&t) { 2.75 * (t - 2.0) } else { 0.0 };
    // A slow beginning is no zero.
    let toe = |t: f64| match t {
        t if t < 8.0 => 0.0,
        t if t < 38.0 => 0.03 * (t - 8.0),
        t if t < 48.0 => 0.9 + 2.0 * (t - 38.0),
        _ => 0.0,
    };
    let pull = of(&rows("t_s,F_kN", 5200, &|i| {
        format!(
            "{:.2},{:.3}",
            0.01 * f64::from(i),
            toe(0.01 * f64::from(i)) + 0.02 * (f64::from(i * 7 % 11) / 5.0 - 1.0)
        )
    }))
    .unwrap();
    assert!(pull.quiet.as_ref().unwrap().zero_kn.abs() < 0.02 && pull.quiet.unwrap().tares.is_empty());
    // A display at 4 Hz, logged at 100: no zero on the way up, and a bound by its own rate.
    let pull = of(&rows("t_s,F_kN", 1200, &|i| {
        format!("{:.2},{:.2}", 0.01 * f64::from(i), ramp(0.25 * f64::from(i / 25)))
    }))
    .unwrap();
    assert!(pull.quiet.unwrap().zero_kn.abs() < 1e-9);
    assert!(
        matches!(pull.missed, lab::trace::pull::Missed::Ramp { kn, .. } if kn > 0.6),
        "{:?}",
        pull.missed
    );
    // Lines that are missing at the peak, a higher load by the device: lower bounds.
    let gap =
        rows("t_s,F_kN", 600, &|i| format!("{:.2},{:.3}", 0.02 * f64::from(i), ramp(0.02 * f64::from(i))));
    let gap: String = gap
        .lines()
        .enumerate()
        .filter(|(i, _)| !(430..520).contains(i))
        .map(|(_, l)| format!("{l}\n"))
        .collect();
    assert!(matches!(of(&gap).unwrap().at_least[..], [AtLeast::Gap { seconds }] if seconds > 1.7));
    let whole =
        rows("t_s,F_kN", 600, &|i| format!("{:.2},{:.3}", 0.02 * f64::from(i), ramp(0.02 * f64::from(i))));
    assert!(
        matches!(of(&format!("{whole}Max: 24.5 kN\n")).unwrap().at_least[..], [AtLeast::Device { kn }] if kn == 24.5)
    );
    for head in ["Max speed: 200 mm/min", "Max. Temp 23.5", "Time range: 20 s", "Low pass frequency: 5 Hz"] {
        let pull = of(&format!("{head}\n{whole}")).unwrap();
        assert!(pull.at_least.is_empty() && pull.device.is_none(), "{head}: {:?}", pull.at_least);
    }
    // Times of many kinds; one that is not known is asked and makes no list of peaks.
    for stamp in [
        |t: f64| format!("00:{t:05.2}"),
        |t: f64| format!("11:00:{t:06.3} AM"),
        |t: f64| format!("3-Mar-2026 11:00:{t:06.3}"),
        |t: f64| format!("2026-03-02T11:00:{t:06.3}+02:00"),
    ] {
        let pull = of(&rows("Time,F_kN", 600, &|i| {
            format!("{},{:.3}", stamp(0.02 * f64::from(i)), ramp(0.02 * f64::from(i)))
        }))
        .unwrap();
        assert!((pull.peak.time_s.unwrap() - 9.98).abs() < 0.03, "{:?}", pull.peak);
    }
    let unknown = rows("Time,F_kN", 600, &|i| format!("1:2:3:4:{i},{:.3}", ramp(0.02 * f64::from(i))));
    assert!(matches!(of(&unknown), Err(TraceError::UnknownTime { line: 2, .. })), "{:?}", of(&unknown));
    // Samples of a coarse clock are all kept.
    let coarse = rows("t_s,F_kN", 1200, &|i| {
        format!("{:.1},{:.1}", (0.1 * f64::from(i)).floor() / 10.0, ramp(0.01 * f64::from(i)))
    });
    let found = recording(coarse.as_bytes(), &Asked::default()).unwrap();
    assert_eq!((found.repeated, found.channels[0].kn.len()), (0, 1200));
    // A disturbed sample is told as one.
    let spike = rows("t_s,F_kN", 600, &|i| {
        format!("{:.2},{:.3}", 0.02 * f64::from(i), if i == 300 { 61.3 } else { ramp(0.02 * f64::from(i)) })
    });
    assert!(of(&spike).unwrap().disturbance.is_some_and(|d| (d.others_kn - 21.9).abs() < 0.1));
    // Recordings with units of their own; loads that are none.
    let parts = format!(
        "Unit: lbf\n{}Unit: kN\n{}",
        rows("t_s,F", 60, &|i| format!("{i},{}", 10 * i)),
        rows("t_s,F", 60, &|i| format!("{i},{:.1}", 0.3 * f64::from(i)))
    );
    let second = recording(parts.as_bytes(), &Asked { part: Some(2), ..Asked::default() }).unwrap();
    assert!((second.channels[0].kn[59] - 17.7).abs() < 1e-9, "{:?}", second.channels[0].unit);
    for still in ["0", "-0.010", "-0.011"] {
        assert!(matches!(
            of(&rows("t_s,F_kN", 100, &|i| format!("{i},{still}"))),
            Err(TraceError::NoPull { .. })
        ));
    }
    // Counts are counts where their scale is asked for.
    let asked = Asked {
        counts_per_unit: Some(100.0),
        unit: Some(ForceUnit::KN),
        rate_hz: Some(10.0),
        ..Asked::default()
    };
    let counts = rows("value", 300, &|i| format!("{:.0}", 100.0 * ramp(0.05 * f64::from(i))));
    assert!(
        (recording(counts.as_bytes(), &asked).unwrap().channels[0].kn.iter().fold(0.0_f64, |m, v| m.max(*v))
            - 21.86)
            .abs()
            < 0.1
    );
    // Cycles that go down as they came up do not slip, and are told as several rises.
    let cycles = rows("t_s,F_kN", 3000, &|i| {
        let t = 0.02 * f64::from(i);
        format!("{t:.2},{:.3}", if t < 1.0 { 0.0 } else { 9.0 - 9.0 * (2.0 * (t - 1.0)).cos() })
    });
    let pull = of(&cycles).unwrap();
    assert!(pull.slips.is_empty() && pull.rises > 10, "{:?} {}", pull.slips, pull.rises);
}

#[test]
fn a_tare_on_the_way_is_told_and_the_zero_behind_it_counts() {
    let m = made(50.0, 5);
    let text = PLAIN.table(
        &["t_s,F_kN"],
        m.samples()
            .iter()
            .map(|s| vec![format!("{:.3}", s.0), format!("{:.3}", if s.0 < 1.5 { s.1 + 0.6 } else { s.1 })]),
        &[],
    );
    let found = recording(text.as_bytes(), &Asked::default()).unwrap();
    let quiet = Pull::of(&found, &found.channels[0]).quiet.unwrap();
    assert!((quiet.tares[0].1 + 0.6).abs() < 0.02 && (quiet.zero_kn - m.zero_kn).abs() < 0.02, "{quiet:?}");
}

#[test]
fn a_list_of_peaks_is_told_from_a_curve() {
    let text = "id;peak;unit;note\nA-1;24,1;kN;ok\nA-2;5400;lbf;strap\nA-3;23,0;kN;\n";
    let Found::Peaks(peaks) = read(text.as_bytes(), &Asked::default()).unwrap() else { panic!() };
    let told: Vec<(&str, f64)> = peaks.iter().map(|p| (p.name.as_str(), (1000.0 * p.kn).round())).collect();
    assert_eq!(told, [("A-1", 24_100.0), ("A-2", 24_020.0), ("A-3", 23_000.0)]);
}

#[test]
fn what_a_file_leaves_open_is_asked_and_not_guessed() {
    type Wanted = fn(&TraceError) -> bool;
    let table = |head: &str, row: &str| {
        format!("{head}\n{}", (0..30).map(|i| row.replace('#', &i.to_string()) + "\n").collect::<String>())
    };
    let cases: Vec<(String, Wanted)> = vec![
        (table("time_s,force", "#,1.5"), |e| matches!(e, TraceError::NoUnit { column } if column == "force")),
        (
            table("a;b;c", "1.5;2.#;3.5"),
            |e| matches!(e, TraceError::WhichLoad { columns } if columns.len() == 3),
        ),
        (table("F_N", "12.345"), |e| matches!(e, TraceError::TwoWays { line: 2, .. })),
        (table("t,F_kN", "0,#,1,5"), |e| matches!(e, TraceError::CommaTwice { columns: 2, .. })),
        (table("t_s,raw", "#,8390"), |e| matches!(e, TraceError::NoScale { column } if column == "raw")),
        (
            format!("{}{}", table("t_s,F_kN", "#,1.5"), table("t_s,F_kN", "#,1.5")),
            |e| matches!(e, TraceError::SeveralParts { lines } if lines == &[2, 33]),
        ),
        (table("t_s,F_kN", "#,1.5").replace("\n20,", "\n2,"), |e| {
            matches!(e, TraceError::TimeGoesBack { line: 22, .. })
        }),
        (table("t_s,F_kN", "#,1.5").replace("\n20,1.5", "\n20,1.5x"), |e| {
            matches!(e, TraceError::BadCell { line: 22, .. })
        }),
        (table("t_s,F_kN", "#,1.5").replace("\n20,1.5", "\n20"), |e| {
            matches!(e, TraceError::OtherLength { line: 22, .. })
        }),
        (table("t_s,F_kN", "#,1234567"), |e| matches!(e, TraceError::NotALoad { line: 2, .. })),
        (table("Unit: lbf\nt_s,F_kN", "#,1.5"), |e| matches!(e, TraceError::TwoUnits { line: 1, .. })),
        ("22.4\n21.9\n23.1\n22.6\n20.8\n".to_owned(), |e| *e == TraceError::PeaksOrCurve { values: 5 }),
        ("no;F_kN\n1;22.4\n2;21.9\n3;23.1\n".to_owned(), |e| *e == TraceError::PeaksOrCurve { values: 3 }),
        ("only words\nand more\n".to_owned(), |e| *e == TraceError::NoValues),
        ("t_s,F_kN\n0,1.5\n".to_owned(), |e| *e == TraceError::TooFew { found: 1 }),
        (table("t_s,F_kN", "#,----"), |e| matches!(e, TraceError::AllMissing | TraceError::NoLoad { .. })),
    ];
    for (text, wanted) in cases {
        match read(text.as_bytes(), &Asked::default()) {
            Err(error) if wanted(&error) => {}
            other => panic!("{text}\n{other:?}"),
        }
    }
    // What was asked for settles it.
    let two_ways: String =
        "F_N\n".to_owned() + &(0..30).map(|i| format!("{}.005\n", 100 + 10 * i)).collect::<String>();
    for (decimal, kn) in [(Decimal::Point, 0.100_005), (Decimal::Comma, 100.005)] {
        let asked = Asked { decimal: Some(decimal), ..Asked::default() };
        assert!((recording(two_ways.as_bytes(), &asked).unwrap().channels[0].kn[0] - kn).abs() < 1e-12);
    }
}

#[test]
fn two_hundred_broken_files_give_a_reason_or_the_right_peak() {
    let m = made(20.0, 9);
    let style = GERMAN;
    let whole = style.table(
        &["Zeit [s];Kraft [kN]"],
        rows(m, style, (1.0, 3), |_, t| style.number(t, 3)).into_iter(),
        &[],
    );
    let peak = m.read_kn(1.0, 3);
    let lines: Vec<&str> = whole.lines().collect();
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    let mut draw = |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 33) as usize % below
    };
    let (mut refused, mut read_right) = (0, 0);
    for k in 0..200 {
        let at = 1 + draw(lines.len() - 1);
        let cut = whole.char_indices().map(|c| c.0).nth(draw(whole.len() - 1)).unwrap_or(0);
        let put = |line: &str| {
            let mut broken = lines.clone();
            broken[at] = line;
            broken.join("\r\n").into_bytes()
        };
        let bytes = match k % 10 {
            0 => put("12,5;;;;9"),
            1 => put("abc;def"),
            2 => put("12.5.5;3"),
            3 => put("1,0;99999999"),
            4 => [&whole.as_bytes()[..cut], &[0, 1, 2], &whole.as_bytes()[cut..]].concat(),
            5 => (0..draw(4000)).map(|_| draw(256) as u8).collect(),
            6 => whole.replace("[kN]", "").into_bytes(),
            7 => put("0,001;1,0"),
            8 => whole.replace(';', ",").into_bytes(),
            _ => put("5"),
        };
        match read(&bytes, &Asked::default()) {
            Err(_) => refused += 1,
            Ok(Found::Recording(found)) => {
                // The broken line may be the last, or that of the peak: all else is as it was.
                let pull = Pull::of(&found, &found.channels[0]);
                let samples = m.samples();
                let without = samples
                    .iter()
                    .enumerate()
                    .filter(|(i, _)| i + 1 != at)
                    .map(|(_, s)| (1e3 * s.1).round() / 1e3);
                let without = without.fold(0.0, f64::max);
                assert!(
                    [peak, without].iter().any(|p| (pull.peak.read_kn - p).abs() < 1e-9),
                    "{k}: {} of {peak}",
                    pull.peak.read_kn
                );
                read_right += 1;
            }
            Ok(Found::Peaks(peaks)) => panic!("{k}: {peaks:?}"),
        }
    }
    assert!(refused >= 180, "{refused} refused, {read_right} read right");
}

#[test]
fn two_cells_on_one_pull_are_laid_over_each_other() {
    let folder = tempdir().unwrap();
    let write = |name: &str, m: Made, gain: f64, late: f64| {
        let text = PLAIN.table(
            &["t_s,F_kN"],
            m.samples()
                .iter()
                .map(|s| vec![format!("{:.4}", s.0), format!("{:.4}", gain * m.kn(s.0 + late))]),
            &[],
        );
        fs::write(folder.path().join(name), text).unwrap();
    };
    write("a.csv", made(100.0, 1), 1.0, 0.0);
    write("b.csv", Made { hz: 40.0, ..made(100.0, 1) }, 0.96, 1.23);
    let ran = run(folder.path(), &["trace", "a.csv", "b.csv", "--same-pull", "--json"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let told: Value = serde_json::from_str(&ran.out).unwrap();
    follows("trace", &told);
    let found = &told["agreement"];
    assert!((found["ratio"].as_f64().unwrap() - 0.96).abs() < 2e-3, "{found}");
    assert!((found["shift_s"].as_f64().unwrap() - 1.23).abs() < 0.02, "{found}");
    assert!(found["sentence"].as_str().unwrap().contains("4.0 % less"), "{found}");
    let one = run(folder.path(), &["trace", "a.csv", "--same-pull"]);
    assert_eq!((one.code, one.out.as_str()), (2, ""));
}

#[test]
fn the_binary_tells_what_it_understood_and_draws_the_pull() {
    let folder = tempdir().unwrap();
    let m = made(40.0, 4);
    let text = GERMAN.table(
        &["Zeit [s];Kraft [N]"],
        rows(m, GERMAN, (1e-3, 1), |_, t| GERMAN.number(t, 3)).into_iter(),
        &["Max;22500"],
    );
    fs::write(folder.path().join("pull 7.csv"), &text).unwrap();
    let ran = run(folder.path(), &["trace", "pull 7.csv", "--out", "o"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let peak = m.read_kn(1e-3, 1);
    for part in [
        "semicolons between the values, a decimal comma",
        "in N by the heading in line 1",
        "in seconds, by its heading",
        "Max",
        "accredited laboratory",
    ] {
        let part = if part == "Max" { "highest load by the device" } else { part };
        assert!(ran.out.contains(part), "{part}: {}", ran.out);
    }
    let told: Value = serde_json::from_slice(&fs::read(folder.path().join("o/trace.json")).unwrap()).unwrap();
    follows("trace", &told);
    let cell = &told["files"][0]["cells"][0];
    assert!((cell["peak_as_read_kn"].as_f64().unwrap() - peak).abs() < 1e-9);
    for name in ["trace.png", "trace.svg", "trace-phone.png", "trace-phone.svg"] {
        assert!(folder.path().join("o").join(name).is_file(), "{name}");
    }
    // All that is wrong with several files is told at once, and nothing is written.
    fs::write(folder.path().join("bad.csv"), "a,b\n1.5,2.5\n2.5,1.5\n3.5,1.5\n").unwrap();
    let ran = run(folder.path(), &["trace", "bad.csv", "none.csv", "pull 7.csv", "--out", "p"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("--column") && ran.err.contains("none.csv"), "{}", ran.err);
    assert!(!folder.path().join("p").exists());
}

#[test]
fn a_clock_that_was_rebuilt_says_so() {
    let case = cases().into_iter().find(|c| c.name.starts_with("whole seconds")).unwrap();
    let found = recording(&case.bytes, &case.asked).unwrap();
    assert!(
        matches!(found.clock, Clock::Rebuilt { hz, step_s, .. } if (hz - 10.0).abs() < 0.05 && step_s == 1.0),
        "{:?}",
        found.clock
    );
}
