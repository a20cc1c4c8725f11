//! Files of load cells in the layouts and with the traps that loggers are known for, each with what it must read.

use crate::traces::{Made, Style, latin_1, utf_16};
use lab::force_unit::ForceUnit;
use lab::trace::Asked;

/// Commas, a decimal point.
pub const PLAIN: Style = Style { separator: ',', comma: false, thousands: None, end: "\n" };
/// Semicolons, a decimal comma.
pub const GERMAN: Style = Style { separator: ';', comma: true, thousands: None, end: "\r\n" };

/// A file and what it must read.
#[derive(Debug)]
pub struct Case {
    /// What it is called.
    pub name: String,
    /// The file.
    pub bytes: Vec<u8>,
    /// What is asked with it.
    pub asked: Asked,
    /// The pull that it was made of.
    pub made: Made,
    /// Unit in kN and digits behind the mark, as the loads were written.
    pub written: (f64, usize),
    /// Samples a second that must be found; nothing where no clock is there.
    pub hz: Option<f64>,
}

/// A pull of its own peak and zero.
#[must_use]
pub fn made(hz: f64, seed: u64) -> Made {
    Made { hz, peak_kn: 21.0 + 0.37 * (seed % 11) as f64, zero_kn: 0.09 * (seed % 5) as f64, seed }
}

/// Rows of time and load.
#[must_use]
pub fn rows(
    made: Made,
    style: Style,
    (one, digits): (f64, usize),
    time: impl Fn(usize, f64) -> String,
) -> Vec<Vec<String>> {
    made.samples()
        .iter()
        .enumerate()
        .map(|(i, (t, kn))| vec![time(i, *t), style.number(kn / one, digits)])
        .collect()
}

fn clock_of(t: f64, from: u32) -> String {
    let whole = from + t as u32;
    format!("{:02}:{:02}:{:02}", whole / 3600 % 24, whole / 60 % 60, whole % 60)
}

