//! Words of a sketch.

/// The name of the picture.
#[must_use]
pub fn name(connector: &str) -> String {
    format!("{connector}: sketch with dimensions")
}

/// The alternative text. `subtitle` may be empty; sections have a name, depth and breadth in mm, already written.
#[must_use]
pub fn description(
    subtitle: &str,
    dimensions: &[&str],
    sections: &[(&str, String, String)],
    notes: &[String],
) -> String {
    let mut parts: Vec<String> = Vec::new();
    if !subtitle.is_empty() {
        parts.push(format!("{subtitle}."));
    }
    parts.extend(dimensions.iter().map(|label| format!("{label}.")));
    parts.extend(
        sections
            .iter()
            .map(|(name, deep, broad)| format!("Section of the {name}: {deep} mm deep, {broad} mm broad.")),
    );
    parts.extend(notes.iter().cloned());
    parts.join(" ").trim_end().to_owned()
}
