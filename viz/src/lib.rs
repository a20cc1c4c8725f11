//! Pictures of a connector, as data in and strings and bytes out: this crate knows no file and no socket.
//!
//! The flow inside: a picture ([`StressMap`], [`Sketch`]) becomes one [`Drawing`], a flat list of shapes, and a drawing
//! becomes SVG or PNG. Both writers see the same list, so the two cannot disagree about what the picture says.
//!
//! ```
//! use viz::{Drawing, Item, Path, Rgba, Stroke};
//!
//! let drawing = Drawing {
//!     width: 100.0,
//!     height: 60.0,
//!     pixels_per_unit: 4.0,
//!     title: "A pin".to_owned(),
//!     description: "A round pin of 20 mm.".to_owned(),
//!     background: None,
//!     items: vec![Item::stroked(Path::circle([50.0, 30.0], 10.0), Stroke::new(Rgba::hex(0x1c2730), 2.0))],
//! };
//! assert!(drawing.to_svg().unwrap().contains("A round pin of 20 mm."));
//! assert!(drawing.to_png().unwrap().starts_with(b"\x89PNG"));
//! ```

mod balance;
mod bedding_chart;
mod bodies;
mod body_field;
mod calibration_picture;
mod callout;
mod callouts;
mod chart_marks;
mod chart_page;
mod chart_panel;
mod chart_pen;
mod colour;
mod common_scale;
mod comparison;
mod contour;
mod convergence_chart;
mod dimension;
mod drawing;
mod explain_picture;
mod field_figure;
mod forecast_picture;
mod frame;
mod inset_room;
mod label;
mod label_places;
mod layout;
mod legend;
mod levers_picture;
mod lines;
mod load_shape;
mod look;
mod lot_picture;
mod map_drawing;
mod map_layout;
mod map_places;
mod nose_inset;
mod nose_window;
mod occupied;
mod parameter_chart;
mod path;
mod png;
mod pull_curve;
mod pull_film;
mod pull_maps;
mod pull_moment;
mod raster;
mod reach_picture;
mod rig_shapes;
mod ruler;
mod ruler_across;
mod seats_picture;
mod sheet;
mod sketch;
mod stage;
mod still;
mod stress_map;
mod svg;
mod sweep_chart;
mod sweep_map;
mod sweep_regions;
mod text;
mod trajectories;

pub use bedding_chart::{BeddingChart, BeddingPoint};
pub use body_field::{BodyField, Field};
pub use calibration_picture::{CalibrationPicture, CalibrationRow};
pub use callout::Callout;
pub use chart_page::ChartWords;
pub use chart_panel::{ChartAxis, ChartError};
pub use colour::{Rgba, Scale, lightness};
pub use comparison::{Comparison, Number, Variant};
pub use convergence_chart::{Convergence, ConvergenceChart, ConvergenceWords};
pub use drawing::{Drawing, Image, Item, Paint, PictureError, Stroke};
pub use explain_picture::{CauseRow, CauseShape, ExplainPicture, MOST_CAUSES};
pub use field_figure::{FieldFigure, FigurePart};
pub use forecast_picture::{ForecastPicture, LimitBar};
pub use levers_picture::{LeverBar, LeverRow, LeversPicture, MOST_LEVERS};
pub use load_shape::LoadShape;
pub use lot_picture::{LotGroup, LotLimit, LotPicture, LotPull, LotRow, LotSection};
pub use map_places::{LabelPlace, MapPlaces, PageBox};
pub use nose_inset::{ContactForce, NoseInset};
pub use parameter_chart::{DrawnChart, ParameterChart, ParameterWords, PlotArea, Reading};
pub use path::{Path, Rule, Segment};
pub use pull_curve::{CurveMark, CurveTick, PullCurve, PullCurveWords};
pub use pull_film::PullFilm;
pub use pull_maps::PullMaps;
pub use pull_moment::PullMoment;
pub use raster::ValueRaster;
pub use reach_picture::{ReachField, ReachMark, ReachPicture, ReachPoint, ReachRow};
pub use seats_picture::{SeatPanel, SeatsPicture};
pub use sheet::SheetWords;
pub use sketch::{Dimension, SectionInset, SectionOutline, Sketch};
pub use still::{Marked, Still, StillContent, StillVariant, StrengthBar, Weakest};
pub use stress_map::{MapWords, StressMap};
pub use sweep_chart::{PartCurve, SweepChart, SweepWords};
pub use sweep_map::SweepMap;
pub use text::{Anchor, Text, Weight, font_file};
