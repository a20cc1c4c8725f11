//! The see-saw: what the spine carries to the left of a pivot, what the gate carries to the right, in one unit of length.

use crate::drawing::{Item, Path, Stroke};
use crate::layout::Area;
use crate::look::{ACCENT, INK, LABEL, NUMBER, PAPER, PAPER_SHADE, kilonewtons};
use crate::text::{Anchor, CAP_HEIGHT, Text, Weight};

/// Bars for spine and gate as parts of the load. A negative share (pushed, not pulled) is drawn hollow.
pub(crate) fn balance(spine_kn: f64, gate_kn: f64, load_kn: f64, gate_open: bool, area: Area) -> Vec<Item> {
    let middle = area.x + 0.5 * area.w;
    let arm = 0.5 * area.w - 5.0;
    let bar = 54.0;
    let top = area.bottom() - bar - 18.0;
    let longest = load_kn.abs().max(spine_kn.abs()).max(gate_kn.abs()).max(1e-9);
    let ground = Path::rounded([area.x, top], [area.w, bar], 8.0);
    let mut items = vec![Item::filled(ground.clone(), PAPER_SHADE)];
    for (side, kn, colour) in [(-1.0, spine_kn, INK), (1.0, gate_kn, ACCENT)] {
        let length = arm * (kn.abs() / longest).min(1.0);
        let from = middle + side * 5.0;
        let x = if side < 0.0 { from - length } else { from };
        let block = Path::rectangle([x, top], [length, bar]);
        let painted = if kn < 0.0 {
            Item::stroked(block, Stroke::new(colour, 3.0).dashed(8.0, 6.0))
        } else {
            Item::filled(block, colour)
        };
        items.push(Item::Clipped { clip: ground.clone(), items: vec![painted] });
        let percent = if load_kn == 0.0 { 0.0 } else { 100.0 * kn / load_kn };
        let edge = if side < 0.0 { area.x } else { area.right() };
        let anchor = if side < 0.0 { Anchor::Start } else { Anchor::End };
        let name = match (side < 0.0, gate_open) {
            (true, _) => format!("spine {}", percents(percent)),
            (false, true) => "gate open".to_owned(),
            (false, false) => format!("gate {}", percents(percent)),
        };
        let number_y = area.y + CAP_HEIGHT * NUMBER + 4.0;
        items.push(Item::Text(
            Text::new([edge, number_y], NUMBER, Weight::Bold, colour, kilonewtons(kn)).anchored(anchor),
        ));
        items.push(Item::Text(
            Text::new([edge, number_y + 42.0], LABEL, Weight::Regular, colour, name).anchored(anchor),
        ));
    }
    // The pivot: a pin between the two, half over the bars.
    let pivot = [middle, top + 0.5 * bar];
    items.push(Item::outlined(Path::circle(pivot, 11.0), PAPER, Stroke::new(INK, 3.0)));
    items
}

fn percents(percent: f64) -> String {
    let rounded = if percent.round() == 0.0 { 0.0 } else { percent.round() };
    format!("{rounded:.0} %")
}
