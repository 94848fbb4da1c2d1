//! Run by cargo before the crate is built: writes each table of `src/reference` as JSON, for the program reads JSON several
//! times faster than TOML, and it reads its tables anew each time it is started.

#![allow(clippy::expect_used, clippy::panic, reason = "a build that cannot go on stops and says why")]

use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() {
    let root = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").expect("cargo names the folder of the crate"));
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo names a folder for what is made")).join("reference");
    let folder = root.join("src/reference");
    println!("cargo::rerun-if-changed={}", folder.display());
    let entries = fs::read_dir(&folder).expect("the folder of the tables can be read");
    for path in entries.map(|entry| entry.expect("its entries can be read").path()) {
        if path.extension().is_some_and(|extension| extension == "toml") {
            write(&path, &out);
        }
    }
}

/// Writes the tables of a file, each to `FILE/TABLE.json`.
fn write(path: &Path, out: &Path) {
    let text = fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let file: toml::Table = toml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let folder = out.join(path.file_name().expect("a file has a name"));
    fs::create_dir_all(&folder).expect("a folder for what is made can be made");
    for (table, rows) in &file {
        let json = serde_json::to_string(rows).expect("what TOML holds, JSON can say");
        fs::write(folder.join(format!("{table}.json")), json).expect("what is made can be written");
    }
}
