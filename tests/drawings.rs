//! The drawings of a sheet, read back from their SVG: no label meets another one or leaves the drawing, every number
//! stands elsewhere too, and the same spec gives the same bytes.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::engine::{self, FigureName, Value};
use interpass::kit::Kit;
use interpass::rules;
use interpass::sheet::{self, Block, Drawing, Sheet};
use interpass::spec::{self, Spec};
use interpass::units::System;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn files(folder: &str, end: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.to_string_lossy().ends_with(end));
    files.sort();
    files
}

fn read(text: &str) -> Spec {
    let (spec, findings) = spec::read(text);
    spec.unwrap_or_else(|| panic!("{findings:?}\n{text}"))
}

fn kits() -> Vec<Option<Kit>> {
    let kits = files("specs/kits", ".kit.toml");
    let kits = kits.iter().map(|path| interpass::kit::read(&std::fs::read_to_string(path).unwrap()).0);
    std::iter::once(None).chain(kits.map(|kit| Some(kit.unwrap()))).collect()
}

/// The sheet of a spec, the given system of units first.
fn sheet_of(spec: &Spec, kit: Option<&Kit>, system: System) -> Sheet {
    let (mut job, _) = engine::job::check(spec, kit);
    job.system = system;
    let worked = engine::work_out(&job);
    let judgement = rules::judge(&job, &worked);
    sheet::build(&job, &worked, &judgement, "0123456789abcdef")
}

/// All sheets of the demo specs, with every kit, in both systems.
fn demo(look: &mut dyn FnMut(&str, &Sheet)) {
    let kits = kits();
    for path in files("specs", ".repair.toml") {
        let spec = read(&std::fs::read_to_string(&path).unwrap());
        for kit in &kits {
            for system in [System::Metric, System::Inch] {
                look(&path.file_name().unwrap().to_string_lossy(), &sheet_of(&spec, kit.as_ref(), system));
            }
        }
    }
}

/// Specs of many kinds: damage, joint, wall, access, with and without sizes.
fn grid(look: &mut dyn FnMut(&str, &Sheet)) {
    let kits = kits();
    let damages = [
        "kind = \"crack\"\nlength = \"45 mm\"\nthrough = true\ntips = 1",
        "kind = \"crack\"\nlength = \"8 mm\"\nthrough = true\ntips = 2\nedge_distance = \"12 mm\"",
        "kind = \"crack\"\nlength = \"600 mm\"\nthrough = true\ntips = 0",
        "kind = \"crack\"\nlength = \"30 mm\"\ndepth = \"0.8 mm\"\nthrough = false",
        "kind = \"crack\"",
        "kind = \"failed weld\"\nlength = \"80 mm\"",
        "kind = \"broken lug\"\nlength = \"38 mm\"\nthrough = true",
        "kind = \"missing piece\"\nlength = \"160 mm\"\nthrough = true",
        "kind = \"porosity\"\nlength = \"12 mm\"\ndepth = \"4 mm\"",
        "kind = \"hole\"\ndiameter = \"6 mm\"\nthrough = true",
        "kind = \"hole\"\ndiameter = \"40 mm\"\nthrough = true",
        "kind = \"stripped thread\"\nthread = \"M8\"\ndepth = \"9 mm\"\nthrough = false",
        "kind = \"worn surface\"\nlength = \"70 mm\"\nwidth = \"45 mm\"\nheight = \"3 mm\"",
        "kind = \"worn surface\"\ndiameter = \"62 mm\"\nwidth = \"14 mm\"\nheight = \"0.4 mm\"",
        "kind = \"worn surface\"\nlength = \"400 mm\"\nwidth = \"6 mm\"\nheight = \"22 mm\"",
        "kind = \"corrosion pitting\"\nlength = \"70 mm\"\ndepth = \"1 mm\"",
    ];
    let joints = ["groove", "butt", "fillet", "lap", "corner", "edge", "pad", "plug"];
    let walls = ["1 mm", "2.5 mm", "4 mm", "8 mm", "1/2 in", "25 mm", "40 mm"];
    let mut number = 0_usize;
    for damage in damages {
        for joint in joints {
            for wall in walls {
                number += 1;
                let access = if number % 5 < 3 { "both sides" } else { "one side" };
                // Metals with their own limits and a keep that is named at length, in turn.
                let metal = [
                    "alloy = \"A356.0\"\ntemper = \"T6\"\nform = \"sand casting\"",
                    "alloy = \"6061\"\ntemper = \"T6\"",
                    "alloy = \"5083\"\ntemper = \"H321\"",
                ][number % 3];
                let keep = [
                    "",
                    "keep = [{ feature = \"Hauptlagerbohrungsmittelpunktabstand mit Passung\", distance = \"31 mm\" }]\n",
                    "keep = [{ feature = \"bolt hole\", distance = \"9 mm\" }]\n",
                ][number / 3 % 3];
                let cold = ["", "start_temperature = \"5 °C\"\n", "start_temperature = \"60 °C\"\n"][number / 2 % 3];
                let text = format!(
                    "format = 1\n[procedure]\nnumber = \"T-1\"\ntitle = \"t\"\nrevision = \"A\"\n[part]\n{keep}[metal]\n{metal}\n\
                     thickness = \"{wall}\"\n[damage]\n{damage}\n[weld]\njoint = \"{joint}\"\naccess = \"{access}\"\n{cold}"
                );
                let spec = read(&text);
                let system = if number.is_multiple_of(2) { System::Metric } else { System::Inch };
                let kit = kits[number % kits.len()].as_ref();
                let name = format!("{damage} / {joint} / {wall} / {access} / {metal}").replace('\n', ", ");
                look(&name, &sheet_of(&spec, kit, system));
            }
        }
    }
}

