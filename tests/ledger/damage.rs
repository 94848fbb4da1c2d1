//! Damage: a ledger that is cut at any length, changed at any byte, doubled, shuffled, thinned out. Each is told, none is
//! passed over.

use super::shop::{SPEC, Shop, code, said};
use interpass::findings::{Code, Severity};
use interpass::ledger::{Entry, FILE_BYTES, LINE_BYTES, Ledger, NAME, State, Tail, read};
use interpass::seal::hex;
use std::collections::BTreeMap;

fn entry(number: &str, revision: &str, state: State, date: &str) -> Entry {
    Entry {
        number: number.to_owned(),
        revision: revision.to_owned(),
        state,
        date: date.parse().unwrap(),
        seal: hex(format!("{number} {revision}").as_bytes()),
        reason: "Thicker: 8 mm at 80 °C, \"measured\"".to_owned(),
        author: "shop lead".to_owned(),
        kit: None,
        program: "0.1.0".to_owned(),
        tables: "0123456789ab".to_owned(),
        spec: BTreeMap::from([("metal.thickness".to_owned(), "8 mm".into())]),
        figures: BTreeMap::from([(
            "amperage".to_owned(),
            serde_json::json!({"low": "155", "high": "205", "set": "180"}),
        )]),
    }
}

/// The lines of entries, each after the one before it, with their line feeds.
fn lines(entries: &[Entry]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for entry in entries {
        let before = lines.last().map(|line| hex(line.trim_end().as_bytes()));
        lines.push(entry.line(before.as_deref()) + "\n");
    }
    lines
}

fn some() -> Vec<String> {
    lines(&[
        entry("T-1", "A", State::Issued, "2026-09-01"),
        entry("T-2", "1", State::Issued, "2026-08-01"),
        entry("T-1", "B", State::Issued, "2026-09-02"),
        entry("T-1", "B", State::Withdrawn, "2026-09-02"),
        entry("T-1", "C", State::Issued, "2026-09-03"),
    ])
}

fn codes(ledger: &Ledger) -> Vec<&'static str> {
    ledger.findings.iter().map(|finding| finding.code.as_str()).collect()
}

#[test]
fn a_sound_ledger_is_read_whole() {
    let ledger = read(some().concat().as_bytes());
    assert!(ledger.findings.is_empty() && ledger.tail.is_none(), "{:?}", ledger.findings);
    assert_eq!((ledger.entries.len(), ledger.lines, ledger.digests.len()), (5, 5, 5));
    assert!(read(b"").findings.is_empty());
}

#[test]
fn a_ledger_that_is_cut_anywhere_is_told() {
    let (lines, text) = (some(), some().concat());
    let mut ends = vec![0];
    for line in &lines {
        ends.push(ends.last().unwrap() + line.len());
    }
    for length in 0..text.len() {
        let ledger = read(&text.as_bytes()[..length]);
        let whole = ends.iter().filter(|end| **end > 0 && **end <= length).count();
        if ends.contains(&length) {
            // Whole lines alone: no text can tell what is gone. The history of the file does, see below.
            assert!(ledger.findings.is_empty() && ledger.entries.len() == whole, "{length}");
            continue;
        }
        assert!(ledger.is_sound(), "{length}: the lines before it hold");
        assert_eq!(codes(&ledger), ["ledger-torn"], "{length}");
        assert!(ledger.findings[0].message.contains(&format!("line {} of", whole + 1)), "{length}");
        if ends.contains(&(length + 1)) {
            assert_eq!((ledger.tail, ledger.entries.len()), (Some(Tail::Whole), whole + 1));
        } else {
            assert_eq!((ledger.tail, ledger.entries.len()), (Some(Tail::Cut { at: ends[whole] }), whole));
        }
    }
}

#[test]
fn a_change_of_any_byte_is_an_error_that_names_the_line() {
    let text = some().concat().into_bytes();
    let mut random = 0x2545_f491_4f6c_dd1d_u64;
    for at in 0..text.len() {
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let mut changed = text.clone();
        changed[at] = changed[at].wrapping_add(1 + (random >> 33) as u8 % 255);
        let ledger = read(&changed);
        assert!(!ledger.is_sound(), "byte {at}");
        let line = text[..at].iter().filter(|byte| **byte == b'\n').count() + 1;
        let first = &ledger.findings[0];
        assert!(first.message.contains(&format!("line {line} of {NAME}")), "byte {at}: {}", first.message);
        assert!(first.severity == Severity::Error && first.help.is_some(), "byte {at}");
    }
}

