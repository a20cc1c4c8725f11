//! The page of a chart: its words, in the frame of all pictures.

use crate::drawing::{Drawing, Item};
use crate::frame::{Head, Page};
use crate::layout::Area;

/// Numbers at axes and names at lines.
pub(crate) const TYPE: f64 = 27.0;

/// The words of a chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ChartWords {
    /// Name of the connector.
    pub title: String,
    /// What was varied.
    pub subtitle: String,
    /// What came of it.
    pub sentence: String,
    /// The line of caution.
    pub caution: String,
    /// Program, model, hash of the inputs.
    pub source_line: String,
}

impl ChartWords {
    /// What stands over the chart.
    fn head(&self) -> Head<'_> {
        Head { title: &self.title, subtitle: &self.subtitle, sentence: &self.sentence, ..Head::default() }
    }

    /// The page's frame, and the room in it.
    pub(crate) fn framed(&self, page: &Page) -> (Vec<Item>, Area) {
        page.framed(&self.head(), &self.caution, &self.source_line)
    }

    /// The page as a drawing.
    pub(crate) fn drawing(&self, page: &Page, description: String, items: Vec<Item>) -> Drawing {
        page.drawing(&format!("{}: {}", self.title, self.subtitle), description, items)
    }
}
