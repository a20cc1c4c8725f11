//! Colour scales of our own, even to the eye and safe for colour-blind readers.
//!
//! A scale is a smooth curve through a few anchor colours in OKLab (B. Ottosson 2020), walked at constant speed there: a
//! step of stress is the same step of colour anywhere on the ruler. Lightness rises all the way, so the order of two
//! stresses survives a grey printout and every kind of colour vision. A rainbow has neither property.

use std::sync::OnceLock;

/// A colour: sRGB with alpha, 8 bits each, not premultiplied.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rgba {
    /// Red.
    pub r: u8,
    /// Green.
    pub g: u8,
    /// Blue.
    pub b: u8,
    /// Alpha: 255 hides what is below.
    pub a: u8,
}

impl Rgba {
    /// A colour from its four numbers.
    #[must_use]
    pub const fn new(r: u8, g: u8, b: u8, a: u8) -> Self {
        Self { r, g, b, a }
    }

    /// An opaque colour written as 0xRRGGBB.
    #[must_use]
    pub const fn hex(rgb: u32) -> Self {
        Self::new((rgb >> 16) as u8, (rgb >> 8) as u8, rgb as u8, 255)
    }

    /// The same colour, let through: alpha 0 to 1.
    #[must_use]
    pub fn faded(self, alpha: f64) -> Self {
        Self { a: (255.0 * alpha.clamp(0.0, 1.0)).round() as u8, ..self }
    }
}

/// A colour scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// From ink to warm yellow, for stresses that have no sign.
    Glow,
    /// Blue for push, white for nothing, orange for pull.
    TwoSided,
}

/// Anchors of the glow: ink, sea, iris, rose, coral, apricot, straw.
const GLOW: [u32; 7] = [0x10_2138, 0x1a_4776, 0x51_59a3, 0xac_69a3, 0xe5_8074, 0xfa_b25a, 0xff_e67e];
/// From white outward to the deepest push.
const PUSH: [u32; 5] = [0xfb_faf7, 0xb4_d3ea, 0x65_a2d3, 0x23_6da8, 0x08_3a68];
/// From white outward to the deepest pull; each anchor about as light as its partner in `PUSH`.
const PULL: [u32; 5] = [0xfb_faf7, 0xfb_c896, 0xe3_8a43, 0xab_5413, 0x64_2a05];

/// Entries of a table; odd, so that the middle of the two-sided scale is an entry.
const ENTRIES: usize = 1025;

impl Scale {
    /// The colour at `t`, 0 to 1 along the scale; values outside are held at the ends, NaN at the start.
    /// The two-sided scale is white at 0.5, pull above it.
    #[must_use]
    pub fn colour(self, t: f64) -> Rgba {
        let place = (t.clamp(0.0, 1.0) * (ENTRIES - 1) as f64).round() as usize;
        self.table()[place.min(ENTRIES - 1)]
    }

    fn table(self) -> &'static [Rgba] {
        static GLOW_TABLE: OnceLock<Vec<Rgba>> = OnceLock::new();
        static TWO_SIDED_TABLE: OnceLock<Vec<Rgba>> = OnceLock::new();
        match self {
            Self::Glow => GLOW_TABLE.get_or_init(|| walk(&GLOW, ENTRIES)),
            Self::TwoSided => TWO_SIDED_TABLE.get_or_init(|| {
                let half = ENTRIES / 2 + 1;
                let mut table = walk(&PUSH, half);
                table.reverse();
                table.extend_from_slice(&walk(&PULL, half)[1..]);
                table
            }),
        }
    }
}

/// `count` colours along the curve through the anchors, evenly spaced by length in OKLab.
pub(crate) fn walk(anchors: &[u32], count: usize) -> Vec<Rgba> {
    const FINE: usize = 4096;
    let knots: Vec<[f64; 3]> = anchors.iter().map(|&hex| oklab(linear(Rgba::hex(hex)))).collect();
    let points: Vec<[f64; 3]> = (0..=FINE).map(|i| curve(&knots, i as f64 / FINE as f64)).collect();
    let mut along = vec![0.0];
    for pair in points.windows(2) {
        along.push(along[along.len() - 1] + distance(pair[0], pair[1]));
    }
    let total = along[FINE];
    let mut i = 0;
    (0..count)
        .map(|k| {
            let wanted = total * k as f64 / (count - 1) as f64;
            while i + 1 < FINE && along[i + 1] < wanted {
                i += 1;
            }
            let part = ((wanted - along[i]) / (along[i + 1] - along[i])).clamp(0.0, 1.0);
            srgb(from_oklab(std::array::from_fn(|c| points[i][c] + part * (points[i + 1][c] - points[i][c]))))
        })
        .collect()
}