/// All of them: a hundred and more.
#[must_use]
pub fn cases() -> Vec<Case> {
    let mut all: Vec<Case> = Vec::new();
    let mut seed = 0;
    let mut add =
        |name: String, asked: Asked, made: Made, written: (f64, usize), hz: Option<f64>, bytes: Vec<u8>| {
            all.push(Case { name, bytes, asked, made, written, hz });
        };
    let units = [
        ("kN", 1.0, 3),
        ("N", 1e-3, 0),
        ("daN", 1e-2, 1),
        ("lbf", ForceUnit::Lbf.kn(), 1),
        ("kg", ForceUnit::Kgf.kn(), 1),
        ("kip", ForceUnit::Klbf.kn(), 4),
    ];
    // A plain table, every unit, every rate.
    for (unit, one, digits) in units {
        for hz in [10.0, 25.0, 40.0, 100.0, 250.0, 640.0] {
            seed += 1;
            let m = made(hz, seed);
            let head = format!("time_s,force_{unit}");
            let text = PLAIN.table(
                &[&head],
                rows(m, PLAIN, (one, digits), |_, t| format!("{t:.5}")).into_iter(),
                &[],
            );
            add(
                format!("table {unit} {hz}"),
                Asked::default(),
                m,
                (one, digits),
                Some(hz),
                text.into_bytes(),
            );
        }
    }
    // Semicolons and decimal commas, in every encoding.
    let table = |m: Made| {
        GERMAN.table(
            &["Zeit [s];Kraft [N];Stück"],
            rows(m, GERMAN, (1e-3, 1), |_, t| GERMAN.number(t, 4)).into_iter().map(|mut r| {
                r.push("1".to_owned());
                r
            }),
            &[],
        )
    };
    for hz in [10.0, 80.0] {
        for encoding in 0..6 {
            seed += 1;
            let m = made(hz, seed);
            let text = table(m);
            let bytes = match encoding {
                0 => text.into_bytes(),
                1 => [&[0xef, 0xbb, 0xbf], text.as_bytes()].concat(),
                2 => latin_1(&text),
                3 => utf_16(&text, false, true),
                4 => utf_16(&text, true, true),
                _ => utf_16(&text.replace('ü', "u"), false, false),
            };
            add(format!("comma {hz}, encoding {encoding}"), Asked::default(), m, (1e-3, 1), Some(hz), bytes);
        }
    }
    // A block of facts, then one bare column.
    for (k, (rate, hz)) in [
        ("Sample rate: 100 Hz", 100.0),
        ("Interval_ms = 12.5", 80.0),
        ("Abtastrate;40;Hz", 40.0),
        ("dt: 0.1 s", 10.0),
        ("Frequency: 1.28 kHz", 1280.0),
    ]
    .into_iter()
    .enumerate()
    {
        for comma in [false, true] {
            seed += 1;
            let m = made(hz, seed);
            let style = Style { comma, ..GERMAN };
            let above = [
                "Device: cell 7",
                "Serial: 4711",
                "Start: 2026-03-01 10:00:00",
                rate,
                "Unit: kgf",
                "Range: 5000 kgf",
                "",
            ];
            let one = ForceUnit::Kgf.kn();
            let text = style.table(
                &above,
                m.samples().iter().map(|s| vec![style.number(s.1 / one, 1)]),
                &["", "End of recording"],
            );
            add(format!("facts {k} {comma}"), Asked::default(), m, (one, 1), Some(hz), text.into_bytes());
        }
    }
    // A unit on each row, the interval on the first line; the unit changes on the way.
    for change in [false, true] {
        for hz in [10.0, 100.0] {
            seed += 1;
            let m = made(hz, seed);
            let interval = format!("{}", 1.0 / hz);
            let half = m.samples().len() / 2;
            let text = PLAIN.table(
                &[&interval, "2026-03-01"],
                m.samples().iter().enumerate().map(|(i, s)| {
                    let late = change && i > half;
                    let (load, unit) = if late { (s.1 / ForceUnit::Lbf.kn(), "lbf") } else { (s.1, "kN") };
                    vec![
                        format!("{load:+09.3}"),
                        unit.to_owned(),
                        format!("{:06.2}", 0.5 * s.0),
                        "mm".to_owned(),
                    ]
                }),
                &[],
            );
            let one = if change { ForceUnit::Lbf.kn() } else { 1.0 };
            add(
                format!("unit on each row {change} {hz}"),
                Asked::default(),
                m,
                (one, 3),
                Some(hz),
                text.into_bytes(),
            );
        }
    }
    // A clock of whole seconds.
    for (k, hz) in [10.0, 40.0, 80.0].into_iter().enumerate() {
        for (j, stamp) in ["", "2026-03-01 ", "01.03.2026 "].into_iter().enumerate() {
            seed += 1;
            let m = made(hz, seed);
            let style = if j == 2 { GERMAN } else { PLAIN };
            let from = if k == 1 { 86_390 } else { 36_000 };
            let text = style.table(
                &[if j == 2 { "Datum;Kraft [kN]" } else { "timestamp,load (kN)" }],
                rows(m, style, (1.0, 3), |_, t| format!("{stamp}{}", clock_of(t, from))).into_iter(),
                &[],
            );
            add(format!("whole seconds {k} {j}"), Asked::default(), m, (1.0, 3), Some(hz), text.into_bytes());
        }
    }
    // Dates of a spreadsheet, several channels.
    for hz in [10.0, 40.0] {
        seed += 1;
        let m = made(hz, seed);
        let text = GERMAN.table(
            &["Zeit;Temp [°C];Kraft [kN];Weg [mm]"],
            m.samples().iter().map(|s| {
                vec![
                    GERMAN.number(46_082.4 + s.0 / 86_400.0, 9),
                    GERMAN.number(21.5, 1),
                    GERMAN.number(s.1, 3),
                    GERMAN.number(s.0, 2),
                ]
            }),
            &[],
        );
        add(format!("sheet dates {hz}"), Asked::default(), m, (1.0, 3), Some(hz), text.into_bytes());
    }
    // Raw counts, their scale in the file or asked for.
    for asked in [false, true] {
        seed += 1;
        let m = made(80.0, seed);
        let above: &[&str] =
            if asked { &["raw"] } else { &["counts_per_kN: 4123.5", "offset: 8388", "rate: 80", "raw"] };
        let text = PLAIN.table(
            above,
            m.samples().iter().map(|s| vec![format!("{:.0}", 8388.0 + 4123.5 * s.1)]),
            &[],
        );
        let asked = if asked {
            Asked {
                counts_per_unit: Some(4123.5),
                zero_counts: Some(8388.0),
                unit: Some(ForceUnit::KN),
                rate_hz: Some(80.0),
                ..Asked::default()
            }
        } else {
            Asked::default()
        };
        let one = 1.0 / 4123.5;
        add(format!("counts {}", asked.unit.is_some()), asked, m, (one, 0), Some(80.0), text.into_bytes());
    }
    // Two cells, one of them chosen; one that keeps its highest.
    seed += 1;
    let m = made(100.0, seed);
    let two = PLAIN.table(
        &["t,cell A,cell B,max A", "s,kN,kN,kN"],
        m.samples().iter().map(|s| {
            vec![
                format!("{:.2}", s.0),
                format!("{:.3}", 1.02 * s.1),
                format!("{:.3}", s.1),
                "99.9".to_owned(),
            ]
        }),
        &[],
    );
    for column in ["cell B", "3"] {
        let asked = Asked { column: Some(column.to_owned()), ..Asked::default() };
        add(format!("column {column}"), asked, m, (1.0, 3), Some(100.0), two.clone().into_bytes());
    }
    // Traps, one at a time.
    let plain = |m: Made, style: Style, unit: (f64, usize), head: &[&str], foot: &[&str]| {
        style.table(head, rows(m, style, unit, |_, t| style.number(t, 3)).into_iter(), foot)
    };
    let tab = Style { separator: '\t', ..PLAIN };
    // Name, style, lines above and below, unit in kN and digits.
    type Trap<'t> = (&'t str, Style, &'t [&'t str], &'t [&'t str], (f64, usize));
    let styles: [Trap<'_>; 13] = [
        ("carriage returns only", Style { end: "\r", ..PLAIN }, &["t_s,F_kN"], &[], (1.0, 3)),
        ("tabs", tab, &["Time\tForce", "s\tkN"], &[], (1.0, 3)),
        ("vertical bars", Style { separator: '|', ..PLAIN }, &["time (s)|force (kN)"], &[], (1.0, 3)),
        ("spaces", Style { separator: ' ', ..PLAIN }, &["# time_s force_kN"], &[], (1.0, 3)),
        ("no heading", PLAIN, &["Units: kN"], &[], (1.0, 3)),
        ("thousands with a point", Style { thousands: Some('.'), ..GERMAN }, &["t/s;F/N"], &[], (1e-3, 1)),
        ("thousands with a quote", Style { thousands: Some('\''), ..tab }, &["t/s\tF/N"], &[], (1e-3, 1)),
        (
            "thousands with a space",
            Style { thousands: Some('\u{a0}'), ..GERMAN },
            &["t/s;F/N"],
            &[],
            (1e-3, 1),
        ),
        ("thousands with a comma", Style { thousands: Some(','), ..tab }, &["t/s\tF/N"], &[], (1e-3, 1)),
        ("a foot", PLAIN, &["t_s,F_kN"], &["", "Maximum: 20 kN", "Minimum: 0 kN"], (1.0, 3)),
        ("a foot of cells", GERMAN, &["t [s];F [kN]"], &["Max;20,0", "Min;0,0"], (1.0, 3)),
        ("no unit but in a line", PLAIN, &["Unit,kN", "time,force"], &[], (1.0, 3)),
        ("whole numbers", PLAIN, &["t_s,F_N"], &[], (1e-3, 0)),
    ];
    for (name, style, head, foot, unit) in styles {
        seed += 1;
        let m = made(50.0, seed);
        add(
            name.to_owned(),
            Asked::default(),
            m,
            unit,
            Some(50.0),
            plain(m, style, unit, head, foot).into_bytes(),
        );
    }
    let head: &[&str] = &["t_s,F_kN"];
    let mut trap = |name: &str, hz: f64, change: &dyn Fn(String) -> String| {
        seed += 1;
        let m = made(hz, seed);
        let text = change(plain(m, PLAIN, (1.0, 3), head, &[]));
        add(name.to_owned(), Asked::default(), m, (1.0, 3), Some(hz), text.into_bytes());
    };
    trap("trailing commas", 50.0, &|t| t.replace('\n', ",\n"));
    trap("empty lines", 50.0, &|t| t.replace("\n5.", "\n\n5."));
    trap("no line end at the end", 50.0, &|t| t.trim_end().to_owned());
    trap("quoted", 50.0, &|t| t.lines().map(|l| format!("\"{}\"\n", l.replace(',', "\",\""))).collect());
    trap("negative tension", 50.0, &|t| {
        t.lines()
            .map(|l| match l.split_once(',') {
                Some((time, load)) if load.parse::<f64>().is_ok() => {
                    format!("{time},{:.3}\n", -load.parse::<f64>().unwrap())
                }
                _ => format!("{l}\n"),
            })
            .collect()
    });
    trap("written twice", 50.0, &|t| {
        t.lines()
            .enumerate()
            .flat_map(|(i, l)| vec![format!("{l}\n"); if i % 40 == 7 { 2 } else { 1 }])
            .collect()
    });
    trap("marks for nothing", 50.0, &|t| {
        t.lines()
            .enumerate()
            .map(|(i, l)| match l.split_once(',') {
                Some((time, _)) if i % 97 == 3 && i > 9 && i < 900 => format!("{time},----\n"),
                _ => format!("{l}\n"),
            })
            .collect()
    });
    trap("ringing after the break", 50.0, &|t| {
        t.lines()
            .enumerate()
            .map(|(i, l)| match l.split_once(',') {
                Some((time, _)) if time.parse::<f64>().is_ok_and(|s| s > 21.4 && s < 21.8) => {
                    format!("{time},{:.3}\n", if i % 2 == 0 { 1.9 } else { -1.7 })
                }
                _ => format!("{l}\n"),
            })
            .collect()
    });
    trap("slow, then fast", 100.0, &|t| {
        t.lines()
            .enumerate()
            .filter(|(i, l)| {
                *i == 0 || i % 10 == 1 || l.split(',').next().unwrap().parse::<f64>().is_ok_and(|s| s > 4.0)
            })
            .map(|(_, l)| format!("{l}\n"))
            .collect()
    });
    trap("a comment on the way", 50.0, &|t| t.replace("\n6.000,", "\n# pump on\n6.000,"));
    trap("milliseconds", 50.0, &|t| {
        t.lines()
            .enumerate()
            .map(|(i, l)| match l.split_once(',') {
                Some((time, load)) if i > 0 => {
                    format!("{:.0},{load}\n", 1000.0 * time.parse::<f64>().unwrap())
                }
                _ => "t_ms,F_kN\n".to_owned(),
            })
            .collect()
    });
    trap("an unnamed clock of milliseconds", 50.0, &|t| {
        t.lines()
            .enumerate()
            .map(|(i, l)| match l.split_once(',') {
                Some((time, load)) if i > 0 => {
                    format!("{:.0},{load}\n", 1000.0 * time.parse::<f64>().unwrap())
                }
                _ => "time,F_kN\n".to_owned(),
            })
            .collect()
    });
    trap("seconds since 1970", 50.0, &|t| {
        t.lines()
            .enumerate()
            .map(|(i, l)| match l.split_once(',') {
                Some((time, load)) if i > 0 => {
                    format!("{:.3},{load}\n", 1_772_359_200.0 + time.parse::<f64>().unwrap())
                }
                _ => "timestamp,F_kN\n".to_owned(),
            })
            .collect()
    });
    trap("a second recording, chosen", 50.0, &|t| {
        format!("{}{t}", "t_s,F_kN\n0.0,1.0\n0.1,1.5\n0.2,99.0\n0.3,2.0\n")
    });
    all.iter_mut().filter(|c| c.name.contains("chosen")).for_each(|c| c.asked.part = Some(2));
    all
}
