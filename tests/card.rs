//! The card: what must stand on it stands on it, in the values of the sheet, and all of it on one page of either paper.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

#[path = "card/jobs.rs"]
mod jobs;
#[path = "card/print.rs"]
mod print;

use interpass::findings::Code;
use interpass::sheet::card::Card;
use interpass::sheet::card::plan::plan;
use interpass::sheet::{Block, Table};
use jobs::{Made, SEAL, cautions, demos, grid, html};
use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};

/// What every card keeps, whatever it is of.
fn check(made: &Made) {
    let Ok(card) = &made.card else { return };
    let name = &made.name;
    assert!(card.height <= plan().height() && card.height > 40.0, "{name}: {} mm", card.height);
    assert!(card.settings.len() <= 7, "{name}: {} settings", card.settings.len());
    assert!(card.groups.iter().all(|group| (1..=4).contains(&group.ticks.len())), "{name}: {:?}", card.groups);
    let wanted: BTreeSet<&str> =
        cautions(&made.sheet).iter().filter(|one| one.signal == "DANGER").map(|one| one.id.as_str()).collect();
    let shown: BTreeSet<&str> =
        card.cautions.iter().filter(|one| one.signal == "DANGER").map(|one| one.id.as_str()).collect();
    assert_eq!(wanted, shown, "{name}");
    let html = html(card);
    for caution in &card.cautions {
        assert!(html.contains(&format!("<strong>{}</strong>", caution.signal)), "{name}");
        assert!(html.contains(&format!("<b>{}.</b>", caution.title)), "{name}: {}", caution.title);
    }
    for text in ["[", "http:", "https:", "<script", "src=", "url(", "@import"] {
        assert!(!html.contains(text), "{name}: {text} in the card");
    }
    assert!(html.contains("Content-Security-Policy\" content=\"default-src 'none'"), "{name}");
}

#[test]
fn the_budget_holds_for_the_demos_with_every_kit() {
    let made = demos();
    assert!(made.len() >= 22 * 4);
    made.iter().for_each(check);
    let without = made.iter().filter(|made| made.card.is_err()).count();
    assert_eq!(without, 0, "every demo has a card");
}

#[test]
fn the_budget_holds_for_a_grid_of_specs() {
    let made = grid();
    made.iter().for_each(check);
    let (some, none) = made.iter().partition::<Vec<&Made>, _>(|made| made.card.is_ok());
    assert!(some.len() > 60 && none.len() > 20, "{} cards, {} without", some.len(), none.len());
    for made in none {
        let finding = made.card.as_ref().err().unwrap().finding();
        assert_eq!(finding.code, Code::OutputCardNone, "{}", made.name);
        let least = cautions(&made.sheet).iter().filter(|one| one.signal == "DANGER").count();
        assert!(least >= 4 || made.name.contains("20"), "{}: no card with {least} dangers alone", made.name);
    }
}

/// The tables of a sheet with this key.
fn table<'s>(made: &'s Made, key: &str) -> &'s Table {
    let mut blocks = made.sheet.sections.iter().flat_map(|section| &section.blocks);
    let found = blocks.find_map(|block| match block {
        Block::Table(table) if table.key == key => Some(table),
        _ => None,
    });
    found.unwrap_or_else(|| panic!("{}: no table {key}", made.name))
}

#[test]
fn values_are_those_of_the_sheet() {
    for made in demos().iter().chain(grid()) {
        let Ok(card) = &made.card else { continue };
        let Some(carry) = &card.carry else { continue };
        let settings = table(made, "settings");
        for setting in &card.settings {
            let row = settings.rows.iter().find(|row| row[0].text == setting.title);
            assert_eq!(row.map(|row| &row[1].text), Some(&setting.set), "{}: {}", made.name, setting.title);
        }
        assert_eq!(card.moved.of_settings, settings.rows.len(), "{}", made.name);
        assert_eq!(card.moved.settings, card.settings.len() + 1, "{}: the kind of current is the heading", made.name);
        let text = format!("{:?}", table(made, "amperage"));
        for value in carry.rows.iter().flat_map(|row| &row.values).filter(|value| value.set) {
            assert!(text.contains(&format!("\"{}\"", value.text)), "{}: {} is not on the sheet", made.name, value.text);
        }
        let temperatures = format!("{:?}", table(made, "temperatures"));
        assert!(temperatures.contains(&carry.stop), "{}: stop at {}", made.name, carry.stop);
        let holds = made.sheet.sections.iter().flat_map(|section| &section.blocks);
        let holds = holds.filter(|block| matches!(block, Block::Hold(_))).count();
        assert_eq!(card.holds.len(), holds, "{}", made.name);
    }
}

