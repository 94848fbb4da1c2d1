//! The language, case by case: each case in `tests/language/*.md` is a heading, prose, a block of TOML and the findings
//! that must be made of it, no more and no fewer.
//!
//! A finding is written as `- error `code` at LINE:COLUMN `marked characters``; a case without findings as `- nothing`.
//! The information line of the block says what is read: `toml`, `toml kit` or `toml run`; `+ procedure metal` adds
//! those tables, sound, at the end of a spec; `in latin-1` and `in utf-16` save the text in another encoding.
//!
//! What each case prints is kept as a snapshot, to be read as a welder would read it.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::findings::{Code, File, Finding, Severity, Sources, Style, render};
use interpass::{kit, run, spec};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

const PROCEDURE: &str = "\n[procedure]\nnumber = \"HW-001\"\ntitle = \"Bracket: crack\"\nrevision = \"A\"\n";
const METAL: &str = "\n[metal]\nalloy = \"A356.0\"\n";

/// One case of a file.
#[derive(Debug, Default, Clone)]
struct Case {
    title: String,
    block: String,
    info: String,
    expected: Vec<String>,
}

fn cases(text: &str) -> Vec<Case> {
    let mut cases: Vec<Case> = Vec::new();
    let mut in_block = false;
    for line in text.lines() {
        if line.starts_with("```") {
            in_block = !in_block;
            if let (true, Some(case)) = (in_block, cases.last_mut()) {
                assert!(case.info.is_empty(), "two blocks in case {:?}", case.title);
                case.info = line.trim_start_matches('`').to_owned();
            }
        } else if let Some(title) = line.strip_prefix("## ").filter(|_| !in_block) {
            cases.push(Case { title: title.to_owned(), ..Case::default() });
        } else if let Some(case) = cases.last_mut() {
            if in_block {
                case.block.push_str(line);
                case.block.push('\n');
            } else if let Some(expected) = line.strip_prefix("- ") {
                case.expected.push(expected.to_owned());
            }
        }
    }
    cases
}

fn all_cases() -> BTreeMap<String, Vec<Case>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/language");
    let mut all = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|extension| extension == "md") {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            all.insert(name, cases(&std::fs::read_to_string(&path).unwrap()));
        }
    }
    all
}

/// Name of the file, its bytes and what was found in them.
fn read(case: &Case) -> (&'static str, File, Vec<u8>, Vec<Finding>) {
    let mut text = case.block.clone();
    let added = case.info.split_once('+').map_or("", |(_, added)| added);
    for (word, table) in [("procedure", PROCEDURE), ("metal", METAL)] {
        if added.contains(word) {
            text.push_str(table);
        }
    }
    let bytes = if case.info.contains("in latin-1") {
        text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect()
    } else if case.info.contains("in utf-16") {
        let mut bytes = vec![0xff, 0xfe];
        bytes.extend(text.encode_utf16().flat_map(u16::to_le_bytes));
        bytes
    } else {
        text.into_bytes()
    };
    match case.info.split_whitespace().nth(1) {
        Some("kit") => ("shop.kit.toml", File::Kit, bytes.clone(), kit::read_bytes(&bytes).findings),
        Some("run") => ("hw-001.run.toml", File::Run, bytes.clone(), run::read_bytes(&bytes).findings),
        _ => ("hw-001.repair.toml", File::Spec, bytes.clone(), spec::read_bytes(&bytes).findings),
    }
}

fn in_one_line(finding: &Finding, sources: &Sources<'_>) -> String {
    let severity = match finding.severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Note => "note",
    };
    let Some(at) = finding.at else { return format!("{severity} `{}`", finding.code.as_str()) };
    let (line, column) = sources.get(at.file).unwrap().lines.place(at.start);
    let marked = sources.marked(at).unwrap().replace('\n', "⏎");
    format!("{severity} `{}` at {line}:{column} `{marked}`", finding.code.as_str())
}

