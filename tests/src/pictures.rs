//! What must hold of every picture: its words lie on the page and clear of each other.

use viz::Drawing;

/// Width and height of a PNG, from its header.
///
/// # Panics
/// When the bytes are no PNG.
#[must_use]
pub fn png_size(bytes: &[u8]) -> [u32; 2] {
    assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n");
    [16, 20].map(|at| u32::from_be_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]]))
}

/// Words that leave the page, and pairs of words that run into each other.
#[must_use]
pub fn misplaced_words(drawing: &Drawing) -> Vec<String> {
    let boxes: Vec<(&str, [[f64; 2]; 2])> = drawing
        .texts()
        .into_iter()
        .filter_map(|text| text.outline().bounds().map(|b| (text.words.as_str(), b)))
        .collect();
    let mut found = Vec::new();
    for (i, (words, b)) in boxes.iter().enumerate() {
        let page = [drawing.width, drawing.height];
        if (0..2).any(|k| b[0][k] < 0.0 || b[1][k] > page[k]) {
            found.push(format!("'{words}' leaves the page: {b:?}"));
        }
        for (other, o) in &boxes[i + 1..] {
            if (0..2).all(|k| b[0][k] < o[1][k] && o[0][k] < b[1][k]) {
                found.push(format!("'{words}' runs into '{other}'"));
            }
        }
    }
    found
}
