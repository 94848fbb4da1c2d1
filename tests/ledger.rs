//! `issue` and the ledger: what is entered and what is refused, what a sheet says of it, what `check` finds; damage of
//! every kind; writers that are killed and writers that meet.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

#[path = "ledger/damage.rs"]
mod damage;
#[path = "ledger/kills.rs"]
mod kills;
#[path = "ledger/shop.rs"]
mod shop;

use interpass::ledger::{self, NAME, State};
use serde_json::Value;
use shop::{SPEC, Shop, code, said};
use std::fs;

#[test]
fn a_revision_is_entered_once() {
    let shop = Shop::new(SPEC);
    let first = shop.issue();
    assert_eq!(code(&first), 0, "{}", said(&first));
    assert!(said(&first).contains("line 1, at the root of the repository"), "{}", said(&first));
    let bytes = shop.bytes();
    let again = shop.issue();
    assert_eq!(code(&again), 0);
    assert!(said(&again).contains("nothing new is entered"), "{}", said(&again));
    assert_eq!(shop.bytes(), bytes);
    let read = ledger::read(&bytes);
    assert!(read.findings.is_empty(), "{:?}", read.findings);
    let [(1, entry)] = read.entries.as_slice() else { panic!("{} entries", read.entries.len()) };
    assert_eq!((entry.number.as_str(), entry.revision.as_str(), entry.state), ("T-1", "A", State::Issued));
    assert_eq!((entry.reason.as_str(), entry.author.as_str()), ("First issue", "shop lead"));
    assert_eq!(entry.spec["metal.thickness"], "6 mm");
    assert_eq!(entry.figures["amperage"]["unit"], "A");
    assert_eq!(entry.tables, interpass::reference::edition());
}

#[test]
fn a_later_entry_holds_what_changed_alone() {
    let shop = Shop::new(SPEC);
    shop.issue();
    shop.edit(&[
        ("\"A\"", "\"B\""),
        ("2026-09-07", "2026-09-21"),
        ("First issue", "Thicker"),
        ("\"6 mm\"", "\"8 mm\""),
    ]);
    assert_eq!(code(&shop.issue()), 0);
    let read = ledger::read(&shop.bytes());
    let (_, entry) = &read.entries[1];
    let keys: Vec<&str> = entry.spec.keys().map(String::as_str).collect();
    assert_eq!(keys, ["metal.thickness", "procedure.date", "procedure.reason", "procedure.revision"]);
    assert!(entry.figures.contains_key("amperage") && !entry.figures.contains_key("polarity"), "{:?}", entry.figures);
}

#[test]
fn what_cannot_be_entered_is_refused_and_said() {
    // What is changed before the first issue; a word of what is said.
    let cases: [(&[(&str, &str)], &str); 8] = [
        (&[("\"trial\"", "\"draft\"")], "a draft is not issued"),
        (&[("status = \"trial\"\n", "")], "a draft is not issued"),
        (&[("date = 2026-09-07\n", "")], "no `date`"),
        (&[("reason = \"First issue\"\n", "")], "no `reason`"),
        (&[("author = \"shop lead\"\n", "")], "no `author`"),
        (&[("\"trial\"", "\"withdrawn\"")], "was never issued"),
        (&[("\"6 mm\"", "\"6\"")], "quantity-without-unit"),
        (&[("held = \"nothing\"", "held = \"fuel\"")], "gate-refused"),
    ];
    for (edits, word) in cases {
        let shop = Shop::new(SPEC);
        shop.edit(edits);
        let output = shop.issue();
        assert_eq!(code(&output), 1, "{word}: {}", said(&output));
        assert!(said(&output).contains(word) && said(&output).contains("is not entered"), "{word}: {}", said(&output));
        assert!(!shop.0.path().join(NAME).exists(), "{word}: a ledger was made");
    }
    // What is changed after A and C were issued.
    let cases: [(&[(&str, &str)], &str); 7] = [
        (&[("\"6 mm\"", "\"8 mm\"")], "First pass cold"),
        (&[("\"shop lead\"", "\"somebody else\"")], "no figure changed"),
        (&[("\"C\"", "\"B\"")], "comes before it"),
        (&[("\"C\"", "\"1\"")], "go on with letters after C"),
        (&[("\"C\"", "\"D\""), ("2026-09-07", "2026-09-01")], "before that of revision C"),
        (&[("\"trial\"", "\"withdrawn\"")], "still says why it was made"),
        (&[("\"C\"", "\"A\""), ("\"trial\"", "\"withdrawn\"")], "comes before it"),
    ];
    for (edits, word) in cases {
        let shop = Shop::new(SPEC);
        shop.issue();
        shop.edit(&[("\"A\"", "\"C\"")]);
        assert_eq!(code(&shop.issue()), 0);
        let bytes = shop.bytes();
        shop.edit(edits);
        let output = shop.issue();
        assert_eq!(code(&output), 1, "{word}: {}", said(&output));
        assert!(said(&output).contains(word), "{word}: {}", said(&output));
        assert!(said(&output).contains("ledger-not-entered"), "{word}: {}", said(&output));
        assert_eq!(shop.bytes(), bytes, "{word}");
    }
}

