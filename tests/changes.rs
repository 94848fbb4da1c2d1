//! `changes`: what differs in the job, which input moved which figure, what each standard says; texts that mean the same;
//! older texts out of git.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::changes::{Changes, Judged, compare};
use interpass::engine::FigureName;
use interpass::faces::changes::{json::json, print, report};
use interpass::reference::Basis;
use interpass::reference::qualification::Variable;
use std::path::Path;
use std::process::{Command, Output};

const A: &str = include_str!("../specs/revisions/hw-040-a.repair.toml");
const B: &str = include_str!("../specs/revisions/hw-040-b.repair.toml");

fn demo() -> Changes {
    let standards = ["ISO 15614-2", "ASME IX"].map(str::to_owned);
    compare(A, B, None, &standards, None).expect("both read")
}

/// Verdict, paragraphs, locators and bases of a variable.
fn said(judged: &Judged, variable: Variable) -> (&'static str, Vec<(String, &'static str, Basis)>) {
    let ruling =
        judged.rulings.iter().find(|ruling| ruling.variable == variable).unwrap_or_else(|| panic!("{variable:?}"));
    let rows = ruling.said.iter().map(|said| (said.place(), said.cite.locator, said.basis()));
    (ruling.verdict.word(), rows.collect())
}

#[test]
fn the_demo_under_iso_15614_2() {
    let changes = demo();
    let iso = &changes.judged[0];
    assert_eq!(iso.standard.name, "ISO 15614-2");
    assert_eq!(iso.record.as_deref(), Some("PQR-2026-07"));
    let older = |locator| ("EN 288-4".to_owned(), locator, Basis::Published);
    // 3 < t <= 12: from 3 mm to 2t.
    assert_eq!(said(iso, Variable::Thickness), ("covered", vec![older("Table 10.4, book p.187")]));
    assert_eq!(said(iso, Variable::Filler), ("new-test", vec![older("book p.188")]));
    let memory = ("ISO 15614-2, 8.4".to_owned(), "8.4", Basis::Memory);
    assert_eq!(said(iso, Variable::Preheat), ("new-test", vec![memory, older("book p.188")]));
    assert_eq!(said(iso, Variable::HeatInput).0, "not-essential");
    for same in [Variable::Metal, Variable::Gas, Variable::Polarity, Variable::Interpass] {
        assert!(iso.unchanged.contains(&same), "{same:?}");
    }
}

#[test]
fn the_demo_under_asme_ix() {
    let changes = demo();
    let asme = &changes.judged[1];
    let row = |place: &str, locator, basis| (format!("ASME IX, {place}"), locator, basis);
    let table = "Table 10.7, book p.190; QW-403.8";
    assert_eq!(said(asme, Variable::Thickness), ("covered", vec![row("QW-403.8, QW-451", table, Basis::Published)]));
    // ER5356 and ER5554 are both of F-No. 22.
    let filler = row("QW-404.4", "Table 10.6, book p.190; QW-404.4", Basis::Published);
    assert_eq!(said(asme, Variable::Filler), ("covered", vec![filler]));
    // 60 °C is more than the 55 °C that was read; that it is essential is from memory.
    assert_eq!(said(asme, Variable::Preheat), ("new-test", vec![row("QW-406.1", "QW-406.1", Basis::Memory)]));
    assert_eq!(said(asme, Variable::Current).0, "not-essential");
}

#[test]
fn each_setting_names_what_moved_it() {
    let changes = demo();
    let moved = |name: FigureName| -> Vec<&str> {
        let setting =
            changes.settings.iter().find(|setting| setting.name == name).unwrap_or_else(|| panic!("{name:?}"));
        setting.inputs.iter().map(|index| changes.job[*index].key.as_str()).collect()
    };
    assert_eq!(moved(FigureName::Amperage), ["metal.thickness"]);
    assert_eq!(moved(FigureName::FillerMetal), ["part.service_temperature"]);
    assert_eq!(moved(FigureName::Preheat), ["weld.set.preheat"]);
    let gas = changes.settings.iter().find(|setting| setting.name == FigureName::GasVolume).unwrap();
    assert!(gas.by_way_of.contains(&FigureName::ArcTime), "{:?}", gas.by_way_of);
    for name in [FigureName::Balance, FigureName::Gas, FigureName::InterpassMax] {
        assert!(changes.unchanged.contains(&name), "{name:?}");
    }
    for setting in &changes.settings {
        assert!(!setting.inputs.is_empty(), "nothing moved {:?}", setting.name);
    }
}

#[test]
fn an_input_that_moves_nothing_is_no_cause() {
    let other = A
        .replace("mass        = \"1.6 kg\"", "mass        = \"1.6 kg\"\nrestraint = \"stiff\"")
        .replace("thickness     = \"6 mm\"", "thickness     = \"8 mm\"");
    let changes = compare(A, &other, None, &[], None).unwrap();
    let amperage = changes.settings.iter().find(|setting| setting.name == FigureName::Amperage).unwrap();
    let keys: Vec<&str> = amperage.inputs.iter().map(|index| changes.job[*index].key.as_str()).collect();
    assert_eq!(keys, ["metal.thickness"]);
    assert_eq!(changes.job.len(), 2);
}