/// A label as a reader of the SVG sees it.
#[derive(Debug)]
struct Text {
    words: String,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

/// The value of an attribute.
fn attribute<'t>(tag: &'t str, name: &str) -> Option<&'t str> {
    let start = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    Some(&tag[start..start + tag[start..].find('"')?])
}

fn plain(text: &str) -> String {
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
}

/// The labels of a drawing: boxes from the size of type and the number of characters, at 0.56 em each, as the widest
/// usual sans-serif faces have it on average; bold type a tenth wider.
fn labels(svg: &str) -> Vec<Text> {
    let mut labels = Vec::new();
    for part in svg.split("<text").skip(1) {
        let (tag, rest) = part.split_once('>').unwrap();
        let words = plain(&rest[..rest.find("</text>").expect("a label is closed")]);
        let number = |name: &str| attribute(tag, name).unwrap().parse::<f64>().unwrap();
        let (x, y, size) = (number("x"), number("y"), number("font-size"));
        assert!(size >= 3.6, "{words}: type of {size} mm is too small to read");
        let bold = if tag.contains("bold") { 1.1 } else { 1.0 };
        let wide = words.chars().count() as f64 * 0.56 * size * bold;
        labels.push(Text {
            words,
            left: x - wide / 2.0,
            right: x + wide / 2.0,
            top: y - 0.75 * size,
            bottom: y + 0.21 * size,
        });
    }
    labels
}

fn view(svg: &str) -> [f64; 4] {
    let numbers: Vec<f64> =
        attribute(svg, "viewBox").unwrap().split(' ').map(|number| number.parse().unwrap()).collect();
    numbers.try_into().unwrap()
}

/// Measures a drawing; what is wrong with it.
fn faults(drawing: &Drawing) -> Vec<String> {
    let svg = drawing.inline();
    let mut faults = Vec::new();
    let [left, top, wide, high] = view(&svg);
    if wide != 120.0 || !(12.0..=190.0).contains(&high) {
        faults.push(format!("{wide} by {high} mm"));
    }
    let labels = labels(&svg);
    for (number, one) in labels.iter().enumerate() {
        if one.left < left || one.right > left + wide || one.top < top || one.bottom > top + high {
            faults.push(format!("{:?} leaves the drawing", one.words));
        }
        for other in &labels[number + 1..] {
            if one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom {
                faults.push(format!("{:?} meets {:?}", one.words, other.words));
            }
        }
    }
    for bad in ["NaN", "inf", "width=\"-", "height=\"-", "[d", "[any", "<script", "href", "http"] {
        if svg.contains(bad) {
            faults.push(format!("it holds {bad}"));
        }
    }
    for path in svg.split(" d=\"").skip(1).map(|part| part.split('"').next().unwrap()) {
        for number in path.split(|c: char| c.is_ascii_alphabetic() || c == ' ').filter(|text| !text.is_empty()) {
            let value: f64 = number.parse().unwrap_or_else(|_| panic!("{number} is no number"));
            let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
            // Hatching and lines stay on the paper too.
            if decimals > 2 || !(-200.0..=400.0).contains(&value) {
                faults.push(format!("{number} in a path"));
            }
        }
    }
    for rect in svg.split("<rect").skip(1).map(|part| part.split('>').next().unwrap()) {
        let number = |name: &str| attribute(rect, name).unwrap().parse::<f64>().unwrap();
        if number("width") <= 0.0 || number("height") <= 0.0 {
            faults.push("an empty ring".to_owned());
        }
    }
    if svg.len() > 40_000 {
        faults.push(format!("{} bytes", svg.len()));
    }
    faults
}

