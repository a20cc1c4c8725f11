//! Variants side by side: one scale of colour, one scale of length, one table of numbers.
//!
//! Three to six connectors stand in a row with one table under them, so that each row of numbers is read across, in the
//! largest type that leaves the connectors room: the picture is read on telephones too. Two are tall enough to have their
//! numbers beside them.

use crate::common_scale::{common_scale, extent};
use crate::drawing::{Drawing, Item, Stroke};
use crate::frame::{Head, Page};
use crate::inset_room::{self, Split};
use crate::layout::{Area, View};
use crate::legend::Legend;
use crate::look::{ACCENT, INK, LABEL, PAPER, QUIET};
use crate::map_drawing::span_of;
use crate::nose_window;
use crate::path::Path;
use crate::ruler::Span;
use crate::stage::Stage;
use crate::stress_map::StressMap;
use crate::text::{Anchor, Block, CAP_HEIGHT, LINE_HEIGHT, Text, Weight, width as width_of};
use crate::trajectories::Plan;

/// One connector of a comparison.
#[derive(Clone, Debug)]
pub struct Variant<'a> {
    /// What differs, in a few words: "notch depth 6 mm".
    pub label: String,
    /// The connector under load.
    pub map: StressMap<'a>,
    /// Its numbers, one for each of [`Comparison::rows`].
    pub numbers: Vec<Number>,
    /// Where the part is that fails first, mm: a ring marks it.
    pub mark: [f64; 2],
}

/// A number of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Number {
    /// With its unit: "44 %".
    pub value: String,
    /// What there is to say beside it, in few words; may be empty.
    pub beside: String,
}

/// Two to six variants.
#[derive(Clone, Debug)]
pub struct Comparison<'a> {
    /// Name of the connector, or of what is compared.
    pub title: String,
    /// What all variants share, and what was left out.
    pub subtitle: String,
    /// The difference in one sentence.
    pub sentence: String,
    /// Which variants are loaded beyond what they hold, and what their stresses then tell.
    pub beyond: Option<String>,
    /// What the numbers are, in the order of the table.
    pub rows: Vec<String>,
    /// The variants.
    pub variants: Vec<Variant<'a>>,
    /// What a ring marks.
    pub ring: String,
    /// Short name of the picture, for screen readers.
    pub name: String,
    /// The picture in words.
    pub description: String,
    /// The line that says what this picture is not.
    pub caution: &'a str,
    /// Program and inputs.
    pub source_line: String,
}

/// What all connectors of a picture share.
pub(crate) struct Shared {
    fields: Vec<[Vec<f64>; 2]>,
    /// Range of the colours.
    pub span: Span,
    /// Thickness of trajectories.
    pub plan: Plan,
}

/// Page of 1600 by 1200 units.
const PAGE: [f64; 2] = [1600.0, 1200.0];
const RULER: f64 = 72.0;
/// Room above and below a connector where its straps show.
const STRAP: f64 = 34.0;
/// Room for what differs, over each connector.
const LABEL_BOX: f64 = 44.0;
/// Least type of a label.
const LEAST_LABEL: f64 = 22.0;
/// Type of the legend, and the least and the largest of a table.
const CELL: f64 = 28.0;
const LARGEST_CELL: f64 = 44.0;
/// Type of the words beside a number, over that of the number.
const BESIDE: f64 = 0.82;
/// The table's type grows until the connectors have no more than this height.
const LEAST_STAGE: f64 = 370.0;
/// More of these in a row than this are too narrow for an inset within their height: the page grows by its height.
const WIDE_ENOUGH: usize = 3;
const TALLER: f64 = inset_room::LOWEST + 26.0;
/// Columns beyond which there is no room for words beside a number.
const WORDY: usize = 4;
/// Least width of the names of a table's rows: a ruler stands over them.
const CORNER: f64 = 200.0;
/// Radius of the ring around what fails first.
const RING: f64 = 12.0;
/// Height of the enlarged nose over the width of the numbers below it.
const INSET: f64 = 0.76;

