//! Every demo sheet in its three faces, as it was last read and accepted: a changed figure shows here as a changed line.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use std::{
    path::{Path, PathBuf},
    process::Command,
};

/// Writes all demo sheets into a folder of their own.
fn write(folder: &Path, kit: &str) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let out = Command::new(env!("CARGO_BIN_EXE_interpass"))
        .current_dir(root)
        .args(["write", "specs", "--kit", kit, "--quiet", "--to"])
        .arg(folder)
        .output()
        .expect("the program runs");
    // The refused ones make it 1.
    assert_eq!(out.status.code(), Some(1), "{}", String::from_utf8_lossy(&out.stderr));
}

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("folder") {
        let path = entry.expect("entry").path();
        if path.is_dir() { files(&path, found) } else { found.push(path) }
    }
    found.sort();
}

/// What a reader sees of a page: its text without marks, style and what rides along unseen.
fn visible(html: &str) -> String {
    // Marks round a quantity in both systems part no words.
    let html = ["</span><span class=\"p\"> (</span>", "</span><span class=\"p\">)</span>"]
        .iter()
        .zip([" (", ")"])
        .fold(html.to_owned(), |html, (marks, text)| html.replace(marks, text));
    let html = html.replace("<span class=\"m\">", "").replace("<span class=\"i\">", "");
    let mut text = String::new();
    let mut rest = html.as_str();
    while let Some(open) = rest.find('<') {
        text.push_str(&rest[..open]);
        let tail = &rest[open..];
        let hidden = ["style", "script", "template"].iter().find(|name| tail[1..].starts_with(**name));
        let end = match hidden {
            Some(name) => {
                let close = format!("</{name}>");
                tail.find(&close).map_or(tail.len(), |at| at + close.len())
            }
            None => tail.find('>').map_or(tail.len(), |at| at + 1),
        };
        if !text.ends_with(['\n', ' ']) {
            text.push(' ');
        }
        rest = &tail[end..];
    }
    text.push_str(rest);
    let lines = text.lines().map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "));
    lines.filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
}

#[test]
fn every_demo_sheet_is_as_it_was_last_accepted() {
    let folder = tempfile::tempdir().expect("folder");
    write(folder.path(), "specs/kits/harbour.kit.toml");
    let mut found = Vec::new();
    files(folder.path(), &mut found);
    assert!(found.len() >= 3 * 19, "{} files", found.len());
    insta::with_settings!({ snapshot_path => "snapshots/sheets", prepend_module_to_snapshot => false, omit_expression => true }, {
        for path in found {
            let text = std::fs::read_to_string(&path).expect("text");
            let name = path.file_name().expect("name").to_string_lossy().into_owned();
            // The edition changes with every row of every table: what follows from it shows in the figures.
            let text = if name.ends_with(".html") {
                visible(&text)
            } else {
                text.replace(interpass::reference::edition(), "[edition]")
            };
            insta::assert_snapshot!(name, text);
        }
    });
}

#[test]
fn the_same_spec_gives_the_same_bytes() {
    let (one, two) = (tempfile::tempdir().expect("folder"), tempfile::tempdir().expect("folder"));
    write(one.path(), "specs/kits/small-160.kit.toml");
    write(two.path(), "specs/kits/small-160.kit.toml");
    let (mut a, mut b) = (Vec::new(), Vec::new());
    files(one.path(), &mut a);
    files(two.path(), &mut b);
    assert_eq!(a.len(), b.len());
    for (a, b) in a.iter().zip(&b) {
        assert!(std::fs::read(a).expect("bytes") == std::fs::read(b).expect("bytes"), "{} differs", a.display());
    }
}
