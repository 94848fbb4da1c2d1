//! The sheet read in the order of the hands, for every demo spec and every kit: nothing fouls the joint after the last
//! cleaning, every danger stands before its step, holds and words are complete, a refusal gives no setting.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::engine::{self, FigureName, Job, Worked};
use interpass::kit::Kit;
use interpass::reference::Class;
use interpass::rules::{self, Decision, Judgement};
use interpass::sheet::{self, Block, Caution, Cell, Sheet, Step, show};
use interpass::spec::{IdentifiedBy, Spec};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn files(folder: &str, end: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.to_string_lossy().ends_with(end));
    files.sort();
    assert!(files.len() >= 3, "the demo files are there");
    files
}

fn kits() -> Vec<(String, Option<Kit>)> {
    let mut kits: Vec<(String, Option<Kit>)> = vec![("no kit".to_owned(), None)];
    for path in files("specs/kits", ".kit.toml") {
        let (kit, findings) = interpass::kit::read(&std::fs::read_to_string(&path).unwrap());
        let kit = kit.unwrap_or_else(|| panic!("{}: {findings:?}", path.display()));
        kits.push((path.file_name().unwrap().to_string_lossy().into_owned(), Some(kit)));
    }
    kits
}

struct Case<'a> {
    name: String,
    spec: &'a Spec,
    job: &'a Job<'a>,
    worked: &'a Worked,
    judgement: &'a Judgement,
    sheet: &'a Sheet,
}

