//! A drawing as an SVG document.
//!
//! Letters are outlines (see [`crate::text`]); fields are embedded as PNG and cut along the true outline, so edges stay
//! sharp at any size. Numbers carry two decimals: a hundredth of a picture unit is invisible, and the file stays small.

use crate::colour::Rgba;
use crate::drawing::{Drawing, Image, Item, Paint, PictureError, Stroke};
use crate::path::{Path, Rule, Segment};
use crate::text::{Anchor, Text, Weight};
use std::fmt::Write;

impl Drawing {
    /// The picture as an SVG document with title and description, readable by a screen reader.
    ///
    /// # Errors
    /// [`PictureError::Size`] when the picture has no pixels or more than 16384 a side; [`PictureError::Png`] when an
    /// embedded image is not as large as it says.
    pub fn to_svg(&self) -> Result<String, PictureError> {
        let [width, height] = self.pixel_size()?;
        let mut writer = Writer { body: String::new(), defs: String::new(), prefix: self.prefix(), count: 0 };
        for item in &self.items {
            writer.item(item)?;
        }
        let (title, description) = (escape(&self.title), escape(&self.description));
        let id = &writer.prefix;
        let mut out = String::with_capacity(writer.body.len() + 2000);
        let _ = writeln!(
            out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
             viewBox=\"0 0 {} {}\" role=\"img\" lang=\"en\" aria-labelledby=\"{id}t {id}d\">",
            number(self.width),
            number(self.height)
        );
        let _ = writeln!(out, "<title id=\"{id}t\">{title}</title>\n<desc id=\"{id}d\">{description}</desc>");
        if !writer.defs.is_empty() {
            let _ = writeln!(out, "<defs>\n{}</defs>", writer.defs);
        }
        if let Some(ground) = self.background {
            let _ = writeln!(
                out,
                "<rect width=\"{}\" height=\"{}\"{}/>",
                number(self.width),
                number(self.height),
                colour("fill", ground)
            );
        }
        out.push_str(&writer.body);
        out.push_str("</svg>\n");
        Ok(out)
    }

    /// Names inside the document begin with this, so that several pictures on one page do not share names.
    fn prefix(&self) -> String {
        // FNV-1a, 32 bit: short, and the same on every machine.
        let bytes = self.title.bytes().chain(self.description.bytes());
        let hash = bytes.fold(0x811c_9dc5_u32, |h, b| (h ^ u32::from(b)).wrapping_mul(0x0100_0193));
        format!("p{hash:08x}")
    }
}

struct Writer {
    body: String,
    defs: String,
    prefix: String,
    count: usize,
}

impl Writer {
    fn name(&mut self) -> String {
        self.count += 1;
        format!("{}{}", self.prefix, self.count)
    }

    fn item(&mut self, item: &Item) -> Result<(), PictureError> {
        match item {
            Item::Shape { path, fill, stroke } => {
                let fill = match fill {
                    Some(fill) => self.paint(fill),
                    None => " fill=\"none\"".to_owned(),
                };
                let rule = if path.rule == Rule::EvenOdd { " fill-rule=\"evenodd\"" } else { "" };
                let stroke = stroke.as_ref().map(line).unwrap_or_default();
                let _ = writeln!(self.body, "<path d=\"{}\"{fill}{rule}{stroke}/>", data(path));
            }
            Item::Text(text) if text.lacking().next().is_some() => self.live_text(text),
            Item::Text(text) => {
                let _ = writeln!(
                    self.body,
                    "<path data-words=\"{}\" d=\"{}\"{}/>",
                    escape(&text.words),
                    data(&text.outline()),
                    colour("fill", text.colour)
                );
            }
            Item::Image(image) => {
                let _ = writeln!(
                    self.body,
                    "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\" \
                     href=\"data:image/png;base64,{}\"/>",
                    number(image.at[0]),
                    number(image.at[1]),
                    number(image.size[0]),
                    number(image.size[1]),
                    base64(&image_png(image)?)
                );
            }
            Item::Clipped { clip, items } => {
                let name = self.name();
                let rule = if clip.rule == Rule::EvenOdd { " clip-rule=\"evenodd\"" } else { "" };
                let _ = writeln!(
                    self.defs,
                    "<clipPath id=\"{name}\"><path d=\"{}\"{rule}/></clipPath>",
                    data(clip)
                );
                let _ = writeln!(self.body, "<g clip-path=\"url(#{name})\">");
                for item in items {
                    self.item(item)?;
                }
                self.body.push_str("</g>\n");
            }
        }
        Ok(())
    }