impl Shared {
    /// Of maps that show the same field.
    pub fn new(maps: &[&StressMap<'_>]) -> Self {
        let fields: Vec<[Vec<f64>; 2]> = maps.iter().map(|map| map.fields()).collect();
        let both: Vec<_> = maps.iter().zip(&fields).map(|(m, [f, g])| (*m, [f.as_slice(), g])).collect();
        let span = span_of(&both);
        let plan = Plan::new(maps.iter().flat_map(|map| map.with_trajectories()));
        Self { fields, span, plan }
    }

    /// The connector of map `i` in an area with its straps cut at the area's edges, `scale` page units per mm.
    pub fn connector(
        &self,
        map: &StressMap<'_>,
        i: usize,
        area: Area,
        scale: f64,
        unit: f64,
    ) -> (Vec<Item>, View) {
        let [low, high] = extent(map);
        let size = [scale * (high[0] - low[0]), scale * (high[1] - low[1])];
        let middle = Area {
            x: area.x + 0.5 * (area.w - size[0]),
            y: area.y + 0.5 * (area.h - size[1]),
            w: size[0],
            h: size[1],
        };
        let view = View::fitting(low, high, middle);
        let stage = Stage { view: &view, span: self.span, plan: &self.plan, unit, reach: area.h };
        let [frame, gate] = &self.fields[i];
        let items = map.stage(&stage, [frame, gate]);
        (vec![Item::Clipped { clip: Path::rectangle([area.x, area.y], [area.w, area.h]), items }], view)
    }

    /// The nose of map `i`, enlarged, for a connector drawn with `view`.
    pub fn inset(
        &self,
        map: &StressMap<'_>,
        i: usize,
        inset: &nose_window::Placed<'_>,
        view: &View,
        unit: f64,
    ) -> Vec<Item> {
        let stage = Stage { view, span: self.span, plan: &self.plan, unit, reach: 0.0 };
        let [frame, gate] = &self.fields[i];
        inset.items(map, &stage, [frame, gate])
    }

    /// The legend of maps in an area, as [`Legend::items`] has it; yield is marked where all have the same.
    pub fn legend(
        &self,
        maps: &[&StressMap<'_>],
        scale: f64,
        area: Area,
        name_width: f64,
        size: f64,
    ) -> Vec<Item> {
        let Some(first) = maps.first() else { return Vec::new() };
        let same = maps.iter().all(|map| map.yield_mpa == first.yield_mpa);
        let legend = Legend {
            field: first.field,
            words: &first.words,
            span: self.span,
            yield_mpa: same.then_some(first.yield_mpa),
            plan: &self.plan,
            scale,
            named: Anchor::Start,
        };
        legend.items(area, name_width, size)
    }
}

/// A nose is shown enlarged where its connector stays at least this part of the size that it would have without.
const NEARLY_AS_LARGE: f64 = 0.75;

/// The legend of the rings at the right of an area, and what they leave of it.
fn ring_legend(words: &str, area: Area, size: f64) -> (Vec<Item>, Area) {
    let mut items = ring(
        [area.right() - width_of(words, size, Weight::Regular) - 0.4 * size - RING, area.y + 0.5 * area.h],
        RING,
    );
    let base = [area.right(), area.y + 0.5 * (area.h + CAP_HEIGHT * size)];
    items.push(Item::Text(Text::new(base, size, Weight::Regular, INK, words).anchored(Anchor::End)));
    let taken = width_of(words, size, Weight::Regular) + 0.4 * size + 2.0 * RING + 2.0 * size;
    (items, Area { w: area.w - taken, ..area })
}

/// The legend of the rings at the left of an area.
fn ring_in_corner(words: &str, area: Area, size: f64) -> Vec<Item> {
    let mut items = ring([area.x + 1.3 * RING, area.y + 0.5 * area.h], RING);
    let left = area.x + 2.6 * RING + 0.4 * size;
    let fits = (area.right() - left) / width_of(words, size, Weight::Regular);
    let size = size * fits.min(1.0);
    let base = [left, area.y + 0.5 * (area.h + CAP_HEIGHT * size)];
    items.push(Item::Text(Text::new(base, size, Weight::Regular, INK, words)));
    items
}

/// A ring around a place that the table speaks of.
pub(crate) fn ring(at: [f64; 2], radius: f64) -> Vec<Item> {
    let circle = Path::circle(at, radius);
    vec![
        Item::stroked(circle.clone(), Stroke::new(PAPER, 0.7 * radius)),
        Item::stroked(circle, Stroke::new(INK, 0.3 * radius)),
    ]
}

impl Comparison<'_> {
    /// The size that suits it, pixels: 4 : 3, and taller where four or more noses are to be shown enlarged.
    #[must_use]
    pub fn size(&self) -> [u32; 2] {
        let taller = if self.insets_in_narrow_columns() { TALLER } else { 0.0 };
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "two small constants")]
        [PAGE[0] as u32, (PAGE[1] + taller).round() as u32]
    }

    fn insets_in_narrow_columns(&self) -> bool {
        self.variants.len() > WIDE_ENOUGH && self.variants.iter().any(|v| v.map.nose.is_some())
    }

    /// Lays the picture out for a size in pixels; meant for [`Comparison::size`].
    #[must_use]
    pub fn drawing(&self, width_px: u32, height_px: u32) -> Drawing {
        let page = Page::new(width_px, height_px);
        let maps: Vec<&StressMap<'_>> = self.variants.iter().map(|v| &v.map).collect();
        let shared = Shared::new(&maps);
        let head = Head {
            title: &self.title,
            subtitle: &self.subtitle,
            sentence: &self.sentence,
            beyond: self.beyond.as_deref(),
            then: "",
        };
        let (mut items, main) = page.framed(&head, self.caution, &self.source_line);
        items.extend(if self.variants.len() > 2 {
            self.over_a_table(&shared, &maps, main, page.unit)
        } else {
            self.beside_numbers(&shared, &maps, main, page.unit)
        });
        page.drawing(&self.name, self.description.clone(), items)
    }

    /// Lowest and highest stress of the colours, MPa.
    #[must_use]
    pub fn legend_mpa(&self) -> [f64; 2] {
        let maps: Vec<&StressMap<'_>> = self.variants.iter().map(|v| &v.map).collect();
        let span = Shared::new(&maps).span;
        [span.low, span.high]
    }

    /// Height of the labels of all variants in columns of this width.
    fn label_box(&self, wide: f64) -> f64 {
        let size = self.label_size(wide);
        self.variants.iter().map(|v| v.label_block(wide, size).height()).fold(LABEL_BOX, f64::max)
    }

    /// The size of type that all labels share in columns of this width: that of the one with least room.
    fn label_size(&self, wide: f64) -> f64 {
        self.variants.iter().map(|v| v.label_block(wide, LABEL).size).fold(LABEL, f64::min)
    }

    /// The table for a width of the page, with the labels above its columns, at a size of type.
    fn table(&self, room: f64, size: f64) -> Table {
        let name_size = (0.84 * size).max(CELL);
        let names = self.rows.iter().map(|row| width_of(row, name_size, Weight::Regular)).fold(0.0, f64::max);
        let left = (names + 20.0).max(CORNER);
        let wide = (room - left) / self.variants.len() as f64;
        let wordy = self.variants.len() <= WORDY;
        let cells: Vec<Vec<CellText>> = self
            .variants
            .iter()
            .map(|v| v.numbers.iter().map(|n| CellText::new(n, size, wide - 20.0, wordy)).collect())
            .collect();
        let heights = (0..self.rows.len())
            .map(|row| {
                let tallest =
                    cells.iter().filter_map(|b| b.get(row)).map(CellText::height).fold(0.0, f64::max);
                tallest.max(LINE_HEIGHT * name_size) + 5.0
            })
            .collect();
        Table { left, wide, size, name_size, cells, heights, label_box: self.label_box(wide) }
    }

    /// Labels, connectors, ruler, table.
    fn over_a_table(&self, shared: &Shared, maps: &[&StressMap<'_>], main: Area, unit: f64) -> Vec<Item> {
        const GAP: f64 = 18.0;
        let stage_height = |t: &Table| main.h - t.height() - GAP - t.label_box;
        let least_stage = LEAST_STAGE + if self.insets_in_narrow_columns() { TALLER } else { 0.0 };
        let sizes = (0..=8).map(|i| LARGEST_CELL - f64::from(i) * (LARGEST_CELL - CELL) / 8.0);
        let table = sizes
            .map(|size| self.table(main.w, size))
            .find(|t| stage_height(t) >= least_stage && t.cells.iter().flatten().all(|c| c.is_whole(t.size)))
            .unwrap_or_else(|| self.table(main.w, CELL));
        let Table { left, wide, name_size, label_box, .. } = table;
        let top = main.bottom() - table.height();
        let stage = Area { y: main.y + label_box, h: stage_height(&table), ..main };
        // Connectors keep to the columns of their numbers.
        let column = |i: usize| Area { x: main.x + left + wide * i as f64, w: wide, ..stage };
        let inner = Area { x: 0.0, w: wide, ..stage };
        let whole = inset_room::whole(maps, inner, STRAP, 30.0);
        // The nose stands beside or below its connector where that leaves it nearly as large.
        let beside = inset_room::split(maps, Area { x: 12.0, w: wide - 24.0, ..stage }, STRAP, 6.0);
        let Split { stage, inset, scale } =
            if self.insets_in_narrow_columns() || beside.scale >= NEARLY_AS_LARGE * whole.scale {
                beside
            } else {
                whole
            };
        let label_size = self.label_size(wide);
        let mut items = Vec::new();
        for (i, variant) in self.variants.iter().enumerate() {
            let area = column(i);
            items.extend(variant.label_items(
                Area { y: main.y, h: label_box, ..area },
                Anchor::Middle,
                label_size,
            ));
            let own = |room: Area| Area { x: room.x + area.x, ..room };
            let (connector, view) = variant.connector(shared, i, own(stage), scale, unit);
            items.extend(connector);
            let inset = inset.and_then(|room| inset_room::place(&variant.map, &view, own(room), &[]));
            if let Some(inset) = inset {
                items.extend(inset_room::pointer(&inset, &view));
                items.extend(shared.inset(&variant.map, i, &inset, &view, unit));
            }
        }
        // Over the names of the rows: what a ring marks, and the ruler.
        let corner = Area { w: left - 30.0, ..main };
        items.extend(ring_in_corner(&self.ring, Area { h: LABEL_BOX, ..corner }, CELL));
        let y = main.y + LABEL_BOX + 14.0 + Legend::NAME;
        items.extend(shared.legend(maps, scale, Area { y, h: top - GAP - y, ..corner }, 0.0, CELL));
        let mut y = top;
        for (row, (name, height)) in self.rows.iter().zip(&table.heights).enumerate() {
            if row > 0 {
                let line = Path::line(&[[main.x, y - 2.0], [main.right(), y - 2.0]]);
                items.push(Item::stroked(line, Stroke::new(QUIET.faded(0.25), 1.2)));
            }
            // On the line of the first words of the numbers.
            let base = y + 0.5 * (LINE_HEIGHT + CAP_HEIGHT) * table.size;
            let words = Text::new([main.x, base], name_size, Weight::Regular, QUIET, name.as_str());
            items.push(Item::Text(words));
            for (i, cells) in table.cells.iter().enumerate() {
                let x = column(i).x + 0.5 * wide;
                if let Some(cell) = cells.get(row) {
                    items.extend(cell.items(x, y, row == 0));
                }
            }
            y += height;
        }
        items
    }

    /// Two in a row, numbers beside each, the ruler below both.
    fn beside_numbers(&self, shared: &Shared, maps: &[&StressMap<'_>], main: Area, unit: f64) -> Vec<Item> {
        let ruler = Area { y: main.bottom() - RULER, h: RULER, ..main };
        let [wide, tall] = [main.w / 2.0, ruler.y - 22.0 - main.y];
        let column = 250.0;
        let picture = wide - column - 24.0;
        // A name that is too long for its connector runs on over the numbers.
        let longest = wide - 24.0;
        let (label_box, label_size) = (self.label_box(longest), self.label_size(longest));
        let scale = common_scale(maps, [picture - 24.0, tall - label_box - 2.0 * STRAP]);
        let variants_have_noses = maps.iter().any(|map| map.nose.is_some());
        let mut items = Vec::new();
        for (i, variant) in self.variants.iter().enumerate() {
            let x = main.x + wide * i as f64;
            let area = Area { x, y: main.y + label_box, w: picture, h: tall - label_box - 8.0 };
            let short = variant.label_block(longest, label_size).width() <= picture - 12.0;
            let (w, anchor) = if short { (picture, Anchor::Middle) } else { (longest, Anchor::Start) };
            items.extend(variant.label_items(
                Area { y: main.y, w, h: label_box, ..area },
                anchor,
                label_size,
            ));
            let (connector, view) = variant.connector(shared, i, area, scale, unit);
            let mut room = Area { x: x + picture + 6.0, w: column, ..area };
            // The nose stands over the numbers.
            let inset = inset_room::place(&variant.map, &view, Area { h: INSET * column, ..room }, &[]);
            items.extend(connector);
            if let Some(inset) = inset {
                items.extend(inset_room::pointer(&inset, &view));
                items.extend(shared.inset(&variant.map, i, &inset, &view, unit));
            }
            if variants_have_noses {
                room = Area { y: room.y + INSET * column + 10.0, h: room.h - INSET * column - 10.0, ..room };
            }
            items.extend(list(&self.rows, &variant.numbers, room));
        }
        let (rings, ruler) = ring_legend(&self.ring, ruler, CELL);
        items.extend(rings);
        items.extend(shared.legend(maps, scale, ruler, 0.0, CELL));
        items
    }
}

impl Variant<'_> {
    /// The label no larger than a size.
    fn label_block(&self, wide: f64, size: f64) -> Block {
        Block::whole(&self.label, Weight::Bold, size, LEAST_LABEL.min(size), wide - 12.0, 5)
    }

    fn label_items(&self, area: Area, anchor: Anchor, size: f64) -> Vec<Item> {
        let block = self.label_block(area.w, size);
        let x = if anchor == Anchor::Middle { area.x + 0.5 * area.w } else { area.x };
        let top = area.y + 0.5 * (area.h - block.height());
        block.place(x, top, anchor, INK).into_iter().map(Item::Text).collect()
    }

    fn connector(&self, shared: &Shared, i: usize, area: Area, scale: f64, unit: f64) -> (Vec<Item>, View) {
        let (mut items, view) = shared.connector(&self.map, i, area, scale, unit);
        items.extend(ring(view.place(self.mark), RING));
        (items, view)
    }
}

