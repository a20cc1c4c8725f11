//! A connector with a spine of one's own, meshed: `cargo run --release -p pullmap-geometry --example mesh_of_own_section`.
#![allow(clippy::print_stdout, reason = "an example prints its answer")]

use geometry::connector::{Connector, GatePlace, Section, SectionShape};
use geometry::mesh::{MeshSettings, triangulate};
use geometry::outline::Outline;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut connector = Connector::example();
    let shape = SectionShape::I { flange_mm: 3.0, web_mm: 4.0 };
    connector.spine = Section { shape, depth_mm: 14.0, breadth_mm: 11.0 };
    let outline = Outline::try_new(&connector, GatePlace::Shut)
        .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))?;
    let mesh = triangulate(&outline.frame, &|_| 0.8, &MeshSettings::default())?;
    println!("{} triangles over {:.0} mm^2", mesh.triangle_count(), mesh.area());
    Ok(())
}
