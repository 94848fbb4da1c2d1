//! The gallery: every demo sheet and card as a picture, in `target/tmp/gallery`; two of them stand in the README.
//!
//! Without a browser it says that it draws nothing, and passes; where `CI` is set, that fails.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

mod common;

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Three unlike jobs, of which a phone and all drawings are drawn too: a cracked casting, a worn seat, a butt in sheet.
const UNLIKE: &str = "hw-012,hw-016,hw-018";

fn demos(folder: &Path) -> Vec<PathBuf> {
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut specs: Vec<PathBuf> = files.filter(|path| path.to_string_lossy().ends_with(".repair.toml")).collect();
    specs.sort();
    specs
}

#[test]
fn every_demo_sheet_and_card_is_drawn() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let chromium = match common::browser::browser() {
        Ok(chromium) => chromium,
        Err(missing) => {
            assert!(std::env::var_os("CI").is_none(), "the gallery must not be skipped here: {missing}");
            let _ = writeln!(std::io::stderr(), "SKIPPED: the gallery, because {missing}");
            return;
        }
    };
    let sheets = tempfile::tempdir().unwrap();
    let specs = demos(&root.join("specs"));
    let out = Command::new(env!("CARGO_BIN_EXE_interpass"))
        .current_dir(root)
        .arg("write")
        .args(&specs)
        .args(["--kit", "specs/kits/harbour.kit.toml", "--as", "md,html,card", "--quiet", "--to"])
        .arg(sheets.path())
        .output()
        .unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let gallery = Path::new(env!("CARGO_TARGET_TMPDIR")).join("gallery");
    let _ = std::fs::remove_dir_all(&gallery);
    let out = Command::new("node")
        .current_dir(root.join("tests/pages"))
        .arg("gallery.mjs")
        .args([sheets.path(), gallery.as_path()])
        .arg(UNLIKE)
        .env("CHROMIUM", chromium)
        .output()
        .unwrap();
    let told = format!("{}{}", String::from_utf8_lossy(&out.stdout), String::from_utf8_lossy(&out.stderr));
    assert!(out.status.success(), "{told}");
    let pictures = std::fs::read_dir(&gallery).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let pictures: Vec<String> = pictures.filter(|name| name.ends_with(".png")).collect();
    // A page and a card of each, a phone and seven drawings of three.
    assert_eq!(pictures.len(), 2 * specs.len() + 3 * 8, "{pictures:?}");
}