#[test]
fn a_withdrawn_revision_stays_withdrawn() {
    let shop = Shop::new(SPEC);
    shop.issue();
    shop.edit(&[("\"trial\"", "\"withdrawn\""), ("First issue", "The part is scrapped"), ("2026-09-07", "2026-10-01")]);
    let checked = shop.run(&["check", "job.repair.toml"]);
    assert!(said(&checked).contains("withdrawn by its spec, and in force by the ledger"), "{}", said(&checked));
    assert_eq!(code(&shop.issue()), 0);
    let text = shop.sheet("md");
    assert!(text.contains("**WITHDRAWN 2026-10-01, DO NOT USE.**"), "{text:.300}");
    assert!(text.contains("| A | 2026-10-01 | Withdrawn | The part is scrapped |"), "no row");
    shop.edit(&[("\"withdrawn\"", "\"trial\"")]);
    let output = shop.issue();
    assert!(code(&output) == 1 && said(&output).contains("was withdrawn on 2026-10-01"), "{}", said(&output));
    shop.edit(&[("\"A\"", "\"B\"")]);
    assert_eq!(code(&shop.issue()), 0);
    assert_eq!(ledger::read(&shop.bytes()).findings, []);
}

#[test]
fn every_face_says_where_a_revision_stands() {
    let shop = Shop::new(SPEC);
    // A spec may say that it is a trial; it cannot say that it is issued.
    assert!(shop.sheet("md").contains("**TRIAL, NOT QUALIFIED"));
    shop.edit(&[("\"trial\"", "\"issued\"")]);
    assert!(said(&shop.run(&["check", "job.repair.toml"])).contains("word-unknown"));
    shop.edit(&[("\"issued\"", "\"trial\"")]);
    shop.issue();
    let stands = |banner: &str, status: &str| {
        for face in ["md", "html", "card", "text"] {
            assert!(shop.sheet(face).contains(banner), "no {banner} in {face}");
        }
        let json: Value = serde_json::from_str(&shop.sheet("json")).unwrap();
        assert_eq!(json["identity"]["status"], status);
        assert!(json["identity"]["banner"].as_str().unwrap().contains(banner));
        json
    };
    let json = stands("ISSUED 2026-09-07, NOT QUALIFIED", "issued");
    assert_eq!(json["identity"]["ledger"]["is"], "issued");
    let page = shop.sheet("html");
    let margin = page.split("--state:\"").nth(1).unwrap().split('"').next().unwrap();
    assert!(margin.starts_with("ISSUED 2026-09-07"), "the margin of every printed page: {margin}");
    fs::copy(shop.0.path().join("job.repair.toml"), shop.0.path().join("old.toml")).unwrap();
    shop.edit(&[
        ("\"A\"", "\"B\""),
        ("2026-09-07", "2026-09-21"),
        ("First issue", "Thicker"),
        ("\"6 mm\"", "\"8 mm\""),
    ]);
    shop.issue();
    let text = shop.sheet("md");
    let row = text.lines().find(|line| line.starts_with("| B | 2026-09-21 |")).expect("a row of B");
    assert!(
        row.contains("thickness 6 mm, now 8 mm") && row.contains("| Thicker | shop lead | First pass cold"),
        "{row}"
    );
    assert!(text.contains("| A | 2026-09-07 | First issue | First issue | shop lead | First issue |"), "no row of A");
    fs::copy(shop.0.path().join("old.toml"), shop.0.path().join("job.repair.toml")).unwrap();
    let json = stands("SUPERSEDED BY REVISION B OF 2026-09-21, DO NOT USE", "superseded");
    assert_eq!(
        (&json["identity"]["ledger"]["by"], &json["identity"]["ledger"]["date"]),
        (&"B".into(), &"2026-09-21".into())
    );
    assert!(shop.sheet("html").contains("<p class=\"banner no\">"), "it is marked as a stop");
    assert!(said(&shop.run(&["check", "job.repair.toml"])).contains("ledger-superseded"));
}