#[test]
fn lines_that_are_doubled_moved_or_gone_are_told() {
    let lines = some();
    let of = |order: &[usize]| read(order.iter().map(|at| lines[*at].as_str()).collect::<String>().as_bytes());
    for (order, code, line) in [
        (&[0, 0, 1, 2, 3, 4][..], "ledger-twice", 2),
        (&[0, 1, 2, 3, 4, 4], "ledger-twice", 6),
        (&[0, 1, 2, 3, 4, 0], "ledger-twice", 6),
        (&[1, 0, 2, 3, 4], "ledger-chain", 1),
        (&[0, 2, 1, 3, 4], "ledger-chain", 2),
        (&[0, 1, 2, 4, 3], "ledger-chain", 4),
        (&[1, 2, 3, 4], "ledger-chain", 1),
        (&[0, 1, 3, 4], "ledger-chain", 3),
        (&[0, 4], "ledger-chain", 2),
    ] {
        let ledger = of(order);
        assert_eq!(codes(&ledger).first(), Some(&code), "{order:?}: {:?}", ledger.findings);
        assert!(ledger.findings[0].message.contains(&format!("line {line} of")), "{order:?}: {:?}", ledger.findings);
    }
}

#[test]
fn what_no_shop_enters_is_told_although_its_digests_are_right() {
    let date = "2026-09-02";
    let (issued, withdrawn) = (State::Issued, State::Withdrawn);
    let cases: [(&[Entry], &str); 8] = [
        (&[entry("T-1", "B", issued, date), entry("T-1", "A", issued, date)], "ledger-revision"),
        (&[entry("T-1", "A", issued, date), entry("T-1", "2", issued, date)], "ledger-revision"),
        (&[entry("T-1", "A", issued, date), entry("T-1", "B", issued, "2026-09-01")], "ledger-date"),
        (&[entry("T-1", "A", issued, date), entry("T-1", "A", issued, date)], "ledger-twice"),
        (&[entry("T-1", "A", withdrawn, date)], "ledger-revision"),
        (&[entry("T-1", "A", issued, date), entry("T-1", "B", withdrawn, date)], "ledger-revision"),
        (&[entry("T/../1", "A", issued, date)], "ledger-key"),
        (&[entry("T-1", "a", issued, date)], "ledger-key"),
    ];
    for (entries, code) in cases {
        let ledger = read(lines(entries).concat().as_bytes());
        assert_eq!(codes(&ledger), [code], "{:?}", ledger.findings);
    }
    let text = lines(&[entry("T-1", "A", issued, date)]).concat();
    for (from, to, code) in [
        ("\"author\":\"shop lead\",", "", "ledger-key"),
        ("\"author\":\"shop lead\",", "\"author\":\"shop lead\",\"more\":1,", "ledger-key"),
        ("\"format\":1", "\"format\":2", "ledger-key"),
        ("\"2026-09-02\"", "\"2026-09-31\"", "ledger-key"),
        ("\"before\":\"0", "\"before\":\"1", "ledger-chain"),
    ] {
        // With a digest that is right, as whoever edits the file on purpose would make it.
        let body = text.split(",\"digest\"").next().unwrap().replace(from, to);
        let ledger = read(format!("{body},\"digest\":\"{}\"}}\n", hex(body.as_bytes())).as_bytes());
        assert_eq!(codes(&ledger), [code], "{from}: {:?}", ledger.findings);
    }
}

#[test]
fn line_ends_that_git_changed_are_told_as_such() {
    let ledger = read(some().concat().replace('\n', "\r\n").as_bytes());
    assert_eq!(codes(&ledger).first(), Some(&"ledger-edited"));
    assert!(ledger.findings[0].help.as_ref().unwrap().contains("-text"), "{:?}", ledger.findings[0]);
}

#[test]
fn hostile_ledgers_do_no_harm() {
    let deep = format!("{{\"format\":1,\"number\":\"{}", "[".repeat(100_000));
    for (bytes, code) in [
        (vec![b'\n'; 1000], "ledger-not-json"),
        (b"[]\n".to_vec(), "ledger-key"),
        (vec![0xff; 50_000], "ledger-not-json"),
        (format!("{{\"format\":{}1\n", "[".repeat(100_000)).into_bytes(), "ledger-not-json"),
        (format!("{}\n", "x".repeat(LINE_BYTES + 1)).into_bytes(), "ledger-too-large"),
        (vec![b'\n'; FILE_BYTES + 1], "ledger-too-large"),
        (deep.into_bytes(), "ledger-torn"),
    ] {
        let ledger = read(&bytes);
        assert_eq!(codes(&ledger).first(), Some(&code), "{:.60}", String::from_utf8_lossy(&bytes));
        assert!(ledger.findings.len() <= 20 && ledger.entries.is_empty());
    }
}