    /// A run in the reader's own font, for letters that ours lacks: as wide as it was measured.
    fn live_text(&mut self, text: &Text) {
        let [x, y] = text.at.map(number);
        let anchor = match text.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let weight = if text.weight == Weight::Bold { "bold" } else { "normal" };
        let turn = match text.turn_deg {
            0.0 => String::new(),
            deg => format!(" transform=\"rotate({} {x} {y})\"", number(deg)),
        };
        let _ = writeln!(
            self.body,
            "<text x=\"{x}\" y=\"{y}\" font-family=\"Noto Sans, sans-serif\" font-size=\"{}\" font-weight=\"{weight}\" \
             text-anchor=\"{anchor}\" textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"{turn}{}>{}</text>",
            number(text.size),
            number(text.width()),
            colour("fill", text.colour),
            escape(&text.words)
        );
    }

    fn paint(&mut self, paint: &Paint) -> String {
        let (open, close, stops) = match paint {
            Paint::Solid(c) => return colour("fill", *c),
            Paint::Linear { from, to, stops } => (
                format!(
                    "linearGradient x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"",
                    number(from[0]),
                    number(from[1]),
                    number(to[0]),
                    number(to[1])
                ),
                "linearGradient",
                stops,
            ),
            Paint::Radial { focus, centre, radius, stops } => (
                format!(
                    "radialGradient fx=\"{}\" fy=\"{}\" cx=\"{}\" cy=\"{}\" r=\"{}\"",
                    number(focus[0]),
                    number(focus[1]),
                    number(centre[0]),
                    number(centre[1]),
                    number(*radius)
                ),
                "radialGradient",
                stops,
            ),
        };
        let name = self.name();
        let _ = write!(self.defs, "<{open} id=\"{name}\" gradientUnits=\"userSpaceOnUse\">");
        for (at, c) in stops {
            let _ = write!(self.defs, "<stop offset=\"{}\"{}/>", fraction(*at), colour("stop", *c));
        }
        let _ = writeln!(self.defs, "</{close}>");
        format!(" fill=\"url(#{name})\"")
    }
}

fn line(stroke: &Stroke) -> String {
    let mut out = colour("stroke", stroke.colour);
    let _ = write!(out, " stroke-width=\"{}\" stroke-linejoin=\"round\"", number(stroke.width));
    match stroke.dash {
        Some([on, off]) => {
            let _ = write!(out, " stroke-dasharray=\"{} {}\"", number(on), number(off));
        }
        None => out.push_str(" stroke-linecap=\"round\""),
    }
    out
}

/// Attributes of a colour: `kind` is fill, stroke or stop.
fn colour(kind: &str, c: Rgba) -> String {
    let attribute = if kind == "stop" { "stop-color" } else { kind };
    let mut out = format!(" {attribute}=\"#{:02x}{:02x}{:02x}\"", c.r, c.g, c.b);
    if c.a < 255 {
        let _ = write!(out, " {kind}-opacity=\"{}\"", fraction(f64::from(c.a) / 255.0));
    }
    out
}

fn data(path: &Path) -> String {
    let mut out = String::with_capacity(12 * path.segments.len());
    let point = |out: &mut String, p: [f64; 2]| {
        out.push_str(&number(p[0]));
        out.push(' ');
        out.push_str(&number(p[1]));
    };
    for segment in &path.segments {
        match *segment {
            Segment::Move(a) => {
                out.push('M');
                point(&mut out, a);
            }
            Segment::Line(a) => {
                out.push('L');
                point(&mut out, a);
            }
            Segment::Quad(a, b) => {
                out.push('Q');
                point(&mut out, a);
                out.push(' ');
                point(&mut out, b);
            }
            Segment::Cubic(a, b, c) => {
                out.push('C');
                point(&mut out, a);
                out.push(' ');
                point(&mut out, b);
                out.push(' ');
                point(&mut out, c);
            }
            Segment::Close => out.push('Z'),
        }
    }
    out
}

/// Two decimals, without trailing zeros.
fn number(x: f64) -> String {
    // Written from whole hundredths: faster than formatting a float, and there is no negative zero.
    let hundredths = (100.0 * x).round() as i64;
    let (sign, size) = (if hundredths < 0 { "-" } else { "" }, hundredths.unsigned_abs());
    let (whole, rest) = (size / 100, size % 100);
    match rest {
        0 => format!("{sign}{whole}"),
        r if r % 10 == 0 => format!("{sign}{whole}.{}", r / 10),
        r => format!("{sign}{whole}.{r:02}"),
    }
}

