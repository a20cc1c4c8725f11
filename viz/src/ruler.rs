//! The legend, drawn as a measuring ruler in MPa beside its colours, with the yield stress marked on it.

use crate::colour::{Rgba, Scale};
use crate::drawing::{Item, Paint, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL, PAPER, round_up};
use crate::path::Path;
use crate::text::{Anchor, CAP_HEIGHT, Text, Weight, width};

/// The range of stress that a picture's colours span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Span {
    pub low: f64,
    pub high: f64,
    pub scale: Scale,
    /// The lowest and the highest stress told, where they lie outside the range, MPa.
    pub past: [Option<f64>; 2],
}

/// Numbered ticks, and how many short ones lie between two of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ticks {
    pub step: f64,
    pub parts: i64,
}

const STRIP: f64 = 44.0;
/// Room for the mark of what lies past an end.
const PAST: f64 = 40.0;

impl Span {
    /// A range for stresses that reach `peak` in a material that yields at `yield_mpa`: somewhat past yield when the peak
    /// is more than seven tenths of it, so that warm colour means yield; otherwise up to the peak, so that a light load is
    /// not all ink. Never so far past yield that the elastic part of the picture loses its colours.
    pub fn new(peak: f64, yield_mpa: f64, scale: Scale) -> Self {
        let near = peak > 0.7 * yield_mpa;
        let high = if near { peak.clamp(1.12 * yield_mpa, 1.6 * yield_mpa) } else { round_up(peak) };
        match scale {
            Scale::Glow => Self { low: 0.0, high, scale, past: [None; 2] },
            Scale::TwoSided => Self { low: -high, high, scale, past: [None; 2] },
        }
    }

    /// The same range, with the stresses told in a picture: those that it does not reach are marked at its ends.
    pub fn telling(self, told: impl IntoIterator<Item = f64>) -> Self {
        let mut past = [None; 2];
        for mpa in told {
            // What rounds to the end itself is not past it.
            if mpa.round() > self.high.round() {
                past[1] = Some(past[1].map_or(mpa, |most: f64| most.max(mpa)));
            } else if mpa.round() < self.low.round() {
                past[0] = Some(past[0].map_or(mpa, |least: f64| least.min(mpa)));
            }
        }
        Self { past, ..self }
    }

    /// Place of a stress along the scale, 0 to 1.
    pub fn part(&self, mpa: f64) -> f64 {
        ((mpa - self.low) / (self.high - self.low)).clamp(0.0, 1.0)
    }

    pub fn ticks(&self) -> Ticks {
        let least = (self.high - self.low) / 8.0;
        let power = 10.0_f64.powf(least.max(1e-9).log10().floor());
        let (lead, parts) = [(1.0, 10), (2.0, 4), (5.0, 5), (10.0, 10)]
            .into_iter()
            .find(|(m, _)| m * power >= least * (1.0 - 1e-12))
            .unwrap_or((10.0, 10));
        Ticks { step: lead * power, parts }
    }
}

