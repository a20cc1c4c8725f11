//! Draws a map: a connector under load with its stress, the straps that pull it, and what spine and gate carry.

use crate::balance::balance;
use crate::bodies::{self, FieldPicture};
use crate::body_field::{BodyField, Field};
use crate::colour::Scale;
use crate::drawing::{Drawing, Item};
use crate::frame::{Head, HeadType, Page, Placed};
use crate::label_places::Room;
use crate::layout::{Area, View, bounds};
use crate::legend::Legend;
use crate::look::{ACCENT, HEADLINE, INK, LABEL, MARGIN};
use crate::map_layout::Layout;
use crate::map_places::{MapPlaces, corners};
use crate::occupied::{Occupied, Taken};
use crate::path::Path;
use crate::ruler::Span;
use crate::stage::Stage;
use crate::stress_map::StressMap;
use crate::text::{Anchor, Text, Weight};
use crate::trajectories::Plan;
use crate::{callouts, nose_window, rig_shapes};

/// So many of a thousand nodes lie within the colours.
const NEARLY_ALL: usize = 985;

/// The range of the colours of one or more maps, with their fields on frame and gate: what nearly all of the bodies show,
/// of the map that shows most; contact points may be far above. Where yield stresses differ the lowest sets the range.
pub(crate) fn span_of(maps: &[(&StressMap<'_>, [&[f64]; 2])]) -> Span {
    let most = maps.iter().map(|(map, fields)| map.nearly_most(*fields)).fold(0.0, f64::max);
    let yields = maps.iter().map(|(map, _)| map.yield_mpa).fold(f64::INFINITY, f64::min);
    let scale = match maps.first().map(|(map, _)| map.field) {
        Some(Field::PullDirection | Field::Principal) => Scale::TwoSided,
        _ => Scale::Glow,
    };
    let told = maps.iter().flat_map(|(map, _)| &map.callouts).filter(|c| c.trusted).map(|c| c.value_mpa);
    Span::new(most, yields, scale).telling(told)
}

/// A map that has found its places.
struct Laid<'a> {
    layout: Layout,
    head: Placed,
    /// From millimetres to the page.
    view: View,
    inset: Option<nose_window::Placed<'a>>,
    labels: Vec<callouts::Placed>,
}

/// A circle as a polygon.
fn circle(centre: [f64; 2], radius: f64) -> Vec<[f64; 2]> {
    const SIDES: u32 = 24;
    let turn = |i: u32| std::f64::consts::TAU * f64::from(i) / f64::from(SIDES);
    (0..SIDES).map(|i| [centre[0] + radius * turn(i).cos(), centre[1] + radius * turn(i).sin()]).collect()
}

/// In the column beside a connector words are held to their room.
const HEAD: HeadType = HeadType {
    title: [34.0, LABEL],
    second: [LABEL, 28.0],
    sentence: [HEADLINE, 40.0, 26.0],
    gaps: [20.0, 14.0],
    grows: false,
};

/// How far the straps of a map run, page units.
fn reach(layout: &Layout) -> f64 {
    0.75 * layout.page.height
}

impl StressMap<'_> {
    /// Lays the picture out for a size in pixels.
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let laid = self.laid(width_px, height_px);
        let Laid { layout, head, view, inset, labels } = &laid;
        let [frame, gate] = self.fields();
        let span = span_of(&[(self, [&frame, &gate])]);
        let plan = self.trajectory_plan();
        let stage = Stage { view, span, plan: &plan, unit: layout.page.unit, reach: reach(layout) };

        let mut items = Vec::new();
        items.push(Item::Clipped {
            clip: Path::rectangle([0.0, layout.rig[0]], [layout.page.width, layout.rig[1] - layout.rig[0]]),
            items: self.stage(&stage, [&frame, &gate]),
        });
        items.extend(head.items.iter().cloned());
        if let Some(inset) = inset {
            items.extend(inset.frame(view));
            items.extend(inset.items(self, &stage, [&frame, &gate]));
        }
        for label in labels {
            items.extend(label.items());
        }
        let legend = Legend {
            field: self.field,
            words: &self.words,
            span,
            yield_mpa: Some(self.yield_mpa),
            plan: &plan,
            scale: view.scale,
            named: Anchor::End,
        };
        items.extend(legend.items(layout.ruler, 0.0, LABEL));
        items.extend(self.pull_words(layout, view).map(Item::Text));
        items.extend(balance(self, layout.balance, 1.0));
        let page = &layout.page;
        items.extend(page.foot(self.caution, &self.source_line).items());
        page.drawing(&self.words.name, self.words.description.clone(), items)
    }

    /// Finds the places of all pieces for a size in pixels.
    fn laid(&self, width_px: u32, height_px: u32) -> Laid<'_> {
        let page = Page::new(width_px, height_px);
        let whole = Layout::new(page, page.foot(self.caution, &self.source_line).area);
        let mut layout = whole;
        if self.nose.is_some() {
            layout.keep_for_inset(nose_window::least_height(self.field, LABEL));
        }
        let mut head = self.head(&layout);
        // What cuts a headline, small as it may be, is no room for an inset.
        if self.nose.is_some() && head.cut {
            layout = whole;
            head = self.head(&layout);
        }
        let [low, high] = bounds(self.frame.outline.iter().chain(&self.gate.outline).flatten());
        let view = View::fitting(low, high, layout.stage);
        let words_end = head.end;
        let inset = self
            .nose
            .as_ref()
            .and_then(|nose| nose.place(self.field, &view, layout.inset_below(words_end), LABEL));
        let occupied = self.occupied(&layout, &view, words_end, inset.as_ref());
        let room = Room { occupied: &occupied, columns: layout.columns, stage: layout.around_stage() };
        let labels = callouts::place(&self.callouts, &view, &room);
        Laid { layout, head, view, inset, labels }
    }

    /// Where the pieces of the picture stand on a page of a size in pixels.
    #[must_use]
    pub fn places(&self, width_px: u32, height_px: u32) -> MapPlaces {
        let Laid { layout, view, inset, labels, .. } = self.laid(width_px, height_px);
        let polygons = |body: &BodyField<'_>| body.outline.iter().map(|points| view.places(points)).collect();
        let load = |load| rig_shapes::covered(load, &view, reach(&layout));
        MapPlaces {
            labels: labels.iter().map(callouts::Placed::place).collect(),
            wanted: self.callouts.len(),
            frame: polygons(&self.frame),
            gate: polygons(&self.gate),
            loads: [&self.upper, &self.lower].map(load).to_vec(),
            pins: self.pins.iter().map(|(at, radius)| (view.place(*at), view.scale * radius)).collect(),
            inset: inset.map(|inset| [corners(&inset.area()), inset.on_map(&view)]),
        }
    }

    /// Bodies, straps and pins inside a part of a page of the usual size, without words. Straps run out of the area above and
    /// below.
    pub(crate) fn small(&self, area: Area, page: &Page) -> Vec<Item> {
        let [low, high] = bounds(self.frame.outline.iter().chain(&self.gate.outline).flatten());
        let room = 0.14 * area.h;
        let view = View::fitting(low, high, Area { y: area.y + room, h: area.h - 2.0 * room, ..area });
        let [frame, gate] = self.fields();
        let span = span_of(&[(self, [&frame, &gate])]);
        let plan = self.trajectory_plan();
        let stage = Stage { view: &view, span, plan: &plan, unit: page.unit, reach: 0.75 * page.height };
        let items = self.stage(&stage, [&frame, &gate]);
        // Shadow and rim lie a little outside the bodies.
        let rim = 30.0;
        let clip = Path::rectangle([area.x - rim, area.y], [area.w + 2.0 * rim, area.h]);
        vec![Item::Clipped { clip, items }]
    }

    fn trajectory_plan(&self) -> Plan {
        Plan::new(self.with_trajectories())
    }

    /// The bodies that carry trajectories.
    pub(crate) fn with_trajectories(&self) -> Vec<&BodyField<'_>> {
        if self.gate_open { vec![&self.frame] } else { vec![&self.frame, &self.gate] }
    }

    /// The shown stress at the nodes of frame and gate, MPa.
    pub(crate) fn fields(&self) -> [Vec<f64>; 2] {
        let up = self.upper.direction();
        [&self.frame, &self.gate].map(|body| bodies::field_of(body, self.field, up))
    }

    /// What nearly all nodes stay below, MPa.
    fn nearly_most(&self, [frame, gate]: [&[f64]; 2]) -> f64 {
        let shown_gate = if self.gate_open { &[][..] } else { gate };
        let mut sizes: Vec<f64> =
            frame.iter().chain(shown_gate).map(|v| v.abs()).filter(|v| v.is_finite()).collect();
        sizes.sort_unstable_by(f64::total_cmp);
        let place = (sizes.len() * NEARLY_ALL / 1000).min(sizes.len().saturating_sub(1));
        sizes.get(place).copied().unwrap_or(0.0)
    }

    /// Straps, bars, bodies and pins, back to front.
    pub(crate) fn stage(&self, stage: &Stage<'_>, fields: [&[f64]; 2]) -> Vec<Item> {
        let Stage { view, span, plan, unit, reach } = *stage;
        let loads = [&self.upper, &self.lower];
        let mut items = Vec::new();
        items.extend(bodies::shadow(&self.frame, view));
        for load in loads {
            items.extend(rig_shapes::behind(load, view, reach));
        }
        let picture = |body, field| FieldPicture { body, field, span, view, unit };
        let trajectories = (self.field == Field::Trajectories).then_some(plan);
        if let Some(plan) = trajectories {
            items.extend(plan.body(&self.frame, view, INK));
        } else {
            items.extend(picture(&self.frame, fields[0]).items());
        }
        for load in loads {
            items.extend(rig_shapes::in_front(load, view, &self.frame, reach));
        }
        if self.gate_open {
            items.extend(bodies::ghost(&self.gate, view));
        } else {
            items.extend(bodies::halo(&self.gate, view));
            items.extend(match trajectories {
                // In the gate's colour of the see-saw.
                Some(plan) => plan.body(&self.gate, view, ACCENT),
                None => picture(&self.gate, fields[1]).items(),
            });
            items.extend(bodies::hidden_edges(&self.frame, &self.gate, view));
        }
        for (centre, radius) in &self.pins {
            items.extend(rig_shapes::pin(view.place(*centre), view.scale * radius, self.gate_open));
        }
        items
    }

    /// Title, rig and headline; `shape_note` stands with the rig.
    fn head(&self, layout: &Layout) -> Placed {
        let rig = self.shape_note.as_ref().map(|note| format!("{}; {note}", self.subtitle));
        let head = Head {
            title: &self.title,
            subtitle: rig.as_deref().unwrap_or(&self.subtitle),
            sentence: &self.sentence,
            beyond: self.beyond.as_deref(),
            then: "",
        };
        head.place(layout.words, HEAD)
    }

    /// The pull, written beside both straps.
    fn pull_words(&self, layout: &Layout, view: &View) -> [Text; 2] {
        let [top, bottom] = layout.rig;
        [(&self.upper, top + MARGIN + 22.0), (&self.lower, bottom - 34.0)].map(|(load, y)| {
            let x = rig_shapes::right_edge_at(load, view, y) + 18.0;
            Text::new([x, y], 34.0, Weight::Bold, INK, self.words.pull.as_str())
        })
    }

    /// What of the page is taken before the callouts find their places.
    fn occupied(
        &self,
        layout: &Layout,
        view: &View,
        bottom: f64,
        inset: Option<&nose_window::Placed<'_>>,
    ) -> Occupied {
        let mut page = Occupied::new(layout.page.width, layout.page.height);
        if let Some([low, high]) = inset.map(|inset| inset.on_map(view)) {
            page.take(Area { x: low[0], y: low[1], w: high[0] - low[0], h: high[1] - low[1] }, Taken::Body);
        }
        for load in [&self.upper, &self.lower] {
            page.fill(&[rig_shapes::covered(load, view, reach(layout))], Taken::Load);
        }
        for body in [&self.frame, &self.gate] {
            let loops: Vec<Vec<[f64; 2]>> = body.outline.iter().map(|points| view.places(points)).collect();
            page.fill(&loops, Taken::Body);
        }
        for (centre, radius) in &self.pins {
            page.fill(&[circle(view.place(*centre), view.scale * radius)], Taken::Body);
        }
        let words = Area { h: bottom - layout.words.y, ..layout.words };
        let name = Legend::NAME;
        let ruler = Area {
            x: layout.ruler.x - 12.0,
            y: layout.ruler.y - name,
            w: layout.ruler.w + 12.0,
            h: layout.ruler.h + name,
        };
        let pulls = self.pull_words(layout, view).map(|text| Area {
            x: text.at[0],
            y: text.at[1] - text.size,
            w: text.width(),
            h: 1.2 * text.size,
        });
        for area in [words, ruler, layout.balance, layout.footer]
            .into_iter()
            .chain(pulls)
            .chain(inset.map(|inset| inset.area().grown(8.0)))
        {
            page.take(area, Taken::Words);
        }
        page.count();
        page
    }
}