/// Gives sheets to look at, each with a name.
type Walk = fn(&mut dyn FnMut(&str, &Sheet));

/// What all sheets must hold to; counts drawings by their id.
fn check_all(walk: Walk) -> BTreeMap<String, usize> {
    let (mut all, mut seen) = (Vec::new(), BTreeMap::new());
    walk(&mut |name, sheet| {
        for drawing in sheet.drawings() {
            *seen.entry(drawing.id.clone()).or_default() += 1;
            all.extend(faults(drawing).into_iter().map(|fault| format!("{name}: {}: {fault}", drawing.id)));
        }
    });
    assert!(all.is_empty(), "{} faults, first: {:#?}", all.len(), &all[..all.len().min(12)]);
    seen
}

#[test]
fn no_label_of_a_demo_sheet_meets_another_one_or_leaves_its_drawing() {
    let seen = check_all(demo);
    assert_eq!(seen.keys().collect::<Vec<_>>(), ["d1", "d2", "d3", "d4", "d5", "d6", "d7"]);
}

#[test]
fn no_label_of_any_kind_of_job_meets_another_one_or_leaves_its_drawing() {
    let seen = check_all(grid);
    assert_eq!(seen.len(), 7);
    assert!(seen.values().all(|count| *count > 250), "{seen:?}");
}

/// The numbers of a text, with the units right behind them.
fn numbers(text: &str) -> Vec<String> {
    const UNITS: [&str; 11] = ["mm", "in", "°C", "°F", "A", "s", "ms", "Hz", "deg", "% EN", "% EP"];
    let words: Vec<&str> = text.split_whitespace().collect();
    let pairs = words.iter().zip(words.iter().skip(1).chain(&[""]));
    let found = pairs.filter(|(word, _)| word.parse::<f64>().is_ok());
    let unit = |behind: &str| UNITS.iter().find(|unit| unit.split(' ').next() == Some(behind));
    found.filter_map(|(word, behind)| Some(format!("{word} {}", unit(behind)?.split(' ').next()?))).collect()
}

/// All texts of a sheet but for those of its drawings.
fn words_of(sheet: &Sheet) -> String {
    let mut sheet = sheet.clone();
    sheet.sections.iter_mut().for_each(|section| section.blocks.retain(|block| !matches!(block, Block::Drawing(_))));
    serde_json::to_string(&sheet.sections).unwrap()
}

/// Whether a number with its unit stands in a text, and not as the end of a longer number.
fn says(text: &str, number: &str) -> bool {
    let whole = |at: usize| !text[..at].ends_with(|c: char| c.is_ascii_digit() || c == '.');
    let ended = |at: usize| !text[at + number.len()..].starts_with(char::is_alphanumeric);
    text.match_indices(number).any(|(at, _)| whole(at) && ended(at))
}

#[test]
fn a_drawing_never_holds_the_only_copy_of_a_number() {
    let (mut checked, mut alone) = (0, BTreeSet::new());
    demo(&mut |name, sheet| {
        let words = words_of(sheet);
        for drawing in sheet.drawings() {
            // Axes and rings are positions, and a scale is of the drawing.
            let labels = labels(&drawing.inline());
            let labels = labels.iter().filter(|label| label.words.contains(char::is_alphabetic));
            for label in labels.filter(|label| !label.words.starts_with("Scale")) {
                for number in numbers(&label.words) {
                    if !says(&drawing.description, &number) {
                        alone.insert((name.to_owned(), drawing.id.clone(), format!("{}: not described", label.words)));
                    }
                    // The lower end of a range stands without its unit.
                    let lower = number.split_once(' ').map(|(value, _)| format!("{value} to"));
                    let in_range = lower.is_some_and(|lower| says(&words, &lower));
                    if !says(&words, &number) && !in_range && !says(&drawing.title, &number) {
                        alone.insert((name.to_owned(), drawing.id.clone(), label.words.clone()));
                    }
                    checked += 1;
                }
            }
        }
    });
    assert!(checked > 2000, "{checked}");
    assert!(alone.is_empty(), "{alone:#?}");
}