fn fraction(x: f64) -> String {
    format!("{x:.3}")
}

fn escape(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for c in words.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // XML 1.0 has no way to write the other control characters.
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

fn image_png(image: &Image) -> Result<Vec<u8>, PictureError> {
    if let Some((colours, places)) = few_colours(image) {
        return indexed_png(image, &colours, &places);
    }
    let mut bytes = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut bytes, image.pixels[0], image.pixels[1]);
    encoder.set_color(::png::ColorType::Rgba);
    encoder.set_depth(::png::BitDepth::Eight);
    encoder.set_compression(::png::Compression::Balanced);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&image.rgba)?;
    writer.finish()?;
    Ok(bytes)
}

/// The colours of an image and, for each pixel, which one it has; `None` when there are more than a byte counts. The first
/// colour met comes first, so the same pixels give the same bytes.
fn few_colours(image: &Image) -> Option<(Vec<[u8; 4]>, Vec<u8>)> {
    let mut colours: Vec<[u8; 4]> = Vec::new();
    let mut places = Vec::with_capacity(image.rgba.len() / 4);
    let mut last = 0;
    for pixel in image.rgba.as_chunks::<4>().0 {
        // Neighbours are mostly alike.
        if colours.get(last) != Some(pixel) {
            last = match colours.iter().position(|c| c == pixel) {
                Some(place) => place,
                None => {
                    colours.push(*pixel);
                    colours.len() - 1
                }
            };
        }
        places.push(u8::try_from(last).ok()?);
    }
    Some((colours, places))
}

/// One byte a pixel and a list of colours: a tenth of the size where colours come in steps.
fn indexed_png(image: &Image, colours: &[[u8; 4]], places: &[u8]) -> Result<Vec<u8>, PictureError> {
    let mut bytes = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut bytes, image.pixels[0], image.pixels[1]);
    encoder.set_color(::png::ColorType::Indexed);
    encoder.set_depth(::png::BitDepth::Eight);
    encoder.set_palette(colours.iter().flat_map(|c| [c[0], c[1], c[2]]).collect::<Vec<u8>>());
    encoder.set_trns(colours.iter().map(|c| c[3]).collect::<Vec<u8>>());
    encoder.set_compression(::png::Compression::High);
    encoder.set_filter(::png::Filter::NoFilter);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(places)?;
    writer.finish()?;
    Ok(bytes)
}

fn base64(bytes: &[u8]) -> String {
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let word = chunk.iter().enumerate().fold(0_u32, |w, (i, &b)| w | u32::from(b) << (16 - 8 * i));
        for i in 0..4 {
            let sign = SIGNS[(word >> (18 - 6 * i) & 63) as usize];
            out.push(if i <= chunk.len() { char::from(sign) } else { '=' });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_exact() {
        let cases =
            [(1.0, "1"), (-0.001, "0"), (1.5, "1.5"), (-2.05, "-2.05"), (0.07, "0.07"), (-0.5, "-0.5")];
        for (x, words) in cases {
            assert_eq!(number(x), words);
        }
    }

    #[test]
    fn base64_matches_the_examples_of_rfc_4648() {
        let cases = [("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")];
        for (plain, coded) in cases {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn words_that_the_font_cannot_write_stay_words() {
        let words = ["鉄環 & 軸", "spine"];
        let at = |(i, words): (usize, &str)| {
            let text =
                Text::new([5.0, 20.0 + 20.0 * i as f64], 16.0, Weight::Bold, Rgba::new(1, 2, 3, 255), words);
            Item::Text(text)
        };
        let drawing = Drawing {
            width: 200.0,
            height: 60.0,
            pixels_per_unit: 1.0,
            title: "t".to_owned(),
            description: "d".to_owned(),
            background: None,
            items: words.into_iter().enumerate().map(at).collect(),
        };
        let svg = drawing.to_svg().unwrap();
        assert!(svg.contains(">鉄環 &amp; 軸</text>") && svg.contains("textLength="), "{svg}");
        assert!(svg.contains("data-words=\"spine\"") && svg.matches("<text").count() == 1, "{svg}");
        assert_eq!(drawing.lacking().into_iter().collect::<String>(), "環軸鉄");
    }

    #[test]
    fn words_cannot_break_the_document() {
        assert_eq!(escape("a<b & \"c\"\u{7}"), "a&lt;b &amp; &quot;c&quot; ");
    }
}