const KIT: &str = "specs/kits/harbour.kit.toml";

fn run(args: &[&str], folder: &Path) -> Output {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut command = Command::new(env!("CARGO_BIN_EXE_interpass"));
    command.current_dir(root).args(args).arg("--to").arg(folder).output().unwrap()
}

#[test]
fn the_files_of_the_faces_agree() {
    let temp = tempfile::tempdir().unwrap();
    let out = run(&["write", "specs/hw-012.repair.toml", "--as", "md,json,card", "--kit", KIT], temp.path());
    assert_eq!(out.status.code(), Some(0));
    let said = String::from_utf8_lossy(&out.stderr);
    assert!(said.contains("note[output-card-moved]: 15 of 23 settings stand on the full sheet only"), "{said}");
    let read = |end: &str| std::fs::read_to_string(temp.path().join(format!("hw-012.{end}"))).unwrap();
    let (md, card) = (read("md"), read("card.html"));
    let json: serde_json::Value = serde_json::from_str(&read("json")).unwrap();
    let mut rows = 0;
    for row in card.split("<tr><th scope=\"row\">").skip(1).filter(|row| row.contains("class=\"box\"")) {
        let title = row.split("</th>").next().unwrap();
        let set = row.split("<td>").nth(1).unwrap().split("</td>").next().unwrap();
        assert!(md.contains(&format!("| {title} | {set} |")), "Markdown has no {title} {set}");
        rows += 1;
    }
    assert_eq!(rows, 7);
    let number = |figure: &str, key: &str| json["figures"][figure][key].as_f64().unwrap();
    for text in [
        format!("<td>{} A</td>", number("amperage_max", "value")),
        format!("<td>{} Hz</td>", number("frequency", "set")),
        format!("<td>{} s</td>", number("post_flow", "set")),
        format!("<td>{} L/min (", number("gas_flow", "set")),
        format!("<td>{} mm (", number("tungsten_diameter", "value")),
        format!("<td>{} A</td>", number("amperage", "set")),
        format!("<td>{} A</td>", number("amperage_warm", "set")),
        format!("<p class=\"key\">{} °C (", number("interpass_max", "value")),
    ] {
        assert!(card.contains(&text), "the card has no {text}");
    }
}

/// The modules of the QR code in the HTML of a card, by its path alone.
fn drawn(html: &str) -> (usize, BTreeSet<(usize, usize)>) {
    let svg = html.split("<svg class=\"qr\"").nth(1).unwrap();
    let side = svg.split("viewBox=\"0 0 ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    let path = svg.split("fill=\"#000\" d=\"").nth(1).unwrap().split('"').next().unwrap();
    let mut dark = BTreeSet::new();
    for run in path.split('M').skip(1) {
        let (at, rest) = run.split_once('h').unwrap();
        let (x, y) = at.split_once(' ').unwrap();
        let (x, y): (usize, usize) = (x.parse().unwrap(), y.parse().unwrap());
        let long: usize = rest.split('v').next().unwrap().parse().unwrap();
        dark.extend((x..x + long).map(|x| (x, y)));
    }
    (side, dark)
}

fn decoded(width: usize, height: usize, grey: impl FnMut(usize, usize) -> u8) -> Option<String> {
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(width, height, grey);
    let grids = image.detect_grids();
    Some(grids.first()?.decode().ok()?.1)
}

