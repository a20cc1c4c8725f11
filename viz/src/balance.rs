//! The see-saw: what the spine carries to the left of a pivot, what the gate carries to the right, in one unit of length.

use crate::drawing::{Item, Path, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL, NUMBER, PAPER, PAPER_SHADE, kilonewtons};
use crate::text::{Anchor, CAP_HEIGHT, Text, Weight};

/// Largest tilt of the beam, degrees: all of the load on one side.
const TILT: f64 = 5.0;
const BAR: f64 = 50.0;

/// Bars for spine and gate on a beam that sinks on the heavier side. A negative share (pushed, not pulled) is hollow.
pub(crate) fn balance(spine_kn: f64, gate_kn: f64, load_kn: f64, gate_open: bool, area: Area) -> Vec<Item> {
    enlarged_balance([spine_kn, gate_kn], load_kn, gate_open, area, 1.0)
}

/// The see-saw of `[spine, gate]` with type and bars `size` times as large as on a map.
pub(crate) fn enlarged_balance(
    [spine_kn, gate_kn]: [f64; 2],
    load_kn: f64,
    gate_open: bool,
    area: Area,
    size: f64,
) -> Vec<Item> {
    let bar = size * BAR;
    let arm = 0.5 * area.w - 3.0;
    let longest = spine_kn.abs().max(gate_kn.abs()).max(1e-9);
    let pivot = [area.x + 0.5 * area.w, area.bottom() - 0.5 * bar - 20.0];
    let lean = ((spine_kn - gate_kn) / load_kn.abs().max(longest)).clamp(-1.0, 1.0);
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
    for (side, kn, colour) in [(-1.0, spine_kn, INK), (1.0, gate_kn, ACCENT)] {
        let length = side * arm * kn.abs() / longest;
        if kn < 0.0 {
            items.push(Item::stroked(block(0.0, length), Stroke::new(colour, 3.0).dashed(8.0, 6.0)));
        } else if kn > 0.0 {
            items.push(Item::outlined(block(0.0, length), colour, Stroke::new(colour, 5.0)));
        }
        let percent = if load_kn == 0.0 { 0.0 } else { 100.0 * kn / load_kn };
        let (edge, anchor) = if side < 0.0 { (area.x, Anchor::Start) } else { (area.right(), Anchor::End) };
        let name = match (side < 0.0, gate_open) {
            (true, _) => format!("spine {}", percents(percent)),
            (false, true) => "gate open".to_owned(),
            (false, false) => format!("gate {}", percents(percent)),
        };
        let number_y = area.y + CAP_HEIGHT * size * NUMBER;
        let number = Text::new([edge, number_y], size * NUMBER, Weight::Bold, colour, kilonewtons(kn));
        let name = Text::new([edge, number_y + size * 40.0], size * LABEL, Weight::Regular, colour, name);
        items.extend([Item::Text(number.anchored(anchor)), Item::Text(name.anchored(anchor))]);
    }
    items.push(Item::outlined(Path::circle(pivot, size * 12.0), PAPER, Stroke::new(INK, 3.0)));
    items
}

fn percents(percent: f64) -> String {
    let rounded = if percent.round() == 0.0 { 0.0 } else { percent.round() };
    format!("{rounded:.0} %")
}
