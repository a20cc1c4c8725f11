//! The nose with its notch, enlarged in a window beside the connector: a shut gate hides it on the map.
//!
//! The body that has the notch carries its field in the colours of the map; the other body and the pin are outlines only.
//! Arrows are the forces of the pin on the notch, told in kN; below the window stands what lip and pin hold.

use crate::bodies::{self, FieldPicture};
use crate::body_field::{BodyField, Field};
use crate::drawing::{Item, Stroke};
use crate::layout::{Area, View};
use crate::look::{ACCENT, INK, LABEL, PAPER};
use crate::nose_inset::{ContactForce, NoseInset};
use crate::path::Path;
use crate::stage::Stage;
use crate::stress_map::StressMap;
use crate::text::{Anchor, Block, CAP_HEIGHT, LINE_HEIGHT, Text, Weight};

/// So many times as large as the map is the window drawn, where it has room.
const ENLARGED: f64 = 4.0;
/// Below this the window would show nothing that the map does not.
const LEAST_ENLARGED: f64 = 1.8;
/// Least height of the window, units.
pub(crate) const LEAST_WINDOW: f64 = 140.0;
/// Largest height of the window over its width.
const TALLEST: f64 = 0.8;
/// Between the window and the words below it.
const BELOW: f64 = 8.0;
const ROUND: f64 = 26.0;
/// Length of the arrow of the largest force over the window's height.
const LONGEST_ARROW: f64 = 0.36;
/// Forces below this part of the largest have no number of their own.
const TOLD: f64 = 0.08;

/// An inset that has found its size.
pub(crate) struct Placed<'a> {
    inset: &'a NoseInset,
    /// Below the window; a bare one has none, and no numbers at its arrows.
    words: Option<Block>,
    window: Area,
    view: View,
    enlarged: f64,
}

impl NoseInset {
    /// Places the window and its words at the top of an area, for a map drawn with `map_view`; `size` is that of its type.
    /// None where the area is too small.
    pub(crate) fn place(&self, field: Field, map_view: &View, area: Area, size: f64) -> Option<Placed<'_>> {
        let words_for = |aside: Option<&str>, enlarged: f64| {
            let lines = (field == Field::Trajectories).then(|| (self.lines_carry)(enlarged));
            let parts = [Some(self.holds.as_str()), aside, lines.as_deref()];
            let note: Vec<&str> = parts.into_iter().flatten().filter(|part| !part.is_empty()).collect();
            Block::whole(&note.join("; "), Weight::Regular, size, 0.85 * size, area.w, 4)
        };
        let placed_with = |aside: Option<&str>| {
            // How many times enlarged changes no line.
            let room = area.h - words_for(aside, ENLARGED).height() - BELOW;
            let placed = self.place_bare(map_view, Area { h: room, ..area })?;
            let words = Some(words_for(aside, placed.enlarged));
            Some(Placed { words, ..placed })
        };
        placed_with(self.aside).or_else(|| placed_with(None))
    }

    /// The window alone, at the top of an area, for pictures that tell the force elsewhere.
    pub(crate) fn place_bare(&self, map_view: &View, area: Area) -> Option<Placed<'_>> {
        let window = Area { h: area.h.min(TALLEST * area.w), ..area };
        let [low, high] = self.shown;
        let enlarged = (View::fitting(low, high, window).scale / map_view.scale).min(ENLARGED);
        if window.h < LEAST_WINDOW || enlarged < LEAST_ENLARGED {
            return None;
        }
        // The window shows as much around the box as its own shape has room for.
        let scale = enlarged * map_view.scale;
        let half = [0.5 * window.w / scale, 0.5 * window.h / scale];
        let middle = [0, 1].map(|k| 0.5 * (low[k] + high[k]));
        let seen = [[0, 1].map(|k| middle[k] - half[k]), [0, 1].map(|k| middle[k] + half[k])];
        let view = View::fitting(seen[0], seen[1], window);
        Some(Placed { inset: self, words: None, window, view, enlarged })
    }
}

