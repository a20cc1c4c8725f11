//! Whole pictures of an invented connector: what must hold however they look.

#[path = "../examples/pictures/invented.rs"]
mod invented;

use invented::{Body, connector, forecast, map, sketch};
use viz::{Drawing, Field, Item, Marked, Segment, StressMap};

const SIZES: [(u32, u32); 4] = [(1600, 1200), (1080, 1920), (1920, 1080), (1080, 1080)];

type Box2 = [[f64; 2]; 2];

fn images(items: &[Item]) -> Vec<Box2> {
    items
        .iter()
        .flat_map(|item| match item {
            Item::Image(i) => vec![[i.at, [i.at[0] + i.size[0], i.at[1] + i.size[1]]]],
            Item::Clipped { items, .. } => images(items),
            _ => Vec::new(),
        })
        .collect()
}

/// What the painted bodies are cut along, as closed loops of points.
fn bodies(items: &[Item]) -> Vec<Vec<Vec<[f64; 2]>>> {
    items
        .iter()
        .flat_map(|item| match item {
            Item::Clipped { clip, items } if items.iter().any(|i| matches!(i, Item::Image(_))) => {
                let mut loops: Vec<Vec<[f64; 2]>> = Vec::new();
                for segment in &clip.segments {
                    match (segment, loops.last_mut()) {
                        (Segment::Move(p), _) => loops.push(vec![*p]),
                        (Segment::Line(p), Some(points)) => points.push(*p),
                        _ => {}
                    }
                }
                vec![loops]
            }
            Item::Clipped { items, .. } => bodies(items),
            _ => Vec::new(),
        })
        .collect()
}

/// Whether a box touches the metal between closed loops: an edge runs through it, or its middle lies an odd number of loops deep.
fn touches(b: &Box2, loops: &[Vec<[f64; 2]>]) -> bool {
    let middle = [0, 1].map(|k| 0.5 * (b[0][k] + b[1][k]));
    let edges = || {
        loops.iter().flat_map(|points| (0..points.len()).map(|i| (points[i], points[(i + 1) % points.len()])))
    };
    let through = edges().any(|(p, q)| {
        (0..=8).any(|step| {
            let t = f64::from(step) / 8.0;
            (0..2).all(|k| {
                let x = p[k] + t * (q[k] - p[k]);
                b[0][k] < x && x < b[1][k]
            })
        })
    });
    let right = edges().filter(|(p, q)| {
        (p[1] <= middle[1]) != (q[1] <= middle[1])
            && p[0] + (middle[1] - p[1]) / (q[1] - p[1]) * (q[0] - p[0]) > middle[0]
    });
    through || right.count() % 2 == 1
}

fn overlap(a: &Box2, b: &Box2) -> bool {
    (0..2).all(|k| a[0][k] < b[1][k] && b[0][k] < a[1][k])
}

/// Every word is on the canvas and clear of every other word and of the connector.
fn check_words(name: &str, drawing: &Drawing) {
    let boxes: Vec<(&str, Box2)> = drawing
        .texts()
        .into_iter()
        .filter_map(|t| t.outline().bounds().map(|b| (t.words.as_str(), b)))
        .collect();
    assert!(boxes.len() > 10, "{name}: {} words", boxes.len());
    let bodies = bodies(&drawing.items);
    for (i, (words, b)) in boxes.iter().enumerate() {
        let inside =
            b[0][0] >= 0.0 && b[0][1] >= 0.0 && b[1][0] <= drawing.width && b[1][1] <= drawing.height;
        assert!(inside, "{name}: '{words}' leaves the canvas: {b:?}");
        for (other, o) in &boxes[i + 1..] {
            assert!(!overlap(b, o), "{name}: '{words}' runs into '{other}'");
        }
        for body in &bodies {
            assert!(!touches(b, body), "{name}: '{words}' runs into the connector");
        }
    }
}

