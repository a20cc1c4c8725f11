//! From a solved map to its picture and field files.

mod export;
mod nose;
mod picture;
mod room;

pub use export::fields_files;
pub(crate) use nose::{is_not_the_share, nose_inset};
pub use picture::{PictureRequest, Shown, most_enlarged, stress_map};
pub(crate) use picture::{field_words, load_shape, outline};
pub use room::{room_for_meshes, room_for_pull, room_for_refining};
