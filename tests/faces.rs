//! The faces of a sheet, read back: Markdown, HTML and JSON carry the values of the model, and hostile text stays text.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

#[path = "faces/read_html.rs"]
mod read_html;
#[path = "faces/read_markdown.rs"]
mod read_markdown;
#[path = "faces/sample.rs"]
mod sample;

use interpass::faces::{self, Answer, Extra, Press, json, terminal, why};
use interpass::findings::{File, Sources};
use interpass::sheet::{Block, Cell, Sheet};
use interpass::{engine, kit, rules, spec};
use proptest::prelude::*;
use read_html::Element;
use read_markdown::{Found, plain, with_comrak, with_pulldown};
use serde_json::Value;

fn markdown(sheet: &Sheet) -> String {
    let mut out = b"kept".to_vec();
    faces::markdown(Press::shared().unwrap(), sheet, &mut out).unwrap();
    String::from_utf8(out).unwrap().strip_prefix("kept").unwrap().to_owned()
}

fn html(sheet: &Sheet, extra: &Extra<'_>) -> String {
    let mut out = Vec::new();
    faces::html(Press::shared().unwrap(), sheet, extra, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

const EXTRA: Extra<'_> = Extra { spec: "format = 1\n", kit: None, json: "{}" };

/// What a cell says, with its marks; the back-quotes round ids are marks of a face, not text.
fn said(cell: &Cell) -> String {
    let cites = cell.cites.iter().map(|key| format!("[^{key}]"));
    let parts = [cell.text.replace('`', ""), cell.basis.clone()].into_iter().chain(cites);
    plain(&parts.collect::<Vec<_>>().join(" "))
}

/// What a reader of the Markdown of a sheet must find: all of the model and nothing else.
fn expected(sheet: &Sheet) -> Found {
    let mut found = Found::default();
    found.headings.push(plain(&format!("{} rev {}: {}", sheet.number, sheet.revision, sheet.title)));
    found.paragraphs.push(plain(&format!("{}. {}", sheet.banner, sheet.decision_text)));
    for section in &sheet.sections {
        let digit = if section.id == "standing" { "" } else { &section.id };
        found.headings.push(plain(&format!("{digit} {}", section.title)));
        if !section.not_required.is_empty() {
            found.paragraphs.push(plain(&section.not_required));
        }
        let mut before = section.title.trim();
        for block in &section.blocks {
            // A caption that only repeats what stands right before it is not said twice.
            let told = matches!(block, Block::Table(table) if table.caption.trim() == before);
            expect(block, section.id == "standing", told, &mut found);
            before = match block {
                Block::Table(_) if told => before,
                Block::Text { lead, .. } => lead.trim(),
                _ => "",
            };
        }
    }
    found.notes = sheet.sources.iter().map(|source| (source.key.clone(), plain(&source.text))).collect();
    found
}

fn expect(block: &Block, standing: bool, told: bool, found: &mut Found) {
    match block {
        Block::Text { text, lead } => found.paragraphs.push(plain(&format!("{lead} {}", said(text)))),
        Block::Prose { .. } | Block::Drawing(_) => {}
        Block::Table(table) => {
            if !told && !table.caption.is_empty() {
                found.paragraphs.push(plain(&table.caption));
            }
            let mut rows = vec![table.head.iter().map(|head| plain(head)).collect::<Vec<_>>()];
            rows.extend(table.rows.iter().map(|row| row.iter().map(said).collect::<Vec<_>>()));
            found.tables.push(rows);
        }
        Block::Caution(caution) => {
            let cites: Vec<String> = caution.cites.iter().map(|key| format!("[^{key}]")).collect();
            let parts = format!("{}: {}. {} {} ", caution.signal, caution.title, caution.hurts, caution.action);
            let text = plain(&(parts + &cites.join(" ")));
            let bullet = standing && caution.signal != "DANGER";
            if bullet { found.items.push(text) } else { found.quotes.push(text) }
        }
        Block::Step(step) => {
            let own = if step.own { "(the shop's own step)" } else { "" };
            found.steps.push(plain(&format!("{} {} {own}", step.id, said(&step.action))));
        }
        Block::Hold(hold) => {
            let boxes = || hold.boxes.iter().map(|_| String::new());
            let row = |first: String| std::iter::once(first).chain(boxes()).collect::<Vec<_>>();
            let names = hold.boxes.iter().map(|name| plain(name));
            let rows = if hold.rows.is_empty() {
                vec![std::iter::once(format!("HOLD {}", hold.id)).chain(names).collect(), row(said(&hold.criterion))]
            } else {
                let head = plain(&format!("HOLD {}: {}", hold.id, said(&hold.criterion)));
                let head = std::iter::once(head).chain(names).collect();
                std::iter::once(head).chain(hold.rows.iter().map(|name| row(plain(name)))).collect()
            };
            found.tables.push(rows);
        }
        Block::List { items } => found.items.extend(items.iter().map(said)),
        Block::Alert { title, items } => {
            found.quotes.push(plain(title));
            found.items.extend(items.iter().map(said));
        }
    }
}

/// The sample without the author's prose, whose lists and paragraphs are his own.
fn without_prose() -> Sheet {
    let mut sheet = sample::sheet();
    sheet.sections.iter_mut().for_each(|section| section.blocks.retain(|block| !matches!(block, Block::Prose { .. })));
    sheet
}

/// All texts of a sheet that may hold any text at all.
fn texts(sheet: &mut Sheet) -> Vec<&mut String> {
    fn of_cell(cell: &mut Cell) -> Vec<&mut String> {
        vec![&mut cell.text]
    }
    let mut all = vec![&mut sheet.title, &mut sheet.banner, &mut sheet.decision_text];
    for section in &mut sheet.sections {
        all.extend([&mut section.title]);
        for block in &mut section.blocks {
            match block {
                Block::Text { text, lead } => all.extend(of_cell(text).into_iter().chain([lead])),
                Block::Prose { .. } | Block::Drawing(_) => {}
                Block::Table(table) => {
                    all.push(&mut table.caption);
                    all.extend(&mut table.head);
                    all.extend(table.rows.iter_mut().flatten().map(|cell| &mut cell.text));
                }
                Block::Caution(caution) => all.extend([&mut caution.title, &mut caution.hurts, &mut caution.action]),
                Block::Step(step) => all.extend(of_cell(&mut step.action)),
                Block::Hold(hold) => {
                    all.extend(of_cell(&mut hold.criterion));
                    all.extend(&mut hold.boxes);
                    all.extend(&mut hold.rows);
                }
                Block::List { items } => all.extend(items.iter_mut().flat_map(of_cell)),
                Block::Alert { title, items } => all.extend(items.iter_mut().flat_map(of_cell).chain([title])),
            }
        }
    }
    all.extend(sheet.sources.iter_mut().map(|source| &mut source.text));
    all
}

/// Pieces that mean something to Markdown, HTML, CSS, JSON or the template language.
const PIECES: &[&str] = &[
    "a",
    "B2",
    " ",
    " ",
    "8 mm",
    "\\",
    "`",
    "``",
    "*",
    "**",
    "_",
    "__",
    "[",
    "]",
    "(",
    ")",
    "<",
    ">",
    "</td>",
    "<b>",
    "<!--",
    "-->",
    "#",
    "##",
    "|",
    "||",
    "~",
    "~~",
    "&",
    "&amp;",
    "&#60;",
    "$",
    "^",
    "@x",
    "!",
    "![",
    "](javascript:alert(1))",
    "[^al-book]",
    "[x]",
    "[ ]",
    "- ",
    "+ ",
    "1. ",
    "2) ",
    "---",
    "===",
    "> ",
    "\n",
    "\n\n",
    "\t",
    "{{ 7*7 }}",
    "{% include x %}",
    "{#",
    "<script>",
    "</script>",
    "</style>",
    "javascript:",
    "http://x.y",
    "\"",
    "'",
    ":",
    ":---",
    "°",
    "Ø",
    "é",
    "\u{a0}",
    "\u{2028}",
    "ß_ß",
    "x_y",
    "______",
    "{",
    "}",
    "%",
    "=",
    ".",
    "!important",
    "\u{202e}",
    "🔥",
];

fn hostile() -> impl Strategy<Value = String> {
    prop::collection::vec(prop::sample::select(PIECES), 0..9).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_a_text_holds_it_reads_back_as_that_text(seeds in prop::collection::vec(hostile(), 7..40)) {
        let mut sheet = without_prose();
        let seeds = seeds.iter().cycle();
        for (text, seed) in texts(&mut sheet).into_iter().zip(seeds) {
            // An empty heading of a column or caption is another sheet, not a hostile one.
            *text = format!("x{seed}y");
        }
        read_everywhere(&sheet);
    }

    #[test]
    fn a_text_that_begins_and_ends_with_anything_reads_back(seed in hostile()) {
        let seed = seed.replace('`', "'");
        if plain(&seed).is_empty() {
            return Ok(());
        }
        let mut sheet = without_prose();
        for section in &mut sheet.sections {
            for block in &mut section.blocks {
                match block {
                    Block::Table(table) => table.rows.iter_mut().flatten().for_each(|cell| cell.text.clone_from(&seed)),
                    Block::Step(step) => step.action.text.clone_from(&seed),
                    Block::Text { text, lead } if lead.is_empty() => text.text.clone_from(&seed),
                    Block::Text { lead, .. } => lead.clone_from(&seed),
                    Block::List { items } | Block::Alert { items, .. } => {
                        items.iter_mut().for_each(|cell| cell.text.clone_from(&seed));
                    }
                    _ => {}
                }
            }
        }
        sheet.title.clone_from(&seed);
        read_everywhere(&sheet);
    }

    #[test]
    fn the_words_of_the_prose_stay(seed in prop::collection::vec(hostile(), 1..8)) {
        // Stars and underscores that touch are the one thing that may move: tried by example, beside the writer.
        let written = seed.join("\n").replace(['*', '_'], "+");
        let again = faces::prose::markdown(&written);
        prop_assert_eq!(prose_words(&again), prose_words(&written), "{}", again);
    }

    #[test]
    fn whatever_the_prose_holds_nothing_foreign_comes_out(seed in prop::collection::vec(hostile(), 1..12)) {
        let mut sheet = sample::sheet();
        for section in &mut sheet.sections {
            for block in &mut section.blocks {
                if let Block::Prose { markdown } = block {
                    *markdown = seed.join("\n");
                }
            }
        }
        let page = read_html::read(&html(&sheet, &EXTRA));
        prop_assert_eq!(page.all("h1").len(), 1);
        let text = markdown(&sheet);
        let whole = expected(&without_prose());
        for found in [with_pulldown(&text), with_comrak(&text)] {
            prop_assert_eq!(found.headings, whole.headings.clone());
            prop_assert_eq!(found.steps, whole.steps.clone());
            prop_assert!(found.tables == whole.tables);
            prop_assert!(found.foreign.iter().all(|foreign| is_prose(foreign)), "{:?}", found.foreign);
        }
    }
}

/// All letters of some CommonMark, with HTML as the text that it is typed as and without white space.
fn prose_words(text: &str) -> String {
    use pulldown_cmark::{Event, Parser};
    let words = Parser::new(text).map(|event| match event {
        Event::Text(text) | Event::Code(text) | Event::Html(text) | Event::InlineHtml(text) => text.to_string(),
        _ => String::new(),
    });
    words.collect::<String>().split_whitespace().collect()
}

/// What prose may hold beside text: code, rules and links to pages.
fn is_prose(foreign: &str) -> bool {
    ["http://", "https://", "mailto:", "rule", "ThematicBreak", "CodeBlock"]
        .iter()
        .any(|fine| foreign.starts_with(fine))
}

/// Reads both faces of a sheet back and compares them with the model.
fn read_everywhere(sheet: &Sheet) {
    let text = markdown(sheet);
    let mut whole = expected(sheet);
    // Back-quotes are marks of ids: both sides are compared without them.
    let bare = |found: &mut Found| {
        let lists = [&mut found.headings, &mut found.steps, &mut found.items, &mut found.quotes, &mut found.paragraphs];
        lists.into_iter().flatten().chain(found.tables.iter_mut().flatten().flatten()).for_each(|text| {
            *text = plain(&text.replace('`', ""));
        });
        found.notes.iter_mut().for_each(|note| note.1 = plain(&note.1.replace('`', "")));
    };
    bare(&mut whole);
    for (parser, mut found) in [("pulldown-cmark", with_pulldown(&text)), ("comrak", with_comrak(&text))] {
        bare(&mut found);
        assert_eq!(found, whole, "{parser} reads another sheet in\n{text}");
    }
    assert_eq!(bare_of(from_html(&read_html::read(&html(sheet, &EXTRA)))), bare_of(values(sheet)), "HTML");
    assert!(text.ends_with('\n') && !text.ends_with("\n\n") && !text.contains(" \n") && !text.contains('\r'));
}

fn bare_of(values: Vec<String>) -> Vec<String> {
    values.into_iter().map(|value| plain(&value.replace('`', ""))).collect()
}

/// The texts of tables, steps, cautions and holds in the order of the sheet.
fn values(sheet: &Sheet) -> Vec<String> {
    let mut values = vec![plain(&sheet.title)];
    for block in sheet.sections.iter().flat_map(|section| &section.blocks) {
        match block {
            Block::Table(table) => {
                values.extend(table.head.iter().map(|head| plain(head)));
                values.extend(table.rows.iter().flatten().map(said));
            }
            Block::Step(step) => values.extend([step.id.clone(), said(&step.action)]),
            Block::Caution(caution) => {
                let cites: Vec<String> = caution.cites.iter().map(|key| format!("[^{key}]")).collect();
                let text =
                    format!("{}. {} {} {}", capital(&caution.title), caution.hurts, caution.action, cites.join(" "));
                values.extend([caution.signal.clone(), plain(&text)]);
            }
            Block::Hold(hold) => {
                values.extend([hold.id.clone(), said(&hold.criterion)]);
                values.extend(hold.boxes.iter().chain(&hold.rows).map(|text| plain(text)));
            }
            _ => {}
        }
    }
    values
}

fn capital(text: &str) -> String {
    let text = text.trim();
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// The same from the HTML.
fn from_html(page: &Element) -> Vec<String> {
    let mut values = vec![page.all("h1")[0].words(&[])];
    html_values(page, &mut values);
    values
}

fn html_values(element: &Element, values: &mut Vec<String>) {
    for child in element.children() {
        if child.has_class("hold") {
            values.extend([child.attribute("id").unwrap().to_owned()]);
            let criterion = child.all("p").into_iter().find(|p| p.has_class("criterion")).unwrap();
            values.push(criterion.words(&[]));
            values.extend(child.all("th").iter().map(|head| head.words(&[])));
        } else if child.name == "table" {
            values.extend(
                child
                    .all("th")
                    .iter()
                    .filter(|head| head.attribute("scope") == Some("col"))
                    .map(|head| head.words(&[])),
            );
            for row in child.all("tbody")[0].children() {
                values.extend(row.children().map(|cell| cell.words(&[])));
            }
        } else if child.has_class("sig") {
            let parts: Vec<&Element> = child.children().collect();
            values.extend([parts[0].words(&[]), parts[1].words(&[])]);
        } else if child.name == "fieldset" {
            // The switch of units is no part of the sheet.
        } else if child.name == "label" {
            let parts: Vec<&Element> = child.children().collect();
            assert_eq!(parts[0].attribute("type"), Some("checkbox"));
            values.extend([parts[1].words(&[]), parts[2].words(&["own"])]);
        } else {
            html_values(child, values);
        }
    }
}

#[test]
fn the_sample_reads_back() {
    let sheet = without_prose();
    read_everywhere(&sheet);
    assert_eq!(with_pulldown(&markdown(&sheet)), expected(&sheet));
}

#[test]
fn cautions_stand_right_before_their_step_and_signal_words_are_text() {
    let text = markdown(&sample::sheet());
    let before =
        "\n> **NOTICE: clogged burr.** A burr for steel smears. Take one made for aluminium.\n- [ ] **3.open** Cut";
    assert!(text.contains(before), "{text}");
    assert!(!text.contains("[!"), "no alerts of a forge");
    let page = read_html::read(&html(&sample::sheet(), &EXTRA));
    let opening = page.all("li").into_iter().find(|li| li.attribute("id") == Some("3.open")).unwrap();
    let signals: Vec<String> = opening.all("strong").iter().map(|strong| strong.words(&[])).collect();
    assert_eq!(signals, ["WARNING", "CAUTION", "NOTICE"]);
}

#[test]
fn steps_and_holds_that_a_text_names_are_marked_and_linked() {
    let sheet = sample::sheet();
    assert!(markdown(&sheet).contains("Repeat `6.brush` to `6.wait`."));
    assert!(markdown(&sheet).contains("soft zone (8.soft) agreed"), "a step that is not there is left as it is");
    let page = read_html::read(&html(&sheet, &EXTRA));
    let links: Vec<&str> = page.all("a").iter().filter_map(|a| a.attribute("href")).collect();
    assert!(links.contains(&"#6.brush") && links.contains(&"#hold-agreed"));
    let ids: Vec<String> = ids(&page);
    for link in links {
        assert!(ids.contains(&link[1..].to_owned()), "{link} leads nowhere");
    }
}

fn ids(element: &Element) -> Vec<String> {
    let inside = element.children().flat_map(ids);
    element.attribute("id").map(str::to_owned).into_iter().chain(inside).collect()
}

#[test]
fn a_changed_setting_is_one_changed_line() {
    let before = markdown(&sample::sheet());
    let mut sheet = sample::sheet();
    for block in sheet.sections.iter_mut().flat_map(|section| &mut section.blocks) {
        if let Block::Table(table) = block
            && table.key == "settings"
        {
            table.rows[3][1].text = "120 Hz, a much longer text than before".to_owned();
        }
    }
    let after = markdown(&sheet);
    assert_eq!(before.lines().count(), after.lines().count());
    assert_eq!(before.lines().zip(after.lines()).filter(|(old, new)| old != new).count(), 1);
}

#[test]
fn a_sheet_renders_with_every_optional_part_absent_in_turn() {
    let check = |sheet: &Sheet, what: &str| {
        let text = markdown(sheet);
        assert!(!text.contains("\n\n\n") && !text.contains(" \n") && text.ends_with('\n'), "{what}:\n{text}");
        assert!(!text.contains("****") && !text.contains("** **"), "{what}: empty bold in\n{text}");
        read_html::read(&html(sheet, &EXTRA));
        assert!(with_pulldown(&text).foreign.is_empty(), "{what}");
    };
    let whole = sample::sheet();
    for (at, section) in whole.sections.iter().enumerate() {
        let mut sheet = whole.clone();
        sheet.sections.remove(at);
        check(&sheet, &section.id);
        for block in 0..section.blocks.len() {
            let mut sheet = whole.clone();
            sheet.sections[at].blocks.remove(block);
            check(&sheet, &format!("{} without block {block}", section.id));
        }
    }
    for count in 0..texts(&mut whole.clone()).len() {
        let mut sheet = whole.clone();
        texts(&mut sheet)[count].clear();
        let text = markdown(&sheet);
        assert!(!text.contains(" \n"), "text {count}");
        read_html::read(&html(&sheet, &EXTRA));
    }
    let mut sheet = whole.clone();
    sheet.sources.clear();
    check(&sheet, "no sources");
    sheet.sections.clear();
    check(&sheet, "no sections");
}

#[test]
fn what_rides_inside_the_html_comes_back_and_cannot_break_out() {
    let spec = "# </pre></script><b>\r\ntitle = \"\"\"\n&amp; --> ]]> \u{e9}\n\"\"\"\n\n";
    let json = serde_json::json!({"spec": spec, "x": "<!-- </script> <script>"}).to_string();
    let page = read_html::read(&html(&sample::sheet(), &Extra { spec, kit: Some("\nformat = 1\n"), json: &json }));
    let pre = page.all("pre");
    // A reader of HTML drops the first line feed of `pre`.
    assert_eq!(pre[0].verbatim().strip_prefix('\n'), Some(spec));
    assert_eq!(pre[1].verbatim().strip_prefix('\n'), Some("\nformat = 1\n"));
    let scripts = page.all("script");
    assert_eq!(scripts.len(), 4);
    assert_eq!((scripts[1].attribute("id"), scripts[2].attribute("id")), (Some("parts"), Some("form")));
    assert!(serde_json::from_str::<Value>(&scripts[1].verbatim()).unwrap().is_string());
    assert!(serde_json::from_str::<Value>(&scripts[2].verbatim()).unwrap()["words"].is_object());
    assert_eq!(scripts[3].verbatim(), include_str!("../templates/sheet.js"));
    assert_eq!(scripts[0].attribute("type"), Some("application/json"));
    assert_eq!(
        serde_json::from_str::<Value>(&scripts[0].verbatim()).unwrap(),
        serde_json::from_str::<Value>(&json).unwrap()
    );
}

#[test]
fn the_html_asks_nothing_of_the_network_and_names_itself_on_every_page() {
    let text = html(&sample::sheet(), &EXTRA);
    for bad in ["http:", "https:", "src=", "@import", "url(", "@font-face", "onclick", "size:A4", " style=\""] {
        assert!(!text.contains(bad), "{bad}");
    }
    let page = read_html::read(&text);
    let html = &page.children().next().unwrap();
    assert_eq!(html.attribute("lang"), Some("en"));
    let policy =
        page.all("meta").into_iter().find(|meta| meta.attribute("http-equiv") == Some("Content-Security-Policy"));
    let policy = policy.unwrap().attribute("content").unwrap();
    assert!(policy.starts_with("default-src 'none'; style-src 'sha256-") && !policy.contains("unsafe"), "{policy}");
    assert_eq!(page.all("h1").len(), 1);
    assert!(page.all("th").iter().all(|th| th.attribute("scope").is_some()));
    let style: String = page.all("style").iter().map(|style| style.verbatim()).collect();
    assert!(style.contains("--doc:\"HW-077 rev B\"") && style.contains("counter(page)"));
}

/// Everything that the faces need of a spec.
fn with_answer(path: &str, test: impl Fn(&Answer<'_>)) {
    let text = std::fs::read_to_string(path).unwrap();
    let kit_text = std::fs::read_to_string("specs/kits/harbour.kit.toml").unwrap();
    let (spec, mut findings) = spec::read(&text);
    let (kit, _) = kit::read(&kit_text);
    let spec = spec.unwrap_or_else(|| panic!("{path} does not read: {findings:#?}"));
    let (job, more) = engine::job::check(&spec, kit.as_ref());
    let worked = engine::work_out(&job);
    let judgement = rules::judge(&job, &worked);
    findings.extend(more.into_iter().chain(worked.findings.iter().cloned()));
    let sources = Sources::new().with(File::Spec, path, &text).with(File::Kit, "harbour.kit.toml", &kit_text);
    test(&Answer { job: &job, worked: &worked, judgement: &judgement, findings: &findings, sources: &sources });
}

fn demo_specs() -> Vec<String> {
    let files = std::fs::read_dir("specs").unwrap().map(|entry| entry.unwrap().path().display().to_string());
    let mut specs: Vec<String> = files.filter(|path| path.ends_with(".repair.toml")).collect();
    specs.sort();
    assert!(specs.len() >= 10);
    specs
}

#[test]
fn the_json_of_settings_has_the_fixed_shape() {
    for path in demo_specs() {
        with_answer(&path, |answer| {
            let text = json::print(&json::settings(answer));
            let keys: Vec<&str> = text.lines().filter_map(|line| line.strip_prefix(" \"")?.split('"').next()).collect();
            assert_eq!(keys, ["format", "inputs", "figures", "findings", "sources"], "{path}");
            let value: Value = serde_json::from_str(&text).unwrap();
            let figures = value["figures"].as_object().unwrap();
            assert_eq!(figures.len(), answer.worked.figures.len());
            for (name, json) in figures {
                figure_shape(&path, name, json);
                let figure = &answer.worked.figures[&engine::FigureName::from_key(name).unwrap()];
                figure_values(&path, figure, json);
            }
            assert_eq!(value["findings"].as_array().unwrap().len(), answer.findings.len());
            let listed: Vec<&Value> = value["sources"].as_array().unwrap().iter().map(|source| &source["id"]).collect();
            for source in figures.values().flat_map(|figure| figure["sources"].as_array().unwrap()) {
                assert!(listed.contains(&source), "{path}: {source} is not listed");
            }
        });
    }
}

fn figure_shape(path: &str, name: &str, figure: &Value) {
    let one = figure.get("value").is_some();
    let range = figure.get("low").is_some() && figure.get("high").is_some();
    assert!(one != range, "{path}: {name} has neither or both of a value and a range");
    assert!(figure.get("unit").is_some(), "{path}: {name} without unit");
    let bases = ["published", "computed", "common practice", "memory", "stated"];
    assert!(bases.contains(&figure["basis"].as_str().unwrap()), "{path}: {name}");
    assert_ne!(figure.get("weakest"), figure.get("basis"), "{path}: {name} says its basis twice");
    for line in figure["working"].as_array().unwrap() {
        assert!(line["text"].is_string() && line["from"].is_string(), "{path}: {name}: {line}");
    }
    numbers(figure, &mut |number| {
        let digits = number.to_string().replace(['.', '-'], "").trim_start_matches('0').trim_end_matches('0').len();
        assert!(digits <= 12 || number.to_string().contains('e'), "{path}: {name}: {number}");
        assert!(!number.is_f64() || number.as_f64().unwrap().fract() != 0.0, "{path}: {name}: {number} is whole");
    });
}

fn numbers(value: &Value, check: &mut dyn FnMut(&serde_json::Number)) {
    match value {
        Value::Number(number) => check(number),
        Value::Array(list) => list.iter().for_each(|value| numbers(value, check)),
        Value::Object(map) => map.values().for_each(|value| numbers(value, check)),
        _ => {}
    }
}

/// The JSON of a figure says what the figure says.
fn figure_values(path: &str, figure: &engine::Figure, json: &Value) {
    let near = |key: &str, number: f64| {
        let read = json[key].as_f64().unwrap_or_else(|| panic!("{path}: {:?}.{key}", figure.name));
        assert!((read - number).abs() <= number.abs() * 1e-11, "{path}: {:?}.{key}: {read} for {number}", figure.name);
    };
    match &figure.value {
        engine::Value::Word(word) => assert_eq!(json["value"], Value::from(word.as_str())),
        engine::Value::Flag(flag) => assert_eq!(json["value"], Value::from(*flag)),
        engine::Value::Number(number) => near("value", *number),
        engine::Value::Range { low, high, set } => {
            near("low", *low);
            near("high", *high);
            near("set", *set);
        }
    }
    assert_eq!(json["working"].as_array().unwrap().len(), figure.working.len());
    let rows = json.get("rows").and_then(Value::as_array).map_or(0, Vec::len);
    assert_eq!(rows, figure.passes.len());
}

#[test]
fn the_json_of_a_sheet_carries_the_model() {
    with_answer("specs/hw-012.repair.toml", |answer| {
        let sheet = sample::sheet();
        let text = json::print(&json::sheet(answer, &sheet, "format = 1\n", Some("kit"), "5e0c41b7"));
        let keys: Vec<&str> = text.lines().filter_map(|line| line.strip_prefix(" \"")?.split('"').next()).collect();
        let order = [
            "format", "inputs", "figures", "findings", "sources", "decision", "identity", "cautions", "sections",
            "holds", "drawings", "spec", "kit", "made", "seal",
        ];
        assert_eq!(keys, order);
        let value: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(
            (&value["decision"], &value["spec"], &value["seal"]),
            (&"go".into(), &"format = 1\n".into(), &"5e0c41b7".into())
        );
        let sections = value["sections"].as_array().unwrap();
        assert_eq!(sections.len(), sheet.sections.len());
        for (json, section) in sections.iter().zip(&sheet.sections) {
            assert_eq!(json["blocks"].as_array().unwrap().len(), section.blocks.len(), "{}", section.id);
        }
        let workings = &sections.iter().find(|section| section["id"] == "A").unwrap()["blocks"];
        assert_eq!(workings[1], serde_json::json!({"kind": "working", "figure": "amperage"}));
        assert_eq!(json_values(&value), values(&without_workings(&sheet)));
    });
}

/// A sheet without the tables that spell out what the JSON holds as figures.
fn without_workings(sheet: &Sheet) -> Sheet {
    let mut sheet = sheet.clone();
    let spelt = |key: &str| key.starts_with("working-") || key.starts_with("ranking-");
    for section in &mut sheet.sections {
        section.blocks.retain(|block| !matches!(block, Block::Table(table) if spelt(&table.key)));
    }
    sheet
}

#[test]
fn what_rides_in_the_html_is_small_and_has_every_figure() {
    with_answer("specs/hw-012.repair.toml", |answer| {
        let sheet = sample::sheet();
        let text = json::print(&json::carried(answer, &sheet, "5e0c41b7"));
        let value: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(value["figures"].as_object().unwrap().len(), answer.worked.figures.len());
        assert_eq!((&value["seal"], &value["identity"]["number"]), (&"5e0c41b7".into(), &"HW-077".into()));
        // Each figure twice: with its basis, and as it is sealed, so that the seal can be checked by any version.
        assert_eq!(value["sealed"].as_object().unwrap().len(), answer.worked.figures.len());
        assert!(text.len() < 13_000, "{}", text.len());
    });
}

#[test]
fn every_demo_sheet_reads_back_alike_from_all_faces() {
    let refused = std::cell::Cell::new(0);
    for path in demo_specs().into_iter().chain(refused_specs()) {
        with_answer(&path, |answer| {
            let sheet = interpass::sheet::build(answer.job, answer.worked, answer.judgement, "5e0c41b792da00");
            let text = markdown(&sheet);
            assert!(text.lines().all(|line| line.trim_end() == line), "{path}");
            let mut without = sheet.clone();
            without
                .sections
                .iter_mut()
                .for_each(|section| section.blocks.retain(|block| !matches!(block, Block::Prose { .. })));
            read_everywhere(&without);
            let value: Value = serde_json::from_str(&json::print(&json::sheet(answer, &sheet, "", None, ""))).unwrap();
            assert_eq!(json_values(&value), values(&without_workings(&without)), "{path}");
            let listed: Vec<&str> =
                value["sources"].as_array().unwrap().iter().filter_map(|one| one["id"].as_str()).collect();
            for key in
                cited(&value["sections"]).into_iter().chain(cited(&value["cautions"])).chain(cited(&value["holds"]))
            {
                assert!(listed.contains(&key.as_str()), "{path}: {key} is cited and not listed");
            }
            let carried: Value = serde_json::from_str(&json::print(&json::carried(answer, &sheet, ""))).unwrap();
            let has_figures = |value: &Value| !value["figures"].as_object().unwrap().is_empty();
            let no = sheet.decision == rules::Decision::No;
            assert!(has_figures(&value) != no && has_figures(&carried) != no, "{path}: a refusal gives no settings");
            refused.set(refused.get() + usize::from(no));
        });
    }
    assert!(refused.get() > 0);
}

/// All keys of sources inside a value.
fn cited(value: &Value) -> Vec<String> {
    match value {
        Value::Array(list) => list.iter().flat_map(cited).collect(),
        Value::Object(map) => {
            let own = map.get("sources").and_then(Value::as_array).into_iter().flatten();
            let own = own.filter_map(|key| key.as_str().map(str::to_owned));
            own.chain(map.values().flat_map(cited)).collect()
        }
        _ => Vec::new(),
    }
}

fn refused_specs() -> Vec<String> {
    let files = std::fs::read_dir("specs/refused").unwrap().map(|entry| entry.unwrap().path().display().to_string());
    files.filter(|path| path.ends_with(".repair.toml")).collect()
}

/// The same texts as [`values`] from the JSON.
fn json_values(sheet: &Value) -> Vec<String> {
    let string = |value: &Value| plain(value.as_str().unwrap());
    let cell = |value: &Value| {
        let list: Vec<String> =
            value["sources"].as_array().into_iter().flatten().map(|key| key.as_str().unwrap().to_owned()).collect();
        said(&Cell {
            text: string(&value["text"]),
            basis: value["basis"].as_str().unwrap_or_default().to_owned(),
            cites: list,
        })
    };
    let mut values = vec![string(&sheet["identity"]["title"])];
    for section in sheet["sections"].as_array().unwrap() {
        for block in section["blocks"].as_array().unwrap() {
            let by_id = |list: &Value| {
                let matches = |one: &&Value| {
                    one["id"] == block["id"] && (one.get("section").is_none() || one["section"] == section["id"])
                };
                list.as_array().unwrap().iter().find(matches).unwrap().clone()
            };
            match block["kind"].as_str().unwrap() {
                "table" => {
                    values.extend(block["head"].as_array().unwrap().iter().map(string));
                    values.extend(
                        block["rows"].as_array().unwrap().iter().flat_map(|row| row.as_array().unwrap()).map(cell),
                    );
                }
                "step" => {
                    let step = by_id(&section["steps"]);
                    values.extend([string(&step["id"]), cell(&step)]);
                }
                "caution" => {
                    let caution = by_id(&sheet["cautions"]);
                    let cites: Vec<String> = caution["sources"]
                        .as_array()
                        .unwrap()
                        .iter()
                        .map(|key| format!("[^{}]", key.as_str().unwrap()))
                        .collect();
                    let parts = [
                        capital(&string(&caution["title"])) + ".",
                        string(&caution["hurts"]),
                        string(&caution["action"]),
                        cites.join(" "),
                    ];
                    values.extend([string(&caution["signal"]), plain(&parts.join(" "))]);
                }
                "hold" => {
                    let hold = by_id(&sheet["holds"]);
                    values.extend([string(&hold["id"]), cell(&hold["criterion"])]);
                    let rows = hold["rows"].as_array().into_iter().flatten();
                    values.extend(hold["boxes"].as_array().unwrap().iter().chain(rows).map(string));
                }
                _ => {}
            }
        }
    }
    values
}

#[test]
fn the_card_and_the_workings_fit_eighty_columns_and_show_the_aims() {
    for path in demo_specs() {
        with_answer(&path, |answer| {
            let card = terminal::settings_card(answer);
            assert!(card.lines().all(|line| line.chars().count() <= 80 && line.trim_end() == line), "{path}:\n{card}");
            for name in ["frequency", "amperage_max"] {
                let Some(figure) = answer.worked.figures.get(&engine::FigureName::from_key(name).unwrap()) else {
                    continue;
                };
                let aim = format!(" {} {}", figure.aim().unwrap(), figure.name.unit().unwrap());
                assert!(card.contains(&aim), "{path}: {name} in\n{card}");
            }
            for figure in answer.worked.figures.values() {
                let text = why::why_text(figure, answer);
                let long: Vec<&str> = text.lines().filter(|line| line.chars().count() > 80).collect();
                assert!(long.is_empty(), "{path}: {long:#?}");
                // Every name and number of a formula is there, whatever its functions are called.
                let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric() && c != '.').collect();
                for line in figure.working.iter().filter(|line| !line.formula.is_empty()) {
                    for name in line.formula.split(|c: char| !c.is_alphanumeric() && c != '_' && c != '.') {
                        let called = line.formula.contains(&format!("{name}("));
                        assert!(
                            name.is_empty() || called || words.contains(&name),
                            "{path}: {} lacks {name}",
                            figure.name.key()
                        );
                    }
                }
            }
        });
    }
}

#[test]
fn the_text_face_says_every_step_caution_hold_and_setting_in_eighty_columns() {
    for path in demo_specs().into_iter().chain(refused_specs()) {
        with_answer(&path, |answer| {
            let sheet = interpass::sheet::build(answer.job, answer.worked, answer.judgement, "5e0c41b792da00");
            let mut out = Vec::new();
            faces::text::write(&sheet, &mut out).unwrap();
            let text = String::from_utf8(out).unwrap();
            assert!(text.lines().all(|line| line.chars().count() <= 80 && line.trim_end() == line), "{path}:\n{text}");
            assert!(!text.contains("\n\n\n") && !text.contains('`'), "{path}:\n{text}");
            let all = plain(&text);
            let says = |words: &str| assert!(all.contains(&plain(&words.replace('`', ""))), "{path}: {words}\n{text}");
            says(&format!("{}. {}", sheet.banner, sheet.decision_text));
            for block in sheet.sections.iter().filter(|section| section.id != "A").flat_map(|one| &one.blocks) {
                match block {
                    Block::Step(step) => says(&format!("{}: {}", step.id, step.action.text)),
                    Block::Caution(caution) => says(&format!("{}: {}.", caution.signal, caution.title)),
                    Block::Hold(hold) => says(&hold.criterion.text),
                    Block::Table(table) => table.rows.iter().flatten().for_each(|cell| says(&cell.text)),
                    Block::Text { text, .. } => says(&text.text),
                    Block::List { items } | Block::Alert { items, .. } => {
                        items.iter().for_each(|item| says(&item.text))
                    }
                    Block::Drawing(drawing) => says(&drawing.description),
                    Block::Prose { .. } => {}
                }
            }
        });
    }
}
