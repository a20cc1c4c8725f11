//! The NumPy twin: one `.npy` array per quantity in an uncompressed zip container.
//!
//! Every entry carries the container's earliest time and the same permissions, so that the bytes depend on the fields
//! alone. Layout of an array: NumPy's format version 1.0, a text header padded to 64 bytes, then the numbers row by row.

use super::columns::{float_bytes, integer_bytes};
use super::{FORMAT, Fields, FieldsError};
use std::io::{Cursor, Write};
use zip::write::{SimpleFileOptions, ZipWriter};
use zip::{CompressionMethod, DateTime};

/// The file for fields that were checked.
pub(super) fn bytes(fields: &Fields<'_>) -> Result<Vec<u8>, FieldsError> {
    let mut file = Container { zip: ZipWriter::new(Cursor::new(Vec::new())) };
    file.add("format", &format!("|S{}", FORMAT.len()), "()", FORMAT.as_bytes())?;
    let (width, names) = padded_names(fields);
    file.add("body_names", &format!("|S{width}"), &shape(fields.bodies.len(), 1), &names)?;
    file.floats("youngs_modulus_mpa", fields.per_body(|body| body.youngs_modulus_mpa))?;
    file.floats("poisson_ratio", fields.per_body(|body| body.poisson_ratio))?;
    file.floats("points", fields.rows(|body| body.points))?;
    file.small("node_body", fields.node_body_numbers())?;
    file.integers("triangles", fields.connectivity())?;
    file.small("body", fields.body_numbers())?;
    file.floats("displacement", fields.rows(|body| body.displacement))?;
    file.floats("recovered_stress", fields.rows(|body| body.recovered_stress))?;
    file.floats("contact_and_strap_force", fields.rows(|body| body.force))?;
    file.small("rule", fields.rows(|body| body.rule))?;
    file.floats("mean_element_stress", fields.mean_element_stress())?;
    file.integers("integration_offsets", fields.integration_offsets())?;
    file.floats("breadth", fields.rows(|body| body.breadth).map(|breadth| [breadth]))?;
    file.floats("element_stress", fields.rows(|body| body.element_stress))?;
    for rule in &fields.rules {
        file.floats(&format!("rule_{}", rule.points.len()), rule.points.iter().copied())?;
    }
    Ok(file.zip.finish()?.into_inner())
}

/// The names of the bodies, padded with zeros to the longest, and that width.
fn padded_names(fields: &Fields<'_>) -> (usize, Vec<u8>) {
    // NumPy reads a width of zero as "not known yet".
    let width = fields.bodies.iter().map(|body| body.name.len()).max().unwrap_or(0).max(1);
    let padding = |name: &str| std::iter::repeat_n(0, width - name.len());
    (width, fields.bodies.iter().flat_map(|body| body.name.bytes().chain(padding(body.name))).collect())
}

/// The shape of an array as NumPy writes it; one column is no second dimension.
fn shape(rows: usize, columns: usize) -> String {
    if columns == 1 { format!("({rows},)") } else { format!("({rows}, {columns})") }
}

/// The zip container so far.
struct Container {
    zip: ZipWriter<Cursor<Vec<u8>>>,
}

impl Container {
    fn floats<const N: usize>(
        &mut self,
        name: &str,
        rows: impl Iterator<Item = [f64; N]>,
    ) -> Result<(), FieldsError> {
        let data = float_bytes(rows);
        self.add(name, "<f8", &shape(data.len() / (8 * N), N), &data)
    }

    fn integers<const N: usize>(
        &mut self,
        name: &str,
        rows: impl Iterator<Item = [i64; N]>,
    ) -> Result<(), FieldsError> {
        let data = integer_bytes(rows);
        self.add(name, "<i8", &shape(data.len() / (8 * N), N), &data)
    }

    fn small(&mut self, name: &str, values: impl Iterator<Item = u8>) -> Result<(), FieldsError> {
        let data: Vec<u8> = values.collect();
        self.add(name, "|u1", &shape(data.len(), 1), &data)
    }

    fn add(&mut self, name: &str, kind: &str, shape: &str, data: &[u8]) -> Result<(), FieldsError> {
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Stored)
            .last_modified_time(DateTime::default())
            .unix_permissions(0o644);
        self.zip.start_file(format!("{name}.npy"), options)?;
        self.zip.write_all(&npy_header(kind, shape))?;
        self.zip.write_all(data)?;
        Ok(())
    }
}

/// Magic, version 1.0, length of the text (2 bytes), text; a multiple of 64 bytes in all, a line feed at the end.
fn npy_header(kind: &str, shape: &str) -> Vec<u8> {
    const PREFIX: usize = 10;
    let mut text = format!("{{'descr': '{kind}', 'fortran_order': False, 'shape': {shape}, }}");
    let total = (PREFIX + text.len() + 1).next_multiple_of(64);
    text.push_str(&" ".repeat(total - PREFIX - text.len() - 1));
    text.push('\n');
    let mut header = b"\x93NUMPY\x01\x00".to_vec();
    // The text is below 200 characters: two digits of kind, two numbers of shape.
    header.extend_from_slice(&(text.len() as u16).to_le_bytes());
    header.extend_from_slice(text.as_bytes());
    header
}
