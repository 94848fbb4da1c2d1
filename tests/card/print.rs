//! Printing cards with a headless browser, where there is one. In CI one is wanted; elsewhere a test without one says
//! that it skipped.

use std::path::{Path, PathBuf};
use std::process::Command;

const BROWSERS: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];

/// Whether a program answers.
fn is_there(program: &str, flag: &str) -> bool {
    Command::new(program).arg(flag).output().is_ok()
}

/// The browser, where it and the readers of PDF are here.
///
/// # Panics
/// In CI, where nothing may be skipped.
pub fn browser(test: &str) -> Option<&'static str> {
    let browser = BROWSERS.into_iter().find(|name| is_there(name, "--version"));
    let readers = ["pdfinfo", "pdftotext", "pdftohtml", "pdftoppm"].into_iter().all(|name| is_there(name, "-v"));
    if browser.is_some() && readers {
        return browser;
    }
    assert!(std::env::var_os("CI").is_none(), "{test}: no Chromium or no poppler-utils in CI");
    println!("SKIPPED {test}: it wants Chromium and poppler-utils");
    None
}

/// Prints a page; the paper is given by a style that is added to a copy, for the card itself names none.
pub fn print(browser: &str, html: &str, paper: &str, folder: &Path, name: &str) -> PathBuf {
    let (page, pdf) = (folder.join(format!("{name}.html")), folder.join(format!("{name}.pdf")));
    std::fs::write(&page, html.replace("</style>", &format!("@page{{size:{paper}}}</style>"))).unwrap();
    let out = command(browser, folder).arg(format!("--print-to-pdf={}", pdf.display())).arg(&page).output().unwrap();
    assert!(pdf.is_file(), "{}", String::from_utf8_lossy(&out.stderr));
    pdf
}

fn output(program: &str, args: &[&str], pdf: &Path) -> String {
    let out = Command::new(program).args(args).arg(pdf).arg("-").output().unwrap();
    String::from_utf8_lossy(&out.stdout).into_owned()
}

/// Number of pages and the size of the first in points.
pub fn pages(pdf: &Path) -> (usize, String) {
    let out = Command::new("pdfinfo").arg(pdf).output().unwrap();
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    let field =
        |name: &str| text.lines().find_map(|line| line.strip_prefix(name)).unwrap_or_default().trim().to_owned();
    (field("Pages:").parse().unwrap_or_default(), field("Page size:"))
}

/// The text of each page.
pub fn texts(pdf: &Path) -> Vec<String> {
    output("pdftotext", &["-layout"], pdf).split('\u{c}').map(str::to_owned).collect()
}

/// The height of each `.page` of a document as the browser lays it out for print, millimetres.
pub fn heights(browser: &str, html: &str, folder: &Path) -> Vec<f64> {
    let page = folder.join("heights.html");
    let script = "<script>document.title='heights '+[...document.querySelectorAll('.page')]\
                  .map(e=>e.getBoundingClientRect().height/96*25.4).join(' ')</script></body>";
    // The card forbids script and is laid out otherwise on a screen: this copy is measured as for print.
    let csp = html.find("<meta http-equiv").and_then(|at| Some((at, at + html[at..].find('>')? + 1))).unwrap();
    let copy = format!("{}{}", &html[..csp.0], &html[csp.1..]);
    std::fs::write(&page, copy.replace("@media screen", "@media speech").replace("</body>", script)).unwrap();
    let dump = command(browser, folder).arg("--dump-dom").arg(&page).output().unwrap();
    let text = String::from_utf8_lossy(&dump.stdout).into_owned();
    let title = text.split("<title>heights ").nth(1).unwrap_or_else(|| panic!("{text}")).split('<').next().unwrap();
    title.split_whitespace().map(|height| height.parse().unwrap()).collect()
}

fn command(browser: &str, folder: &Path) -> Command {
    let mut command = Command::new(browser);
    command
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
        .arg(format!("--user-data-dir={}", folder.join("profile").display()));
    command
}

/// Size of type and text of each piece of the first page, points.
pub fn pieces(pdf: &Path) -> Vec<(f64, String)> {
    let out = Command::new("pdftohtml").args(["-xml", "-stdout", "-i", "-zoom", "3"]).arg(pdf).output().unwrap();
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    let value = |line: &str, key: &str| -> Option<String> {
        Some(line.split(&format!("{key}=\"")).nth(1)?.split('"').next()?.to_owned())
    };
    let mut sizes = std::collections::BTreeMap::new();
    let mut pieces = Vec::new();
    for line in text.lines() {
        if line.contains("<fontspec ") {
            let size: f64 = value(line, "size").and_then(|size| size.parse().ok()).unwrap();
            sizes.insert(value(line, "id").unwrap(), size / 3.0);
        } else if line.starts_with("<text ") {
            let plain: String =
                line.split('>').skip(1).filter_map(|part| part.split('<').next()).collect::<Vec<_>>().concat();
            pieces.push((sizes[&value(line, "font").unwrap()], plain));
        }
    }
    pieces
}

/// The first page as grey pixels: width, height, rows.
pub fn grey(pdf: &Path) -> (usize, usize, Vec<u8>) {
    let out = Command::new("pdftoppm").args(["-gray", "-r", "150", "-singlefile"]).arg(pdf).output().unwrap();
    let bytes = out.stdout;
    let mut fields = bytes.splitn(4, |byte| byte.is_ascii_whitespace());
    assert_eq!(fields.next(), Some(&b"P5"[..]));
    let mut number = || -> usize { String::from_utf8_lossy(fields.next().unwrap()).parse().unwrap() };
    let (width, height) = (number(), number());
    (width, height, bytes[bytes.len() - width * height..].to_vec())
}