fn variants<'a>(frame: &'a Body, gate: &'a Body, inside: f64) -> Vec<(&'static str, StressMap<'a>)> {
    let plain = map(frame, gate, inside, Field::VonMises, [12.0, 0.0, 0.0]);
    let mut long = plain.clone();
    long.title = "A connector with a remarkably long name that somebody typed in full, twice over".repeat(2);
    long.subtitle = "10 kN, gate closed, 12 mm straps centred, and more about the rig than fits ".repeat(3);
    long.sentence = "One plain sentence that does not know where to stop and goes on and on ".repeat(5);
    long.source_line =
        "pullmap 0.1.0 · an-endless-model-name-without-any-break-in-it · inputs 3f2a91c4".repeat(2);
    let mut crowded = plain.clone();
    let first = crowded.callouts[0].clone();
    for i in 0..6 {
        let mut more = first.clone();
        more.at[1] += f64::from(i);
        more.trusted = i % 2 == 0;
        crowded.callouts.push(more);
    }
    let mut open = map(frame, gate, inside, Field::VonMises, [40.0, 0.0, 0.0]);
    open.gate_open = true;
    open.gate_kn = 0.0;
    open.words.shares[1] = ["0.0 kN", "gate open"].map(str::to_owned);
    open.yield_mpa = 1100.0;
    let trajectories = map(frame, gate, inside, Field::Trajectories, [12.0, 9.0, -9.0]);
    let two_sided = map(frame, gate, inside, Field::PullDirection, [25.0, -9.0, 0.0]);
    vec![
        ("plain", plain),
        ("long", long),
        ("crowded", crowded),
        ("open", open),
        ("trajectories", trajectories),
        ("two-sided", two_sided),
    ]
}

#[test]
fn words_stay_on_the_canvas_and_clear_of_each_other() {
    for inside in [60.0, 84.0] {
        let (frame, gate) = connector(inside, 10.0, 0.43);
        for (name, map) in variants(&frame, &gate, inside) {
            for (w, h) in SIZES {
                check_words(&format!("{name} {inside} mm, {w} x {h}"), &map.drawing(w, h));
            }
        }
    }
    let (frame, gate) = connector(60.0, 10.0, 0.43);
    check_words("sketch", &sketch(&frame, &gate).drawing(1600, 1200));
}

#[test]
fn words_of_a_forecast_stay_clear_of_each_other_wherever_the_marking_lies() {
    let (frame, gate) = connector(60.0, 10.0, 0.43);
    let map = map(&frame, &gate, 60.0, Field::VonMises, [12.0, 0.0, 0.0]);
    for (w, h) in SIZES {
        for marked_kn in [None, Some(0.5), Some(7.5), Some(20.0), Some(24.5), Some(90.0)] {
            let mut picture = forecast(&map);
            picture.marked = marked_kn.map(|kn| Marked { kn, told: format!("marked {kn} kN") });
            check_words(&format!("forecast, marked {marked_kn:?}, {w} x {h}"), &picture.drawing(w, h));
            picture.bars.truncate(1);
            picture.more = None;
            picture.range_kn = [0.2, 0.3];
            check_words(&format!("one bar, marked {marked_kn:?}, {w} x {h}"), &picture.drawing(w, h));
        }
    }
}

#[test]
fn main_words_are_large_enough_for_a_telephone() {
    let (frame, gate) = connector(60.0, 10.0, 0.43);
    for (name, map) in variants(&frame, &gate, 60.0) {
        let drawing = map.drawing(1600, 1200);
        for text in drawing.texts() {
            if map.sentence.contains(text.words.trim_end_matches('…')) && text.size > 30.0 {
                assert!(text.size >= drawing.height / 30.0 - 1e-9, "{name}: {} at {}", text.words, text.size);
            }
            let callout = map.callouts.iter().any(|c| c.words.contains(text.words.as_str()));
            assert!(!callout || text.size >= drawing.height / 40.0 - 1e-9, "{name}: {}", text.words);
        }
    }
}

#[test]
fn the_same_picture_gives_the_same_bytes() {
    let make = || {
        let (frame, gate) = connector(60.0, 10.0, 0.43);
        let mut out = Vec::new();
        for field in [Field::VonMises, Field::Trajectories] {
            let drawing = map(&frame, &gate, 60.0, field, [12.0, 0.0, 0.0]).drawing(800, 600);
            out.push((drawing.to_png().unwrap(), drawing.to_svg().unwrap()));
        }
        out
    };
    assert_eq!(make(), make());
}

