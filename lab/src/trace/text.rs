//! From bytes to lines.

use super::error::TraceError;
use encoding_rs::{UTF_16BE, UTF_16LE, WINDOWS_1252};

/// How the letters of a file are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8, plain ASCII with it.
    Utf8,
    /// UTF-16, the low byte first.
    Utf16Little,
    /// UTF-16, the high byte first.
    Utf16Big,
    /// One byte a letter, Western European.
    Windows1252,
}

/// A file as text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Its letters.
    pub text: String,
    /// How they were written.
    pub encoding: Encoding,
    /// Whether a mark at the beginning says so.
    pub marked: bool,
}

/// Bytes at the beginning that are looked at for an encoding without a mark.
const LOOKED_AT: usize = 4096;

impl Text {
    /// Decodes a file.
    ///
    /// # Errors
    /// The file is empty, or holds no text.
    pub fn of(bytes: &[u8]) -> Result<Self, TraceError> {
        let (encoding, marked, rest) = match bytes {
            [0xef, 0xbb, 0xbf, rest @ ..] => (Encoding::Utf8, true, rest),
            [0xff, 0xfe, rest @ ..] => (Encoding::Utf16Little, true, rest),
            [0xfe, 0xff, rest @ ..] => (Encoding::Utf16Big, true, rest),
            _ => (unmarked(bytes), false, bytes),
        };
        let decoded = match encoding {
            Encoding::Utf8 => std::str::from_utf8(rest).ok().map(str::to_owned),
            Encoding::Utf16Little => {
                UTF_16LE.decode_without_bom_handling_and_without_replacement(rest).map(Into::into)
            }
            Encoding::Utf16Big => {
                UTF_16BE.decode_without_bom_handling_and_without_replacement(rest).map(Into::into)
            }
            Encoding::Windows1252 => Some(WINDOWS_1252.decode_without_bom_handling(rest).0.into_owned()),
        };
        let Some(mut text) = decoded else { return Err(TraceError::NoText) };
        // An old end-of-file mark.
        while text.ends_with(['\u{1a}', '\0']) {
            text.pop();
        }
        if text.trim().is_empty() {
            return Err(TraceError::Empty);
        }
        if text.bytes().any(|b| (b < b' ' && !matches!(b, b'\t' | b'\r' | b'\n' | 0xc)) || b == 0x7f) {
            return Err(TraceError::NoText);
        }
        Ok(Self { text, encoding, marked })
    }

    /// Its lines without their ends, and the lines' numbers by order from 1.
    #[must_use]
    pub fn lines(&self) -> Vec<&str> {
        if self.text.contains('\n') {
            self.text.lines().map(|l| l.trim_end_matches('\r')).collect()
        } else {
            self.text.split('\r').collect()
        }
    }
}

fn unmarked(bytes: &[u8]) -> Encoding {
    let looked = &bytes[..bytes.len().min(LOOKED_AT)];
    let zeros = |from: usize| looked.iter().skip(from).step_by(2).filter(|b| **b == 0).count();
    let pairs = looked.len() / 2;
    if pairs > 0 && 10 * zeros(1) > 9 * pairs && zeros(0) == 0 {
        Encoding::Utf16Little
    } else if pairs > 0 && 10 * zeros(0) > 9 * pairs && zeros(1) == 0 {
        Encoding::Utf16Big
    } else if std::str::from_utf8(bytes).is_ok() {
        Encoding::Utf8
    } else {
        Encoding::Windows1252
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_encoding_gives_the_same_lines() {
        let wanted = "Zeit;Kraft [N]\r\n0,0;1\r\n";
        let sixteen = |big: bool| -> Vec<u8> {
            wanted.encode_utf16().flat_map(|u| if big { u.to_be_bytes() } else { u.to_le_bytes() }).collect()
        };
        for (bytes, encoding, marked) in [
            (wanted.as_bytes().to_vec(), Encoding::Utf8, false),
            ([&[0xef, 0xbb, 0xbf], wanted.as_bytes()].concat(), Encoding::Utf8, true),
            (sixteen(false), Encoding::Utf16Little, false),
            ([&[0xff, 0xfe][..], &sixteen(false)].concat(), Encoding::Utf16Little, true),
            ([&[0xfe, 0xff][..], &sixteen(true)].concat(), Encoding::Utf16Big, true),
        ] {
            let text = Text::of(&bytes).unwrap();
            assert_eq!((text.encoding, text.marked), (encoding, marked));
            assert_eq!(text.lines(), ["Zeit;Kraft [N]", "0,0;1"]);
        }
        let old = Text::of(b"St\xfcck;\xb0C\r1;2\r").unwrap();
        assert_eq!((old.encoding, old.lines()[0]), (Encoding::Windows1252, "St\u{fc}ck;\u{b0}C"));
    }

    #[test]
    fn what_is_no_text_is_refused() {
        assert_eq!(Text::of(b""), Err(TraceError::Empty));
        assert_eq!(Text::of(b" \r\n\t"), Err(TraceError::Empty));
        assert_eq!(Text::of(&[0x89, b'P', b'N', b'G', 0, 1, 2, 3]), Err(TraceError::NoText));
        assert_eq!(Text::of(&[0xff, 0xfe, 0x00, 0xd8]), Err(TraceError::NoText));
    }
}
