//! The ruler of colours laid across the page: for pictures of several connectors, and for stills that have little height.

use crate::colour::Rgba;
use crate::drawing::{Item, Paint, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, INK, PAPER};
use crate::path::Path;
use crate::ruler::{Span, past_words};
use crate::text::{Anchor, CAP_HEIGHT, Text, Weight, width};

/// Part of the height that shows colours.
const STRIP: f64 = 0.42;

/// The ruler in its area, with type of a size. `yield_mpa` is marked when all connectors share it.
pub(crate) fn ruler_across(
    span: &Span,
    yield_mpa: Option<f64>,
    area: Area,
    size: f64,
    [yields, beyond_end]: [&str; 2],
) -> Vec<Item> {
    let mark = yield_mpa.filter(|y| *y > 0.0);
    let words = mark.map(|y| format!("{yields} {y:.0}"));
    let wide = words.as_ref().map_or(0.0, |w| width(w, size, Weight::Bold));
    let beyond = mark.is_some_and(|y| y > span.high);
    // A yield stress beyond the range stands on a piece of its own, after a gap.
    let stub = if beyond { wide + 1.6 * size } else { 0.0 };
    let past = span.past.map(|past| past.map(|mpa| past_words(mpa, beyond_end)));
    let [before, after] =
        [0, 1].map(|i| past[i].as_ref().map_or(0.0, |w| width(w, size, Weight::Bold) + 1.7 * size));
    let body = Area { x: area.x + before, w: area.w - stub - before - after, ..area };
    let pad = 0.9 * size;
    let x_of = |mpa: f64| body.x + pad + span.part(mpa) * (body.w - 2.0 * pad);
    let base = body.bottom() - 0.28 * size;

    let outline = Path::rounded([body.x, body.y], [body.w, body.h], 0.3 * size);
    let strip = STRIP * body.h;
    let stops = (0..=32)
        .map(|i| {
            let t = f64::from(i) / 32.0;
            (t, span.scale.colour(t))
        })
        .collect();
    let colours = Paint::Linear { from: [x_of(span.low), 0.0], to: [x_of(span.high), 0.0], stops };
    let mut items = vec![
        Item::filled(outline.clone(), wood(area)),
        Item::Clipped {
            clip: outline.clone(),
            items: vec![Item::filled(Path::rectangle([body.x, body.y], [body.w, strip]), colours)],
        },
    ];
    let numbers = numbers(span, size, x_of);
    let hides = |middle: f64, x: f64, half: f64| (x - middle).abs() <= half + 0.5 * wide + 0.3 * size;
    let inside = mark.filter(|_| !beyond).map(|mpa| {
        // The words keep inside the ruler even where the mark stands close to its end, and hide as few numbers as they can.
        let half = 0.5 * wide + 0.4 * size;
        let held = |middle: f64| middle.clamp(body.x + half, (body.right() - half).max(body.x + half));
        let hidden = |middle: &f64| {
            numbers.iter().filter(|(text, _)| hides(*middle, text.at[0], 0.5 * text.width())).count()
        };
        let places = ASIDE.map(|aside| held(x_of(mpa) + aside * 0.5 * wide));
        let middle = places.into_iter().min_by_key(hidden).unwrap_or(x_of(mpa));
        (x_of(mpa), middle)
    });
    let numbers = numbers.into_iter().map(|(text, mpa)| {
        let text = Text { at: [text.at[0], base], ..text };
        let free = inside.is_none_or(|(_, middle)| !hides(middle, text.at[0], 0.5 * text.width()));
        (text, mpa, free)
    });
    items.extend(ticks(span, [body.y + strip, base], size, x_of, numbers.collect()));
    items.push(Item::stroked(outline, Stroke::new(INK, 2.0)));
    let say = |x: f64, words: &str| {
        let text = Text::new([x, base], size, Weight::Bold, ACCENT, words);
        Item::Text(text.anchored(Anchor::Middle))
    };
    match (inside, words) {
        (Some((x, middle)), Some(words)) => {
            let line = Path::line(&[[x, body.y - 0.25 * size], [x, body.y + strip + 0.12 * size]]);
            items.push(Item::stroked(line.clone(), Stroke::new(PAPER, 8.0)));
            items.push(Item::stroked(line, Stroke::new(ACCENT, 4.0)));
            items.push(say(middle, &words));
        }
        (None, Some(words)) => {
            let left = body.right() + after + 0.4 * size;
            let piece =
                Path::rounded([left, body.y + strip], [area.right() - left, body.h - strip], 0.3 * size);
            items.push(Item::outlined(piece, wood(area), Stroke::new(INK, 2.0)));
            items.push(say(0.5 * (left + area.right()), &words));
        }
        _ => {}
    }
    let marks = [(body.x, -1.0, Anchor::End, 0.0), (body.right(), 1.0, Anchor::Start, 1.0)];
    for (words, (edge, away, anchor, end)) in past.into_iter().zip(marks) {
        let Some(words) = words else { continue };
        let x = |out: f64| edge + away * out * size;
        let [low, high] = [body.y + 0.1 * strip, body.y + 0.9 * strip];
        let point =
            Path::polygons([[[x(0.25), low], [x(0.25), high], [x(0.95), 0.5 * (low + high)]].as_slice()]);
        items.push(Item::outlined(point, span.scale.colour(end), Stroke::new(INK, 2.0)));
        let text = Text::new([x(0.35), base], size, Weight::Bold, INK, words);
        items.push(Item::Text(text.anchored(anchor)));
    }
    items
}