#[test]
fn values_stand_in_the_authors_spelling_with_the_other_system() {
    let changes = demo();
    let input = changes.job.iter().find(|input| input.key == "metal.thickness").unwrap();
    assert_eq!((input.old.as_deref(), input.new.as_deref()), (Some("6 mm (0.236 in)"), Some("8 mm (0.315 in)")));
    let inch = B.replace("\"8 mm\"", "\"5/16 in\"");
    let changes = compare(A, &inch, None, &[], None).unwrap();
    let input = changes.job.iter().find(|input| input.key == "metal.thickness").unwrap();
    assert_eq!(input.new.as_deref(), Some("5/16 in (7.94 mm)"));
}

#[test]
fn text_edits_that_change_nothing_are_none() {
    let comment = format!("# a remark\n{A}\n# another\n");
    let spelt = A.replace("thickness     = \"6 mm\"", "thickness = \"0.6 cm\"").replace("\"5052\"", "\"EN AW-5052\"");
    let order = A.replace("[\"visual\", \"penetrant\"]", "[\"penetrant\", \"visual\"]");
    let long = A.replace("preheat = { value = \"110 °C\"", "preheat = { value = \"230 °F\"");
    for (name, text, respelt) in
        [("comment", &comment, 0), ("spelling", &spelt, 3), ("order", &order, 1), ("unit", &long, 1)]
    {
        assert_ne!(text.as_str(), A, "{name}");
        let changes = compare(A, text, None, &[], None).unwrap();
        assert!(!changes.any() && changes.text_differs, "{name}: {:?}", changes.job);
        assert_eq!(changes.respelt.len(), respelt, "{name}: {:?}", changes.respelt);
        assert!(report(&changes).lead.iter().any(|line| line.starts_with("Only the text was edited")), "{name}");
    }
    // The order of what is wanted means something, and so does the last digit.
    for (from, to) in [("\"strength\"", "\"ductility\""), ("\"6 mm\"", "\"6.01 mm\"")] {
        assert!(compare(A, &A.replace(from, to), None, &[], None).unwrap().any(), "{to}");
    }
}

#[test]
fn sources_that_differ_are_asked() {
    // A warmer start: the forerunner says any change, the later text from memory only a lower one.
    let warm = A.replace("preheat = { value = \"110 °C\"", "preheat = { value = \"120 °C\"");
    let changes = compare(A, &warm, None, &[], None).unwrap();
    let ruling = changes.judged[0].rulings.iter().find(|ruling| ruling.variable == Variable::Preheat).unwrap();
    assert_eq!((ruling.verdict.word(), ruling.reason.unwrap().word()), ("ask", "sources-differ"));
    // 50 °C lower is inside the 55 °C of the other code.
    let lower = A.replace("preheat = { value = \"110 °C\"", "preheat = { value = \"60 °C\"");
    let changes = compare(A, &lower, None, &["ASME IX".to_owned()], None).unwrap();
    assert_eq!(said(&changes.judged[0], Variable::Preheat).0, "covered");
}

#[test]
fn without_a_record_nothing_is_lost_and_the_older_one_stands_in() {
    let bare = |text: &str| {
        let (head, _) = text.split_once("[qualification]").unwrap();
        format!("{head}[qualification]\nstandard = \"ISO 15614-2\"\n")
    };
    let changes = compare(&bare(A), &bare(B), None, &[], None).unwrap();
    let iso = &changes.judged[0];
    assert!(!iso.tested && iso.record.is_none());
    assert_eq!(said(iso, Variable::Filler).0, "new-test");
    let text = print::terminal(&report(&changes));
    assert!(text.contains("No test is on record, so none is lost"), "{text}");
}

#[test]
fn the_faces_say_the_same_and_carry_no_code() {
    let changes = demo();
    let report = report(&changes);
    let terminal = print::terminal(&report);
    assert!(terminal.lines().all(|line| line.chars().count() <= 80), "{terminal}");
    let (markdown, html) = (print::markdown(&report), print::html(&report));
    for part in ["QW-404.4", "8 mm (0.315 in)", "ER5554", "NEW TEST", "class from memory"] {
        assert!(markdown.contains(part) && html.contains(part), "{part}");
    }
    let value: serde_json::Value = serde_json::from_str(&json(&changes)).unwrap();
    assert_eq!(value["differs"], true);
    assert_eq!(value["standards"][1]["rulings"][0]["rules"][0]["paragraph"], "QW-403.8, QW-451");
    let hostile = B.replace("reason   = \"", "reason   = \"<script>alert(1)</script> | ");
    let changes = compare(A, &hostile, None, &[], None).unwrap();
    let html = print::html(&interpass::faces::changes::report(&changes));
    assert!(html.contains("&lt;script&gt;") && !html.contains("<script"), "{html}");
    assert!(!html.contains("http://") && !html.contains("https://") && !html.contains(" src="), "it fetches nothing");
}

