//! What names the curves of a chart: markers on them, and words beside the plot that keep clear of each other.

use crate::chart_page::TYPE;
use crate::colour::Rgba;
use crate::drawing::{Item, Stroke};
use crate::layout::Area;
use crate::path::Path;
use crate::text::{CAP_HEIGHT, Text, Weight, width};

/// How a series is told apart besides its colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Marker {
    Disc,
    Square,
    Triangle,
    Diamond,
    Ring,
    Bar,
    Cross,
}

pub(crate) const MARKERS: [Marker; 7] = [
    Marker::Square,
    Marker::Triangle,
    Marker::Diamond,
    Marker::Disc,
    Marker::Ring,
    Marker::Cross,
    Marker::Bar,
];

impl Marker {
    /// The marker at a point of the page.
    pub fn item(self, [x, y]: [f64; 2], size: f64, colour: Rgba) -> Item {
        let r = 0.5 * size;
        let polygon = |points: &[[f64; 2]]| Item::filled(Path::polygons([points]), colour);
        match self {
            Self::Disc => Item::filled(Path::circle([x, y], r), colour),
            Self::Square => {
                Item::filled(Path::rectangle([x - 0.85 * r, y - 0.85 * r], [1.7 * r, 1.7 * r]), colour)
            }
            Self::Triangle => polygon(&[[x, y - 1.1 * r], [x + r, y + 0.8 * r], [x - r, y + 0.8 * r]]),
            Self::Diamond => polygon(&[[x, y - 1.2 * r], [x + r, y], [x, y + 1.2 * r], [x - r, y]]),
            Self::Ring => Item::stroked(Path::circle([x, y], 0.8 * r), Stroke::new(colour, 0.4 * r)),
            Self::Bar => Item::stroked(Path::line(&[[x - r, y], [x + r, y]]), Stroke::new(colour, 0.7 * r)),
            Self::Cross => {
                let mut path = Path::line(&[[x - r, y - r], [x + r, y + r]]);
                path.add_line(&[[x - r, y + r], [x + r, y - r]]);
                Item::stroked(path, Stroke::new(colour, 0.5 * r))
            }
        }
    }
}

/// Words that name a line at its end.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Label {
    /// Height on the page where the line ends.
    pub y: f64,
    pub words: String,
    pub colour: Rgba,
    pub weight: Weight,
    pub marker: Option<Marker>,
    /// Whether a thin line leads from the curve to the words.
    pub leader: bool,
}

/// Labels in a column beside a plot, each as near its line as the others let it.
pub(crate) fn labels(mut all: Vec<Label>, plot: Area, room: f64, items: &mut Vec<Item>) {
    const APART: f64 = 1.22 * TYPE;
    all.sort_by(|a, b| a.y.total_cmp(&b.y));
    let mut ys: Vec<f64> = all.iter().map(|l| l.y).collect();
    // Down, then up again from the bottom: whatever fits keeps clear.
    for i in 0..ys.len() {
        let least = if i == 0 { plot.y } else { ys[i - 1] + APART };
        ys[i] = ys[i].max(least);
    }
    let mut most = plot.bottom();
    for y in ys.iter_mut().rev() {
        *y = y.min(most);
        most = *y - APART;
    }
    for (label, y) in all.iter().zip(ys) {
        let x = plot.right() + 44.0;
        if label.leader {
            let leader = Path::line(&[[plot.right() + 4.0, label.y], [x - 16.0, y]]);
            items.push(Item::stroked(leader, Stroke::new(label.colour, 1.5)));
        }
        if let Some(marker) = label.marker {
            items.push(marker.item([x - 6.0, y], 15.0, label.colour));
        }
        let start = if label.marker.is_some() { x + 10.0 } else { x - 10.0 };
        let fits = (plot.right() + room - start) / width(&label.words, TYPE, label.weight);
        let at = [start, y + 0.5 * CAP_HEIGHT * TYPE];
        items.push(Item::Text(Text::new(
            at,
            TYPE * fits.min(1.0),
            label.weight,
            label.colour,
            label.words.as_str(),
        )));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::look::INK;

    #[test]
    fn labels_keep_apart_and_inside() {
        let plot = Area { x: 0.0, y: 0.0, w: 100.0, h: 200.0 };
        let label = |y| Label {
            y,
            words: "x".to_owned(),
            colour: INK,
            weight: Weight::Regular,
            marker: None,
            leader: true,
        };
        let mut items = Vec::new();
        labels(vec![label(100.0), label(101.0), label(199.0), label(200.0)], plot, 300.0, &mut items);
        let ys: Vec<f64> =
            items.iter().filter_map(|i| if let Item::Text(t) = i { Some(t.at[1]) } else { None }).collect();
        assert_eq!(ys.len(), 4);
        assert!(ys.windows(2).all(|w| w[1] - w[0] > TYPE), "{ys:?}");
        assert!(ys[3] <= 200.0 + TYPE, "{ys:?}");
    }
}