/// Builds the sheet of every spec of a folder with every kit, and looks at it.
fn for_each(folder: &str, look: impl Fn(&Case<'_>)) {
    let kits = kits();
    for path in files(folder, ".repair.toml") {
        let (spec, findings) = interpass::spec::read(&std::fs::read_to_string(&path).unwrap());
        let spec = spec.unwrap_or_else(|| panic!("{}: {findings:?}", path.display()));
        for (kit_name, kit) in &kits {
            let (job, _) = engine::job::check(&spec, kit.as_ref());
            let worked = engine::work_out(&job);
            let judgement = rules::judge(&job, &worked);
            let sheet = sheet::build(&job, &worked, &judgement, "0123456789abcdef");
            let name = format!("{} with {kit_name}", path.file_name().unwrap().to_string_lossy());
            look(&Case { name, spec: &spec, job: &job, worked: &worked, judgement: &judgement, sheet: &sheet });
        }
    }
}

fn blocks(sheet: &Sheet) -> impl Iterator<Item = &Block> {
    sheet.sections.iter().flat_map(|section| &section.blocks)
}

fn steps(sheet: &Sheet) -> Vec<&Step> {
    blocks(sheet).filter_map(|block| if let Block::Step(step) = block { Some(step) } else { None }).collect()
}

fn cautions(sheet: &Sheet) -> Vec<&Caution> {
    blocks(sheet).filter_map(|block| if let Block::Caution(caution) = block { Some(caution) } else { None }).collect()
}

fn hold_ids(sheet: &Sheet) -> Vec<&str> {
    blocks(sheet)
        .filter_map(|block| if let Block::Hold(hold) = block { Some(hold.id.as_str()) } else { None })
        .collect()
}

fn place(steps: &[&Step], id: &str) -> Option<usize> {
    steps.iter().position(|step| step.id == id)
}

/// Every text of the program on a sheet, with the place where it stands; the author's own prose and steps left out.
fn texts(sheet: &Sheet) -> Vec<(String, String)> {
    let mut texts: Vec<(String, String)> = Vec::new();
    for section in &sheet.sections {
        let at = |what: &str| format!("section {} {what}", section.id);
        texts.push((at("title"), section.title.clone()));
        for block in &section.blocks {
            match block {
                Block::Text { text, lead } => {
                    texts.push((at("text"), format!("{lead}{}", text.text)));
                }
                Block::Prose { .. } => {}
                Block::Drawing(drawing) => {
                    texts.push((at(&drawing.id), format!("{} {}", drawing.title, drawing.description)));
                }
                Block::Table(table) => {
                    texts.push((at("caption"), table.caption.clone()));
                    texts.extend(table.head.iter().map(|head| (at(&table.key), head.clone())));
                    let filled = table.rows.iter().flatten().filter(|cell| !cell.text.is_empty());
                    texts.extend(filled.map(|cell| (at(&table.key), cell.text.clone())));
                }
                Block::Caution(caution) => {
                    for text in [&caution.title, &caution.hurts, &caution.action] {
                        texts.push((at(&caution.id), text.clone()));
                    }
                }
                Block::Step(step) if step.own => {}
                Block::Step(step) => texts.push((step.id.clone(), step.action.text.clone())),
                Block::Hold(hold) => {
                    texts.push((hold.id.clone(), hold.criterion.text.clone()));
                    texts.extend(hold.boxes.iter().chain(&hold.rows).map(|text| (hold.id.clone(), text.clone())));
                }
                // What the check had to say speaks of the spec in the words of its language.
                Block::List { .. } if section.id == "A" => {}
                Block::List { items } | Block::Alert { items, .. } => {
                    texts.extend(items.iter().map(|item| (at("line"), item.text.clone())));
                }
            }
        }
    }
    texts
}

/// Whether a text holds a setting of the panel: a number of amperes, hertz or litres a minute.
fn has_setting(text: &str) -> bool {
    text.split(' ').collect::<Vec<_>>().windows(2).any(|pair| {
        pair[0].parse::<f64>().is_ok() && matches!(pair[1].trim_end_matches(['.', ',', ';']), "A" | "Hz" | "L/min")
    })
}

#[test]
fn nothing_fouls_the_joint_after_the_last_cleaning() {
    // Dye, solvent, cutting and marking, by the keys of their steps.
    let foul = [
        "tips",
        "degrease",
        "penetrant",
        "stop-hole",
        "open",
        "cone",
        "strip",
        "paste",
        "dye-off",
        "wipe",
        "bake",
        "rinse",
        "again",
        "gouge",
    ];
    for_each("specs", |case| {
        let steps = steps(case.sheet);
        let scrape = place(&steps, "5.scrape").unwrap_or_else(|| panic!("{}: no scrape", case.name));
        let strike = place(&steps, "6.strike").unwrap_or_else(|| panic!("{}: no arc", case.name));
        assert!(scrape < strike, "{}: scraped before the arc", case.name);
        let turned = place(&steps, "6.cool").unwrap_or(steps.len());
        let high = steps.iter().any(|step| step.id == "6.root-test");
        for step in steps.iter().take(turned).skip(scrape + 1) {
            let Some((section, key)) = step.id.split_once('.') else { panic!("{}", step.id) };
            if section > "6" {
                break;
            }
            let fouls =
                foul.iter().any(|word| key == *word || key.strip_prefix(word).is_some_and(|r| r.starts_with('-')));
            assert!(!fouls || high, "{}: {} comes after the scrape", case.name, step.id);
        }
        // The dye is out and the solvent has gone before the scrape, and the drying lies between.
        let before = |id: &str| place(&steps, id).is_some_and(|at| at < scrape);
        assert!(before("5.dye-off") || before("5.wipe"), "{}", case.name);
        for id in ["5.away", "5.wait", "5.dry"] {
            assert!(before(id), "{}: {id}", case.name);
        }
        assert!(place(&steps, "5.wait") < place(&steps, "5.dry"), "{}", case.name);
    });
}

#[test]
fn the_hands_go_in_order() {
    let order = [
        "1.photo",
        "3.take-off-bush",
        "3.measure",
        "3.vinegar",
        "3.strip",
        "3.degrease",
        "3.tips",
        "3.stop-hole",
        "3.open",
        "4.penetrant",
        "5.earth",
        "5.scrap-bead",
        "5.dye-off",
        "5.dry",
        "5.scrape",
        "5.rod",
        "6.trial-bead",
        "6.probe",
        "6.strike",
        "6.fade",
        "6.gas",
        "6.brush",
        "6.look",
        "7.cool",
        "7.visual",
        "7.penetrant",
        "8.dress",
        "8.look",
        "8.soft",
        "8.bush",
    ];
    for_each("specs", |case| {
        let steps = steps(case.sheet);
        let places: Vec<(&str, usize)> = order.iter().filter_map(|id| Some((*id, place(&steps, id)?))).collect();
        assert!(places.len() > 15, "{}: {places:?}", case.name);
        // What is machined is looked at after the cutter, so late that the owner is told before.
        let machined = place(&steps, "8.machine");
        let looked = place(&steps, "8.look");
        assert!(machined.is_none_or(|machined| looked.is_some_and(|looked| looked == machined + 1)), "{}", case.name);
        let places: Vec<(&str, usize)> =
            places.into_iter().filter(|(id, _)| machined.is_none() || *id != "8.look").collect();
        assert!(places.is_sorted_by_key(|(_, at)| *at), "{}: {places:?}", case.name);
        let sections: Vec<&str> = case.sheet.sections.iter().map(|section| section.id.as_str()).collect();
        let whole = ["0", "standing", "1", "2", "3", "4", "5", "6", "7", "8", "9", "A", "B", "C"];
        assert_eq!(sections, whole, "{}", case.name);
    });
}

#[test]
fn every_caution_stands_right_before_its_step() {
    for_each("specs", |case| {
        for section in &case.sheet.sections {
            for (index, block) in section.blocks.iter().enumerate() {
                let Block::Caution(caution) = block else { continue };
                if caution.before.is_empty() {
                    assert!(matches!(section.id.as_str(), "standing" | "2"), "{}: {}", case.name, caution.id);
                    continue;
                }
                let after = section.blocks.iter().skip(index + 1);
                let next = after.into_iter().find(|block| !matches!(block, Block::Caution(_)));
                let Some(Block::Step(step)) = next else { panic!("{}: {} before no step", case.name, caution.id) };
                assert_eq!(step.id, caution.before, "{}: {}", case.name, caution.id);
            }
        }
    });
}

#[test]
fn a_caution_stands_before_the_first_of_its_steps() {
    for_each("specs", |case| {
        let steps = steps(case.sheet);
        for caution in cautions(case.sheet).into_iter().filter(|caution| !caution.before.is_empty()) {
            let at = place(&steps, &caution.before).unwrap();
            let row = case.judgement.dangers.iter().find(|fired| fired.hazard.id == caution.id).unwrap().hazard;
            for (index, step) in steps.iter().enumerate().take(at) {
                let named = row.before.iter().any(|key| {
                    step.id.strip_prefix(key.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
                });
                assert!(!named, "{}: {} stands behind {} ({index} < {at})", case.name, caution.id, step.id);
            }
        }
    });
}

#[test]
fn every_danger_and_warning_stands_and_the_lesser_are_few() {
    for_each("specs", |case| {
        let printed = cautions(case.sheet);
        let ids: BTreeSet<&str> = printed.iter().map(|caution| caution.id.as_str()).collect();
        let mut standing = 0;
        for fired in &case.judgement.dangers {
            let grave = matches!(fired.hazard.signal.as_str(), "DANGER" | "WARNING");
            assert!(!grave || ids.contains(fired.hazard.id.as_str()), "{}: {} is lost", case.name, fired.hazard.id);
            standing += usize::from(fired.hazard.standing);
        }
        assert!(standing >= 4, "{}: the standing block is there", case.name);
        let steps: BTreeSet<&str> = printed.iter().map(|caution| caution.before.as_str()).collect();
        for step in steps.into_iter().filter(|step| !step.is_empty()) {
            let here = printed.iter().filter(|caution| caution.before == step);
            let signals: Vec<&str> = here.map(|caution| caution.signal.as_str()).collect();
            let lesser = signals.iter().filter(|signal| matches!(**signal, "CAUTION" | "NOTICE")).count();
            assert!(lesser <= 2, "{}: {lesser} before {step}", case.name);
            let order = ["DANGER", "WARNING", "CAUTION", "NOTICE"];
            let ranks: Vec<usize> =
                signals.iter().map(|signal| order.iter().position(|known| known == signal).unwrap()).collect();
            assert!(ranks.is_sorted(), "{}: {step} {signals:?}", case.name);
        }
        let head = case.sheet.sections.iter().find(|section| section.id == "standing").unwrap();
        let lines = head.blocks.iter().filter(|block| matches!(block, Block::Caution(_))).count();
        assert!(lines <= 5, "{}: {lines} lines in the standing block", case.name);
        // What fired is listed in full, printed or not.
        let table = blocks(case.sheet).find_map(|block| match block {
            Block::Table(table) if table.key == "dangers" => Some(table),
            _ => None,
        });
        assert_eq!(table.map(|table| table.rows.len()), Some(case.judgement.dangers.len()), "{}", case.name);
    });
}

#[test]
fn holds_stand_where_work_must_stop() {
    for_each("specs", |case| {
        let holds = hold_ids(case.sheet);
        for id in ["hold-agreed", "hold-opening", "hold-accepted"] {
            assert!(holds.contains(&id), "{}: {id}", case.name);
        }
        let proof =
            |by: Option<IdentifiedBy>| matches!(by, Some(IdentifiedBy::Certificate | IdentifiedBy::Spectrometer));
        let metal = &case.spec.metal;
        let other = metal.other.as_ref().is_none_or(|other| proof(other.identified_by.as_ref().map(|at| at.value)));
        let proved = other && proof(metal.identified_by.as_ref().map(|at| at.value));
        assert_eq!(holds.contains(&"hold-identity"), !proved, "{}", case.name);
        assert_eq!(holds.contains(&"hold-dimensions"), !case.spec.part.keep.is_empty(), "{}", case.name);
        let passes = case.worked.figures.get(&FigureName::Passes);
        let two = passes.is_some_and(|figure| figure.passes.iter().any(|row| row.side == 2));
        assert_eq!(holds.contains(&"hold-gouge-test"), two, "{}", case.name);
        // Nothing is cut before the metal is proved, and of what may be magnesium nothing is stripped; of other metals it is
        // proved on the bare part.
        let class = rules::metals::class(case.job);
        let light = matches!(class, Class::Aluminium | Class::Magnesium);
        let before: &[&str] = if light { &["3.stop-hole", "3.open", "3.strip"] } else { &["3.stop-hole", "3.open"] };
        let section = case.sheet.sections.iter().find(|section| section.id == "3").unwrap();
        let hold = section.blocks.iter().position(|block| matches!(block, Block::Hold(h) if h.id == "hold-identity"));
        for cut in before {
            let cut = section.blocks.iter().position(|block| matches!(block, Block::Step(step) if step.id == *cut));
            assert!(hold.zip(cut).is_none_or(|(hold, cut)| hold < cut), "{}", case.name);
        }
    });
}

#[test]
fn ids_are_unique_and_texts_are_whole() {
    for folder in ["specs", "specs/refused"] {
        for_each(folder, |case| {
            let mut ids: BTreeSet<String> = BTreeSet::new();
            for id in steps(case.sheet).iter().map(|step| step.id.as_str()).chain(hold_ids(case.sheet)) {
                assert!(ids.insert(id.to_owned()), "{}: {id} stands twice", case.name);
            }
            for (at, text) in texts(case.sheet) {
                assert!(!text.trim().is_empty(), "{}: {at} is empty", case.name);
                let missing = text.contains('[') || text.contains('{') || text.contains('}');
                assert!(!missing, "{}: {at}: {text}", case.name);
                assert!(
                    !text.contains("  ") && !text.contains(" ,") && !text.contains(".."),
                    "{}: {at}: {text}",
                    case.name
                );
                assert!(!text.contains("NaN") && !text.contains("inf "), "{}: {at}: {text}", case.name);
            }
            for text in [&case.sheet.banner, &case.sheet.decision_text, &case.sheet.title, &case.sheet.number] {
                assert!(!text.is_empty() && !text.contains('['), "{}: {text}", case.name);
            }
        });
    }
}

fn cites(sheet: &Sheet) -> BTreeSet<String> {
    let of = |cell: &Cell| cell.cites.clone();
    let mut keys: BTreeSet<String> = BTreeSet::new();
    for block in blocks(sheet) {
        match block {
            Block::Text { text, .. } => keys.extend(of(text)),
            Block::Table(table) => keys.extend(table.rows.iter().flatten().flat_map(of)),
            Block::Caution(caution) => keys.extend(caution.cites.clone()),
            Block::Step(step) => keys.extend(of(&step.action)),
            Block::Hold(hold) => keys.extend(of(&hold.criterion)),
            Block::List { items } | Block::Alert { items, .. } => keys.extend(items.iter().flat_map(of)),
            Block::Prose { .. } | Block::Drawing(_) => {}
        }
    }
    keys
}

#[test]
fn what_is_not_worked_out_is_a_blank_with_a_reason() {
    for path in files("specs", ".repair.toml") {
        let (spec, _) = interpass::spec::read(&std::fs::read_to_string(&path).unwrap());
        let spec = spec.unwrap();
        let (job, _) = engine::job::check(&spec, None);
        let worked = Worked::default();
        let judgement = rules::judge(&job, &worked);
        let sheet = sheet::build(&job, &worked, &judgement, "");
        for (at, text) in texts(&sheet) {
            let whole = !text.trim().is_empty() && !text.contains(['[', '{', '}']);
            assert!(whole, "{}: {at}: {text}", path.display());
            // A setting that is not known is no number.
            assert!(!has_setting(&text), "{}: {at}: {text}", path.display());
        }
        let table = blocks(&sheet).find_map(|block| match block {
            Block::Table(table) if table.key == "settings" => Some(table),
            _ => None,
        });
        let table = table.unwrap();
        assert!(table.fill.contains(&1), "the setting is a box to fill in");
        for row in &table.rows {
            assert!(row[1].text.is_empty() && row[3].text.len() > 10, "{}: {}", path.display(), row[0].text);
        }
        let steps = steps(&sheet);
        assert!(steps.iter().any(|step| step.id == "5.flow" && step.action.text.contains("______")));
        for id in ["hold-agreed", "hold-opening", "hold-accepted"] {
            assert!(hold_ids(&sheet).contains(&id));
        }
    }
}

#[test]
fn sources_are_those_that_are_cited() {
    for folder in ["specs", "specs/refused"] {
        for_each(folder, |case| {
            let noted: BTreeSet<String> = case.sheet.sources.iter().map(|note| note.key.clone()).collect();
            assert_eq!(noted, cites(case.sheet), "{}", case.name);
            for note in &case.sheet.sources {
                assert!(interpass::reference::source_by_key(&note.key).is_some(), "{}: {}", case.name, note.key);
                assert!(note.text.ends_with('.') && note.text.len() > 15, "{}: {}", case.name, note.text);
            }
        });
    }
}

#[test]
fn a_refusal_gives_no_setting_and_says_what_to_do() {
    for_each("specs/refused", |case| {
        assert_eq!(case.sheet.decision, Decision::No, "{}", case.name);
        let sections: Vec<&str> = case.sheet.sections.iter().map(|section| section.id.as_str()).collect();
        assert_eq!(sections, ["0", "standing", "2", "B"], "{}", case.name);
        for block in blocks(case.sheet) {
            if let Block::Table(table) = block {
                assert!(matches!(table.key.as_str(), "identity" | "decide"), "{}: {}", case.name, table.key);
            }
            assert!(!matches!(block, Block::Hold(_)), "{}", case.name);
        }
        let steps = steps(case.sheet);
        assert!(!steps.is_empty() && steps.iter().all(|step| step.id.starts_with("2.")), "{}", case.name);
        for (at, text) in texts(case.sheet) {
            assert!(!has_setting(&text), "{}: {at}: {text}", case.name);
        }
        assert!(case.sheet.banner.starts_with("NOT HERE"), "{}", case.name);
    });
}

#[test]
fn a_refused_fuel_tank_shows_its_danger_and_no_way_round() {
    let mut seen = 0;
    for_each("specs/refused", |case| {
        if case.spec.part.held.as_ref().is_some_and(|at| at.value.word() == "fuel") {
            let cautions = cautions(case.sheet);
            assert!(cautions.iter().any(|caution| caution.id == "held-fuel" && caution.signal == "DANGER"));
            let all: String = texts(case.sheet).into_iter().map(|(_, text)| text.to_lowercase() + " ").collect();
            for way in ["steam", "fill it with", "flush", "purge", "dry ice", "exhaust"] {
                assert!(!all.contains(way), "{}: {way}", case.name);
            }
            assert!(!steps(case.sheet).iter().any(|step| step.id == "2.qualify"), "{}", case.name);
        }
    });
    for path in files("specs/refused", ".repair.toml") {
        seen += usize::from(std::fs::read_to_string(path).unwrap().contains("\"fuel\""));
    }
    assert!(seen > 0, "a fuel tank is among the demo specs");
}

#[test]
fn the_shops_own_steps_stand_where_they_belong() {
    let seen = std::cell::Cell::new(0);
    for_each("specs", |case| {
        let steps = steps(case.sheet);
        for own in &case.spec.step {
            let at = steps.iter().position(|step| step.own && step.id.ends_with(&format!(".{}", own.id.value.0)));
            let at = at.unwrap_or_else(|| panic!("{}: {} is lost", case.name, own.id.value.0));
            if let Some(after) = &own.after {
                let before = steps.get(at - 1).map(|step| step.id.as_str()).unwrap_or_default();
                assert!(before.ends_with(&format!(".{}", after.value.0)), "{}: behind {before}", case.name);
            }
            if own.hold.as_ref().is_some_and(|at| at.value) {
                let hold = format!("hold-{}", own.id.value.0);
                assert!(hold_ids(case.sheet).contains(&hold.as_str()), "{}: {hold}", case.name);
            }
            seen.set(seen.get() + 1);
        }
    });
    assert!(seen.get() > 0, "some demo specs have steps of their own");
}

#[test]
fn the_settings_table_says_what_the_figures_say() {
    for_each("specs", |case| {
        let table = blocks(case.sheet).find_map(|block| match block {
            Block::Table(table) if table.key == "settings" => Some(table),
            _ => None,
        });
        let table = table.unwrap_or_else(|| panic!("{}: no settings", case.name));
        let sets: Vec<&str> = table.rows.iter().map(|row| row[1].text.as_str()).collect();
        for name in [FigureName::AmperageMax, FigureName::Balance, FigureName::Frequency, FigureName::GasFlow] {
            let Some(figure) = case.worked.figures.get(&name) else { continue };
            let (set, _) = show::figure_text(figure, case.job.system);
            assert!(sets.contains(&set.as_str()), "{}: {} {set}", case.name, name.key());
        }
        for row in &table.rows {
            assert_eq!(row.len(), table.head.len(), "{}", case.name);
            let blank = row[1].text.is_empty();
            assert!(!blank || !row[3].text.is_empty(), "{}: {} is blank without a reason", case.name, row[0].text);
            assert!(row[4].text.is_empty(), "{}: the box to fill in is empty", case.name);
        }
    });
}

#[test]
fn no_aim_passes_the_panel_maximum() {
    for_each("specs", |case| {
        let Some(most) = case.worked.figures.get(&FigureName::AmperageMax).and_then(|figure| figure.aim()) else {
            return;
        };
        for block in blocks(case.sheet) {
            let Block::Table(table) = block else { continue };
            if !matches!(table.key.as_str(), "amperage" | "passes") {
                continue;
            }
            for cell in table.rows.iter().flatten().filter(|cell| cell.text.ends_with(" A")) {
                for number in cell.text.split(' ').filter_map(|word| word.parse::<f64>().ok()) {
                    assert!(number <= most + 0.5, "{}: {} over {most} A", case.name, cell.text);
                }
            }
        }
    });
}

#[test]
fn the_authors_system_of_units_comes_first() {
    let mut inches = BTreeSet::new();
    for path in files("specs", ".repair.toml") {
        let (spec, _) = interpass::spec::read(&std::fs::read_to_string(&path).unwrap());
        let spec = spec.unwrap();
        let (job, _) = engine::job::check(&spec, None);
        let worked = engine::work_out(&job);
        let judgement = rules::judge(&job, &worked);
        let sheet = sheet::build(&job, &worked, &judgement, "");
        let step = steps(&sheet).into_iter().find(|step| step.id == "5.scrape").unwrap().action.text.clone();
        let inch = job.system == interpass::units::System::Inch;
        let expected = if inch { "1 in (25 mm)" } else { "25 mm (1 in)" };
        assert!(step.contains(expected), "{}: {step}", path.display());
        inches.insert(inch);
    }
    assert_eq!(inches.len(), 2, "both systems are among the demo specs");
}

fn table<'a>(sheet: &'a Sheet, key: &str) -> Option<&'a interpass::sheet::Table> {
    blocks(sheet).find_map(|block| match block {
        Block::Table(table) if table.key == key => Some(table),
        _ => None,
    })
}

