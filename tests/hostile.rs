//! Hostile files: whatever the bytes, reading ends with findings whose places lie in the file, and nothing that steers a
//! terminal is printed.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::findings::clean::hostile;
use interpass::findings::{Code, File, Finding, Severity, Sources, Style, any_error, json, render};
use interpass::{kit, run, spec};
use proptest::prelude::*;

/// A sound spec that uses most of the language.
const SPEC: &str = r#"format = 1
[procedure]
number   = "HW-012"
title    = "Outboard bracket: crack in the clamp ear"
revision = "B"
status   = "trial"
date     = 2026-10-02
author   = "shop lead"
reason   = "Thickness measured after opening up: 8 mm, not 6 mm."
summary  = """
The ear *tore* when the boat hit the quay.

- found on lifting off
"""
[part]
name        = "Transom clamp bracket"
consequence = "moderate"
loading     = ["vibration"]
use         = ["general"]
fitted      = ["bush"]
keep        = [{ feature = "bolt hole", distance = "40 mm", tolerance = "H7", allowance = "0 mm" }]
movable     = true
mass        = "3.1 kg"
service_temperature = "60 °C"
environment = ["salt water"]
finish      = "paint"
enclosed    = false
hollow      = false
held        = "nothing"
[metal]
alloy         = "A356.0"
temper        = "T6"
form          = "sand casting"
thickness     = "8 mm"
identified_by = "stamp"
surface       = ["painted", "weathered"]
[damage]
kind    = "crack"
cause   = "overload"
length  = "45 mm"
through = true
tips    = 1
attempt = 1
[prepare]
cleaner = "acetone"
coating = "paint"
method  = "carbide burr"
[place]
site     = "welding shop"
confined = false
pit      = false
[weld]
joint  = "groove"
access = "both sides"
needs  = ["strength", "ductility"]
gas    = "argon"
start_temperature = "20 °C"
[weld.set]
balance = { value = "70 % EN", because = "skin is weathered, but the groove is burred bright" }
[inspection]
methods    = ["visual", "penetrant"]
acceptance = [{ standard = "ISO 10042", level = "C" }, { standard = "ISO 23277", level = "2X" }]
[qualification]
state    = "none"
standard = "ISO 15614-2"
[[step]]
id    = "refit"
stage = "finish"
after = "bush"
text  = "Refit the clamp bolt with a new self-locking nut."
"#;

/// Reads bytes as each of the three files, and checks what must hold of any findings.
fn check(bytes: &[u8]) {
    let text = spec::shown_text(bytes);
    check_findings(File::Spec, &text, &spec::read_bytes(bytes).findings);
    check_findings(File::Kit, &text, &kit::read_bytes(bytes).findings);
    check_findings(File::Run, &text, &run::read_bytes(bytes).findings);
}

fn check_findings(file: File, text: &str, findings: &[Finding]) {
    let sources = Sources::new().with(file, "hw-001.toml", text);
    for finding in findings {
        let spans = finding.at.iter().chain(finding.related.iter().map(|(span, _)| span));
        for span in spans.chain(finding.fix.iter().map(|fix| &fix.span)) {
            assert_eq!(span.file, file);
            assert!(span.start <= span.end && span.end <= text.len(), "{finding:?} of {} bytes", text.len());
            assert!(text.is_char_boundary(span.start) && text.is_char_boundary(span.end), "{finding:?}");
        }
        assert!(!finding.message.is_empty(), "{finding:?}");
    }
    let places: Vec<_> = findings.iter().filter_map(|finding| finding.at).collect();
    assert!(places.is_sorted(), "sorted by place");
    let drawn = render(findings, &sources, Style::Plain);
    assert!(drawn.chars().all(|c| c == '\n' || hostile(c).is_none()), "{drawn:?}");
    let written = json::array(findings, &sources);
    assert!(written.chars().all(|c| c == '\n' || hostile(c).is_none()), "{written:?}");
    let read: serde_json::Value = serde_json::from_str(&written).unwrap();
    assert_eq!(read.as_array().unwrap().len(), findings.len());
}

fn codes(findings: &[Finding]) -> Vec<Code> {
    findings.iter().map(|finding| finding.code).collect()
}

