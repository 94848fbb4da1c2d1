//! Arrows between modules point one way: a module imports only what stands before it in the order.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use std::path::Path;

/// The order; modules of one entry may not import each other, but for `kit` and `run`, which read with the reader of
/// `spec`.
const ORDER: [&[&str]; 14] = [
    &["units"],
    &["findings"],
    &["reference"],
    &["spec"],
    &["kit", "run"],
    &["schema"],
    &["engine"],
    &["rules"],
    &["seal"],
    &["ledger"],
    &["changes"],
    &["sheet"],
    &["record"],
    &["faces"],
];

fn rank(module: &str) -> Option<usize> {
    ORDER.iter().position(|group| group.contains(&module))
}

fn check(path: &Path, module: &str, arrows: &mut Vec<String>, seen: &mut usize) {
    if path.is_dir() {
        for entry in std::fs::read_dir(path).expect("folder") {
            check(&entry.expect("entry").path(), module, arrows, seen);
        }
        return;
    }
    if path.extension().is_none_or(|end| end != "rs") {
        return;
    }
    let text = std::fs::read_to_string(path).expect("text");
    let code = text.split("#[cfg(test)]").next().unwrap_or_default();
    let from = rank(module).unwrap_or(ORDER.len());
    for (at, _) in code.match_indices("crate::") {
        let word: String = code[at + 7..].chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
        *seen += 1;
        let to = if word == "commands" { Some(ORDER.len()) } else { rank(&word) };
        if to.is_some_and(|to| to > from || (to == from && word != module)) {
            arrows.push(format!("{}: {module} -> {word}", path.display()));
        }
    }
}

#[test]
fn no_module_imports_against_the_order() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let (mut arrows, mut seen) = (Vec::new(), 0);
    for entry in std::fs::read_dir(source).expect("src") {
        let path = entry.expect("entry").path();
        let name = path.file_stem().expect("name").to_string_lossy().into_owned();
        if name != "lib" && name != "main" {
            check(&path, &name, &mut arrows, &mut seen);
        }
    }
    assert!(seen > 100, "only {seen} imports were seen");
    assert!(arrows.is_empty(), "{arrows:#?}");
}