/// The first whole number of a text.
fn first_number(text: &str) -> Option<f64> {
    text.split(|c: char| !c.is_ascii_digit()).find(|digits| !digits.is_empty())?.parse().ok()
}

#[test]
fn the_aims_of_a_pass_are_those_of_the_parts_that_may_start() {
    let compared = std::cell::Cell::new(0);
    for_each("specs", |case| {
        let (Some(amperage), Some(passes)) = (table(case.sheet, "amperage"), table(case.sheet, "passes")) else {
            return;
        };
        let ids = steps(case.sheet);
        let probe = ids.iter().find(|step| step.id == "6.probe").map(|step| step.action.text.clone());
        for pass in &passes.rows {
            let (bead, before, aims) = (&pass[1].text, &pass[4].text, &pass[5].text);
            // Only where the amperage table has a row for the warmest part that may start.
            let Some(limit) = before.ends_with("or less").then(|| first_number(before)).flatten() else { continue };
            let Some(row) = amperage.rows.iter().find(|row| first_number(&row[0].text) == Some(limit)) else {
                continue;
            };
            let kind = bead.split(", ").nth(1).and_then(|kind| kind.split(' ').next()).unwrap();
            let named = |head: &&String| head.to_lowercase().contains(kind) || head.starts_with("Every pass");
            let Some(column) = amperage.head.iter().position(|head| named(&head)) else { continue };
            let wanted = first_number(&row[column].text).unwrap();
            let last = aims.trim_end_matches(" A").rsplit(' ').next().and_then(first_number);
            let last = if aims.contains("beyond") { first_number(aims) } else { last };
            assert_eq!(last, Some(wanted), "{}: pass {} says {aims} for {before}", case.name, pass[0].text);
            compared.set(compared.get() + 1);
        }
        let first = passes.rows.first().map(|row| row[4].text.clone()).unwrap_or_default();
        assert!(probe.is_some_and(|probe| first.is_empty() || probe.contains(&first)), "{}: {first}", case.name);
    });
    assert!(compared.get() > 10, "only {} passes were compared", compared.get());
}