/// Names of open elements must match what closes them; attributes are quoted; text holds no bare signs.
fn check_xml(document: &str) {
    let mut open: Vec<&str> = Vec::new();
    let mut rest = document;
    while let Some(start) = rest.find('<') {
        assert!(!rest[..start].contains('>'), "a bare > in text");
        let end = start + rest[start..].find('>').unwrap_or_else(|| panic!("an element ends"));
        let tag = &rest[start + 1..end];
        assert!(!tag.contains('<') && tag.matches('"').count().is_multiple_of(2), "{tag}");
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name));
        } else if !tag.ends_with('/') {
            open.push(tag.split_whitespace().next().unwrap_or_default());
        }
        for (i, _) in tag.match_indices('&') {
            assert!(["&amp;", "&lt;", "&gt;", "&quot;"].iter().any(|e| tag[i..].starts_with(e)), "{tag}");
        }
        rest = &rest[end + 1..];
    }
    assert!(open.is_empty(), "left open: {open:?}");
}

#[test]
fn the_svg_is_well_formed_and_carries_its_name_and_description() {
    let (frame, gate) = connector(60.0, 10.0, 0.43);
    let mut map = map(&frame, &gate, 60.0, Field::VonMises, [12.0, 0.0, 0.0]);
    map.words.name = "Bar <wide> & \"broad\"".to_owned();
    let svg = map.drawing(1600, 1200).to_svg().unwrap();
    check_xml(&svg);
    for needed in [
        "width=\"1600\" height=\"1200\" viewBox=\"0 0 1600 1200\" role=\"img\" lang=\"en\"",
        "Bar &lt;wide&gt; &amp; &quot;broad&quot;</title>",
        "What the map says.</desc>",
    ] {
        assert!(svg.contains(needed), "{needed}");
    }
    check_xml(&sketch(&frame, &gate).drawing(1600, 1200).to_svg().unwrap());
}

#[test]
fn a_known_stress_has_the_colour_of_its_place_on_the_ruler() {
    let (frame, gate) = connector(60.0, 10.0, 0.43);
    let mut map = map(&frame, &gate, 60.0, Field::VonMises, [12.0, 0.0, 0.0]);
    map.callouts.clear();
    // A field of 60 MPa everywhere spans 0 to 60: the far end of the scale.
    let flat = vec![60.0; frame.field().values.len()];
    map.frame.values = &flat;
    let gate_flat = vec![60.0; gate.field().values.len()];
    map.gate.values = &gate_flat;
    let colour_in_spine = |map: &StressMap<'_>| {
        let png = map.drawing(1600, 1200).to_png().unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(png)).read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut pixels).unwrap();
        // The spine's middle: left of the stage's centre by 29 mm of the 72 mm that fill its width.
        let stage = images(&map.drawing(1600, 1200).items)[0];
        let x = stage[0][0] + (stage[1][0] - stage[0][0]) * 7.0 / 72.0;
        let at = (600 * 1600 + x as usize) * 3;
        [pixels[at], pixels[at + 1], pixels[at + 2]]
    };
    let top = viz::Scale::Glow.colour(1.0);
    assert_eq!(colour_in_spine(&map), [top.r, top.g, top.b]);
    // A metal that yields at 70: the ruler reaches an eighth past that.
    map.yield_mpa = 70.0;
    let part = viz::Scale::Glow.colour(60.0 / (1.12 * 70.0));
    assert_eq!(colour_in_spine(&map), [part.r, part.g, part.b]);
}

#[test]
fn a_transparent_ground_stays_transparent_and_absurd_sizes_are_refused() {
    let (frame, gate) = connector(60.0, 10.0, 0.43);
    let mut drawing = sketch(&frame, &gate).drawing(400, 300);
    drawing.background = None;
    let png = drawing.to_png().unwrap();
    let reader = png::Decoder::new(std::io::Cursor::new(png)).read_info().unwrap();
    assert_eq!(reader.info().color_type, png::ColorType::Rgba);
    drawing.pixels_per_unit = 100.0;
    assert!(drawing.to_png().is_err() && drawing.to_svg().is_err());
}
