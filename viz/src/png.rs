//! A drawing as PNG: shapes by tiny-skia, letters as filled outlines, fast compression.
//!
//! Everything runs on one thread in list order, so the same drawing gives the same bytes.

use crate::colour::Rgba;
use crate::drawing::{Drawing, Image, Item, Paint, PictureError, Stroke};
use crate::path::{Path, Rule, Segment};
use tiny_skia::{
    Color, FillRule, FilterQuality, GradientStop, LineCap, LineJoin, LinearGradient, Mask, Pixmap,
    PixmapPaint, PixmapRef, Point, RadialGradient, Shader, SpreadMode, StrokeDash, Transform,
};

impl Drawing {
    /// The picture as the bytes of a PNG file: 8-bit RGB on an opaque ground, RGBA on a transparent one.
    ///
    /// # Errors
    /// [`PictureError::Size`] when the picture has no pixels or more than 16384 a side.
    pub fn to_png(&self) -> Result<Vec<u8>, PictureError> {
        encode(self.canvas()?, self.background.is_some_and(|ground| ground.a == 255))
    }

    fn canvas(&self) -> Result<Pixmap, PictureError> {
        let [width, height] = self.pixel_size()?;
        let size_error = || PictureError::Size { width: width.into(), height: height.into() };
        let mut canvas = Pixmap::new(width, height).ok_or_else(size_error)?;
        if let Some(ground) = self.background {
            canvas.fill(color(ground));
        }
        let scale = self.pixels_per_unit as f32;
        paint(&mut canvas, &self.items, Transform::from_scale(scale, scale), None);
        Ok(canvas)
    }
}

/// Pictures of one size on opaque ground, each with how long it stays in hundredths of a second, as an animated PNG that is shown again and
/// again.
pub(crate) fn film(pictures: &[(Drawing, u16)]) -> Result<Vec<u8>, PictureError> {
    let nothing = PictureError::Size { width: 0.0, height: 0.0 };
    let [width, height] = pictures.first().ok_or(nothing)?.0.pixel_size()?;
    let mut bytes = Vec::with_capacity(1 << 21);
    let mut encoder = ::png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(::png::ColorType::Rgb);
    encoder.set_depth(::png::BitDepth::Eight);
    // Packed once and looked at often.
    encoder.set_compression(::png::Compression::High);
    encoder.set_filter(::png::Filter::Adaptive);
    encoder.set_animated(pictures.len() as u32, 0)?;
    let mut writer = encoder.write_header()?;
    for (picture, stays) in pictures {
        writer.set_frame_delay(*stays, 100)?;
        writer.write_image_data(&opaque(&picture.canvas()?))?;
    }
    writer.finish()?;
    Ok(bytes)
}

/// Red, green and blue of a canvas on opaque ground.
fn opaque(canvas: &Pixmap) -> Vec<u8> {
    let mut rgb = vec![0; 3 * (canvas.data().len() / 4)];
    for (to, from) in rgb.chunks_exact_mut(3).zip(canvas.data().chunks_exact(4)) {
        to.copy_from_slice(&from[..3]);
    }
    rgb
}

fn encode(canvas: Pixmap, is_opaque: bool) -> Result<Vec<u8>, PictureError> {
    let (width, height) = (canvas.width(), canvas.height());
    let mut bytes = Vec::with_capacity(1 << 20);
    let mut encoder = ::png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(if is_opaque { ::png::ColorType::Rgb } else { ::png::ColorType::Rgba });
    encoder.set_depth(::png::BitDepth::Eight);
    encoder.set_compression(::png::Compression::Fast);
    // One fixed filter: choosing per row costs more time than the bytes it saves on flat ground.
    encoder.set_filter(::png::Filter::Up);
    let mut writer = encoder.write_header()?;
    if is_opaque {
        writer.write_image_data(&opaque(&canvas))?;
    } else {
        writer.write_image_data(&canvas.take_demultiplied())?;
    }
    writer.finish()?;
    Ok(bytes)
}

fn paint(canvas: &mut Pixmap, items: &[Item], transform: Transform, mask: Option<&Mask>) {
    for item in items {
        match item {
            Item::Shape { path, fill, stroke } => {
                let Some(outline) = skia_path(path) else { continue };
                if let Some(fill) = fill {
                    canvas.fill_path(&outline, &skia_paint(fill), rule(path.rule), transform, mask);
                }
                if let Some(stroke) = stroke {
                    let paint = skia_paint(&Paint::Solid(stroke.colour));
                    canvas.stroke_path(&outline, &paint, &skia_stroke(stroke), transform, mask);
                }
            }
            Item::Text(text) => {
                if let Some(outline) = skia_path(&text.outline()) {
                    let paint = skia_paint(&Paint::Solid(text.colour));
                    canvas.fill_path(&outline, &paint, FillRule::Winding, transform, mask);
                }
            }
            Item::Image(image) => paint_image(canvas, image, transform, mask),
            Item::Clipped { clip, items } => {
                let Some(outline) = skia_path(clip) else { continue };
                let inner = match mask {
                    Some(outer) => {
                        let mut inner = outer.clone();
                        inner.intersect_path(&outline, rule(clip.rule), true, transform);
                        Some(inner)
                    }
                    None => Mask::new(canvas.width(), canvas.height()).map(|mut inner| {
                        inner.fill_path(&outline, rule(clip.rule), true, transform);
                        inner
                    }),
                };
                if let Some(inner) = inner {
                    paint(canvas, items, transform, Some(&inner));
                }
            }
        }
    }
}

