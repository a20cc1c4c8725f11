//! Which points lie in the material, by even and odd crossings to the left, looked up in rows.

use super::split::Chords;
use crate::curve::Point;

/// Rows of outline chords.
///
/// A row lists the chords that reach into it, so a test looks at the few chords at its own height: less work than a
/// tree, and exact in the same way for any number of holes.
pub(super) struct Inside {
    low: f64,
    rows_per_mm: f64,
    /// Chords of row i: `chords[first[i]..first[i + 1]]`.
    first: Vec<u32>,
    chords: Vec<[Point; 2]>,
}

impl Inside {
    /// Sorts the outline of `outline` into rows.
    pub fn new(outline: &Chords<'_>) -> Self {
        let [low, high] = outline.bounds();
        let ends: Vec<[Point; 2]> = outline
            .chords
            .iter()
            .filter(|chord| outline.pieces[chord.piece].outline)
            .map(|chord| outline.ends(chord))
            .collect();
        let rows = ends.len().clamp(1, 4096);
        let rows_per_mm = rows as f64 / (high[1] - low[1]).max(f64::MIN_POSITIVE);
        let row = |y: f64| (((y - low[1]) * rows_per_mm) as usize).min(rows - 1);
        let span = |[a, b]: &[Point; 2]| row(a[1].min(b[1]))..=row(a[1].max(b[1]));
        let mut first = vec![0_u32; rows + 1];
        for chord in &ends {
            for i in span(chord) {
                first[i + 1] += 1;
            }
        }
        for i in 0..rows {
            first[i + 1] += first[i];
        }
        let mut fill = first.clone();
        let mut chords = vec![[[0.0; 2]; 2]; first[rows] as usize];
        for chord in &ends {
            for i in span(chord) {
                chords[fill[i] as usize] = *chord;
                fill[i] += 1;
            }
        }
        Self { low: low[1], rows_per_mm, first, chords }
    }

    /// True when `p` lies inside the outline.
    pub fn contains(&self, p: Point) -> bool {
        let row = (p[1] - self.low) * self.rows_per_mm;
        if !(row >= 0.0 && row <= (self.first.len() - 1) as f64) {
            return false;
        }
        let row = (row as usize).min(self.first.len() - 2);
        let mut odd = false;
        for [a, b] in &self.chords[self.first[row] as usize..self.first[row + 1] as usize] {
            if (a[1] <= p[1]) != (b[1] <= p[1]) && a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) < p[0]
            {
                odd = !odd;
            }
        }
        odd
    }
}