#[test]
fn every_drawing_says_what_it_is_and_its_ids_are_its_own() {
    demo(&mut |name, sheet| {
        let mut ids = BTreeSet::new();
        for drawing in sheet.drawings() {
            for svg in [drawing.inline(), drawing.file()] {
                assert!(svg.contains("role=\"img\"") && !svg.contains("style=\"font"), "{name}");
                let by = attribute(&svg, "aria-labelledby").unwrap();
                let texts = by.split(' ').map(|id| {
                    let start =
                        svg.find(&format!(" id=\"{id}\">")).unwrap_or_else(|| panic!("{name}: {id}")) + id.len() + 7;
                    plain(&svg[start..start + svg[start..].find("</").unwrap()])
                });
                assert_eq!(texts.collect::<Vec<_>>(), [drawing.title.clone(), drawing.description.clone()], "{name}");
            }
            assert!(
                drawing.description.len() > drawing.title.len() && drawing.title.len() < 100,
                "{name}: {}",
                drawing.title
            );
            assert!(!drawing.description.contains(['[', ']', '{', '}']), "{name}: {}", drawing.description);
            for part in drawing.inline().split(" id=\"").skip(1) {
                assert!(ids.insert(part.split('"').next().unwrap().to_owned()), "{name}: an id twice");
            }
        }
    });
}

#[test]
fn a_file_has_its_own_colours_and_a_part_of_a_page_takes_those_of_the_page() {
    let spec = read(&std::fs::read_to_string("specs/hw-012.repair.toml").unwrap());
    for drawing in sheet_of(&spec, None, System::Metric).drawings() {
        let (file, part) = (drawing.file(), drawing.inline());
        assert!(
            file.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"120mm\"") && file.ends_with("</svg>\n")
        );
        assert!(!file.contains("currentColor") && !file.contains("var(") && file.contains("fill=\"#fff\""));
        assert!(!part.contains("#000") && !part.contains("xmlns") && part.contains("currentColor"));
        // Nothing but shades of one ink: meaning lies in lines and words.
        assert!(
            part.split("fill=\"")
                .skip(1)
                .all(|fill| ["none", "currentColor", "var(--bg,#fff)"].contains(&fill.split('"').next().unwrap()))
        );
    }
}

/// The middle of the label with these words.
fn at(drawing: &Drawing, words: &str) -> (f64, f64) {
    let labels = labels(&drawing.inline());
    let label = labels.iter().find(|label| label.words == words).unwrap_or_else(|| panic!("{words}: {labels:?}"));
    (f64::midpoint(label.left, label.right), f64::midpoint(label.top, label.bottom))
}

fn drawing<'s>(sheet: &'s Sheet, id: &str) -> Option<&'s Drawing> {
    sheet.drawings().find(|drawing| drawing.id == id)
}

#[test]
fn the_bracket_is_drawn_from_its_figures() {
    let spec = read(&std::fs::read_to_string("specs/hw-012.repair.toml").unwrap());
    let sheet = sheet_of(&spec, None, System::Metric);
    let opening = drawing(&sheet, "d1").unwrap();
    // 8 mm of wall at 4:1 are 32 mm on paper: its faces, 30 mm to either side of the middle, lie that far apart.
    assert!(labels(&opening.inline()).iter().any(|label| label.words == "Scale 4:1"));
    assert!(opening.body.contains("M30 0L") && opening.body.contains("M30 32L"), "{}", opening.body);
    // The U groove is 10.1 mm wide by geometry, worked out by hand: 2 * (3 / cos 35 + (5 - 3) * tan 35) = 10.13 mm.
    assert!(opening.body.contains("L39.75 0"), "{}", opening.body);
    for words in ["8 mm", "5 mm", "3 mm left", "70 deg", "10 mm", "side 1", "side 2", "1"] {
        at(opening, words);
    }
    // Side 1 is over side 2, and its first pass under its others.
    assert!(at(opening, "side 1").1 < at(opening, "side 2").1);
    assert!(at(opening, "1").1 > at(opening, "2 to 3").1);
    // 100 Hz at 70 %: 10 ms, of which 7 negative: published arithmetic, and to scale.
    let wave = drawing(&sheet, "d3").unwrap();
    assert_eq!(wave.title, "AC: 7 ms negative, 3 ms positive, 10 ms a cycle");
    let (minus, plus, both) = (at(wave, "7 ms"), at(wave, "3 ms"), at(wave, "10 ms at 100 Hz"));
    assert!((plus.0 - minus.0 - 25.0).abs() < 0.1 && (both.0 - 39.0).abs() < 0.1, "{minus:?} {plus:?} {both:?}");
    let plan = drawing(&sheet, "d2").unwrap();
    assert!(
        plan.description.contains("starts at a free edge")
            && plan.description.contains("bolt hole begins 40 mm (1.57 in)"),
        "{}",
        plan.description
    );
}