#[test]
fn the_sound_spec_is_sound() {
    let (spec, findings) = spec::read(SPEC);
    assert_eq!(findings, []);
    let spec = spec.unwrap();
    assert_eq!(spec.procedure.number.0, "HW-012");
    assert_eq!(spec.damage.length.unwrap().text, "45 mm");
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_change_nothing() {
    let (_, findings) = spec::read(&format!("\u{feff}{}", SPEC.replace('\n', "\r\n")));
    assert_eq!(findings, []);
    let broken = "\u{feff}format = 1\r\n[procedure]\r\nnumber = \"HW-1\"\r\ntitle = \"T\"\r\nrevison = \"A\"\r\n[metal]\r\nalloy=\"6061\"";
    let (_, findings) = spec::read(broken);
    let at = findings[0].at.unwrap();
    assert_eq!((codes(&findings), &broken[at.start..at.end]), (vec![Code::KeyUnknown], "revison"));
}

#[test]
fn ten_megabytes() {
    let text = "# just a comment\n".repeat(10 * 1024 * 1024 / 17);
    let (spec, findings) = spec::read(&text);
    assert!(spec.is_none());
    assert_eq!(codes(&findings), [Code::SyntaxTooLarge]);
    check(text.as_bytes());
}

#[test]
fn ten_thousand_nested_tables_and_lists() {
    let n = 10_000;
    let inline = format!("format = 1\na = {}1{}", "{ a = ".repeat(n), " }".repeat(n));
    let lists = format!("format = 1\na = {}{}", "[".repeat(n), "]".repeat(n));
    let dotted = format!("format = 1\na{} = 1", ".a".repeat(n));
    let header = format!("format = 1\n[a{}]\nb = 1", ".a".repeat(n));
    let headers: String = (1..400).map(|depth| format!("[a{}]\n", ".a".repeat(depth))).collect();
    let array_headers = format!("format = 1\n[[a{}]]\nb = 1", ".a".repeat(n));
    for text in [inline, lists, dotted, header, headers, array_headers] {
        let (spec, findings) = spec::read(&text);
        assert!(spec.is_none());
        assert!(codes(&findings).contains(&Code::SyntaxTooLarge), "{:?}", codes(&findings));
        assert!(findings.len() < 12, "{}", findings.len());
        check(text.as_bytes());
    }
}

#[test]
fn a_megabyte_of_each_bracket() {
    for piece in [
        "[",
        "{",
        "]",
        "\"",
        "'",
        "=",
        ".",
        ",",
        "\n[[a]]",
        "\na=",
        "\\",
        "a=1\n",
        "\u{0}",
        "é",
        "\n[a.b]",
        "#",
        "a={b=1}\n",
        "\n\"\"\"\n",
    ] {
        check(piece.repeat(spec::limits::FILE_BYTES / piece.len()).as_bytes());
    }
}

#[test]
fn ten_thousand_mistakes() {
    let mut text = String::from(
        "format = 1\n[procedure]\nnumber = \"HW-1\"\ntitle = \"T\"\nrevision = \"A\"\n[metal]\nalloy = \"6061\"\n[part]\n",
    );
    for index in 0..10_000 {
        text.push_str(&format!("wrong{index} = {index}\n"));
    }
    let (_, findings) = spec::read(&text);
    assert_eq!(findings.len(), spec::limits::FINDINGS + 1);
    assert!(findings.last().unwrap().message.contains("9000 more"), "{:?}", findings.last());
    check(text.as_bytes());
}

#[test]
fn a_title_with_everything() {
    let title = "<script>alert(1)</script> {{ 7*7 }} ../../x \\u001b[31mred \\u202Egnp";
    let text = SPEC.replace("Outboard bracket: crack in the clamp ear", title);
    let (spec, findings) = spec::read(&text);
    assert!(spec.is_none(), "a title that cannot be printed is no title");
    let marked: Vec<(&str, Severity, &str)> = findings
        .iter()
        .map(|finding| {
            (finding.code.as_str(), finding.severity, &text[finding.at.unwrap().start..finding.at.unwrap().end])
        })
        .collect();
    assert_eq!(
        marked,
        [
            ("name-markup", Severity::Note, "<script>"),
            ("name-markup", Severity::Note, "{{ 7*7 }}"),
            ("name-markup", Severity::Note, "../"),
            ("name-text", Severity::Error, "\\u001b"),
            ("name-text", Severity::Error, "\\u202E"),
        ]
    );
}

#[test]
fn a_number_never_leads_out_of_a_folder() {
    for number in [
        "../x",
        "..\\\\x",
        "/etc/x",
        "a/../b",
        "C:x",
        "~x",
        "a\\u0000b",
        "a\\nb",
        "a//b",
        ".",
        "..",
        "nul",
        "aux.md",
        "$(x)",
        "a b",
    ] {
        let (spec, findings) = spec::read(&SPEC.replace("HW-012", number));
        assert!(spec.is_none() && any_error(&findings), "{number}");
    }
}

#[test]
fn order_of_keys_changes_nothing() {
    let (head, rest) = SPEC.split_once('\n').unwrap();
    let mut tables: Vec<String> =
        rest.split("\n[").map(|table| format!("[{}", table.trim_start_matches('['))).collect();
    // `[[step]]` lost a bracket to the split.
    for table in &mut tables {
        if table.starts_with("[step") {
            table.insert(0, '[');
        }
    }
    tables.reverse();
    let mut turned = vec![head.to_owned()];
    for table in tables {
        let (header, keys) = table.split_once('\n').unwrap();
        turned.push(header.to_owned());
        let mut entries: Vec<String> = Vec::new();
        let mut open = false;
        for line in keys.lines() {
            match entries.last_mut() {
                Some(last) if open => last.push_str(&format!("\n{line}")),
                _ => entries.push(line.to_owned()),
            }
            open ^= line.matches("\"\"\"").count() % 2 == 1;
        }
        entries.reverse();
        turned.extend(entries);
    }
    let turned = turned.join("\n");
    let (before, after) = (spec::read(SPEC), spec::read(&turned));
    assert_eq!(after.1, []);
    assert_eq!(without_places(&before.0), without_places(&after.0));
}

/// A typed value as text, its places left out.
fn without_places<T: std::fmt::Debug>(value: &T) -> String {
    let text = format!("{value:?}");
    let mut kept = String::new();
    let mut rest = text.as_str();
    while let Some((before, after)) = rest.split_once("span: Span {") {
        kept.push_str(before);
        rest = after.split_once('}').unwrap().1;
    }
    kept + rest
}

/// Pieces that are likely to upset a reader.
const PIECES: &[&str] = &[
    "\"",
    "'",
    "\"\"\"",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    ",",
    ".",
    "#",
    "\n",
    "\r",
    "\\",
    "\\u",
    "\\u0000",
    "\\x1b",
    "\u{1b}",
    "\u{202e}",
    "\u{200d}",
    "\u{feff}",
    "nan",
    "inf",
    "-1",
    "1e400",
    "0x",
    "99999999999999999999",
    "true",
    "2026-02-30",
    "2026-10-02T00:00:00Z",
    "é",
    "日本",
    "½",
    "°",
    "format = 2",
    "[metal]",
    "[[metal]]",
    "[part]",
    "thickness = 6",
    "\"6\"",
    "ga",
    "..",
    "+/-",
    "to",
    "<b>",
    "{{",
    "../",
    "&#27;",
    "> > >",
    "\0",
];

fn mutated() -> impl Strategy<Value = String> {
    let cut = (any::<prop::sample::Index>(), 0..40_usize, prop::sample::select(PIECES));
    prop::collection::vec(cut, 1..6).prop_map(|cuts| {
        let mut text = SPEC.to_owned();
        for (at, length, piece) in cuts {
            let mut start = at.index(text.len() + 1);
            while !text.is_char_boundary(start) {
                start -= 1;
            }
            let mut end = (start + length).min(text.len());
            while !text.is_char_boundary(end) {
                end += 1;
            }
            text.replace_range(start..end, piece);
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_bytes(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        check(&bytes);
    }

    #[test]
    fn random_text(text in "[ -~\\nµ°½\u{202e}\u{1b}=\\[\\]{}\"']{0,300}") {
        check(text.as_bytes());
    }

    #[test]
    fn random_pieces(pieces in prop::collection::vec(prop::sample::select(PIECES), 0..60)) {
        check(pieces.concat().as_bytes());
    }

    #[test]
    fn random_mutations_of_a_sound_spec(text in mutated()) {
        check(text.as_bytes());
    }

    #[test]
    fn random_values_of_every_key(value in "[ -~µ°½]{0,30}", key in prop::sample::select(SPEC.lines().filter(|line| line.contains(" = ")).collect::<Vec<_>>())) {
        let (name, _) = key.split_once('=').unwrap();
        check(SPEC.replace(key, &format!("{name}= {value}")).as_bytes());
        let quoted = value.replace('\\', "\\\\").replace('"', "\\\"");
        check(SPEC.replace(key, &format!("{name}= \"{quoted}\"")).as_bytes());
    }
}
