//! Dimension lines as a draughtsman draws them, with level words that keep clear of each other.

use crate::drawing::{Item, Stroke};
use crate::layout::{Area, View};
use crate::look::{ACCENT, INK, LABEL, PAPER, QUIET};
use crate::path::Path;
use crate::text::{Anchor, CAP_HEIGHT, Text, Weight, width};

/// A measure to be written on a sketch. Lengths in mm (y up).
#[derive(Clone, Debug, PartialEq)]
pub enum Dimension {
    /// The distance of two points.
    Length {
        /// First point.
        from: [f64; 2],
        /// Second point.
        to: [f64; 2],
        /// How far the dimension line stands off the points, to the left of the way from first to second; negative:
        /// to the right.
        offset_mm: f64,
        /// What is written: "window length 60".
        label: String,
    },
    /// What a caliper reads, drawn as it lies on the part.
    Caliper {
        /// The two points that its jaws touch.
        touched: [[f64; 2]; 2],
        /// The dimension line: where each jaw ends, square across from the point that it touches.
        line: [[f64; 2]; 2],
        /// What is written: "overall 88".
        label: String,
    },
    /// The radius of an arc.
    Radius {
        /// Centre of the arc.
        centre: [f64; 2],
        /// Its radius.
        radius: f64,
        /// Direction from the centre in which the leader meets the arc, degrees counter-clockwise from +x.
        toward_deg: f64,
        /// What is written: "R 8".
        label: String,
    },
}

impl Dimension {
    /// What is written at it.
    #[must_use]
    pub fn label(&self) -> &str {
        let (Self::Length { label, .. } | Self::Caliper { label, .. } | Self::Radius { label, .. }) = self;
        label
    }
}

const SIZE: f64 = 0.93 * LABEL;

/// Lines first, then all words on patches of paper, so that no line crosses a word.
pub(crate) fn dimensions(list: &[Dimension], view: &View, page: Area) -> Vec<Item> {
    let mut lines = Vec::new();
    let mut words = Vec::new();
    let mut taken: Vec<Area> = Vec::new();
    let dots: Vec<Vec<[f64; 2]>> = list.iter().map(|dimension| line_dots(dimension, view)).collect();
    for (i, dimension) in list.iter().enumerate() {
        let label = dimension.label();
        let size = [width(label, SIZE, Weight::Regular) + 16.0, 1.15 * SIZE];
        let (shown, spots) = match dimension {
            Dimension::Length { from, to, offset_mm, .. } => {
                let (a, b) = (view.place(*from), view.place(*to));
                length(a, b, view.scale * offset_mm, size[0])
            }
            Dimension::Caliper { touched, line, .. } => {
                caliper(touched.map(|p| view.place(p)), line.map(|p| view.place(p)), size[0])
            }
            Dimension::Radius { centre, radius, toward_deg, .. } => {
                arc(view.place(*centre), view.scale * radius, *toward_deg)
            }
        };
        lines.extend(shown);
        let boxes = spots.iter().map(|c| Area {
            x: (c[0] - 0.5 * size[0]).clamp(page.x, (page.right() - size[0]).max(page.x)),
            y: (c[1] - 0.5 * size[1]).clamp(page.y, (page.bottom() - size[1]).max(page.y)),
            w: size[0],
            h: size[1],
        });
        let candidates: Vec<Area> = boxes.collect();
        let free = |b: &&Area| !taken.iter().any(|t| t.overlaps(b));
        // On their own line words belong, whatever crosses it; beside it they should hide no other measure's line.
        let clear = |b: &&Area| {
            let middle = [b.x + 0.5 * b.w, b.y + 0.5 * b.h];
            let own = dots[i].iter().any(|d| (d[0] - middle[0]).hypot(d[1] - middle[1]) < 0.5 * SIZE);
            let hidden = |k: usize| k != i && !is_tall(&list[k], view);
            let mut others = dots.iter().enumerate().filter(|(k, _)| hidden(*k)).flat_map(|(_, line)| line);
            free(b) && (own || !others.any(|d| b.holds(*d)))
        };
        let chosen = candidates.iter().find(clear).or_else(|| candidates.iter().find(free));
        let Some(&place) = chosen.or_else(|| candidates.first()) else { continue };
        taken.push(place);
        words.push(Item::filled(
            Path::rounded([place.x, place.y], [place.w, place.h], 6.0),
            PAPER.faded(0.92),
        ));
        let at = [place.x + 0.5 * place.w, place.y + 0.5 * place.h + 0.5 * CAP_HEIGHT * SIZE];
        let text = Text::new(at, SIZE, Weight::Regular, INK, label);
        words.push(Item::Text(text.anchored(Anchor::Middle)));
    }
    lines.extend(words);
    lines
}