/// The ruler in its area, with the words at yield and before what lies past an end. A yield stress beyond the range stands on a torn-off piece above.
pub(crate) fn ruler(
    span: &Span,
    yield_mpa: Option<f64>,
    area: Area,
    [yields, beyond_end]: [&str; 2],
) -> Vec<Item> {
    let mut items = Vec::new();
    let yield_mpa = yield_mpa.filter(|mpa| *mpa > 0.0);
    let beyond = yield_mpa.is_some_and(|mpa| mpa > span.high);
    let stub = if beyond { 118.0 } else { 0.0 };
    let [below, above] = span.past.map(|past| if past.is_some() { PAST } else { 0.0 });
    let body = Area { y: area.y + stub + above, h: area.h - stub - above - below, ..area };
    // The scale keeps clear of the ruler's ends, as on a real one.
    let pad = 26.0;
    let y_of = |mpa: f64| body.bottom() - pad - span.part(mpa) * (body.h - 2.0 * pad);
    let mark = yield_mpa.filter(|_| !beyond);
    if let Some(mpa) = yield_mpa.filter(|_| beyond) {
        items.extend(torn_piece([mpa, stub], area, yields));
    }
    let outline = Path::rounded([body.x, body.y], [body.w, body.h], 10.0);
    items.push(Item::filled(outline.clone(), wood(area)));
    let stops = (0..=32)
        .map(|i| {
            let t = f64::from(i) / 32.0;
            (t, span.scale.colour(t))
        })
        .collect();
    let x = body.x;
    items.push(Item::Clipped {
        clip: outline.clone(),
        items: vec![Item::filled(
            Path::rectangle([x, body.y], [STRIP, body.h]),
            Paint::Linear { from: [x, y_of(span.low)], to: [x, y_of(span.high)], stops },
        )],
    });
    items.extend(ticks(span, mark, x + STRIP, y_of));
    if let Some(mpa) = mark {
        items.extend(yield_mark([mpa, y_of(mpa)], area, yields));
    }
    items.push(Item::stroked(outline, Stroke::new(INK, 2.0)));
    for (past, edge, away, end) in
        [(span.past[0], body.bottom(), 1.0, 0.0), (span.past[1], body.y, -1.0, 1.0)]
    {
        items.extend(past.into_iter().flat_map(|mpa| {
            past_mark(&past_words(mpa, beyond_end), span.scale.colour(end), [x, edge], area.w, away)
        }));
    }
    items
}

/// A point beyond an end of the strip, in the colour of that end, and how far stresses go. `wide`: the ruler; `away`: −1 up, 1 down.
fn past_mark(words: &str, colour: Rgba, [x, edge]: [f64; 2], wide: f64, away: f64) -> [Item; 2] {
    let y = |out: f64| edge + away * out;
    let point = Path::polygons([
        [[x + 4.0, y(8.0)], [x + STRIP - 4.0, y(8.0)], [x + 0.5 * STRIP, y(32.0)]].as_slice()
    ]);
    let base = y(18.0) + 0.5 * CAP_HEIGHT * LABEL;
    let fits = (wide - STRIP - 8.0) / width(words, LABEL, Weight::Bold);
    [
        Item::outlined(point, colour, Stroke::new(INK, 2.0)),
        Item::Text(Text::new([x + STRIP + 8.0, base], LABEL * fits.min(1.0), Weight::Bold, INK, words)),
    ]
}

/// A stress past an end of the scale, MPa.
pub(crate) fn past_words(mpa: f64, word: &str) -> String {
    format!("{word} {mpa:.0}").replace('-', "−")
}

fn wood(area: Area) -> Paint {
    Paint::Linear {
        from: [area.x, 0.0],
        to: [area.right(), 0.0],
        stops: vec![(0.0, Rgba::hex(0xf3_e6c8)), (0.7, Rgba::hex(0xfb_f3df)), (1.0, Rgba::hex(0xef_e0be))],
    }
}

fn ticks(span: &Span, mark: Option<f64>, x: f64, y_of: impl Fn(f64) -> f64) -> Vec<Item> {
    let Ticks { step, parts } = span.ticks();
    let small = step / parts as f64;
    let first = (span.low / small).ceil() as i64;
    let last = (span.high / small + 1e-9).floor() as i64;
    let [mut short, mut long] = [Path::default(), Path::default()];
    let mut items = Vec::new();
    for i in first..=last {
        let mpa = i as f64 * small;
        let y = y_of(mpa);
        if i % parts == 0 {
            long.add_line(&[[x, y], [x + 26.0, y]]);
            // The yield mark needs the room of a number.
            if mark.is_none_or(|mpa| (y - y_of(mpa)).abs() > 48.0) {
                let words =
                    if step < 1.0 { format!("{mpa:.1}") } else { format!("{mpa:.0}").replace('-', "−") };
                let at = [x + 32.0, y + 0.5 * CAP_HEIGHT * LABEL];
                items.push(Item::Text(Text::new(at, LABEL, Weight::Regular, INK, words)));
            }
        } else {
            let length = if parts % 2 == 0 && i % (parts / 2) == 0 { 18.0 } else { 11.0 };
            short.add_line(&[[x, y], [x + length, y]]);
        }
    }
    items.push(Item::stroked(short, Stroke::new(INK, 1.6)));
    items.push(Item::stroked(long, Stroke::new(INK, 2.6)));
    items
}