#[test]
fn what_is_not_known_is_not_drawn() {
    let text = |metal: &str, damage: &str| {
        format!(
            "format = 1\n[procedure]\nnumber = \"T-1\"\ntitle = \"t\"\nrevision = \"A\"\n[metal]\n{metal}\n[damage]\nkind = \"crack\"\n{damage}\n"
        )
    };
    let ids = |text: &str| -> Vec<String> {
        sheet_of(&read(text), None, System::Metric).drawings().map(|drawing| drawing.id.clone()).collect()
    };
    // No length: no plan. The groove can still be drawn.
    assert_eq!(
        ids(&text("alloy = \"A356.0\"\nthickness = \"8 mm\"", "through = true")),
        ["d1", "d3", "d5", "d7", "d6", "d4"]
    );
    // No thickness: nothing that hangs on it.
    assert_eq!(ids(&text("alloy = \"A356.0\"", "length = \"40 mm\"")), ["d2"]);
    for path in files("specs/refused", ".repair.toml") {
        let sheet = sheet_of(&read(&std::fs::read_to_string(&path).unwrap()), None, System::Metric);
        assert_eq!(sheet.drawings().count(), 0, "{}", path.display());
    }
}

#[test]
fn direct_current_is_a_flat_line() {
    // Aluminium runs on AC; another metal's current is put in its place.
    let spec = read(&std::fs::read_to_string("specs/hw-012.repair.toml").unwrap());
    let (job, _) = engine::job::check(&spec, None);
    let mut worked = engine::work_out(&job);
    let judgement = rules::judge(&job, &worked);
    for polarity in ["DCEN", "DCEP"] {
        worked.figures.get_mut(&FigureName::Polarity).unwrap().value = Value::Word(polarity.to_owned());
        let sheet = sheet::build(&job, &worked, &judgement, "0123456789abcdef");
        let wave = drawing(&sheet, "d3").unwrap();
        assert!(wave.title.starts_with(polarity) && !wave.inline().contains(" ms"), "{}", wave.title);
        assert!(faults(wave).is_empty(), "{:?}", faults(wave));
    }
}

#[test]
fn the_same_spec_gives_the_same_bytes() {
    let all = || {
        let mut bytes = Vec::new();
        let spec = read(&std::fs::read_to_string("specs/hw-010.repair.toml").unwrap());
        let sheet = sheet_of(&spec, None, System::Inch);
        sheet.drawings().for_each(|drawing| bytes.extend(drawing.file().into_bytes()));
        bytes
    };
    assert!(!all().is_empty() && all() == all());
}

#[test]
fn no_words_of_the_drawings_are_left_over() {
    let mut code = String::new();
    for path in files("src/sheet/drawing", ".rs") {
        code.push_str(&std::fs::read_to_string(path).unwrap());
    }
    for key in interpass::sheet::words::english().keys("drawings") {
        let key = key.split_once('/').unwrap().1;
        // What is said of one metal otherwise is asked for by its plain key.
        let key = key.split('@').next().unwrap();
        // What is said of a mark or of a current is asked for by its own key and an ending.
        let asked = [key, key.trim_end_matches("-told"), key.trim_end_matches("-does")];
        assert!(asked.iter().any(|key| code.contains(&format!("\"{key}\""))), "nobody asks for {key}");
    }
}

