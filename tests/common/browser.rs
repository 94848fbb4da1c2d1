//! A real browser for tests, or what is missing for one.

use std::path::{Path, PathBuf};

/// The first of these programs that is there.
pub fn program(names: &[&str]) -> Option<PathBuf> {
    let folders = std::env::var_os("PATH")?;
    let all = std::env::split_paths(&folders).flat_map(|folder| names.iter().map(move |name| folder.join(name)));
    let found: Vec<PathBuf> = all.filter(|path| path.is_file()).collect();
    found.into_iter().next()
}

/// The browser, or what is missing.
pub fn browser() -> Result<PathBuf, String> {
    for (name, why) in [("node", "nodejs"), ("pdftotext", "poppler-utils"), ("pdftoppm", "poppler-utils")] {
        program(&[name]).ok_or_else(|| format!("{name} is not installed (package {why})"))?;
    }
    if !Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pages/node_modules/puppeteer-core").is_dir() {
        return Err("the packages of tests/pages are not installed (npm ci in that folder)".to_owned());
    }
    let given = std::env::var_os("CHROMIUM").map(PathBuf::from);
    given
        .or_else(|| program(&["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"]))
        .ok_or_else(|| "Chromium is not installed (package chromium)".to_owned())
}
