//! The mesh as the page wants it: points, triangles, outline, breadth, and a place in words for every node.
//!
//! Made once for each system, since the page asks for it after every change of shape and whenever it is loaded anew.

use super::blocks::Blocks;
use geometry::curve::Point;
use geometry::mesh::Mesh;
use geometry::region::Stretch;
use rayon::prelude::*;
use report::locations;
use solver::system::System;

/// The blocks of frame and gate, and the words that they point to.
#[derive(Debug)]
pub struct MeshBlocks {
    /// Points, triangles and so on of both bodies.
    pub blocks: Blocks,
    /// Places in words.
    pub places: Vec<String>,
    /// Names of stretches of the outline.
    pub stretches: Vec<String>,
}

/// Position of a word in a list, added if it is new.
#[expect(clippy::cast_possible_truncation, reason = "a connector has some dozens of places")]
fn index_of(words: &mut Vec<String>, word: String) -> u32 {
    match words.iter().position(|known| *known == word) {
        Some(at) => at as u32,
        None => {
            words.push(word);
            words.len() as u32 - 1
        }
    }
}

fn stretch_word(stretch: Stretch) -> String {
    // The names of the code are the words of the trade: UpperInner is the inner edge of the upper bar.
    match serde_json::to_value(stretch) {
        Ok(serde_json::Value::String(name)) => name.replace('_', " "),
        _ => "side".to_owned(),
    }
}

impl MeshBlocks {
    /// Both bodies of a system.
    #[must_use]
    pub fn new(system: &System) -> Self {
        let mut all = Self { blocks: Blocks::default(), places: Vec::new(), stretches: Vec::new() };
        let outline = &system.outline;
        let gate_breadth = system.connector.gate.breadth_mm;
        all.add("frame", system.frame.body.mesh(), &|p| locations::frame(outline.frame_location(p)), &|p| {
            system.breadth.at(p)
        });
        all.add(
            "gate",
            system.gate.body.mesh(),
            &|p| locations::gate(outline.gate_location(p)).to_owned(),
            &|_| gate_breadth,
        );
        all
    }

    fn add(
        &mut self,
        body: &str,
        mesh: &Mesh,
        place: &(dyn Fn(Point) -> String + Sync),
        breadth: &(dyn Fn(Point) -> f64 + Sync),
    ) {
        let name = |block: &str| format!("{body}.{block}");
        self.blocks.add_f32(name("points"), 2, mesh.points.iter().flatten().copied());
        self.blocks.add_u32(name("triangles"), 6, mesh.triangles.iter().flatten().copied());
        self.blocks.add_u32(name("edges"), 3, mesh.boundary.iter().flat_map(|edge| edge.nodes));
        let stretches: Vec<u32> = mesh
            .boundary
            .iter()
            .map(|edge| index_of(&mut self.stretches, stretch_word(edge.stretch)))
            .collect();
        self.blocks.add_u32(name("stretch"), 1, stretches.into_iter());
        let words: Vec<String> = mesh.points.par_iter().map(|p| place(*p)).collect();
        let places: Vec<u32> = words.into_iter().map(|word| index_of(&mut self.places, word)).collect();
        self.blocks.add_u32(name("place"), 1, places.into_iter());
        let breadths: Vec<f64> = mesh.points.par_iter().map(|p| breadth(*p)).collect();
        self.blocks.add_f32(name("breadth"), 1, breadths.into_iter());
    }
}