/// True for an upright caliper of which words beside another line hide no more than a small part.
fn is_tall(dimension: &Dimension, view: &View) -> bool {
    let Dimension::Caliper { line: [p, q], .. } = dimension else { return false };
    let (p, q) = (view.place(*p), view.place(*q));
    (q[1] - p[1]).abs() > 8.0 * SIZE && (q[0] - p[0]).abs() < 1.0
}

/// Points along a dimension line, for words to keep clear of.
fn line_dots(dimension: &Dimension, view: &View) -> Vec<[f64; 2]> {
    const DOTS: u32 = 100;
    let (p, q) = match dimension {
        Dimension::Length { from, to, offset_mm, .. } => {
            let d = [to[0] - from[0], to[1] - from[1]];
            let long = d[0].hypot(d[1]).max(1e-9);
            let off = [-d[1] / long * offset_mm, d[0] / long * offset_mm];
            ([from[0] + off[0], from[1] + off[1]], [to[0] + off[0], to[1] + off[1]])
        }
        Dimension::Caliper { line: [p, q], .. } => (*p, *q),
        Dimension::Radius { centre, radius, toward_deg, .. } => {
            let (sin, cos) = toward_deg.to_radians().sin_cos();
            (*centre, [centre[0] + radius * cos, centre[1] + radius * sin])
        }
    };
    let (p, q) = (view.place(p), view.place(q));
    let at = |i: u32| {
        let t = f64::from(i) / f64::from(DOTS);
        [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]
    };
    (0..=DOTS).map(at).collect()
}

/// Extension lines, the dimension line with a slash at each end, and where words may stand.
fn length(a: [f64; 2], b: [f64; 2], offset: f64, label: f64) -> (Vec<Item>, Vec<[f64; 2]>) {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let long = dx.hypot(dy).max(1e-9);
    let along = [dx / long, dy / long];
    // Left of the way on paper, where y runs down.
    let left = [along[1], -along[0]];
    let off = |p: [f64; 2], d: f64| [p[0] + d * left[0], p[1] + d * left[1]];
    let past = offset + 12.0 * offset.signum();
    let near = 5.0 * offset.signum();
    let mut thin = Path::line(&[off(a, near), off(a, past)]);
    thin.add_line(&[off(b, near), off(b, past)]);
    let (p, q) = (off(a, offset), off(b, offset));
    let mut line = Path::line(&[p, q]);
    for end in [p, q] {
        let slash = [7.0 * (along[0] + left[0]), 7.0 * (along[1] + left[1])];
        line.add_line(&[[end[0] - slash[0], end[1] - slash[1]], [end[0] + slash[0], end[1] + slash[1]]]);
    }
    let items = vec![
        Item::stroked(thin, Stroke::new(QUIET.faded(0.8), 1.4)),
        Item::stroked(line, Stroke::new(ACCENT, 2.4)),
    ];
    (items, word_spots([p, q], offset, label))
}

