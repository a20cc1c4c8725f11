//! Where plotters draws: axes, ticks and curves of a chart become shapes of our own drawing list.
//!
//! So a chart is written by the same two writers as every other picture: PNG and SVG show the same thing, letters are
//! outlines of the program's own font, and words can be placed clear of each other because their widths are known.
//! plotters places by whole numbers; the canvas is [`FINE`] times as large as the page, which makes them fine enough.

use crate::colour::Rgba;
use crate::drawing::{Item, Stroke};
use crate::path::Path;
use crate::text::{Anchor, CAP_HEIGHT, Text, Weight, width};
use plotters_backend::text_anchor::{HPos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind, FontStyle,
    FontTransform,
};
use std::convert::Infallible;

/// Steps of plotters per unit of the page.
pub(crate) const FINE: i32 = 8;

/// A page that plotters draws on.
pub(crate) struct Pen<'a> {
    size: [f64; 2],
    items: &'a mut Vec<Item>,
}

impl<'a> Pen<'a> {
    /// A page of this size; shapes are added to `items`.
    pub fn new(size: [f64; 2], items: &'a mut Vec<Item>) -> Self {
        Self { size, items }
    }
}

/// A length of the page in steps.
pub(crate) fn steps(units: f64) -> i32 {
    (units * f64::from(FINE)).round() as i32
}

fn place((x, y): BackendCoord) -> [f64; 2] {
    [f64::from(x) / f64::from(FINE), f64::from(y) / f64::from(FINE)]
}

fn colour(c: BackendColor) -> Rgba {
    let (r, g, b) = c.rgb;
    Rgba::new(r, g, b, 255).faded(c.alpha)
}

fn stroke(style: &impl BackendStyle) -> Stroke {
    Stroke::new(colour(style.color()), f64::from(style.stroke_width()) / f64::from(FINE))
}

fn weight(style: &impl BackendTextStyle) -> Weight {
    if matches!(style.style(), FontStyle::Bold) { Weight::Bold } else { Weight::Regular }
}

type Drawn = Result<(), DrawingErrorKind<Infallible>>;

impl DrawingBackend for Pen<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        let [w, h] = self.size.map(|s| steps(s).unsigned_abs());
        (w, h)
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, at: BackendCoord, c: BackendColor) -> Drawn {
        let one = 1.0 / f64::from(FINE);
        self.items.push(Item::filled(Path::rectangle(place(at), [one, one]), colour(c)));
        Ok(())
    }

    fn draw_line<S: BackendStyle>(&mut self, from: BackendCoord, to: BackendCoord, style: &S) -> Drawn {
        self.draw_path([from, to], style)
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        a: BackendCoord,
        b: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let (a, b) = (place(a), place(b));
        let path = Path::rectangle(a, [b[0] - a[0], b[1] - a[1]]);
        self.items.push(if fill {
            Item::filled(path, colour(style.color()))
        } else {
            Item::stroked(path, stroke(style))
        });
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        let points: Vec<[f64; 2]> = path.into_iter().map(place).collect();
        if points.len() > 1 && style.color().alpha > 0.0 {
            self.items.push(Item::stroked(Path::line(&points), stroke(style)));
        }
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        at: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let path = Path::circle(place(at), f64::from(radius) / f64::from(FINE));
        self.items.push(if fill {
            Item::filled(path, colour(style.color()))
        } else {
            Item::stroked(path, stroke(style))
        });
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        corners: I,
        style: &S,
    ) -> Drawn {
        let points: Vec<[f64; 2]> = corners.into_iter().map(place).collect();
        self.items.push(Item::filled(Path::polygons([points.as_slice()]), colour(style.color())));
        Ok(())
    }

    fn draw_text<S: BackendTextStyle>(&mut self, words: &str, style: &S, at: BackendCoord) -> Drawn {
        let size = style.size() / f64::from(FINE);
        let anchor = match style.anchor().h_pos {
            HPos::Left => Anchor::Start,
            HPos::Center => Anchor::Middle,
            HPos::Right => Anchor::End,
        };
        let [x, y] = place(at);
        let down = CAP_HEIGHT
            * size
            * match style.anchor().v_pos {
                VPos::Top => 1.0,
                VPos::Center => 0.5,
                VPos::Bottom => 0.0,
            };
        let turn_deg = match style.transform() {
            FontTransform::None => 0.0,
            FontTransform::Rotate90 => 90.0,
            FontTransform::Rotate180 => 180.0,
            FontTransform::Rotate270 => 270.0,
        };
        // Below the point on the page, whichever way the words run.
        let (sin, cos) = f64::to_radians(turn_deg).sin_cos();
        let at = [x - sin * down, y + cos * down];
        let text = Text::new(at, size, weight(style), colour(style.color()), words).anchored(anchor);
        self.items.push(Item::Text(Text { turn_deg, ..text }));
        Ok(())
    }

    fn estimate_text_size<S: BackendTextStyle>(
        &self,
        words: &str,
        style: &S,
    ) -> Result<(u32, u32), DrawingErrorKind<Infallible>> {
        let size = style.size();
        Ok((width(words, size, weight(style)).ceil() as u32, (CAP_HEIGHT * size).ceil() as u32))
    }
}

#[cfg(test)]
mod tests {
    use super::{CAP_HEIGHT, Item, Pen};
    use plotters::prelude::*;

    #[test]
    fn what_plotters_draws_lands_where_it_says() {
        let mut items = Vec::new();
        {
            let area = Pen::new([100.0, 50.0], &mut items).into_drawing_area();
            area.draw(&PathElement::new(vec![(8, 16), (80, 160)], BLACK.stroke_width(16))).unwrap();
            let style = ("sans-serif", 80).into_font().color(&RED);
            area.draw(&plotters::element::Text::new("kN", (160, 80), style)).unwrap();
            area.present().unwrap();
        }
        let [Item::Shape { path, stroke: Some(stroke), .. }, Item::Text(text)] = items.as_slice() else {
            panic!("{items:?}")
        };
        assert_eq!(path.bounds().unwrap(), [[1.0, 2.0], [10.0, 20.0]]);
        assert_eq!(stroke.width, 2.0);
        assert_eq!((text.size, text.at[0], text.words.as_str()), (10.0, 20.0, "kN"));
        assert!((text.at[1] - (10.0 + CAP_HEIGHT * 10.0)).abs() < 1e-9, "anchored at the top");
    }
}