// ---- git ----

fn git(folder: &Path, arguments: &[&str]) -> bool {
    let names = ["-c", "user.name=shop", "-c", "user.email=shop@example.invalid", "-c", "commit.gpgsign=false"];
    let done = Command::new("git").args(names).args(arguments).current_dir(folder).output();
    done.is_ok_and(|output| output.status.success())
}

fn changes(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_interpass")).arg("changes").args(arguments).current_dir(folder).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// A repository with revision A, then B; none where the machine has no git.
fn repository() -> Option<tempfile::TempDir> {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    if !git(at, &["init", "-q"]) {
        eprintln!("skipped: no git on this machine");
        return None;
    }
    std::fs::create_dir(at.join("specs")).unwrap();
    for (text, tag) in [(A, "first"), (B, "second")] {
        std::fs::write(at.join("specs/job.repair.toml"), text).unwrap();
        assert!(git(at, &["add", "-A"]) && git(at, &["commit", "-q", "-m", tag]) && git(at, &["tag", tag]));
    }
    Some(folder)
}

#[test]
fn an_older_text_comes_out_of_git_by_its_own_revision_or_by_that_of_git() {
    let Some(folder) = repository() else { return };
    let file = "specs/job.repair.toml";
    for since in ["A", "HEAD~1", "first"] {
        let output = changes(folder.path(), &[file, "--since", since]);
        assert_eq!(output.status.code(), Some(1), "{since}: {}", text(&output.stderr));
        assert!(text(&output.stdout).starts_with("HW-040: A (2026-09-07) to B (2026-09-21)"), "{since}");
    }
    let same = changes(folder.path(), &[file, "--since", "B"]);
    assert_eq!(same.status.code(), Some(0), "{}", text(&same.stderr));
    // What was edited under the same revision shows.
    let path = folder.path().join(file);
    std::fs::write(&path, B.replace("\"8 mm\"", "\"9 mm\"")).unwrap();
    let edited = changes(folder.path(), &[file, "--since", "B"]);
    assert_eq!(edited.status.code(), Some(1));
    assert!(text(&edited.stdout).contains("two texts of one revision"), "{}", text(&edited.stdout));
    // From inside the folder too.
    let inside = changes(&folder.path().join("specs"), &["job.repair.toml", "--since", "A"]);
    assert_eq!(inside.status.code(), Some(1), "{}", text(&inside.stderr));
}

#[test]
fn what_git_cannot_give_is_said_and_nothing_else_is_run() {
    let Some(folder) = repository() else { return };
    let at = folder.path();
    let file = "specs/job.repair.toml";
    let marker = at.join("made");
    let output = format!("--output={}", marker.display());
    for (since, wanted) in [
        ("Z", "holds no such revision of the procedure"),
        ("no-such-tag", "git knows no such revision"),
        (output.as_str(), "git knows no such revision"),
        ("", "git knows no such revision"),
    ] {
        let arguments = [file, &format!("--since={since}")];
        let said = changes(at, &arguments);
        assert_eq!(said.status.code(), Some(2), "{since}: {}", text(&said.stdout));
        assert!(text(&said.stderr).contains(wanted), "{since}: {}", text(&said.stderr));
    }
    assert!(!marker.exists());
    std::fs::write(at.join("new.repair.toml"), B).unwrap();
    let said = changes(at, &["new.repair.toml", "--since", "HEAD"]);
    assert!(text(&said.stderr).contains("was not there then"), "{}", text(&said.stderr));
    let none = tempfile::tempdir().unwrap();
    std::fs::write(none.path().join("a.repair.toml"), A).unwrap();
    let said = changes(none.path(), &["a.repair.toml", "--since", "A"]);
    assert_eq!(said.status.code(), Some(2));
    assert!(text(&said.stderr).contains("lies in none"), "{}", text(&said.stderr));
    let without = Command::new(env!("CARGO_BIN_EXE_interpass"))
        .args(["changes", file, "--since", "A"])
        .env("PATH", none.path())
        .current_dir(at)
        .output()
        .unwrap();
    assert_eq!(without.status.code(), Some(2));
    assert!(text(&without.stderr).contains("no git on this machine"), "{}", text(&without.stderr));
}

#[test]
fn a_spec_with_errors_is_named_and_nothing_is_compared() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.repair.toml"), A).unwrap();
    std::fs::write(folder.path().join("b.repair.toml"), B.replace("\"8 mm\"", "8")).unwrap();
    let output = changes(folder.path(), &["a.repair.toml", "b.repair.toml"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty() && text(&output.stderr).contains("b.repair.toml"), "{}", text(&output.stderr));
}