#[test]
fn files_lie_beside_the_markdown_and_the_markdown_names_them() {
    let folder = tempfile::tempdir().unwrap();
    let specs = folder.path().join("in");
    std::fs::create_dir(&specs).unwrap();
    let text = std::fs::read_to_string("specs/hw-012.repair.toml").unwrap();
    std::fs::write(specs.join("ear (left) 2.repair.toml"), &text).unwrap();
    let run = |faces: &str, more: &[&str]| {
        let out = std::process::Command::new(env!("CARGO_BIN_EXE_interpass"))
            .args(["write", "--as", faces, "--to"])
            .arg(folder.path().join("out"))
            .args(more)
            .arg(&specs)
            .output()
            .unwrap();
        (out.status.code(), String::from_utf8_lossy(&out.stdout).into_owned())
    };
    assert_eq!(run("html,json", &[]).0, Some(0));
    let names = || -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(folder.path().join("out"))
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    };
    assert_eq!(names(), ["ear (left) 2.html", "ear (left) 2.json"], "no drawing without the Markdown that names it");
    assert_eq!(run("md", &[]).0, Some(0));
    assert_eq!(names().iter().filter(|name| name.ends_with(".svg")).count(), 7);
    let markdown = std::fs::read_to_string(folder.path().join("out/ear (left) 2.md")).unwrap();
    for number in 1..=7 {
        assert!(markdown.contains(&format!("](ear%20%28left%29%202-d{number}.svg)")), "{number}");
        assert!(folder.path().join(format!("out/ear (left) 2-d{number}.svg")).is_file());
    }
    // Current; then one drawing is changed by hand, and is told and mended.
    assert_eq!(run("md", &["--stale"]), (Some(0), String::new()));
    let third = folder.path().join("out/ear (left) 2-d3.svg");
    std::fs::write(&third, "<svg/>").unwrap();
    let (code, told) = run("md", &["--stale"]);
    assert!(code == Some(1) && told.contains("ear (left) 2-d3.svg"), "{told}");
    run("md", &[]);
    assert!(std::fs::read_to_string(third).unwrap().starts_with("<svg xmlns"));
    // Standard input has no file beside it to name.
    let piped = std::process::Command::new(env!("CARGO_BIN_EXE_interpass"))
        .args(["write", "-", "--as", "md"])
        .stdin(std::fs::File::open("specs/hw-012.repair.toml").unwrap())
        .output()
        .unwrap();
    let piped = String::from_utf8_lossy(&piped.stdout).into_owned();
    assert!(piped.contains("| Groove |") || piped.contains("| Depth |"), "{piped}");
    assert!(!piped.contains("]("), "no picture that is not there");
}

#[test]
fn json_lists_the_drawings_and_the_page_holds_them_at_their_places() {
    let folder = tempfile::tempdir().unwrap();
    let out = std::process::Command::new(env!("CARGO_BIN_EXE_interpass"))
        .args(["write", "specs/hw-012.repair.toml", "--as", "html,json", "--to"])
        .arg(folder.path())
        .output()
        .unwrap();
    assert!(out.status.success());
    let json: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(folder.path().join("hw-012.json")).unwrap()).unwrap();
    let listed = json["drawings"].as_array().unwrap();
    assert_eq!(
        listed.iter().map(|one| one["id"].as_str().unwrap()).collect::<Vec<_>>(),
        ["d2", "d1", "d3", "d5", "d7", "d6", "d4"]
    );
    assert!(listed.iter().all(|one| one["title"].is_string() && one["description"].as_str().unwrap().len() > 40));
    let page = std::fs::read_to_string(folder.path().join("hw-012.html")).unwrap();
    let place = |words: &str| page.find(words).unwrap_or_else(|| panic!("{words}"));
    let drawn = |id: &str| place(&format!("aria-labelledby=\"{id}-title"));
    let order = [
        place("id=\"section-1\""),
        drawn("d2"),
        place("id=\"section-2\""),
        place("class=\"t-groove"),
        drawn("d1"),
        place("id=\"section-5\""),
        drawn("d3"),
        drawn("d5"),
        drawn("d7"),
        place("class=\"t-settings"),
        place("id=\"section-6\""),
        drawn("d6"),
        drawn("d4"),
        place("class=\"t-passes"),
    ];
    assert!(order.is_sorted(), "{order:?}");
}
