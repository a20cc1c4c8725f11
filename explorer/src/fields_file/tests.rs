//! A unit square of two triangles, pulled in x: every number can be worked out by hand.

use super::{BodyFields, Fields, FieldsError, RulePoints};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use std::io::{Cursor, Read};

/// Corners counter-clockwise, the middles of the four sides, the middle of the diagonal from node 0 to node 2.
const POINTS: [[f64; 2]; 9] = [
    [0.0, 0.0],
    [1.0, 0.0],
    [1.0, 1.0],
    [0.0, 1.0],
    [0.5, 0.0],
    [1.0, 0.5],
    [0.5, 1.0],
    [0.0, 0.5],
    [0.5, 0.5],
];
const TRIANGLES: [[u32; 6]; 2] = [[0, 1, 2, 4, 5, 8], [0, 2, 3, 8, 6, 7]];
/// Points in the middles of the sides, exact to degree 2.
const THREE_POINTS: [[f64; 3]; 3] = [[0.5, 0.0, 1.0 / 6.0], [0.5, 0.5, 1.0 / 6.0], [0.0, 0.5, 1.0 / 6.0]];
const ONE_POINT: [[f64; 3]; 1] = [[1.0 / 3.0, 1.0 / 3.0, 0.5]];
const RULE: [u8; 2] = [3, 1];
const BREADTH: [f64; 4] = [1.0, 2.0, 3.0, 4.0];
/// A mean of the first three with weights 1, 2, 3 is 20 in xx and 2 in yy.
const ELEMENT_STRESS: [[f64; 3]; 4] = [[6.0, 2.0, 0.0], [12.0, 2.0, 0.0], [30.0, 2.0, 0.0], [7.0, 8.0, 9.0]];
const RECOVERED: [[f64; 3]; 9] = [[10.0, 0.0, -1.0]; 9];

fn square<'a>(displacement: &'a [[f64; 2]], force: &'a [[f64; 2]]) -> BodyFields<'a> {
    BodyFields {
        name: "frame",
        points: &POINTS,
        triangles: &TRIANGLES,
        displacement,
        recovered_stress: &RECOVERED,
        element_stress: &ELEMENT_STRESS,
        rule: &RULE,
        breadth: &BREADTH,
        force,
        youngs_modulus_mpa: 200.0,
        poisson_ratio: 0.25,
    }
}

/// Two squares, the second called gate.
fn two_squares(displacement: &[[f64; 2]]) -> Fields<'_> {
    let frame = square(displacement, displacement);
    Fields {
        bodies: vec![frame, BodyFields { name: "gate", ..frame }],
        rules: vec![RulePoints { points: THREE_POINTS.to_vec() }, RulePoints { points: ONE_POINT.to_vec() }],
    }
}

fn stretched() -> Vec<[f64; 2]> {
    POINTS.iter().map(|[x, y]| [0.05 * x, -0.0125 * y]).collect()
}

/// The decoded bytes of the array of that name, without the length in front, which must agree.
fn vtu_array(file: &str, name: &str) -> Vec<u8> {
    let tag = file.split("<DataArray").find(|part| part.contains(&format!("Name=\"{name}\""))).expect(name);
    let text = tag.split(['>', '<']).nth(1).expect("text after the tag").trim();
    let block = STANDARD.decode(text).expect("base64");
    let (length, data) = block.split_at(8);
    assert_eq!(u64::from_le_bytes(length.try_into().unwrap()), data.len() as u64, "{name}");
    data.to_vec()
}

fn npz_entry(file: &[u8], name: &str) -> (String, Vec<u8>) {
    let mut archive = zip::ZipArchive::new(Cursor::new(file)).expect("a zip container");
    let mut entry = archive.by_name(&format!("{name}.npy")).expect(name);
    let mut bytes = Vec::new();
    entry.read_to_end(&mut bytes).expect("an intact entry");
    assert_eq!(&bytes[..8], b"\x93NUMPY\x01\x00");
    let length = usize::from(u16::from_le_bytes([bytes[8], bytes[9]]));
    assert_eq!((10 + length) % 64, 0, "numbers begin at a multiple of 64 bytes");
    let header = String::from_utf8(bytes[10..10 + length].to_vec()).expect("text");
    assert!(header.ends_with('\n'));
    (header.trim_end().to_owned(), bytes[10 + length..].to_vec())
}

