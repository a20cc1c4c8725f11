//! The see-saw: a bar that spine and gate share in proportion to what they carry, the spine from the left, the gate from the
//! right. The pivot marks its middle, where the shares would be even.

use crate::drawing::{Item, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL, NUMBER, PAPER, PAPER_SHADE};
use crate::path::Path;
use crate::stress_map::StressMap;
use crate::text::{Anchor, CAP_HEIGHT, Text, Weight};

/// Largest tilt of the beam, degrees: all of the load on one side.
const TILT: f64 = 5.0;
const BAR: f64 = 50.0;

/// The bar of a map, which sinks on the heavier side, with both loads over it; type and bars `size` times as large as on a map of
/// its own. A negative share (pushed, not pulled) is hollow.
pub(crate) fn balance(map: &StressMap<'_>, area: Area, size: f64) -> Vec<Item> {
    see_saw([map.spine_kn, map.gate_kn], map.load_kn, &map.words.shares, area, size)
}

/// The see-saw of `[spine, gate]`, with the words of each.
fn see_saw(
    [spine_kn, gate_kn]: [f64; 2],
    load_kn: f64,
    words: &[[String; 2]; 2],
    area: Area,
    size: f64,
) -> Vec<Item> {
    let bar = size * BAR;
    let arm = 0.5 * area.w - 3.0;
    // Both parts together are the whole bar, in proportion; what is pushed takes back from what the other pulls too much.
    let pulled = spine_kn.max(0.0) + gate_kn.max(0.0);
    let part = |kn: f64| if pulled > 0.0 { kn.abs().min(pulled) / pulled } else { 0.0 };
    let pivot = [area.x + 0.5 * area.w, area.bottom() - 0.5 * bar - 20.0];
    let lean = ((spine_kn - gate_kn) / load_kn.abs().max(pulled).max(1e-9)).clamp(-1.0, 1.0);
    // A wide beam leans less, or its raised end would run into the words above it.
    let words_end = area.y + size * (CAP_HEIGHT * NUMBER + 40.0 + 0.3 * LABEL);
    let free = ((pivot[1] - 0.5 * bar - words_end) / arm).clamp(0.0, 1.0).asin().to_degrees();
    let (sin, cos) = (-TILT.min(free) * lean).to_radians().sin_cos();
    let block = |from: f64, to: f64| {
        let corners = [(from, -0.5), (to, -0.5), (to, 0.5), (from, 0.5)]
            .map(|(x, y)| [pivot[0] + cos * x - sin * bar * y, pivot[1] + sin * x + cos * bar * y]);
        Path::polygons([corners.as_slice()])
    };
    let mut items = vec![Item::outlined(block(-arm, arm), PAPER_SHADE, Stroke::new(PAPER_SHADE, 6.0))];
    let shares = [(-1.0, spine_kn, INK), (1.0, gate_kn, ACCENT)];
    // What is pushed lies, hollow, over the other part: after it.
    for pushed in [false, true] {
        for (side, kn, colour) in shares.into_iter().filter(|(_, kn, _)| *kn != 0.0 && (*kn < 0.0) == pushed)
        {
            let end = side * arm;
            let from = end - side * 2.0 * arm * part(kn);
            if pushed {
                let stroke = Stroke::new(colour, 3.0).dashed(8.0, 6.0);
                items.push(Item::outlined(block(from, end), PAPER, stroke));
            } else {
                items.push(Item::outlined(block(from, end), colour, Stroke::new(colour, 5.0)));
            }
        }
    }
    if spine_kn > 0.0 && gate_kn > 0.0 {
        // The joint: a hair of paper, so that it reads without colour too.
        let joint = arm * (2.0 * part(spine_kn) - 1.0);
        items.push(Item::filled(block(joint - 2.0, joint + 2.0), PAPER));
    }
    for ((side, _, colour), [load, name]) in shares.into_iter().zip(words) {
        let (edge, anchor) = if side < 0.0 { (area.x, Anchor::Start) } else { (area.right(), Anchor::End) };
        let number_y = area.y + CAP_HEIGHT * size * NUMBER;
        let number = Text::new([edge, number_y], size * NUMBER, Weight::Bold, colour, load.as_str());
        let name_y = number_y + size * 40.0;
        let name = Text::new([edge, name_y], size * LABEL, Weight::Regular, colour, name.as_str());
        items.extend([Item::Text(number.anchored(anchor)), Item::Text(name.anchored(anchor))]);
    }
    items.push(Item::outlined(Path::circle(pivot, size * 12.0), PAPER, Stroke::new(INK, 3.0)));
    items
}

#[cfg(test)]
mod tests {
    use super::*;

    const AREA: Area = Area { x: 100.0, y: 0.0, w: 406.0, h: 190.0 };

    /// Left and right end of the filled part of a colour.
    fn ends(spine: f64, gate: f64, colour: crate::colour::Rgba) -> Option<[f64; 2]> {
        let items = see_saw([spine, gate], spine + gate, &Default::default(), AREA, 1.0);
        items.iter().find_map(|item| match item {
            Item::Shape { path, fill: Some(crate::drawing::Paint::Solid(c)), .. } if *c == colour => {
                path.bounds().map(|[a, b]| [a[0], b[0]])
            }
            _ => None,
        })
    }

    #[test]
    fn both_shares_fill_the_bar_in_proportion() {
        let (spine, gate) = (ends(7.5, 2.5, INK).unwrap(), ends(7.5, 2.5, ACCENT).unwrap());
        // A leaning bar is a little narrower than a level one.
        assert!((spine[0] - 103.0).abs() < 4.0 && (gate[1] - 503.0).abs() < 4.0);
        assert!((spine[1] - 403.0).abs() < 4.0 && (gate[0] - 403.0).abs() < 4.0, "{spine:?} {gate:?}");
    }

    #[test]
    fn a_lone_spine_has_all_of_it_and_a_pushed_gate_is_no_part_of_it() {
        assert!(ends(10.0, 0.0, ACCENT).is_none());
        for gate in [0.0, -2.0] {
            let spine = ends(10.0 - gate, gate, INK).unwrap();
            assert!((spine[1] - spine[0] - 400.0).abs() < 4.0, "{spine:?}");
        }
        assert!(ends(12.0, -2.0, ACCENT).is_none(), "hollow, not filled");
    }
}
