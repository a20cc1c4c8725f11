//! The models that come inside the program, so that the first command works from any folder.

/// Name and text of each, in the order in which they are listed.
pub const MODELS: [(&str, &str); 5] = [
    ("broadbar-alu", include_str!("../../../models/broadbar-alu.toml")),
    ("broadbar-steel", include_str!("../../../models/broadbar-steel.toml")),
    ("offset-d", include_str!("../../../models/offset-d.toml")),
    ("oval", include_str!("../../../models/oval.toml")),
    ("pear", include_str!("../../../models/pear.toml")),
];

/// The text of the model with this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static str> {
    MODELS.iter().find(|model| model.0 == name).map(|model| model.1)
}

/// The names, for a message: `broadbar-alu, broadbar-steel, ...`.
#[must_use]
pub fn names() -> String {
    MODELS.map(|model| model.0).join(", ")
}