/// A table of numbers at a size of type: a column for each variant.
struct Table {
    /// Width of the names, and of each column.
    left: f64,
    wide: f64,
    size: f64,
    name_size: f64,
    cells: Vec<Vec<CellText>>,
    /// Of each row.
    heights: Vec<f64>,
    /// Height of the labels over the columns.
    label_box: f64,
}

impl Table {
    fn height(&self) -> f64 {
        self.heights.iter().sum()
    }
}

/// A number of the table, broken into lines.
struct CellText {
    value: Block,
    beside: Block,
}

impl CellText {
    fn new(number: &Number, size: f64, wide: f64, wordy: bool) -> Self {
        let value = Block::fit(&number.value, Weight::Bold, size, 22.0, [wide, 2.5 * size]);
        let small = BESIDE * size;
        let room = [wide, 2.0 * LINE_HEIGHT * small + 1e-6];
        let beside = if number.beside.is_empty() || !wordy {
            Block { lines: Vec::new(), size: small, weight: Weight::Regular, cut: false, broken: false }
        } else {
            Block::fit(&number.beside, Weight::Regular, small, 20.0, room)
        };
        Self { value, beside }
    }

    /// Whether its number found room at this size of type.
    fn is_whole(&self, size: f64) -> bool {
        self.value.size >= 0.99 * size
    }