/// The dimension line between two jaws, each of which reaches from the line toward the point that it touches; and where words may
/// stand.
fn caliper(touched: [[f64; 2]; 2], [p, q]: [[f64; 2]; 2], label: f64) -> (Vec<Item>, Vec<[f64; 2]>) {
    const JAW: f64 = 26.0;
    const BESIDE: f64 = 6.0;
    let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
    let long = dx.hypot(dy).max(1e-9);
    let left = [dy / long, -dx / long];
    let away =
        |end: [f64; 2], touched: [f64; 2]| (end[0] - touched[0]) * left[0] + (end[1] - touched[1]) * left[1];
    // How far the line stands off does not matter: words keep clear of the part in any case.
    let offset = away(p, touched[0]);
    let offset = if offset.abs() < 1.0 { 0.0 } else { BESIDE.copysign(offset) };
    let (mut thin, mut jaws) = (Path::default(), Path::default());
    for (end, touched) in [(p, touched[0]), (q, touched[1])] {
        let away = away(end, touched);
        thin.add_line(&[touched, end]);
        // On the line itself a jaw reaches to both sides; beside the part it reaches toward it.
        let [near, far] =
            if away.abs() < 1.0 { [-0.5 * JAW, 0.5 * JAW] } else { [-JAW, 8.0].map(|d| d * away.signum()) };
        let at = |d: f64| [end[0] + d * left[0], end[1] + d * left[1]];
        jaws.add_line(&[at(near), at(far)]);
    }
    let items = vec![
        Item::stroked(thin, Stroke::new(QUIET.faded(0.8), 1.4)),
        Item::stroked(Path::line(&[p, q]), Stroke::new(ACCENT, 2.4)),
        Item::stroked(jaws, Stroke::new(ACCENT, 6.0)),
    ];
    (items, word_spots([p, q], offset, label))
}

/// Where words may stand at a dimension line that stands off to the left of its way by so much; negative: to the right.
fn word_spots([p, q]: [[f64; 2]; 2], offset: f64, label: f64) -> Vec<[f64; 2]> {
    let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
    let long = dx.hypot(dy).max(1e-9);
    let along = [dx / long, dy / long];
    let left = [along[1], -along[0]];
    let off = |p: [f64; 2], d: f64| [p[0] + d * left[0], p[1] + d * left[1]];
    let mut spots: Vec<[f64; 2]> = Vec::new();
    // Beside the connector, words move outward until their near end clears the points that are measured.
    let aside = left[0] * offset.signum() * (0.5 * label + 14.0 - offset.abs()).max(0.0);
    let aside = if left[0].abs() > 0.7 && offset != 0.0 { aside } else { 0.0 };
    let on_line = |t: f64| [p[0] + t * (q[0] - p[0]) + aside, p[1] + t * (q[1] - p[1])];
    let needed = (label * along[0]).hypot(SIZE * along[1]) + 50.0;
    if long > needed {
        spots.extend([0.5, 0.35, 0.65, 0.2, 0.8].map(on_line));
    }
    // A short measure has its words outside, beyond either end or beside the line: so far that they end before it.
    let half =
        |direction: [f64; 2]| 0.5 * label * direction[0].abs() + 0.5 * SIZE * direction[1].abs() + 10.0;
    let (beside, beyond) = (half(left), half(along));
    for d in [0.0, 34.0, 70.0, 110.0] {
        let (beside, beyond) = ((beside + d).max(34.0), (beyond + d).max(34.0));
        spots.push(off([0.5 * (p[0] + q[0]), 0.5 * (p[1] + q[1])], offset.signum() * beside));
        spots.push([q[0] + beyond * along[0], q[1] + beyond * along[1]]);
        spots.push([p[0] - beyond * along[0], p[1] - beyond * along[1]]);
    }
    spots
}

