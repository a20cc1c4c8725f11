//! Arrays laid end to end, each with its name, type, place and shape: the binary part of an answer.

use serde::Serialize;

/// Where an array lies and how it is read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Block {
    /// Body and quantity, such as `frame.points`.
    pub name: String,
    /// `f32` or `u32`, little-endian.
    #[serde(rename = "type")]
    pub kind: &'static str,
    /// First byte, counted from the start of the blocks.
    pub offset: usize,
    /// Rows and numbers in a row; rows alone where a row is one number.
    pub shape: Vec<usize>,
}

/// Arrays and their bytes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Blocks {
    /// What lies where.
    pub list: Vec<Block>,
    /// The bytes.
    pub bytes: Vec<u8>,
}

impl Blocks {
    /// Adds numbers, `width` to a row, as `f32`.
    pub fn add_f32(&mut self, name: String, width: usize, values: impl Iterator<Item = f64>) {
        #[expect(clippy::cast_possible_truncation, reason = "a screen shows far fewer digits than f32 has")]
        self.add(name, "f32", width, values.map(|value| (value as f32).to_le_bytes()));
    }

    /// Adds numbers, `width` to a row.
    pub fn add_u32(&mut self, name: String, width: usize, values: impl Iterator<Item = u32>) {
        self.add(name, "u32", width, values.map(u32::to_le_bytes));
    }

    fn add(&mut self, name: String, kind: &'static str, width: usize, values: impl Iterator<Item = [u8; 4]>) {
        let offset = self.bytes.len();
        self.bytes.extend(values.flatten());
        let rows = (self.bytes.len() - offset) / 4 / width;
        let shape = if width == 1 { vec![rows] } else { vec![rows, width] };
        self.list.push(Block { name, kind, offset, shape });
    }

    /// Adds the blocks of another after those that are there.
    pub fn append(&mut self, other: &Self) {
        let start = self.bytes.len();
        self.bytes.extend_from_slice(&other.bytes);
        self.list
            .extend(other.list.iter().map(|block| Block { offset: start + block.offset, ..block.clone() }));
    }

    /// A whole answer: magic, version, lengths, the JSON padded to four bytes, the blocks.
    #[must_use]
    pub fn sealed(&self, version: u16, json: &[u8]) -> Vec<u8> {
        const HEADER: usize = 16;
        let start = (HEADER + json.len()).next_multiple_of(4);
        let mut bytes = Vec::with_capacity(start + self.bytes.len());
        bytes.extend_from_slice(b"PMAP");
        bytes.extend_from_slice(&version.to_le_bytes());
        bytes.extend_from_slice(&[0; 2]);
        for length in [json.len(), start] {
            // An answer is a few megabytes at most.
            bytes.extend_from_slice(&u32::try_from(length).unwrap_or(u32::MAX).to_le_bytes());
        }
        bytes.extend_from_slice(json);
        bytes.resize(start, 0);
        bytes.extend_from_slice(&self.bytes);
        bytes
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arrays_lie_where_the_list_says() {
        let mut first = Blocks::default();
        first.add_f32("a".to_owned(), 2, [1.0, 2.0, 3.0, 4.0].into_iter());
        let mut second = Blocks::default();
        second.add_u32("b".to_owned(), 1, [7, 8, 9].into_iter());
        second.append(&first);
        assert_eq!(
            second.list[1],
            Block { name: "a".to_owned(), kind: "f32", offset: 12, shape: vec![2, 2] }
        );
        assert_eq!(second.list[0].shape, [3]);
        let sealed = second.sealed(1, b"{ }");
        assert_eq!(&sealed[..8], b"PMAP\x01\0\0\0");
        assert_eq!(&sealed[8..16], &[3, 0, 0, 0, 20, 0, 0, 0]);
        assert_eq!(&sealed[16..20], b"{ }\0");
        assert_eq!(&sealed[20 + 12..20 + 16], &1.0_f32.to_le_bytes());
        assert_eq!(sealed.len(), 20 + 28);
    }
}