#[test]
fn an_issued_spec_that_no_longer_matches_is_told_with_its_figures_and_why() {
    let shop = Shop::new(SPEC);
    shop.issue();
    let clean = shop.run(&["check", "job.repair.toml"]);
    assert!(!said(&clean).contains("seal-changed"), "{}", said(&clean));
    shop.edit(&[("\"6 mm\"", "\"8 mm\"")]);
    let told = said(&shop.run(&["check", "job.repair.toml"]));
    for words in ["warning[seal-changed]", "First pass cold", "the spec was changed since", "thickness 6 mm, now 8 mm"]
    {
        assert!(told.contains(words), "no {words}: {told}");
    }
    assert!(shop.sheet("md").contains("**NOT AS ISSUED 2026-09-07, DO NOT USE.**"));
    shop.edit(&[("\"8 mm\"", "\"6 mm\"")]);
    shop.write(
        "shop.kit.toml",
        "format = 1\n[[machine]]\nname = \"Bay 1 set\"\namperage = { ac = \"5 A to 120 A\" }\n",
    );
    let told = said(&shop.run(&["check", "job.repair.toml"]));
    assert!(told.contains("worked out with another kit") && !told.contains("the spec was changed"), "{told}");
}

#[test]
fn a_program_that_works_a_figure_out_otherwise_is_told() {
    // The entry of an older program: another amperage, other tables, its digests and all.
    let shop = Shop::new(SPEC);
    shop.issue();
    let (_, mut entry) = ledger::read(&shop.bytes()).entries.remove(0);
    entry.figures.get_mut("amperage").unwrap()["set"] = "95".into();
    entry.seal = "ab".repeat(32);
    entry.program = "0.0.9".to_owned();
    entry.tables = "000000000000".to_owned();
    shop.write(NAME, &(entry.line(None) + "\n"));
    let told = said(&shop.run(&["check", "job.repair.toml"]));
    for words in ["figure: First pass cold 95 A, now ", "version 0.0.9 of the program with tables 000000000000"] {
        assert!(told.contains(words), "no {words}: {told}");
    }
    assert!(!told.contains("the spec was changed") && !told.contains("another kit"), "{told}");
}

#[test]
fn a_ledger_that_cannot_be_written_is_named() {
    let shop = Shop::new(SPEC);
    fs::create_dir(shop.0.path().join(NAME)).unwrap();
    let output = shop.issue();
    assert_eq!(code(&output), 2, "{}", said(&output));
    assert!(said(&output).contains(&format!("cannot write {NAME}")), "{}", said(&output));
}

/// A disk that is full in the middle of the line: here a limit on the size of a file.
#[cfg(unix)]
#[test]
fn a_full_disk_leaves_the_ledger_as_it_was() {
    let shop = Shop::new(SPEC);
    shop.issue();
    let bytes = shop.bytes();
    shop.edit(&[("\"A\"", "\"B\""), ("\"6 mm\"", "\"8 mm\"")]);
    let blocks = bytes.len() / 512 + 1;
    let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" issue job.repair.toml");
    let output = std::process::Command::new("bash")
        .args(["--posix", "-c", &script, env!("CARGO_BIN_EXE_interpass")])
        .current_dir(shop.0.path())
        .output()
        .unwrap();
    assert_eq!(code(&output), 2, "{}", said(&output));
    assert!(said(&output).contains(&format!("cannot write {NAME}")), "{}", said(&output));
    assert!(!said(&output).contains("Entered"), "{}", said(&output));
    assert_eq!(shop.bytes(), bytes);
}