fn paint_image(canvas: &mut Pixmap, image: &Image, transform: Transform, mask: Option<&Mask>) {
    let scale = [f64::from(transform.sx), f64::from(transform.sy)];
    let corner = [scale[0] * image.at[0], scale[1] * image.at[1]];
    let across = scale[0] * image.size[0] / f64::from(image.pixels[0]);
    let down = scale[1] * image.size[1] / f64::from(image.pixels[1]);
    let on_grid = (across - 1.0).abs() < 1e-4 && corner.iter().all(|c| (c - c.round()).abs() < 0.02);
    if on_grid {
        copy_pixels(canvas, image, corner.map(|c| c.round() as i64), mask);
        return;
    }
    let mut premultiplied = image.rgba.clone();
    for p in premultiplied.chunks_exact_mut(4) {
        let alpha = u32::from(p[3]);
        for channel in &mut p[..3] {
            *channel = part_of(*channel, alpha);
        }
    }
    let Some(pixels) = PixmapRef::from_bytes(&premultiplied, image.pixels[0], image.pixels[1]) else {
        return;
    };
    let place = Transform::from_row(across as f32, 0.0, 0.0, down as f32, corner[0] as f32, corner[1] as f32);
    let how = PixmapPaint { quality: FilterQuality::Bilinear, ..PixmapPaint::default() };
    canvas.draw_pixmap(0, 0, pixels, &how, place, mask);
}

/// Lays pixels that fall on the canvas's own grid over it. Fields always do; the general way resamples them and takes
/// five times as long.
fn copy_pixels(canvas: &mut Pixmap, image: &Image, corner: [i64; 2], mask: Option<&Mask>) {
    let [columns, rows] = image.pixels.map(i64::from);
    let (width, height) = (i64::from(canvas.width()), i64::from(canvas.height()));
    let (left, right) = (corner[0].max(0), (corner[0] + columns).min(width));
    let (top, bottom) = (corner[1].max(0), (corner[1] + rows).min(height));
    let ground = canvas.data_mut();
    for y in top..bottom {
        for x in left..right {
            let at = (y * width + x) as usize;
            let from = 4 * ((y - corner[1]) * columns + x - corner[0]) as usize;
            let Some(over) = image.rgba.get(from..from + 4) else { return };
            let shown = mask.map_or(255, |mask| mask.data()[at]);
            let alpha = u32::from(part_of(shown, u32::from(over[3])));
            if alpha == 0 {
                continue;
            }
            let under = &mut ground[4 * at..4 * at + 4];
            for (channel, new) in under.iter_mut().zip([over[0], over[1], over[2], 255]) {
                *channel = part_of(new, alpha) + part_of(*channel, 255 - alpha);
            }
        }
    }
}

/// `value` times alpha / 255, rounded; two parts of alpha and 255 - alpha never add up to more than 255.
fn part_of(value: u8, alpha: u32) -> u8 {
    let exact = u32::from(value) * alpha;
    if alpha > 127 { ((exact + 127) / 255) as u8 } else { (exact / 255) as u8 }
}

fn skia_path(path: &Path) -> Option<tiny_skia::Path> {
    let mut builder = tiny_skia::PathBuilder::with_capacity(path.segments.len(), 2 * path.segments.len());
    for segment in &path.segments {
        match *segment {
            Segment::Move([x, y]) => builder.move_to(x as f32, y as f32),
            Segment::Line([x, y]) => builder.line_to(x as f32, y as f32),
            Segment::Quad(a, b) => builder.quad_to(a[0] as f32, a[1] as f32, b[0] as f32, b[1] as f32),
            Segment::Cubic(a, b, c) => {
                builder.cubic_to(a[0] as f32, a[1] as f32, b[0] as f32, b[1] as f32, c[0] as f32, c[1] as f32)
            }
            Segment::Close => builder.close(),
        }
    }
    builder.finish()
}

fn rule(rule: Rule) -> FillRule {
    match rule {
        Rule::EvenOdd => FillRule::EvenOdd,
        Rule::NonZero => FillRule::Winding,
    }
}

fn color(c: Rgba) -> Color {
    Color::from_rgba8(c.r, c.g, c.b, c.a)
}

fn skia_stroke(stroke: &Stroke) -> tiny_skia::Stroke {
    tiny_skia::Stroke {
        width: stroke.width as f32,
        line_cap: if stroke.dash.is_some() { LineCap::Butt } else { LineCap::Round },
        line_join: LineJoin::Round,
        dash: stroke.dash.and_then(|[on, off]| StrokeDash::new(vec![on as f32, off as f32], 0.0)),
        ..tiny_skia::Stroke::default()
    }
}

fn skia_paint(fill: &Paint) -> tiny_skia::Paint<'static> {
    let point = |p: [f64; 2]| Point::from_xy(p[0] as f32, p[1] as f32);
    let gradient = |stops: &[(f64, Rgba)]| {
        stops.iter().map(|&(t, c)| GradientStop::new(t as f32, color(c))).collect::<Vec<_>>()
    };
    let first = |stops: &[(f64, Rgba)]| stops.first().map_or(Color::TRANSPARENT, |s| color(s.1));
    let shader = match fill {
        Paint::Solid(c) => Shader::SolidColor(color(*c)),
        Paint::Linear { from, to, stops } => LinearGradient::new(
            point(*from),
            point(*to),
            gradient(stops),
            SpreadMode::Pad,
            Transform::identity(),
        )
        .unwrap_or(Shader::SolidColor(first(stops))),
        Paint::Radial { focus, centre, radius, stops } => RadialGradient::new(
            point(*focus),
            0.0,
            point(*centre),
            *radius as f32,
            gradient(stops),
            SpreadMode::Pad,
            Transform::identity(),
        )
        .unwrap_or(Shader::SolidColor(first(stops))),
    };
    tiny_skia::Paint { shader, ..tiny_skia::Paint::default() }
}
