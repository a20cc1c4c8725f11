//! The main job: from a checked model to a solved connector, and from there to findings, picture and field files.

mod answer;
mod export;
mod nose;
mod picture;
mod refinement_told;
mod sensitivity;
mod solved;

pub use answer::{answer, headline, rig_in_words};
pub use export::fields_files;
pub use picture::{PictureRequest, Shown, most_enlarged, stress_map};
pub(crate) use picture::{field_words, load_shape};
pub use refinement_told::Refinement;
pub use sensitivity::{Sensitivity, sensitivity};
pub use solved::{Solved, Step, judge, refine, room_for_meshes, solve};