/// Smooth curve through evenly spaced knots (Catmull-Rom, ends extended straight).
fn curve(knots: &[[f64; 3]], t: f64) -> [f64; 3] {
    let last = knots.len() - 1;
    let place = t * last as f64;
    let i = (place.floor() as usize).min(last - 1);
    let u = place - i as f64;
    let (p1, p2) = (knots[i], knots[i + 1]);
    std::array::from_fn(|c| {
        let p0 = if i == 0 { 2.0 * p1[c] - p2[c] } else { knots[i - 1][c] };
        let p3 = if i + 2 > last { 2.0 * p2[c] - p1[c] } else { knots[i + 2][c] };
        let (a, b) = (0.5 * (p2[c] - p0), 0.5 * (p3 - p1[c]));
        let d = p2[c] - p1[c];
        p1[c] + u * (a + u * (3.0 * d - 2.0 * a - b + u * (a + b - 2.0 * d)))
    })
}

fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|c| (a[c] - b[c]).powi(2)).sum::<f64>().sqrt()
}

/// Linear light of an sRGB colour (IEC 61966-2-1), each 0 to 1.
fn linear(c: Rgba) -> [f64; 3] {
    [c.r, c.g, c.b].map(|v| {
        let v = f64::from(v) / 255.0;
        if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
    })
}

fn srgb(linear: [f64; 3]) -> Rgba {
    let [r, g, b] = linear.map(|v| {
        let v = v.clamp(0.0, 1.0);
        let v = if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 };
        (255.0 * v).round() as u8
    });
    Rgba::new(r, g, b, 255)
}