impl Placed<'_> {
    /// Window and words together.
    pub fn area(&self) -> Area {
        let below = self.words.as_ref().map_or(0.0, |words| BELOW + words.height());
        Area { h: self.window.h + below, ..self.window }
    }

    /// The frame around the place on the map.
    pub fn frame(&self, map_view: &View) -> Vec<Item> {
        let [a, b] = self.on_map(map_view);
        let place = Path::rounded(a, [b[0] - a[0], b[1] - a[1]], ROUND / self.enlarged);
        vec![
            Item::stroked(place.clone(), Stroke::new(PAPER.faded(0.9), 5.5)),
            Item::stroked(place, Stroke::new(ACCENT, 2.6)),
        ]
    }

    /// That frame, and the line from there to the window.
    pub fn leader(&self, map_view: &View) -> Vec<Item> {
        let line = Path::line(&self.line(map_view));
        let mut items = vec![
            Item::stroked(line.clone(), Stroke::new(PAPER.faded(0.85), 5.0)),
            Item::stroked(line, Stroke::new(ACCENT, 2.0)),
        ];
        items.extend(self.frame(map_view));
        items
    }

    /// Where that line begins and ends.
    fn line(&self, map_view: &View) -> [[f64; 2]; 2] {
        let [a, b] = self.on_map(map_view);
        let y = 0.5 * (a[1] + b[1]);
        let level = y.clamp(self.window.y + ROUND, (self.window.bottom() - ROUND).max(self.window.y + ROUND));
        if self.window.x > b[0] {
            [[self.window.x, level], [b[0], y]]
        } else {
            [[self.window.right(), level], [a[0], y]]
        }
    }

    /// What the window shows, as it lies on the map: upper left and lower right corner.
    pub fn on_map(&self, map_view: &View) -> [[f64; 2]; 2] {
        let [low, high] = self.inset.shown;
        let half = [0.5 * self.window.w / self.view.scale, 0.5 * self.window.h / self.view.scale];
        let middle = [0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1])];
        [
            map_view.place([middle[0] - half[0], middle[1] + half[1]]),
            map_view.place([middle[0] + half[0], middle[1] - half[1]]),
        ]
    }

    /// The window and the words below it. `fields`: those of frame and gate.
    pub fn items(&self, map: &StressMap<'_>, stage: &Stage<'_>, fields: [&[f64]; 2]) -> Vec<Item> {
        let Self { window, view, .. } = self;
        let path = Path::rounded([window.x, window.y], [window.w, window.h], ROUND);
        let mut inside = Vec::new();
        let (whole, values, other) = if self.inset.notch_on_gate {
            (&map.gate, fields[1], &map.frame)
        } else {
            (&map.frame, fields[0], &map.gate)
        };
        let part = Part::of(whole, values, view, *window);
        let body = part.body(whole);
        if map.field == Field::Trajectories {
            inside.extend(stage.plan.body(&body, view, if self.inset.notch_on_gate { ACCENT } else { INK }));
        } else {
            let picture =
                FieldPicture { body: &body, field: &part.field, span: stage.span, view, unit: stage.unit };
            inside.extend(picture.items());
        }
        let edge = bodies::outline(other, view);
        inside.push(Item::stroked(edge.clone(), Stroke::new(PAPER.faded(0.85), 7.0)));
        inside.push(Item::stroked(edge, Stroke::new(ACCENT, 3.0)));
        if let Some((centre, radius)) = map.pins.first() {
            let circle = Path::circle(view.place(*centre), view.scale * radius);
            inside.push(Item::filled(circle.clone(), PAPER.faded(0.3)));
            inside.push(Item::stroked(circle.clone(), Stroke::new(PAPER.faded(0.85), 7.0)));
            inside.push(Item::stroked(circle, Stroke::new(INK, 3.0)));
        }
        inside.extend(self.arrows());
        let mut items = vec![
            Item::filled(path.clone(), PAPER),
            Item::Clipped { clip: path.clone(), items: inside },
            Item::stroked(path, Stroke::new(ACCENT, 3.0)),
        ];
        let words =
            self.words.iter().flat_map(|w| w.place(window.x, window.bottom() + BELOW, Anchor::Start, INK));
        items.extend(words.map(Item::Text));
        items
    }

    /// Arrows that end where the pin presses, with their numbers at the other end.
    fn arrows(&self) -> Vec<Item> {
        let size = |f: &ContactForce| f.kn[0].hypot(f.kn[1]);
        let largest = self.inset.forces.iter().map(size).fold(0.0, f64::max);
        let mut items = Vec::new();
        let mut numbers: Vec<Area> = Vec::new();
        for force in self.inset.forces.iter().filter(|f| size(f) > 0.0) {
            let part = size(force) / largest;
            let long = LONGEST_ARROW * self.window.h * part;
            let along = [force.kn[0] / size(force), -force.kn[1] / size(force)];
            let tip = self.view.place(force.at);
            let from = |back: f64, side: f64| {
                [tip[0] - back * along[0] - side * along[1], tip[1] - back * along[1] + side * along[0]]
            };
            let head = (0.5 * long).min(26.0);
            let (thin, wide) = (0.17 * head, 0.5 * head);
            let arrow = [
                from(0.0, 0.0),
                from(head, wide),
                from(head, thin),
                from(long, thin),
                from(long, -thin),
                from(head, -thin),
                from(head, -wide),
            ];
            let path = Path::polygons([arrow.as_slice()]);
            items.push(Item::stroked(path.clone(), Stroke::new(PAPER, 6.0)));
            items.push(Item::filled(path, INK));
            if part < TOLD || self.words.is_none() {
                continue;
            }
            let text = Text::new([0.0; 2], LABEL, Weight::Bold, INK, force.told.as_str());
            let (wide, tall) = (text.width(), CAP_HEIGHT * LABEL);
            // Left of the arrow's end, toward the mouth of the notch.
            let end = from(long, 0.0);
            let middle = [end[0] - 0.5 * wide - 26.0, end[1] + along[1] * 0.5 * tall];
            let inset = self.window;
            let x = middle[0].clamp(inset.x + 0.5 * wide + 14.0, inset.right() - 0.5 * wide - 14.0);
            let y = middle[1].clamp(inset.y + 0.5 * tall + 14.0, inset.bottom() - 0.5 * tall - 14.0);
            let mut place = Area { x: x - 0.5 * wide, y: y - 0.5 * tall, w: wide, h: tall };
            // A number that another one stands on moves down beside it.
            while let Some(other) = numbers.iter().find(|other| other.overlaps(&place)) {
                place.y = other.bottom() + 10.0;
            }
            // Below the window there is no room for it.
            if place.bottom() + 8.0 > inset.bottom() {
                continue;
            }
            numbers.push(place);
            let at = [place.x + 0.5 * wide, place.y + tall];
            let text = Text { at, ..text.anchored(Anchor::Middle) };
            let chip = Path::rounded([place.x - 9.0, place.y - 8.0], [wide + 18.0, tall + 16.0], 9.0);
            items.push(Item::filled(chip, PAPER.faded(0.94)));
            items.push(Item::Text(text));
        }
        items
    }
}

