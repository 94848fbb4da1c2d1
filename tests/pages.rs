//! The HTML sheets in a real browser, headless: accessibility, screens from a phone to a desk, print on both papers,
//! use without script, without style and by the keyboard, and a run that is taken down on the page and read back here.
//!
//! Each test drives `tests/pages/NAME.mjs`. Without node, its packages, Chromium or poppler's tools it says which test
//! it skips, and passes; where `CI` is set, a skipped test fails.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

mod common;

use common::browser::browser;
use interpass::findings::Severity;
use interpass::run::{self, Outcome};
use interpass::seal::page::{PageDigest, check};
use interpass::units::InUnits;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output};
use std::sync::Mutex;

/// Browsers one after the other: two of them together only make each other slow.
static ONE_BROWSER: Mutex<()> = Mutex::new(());

/// Three unlike demo sheets; `long` and a refusal come beside them.
const SHEETS: [&str; 3] = ["hw-001", "hw-012", "hw-017"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn write(specs: &[String], kit: &str, folder: &Path) {
    let out = Command::new(env!("CARGO_BIN_EXE_interpass"))
        .current_dir(root())
        .arg("write")
        .args(specs)
        .args(["--kit", kit, "--as", "html", "--quiet", "--to"])
        .arg(folder)
        .output()
        .expect("the program runs");
    assert!(matches!(out.status.code(), Some(0 | 1)), "{}", String::from_utf8_lossy(&out.stderr));
}

/// Runs a script on freshly written sheets, and gives the folder they are in; none where it was skipped.
fn drive(script: &str) -> Option<tempfile::TempDir> {
    let chromium = match browser() {
        Ok(chromium) => chromium,
        Err(missing) => {
            assert!(std::env::var_os("CI").is_none(), "{script} must not be skipped here: {missing}");
            // Past the capture of the test runner, which would hide it.
            let _ = writeln!(std::io::stderr(), "SKIPPED: browser test `{script}`, because {missing}");
            return None;
        }
    };
    let _one = ONE_BROWSER.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("folder");
    let demos: Vec<String> = SHEETS.iter().map(|name| format!("specs/{name}.repair.toml")).collect();
    write(&demos, "specs/kits/harbour.kit.toml", folder.path());
    write(&["tests/pages/long.repair.toml".to_owned()], "specs/kits/large-350.kit.toml", folder.path());
    let refused = tempfile::tempdir().expect("folder");
    write(&["specs/refused/hw-022.repair.toml".to_owned()], "specs/kits/harbour.kit.toml", refused.path());
    std::fs::copy(refused.path().join("hw-022.html"), folder.path().join("refused-hw-022.html")).expect("a refusal");
    let out = Command::new("node")
        .current_dir(root().join("tests/pages"))
        .arg(format!("{script}.mjs"))
        .arg(folder.path())
        .env("CHROMIUM", chromium)
        .output()
        .expect("node runs");
    assert!(out.status.success(), "{script}:\n{}", told(&out));
    Some(folder)
}

fn told(out: &Output) -> String {
    format!("{}{}", String::from_utf8_lossy(&out.stdout), String::from_utf8_lossy(&out.stderr))
}

#[test]
fn no_rule_of_accessibility_is_broken() {
    drive("access");
}

#[test]
fn nothing_sticks_out_of_a_screen_from_a_phone_to_a_desk() {
    drive("layout");
}

#[test]
fn both_papers_print_whole_with_each_step_beside_its_caution() {
    drive("print");
}

#[test]
fn the_page_stands_alone_and_works_without_script_style_and_mouse() {
    drive("plain");
}

#[test]
fn a_run_taken_down_on_the_page_is_read_by_the_program() {
    let Some(folder) = drive("run") else { return };
    let saved = |name: &str| std::fs::read_to_string(folder.path().join("saved").join(name)).expect("a record");
    let read = |name: &str| {
        let text = saved(name);
        let (record, findings) = run::read(&text);
        let errors: Vec<_> = findings.iter().filter(|finding| finding.severity == Severity::Error).collect();
        assert!(errors.is_empty(), "{name}: {errors:#?}\n{text}");
        record.unwrap_or_else(|| panic!("{name} does not read:\n{text}"))
    };
    let record = read("first.run.toml");
    let text =
        |at: &Option<interpass::findings::At<String>>| at.as_ref().map(|at| at.value.clone()).unwrap_or_default();
    assert_eq!((record.run.procedure.value.0.as_str(), record.run.revision.value.0.as_str()), ("HW-012", "B"));
    assert_eq!((text(&record.run.welder), text(&record.run.machine)), ("welder 2".into(), "Bay 1 set".into()));
    assert_eq!(record.run.date.as_ref().unwrap().value.0.to_string(), "2026-10-05");
    // The seal is that of the sheet that the page shows.
    let page = std::fs::read_to_string(folder.path().join("hw-012.html")).unwrap();
    assert!(page.contains(&format!("Seal {}</span>", text(&record.run.seal))), "{:?}", record.run.seal);

    let passes: Vec<(i64, String, String)> = record
        .pass
        .iter()
        .map(|pass| {
            let amps = pass.amperage.as_ref().map(|at| at.value.text.clone()).unwrap_or_default();
            let part = pass.start_temperature.as_ref().map(|at| at.value.text.clone()).unwrap_or_default();
            (pass.number.value, amps, part)
        })
        .collect();
    let expected = [(1, "185 A", "56 °C"), (2, "231 A", "58 °C"), (3, "", "")];
    assert_eq!(passes, expected.map(|(number, amps, part)| (number, amps.to_owned(), part.to_owned())));
    // What steers or hides is gone; what only looks like TOML is kept.
    assert_eq!(text(&record.pass[0].note), "quote \" back \\ slash # [x] = {y} é");
    assert_eq!(text(&record.pass[2].note), "read as about 190");
    assert!(record.pass.iter().all(|pass| pass.filler.as_ref().is_some_and(|rod| text(&rod.lot) == "R-118")));
    let results: Vec<Outcome> = record.inspection.iter().map(|one| one.result.as_ref().unwrap().value).collect();
    assert_eq!(results, [Outcome::Accepted, Outcome::NotDone]);
    let rows: Vec<(String, String)> = serde_json::from_str(&saved("tests.json")).unwrap();
    for (one, (when, method)) in record.inspection.iter().zip(&rows) {
        assert_eq!((&one.when.value, &text(&one.method)), (when, method));
    }
    let holds: Vec<_> = record.hold.iter().map(|one| (one.id.value.0.as_str(), text(&one.released_by))).collect();
    assert_eq!(holds, [("hold-agreed", "shop lead".to_owned())], "a rejected hold is not released");
    assert_eq!(text(&record.hold[0].time), "2026-10-05 08:15");
    let others: Vec<_> = record.deviation.iter().map(|one| (one.what.value.as_str(), text(&one.because))).collect();
    let others: Vec<_> = others.iter().map(|(what, because)| (*what, because.as_str())).collect();
    assert_eq!(others, [("cup 6 instead of 7", "no access"), ("hold-opening was rejected", "")]);

    // The very file, set against the very page: exactly one value outside and one missing.
    let sheet = folder.path().join("hw-012.html");
    let out = Command::new(env!("CARGO_BIN_EXE_interpass"))
        .arg("record")
        .args([&sheet, &folder.path().join("saved/two.run.toml")])
        .arg("--json")
        .output()
        .expect("the program runs");
    let value: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap_or_else(|_| panic!("{}", told(&out)));
    let items = value["runs"][0]["items"].as_array().unwrap();
    let wrong: Vec<[&str; 3]> = items
        .iter()
        .filter(|item| item["verdict"] != "inside")
        .map(|item| ["key", "verdict", "by"].map(|key| item[key].as_str().unwrap()))
        .collect();
    assert_eq!(
        wrong,
        [["pass/2/amperage", "outside", "31 A above"], ["pass/3/temperature", "missing", ""]],
        "{}\n{}",
        saved("two.run.toml"),
        told(&out)
    );
    assert_eq!(out.status.code(), Some(1));

    // An empty page saves a record without a pass; one typed by hand comes out with its values.
    let empty = run::read(&saved("empty.run.toml")).0.expect("an empty record reads");
    assert!(empty.pass.is_empty() && empty.hold.is_empty());
    let (by_hand, again) =
        (std::fs::read_to_string(root().join("specs/hw-012.run.toml")).unwrap(), read("from-hand.run.toml"));
    let by_hand = run::read(&by_hand).0.unwrap();
    let amps = |record: &run::RunRecord| -> Vec<f64> {
        record.pass.iter().map(|pass| pass.amperage.as_ref().unwrap().value.range.low.in_amps()).collect()
    };
    assert_eq!(amps(&by_hand), amps(&again));
    assert_eq!(by_hand.deviation.len(), again.deviation.len());
}

#[test]
fn a_written_page_holds_the_digest_of_itself() {
    let folder = tempfile::tempdir().expect("folder");
    write(&["specs/hw-012.repair.toml".to_owned()], "specs/kits/harbour.kit.toml", folder.path());
    let html = std::fs::read(folder.path().join("hw-012.html")).unwrap();
    assert_eq!(check(&html), PageDigest::Whole);
    // Every part of the page: head, settings, spec, kit, script.
    for at in (0..html.len()).step_by(html.len() / 97) {
        let mut other = html.clone();
        other[at] ^= 1;
        assert_ne!(check(&other), PageDigest::Whole, "byte {at}");
    }
}