#[test]
fn every_case_gives_its_findings_and_no_other() {
    let mut misses = String::new();
    for (file, cases) in all_cases() {
        for case in cases {
            let (name, which, bytes, findings) = read(&case);
            let text = spec::shown_text(&bytes);
            let sources = Sources::new().with(which, name, &text);
            let mut found: Vec<String> = findings.iter().map(|finding| in_one_line(finding, &sources)).collect();
            if found.is_empty() {
                found.push("nothing".to_owned());
            }
            if found != case.expected {
                misses += &format!(
                    "{file}.md, {:?}\n  expected\n    - {}\n  found\n    - {}\n{}\n",
                    case.title,
                    case.expected.join("\n    - "),
                    found.join("\n    - "),
                    render(&findings, &sources, Style::Plain)
                );
            }
        }
    }
    assert!(misses.is_empty(), "\n{misses}");
}

#[test]
fn every_case_is_printed_as_its_snapshot_says() {
    for (file, cases) in all_cases() {
        let mut titles = BTreeSet::new();
        for case in cases {
            let (name, which, bytes, findings) = read(&case);
            let text = spec::shown_text(&bytes);
            let sources = Sources::new().with(which, name, &text);
            let words: String = case.title.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
            let slug = format!("{file}-{}", words.trim_matches('-').to_lowercase().replace("--", "-"));
            assert!(titles.insert(slug.clone()), "two cases of {file}.md are called {:?}", case.title);
            if !findings.is_empty() {
                let drawn = render(&findings, &sources, Style::Plain);
                insta::with_settings!({ omit_expression => true, description => case.title }, {
                    insta::assert_snapshot!(slug, drawn);
                });
            }
        }
    }
}

/// Codes that other parts of the program raise; each has its case there.
const ELSEWHERE: &[&str] = &[
    "filler-colour",
    "filler-excluded",
    "filler-cracking",
    "filler-none",
    "filler-sources-differ",
    "gate-approval",
    "gate-attempt",
    "gate-head",
    "gate-metal",
    "gate-qualification",
    "gate-qualification-open",
    "gate-qualification-standard",
    "gate-question",
    "gate-refused",
    "gate-welder",
    // Of a ledger, in tests/ledger.rs, and of a received sheet, in tests/unpack.rs.
    "ledger-chain",
    "ledger-date",
    "ledger-edited",
    "ledger-key",
    "ledger-lost",
    "ledger-not-entered",
    "ledger-not-json",
    "ledger-revision",
    "ledger-superseded",
    "ledger-too-large",
    "ledger-torn",
    "ledger-twice",
    "seal-changed",
    "seal-doubt",
    "seal-sheet",
    "kit-ambiguous",
    "kit-lacks",
    "kit-machine-unknown",
    "kit-none",
    "kit-torch-too-small",
    "metal-data",
    "metal-family",
    "metal-form",
    "metal-magnesium-warm",
    "metal-temper",
    "metal-thick",
    "metal-thin",
    "output-card-moved",
    "output-card-none",
    "output-clash",
    "output-internal",
    "output-read",
    "output-write",
    "setting-above-heat-limit",
    "setting-above-machine",
    "setting-above-torch",
    "setting-above-tungsten",
    "setting-below-lens-minimum",
    "setting-beyond-machines",
    "setting-heat-too-long",
    "setting-methods-differ",
    "setting-need-above-machine",
    "setting-not-computed",
    "setting-outside-range",
    "setting-position",
    "setting-start-too-hot",
    // Found by the formulas of steels and stainless steels, in tests/ferrous.rs.
    "filler-ferrite",
    "metal-hard-zone",
    "setting-outside-method",
    // Found between a run record and a sheet, in tests/record.rs.
    "run-other-sheet",
    "run-other-seal",
    "run-sheet-changed",
    "run-unread",
    "setting-without-reason",
    "syntax-json",
];