#[test]
fn the_code_says_number_revision_and_seal() {
    for made in demos().iter().step_by(4).chain(grid().iter().step_by(5)) {
        let Ok(card) = &made.card else { continue };
        let (side, dark) = drawn(&html(card));
        const SCALE: usize = 4;
        let text =
            decoded(side * SCALE, side * SCALE, |x, y| if dark.contains(&(x / SCALE, y / SCALE)) { 0 } else { 255 });
        let digits = SEAL[..12].to_uppercase();
        let wanted = format!("{} {} {digits}", made.sheet.number, made.sheet.revision);
        assert_eq!(text, Some(wanted), "{}", made.name);
        // Four empty modules on every side.
        assert!(dark.iter().all(|(x, y)| [x, y].iter().all(|at| (4..side - 4).contains(*at))), "{}", made.name);
    }
}

#[test]
fn a_refusal_is_a_tag_without_a_setting() {
    let refused: Vec<&Made> =
        demos().iter().filter(|made| made.card.as_ref().is_ok_and(|card| card.refusal.is_some())).collect();
    assert!(refused.len() >= 5 * 4);
    for made in refused {
        let card = made.card.as_ref().unwrap();
        assert!(card.settings.is_empty() && card.carry.is_none() && card.groups.is_empty() && card.holds.is_empty());
        let refusal = card.refusal.as_ref().unwrap();
        assert!(!refusal.reasons.is_empty() && refusal.steps.len() >= 2, "{}", made.name);
        let html = html(card);
        assert!(html.contains("NOT HERE") && !html.contains(" A</td>"), "{}", made.name);
    }
}

/// A spec that answers nothing, so that the hazards of the worst answers all stand.
const SILENT: &str = "format = 1\n[procedure]\nnumber = \"S-1\"\ntitle = \"Bracket\"\nrevision = \"A\"\n[metal]\n\
                      alloy = \"A356.0\"\nform = \"sand casting\"\nthickness = \"8 mm\"\n[damage]\nkind = \"crack\"\n";

#[test]
fn dangers_that_do_not_fit_leave_no_card_and_no_old_one() {
    let temp = tempfile::tempdir().unwrap();
    let spec = temp.path().join("s-1.repair.toml");
    std::fs::write(&spec, SILENT).unwrap();
    let (spec, sheets) = (spec.to_string_lossy().into_owned(), temp.path().join("sheets"));
    std::fs::create_dir(&sheets).unwrap();
    let old = sheets.join("s-1.card.html");
    std::fs::write(&old, "the card of an earlier revision").unwrap();
    let out = run(&["write", &spec, "--as", "card,md", "--stale"], &sheets);
    assert!(out.status.code() == Some(1) && old.exists(), "only looked at");
    let out = run(&["write", &spec, "--as", "card,md"], &sheets);
    let said = String::from_utf8_lossy(&out.stderr);
    assert_eq!(out.status.code(), Some(1), "{said}");
    assert!(said.contains("error[output-card-none]: no card: 8 DANGERs"), "{said}");
    assert!(!old.exists() && sheets.join("s-1.md").is_file());
}

#[test]
fn without_a_danger_the_gravest_caution_stands_and_text_stays_text() {
    let hostile = SILENT.replace("\"Bracket\"", "\"</style><script>x</script> & <b>\"");
    let made = jobs::make("hostile", &hostile, None);
    let (spec, _) = interpass::spec::read(&hostile);
    let spec = spec.unwrap();
    let (job, _) = interpass::engine::job::check(&spec, None);
    let worked = interpass::engine::work_out(&job);
    let judgement = interpass::rules::judge(&job, &worked);
    let mut sheet = made.sheet;
    for section in &mut sheet.sections {
        section.blocks.retain(|block| !matches!(block, Block::Caution(caution) if caution.signal == "DANGER"));
    }
    let card = interpass::sheet::card::build(&job, &worked, &judgement, SEAL, &sheet).unwrap();
    let signals: Vec<&str> = card.cautions.iter().map(|caution| caution.signal.as_str()).collect();
    assert_eq!(signals, ["WARNING"]);
    let html = html(&card);
    assert!(html.contains("&lt;script&gt;") && !html.contains("<script"), "{html}");
    assert_eq!(html.matches("</style>").count(), 1);
    // Nothing was measured: blanks to fill in, and no figure of the passes.
    assert!(html.contains("______"));
}