fn floats(bytes: &[u8]) -> Vec<f64> {
    bytes.chunks_exact(8).map(|chunk| f64::from_le_bytes(chunk.try_into().unwrap())).collect()
}

fn integers(bytes: &[u8]) -> Vec<i64> {
    bytes.chunks_exact(8).map(|chunk| i64::from_le_bytes(chunk.try_into().unwrap())).collect()
}

#[test]
fn same_fields_give_the_same_bytes_and_other_fields_do_not() {
    let displacement = stretched();
    let mut moved = displacement.clone();
    moved[3][1] += 1e-15;
    let (first, again, other) = (two_squares(&displacement), two_squares(&displacement), two_squares(&moved));
    assert_eq!(first.vtu().unwrap(), again.vtu().unwrap());
    assert_eq!(first.npz().unwrap(), again.npz().unwrap());
    assert_ne!(first.vtu().unwrap(), other.vtu().unwrap());
    assert_ne!(first.npz().unwrap(), other.npz().unwrap());
}

#[test]
fn the_container_carries_the_earliest_time_it_knows() {
    let file = two_squares(&stretched()).npz().unwrap();
    let mut archive = zip::ZipArchive::new(Cursor::new(file)).unwrap();
    for i in 0..archive.len() {
        let time = archive.by_index(i).unwrap().last_modified().expect("a time");
        assert_eq!((time.year(), time.month(), time.day(), time.hour()), (1980, 1, 1, 0));
    }
}

#[test]
fn the_grid_counts_the_nodes_of_the_gate_after_those_of_the_frame() {
    let file = String::from_utf8(two_squares(&stretched()).vtu().unwrap()).unwrap();
    assert!(file.starts_with("<?xml version=\"1.0\"?>\n"));
    assert!(file.contains("NumberOfPoints=\"18\" NumberOfCells=\"4\""));
    assert_eq!(vtu_array(&file, "types"), [22; 4]);
    assert_eq!(vtu_array(&file, "body"), [0, 0, 1, 1]);
    assert_eq!(vtu_array(&file, "rule"), [3, 1, 3, 1]);
    assert_eq!(integers(&vtu_array(&file, "offsets")), [6, 12, 18, 24]);
    let connectivity = integers(&vtu_array(&file, "connectivity"));
    assert_eq!(connectivity[..6], [0, 1, 2, 4, 5, 8]);
    assert_eq!(connectivity[12..18], [9, 10, 11, 13, 14, 17]);
    // Node 2 at (1, 1), in space.
    assert_eq!(floats(&vtu_array(&file, "points"))[6..9], [1.0, 1.0, 0.0]);
    assert_eq!(floats(&vtu_array(&file, "displacement"))[6..9], [0.05, -0.0125, 0.0]);
    assert_eq!(integers(&vtu_array(&file, "integration_offsets")), [0, 3, 4, 7, 8]);
}

#[test]
fn every_tag_of_the_grid_is_closed_in_order() {
    let file = String::from_utf8(two_squares(&stretched()).vtu().unwrap()).unwrap();
    let mut open = Vec::new();
    for tag in file.split('<').skip(1).map(|rest| rest.split('>').next().unwrap()) {
        match tag.strip_prefix('/') {
            Some(name) => assert_eq!(open.pop(), Some(name)),
            None if tag.starts_with(['?', '!']) => {}
            None => open.push(tag.split(' ').next().unwrap()),
        }
    }
    assert!(open.is_empty(), "left open: {open:?}");
}