    fn height(&self) -> f64 {
        self.value.height() + self.beside.height()
    }

    fn items(&self, x: f64, top: f64, first: bool) -> Vec<Item> {
        let colour = if first { ACCENT } else { INK };
        let mut texts = self.value.place(x, top, Anchor::Middle, colour);
        texts.extend(self.beside.place(x, top + self.value.height(), Anchor::Middle, QUIET));
        texts.into_iter().map(Item::Text).collect()
    }
}

/// Names and values one below the other, in the middle of an area.
fn list(rows: &[String], numbers: &[Number], area: Area) -> Vec<Item> {
    let sizes = [32.0, 30.0, 28.0, 26.0, 24.0];
    let found = sizes.into_iter().map(|size| list_of(rows, numbers, area, size));
    let mut last = Vec::new();
    for (items, high) in found {
        last = items;
        if high <= area.h {
            break;
        }
    }
    last
}

/// That list in a size of type, and its height.
fn list_of(rows: &[String], numbers: &[Number], area: Area, size: f64) -> (Vec<Item>, f64) {
    let name_size = 0.8 * size;
    let entries: Vec<(&str, Block)> = rows
        .iter()
        .zip(numbers)
        .map(|(name, number)| {
            let room = [area.w, 2.0 * LINE_HEIGHT * size + 1e-6];
            (name.as_str(), Block::fit(&number.value, Weight::Bold, size, 0.75 * size, room))
        })
        .collect();
    let height = |(_, value): &(&str, Block)| 0.5 * size + value.height() + LINE_HEIGHT * name_size;
    let high = entries.iter().map(height).sum::<f64>();
    let mut y = area.y + 0.5 * (area.h - high).max(0.0);
    let mut items = Vec::new();
    for (row, entry) in entries.iter().enumerate() {
        let (name, value) = entry;
        let colour = if row == 0 { ACCENT } else { INK };
        let base = y + 0.5 * (LINE_HEIGHT + CAP_HEIGHT) * name_size;
        items.push(Item::Text(Text::new([area.x, base], name_size, Weight::Regular, QUIET, *name)));
        let top = y + LINE_HEIGHT * name_size;
        items.extend(value.place(area.x, top, Anchor::Start, colour).into_iter().map(Item::Text));
        y += height(entry);
    }
    (items, high)
}