/// Many cards as one document, each on pages of its own: one start of the browser for all.
fn together(cards: &[&Card]) -> String {
    let pages: Vec<String> = cards.iter().map(|card| html(card)).collect();
    let body = |page: &String| page.split("<body>").nth(1).unwrap().split("</body>").next().unwrap().to_owned();
    let head = pages[0].split("<body>").next().unwrap().replace("body{", ".page{");
    let style = ".page{break-after:page}.page:last-child{break-after:auto}</style>";
    let all: String = pages.iter().map(|page| format!("<div class=\"page\">{}</div>", body(page))).collect();
    format!("{}<body>{all}</body></html>", head.replacen("</style>", style, 1))
}

#[test]
fn every_card_is_one_page_of_a4_and_of_letter() {
    let Some(browser) = print::browser("every_card_is_one_page_of_a4_and_of_letter") else { return };
    let temp = tempfile::tempdir().unwrap();
    let made = demos().iter().chain(grid().iter().step_by(3));
    let cards: Vec<&Card> = made.filter_map(|made| made.card.as_ref().ok()).collect();
    let document = together(&cards);
    let heights = print::heights(browser, &document, temp.path());
    assert_eq!(heights.len(), cards.len());
    for (card, height) in cards.iter().zip(heights) {
        // What was counted is what is laid out: no more, and not much less.
        let spare = card.height - height;
        assert!((0.0..SPARE).contains(&spare), "{}: {height} mm, {} counted", card.title, card.height);
    }
    for paper in ["A4", "letter"] {
        let pdf = print::print(browser, &document, paper, temp.path(), paper);
        for (card, text) in cards.iter().zip(print::texts(&pdf)) {
            let text: String = text.split_whitespace().collect();
            let number = card.number_line().replace(' ', "");
            // In the margin stands the number of the first card, for all are one document here.
            assert!(text.contains(&number), "{paper}: another page than that of {number}");
        }
        assert_eq!(print::pages(&pdf).0, cards.len(), "{paper}: a card takes two pages");
    }
}

/// Room that may be counted and not used, mm: two lines, where a hyphen lets a word break that was counted whole.
const SPARE: f64 = 13.0;

#[test]
fn a_card_alone_prints_on_one_page_at_its_sizes() {
    let Some(browser) = print::browser("a_card_alone_prints_on_one_page_at_its_sizes") else { return };
    let temp = tempfile::tempdir().unwrap();
    let made = demos();
    for name in ["hw-012.repair", "hw-017.repair", "hw-019.repair"] {
        let card = made.iter().find(|made| made.name == name).unwrap().card.as_ref().unwrap();
        for (paper, size) in [("A4", "594.96 x 841.92"), ("letter", "612 x 792")] {
            let pdf = print::print(browser, &html(card), paper, temp.path(), &format!("{name}-{paper}"));
            let (pages, found) = print::pages(&pdf);
            assert_eq!(pages, 1, "{name} on {paper}");
            assert!(found.starts_with(size), "{name} on {paper}: {found}");
            let pieces = print::pieces(&pdf);
            let margin = |text: &str| text.contains("Printed copy");
            for (points, text) in pieces.iter().filter(|(_, text)| !margin(text) && !text.trim().is_empty()) {
                assert!(*points >= 15.9, "{name}: `{text}` at {points} pt");
            }
            let largest = |text: &str| {
                let own = pieces.iter().filter(|(_, own)| own.contains(text));
                own.map(|(points, _)| *points).fold(0.0, f64::max)
            };
            if let Some(carry) = &card.carry {
                let values = carry.rows.iter().flat_map(|row| &row.values).filter(|value| value.set);
                for value in values.map(|value| &value.text).chain([&carry.stop]) {
                    assert!(largest(value) >= 23.9, "{name}: {value} is small");
                }
            }
            let (width, height, grey) = print::grey(&pdf);
            let text = decoded(width, height, |x, y| grey[y * width + x]);
            assert_eq!(text.as_ref(), Some(&card.code), "{name} on {paper}: read off the print");
        }
    }
}