#[test]
fn a_damaged_ledger_takes_no_entry_and_vouches_for_no_sheet() {
    let shop = Shop::new(SPEC);
    shop.issue();
    let text = String::from_utf8(shop.bytes()).unwrap().replace("shop lead", "shop laed");
    shop.write(NAME, &text);
    let issued = shop.issue();
    assert!(code(&issued) == 1 && said(&issued).contains("ledger-edited"), "{}", said(&issued));
    assert_eq!(shop.bytes(), text.as_bytes());
    let checked = shop.run(&["check", "job.repair.toml"]);
    assert!(code(&checked) == 1 && said(&checked).contains("line 1 of"), "{}", said(&checked));
    assert!(shop.sheet("md").contains("**STATUS NOT KNOWN: THE LEDGER IS DAMAGED.**"));
    assert_eq!(code(&shop.run(&["write", "job.repair.toml", "--to", "out"])), 1);
}

#[test]
fn a_line_that_was_cut_is_mended_by_the_next_issue_and_by_nothing_else() {
    let shop = Shop::new(SPEC);
    shop.issue();
    let whole = shop.bytes();
    shop.edit(&[("\"A\"", "\"B\"")]);
    shop.issue();
    let both = shop.bytes();
    for (length, says, did) in [
        (whole.len() + 300, "ends in the middle", "was cut off first"),
        (both.len() - 1, "lacks its line feed", "was put there first"),
    ] {
        shop.write(NAME, std::str::from_utf8(&both[..length]).unwrap());
        let checked = shop.run(&["check", "job.repair.toml"]);
        assert!(code(&checked) == 0 && said(&checked).contains(says), "{}", said(&checked));
        assert_eq!(shop.bytes().len(), length, "check mends nothing");
        shop.edit(&[("\"B\"", "\"C\"")]);
        let issued = shop.issue();
        assert!(code(&issued) == 0 && said(&issued).contains(says), "{}", said(&issued));
        assert!(said(&issued).contains(did), "{}", said(&issued));
        let ledger = read(&shop.bytes());
        assert!(ledger.findings.is_empty(), "{:?}", ledger.findings);
        let revisions: Vec<&str> = ledger.entries.iter().map(|(_, entry)| entry.revision.as_str()).collect();
        assert_eq!(revisions, if length + 1 == both.len() { &["A", "B", "C"][..] } else { &["A", "C"] });
        shop.edit(&[("\"C\"", "\"B\"")]);
    }
}

#[test]
fn entries_that_a_commit_holds_and_the_file_has_lost_are_told() {
    let shop = Shop::new(SPEC);
    let git = |arguments: &[&str]| {
        let done = std::process::Command::new("git")
            .args(["-c", "user.name=x", "-c", "user.email=x@example.org"])
            .args(arguments)
            .current_dir(shop.0.path())
            .output();
        done.is_ok_and(|done| done.status.success())
    };
    if !git(&["init", "--quiet"]) {
        eprintln!("skipped: there is no git on this machine");
        return;
    }
    shop.issue();
    shop.edit(&[("\"A\"", "\"B\"")]);
    shop.issue();
    assert!(git(&["add", "."]) && git(&["commit", "--quiet", "-m", "two revisions"]));
    let text = String::from_utf8(shop.bytes()).unwrap();
    let one = text.split_inclusive('\n').next().unwrap().to_owned();
    for (lost, line) in [("", 1), (one.as_str(), 2)] {
        shop.write(NAME, lost);
        shop.edit(&[("\"B\"", "\"C\"")]);
        let issued = shop.issue();
        assert!(
            code(&issued) == 1 && said(&issued).contains(&format!("line {line} of it is gone")),
            "{}",
            said(&issued)
        );
        shop.edit(&[("\"C\"", "\"B\"")]);
        let checked = shop.run(&["check", "job.repair.toml"]);
        assert!(said(&checked).contains(Code::LedgerLost.as_str()), "{}", said(&checked));
    }
}