#[test]
fn every_code_of_the_language_has_a_case() {
    let mut covered = BTreeSet::new();
    for case in all_cases().into_values().flatten() {
        for expected in &case.expected {
            covered.extend(expected.split('`').nth(1).map(str::to_owned));
        }
    }
    let all: BTreeSet<String> = Code::ALL.iter().map(|code| code.as_str().to_owned()).collect();
    let elsewhere: BTreeSet<String> = ELSEWHERE.iter().map(|code| (*code).to_owned()).collect();
    let missing: Vec<&String> =
        all.iter().filter(|code| !covered.contains(*code) && !elsewhere.contains(*code)).collect();
    assert!(missing.is_empty(), "no case for {missing:?}");
    let unknown: Vec<&String> = covered.union(&elsewhere).filter(|code| !all.contains(*code)).collect();
    assert!(unknown.is_empty(), "no such code {unknown:?}");
    let both: Vec<&String> = covered.intersection(&elsewhere).collect();
    assert!(both.is_empty(), "raised here after all: {both:?}");
}

#[test]
fn every_code_explains_itself() {
    let mut codes = BTreeSet::new();
    for code in Code::ALL {
        let text = code.as_str();
        assert!(codes.insert(text), "{text} stands twice");
        assert!(text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'), "{text}");
        assert!(code.meaning().ends_with('.') && code.resolve().ends_with('.'), "{text}");
    }
}

/// The files of a folder and of the folders in it.
fn files_in(folder: &Path, ending: &str) -> Vec<std::path::PathBuf> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(files_in(&path, ending));
        } else if path.to_str().unwrap().ends_with(ending) {
            files.push(path);
        }
    }
    files.sort();
    files
}

#[test]
fn the_demo_files_read_without_an_error() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("specs");
    let mut misses = String::new();
    for (ending, file) in [(".repair.toml", File::Spec), (".kit.toml", File::Kit), (".run.toml", File::Run)] {
        let files = files_in(&root, ending);
        assert!(!files.is_empty(), "no {ending}");
        for path in files {
            let bytes = std::fs::read(&path).unwrap();
            let findings = match file {
                File::Spec => spec::read_bytes(&bytes).findings,
                File::Kit => kit::read_bytes(&bytes).findings,
                File::Run => run::read_bytes(&bytes).findings,
            };
            let text = spec::shown_text(&bytes);
            let sources = Sources::new().with(file, path.file_name().unwrap().to_str().unwrap(), &text);
            misses += &render(&findings, &sources, Style::Plain);
        }
    }
    assert_eq!(misses, "");
}

/// What is found in a file of `tests/language/files`.
fn found_in(name: &str) -> Vec<String> {
    let text =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/language/files").join(name)).unwrap();
    let sources = Sources::new().with(File::Spec, name, &text);
    spec::read(&text).1.iter().map(|finding| in_one_line(finding, &sources)).collect()
}

#[test]
fn bad_files_are_told_in_one_run() {
    assert_eq!(
        found_in("five-mistakes.repair.toml"),
        [
            "error `key-unknown` at 13:1 `loadnig`",
            "error `metal-name-unknown` at 21:18 `6802`",
            "error `quantity-without-unit` at 28:11 `35`",
            "error `quantity-range-reversed` at 42:24 `140 Hz to 90 Hz`",
        ],
        "the fifth is past the end of the set, which the rules say"
    );
    assert_eq!(
        found_in("nan.repair.toml"),
        [
            "error `quantity-number` at 16:15 `inf`",
            "error `quantity-number` at 25:17 `nan`",
            "error `quantity-number` at 30:12 `NaN`",
            "error `quantity-number` at 31:12 `inf`",
        ]
    );
    let hostile = found_in("hostile-title.repair.toml");
    let codes: Vec<&str> = hostile.iter().filter_map(|line| line.split('`').nth(1)).collect();
    assert_eq!(codes.iter().filter(|code| **code == "name-markup").count(), 3, "{hostile:#?}");
    assert_eq!(codes.iter().filter(|code| **code == "name-text").count(), 2, "{hostile:#?}");
}
