//! The VTK XML unstructured grid: both bodies as quadratic triangles in one piece.
//!
//! Arrays are inline base64, not appended raw bytes: a third larger, but the file stays well-formed XML that any XML
//! reader takes. Points and displacements get a third component, 0, because the format knows no plane.

use super::columns::{count, float_bytes, integer_bytes};
use super::{FORMAT, Fields};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;

/// The format's number for a quadratic triangle: corners, then the middles of sides 01, 12, 20.
const QUADRATIC_TRIANGLE: u8 = 22;

/// Names of the three stress components, as readers show them.
const STRESS: &[&str] = &["xx", "yy", "xy"];
/// Names of the three components of a vector.
const VECTOR: &[&str] = &["x", "y", "z"];
/// Names of the columns of a rule.
const RULE: &[&str] = &["xi", "eta", "weight"];

/// The file for fields that were checked.
pub(super) fn bytes(fields: &Fields<'_>) -> Vec<u8> {
    let points: usize = fields.bodies.iter().map(|body| body.points.len()).sum();
    let triangles: usize = fields.bodies.iter().map(|body| body.triangles.len()).sum();
    let mut file = Writer::default();
    file.line("<?xml version=\"1.0\"?>");
    file.line(&format!("<!-- {FORMAT}: mm, N, MPa; layout in docs/fields-file.md -->"));
    file.line(
        "<VTKFile type=\"UnstructuredGrid\" version=\"1.0\" byte_order=\"LittleEndian\" header_type=\"UInt64\">",
    );
    file.line("<UnstructuredGrid>");
    field_data(&mut file, fields);
    file.line(&format!("<Piece NumberOfPoints=\"{points}\" NumberOfCells=\"{triangles}\">"));
    file.group("Points", |file| file.floats("points", VECTOR, in_space(fields.rows(|body| body.points))));
    file.group("Cells", |file| {
        file.array("Int64", "connectivity", &[], &integer_bytes(fields.connectivity()));
        let ends = (1..=count(triangles)).map(|end| [6 * end]);
        file.array("Int64", "offsets", &[], &integer_bytes(ends));
        file.array("UInt8", "types", &[], &vec![QUADRATIC_TRIANGLE; triangles]);
    });
    file.group("PointData", |file| {
        file.floats("displacement", VECTOR, in_space(fields.rows(|body| body.displacement)));
        file.floats("recovered_stress", STRESS, fields.rows(|body| body.recovered_stress));
        file.floats("contact_and_strap_force", VECTOR, in_space(fields.rows(|body| body.force)));
    });
    file.group("CellData", |file| {
        file.array("UInt8", "body", &[], &fields.body_numbers().collect::<Vec<_>>());
        file.array("UInt8", "rule", &[], &fields.rows(|body| body.rule).collect::<Vec<_>>());
        file.floats("mean_element_stress", STRESS, fields.mean_element_stress());
    });
    file.line("</Piece>");
    file.line("</UnstructuredGrid>");
    file.line("</VTKFile>");
    file.text.into_bytes()
}

/// What belongs to neither points nor cells: the ragged arrays per integration point, the rules, the materials.
fn field_data(file: &mut Writer, fields: &Fields<'_>) {
    file.group("FieldData", |file| {
        let offsets = integer_bytes(fields.integration_offsets());
        file.tuples("Int64", "integration_offsets", &[], &offsets);
        file.tuples("Float64", "breadth", &[], &float_bytes(fields.rows(|body| body.breadth).map(|b| [b])));
        let stress = float_bytes(fields.rows(|body| body.element_stress));
        file.tuples("Float64", "element_stress", STRESS, &stress);
        for rule in &fields.rules {
            let name = format!("rule_{}", rule.points.len());
            file.tuples("Float64", &name, RULE, &float_bytes(rule.points.iter().copied()));
        }
        let youngs_modulus = float_bytes(fields.per_body(|body| body.youngs_modulus_mpa));
        file.tuples("Float64", "youngs_modulus_mpa", &[], &youngs_modulus);
        let poisson_ratio = float_bytes(fields.per_body(|body| body.poisson_ratio));
        file.tuples("Float64", "poisson_ratio", &[], &poisson_ratio);
    });
}

/// Rows in the plane as rows in space.
fn in_space(rows: impl Iterator<Item = [f64; 2]>) -> impl Iterator<Item = [f64; 3]> {
    rows.map(|[x, y]| [x, y, 0.0])
}

/// The XML text so far.
#[derive(Default)]
struct Writer {
    text: String,
}

impl Writer {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn group(&mut self, tag: &str, fill: impl FnOnce(&mut Self)) {
        self.line(&format!("<{tag}>"));
        fill(self);
        self.line(&format!("</{tag}>"));
    }

    fn floats(&mut self, name: &str, components: &[&str], rows: impl Iterator<Item = [f64; 3]>) {
        self.array("Float64", name, components, &float_bytes(rows));
    }

    /// An array of points or cells, whose length the piece tells.
    fn array(&mut self, kind: &str, name: &str, components: &[&str], data: &[u8]) {
        self.data_array(kind, name, components, None, data);
    }

    /// An array that must tell its own length. All its kinds are 8 bytes wide.
    fn tuples(&mut self, kind: &str, name: &str, components: &[&str], data: &[u8]) {
        let rows = data.len() / (8 * components.len().max(1));
        self.data_array(kind, name, components, Some(rows), data);
    }

    fn data_array(&mut self, kind: &str, name: &str, components: &[&str], rows: Option<usize>, data: &[u8]) {
        self.text.push_str(&format!("<DataArray type=\"{kind}\" Name=\"{name}\""));
        if !components.is_empty() {
            self.text.push_str(&format!(" NumberOfComponents=\"{}\"", components.len()));
            for (i, component) in components.iter().enumerate() {
                self.text.push_str(&format!(" ComponentName{i}=\"{component}\""));
            }
        }
        if let Some(rows) = rows {
            self.text.push_str(&format!(" NumberOfTuples=\"{rows}\""));
        }
        self.text.push_str(" format=\"binary\">\n");
        // The length in bytes goes in front, and both are encoded as one block.
        let mut block = (data.len() as u64).to_le_bytes().to_vec();
        block.extend_from_slice(data);
        STANDARD.encode_string(&block, &mut self.text);
        self.line("\n</DataArray>");
    }
}