fn times(m: [[f64; 3]; 3], v: [f64; 3]) -> [f64; 3] {
    m.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// Linear sRGB to OKLab. Source: B. Ottosson, "A perceptual color space for image processing", 2020.
fn oklab(rgb: [f64; 3]) -> [f64; 3] {
    let lms = times(
        [
            [0.412_221_470_8, 0.536_332_536_3, 0.051_445_992_9],
            [0.211_903_498_2, 0.680_699_545_1, 0.107_396_956_6],
            [0.088_302_461_9, 0.281_718_837_6, 0.629_978_700_5],
        ],
        rgb,
    );
    times(
        [
            [0.210_454_255_3, 0.793_617_785_0, -0.004_072_046_8],
            [1.977_998_495_1, -2.428_592_205_0, 0.450_593_709_9],
            [0.025_904_037_1, 0.782_771_766_2, -0.808_675_766_0],
        ],
        lms.map(f64::cbrt),
    )
}

/// OKLab to linear sRGB (same source).
fn from_oklab(lab: [f64; 3]) -> [f64; 3] {
    let root = times(
        [
            [1.0, 0.396_337_777_4, 0.215_803_757_3],
            [1.0, -0.105_561_345_8, -0.063_854_172_8],
            [1.0, -0.089_484_177_5, -1.291_485_548_0],
        ],
        lab,
    );
    times(
        [
            [4.076_741_662_1, -3.307_711_591_3, 0.230_969_929_2],
            [-1.268_438_004_6, 2.609_757_401_1, -0.341_319_396_5],
            [-0.004_196_086_3, -0.703_418_614_7, 1.707_614_701_0],
        ],
        root.map(|v| v * v * v),
    )
}

/// CIE lightness L* of a colour, 0 to 100, D65 white (what a grey printout shows).
#[must_use]
pub fn lightness(c: Rgba) -> f64 {
    lightness_of_light(linear(c))
}

fn lightness_of_light(rgb: [f64; 3]) -> f64 {
    let y = 0.212_639 * rgb[0] + 0.715_169 * rgb[1] + 0.072_192 * rgb[2];
    if y > 216.0 / 24389.0 { 116.0 * y.cbrt() - 16.0 } else { y * 24389.0 / 27.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How dichromats see linear sRGB: Machado, Oliveira, Fernandes 2009, severity 1.0.
    const VISION: [(&str, [[f64; 3]; 3]); 3] = [
        (
            "protan",
            [
                [0.152286, 1.052583, -0.204868],
                [0.114503, 0.786281, 0.099216],
                [-0.003882, -0.048116, 1.051998],
            ],
        ),
        (
            "deutan",
            [
                [0.367322, 0.860646, -0.227968],
                [0.280085, 0.672501, 0.047413],
                [-0.011820, 0.042940, 0.968881],
            ],
        ),
        (
            "tritan",
            [
                [1.255528, -0.076749, -0.178779],
                [-0.078411, 0.930809, 0.147602],
                [0.004733, 0.691367, 0.303900],
            ],
        ),
    ];

    fn seen(matrix: [[f64; 3]; 3], c: Rgba) -> [f64; 3] {
        times(matrix, linear(c)).map(|v| v.clamp(0.0, 1.0))
    }

    #[test]
    fn colour_spaces_agree_with_known_values() {
        assert!((lightness(Rgba::hex(0xff_ffff)) - 100.0).abs() < 1e-3);
        assert!((lightness(Rgba::hex(0x77_7777)) - 50.03).abs() < 0.05);
        // Ottosson's page: white is (1, 0, 0) in OKLab.
        let white = oklab([1.0; 3]);
        assert!((white[0] - 1.0).abs() < 1e-6 && white[1].abs() < 1e-6 && white[2].abs() < 1e-6);
        for hex in GLOW.iter().chain(&PUSH).chain(&PULL) {
            assert_eq!(srgb(from_oklab(oklab(linear(Rgba::hex(*hex))))), Rgba::hex(*hex));
        }
    }

    #[test]
    fn the_glow_grows_lighter_at_every_step() {
        let l: Vec<f64> = (0..256).map(|i| lightness(Scale::Glow.colour(f64::from(i) / 255.0))).collect();
        for (i, pair) in l.windows(2).enumerate() {
            assert!(pair[1] - pair[0] > 0.03, "step {i}: {} to {}", pair[0], pair[1]);
        }
        assert!(l[0] < 15.0 && l[255] > 88.0, "{} to {}", l[0], l[255]);
    }

    #[test]
    fn steps_are_even_to_the_eye() {
        for scale in [Scale::Glow, Scale::TwoSided] {
            let points: Vec<[f64; 3]> =
                (0..=32).map(|i| oklab(linear(scale.colour(f64::from(i) / 32.0)))).collect();
            let steps: Vec<f64> = points.windows(2).map(|p| distance(p[0], p[1])).collect();
            for half in steps.chunks(16) {
                let mean = half.iter().sum::<f64>() / half.len() as f64;
                for step in half {
                    assert!((step / mean - 1.0).abs() < 0.12, "{scale:?}: {step} against {mean}");
                }
            }
        }
    }

    #[test]
    fn every_kind_of_colour_vision_sees_the_order() {
        for (name, matrix) in VISION {
            let l: Vec<f64> = (0..=64)
                .map(|i| lightness_of_light(seen(matrix, Scale::Glow.colour(f64::from(i) / 64.0))))
                .collect();
            for (i, pair) in l.windows(2).enumerate() {
                assert!(pair[1] - pair[0] > 0.4, "{name}, step {i}: {} to {}", pair[0], pair[1]);
            }
        }
    }

    #[test]
    fn push_and_pull_differ_for_every_kind_of_colour_vision() {
        for (name, matrix) in VISION {
            for t in [0.15, 0.3, 0.5, 0.8, 1.0] {
                let push = oklab(seen(matrix, Scale::TwoSided.colour(0.5 - 0.5 * t)));
                let pull = oklab(seen(matrix, Scale::TwoSided.colour(0.5 + 0.5 * t)));
                assert!(distance(push, pull) > 0.04, "{name} at {t}: {}", distance(push, pull));
            }
        }
    }

    #[test]
    fn the_two_sided_scale_darkens_evenly_from_white() {
        assert!(lightness(Scale::TwoSided.colour(0.5)) > 97.0);
        for i in 1..=64 {
            let t = f64::from(i) / 128.0;
            for sign in [-1.0, 1.0] {
                let here = lightness(Scale::TwoSided.colour(0.5 + sign * t));
                let before = lightness(Scale::TwoSided.colour(0.5 + sign * (t - 1.0 / 128.0)));
                assert!(here < before - 0.3, "{sign} {t}");
            }
            let difference =
                lightness(Scale::TwoSided.colour(0.5 + t)) - lightness(Scale::TwoSided.colour(0.5 - t));
            assert!(difference.abs() < 4.0, "equal size, about equal weight: {t} {difference}");
        }
    }
}
