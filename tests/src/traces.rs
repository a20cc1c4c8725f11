//! Files of load cells of our own making: one invented pull, written in the layouts and with the traps that loggers are known for.

use std::fmt::Write as _;

/// A pull that a file is made of.
#[derive(Clone, Copy, Debug)]
pub struct Made {
    /// Samples a second.
    pub hz: f64,
    /// Highest load, kN.
    pub peak_kn: f64,
    /// Load shown without load, kN.
    pub zero_kn: f64,
    /// Seed of the scatter.
    pub seed: u64,
}

/// How numbers are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Between values.
    pub separator: char,
    /// A comma as decimal mark.
    pub comma: bool,
    /// A mark between thousands.
    pub thousands: Option<char>,
    /// Line ends.
    pub end: &'static str,
}

impl Made {
    /// The pull at a time, kN: quiet, a soft beginning, a steeper rise, a slip, a hold, a knee, the break.
    #[must_use]
    pub fn kn(&self, t: f64) -> f64 {
        let (soft, rate) = (0.08 * self.peak_kn, self.peak_kn / 10.0);
        let load = match t {
            t if t < 3.0 => 0.0,
            t if t < 5.0 => 0.5 * soft * (t - 3.0),
            t if t < 8.0 => soft + rate * (t - 5.0),
            t if t < 8.4 => 0.35 * self.peak_kn + rate * (t - 8.0),
            t if t < 11.4 => 0.39 * self.peak_kn,
            t if t < 15.4 => 0.39 * self.peak_kn + rate * (t - 11.4),
            t if t < self.breaks_s() => 0.79 * self.peak_kn + 0.35 * rate * (t - 15.4),
            _ => 0.0,
        };
        self.zero_kn + load + self.scatter(t)
    }

    /// When it breaks, s.
    #[must_use]
    pub fn breaks_s(&self) -> f64 {
        15.4 + 0.21 / 0.035
    }

    /// A scatter of a thousandth of the peak, at most.
    fn scatter(&self, t: f64) -> f64 {
        let k = (t * self.hz).round() as u64;
        let mut x = k.wrapping_add(self.seed.wrapping_mul(0x9e37_79b9_7f4a_7c15)).wrapping_add(1);
        for _ in 0..3 {
            x ^= x << 13;
            x ^= x >> 7;
            x ^= x << 17;
        }
        1e-3 * self.peak_kn * ((x >> 11) as f64 / (1_u64 << 53) as f64 - 0.5)
    }

    /// Its samples: time and load.
    #[must_use]
    pub fn samples(&self) -> Vec<(f64, f64)> {
        let many = ((self.breaks_s() + 2.0) * self.hz) as u32;
        (0..many).map(|i| f64::from(i) / self.hz).map(|t| (t, self.kn(t))).collect()
    }

    /// The highest of its samples, rounded as they are written, less the zero, kN; `one` is the unit in kN, `digits` those behind the mark.
    #[must_use]
    pub fn read_kn(&self, one: f64, digits: usize) -> f64 {
        let scale = 10_f64.powi(digits as i32);
        self.samples()
            .iter()
            .map(|s| (s.1 / one * scale).round() / scale * one)
            .fold(f64::NEG_INFINITY, f64::max)
    }
}

impl Style {
    /// A number with so many digits behind its mark.
    #[must_use]
    pub fn number(&self, value: f64, digits: usize) -> String {
        let plain = format!("{value:.digits$}");
        let (sign, rest) = match plain.strip_prefix('-') {
            Some(rest) => ("-", rest),
            None => ("", plain.as_str()),
        };
        let (whole, part) = rest.split_once('.').unwrap_or((rest, ""));
        let mut grouped = String::new();
        for (i, digit) in whole.chars().enumerate() {
            if let Some(mark) = self.thousands
                && i > 0
                && (whole.len() - i).is_multiple_of(3)
            {
                grouped.push(mark);
            }
            grouped.push(digit);
        }
        let mark = if self.comma { ',' } else { '.' };
        if part.is_empty() { format!("{sign}{grouped}") } else { format!("{sign}{grouped}{mark}{part}") }
    }

    /// A table of times and loads, under these lines: each value made by `row`.
    #[must_use]
    pub fn table(&self, above: &[&str], rows: impl Iterator<Item = Vec<String>>, below: &[&str]) -> String {
        let mut text = String::new();
        for line in above {
            let _ = write!(text, "{line}{}", self.end);
        }
        for row in rows {
            let _ = write!(text, "{}{}", row.join(&self.separator.to_string()), self.end);
        }
        for line in below {
            let _ = write!(text, "{line}{}", self.end);
        }
        text
    }
}

/// A text as UTF-16, with or without a mark.
#[must_use]
pub fn utf_16(text: &str, big: bool, marked: bool) -> Vec<u8> {
    let mark = marked.then_some(0xfeff);
    mark.into_iter()
        .chain(text.encode_utf16())
        .flat_map(|unit: u16| if big { unit.to_be_bytes() } else { unit.to_le_bytes() })
        .collect()
}

/// A text with one byte a letter.
///
/// # Panics
/// A letter that has none.
#[must_use]
pub fn latin_1(text: &str) -> Vec<u8> {
    text.chars().map(|c| u8::try_from(u32::from(c)).unwrap_or_else(|_| panic!("{c}"))).collect()
}
