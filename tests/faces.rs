//! The faces of a sheet, read back: Markdown, HTML and JSON carry the values of the model, and hostile text stays text.

#[path = "faces/sample.rs"]
mod sample;

use interpass::faces::{self, Extra, Press};
use interpass::sheet::Sheet;

fn markdown(sheet: &Sheet) -> String {
    let press = Press::shared().unwrap();
    let mut out = Vec::new();
    faces::markdown(press, sheet, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

fn html(sheet: &Sheet, extra: &Extra<'_>) -> String {
    let press = Press::shared().unwrap();
    let mut out = Vec::new();
    faces::html(press, sheet, extra, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// Writes the sheet made by hand to a folder, to look at it and to print it.
#[test]
#[ignore = "writes files to look at"]
fn write_the_sample_out() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    let sheet = sample::sheet();
    std::fs::write(folder.join("sample.md"), markdown(&sheet)).unwrap();
    let extra = Extra { spec: "format = 1\n", kit: None, json: "{}" };
    std::fs::write(folder.join("sample.html"), html(&sheet, &extra)).unwrap();
}
