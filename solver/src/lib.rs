//! Plane-stress elements, contact, stress and findings of a loaded connector.

pub mod causes;
pub mod contact;
pub mod findings;
pub mod forecast;
pub mod load_words;
pub mod material;
pub mod plane;
pub mod plastic;
pub mod refinement;
pub mod response;
pub mod rig;
pub mod seats;
pub mod sections;
pub mod strength;
pub mod system;