#[test]
fn a_crack_is_not_tacked_and_no_step_of_the_arc_is_a_blank() {
    for_each("specs", |case| {
        let kind = case.spec.damage.kind.as_ref().map(|at| at.value.word());
        for step in steps(case.sheet).into_iter().filter(|step| step.id.starts_with("6.") && !step.own) {
            let tacks = step.id.starts_with("6.tack") || step.action.text.contains("both pieces");
            assert!(!(kind == Some("crack") && tacks), "{}: {}", case.name, step.action.text);
            let known = case.job.thickness.is_some() && case.job.base.alloy.is_some();
            assert!(!known || !step.action.text.contains("____"), "{}: {}", case.name, step.action.text);
        }
    });
}

#[test]
fn what_is_left_on_a_face_is_the_same_in_every_place() {
    let seen = std::cell::Cell::new(0);
    for_each("specs", |case| {
        let left = |keep: &interpass::spec::Keep| {
            let built_up = keep.distance.as_ref().is_none_or(|at| at.value.text.starts_with('0'));
            keep.allowance.as_ref().filter(|_| built_up).map(|at| at.value.text.clone())
        };
        let stated =
            case.spec.part.keep.iter().filter_map(|keep| left(&keep.value)).find(|text| !text.starts_with('0'));
        let (Some(stated), Some(groove)) = (stated, table(case.sheet, "groove")) else { return };
        let said: Vec<&str> = steps(case.sheet)
            .into_iter()
            .filter(|step| matches!(step.id.as_str(), "6.allowance" | "8.machine"))
            .map(|step| step.action.text.as_str())
            .chain(
                groove.rows.iter().filter(|row| row[0].text == "Of it to machine off").map(|row| row[1].text.as_str()),
            )
            .collect();
        assert!(said.len() >= 2 && said.iter().all(|text| text.contains(&stated)), "{}: {stated}: {said:?}", case.name);
        seen.set(seen.get() + said.len());
    });
    assert!(seen.get() >= 9, "{}", seen.get());
}