/// How far the words of the yield mark may stand beside it, in halves of their width.
const ASIDE: [f64; 5] = [0.0, 0.5, -0.5, 0.9, -0.9];

/// The numbers of a scale, each with its stress, as far apart as keeps them from running into each other.
fn numbers(span: &Span, size: f64, x_of: impl Fn(f64) -> f64) -> Vec<(Text, f64)> {
    let step = span.ticks().step;
    let of = |every: i64| -> Vec<(Text, f64)> {
        let step = step * every as f64;
        let [first, last] = [(span.low / step).ceil() as i64, (span.high / step + 1e-9).floor() as i64];
        let text = |mpa: f64| {
            let words = if step.fract() > 1e-9 {
                format!("{mpa:.1}").replace('-', "−")
            } else {
                format!("{mpa:.0}").replace('-', "−")
            };
            Text::new([x_of(mpa), 0.0], size, Weight::Regular, INK, words).anchored(Anchor::Middle)
        };
        (first..=last).map(|i| i as f64 * step).map(|mpa| (text(mpa), mpa)).collect()
    };
    let clear = |all: &Vec<(Text, f64)>| {
        all.windows(2).all(|pair| {
            let [a, b] = [&pair[0].0, &pair[1].0];
            b.at[0] - a.at[0] >= 0.5 * (a.width() + b.width()) + 0.35 * size
        })
    };
    [1, 2, 5].into_iter().map(of).find(clear).unwrap_or_else(|| of(10))
}

/// Ticks below `top`, with the numbers that are free; a number that is not has a short tick.
fn ticks(
    span: &Span,
    [top, base]: [f64; 2],
    size: f64,
    x_of: impl Fn(f64) -> f64,
    numbers: Vec<(Text, f64, bool)>,
) -> Vec<Item> {
    let ticks = span.ticks();
    let small = ticks.step / ticks.parts as f64;
    let first = (span.low / small).ceil() as i64;
    let last = (span.high / small + 1e-9).floor() as i64;
    let room = (base - CAP_HEIGHT * size - top).max(0.0);
    let [mut short, mut long] = [Path::default(), Path::default()];
    // Short ticks that would run into each other say nothing.
    let dense = (x_of(small) - x_of(0.0)).abs() < 0.34 * size;
    for i in first..=last {
        if !dense || i % ticks.parts == 0 {
            let x = x_of(i as f64 * small);
            short.add_line(&[[x, top], [x, top + 0.35 * room]]);
        }
    }
    let mut items = Vec::new();
    for (text, mpa, free) in numbers {
        if free {
            let x = x_of(mpa);
            long.add_line(&[[x, top], [x, top + 0.7 * room]]);
            items.push(Item::Text(text));
        }
    }
    items.push(Item::stroked(short, Stroke::new(INK, 1.6)));
    items.push(Item::stroked(long, Stroke::new(INK, 2.6)));
    items
}

fn wood(area: Area) -> Paint {
    Paint::Linear {
        from: [0.0, area.y],
        to: [0.0, area.bottom()],
        stops: vec![(0.0, Rgba::hex(0xf3_e6c8)), (0.7, Rgba::hex(0xfb_f3df)), (1.0, Rgba::hex(0xef_e0be))],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Scale;

    fn said(items: &[Item]) -> Vec<(&str, f64)> {
        items
            .iter()
            .filter_map(|item| match item {
                Item::Text(text) => Some((text.words.as_str(), text.at[0])),
                _ => None,
            })
            .collect()
    }

    const AREA: Area = Area { x: 0.0, y: 0.0, w: 1000.0, h: 80.0 };

    #[test]
    fn numbers_stand_in_proportion_and_make_room_for_yield() {
        let span = Span { low: 0.0, high: 600.0, scale: Scale::Glow, past: [None; 2] };
        let items = ruler_across(&span, Some(503.0), AREA, 20.0, ["yield", "to"]);
        let said = said(&items);
        assert!(said.iter().any(|(w, _)| *w == "yield 503"));
        assert!(!said.iter().any(|(w, _)| *w == "500"), "yield stands there: {said:?}");
        let x = |words: &str| said.iter().find(|(w, _)| *w == words).unwrap().1;
        assert!((x("200") - x("0") - 2.0 * (x("400") - x("300"))).abs() < 1e-9);
    }

    #[test]
    fn stresses_past_the_end_stand_outside_and_before_a_yield_beyond_it() {
        let span = Span { past: [None, Some(725.0)], low: 0.0, high: 200.0, scale: Scale::Glow };
        let items = ruler_across(&span, Some(803.0), AREA, 20.0, ["yield", "to"]);
        let said = said(&items);
        let x = |words: &str| said.iter().find(|(w, _)| *w == words).unwrap().1;
        assert!(x("200") < x("to 725") && x("to 725") < x("yield 803"), "{said:?}");
    }

    #[test]
    fn yield_beyond_the_range_stands_apart() {
        let span = Span { low: 0.0, high: 200.0, scale: Scale::Glow, past: [None; 2] };
        let items = ruler_across(&span, Some(503.0), AREA, 20.0, ["yield", "to"]);
        let said = said(&items);
        let x = |words: &str| said.iter().find(|(w, _)| *w == words).unwrap().1;
        assert!(x("yield 503") > x("200") + 40.0);
        assert!(
            !ruler_across(&span, None, AREA, 20.0, ["yield", "to"])
                .iter()
                .any(|i| matches!(i, Item::Text(t) if t.words.contains("yield")))
        );
    }
}