/// A line in the accent colour across the ruler, the word above it and the number below.
fn yield_mark([yield_mpa, y]: [f64; 2], area: Area, word: &str) -> Vec<Item> {
    let x = area.x + STRIP + 0.5 * (area.w - STRIP) + 6.0;
    let text = |y: f64, words: String| {
        Item::Text(Text::new([x, y], LABEL, Weight::Bold, ACCENT, words).anchored(Anchor::Middle))
    };
    let line = Path::line(&[[area.x - 10.0, y], [area.right(), y]]);
    vec![
        Item::stroked(line.clone(), Stroke::new(PAPER, 8.0)),
        Item::stroked(line, Stroke::new(ACCENT, 4.0)),
        text(y - 11.0, word.to_owned()),
        text(y + 9.0 + CAP_HEIGHT * LABEL, format!("{yield_mpa:.0}")),
    ]
}

fn torn_piece([yield_mpa, height]: [f64; 2], area: Area, word: &str) -> Vec<Item> {
    let (x, right, bottom) = (area.x, area.right(), area.y + height - 18.0);
    let mut edge = vec![[x, bottom], [x, area.y + 8.0], [x + 8.0, area.y]];
    edge.extend([[right - 8.0, area.y], [right, area.y + 8.0]]);
    let teeth = 6;
    for i in 0..=teeth {
        let part = f64::from(i) / f64::from(teeth);
        edge.push([right - part * area.w, bottom - if i % 2 == 0 { 0.0 } else { 9.0 }]);
    }
    let piece = Path::polygons([edge.as_slice()]);
    let mut items = vec![Item::outlined(piece, wood(area), Stroke::new(INK, 2.0))];
    items.extend(yield_mark([yield_mpa, area.y + 46.0], area, word));
    items
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_range_reaches_yield_only_when_the_peak_is_near() {
        assert_eq!(Span::new(120.0, 503.0, Scale::Glow).high, 200.0);
        assert_eq!(Span::new(287.0, 503.0, Scale::Glow).high, 300.0);
        assert!((Span::new(387.0, 503.0, Scale::Glow).high - 1.12 * 503.0).abs() < 1e-9);
        assert_eq!(Span::new(700.0, 503.0, Scale::Glow).high, 700.0);
        assert!((Span::new(2000.0, 503.0, Scale::Glow).high - 1.6 * 503.0).abs() < 1e-9);
        let two = Span::new(120.0, 503.0, Scale::TwoSided);
        assert_eq!((two.low, two.part(0.0)), (-200.0, 0.5));
    }

    #[test]
    fn stresses_past_an_end_are_marked_there() {
        let area = Area { x: 0.0, y: 0.0, w: 160.0, h: 800.0 };
        let said = |told: &[f64], scale| -> Vec<String> {
            let span = Span::new(480.0, 503.0, scale).telling(told.iter().copied());
            let items = ruler(&span, Some(503.0), area, ["yield", "to"]);
            let words = items.iter().filter_map(|item| match item {
                Item::Text(text) if text.words.starts_with("to ") => Some(text.words.clone()),
                _ => None,
            });
            words.collect()
        };
        assert_eq!(said(&[700.0, 725.4, 90.0], Scale::Glow), ["to 725"]);
        assert_eq!(said(&[-700.0, 800.0], Scale::TwoSided), ["to −700", "to 800"]);
        assert!(said(&[563.2], Scale::Glow).is_empty(), "the end itself");
    }

    #[test]
    fn numbers_stand_at_round_steps() {
        let step = |high| Span { low: 0.0, high, scale: Scale::Glow, past: [None; 2] }.ticks();
        assert_eq!(step(523.0), Ticks { step: 100.0, parts: 10 });
        assert_eq!(step(300.0), Ticks { step: 50.0, parts: 5 });
        assert_eq!(step(160.0), Ticks { step: 20.0, parts: 4 });
    }
}