#[test]
fn a_drying_heat_over_what_a_pass_starts_at_is_followed_by_cooling() {
    for_each("specs", |case| {
        let resume = case.worked.figures.get(&FigureName::ResumeBelow).and_then(engine::Figure::aim);
        let Some(dry) = steps(case.sheet).into_iter().find(|step| step.id == "5.dry") else { return };
        // Drying heat goes to 65 °C.
        let cools = dry.action.text.contains("It cools to");
        assert_eq!(cools, resume.is_some_and(|resume| resume < 65.0), "{}: {}", case.name, dry.action.text);
    });
}

#[test]
fn what_is_said_of_the_soft_zone_agrees_from_the_question_to_the_owner() {
    for_each("specs", |case| {
        let (Some(decide), Some(owner)) =
            (table(case.sheet, "decide"), steps(case.sheet).into_iter().find(|step| step.id == "8.soft"))
        else {
            return;
        };
        let asked = decide.rows.iter().any(|row| row[0].text.contains("soft zone") && row[1].text.contains("hold"));
        let told = owner.action.text.contains("is soft now");
        let agreed = blocks(case.sheet).any(|block| {
            matches!(block, Block::Hold(hold) if hold.id == "hold-agreed" && hold.criterion.text.contains("soft zone"))
        });
        assert_eq!((asked, agreed), (told, told), "{}: {}", case.name, owner.action.text);
    });
}
