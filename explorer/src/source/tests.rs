//! Files and names that are models, and those that are not.

use super::*;

#[test]
fn every_built_in_model_resolves() {
    for (name, _) in builtin::MODELS {
        let model = load_argument(name, &[]).unwrap_or_else(|error| panic!("{error}"));
        assert!(model.marking.closed_kn.is_some() && model.marking.open_kn.is_some(), "{name}");
        assert_eq!(model.notes().len(), model.spreads.len());
    }
}

#[test]
fn files_that_are_not() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    std::fs::write(path("latin.toml"), b"a = 1\n# caf\xe9\n").unwrap();
    let message = load(&path("latin.toml"), &[]).unwrap_err().to_string();
    assert!(message.contains("latin.toml: cannot be read: line 2 is not UTF-8 text\n  hint: "), "{message}");
    std::fs::write(path("big.toml"), vec![b'#'; 1_100_000]).unwrap();
    assert!(load(&path("big.toml"), &[]).unwrap_err().to_string().contains("larger than 1 MiB"));
    assert!(load(folder.path(), &[]).unwrap_err().to_string().contains("cannot be read"));
    let message = load_argument("ovel", &[]).unwrap_err().to_string();
    assert!(message.ends_with("hint: did you mean the built-in model oval?"), "{message}");
    let message = load_argument("no/such.toml", &[]).unwrap_err().to_string();
    assert!(message.contains("models that need no file: broadbar-alu, "), "{message}");
}
