//! Pictures get their words with their content: this crate has none of its own.

use std::{fs, io, path::Path};

/// The string literals of a file outside comments, attributes and tests, with their lines.
fn literals(source: &str) -> Vec<(usize, String)> {
    let code = source.split("#[cfg(test)]").next().unwrap_or_default();
    let mut all = Vec::new();
    let mut open: Option<(usize, String)> = None;
    for (i, line) in code.lines().enumerate() {
        // Attributes tell reasons of lints; what `expect` says is for whoever reads a panic.
        let attribute = line.trim_start().starts_with("#[") || line.contains(".expect(");
        if attribute && open.is_none() {
            continue;
        }
        let mut signs = line.chars().peekable();
        while let Some(sign) = signs.next() {
            match (&mut open, sign) {
                (None, '/') if signs.peek() == Some(&'/') => break,
                // A sign in single quotes.
                (None, '\'') if signs.peek() == Some(&'"') => drop(signs.next()),
                (None, '"') => open = Some((i + 1, String::new())),
                (None, _) => {}
                (Some((_, words)), '\\') => {
                    signs.next();
                    words.push(' ');
                }
                (Some(_), '"') => all.extend(open.take()),
                (Some((_, words)), other) => words.push(other),
            }
        }
    }
    all
}

/// Words of a literal beside placeholders; none in markup, whose words are names of its attributes.
fn words(literal: &str) -> usize {
    let markup = literal.contains(['<', '=']) || literal.starts_with("linearGradient");
    let letters = |word: &&str| word.chars().filter(|c| c.is_alphabetic()).count() > 1 && !word.contains('{');
    if markup { 0 } else { literal.split_whitespace().filter(letters).count() }
}

fn sentences(folder: &Path, found: &mut Vec<String>) -> io::Result<()> {
    let mut entries = fs::read_dir(folder)?.map(|entry| Ok(entry?.path())).collect::<io::Result<Vec<_>>>()?;
    entries.sort();
    for path in entries {
        if path.is_dir() {
            sentences(&path, found)?;
            continue;
        }
        let source = fs::read_to_string(&path)?;
        let own = literals(&source).into_iter().filter(|(_, literal)| words(literal) > 1);
        found.extend(own.map(|(line, literal)| format!("{}:{line}: {literal}", path.display())));
    }
    Ok(())
}

#[test]
fn the_crate_has_no_sentence_of_its_own() {
    let mut found = Vec::new();
    sentences(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut found).unwrap();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn sentences_are_found_and_markup_is_not() {
    let source = "// \"a comment\"\nlet a = \"two words\"; let b = '\"'; let c = \"{x} kN\";\n#[error(\"an error tells\")]\n\
                  #[cfg(test)]\nlet d = \"in a test\";";
    let told: Vec<(usize, usize)> =
        literals(source).iter().map(|(line, text)| (*line, words(text))).collect();
    assert_eq!(told, [(2, 2), (2, 1)]);
    assert_eq!(words("<path data-words='a b'/>"), 0);
}
