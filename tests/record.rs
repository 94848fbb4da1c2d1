//! `record`: a run against its sheet, hostile records, many runs together, kept records and the attempts they tell of.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use serde_json::Value;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const KIT: &str = "specs/kits/harbour.kit.toml";

fn interpass(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_interpass"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(arguments)
        .output()
        .unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

/// A workshop of its own: a folder with a spec, a kit and room for records.
struct Shop(tempfile::TempDir);

impl Shop {
    fn new(spec: &str) -> Self {
        let shop = Shop(tempfile::tempdir().unwrap());
        fs::create_dir(shop.path(".git")).unwrap();
        fs::copy(format!("specs/{spec}.repair.toml"), shop.path("job.repair.toml")).unwrap();
        fs::copy(KIT, shop.path("harbour.kit.toml")).unwrap();
        shop
    }
    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
    fn name(&self, name: &str) -> String {
        self.path(name).to_str().unwrap().to_owned()
    }
    fn write(&self, name: &str, text: &str) -> String {
        fs::write(self.path(name), text).unwrap();
        self.name(name)
    }
    fn record(&self, more: &[&str]) -> Output {
        let spec = self.name("job.repair.toml");
        interpass(&[&["record", spec.as_str()], more].concat())
    }
    fn json(&self, more: &[&str]) -> (i32, Value) {
        let output = self.record(&[more, &["--json"]].concat());
        (code(&output), serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", said(&output))))
    }
    fn seal(&self) -> String {
        let spec = self.name("job.repair.toml");
        let sheets = self.name("sheets");
        let done = interpass(&["write", &spec, "--to", &sheets, "--as", "json,html", "--quiet"]);
        assert_eq!(code(&done), 0, "{}", said(&done));
        let sheet: Value = serde_json::from_slice(&fs::read(self.path("sheets/job.json")).unwrap()).unwrap();
        sheet["seal"].as_str().unwrap()[..12].to_owned()
    }
}

/// A pass: number, current, part.
type Pass<'a> = (i64, &'a str, &'a str);

/// A whole record of the worn seat, HW-008, as a welder types it.
fn typed(seal: &str, attempt: Option<i64>, passes: &[Pass<'_>], finished: &str) -> String {
    let mut text = "format = 1\n[run]\nprocedure = \"HW-008\"\nrevision = \"2\"\n".to_owned();
    if !seal.is_empty() {
        writeln!(text, "seal = \"{seal}\"").unwrap();
    }
    text.push_str("date = 2026-10-05\nwelder = \"welder 2\"\nmachine = \"Bay 1 set\"\n");
    if let Some(attempt) = attempt {
        writeln!(text, "attempt = {attempt}").unwrap();
    }
    for (number, amps, part) in passes {
        writeln!(text, "[[pass]]\nnumber = {number}").unwrap();
        for (key, value) in [("amperage", amps), ("start_temperature", part)] {
            if !value.is_empty() {
                writeln!(text, "{key} = \"{value}\"").unwrap();
            }
        }
        text.push_str("filler = { name = \"ER4043\", diameter = \"3/32 in\", lot = \"R-118\" }\n");
    }
    for (when, method, result) in [
        ("after opening", "penetrant", "accepted"),
        ("after root", "visual", "accepted"),
        ("finished weld", "visual", "accepted"),
        ("finished weld", "penetrant", finished),
        ("after dressing", "visual", "accepted"),
    ] {
        writeln!(text, "[[inspection]]\nwhen = \"{when}\"\nmethod = \"{method}\"\nresult = \"{result}\"").unwrap();
    }
    for id in ["agreed", "identity", "opening", "trial-bead", "accepted", "dimensions"] {
        writeln!(text, "[[hold]]\nid = \"hold-{id}\"\nreleased_by = \"shop lead\"\ntime = \"2026-10-05 14:20\"")
            .unwrap();
    }
    text
}

const GOOD: [Pass<'static>; 2] = [(1, "190 A", "52 °C"), (2, "184 A", "66 °C")];

/// What is not inside: subject, verdict, by how much.
fn wrong(value: &Value) -> Vec<[String; 3]> {
    let items = value["runs"][0]["items"].as_array().unwrap();
    let text = |item: &Value, key: &str| item[key].as_str().unwrap_or_default().to_owned();
    let wrong = items.iter().filter(|item| item["verdict"] != "inside");
    wrong.map(|item| ["key", "verdict", "by"].map(|key| text(item, key))).collect()
}

#[test]
fn a_whole_record_is_inside_and_complete() {
    let shop = Shop::new("hw-008");
    let run = shop.write("a.run.toml", &typed(&shop.seal(), Some(1), &GOOD, "accepted"));
    let (code, value) = shop.json(&[&run]);
    assert_eq!((wrong(&value), code), (Vec::new(), 0));
    let text = said(&shop.record(&[&run]));
    assert!(text.contains("Everything is inside and complete."), "{text}");
}

#[test]
fn typed_by_hand_one_value_out_of_range_and_one_missing_are_exactly_these_two() {
    let shop = Shop::new("hw-008");
    // The sheet's range ends at what the set gives, 200 A.
    let passes = [(1, "231 A", "52 °C"), (2, "184 A", "")];
    let run = shop.write("a.run.toml", &typed(&shop.seal(), None, &passes, "accepted"));
    let (code, value) = shop.json(&[&run]);
    let expected = [["pass/1/amperage", "outside", "31 A above"], ["pass/2/temperature", "missing", ""]];
    assert_eq!(wrong(&value), expected);
    assert_eq!(code, 1);
    let text = said(&shop.record(&[&run]));
    for line in ["1 outside, 1 missing, 0 not done", "31 A above", "pass 2, part before it"] {
        assert!(text.contains(line), "{line}\n{text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
}

#[test]
fn each_kind_of_difference_is_told_by_how_much() {
    let shop = Shop::new("hw-008");
    let seal = shop.seal();
    let check = |text: String, expected: &[[&str; 3]]| {
        let run = shop.write("a.run.toml", &text);
        let (code, value) = shop.json(&[&run]);
        assert_eq!(wrong(&value), expected, "{text}");
        assert_eq!(code, 1);
    };
    let good = typed(&seal, None, &GOOD, "accepted");
    // HW-008 stops at 120 °C and waits above 70 °C. Differences are in both systems.
    let hot = [(1, "190 A", "52 °C"), (2, "180 A", "124 °C")];
    let stop = "4 degrees C (7 degrees F) above the limit: work had to stop";
    check(typed(&seal, None, &hot, "accepted"), &[["pass/2/temperature", "outside", stop]]);
    let warm = [(1, "190 A", "52 °C"), (2, "180 A", "80 °C")];
    let wait = "10 degrees C (18 degrees F) too warm: the pass had to wait";
    check(typed(&seal, None, &warm, "accepted"), &[["pass/2/temperature", "outside", wait]]);
    check(good.replacen("ER4043", "ER5356", 1), &[["pass/1/filler", "outside", "another filler metal"]]);
    check(
        good.replacen("ER4043", "ER 4047", 1),
        &[["pass/1/filler", "outside", "another filler metal, one that the sheet lists beside it"]],
    );
    check(good.replacen("3/32 in", "1.6 mm", 1), &[["pass/1/filler", "outside", "another diameter"]]);
    check(
        good.replace("Bay 1 set", "Bay 2 set"),
        &[["run/machine", "outside", "the sheet was made for another machine"]],
    );
    check(good.replacen("released_by = \"shop lead\"\n", "", 1), &[["hold-agreed", "not-done", "nobody released it"]]);
    check(good.replace("welder = \"welder 2\"\n", ""), &[["run/welder", "missing", ""]]);
    check(typed(&seal, None, &GOOD, "rejected"), &[["test/3/result", "rejected", ""]]);
    check(typed(&seal, None, &GOOD, "not done"), &[["test/3/result", "not-done", ""]]);
    check(typed(&seal, None, &GOOD[..1], "accepted"), &[["pass/2", "missing", "nothing recorded"]]);
    let deviation = "[[deviation]]\nwhat = \"cup 6 instead of 7\"\nbecause = \"no access\"\n";
    check(good.clone() + deviation, &[["deviation/1", "outside", "no access"]]);
    let rejected = good.replacen(
        "[[hold]]\nid = \"hold-opening\"\nreleased_by = \"shop lead\"\ntime = \"2026-10-05 14:20\"\n",
        "",
        1,
    );
    let rejected = rejected + "[[deviation]]\nwhat = \"hold-opening was rejected\"\n";
    check(rejected, &[["hold-opening", "rejected", ""]]);
}

#[test]
fn the_range_is_that_of_the_temperature_the_part_had() {
    let shop = Shop::new("hw-008");
    let seal = shop.seal();
    let sheet: Value = serde_json::from_slice(&fs::read(shop.path("sheets/job.json")).unwrap()).unwrap();
    let figures = &sheet["figures"];
    let low = |key: &str| figures["passes"]["rows"][1][key]["low"].as_f64().unwrap();
    let limit = figures["interpass_max"]["value"].as_f64().unwrap();
    // Worked out here from the sheet's own rows: half way between the half-way and the limit temperature.
    let start = 50.0;
    let half = f64::midpoint(start, limit);
    let part = f64::midpoint(half, limit);
    let expected = f64::midpoint(low("amperage_running"), low("amperage_warm"));
    assert!(low("amperage_warm") < low("amperage_running"), "a warm part wants less");
    for (amps, verdict) in [(expected.ceil(), "inside"), (expected.floor() - 1.0, "outside")] {
        let passes = [GOOD[0], (2, &*format!("{amps} A"), &*format!("{part} °C"))];
        let run = shop.write("a.run.toml", &typed(&seal, None, &passes, "accepted"));
        let (_, value) = shop.json(&[&run]);
        let items = value["runs"][0]["items"].as_array().unwrap();
        let item = items.iter().find(|item| item["key"] == "pass/2/amperage").unwrap();
        assert_eq!(item["verdict"], verdict, "{amps} A at {part} °C: {item}");
    }
}

#[test]
fn an_essential_variable_is_named_as_such() {
    let shop = Shop::new("hw-008");
    let spec = fs::read_to_string(shop.path("job.repair.toml")).unwrap();
    assert!(spec.contains("standard = \"ISO 15614-2\""));
    let good = typed(&shop.seal(), None, &GOOD, "accepted");
    let run = shop.write("a.run.toml", &good.replacen("ER4043", "ER4643", 1));
    let text = said(&shop.record(&[&run])).split_whitespace().collect::<Vec<_>>().join(" ");
    let words =
        "essential under ISO 15614-2, by its forerunner EN 288-4: a change of filler metal wants a new test (P)";
    let (_, value) = shop.json(&[&run]);
    let items = value["runs"][0]["items"].as_array().unwrap();
    let item = items.iter().find(|item| item["verdict"] == "outside").unwrap();
    assert_eq!(item["essential"], words);
    assert!(text.contains("essential"), "{text}");
    // Without a standard, and for a variable of which nothing is known, nothing is claimed.
    let run = shop.write("a.run.toml", &good.replacen("190 A", "231 A", 1));
    assert!(!said(&shop.record(&[&run])).contains("essential"));
}

#[test]
fn another_number_or_revision_is_an_error_and_another_seal_is_told() {
    let shop = Shop::new("hw-008");
    let good = typed(&shop.seal(), None, &GOOD, "accepted");
    for (from, to, words) in [
        ("\"HW-008\"", "\"HW-009\"", "the record is of procedure HW-009, the sheet of HW-008"),
        ("revision = \"2\"", "revision = \"1\"", "the record is of revision 1, the sheet of 2"),
    ] {
        let run = shop.write("a.run.toml", &good.replace(from, to));
        let output = shop.record(&[&run]);
        assert!(said(&output).contains(&format!("error[run-other-sheet]: {words}")), "{}", said(&output));
        assert_eq!((code(&output), output.stdout.len()), (1, 0));
    }
    let run = shop.write("a.run.toml", &typed("0000 0000 0000", None, &GOOD, "accepted"));
    let output = shop.record(&[&run]);
    assert!(said(&output).contains("[run-other-seal]: the run belongs to another content of this revision"));
    assert_eq!(code(&output), 1);
    // A record typed by hand often has none: doubt is said, and nothing more.
    let run = shop.write("a.run.toml", &typed("", None, &GOOD, "accepted"));
    let output = shop.record(&[&run]);
    assert!(said(&output).contains("note[run-other-seal]: the record bears no seal"), "{}", said(&output));
    assert_eq!(code(&output), 0);
}

#[test]
fn a_received_sheet_is_worked_out_anew() {
    let shop = Shop::new("hw-008");
    let run = shop.write("a.run.toml", &typed(&shop.seal(), None, &GOOD, "accepted"));
    for sheet in ["sheets/job.html", "sheets/job.json"] {
        let output = interpass(&["record", &shop.name(sheet), &run]);
        assert_eq!(code(&output), 0, "{sheet}: {}", said(&output));
        assert!(said(&output).contains("Everything is inside"), "{}", said(&output));
    }
    // A figure of the spec inside was changed: the page is not whole, and the seal is not that of its figures.
    let html = fs::read_to_string(shop.path("sheets/job.html")).unwrap();
    let (head, spec) = html.split_once("<pre id=\"spec\">").unwrap();
    let at = spec.find("alloy ").unwrap();
    let changed =
        format!("{head}<pre id=\"spec\">{}", &spec[..at]) + &spec[at..].replacen("EN AC-44100", "EN AC-44200", 1);
    assert_ne!(changed, html, "the alloy of HW-008");
    let sheet = shop.write("sheets/changed.html", &changed);
    let text = said(&interpass(&["record", &sheet, &run]));
    assert!(text.contains("was changed after it was written"), "{text}");
    assert!(text.contains("the seal of the sheet is not that of its spec, kit and figures"), "{text}");
    // What is no sheet.
    for (name, bytes) in [("x.html", &b"<html>"[..]), ("x.json", b"{}"), ("y.json", b"[[[[[["), ("y.html", b"\xff\xfe")]
    {
        fs::write(shop.path(name), bytes).unwrap();
        let output = interpass(&["record", &shop.name(name), &run]);
        assert_eq!(code(&output), 2);
        assert!(said(&output).contains("no spec rides in it"), "{}", said(&output));
    }
}

#[test]
fn a_hostile_record_gives_a_clear_finding() {
    let shop = Shop::new("hw-008");
    let good = typed("", None, &GOOD, "accepted");
    let cases: [(&str, Vec<u8>, &str); 7] = [
        ("large", vec![b'#'; 1 << 21], "syntax-too-large"),
        ("deep", format!("{good}x = {}", "[".repeat(60_000)).into_bytes(), "syntax-"),
        ("NaN", good.replace("\"190 A\"", "nan").into_bytes(), "quantity-number"),
        ("NaN in words", good.replace("190 A", "NaN A").into_bytes(), "quantity-"),
        ("a path", good.replace("HW-008", "../../etc/passwd").into_bytes(), "name-identifier"),
        ("no text", vec![0xff, 0xfe, 0x00], "syntax-encoding"),
        ("terminal", good.replace("welder 2", "\\u001b[2J").into_bytes(), "name-text"),
    ];
    for (what, bytes, words) in cases {
        fs::write(shop.path("bad.run.toml"), bytes).unwrap();
        let output = shop.record(&[&shop.name("bad.run.toml"), "--keep"]);
        let text = said(&output);
        assert!(text.contains(words), "{what}: {text}");
        assert!(text.contains("error["), "{what}: {text}");
        assert!(!text.contains('\u{1b}') && !text.contains("fault of the program"), "{what}: {text}");
        assert_eq!(code(&output), 2, "{what}");
        assert!(!shop.path("runs").exists(), "{what}: nothing is kept of it");
    }
    let output = shop.record(&[&shop.name("missing.run.toml")]);
    assert_eq!(code(&output), 2);
    assert!(said(&output).contains("cannot read"));
}

/// The demo runs: current of both passes, and whether dug out, read here with a plain reader of TOML.
fn demo() -> Vec<[(f64, bool); 2]> {
    let mut files: Vec<PathBuf> = fs::read_dir("specs/runs").unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let read = |path: &PathBuf| {
        let table: toml::Table = fs::read_to_string(path).unwrap().parse().unwrap();
        let pass = |number: usize| {
            let pass = &table["pass"][number];
            let amps = pass["amperage"].as_str().unwrap().strip_suffix(" A").unwrap().parse().unwrap();
            let note = pass.get("note").map_or("", |note| note.as_str().unwrap());
            (amps, note.contains("dug out") && !note.contains("nothing") || note.contains("ground out"))
        };
        [pass(0), pass(1)]
    };
    files.iter().filter(|path| path.to_str().unwrap().contains("hw-008")).map(read).collect()
}

/// By definition, without sorting: the middle of all values that have at most half of them below and at most half above.
fn median(values: &[f64]) -> f64 {
    let half = values.len() as f64 / 2.0;
    let middle = values.iter().filter(|value| {
        let below = values.iter().filter(|other| other < value).count() as f64;
        let above = values.iter().filter(|other| other > value).count() as f64;
        below <= half && above <= half
    });
    let middle: Vec<f64> = middle.copied().collect();
    let ends = (middle.iter().copied().reduce(f64::min).unwrap(), middle.iter().copied().reduce(f64::max).unwrap());
    f64::midpoint(ends.0, ends.1)
}

/// The twelve demo records, and where they lie.
fn demo_paths() -> Vec<String> {
    let mut paths: Vec<String> =
        fs::read_dir("specs/runs").unwrap().map(|entry| entry.unwrap().path().to_str().unwrap().to_owned()).collect();
    paths.retain(|path| path.contains("hw-008"));
    paths.sort();
    paths
}

#[test]
fn twelve_runs_come_to_medians_and_spreads_that_another_calculation_finds() {
    let shop = Shop::new("hw-008");
    let before = fs::read(shop.path("job.repair.toml")).unwrap();
    let paths = demo_paths();
    assert_eq!(paths.len(), 12);
    let arguments: Vec<&str> = paths.iter().map(String::as_str).collect();
    let (code, value) = shop.json(&arguments);
    assert_eq!(code, 1, "two runs were outside");
    let passes = value["summary"]["passes"].as_array().unwrap();
    let runs = demo();
    // Python: numpy.percentile of the same numbers with 25 and 75.
    let quartiles = [[186.75, 192.25], [176.5, 186.25]];
    for (at, pass) in passes.iter().enumerate() {
        let amps: Vec<f64> = runs.iter().map(|run| run[at].0).collect();
        let number = |key: &str| pass["amperage"][key].as_f64().unwrap();
        assert_eq!(number("median"), median(&amps));
        assert_eq!([number("lower"), number("upper")], quartiles[at]);
        assert_eq!(number("least"), amps.iter().copied().reduce(f64::min).unwrap());
        assert_eq!(number("most"), amps.iter().copied().reduce(f64::max).unwrap());
        let dug = runs.iter().filter(|run| run[at].1).count() as u64;
        assert_eq!((pass["runs"].as_u64().unwrap(), pass["dug_out"].as_u64().unwrap()), (12, dug));
    }
    assert_eq!(passes[0]["dug_out"], 1);
    assert_eq!(passes[1]["dug_out"], 3);
    // A proposal appears for the first pass, whose runs all lie in the upper half of the range, and none for the second.
    let proposals = value["summary"]["proposals"].as_array().unwrap();
    assert_eq!(proposals.len(), 1, "{proposals:?}");
    assert_eq!((&proposals[0]["pass"], &proposals[0]["kind"]), (&Value::from(1), &Value::from("narrow")));
    for (present, proposed) in
        proposals[0]["present"].as_array().unwrap().iter().zip(proposals[0]["proposed"].as_array().unwrap())
    {
        let ends = |value: &Value| [value[0].as_f64().unwrap(), value[1].as_f64().unwrap()];
        let ([low, high], [from, to]) = (ends(present), ends(proposed));
        assert!(low <= from && to <= high && from > low, "{present} {proposed}");
    }
    // It is said, and never done: spec and sheet are as before.
    let output = shop.record(&arguments);
    assert!(said(&output).contains("Nothing is changed by this."));
    assert_eq!(fs::read(shop.path("job.repair.toml")).unwrap(), before);
    assert!(said(&output).lines().all(|line| line.chars().count() <= 80), "{}", said(&output));
    // One run alone on request.
    let (_, value) = shop.json(&[arguments[0], "--summary"]);
    assert_eq!(value["summary"]["runs"].as_array().unwrap().len(), 1);
    assert_eq!(value["summary"]["proposals"], Value::Array(Vec::new()), "one run proposes nothing");
}

#[test]
fn the_summary_has_a_chart_in_a_page_of_its_own() {
    let shop = Shop::new("hw-008");
    let paths = demo_paths();
    let out = shop.name("out");
    let arguments: Vec<&str> = paths.iter().map(String::as_str).chain(["--as", "md,html,json", "--to", &out]).collect();
    assert_eq!(code(&shop.record(&arguments)), 1);
    let html = fs::read_to_string(shop.path("out/job.runs.html")).unwrap();
    let count = |what: &str| html.matches(what).count();
    // 24 readings: 2 outside, 4 dug out.
    assert_eq!((count("class=\"in\""), count("class=\"out\""), count("class=\"dug\"")), (22, 2, 4));
    assert_eq!((count("class=\"band\""), count("class=\"median\"")), (2, 2));
    for never in ["<script", "http://", "https://", "<img", "<link", "url(", "NaN"] {
        assert!(!html.contains(never), "{never}");
    }
    assert!(html.contains("default-src 'none'; style-src 'sha256-"));
    let markdown = fs::read_to_string(shop.path("out/job.runs.md")).unwrap();
    assert!(markdown.contains("| 2, pad | 12 | 182.5 A |"), "{markdown}");
    // Several faces want a folder.
    let output = shop.record(&[&paths[0], "--as", "md,html"]);
    assert_eq!(code(&output), 2);
}

#[test]
fn texts_of_a_record_steer_neither_page_nor_markdown() {
    let shop = Shop::new("hw-008");
    let text = typed("", None, &GOOD, "accepted").replace("welder 2", "<b>x</b> | y \\\" [z](http://a)");
    let run = shop.write("a.run.toml", &text);
    let face = |face: &str| String::from_utf8(shop.record(&[&run, "--as", face]).stdout).unwrap();
    assert!(face("html").contains("&lt;b&gt;x") && !face("html").contains("<b>"));
    assert!(face("md").contains("\\<b>") || face("md").contains("\\<b\\>"), "{}", face("md"));
}

#[test]
fn records_are_kept_beside_the_spec_and_never_overwritten() {
    let shop = Shop::new("hw-008");
    let text = typed("", None, &GOOD, "accepted");
    let run = shop.write("from-the-page.run.toml", &text);
    let first = shop.record(&[&run, "--keep"]);
    assert!(
        said(&first).contains("kept as ") && shop.path("runs/job.2026-10-05-1.run.toml").is_file(),
        "{}",
        said(&first)
    );
    assert!(said(&shop.record(&[&run, "--keep"])).contains("is kept already"));
    let other = shop.write("from-the-page.run.toml", &text.replace("184 A", "185 A"));
    shop.record(&[&other, "--keep"]);
    let kept = |number: u8| fs::read_to_string(shop.path(&format!("runs/job.2026-10-05-{number}.run.toml"))).unwrap();
    assert_eq!((kept(1), kept(2)), (text.clone(), text.replace("184 A", "185 A")));
    assert_eq!(fs::read_dir(shop.path("runs")).unwrap().count(), 2);
}

#[test]
fn attempts_are_counted_across_kept_runs() {
    let shop = Shop::new("hw-008");
    let spec = shop.name("job.repair.toml");
    let sheets = shop.name("sheets");
    let write = || {
        let output = interpass(&["write", &spec, "--to", &sheets, "--as", "md,json"]);
        (code(&output), fs::read_to_string(Path::new(&sheets).join("job.md")).unwrap(), said(&output))
    };
    let keep = |text: String| {
        let run = shop.write("new.txt.toml", &text);
        assert!(said(&shop.record(&[&run, "--keep"])).contains("kept as"));
    };
    let (status, first, _) = write();
    assert_eq!(status, 0);
    // An accepted repair is no repeat, however often it is run.
    keep(typed("", None, &GOOD, "accepted"));
    keep(typed("", None, &[GOOD[0], (2, "186 A", "60 °C")], "accepted"));
    assert_eq!(write().1, first);
    // The first one failed: the second wants a review.
    keep(typed("", Some(1), &GOOD, "rejected"));
    let (status, second, _) = write();
    assert_eq!(status, 0);
    assert!(
        second.contains("hold-review") && second.contains("attempt 2 (counted from runs/job.2026-10-05-3.run.toml)")
    );
    let check = said(&interpass(&["check", &spec]));
    assert!(check.contains("warning[gate-attempt]: the second attempt at this place wants a review"), "{check}");
    assert!(check.contains("counted from runs/job.2026-10-05-3.run.toml: 1 repair failed"), "{check}");
    // So did the second: the third is refused without an approval, and says where that was counted.
    keep(typed("", Some(2), &GOOD, "rejected"));
    let (status, third, told) = write();
    assert_eq!(status, 1);
    assert!(told.contains("error[gate-attempt]: attempt 3 at this place has no approval"), "{told}");
    let from = "attempt 3 (counted from runs/job.2026-10-05-3.run.toml and runs/job.2026-10-05-4.run.toml)";
    assert!(third.contains(from), "{third}");
    assert!(third.contains("approval of the engineer who answers for it"), "{third}");
    // With the approval there is a sheet again, and its hold names the attempt.
    let text = fs::read_to_string(&spec).unwrap();
    fs::write(&spec, text + "\n[approval]\nby = \"class surveyor\"\nreference = \"S-17\"\n").unwrap();
    let (status, approved, told) = write();
    assert_eq!(status, 0, "{told}");
    assert!(approved.contains("hold-approval") && approved.contains("Attempt 3, approved by class surveyor, S-17"));
    // A spec that states more than the runs tell stands.
    let text = fs::read_to_string(&spec).unwrap().replacen("attempt  = 1", "attempt  = 5", 1);
    fs::write(&spec, text).unwrap();
    assert!(write().1.contains("Attempt 5, approved by"));
}

#[test]
fn a_kept_record_that_cannot_be_read_is_told() {
    let shop = Shop::new("hw-008");
    fs::create_dir(shop.path("runs")).unwrap();
    shop.write("runs/job.2026-10-05-1.run.toml", "format = 1\n[run\n");
    shop.write("runs/other.2026-10-05-1.run.toml", "format = 1\n[run\n");
    let text = said(&interpass(&["check", &shop.name("job.repair.toml")]));
    let line = "warning[run-unread]: the run record runs/job.2026-10-05-1.run.toml cannot be read";
    assert_eq!(text.matches("run-unread]").count(), 1, "{text}");
    assert!(text.contains(line), "{text}");
}

#[test]
fn a_later_attempt_is_set_against_the_holds_of_its_sheet() {
    let shop = Shop::new("hw-008");
    let run = shop.write("a.run.toml", &typed("", Some(2), &GOOD, "accepted"));
    let (_, value) = shop.json(&[&run]);
    assert_eq!(wrong(&value), [["hold-review", "not-done", "nobody released it"]]);
    let run = shop.write("a.run.toml", &typed("", Some(3), &GOOD, "accepted"));
    let (_, value) = shop.json(&[&run]);
    let refused = "the sheet refuses this repair: no pass of it was allowed";
    assert_eq!(wrong(&value), [["run/decision", "outside", refused]]);
}

#[test]
fn page_and_record_draw_the_line_at_the_same_place() {
    // HW-012: the page waits above 60 °C, or 140 °F, and stops above 100 °C, or 210 °F (rounded down).
    let shop = Shop::new("hw-012");
    let said_of = |part: &str| {
        let text = format!(
            "format = 1\n[run]\nprocedure = \"HW-012\"\nrevision = \"B\"\n[[pass]]\nnumber = 1\nstart_temperature = \"{part}\"\n"
        );
        let run = shop.write("a.run.toml", &text);
        let (_, value) = shop.json(&[&run]);
        let items = value["runs"][0]["items"].as_array().unwrap();
        let item = items.iter().find(|item| item["key"] == "pass/1/temperature").unwrap();
        (item["verdict"].as_str().unwrap().to_owned(), item["by"].as_str().unwrap().contains("work had to stop"))
    };
    for (part, inside, stop) in [
        ("60 °C", true, false),
        ("60.5 °C", false, false),
        ("140 °F", true, false),
        ("141 °F", false, false),
        ("100 °C", false, false),
        ("101 °C", false, true),
        ("210 °F", false, false),
        ("211 °F", false, true),
    ] {
        let expected = if inside { "inside" } else { "outside" };
        assert_eq!(said_of(part), (expected.to_owned(), stop), "{part}");
    }
}