fn arc(centre: [f64; 2], radius: f64, toward_deg: f64) -> (Vec<Item>, Vec<[f64; 2]>) {
    let (sin, cos) = toward_deg.to_radians().sin_cos();
    let at = |r: f64| [centre[0] + r * cos, centre[1] - r * sin];
    let dot = Item::filled(Path::circle(centre, 4.0), ACCENT);
    let leader = Item::stroked(Path::line(&[centre, at(radius + 30.0)]), Stroke::new(ACCENT, 2.4));
    let tip = Item::filled(Path::circle(at(radius), 4.5), ACCENT);
    let spots = [radius + 46.0, radius + 90.0, -34.0, -70.0].map(at).to_vec();
    (vec![dot, leader, tip], spots)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_dimension_line_stands_off_to_the_left() {
        // From left to right on paper: left is up, where y is smaller.
        let (_, spots) = length([100.0, 500.0], [400.0, 500.0], 40.0, 60.0);
        assert_eq!(spots[0], [250.0, 460.0]);
        let (_, spots) = length([100.0, 500.0], [400.0, 500.0], -40.0, 60.0);
        assert_eq!(spots[0], [250.0, 540.0]);
    }

    #[test]
    fn words_of_a_short_measure_end_before_its_line_and_hide_no_other() {
        let page = Area { x: 0.0, y: 0.0, w: 1000.0, h: 1000.0 };
        let view = View::fitting([0.0, 0.0], [100.0, 100.0], page);
        let line =
            |from, to, label: &str| Dimension::Length { from, to, offset_mm: 20.0, label: label.to_owned() };
        // An upright measure of 3.5 mm, as a lip's, and a level one that ends where words above a notch would stand.
        let list = [
            line([50.0, 53.5], [50.0, 50.0], "lip 3.5"),
            line([10.0, 20.0], [60.0, 20.0], "width 50"),
            line([57.0, 15.0], [62.0, 15.0], "notch 5"),
        ];
        let items = dimensions(&list, &view, page);
        let boxes: Vec<[[f64; 2]; 2]> = items
            .iter()
            .filter_map(|i| if let Item::Text(t) = i { t.outline().bounds() } else { None })
            .collect();
        let dots: Vec<Vec<[f64; 2]>> = list.iter().map(|d| line_dots(d, &view)).collect();
        let hides = |b: &[[f64; 2]; 2], d: &[f64; 2]| (0..2).all(|k| b[0][k] < d[k] && d[k] < b[1][k]);
        assert!(!dots[0].iter().any(|d| hides(&boxes[0], d)), "{boxes:?}");
        assert!(!dots[1].iter().any(|d| hides(&boxes[2], d)), "{boxes:?}");
    }

    #[test]
    fn a_calipers_words_keep_clear_of_the_part_and_its_jaws_stand_on_the_line() {
        let page = Area { x: 0.0, y: 0.0, w: 1000.0, h: 1000.0 };
        let view = View::fitting([0.0, 0.0], [100.0, 100.0], page);
        // The part lies to the right of the line, its touched points at different distances.
        let line = [[40.0, 20.0], [40.0, 80.0]];
        let touched = [[60.0, 20.0], [48.0, 80.0]];
        let label = "overall 60".to_owned();
        let items = dimensions(&[Dimension::Caliper { touched, line, label }], &view, page);
        let words =
            items.iter().find_map(|i| if let Item::Text(t) = i { t.outline().bounds() } else { None });
        assert!(words.unwrap()[1][0] < view.place(line[0])[0], "{words:?}");
        let (shown, _) = caliper(touched.map(|p| view.place(p)), line.map(|p| view.place(p)), 100.0);
        assert_eq!(shown.len(), 3);
    }

    #[test]
    fn words_at_the_same_spot_move_apart() {
        let page = Area { x: 0.0, y: 0.0, w: 1000.0, h: 1000.0 };
        let view = View::fitting([0.0, 0.0], [100.0, 100.0], page);
        let one = Dimension::Length {
            from: [20.0, 50.0],
            to: [80.0, 50.0],
            offset_mm: 5.0,
            label: "width 60".to_owned(),
        };
        let items = dimensions(&[one.clone(), one], &view, page);
        let at: Vec<[f64; 2]> =
            items.iter().filter_map(|i| if let Item::Text(t) = i { Some(t.at) } else { None }).collect();
        assert_eq!(at.len(), 2);
        assert!((at[0][0] - at[1][0]).abs() > 50.0 || (at[0][1] - at[1][1]).abs() > 30.0, "{at:?}");
    }
}