#[test]
fn the_mean_stress_weighs_points_with_their_breadth() {
    let file = two_squares(&stretched()).npz().unwrap();
    let (_, data) = npz_entry(&file, "mean_element_stress");
    // (1*6 + 2*12 + 3*30) / 6 = 20; the second triangle has one point.
    let mean = floats(&data);
    let expected = [20.0, 2.0, 0.0, 7.0, 8.0, 9.0];
    for (found, expected) in mean.iter().zip(expected) {
        assert!((found - expected).abs() < 1e-12, "{mean:?}");
    }
}

#[test]
fn the_arrays_carry_their_shapes_and_names() {
    let file = two_squares(&stretched()).npz().unwrap();
    let (header, data) = npz_entry(&file, "points");
    assert_eq!(header, "{'descr': '<f8', 'fortran_order': False, 'shape': (18, 2), }");
    assert_eq!(floats(&data)[4..6], [1.0, 1.0]);
    let (header, data) = npz_entry(&file, "breadth");
    assert_eq!(header, "{'descr': '<f8', 'fortran_order': False, 'shape': (8,), }");
    assert_eq!(floats(&data), [1.0, 2.0, 3.0, 4.0, 1.0, 2.0, 3.0, 4.0]);
    let (header, data) = npz_entry(&file, "body_names");
    assert_eq!(header, "{'descr': '|S5', 'fortran_order': False, 'shape': (2,), }");
    assert_eq!(data, b"framegate\0");
    let (header, data) = npz_entry(&file, "rule_3");
    assert_eq!(header, "{'descr': '<f8', 'fortran_order': False, 'shape': (3, 3), }");
    assert_eq!(floats(&data)[..3], [0.5, 0.0, 1.0 / 6.0]);
    let (header, data) = npz_entry(&file, "format");
    assert_eq!(header, "{'descr': '|S16', 'fortran_order': False, 'shape': (), }");
    assert_eq!(data, b"pullmap-fields-1");
}

#[test]
fn arrays_that_do_not_fit_are_refused() {
    let displacement = stretched();
    let fields = two_squares(&displacement[..8]);
    assert!(matches!(
        fields.vtu(),
        Err(FieldsError::Length { array: "displacement", found: 8, expected: 9, .. })
    ));

    let mut fields = two_squares(&displacement);
    fields.bodies[1].breadth = &BREADTH[..3];
    assert!(matches!(fields.npz(), Err(FieldsError::Length { array: "breadth", found: 3, expected: 4, .. })));

    let mut fields = two_squares(&displacement);
    fields.bodies[0].triangles = &[[0, 1, 2, 4, 5, 8], [0, 2, 3, 8, 6, 9]];
    assert!(matches!(fields.npz(), Err(FieldsError::Node { triangle: 1, .. })));

    let fields = Fields { bodies: Vec::new(), rules: Vec::new() };
    assert!(matches!(fields.npz(), Err(FieldsError::NoBodies)));
}

#[test]
fn rules_that_are_missing_or_wrong_are_refused() {
    let displacement = stretched();
    let mut fields = two_squares(&displacement);
    fields.rules.pop();
    assert!(matches!(fields.npz(), Err(FieldsError::UnknownRule { triangle: 1, points: 1, .. })));

    let mut fields = two_squares(&displacement);
    fields.rules[1].points[0][2] = 1.0;
    assert!(
        matches!(fields.npz(), Err(FieldsError::Rule { points: 1 })),
        "weights that sum to one, not one half"
    );

    let mut fields = two_squares(&displacement);
    fields.rules[1] = fields.rules[0].clone();
    assert!(matches!(fields.npz(), Err(FieldsError::Rule { points: 3 })), "given twice");
}

#[test]
fn numbers_that_are_not_finite_are_refused() {
    let mut displacement = stretched();
    displacement[4][0] = f64::NAN;
    assert!(matches!(
        two_squares(&displacement).vtu(),
        Err(FieldsError::Value { array: "displacement", .. })
    ));

    let displacement = stretched();
    let mut fields = two_squares(&displacement);
    fields.bodies[0].breadth = &[1.0, 0.0, 3.0, 4.0];
    assert!(matches!(fields.vtu(), Err(FieldsError::Value { array: "breadth", .. })));
}
