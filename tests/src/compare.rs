//! Golden findings: JSON compared number by number.

use serde_json::Value;

/// Differences between two JSON values: numbers within `relative` of each other (or `absolute`, if that is more) are the
/// same. Each difference names its place.
#[must_use]
pub fn differences(place: &str, expected: &Value, got: &Value, relative: f64, absolute: f64) -> Vec<String> {
    match (expected, got) {
        (Value::Object(a), Value::Object(b)) => {
            let mut found = Vec::new();
            for key in a.keys().chain(b.keys().filter(|k| !a.contains_key(*k))) {
                match (a.get(key), b.get(key)) {
                    (Some(x), Some(y)) => {
                        found.extend(differences(&format!("{place}.{key}"), x, y, relative, absolute));
                    }
                    (x, y) => found.push(format!("{place}.{key}: expected {x:?}, got {y:?}")),
                }
            }
            found
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => a
            .iter()
            .zip(b)
            .enumerate()
            .flat_map(|(i, (x, y))| differences(&format!("{place}[{i}]"), x, y, relative, absolute))
            .collect(),
        (Value::Number(a), Value::Number(b)) => {
            let (x, y) = (a.as_f64().unwrap_or(f64::NAN), b.as_f64().unwrap_or(f64::NAN));
            let room = absolute.max(relative * x.abs());
            if (x - y).abs() <= room { Vec::new() } else { vec![format!("{place}: expected {x}, got {y}")] }
        }
        (a, b) if a == b => Vec::new(),
        (a, b) => vec![format!("{place}: expected {a}, got {b}")],
    }
}

#[cfg(test)]
mod tests {
    use super::differences;
    use serde_json::json;

    #[test]
    fn differences_name_their_place() {
        let a = json!({"x": 1.0, "list": [1, 2], "only": true});
        let b = json!({"x": 1.0001, "list": [1, 3]});
        let found = differences("", &a, &b, 1e-3, 0.0);
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found[0].starts_with(".list[1]"));
        assert!(found[1].starts_with(".only"));
    }
}