/// The room that an inset takes at least, words included.
pub(crate) fn least_height(field: Field, size: f64) -> f64 {
    let lines = if field == Field::Trajectories { 4.0 } else { 2.0 };
    LEAST_WINDOW + BELOW + lines * LINE_HEIGHT * size
}

/// The triangles of a body that a window shows, with the nodes that they need: the whole body enlarged would be a picture
/// many times as large as its window.
struct Part {
    points: Vec<[f64; 2]>,
    triangles: Vec<[u32; 6]>,
    field: Vec<f64>,
    values: Vec<f64>,
    nodal_stress: Vec<[f64; 3]>,
    breadth: Vec<f64>,
}

impl Part {
    fn of(body: &BodyField<'_>, field: &[f64], view: &View, window: Area) -> Self {
        let rim = 12.0;
        let seen = |nodes: &&[u32; 6]| {
            let on_page = nodes.map(|n| view.place(body.points[n as usize]));
            let most = |k: usize| on_page.iter().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max);
            let least = |k: usize| on_page.iter().map(|p| p[k]).fold(f64::INFINITY, f64::min);
            most(0) > window.x - rim
                && least(0) < window.right() + rim
                && most(1) > window.y - rim
                && least(1) < window.bottom() + rim
        };
        let mut part = Self {
            points: Vec::new(),
            triangles: Vec::new(),
            field: Vec::new(),
            values: Vec::new(),
            nodal_stress: Vec::new(),
            breadth: Vec::new(),
        };
        let mut new_of: Vec<Option<u32>> = vec![None; body.points.len()];
        for nodes in body.triangles.iter().filter(seen) {
            let kept = nodes.map(|n| {
                let n = n as usize;
                *new_of[n].get_or_insert_with(|| {
                    part.points.push(body.points[n]);
                    part.field.push(field[n]);
                    part.values.push(body.values[n]);
                    part.nodal_stress.push(body.nodal_stress[n]);
                    part.breadth.push(body.breadth[n]);
                    #[expect(clippy::cast_possible_truncation, reason = "no more nodes than the body has")]
                    let new = (part.points.len() - 1) as u32;
                    new
                })
            });
            part.triangles.push(kept);
        }
        part
    }

    /// The part as a body, with the whole body's outline.
    fn body(&self, whole: &BodyField<'_>) -> BodyField<'_> {
        BodyField {
            points: &self.points,
            triangles: &self.triangles,
            values: &self.values,
            outline: whole.outline.clone(),
            nodal_stress: &self.nodal_stress,
            breadth: &self.breadth,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inset() -> NoseInset {
        NoseInset {
            shown: [[20.0, 10.0], [32.0, 19.0]],
            notch_on_gate: false,
            forces: vec![ContactForce { at: [26.0, 13.0], kn: [0.0, -4.4], told: "4.4 kN".to_owned() }],
            holds: "lip holds 11.2 kN, pin 12.5 kN".to_owned(),
            aside: None,
            lines_carry: |enlarged| enlarged.to_string(),
        }
    }

    fn map_view() -> View {
        View::fitting([-40.0, -60.0], [40.0, 60.0], Area { x: 500.0, y: 100.0, w: 600.0, h: 840.0 })
    }

    const LEFT: Area = Area { x: 56.0, y: 440.0, w: 430.0, h: 400.0 };

    #[test]
    fn the_window_is_about_four_times_enlarged_and_keeps_to_its_area() {
        let (inset, view) = (inset(), map_view());
        let placed = inset.place(Field::VonMises, &view, LEFT, LABEL).unwrap();
        assert!((3.0..=4.0).contains(&placed.enlarged), "{}", placed.enlarged);
        let area = placed.area();
        assert!(area.h <= LEFT.h + 1e-9 && area.w <= LEFT.w);
        // What it shows on the map is the window, so many times smaller.
        let [a, b] = placed.on_map(&view);
        assert!((placed.window.w / (b[0] - a[0]) - placed.enlarged).abs() < 1e-9);
        let p = placed.view.place([26.0, 14.5]);
        assert!((p[0] - (placed.window.x + 0.5 * placed.window.w)).abs() < 1e-6);
    }

    #[test]
    fn an_area_too_low_has_no_window() {
        let inset = inset();
        assert!(inset.place(Field::VonMises, &map_view(), Area { h: 150.0, ..LEFT }, LABEL).is_none());
    }

    #[test]
    fn each_force_has_its_number_and_no_number_stands_on_another() {
        let mut inset = inset();
        inset.forces.push(ContactForce { at: [26.2, 13.1], kn: [0.1, -4.0], told: "4.0 kN".to_owned() });
        let placed = inset.place(Field::VonMises, &map_view(), LEFT, LABEL).unwrap();
        let said: Vec<Text> = placed
            .arrows()
            .into_iter()
            .filter_map(|item| match item {
                Item::Text(text) => Some(text),
                _ => None,
            })
            .collect();
        assert_eq!(said.iter().map(|t| t.words.as_str()).collect::<Vec<_>>(), ["4.4 kN", "4.0 kN"]);
        assert!((said[0].at[1] - said[1].at[1]).abs() > CAP_HEIGHT * LABEL);
    }
}
