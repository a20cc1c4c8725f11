//! The script of the self-contained page: the live page's own modules, joined into one script without imports.
//!
//! A page opened from disk may not load modules. The drawing code exists once all the same: `viewer.js` names in its
//! first line the modules that it needs, in the order of their dependence. Each becomes a function that gives its exports,
//! so that names inside of two modules cannot clash. Imports and exports must be written on one line, which a test checks.

use super::assets;
use std::fmt::Write;

const FIRST_LINE: &str = "// offline: ";

/// The joined script; `None` when a module that is named does not exist.
#[must_use]
pub fn script() -> Option<String> {
    let viewer = assets::offline("viewer.js")?;
    let names = viewer.lines().next()?.strip_prefix(FIRST_LINE)?;
    let mut out = String::from("\"use strict\";\n");
    for name in names.split_whitespace().chain(["viewer.js"]) {
        out.push_str(&function(name, assets::offline(name)?));
    }
    Some(out)
}

/// A module as a function that is called at once; its exports become the members of `from_NAME`.
fn function(name: &str, text: &str) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "const {} = (() => {{", variable(name));
    let mut exports: Vec<&str> = Vec::new();
    for line in text.lines() {
        if let Some((names, from)) =
            line.strip_prefix("import { ").and_then(|rest| rest.split_once(" } from './"))
        {
            let _ = writeln!(
                out,
                "const {{ {} }} = {};",
                names.replace(" as ", ": "),
                variable(from.trim_end_matches("';"))
            );
        } else if let Some(rest) = line.strip_prefix("export ") {
            exports.extend(exported(rest));
            let _ = writeln!(out, "{rest}");
        } else {
            let _ = writeln!(out, "{line}");
        }
    }
    let _ = writeln!(out, "return {{ {} }};\n}})();", exports.join(", "));
    out
}

/// `seats.js` is held by `from_seats`.
fn variable(name: &str) -> String {
    format!("from_{}", name.trim_end_matches(".js"))
}

/// The name that a declaration makes.
fn exported(declaration: &str) -> Option<&str> {
    let word = |text: &'static str| declaration.strip_prefix(text);
    let rest = word("async function ")
        .or_else(|| word("function "))
        .or_else(|| word("class "))
        .or_else(|| word("const "))?;
    rest.split(|c: char| !(c.is_alphanumeric() || c == '_' || c == '$')).next()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_module_becomes_a_function_with_its_exports() {
        let text = "import { a, b as c } from './one.js';\nconst x = 1;\nexport function two(y) {\n  return x + y;\n}\nexport const z = 3;\n";
        let wanted = "const from_two = (() => {\nconst { a, b: c } = from_one;\nconst x = 1;\nfunction two(y) {\n  return x + y;\n}\n\
            const z = 3;\nreturn { two, z };\n})();\n";
        assert_eq!(function("two.js", text), wanted);
    }

    #[test]
    fn the_joined_script_imports_and_exports_nothing() {
        let script = script().unwrap();
        assert!(script.contains("const from_viewer"));
        for line in script.lines() {
            assert!(!line.starts_with("import ") && !line.starts_with("export "), "{line}");
            assert!(!line.contains("</script"), "{line}");
        }
        // Every module that another one takes from stands before it.
        for (at, _) in script.match_indices("} = from_") {
            let name: String =
                script[at + 4..].chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            assert!(script[..at].contains(&format!("const {name} = (")), "{name}");
        }
    }
}
