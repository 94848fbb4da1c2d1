//! Jobs to make cards of: the demo specs with every kit, and a grid of generated specs.

use interpass::engine;
use interpass::kit::Kit;
use interpass::rules;
use interpass::sheet::card::{self, Card, NoCard};
use interpass::sheet::{self, Block, Caution, Sheet};
use interpass::spec::Spec;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

/// A card with the sheet that it is of.
pub struct Made {
    pub name: String,
    pub sheet: Sheet,
    pub card: Result<Card, NoCard>,
}

fn files(folder: &str, end: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.to_string_lossy().ends_with(end));
    files.sort();
    assert!(files.len() >= 3, "the demo files are there");
    files
}

pub fn kits() -> Vec<Option<Kit>> {
    let read = |path: &PathBuf| interpass::kit::read(&std::fs::read_to_string(path).unwrap()).0;
    std::iter::once(None).chain(files("specs/kits", ".kit.toml").iter().map(read)).collect()
}

/// The seal that the cards of these tests carry.
pub const SEAL: &str = "5e0c41b792da0123";

/// The card of a spec.
pub fn make(name: &str, text: &str, kit: Option<&Kit>) -> Made {
    let (spec, findings) = interpass::spec::read(text);
    let spec: Spec = spec.unwrap_or_else(|| panic!("{name}: {findings:?}\n{text}"));
    let (job, _) = engine::job::check(&spec, kit);
    let worked = engine::work_out(&job);
    let judgement = rules::judge(&job, &worked);
    let sheet = sheet::build(&job, &worked, &judgement, SEAL);
    let card = card::build(&job, &worked, &judgement, SEAL, &sheet);
    Made { name: name.to_owned(), sheet, card }
}

/// Every demo spec, refused ones too, with every kit.
pub fn demos() -> &'static [Made] {
    static DEMOS: LazyLock<Vec<Made>> = LazyLock::new(make_demos);
    &DEMOS
}

fn make_demos() -> Vec<Made> {
    let kits = kits();
    let specs = files("specs", ".repair.toml").into_iter().chain(files("specs/refused", ".repair.toml"));
    let each = specs.flat_map(|path| {
        let text = std::fs::read_to_string(&path).unwrap();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        kits.iter().map(|kit| make(&name, &text, kit.as_ref())).collect::<Vec<_>>()
    });
    each.collect()
}

/// Answers to what decides about safety, so that few dangers fire.
const ANSWERED: &str = "enclosed = false\nhollow = false\nheld = \"nothing\"\nuse = [\"general\"]\nconsequence = \"low\"\n\
                        loading = [\"static\"]\n";

/// A grid of generated specs, from a plain one to the worst: metals, walls, joints, places, lengths of titles.
pub fn grid() -> &'static [Made] {
    static GRID: LazyLock<Vec<Made>> = LazyLock::new(make_grid);
    &GRID
}

fn make_grid() -> Vec<Made> {
    let kits = kits();
    let metals = [("A356.0", "sand casting"), ("6061", "plate"), ("5083", "plate"), ("3003", "sheet")];
    let walls = ["0.8 mm", "3/16 in", "12.7 mm", "30 mm"];
    let joints = ["groove", "butt", "fillet", "pad"];
    let places = [
        "[place]\nsite = \"outdoors\"\n",
        "[place]\nsite = \"welding shop\"\nconfined = false\npit = false\n",
        "[place]\nconfined = true\n",
    ];
    let titles = ["Crack", &"Wärmetauscherbefestigungswinkel am Aussenbordmotor ".repeat(2), &"W".repeat(120)];
    let mut made = Vec::new();
    for (index, (alloy, form)) in metals.into_iter().enumerate() {
        for wall in walls {
            for joint in joints {
                for (number, place) in places.into_iter().enumerate() {
                    let title = titles[(index + number + made.len()) % titles.len()].trim();
                    let long = made.len() % 5 == 4;
                    let part = match number {
                        0 => ANSWERED.replace("use = [\"general\"]\n", ""),
                        1 => ANSWERED.to_owned(),
                        _ => String::new(),
                    };
                    let procedure = if long { "N".repeat(40) } else { "G-1".to_owned() };
                    let length = if made.len() % 2 == 0 { "length = \"60 mm\"\n" } else { "" };
                    let text = format!(
                        "format = 1\n[procedure]\nnumber = \"{procedure}\"\ntitle = \"{title}\"\nrevision = \"A\"\n[part]\n{part}\
                         [metal]\nalloy = \"{alloy}\"\nform = \"{form}\"\nthickness = \"{wall}\"\n[damage]\nkind = \"crack\"\n\
                         {length}[prepare]\ncleaner = \"acetone\"\ncoating = \"none\"\n{place}[weld]\njoint = \"{joint}\"\naccess = \"both sides\"\n"
                    );
                    let kit = kits[made.len() % kits.len()].as_ref();
                    made.push(make(
                        &format!("{alloy} {wall} {joint}, place {number}, {} letters", title.len()),
                        &text,
                        kit,
                    ));
                }
            }
        }
    }
    made
}

/// The cautions of a sheet.
pub fn cautions(sheet: &Sheet) -> Vec<&Caution> {
    let blocks = sheet.sections.iter().flat_map(|section| &section.blocks);
    blocks.filter_map(|block| if let Block::Caution(caution) = block { Some(caution) } else { None }).collect()
}

/// The bytes of a card.
pub fn html(card: &Card) -> String {
    let mut out = Vec::new();
    interpass::faces::card::write(card, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}
