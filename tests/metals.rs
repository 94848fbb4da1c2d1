//! Every metal of the tables, in each of its forms, walls and joints: a whole sheet, or a refusal with its reason; no
//! figure is missing without a word, and none lies where no welder, set or gas can be.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::engine::{self, Figure, FigureName, Value};
use interpass::findings::{Code, Severity};
use interpass::reference::{Alloy, Class, Product, Weldability, alloy};
use interpass::rules::{self, Decision};
use interpass::sheet;
use rayon::prelude::*;

const WALLS: [&str; 4] = ["1 mm", "3 mm", "8 mm", "40 mm"];
const JOINTS: [&str; 8] = ["butt", "fillet", "lap", "corner", "edge", "groove", "pad", "plug"];

/// Forms that a metal of this product is sold in, as far as the tables tell them apart.
fn forms(product: Product) -> &'static [&'static str] {
    match product {
        Product::Wrought => &["plate", "tube"],
        Product::Cast => &["sand casting"],
        Product::Die => &["die casting"],
    }
}

fn spec(alloy: &Alloy, form: &str, wall: &str, joint: &str) -> String {
    format!(
        "format = 1\n[procedure]\nnumber = \"T-1\"\ntitle = \"Walk\"\nrevision = \"A\"\n\
         [part]\nname = \"part\"\nconsequence = \"low\"\nloading = [\"static\"]\nuse = [\"general\"]\nenclosed = false\n\
         hollow = false\nheld = \"nothing\"\nmass = \"5 kg\"\n\
         [metal]\nalloy = \"{}\"\nform = \"{form}\"\nthickness = \"{wall}\"\nidentified_by = \"certificate\"\n\
         surface = [\"clean\"]\n\
         [damage]\nkind = \"crack\"\ncause = \"overload\"\nlength = \"30 mm\"\nwidth = \"12 mm\"\ndiameter = \"10 mm\"\n\
         height = \"2 mm\"\nthrough = true\ntips = 1\n\
         [prepare]\ncleaner = \"acetone\"\ncoating = \"none\"\n\
         [place]\nsite = \"welding shop\"\nconfined = false\npit = false\n\
         [weld]\njoint = \"{joint}\"\n",
        alloy.name
    )
}

/// What every sheet that is no refusal must give, or say why it does not.
const NEEDED: [FigureName; 16] = [
    FigureName::Amperage,
    FigureName::AmperageWarm,
    FigureName::AmperageMax,
    FigureName::Polarity,
    FigureName::TungstenDiameter,
    FigureName::TungstenType,
    FigureName::Cup,
    FigureName::Gas,
    FigureName::GasFlow,
    FigureName::PostFlow,
    FigureName::Preheat,
    FigureName::InterpassMax,
    FigureName::ArcVoltage,
    FigureName::TravelSpeed,
    FigureName::HeatInput,
    FigureName::LensShade,
];

/// Ends that no figure passes: what hand, set, torch and metal can be.
fn bounds(name: FigureName) -> Option<(f64, f64)> {
    Some(match name {
        FigureName::Amperage | FigureName::AmperageRunning | FigureName::AmperageWarm | FigureName::AmperageMax => {
            (2.0, 600.0)
        }
        FigureName::Balance => (50.0, 90.0),
        FigureName::Frequency => (40.0, 250.0),
        FigureName::TungstenDiameter => (0.5, 6.4),
        FigureName::Cup => (3.0, 16.0),
        FigureName::GasFlow => (2.0, 40.0),
        FigureName::PreFlow => (0.0, 5.0),
        FigureName::PostFlow => (5.0, 60.0),
        FigureName::FillerDiameter => (0.8, 6.4),
        FigureName::Dilution => (0.0, 100.0),
        FigureName::ArcVoltage => (8.0, 34.0),
        FigureName::TravelSpeed => (20.0, 700.0),
        FigureName::HeatInput | FigureName::ArcEnergy => (0.01, 10.0),
        FigureName::Preheat => (0.0, 650.0),
        FigureName::InterpassMax | FigureName::ResumeBelow => (20.0, 700.0),
        FigureName::ArcMinutesBeforePause => (0.0, 5.0),
        FigureName::LensShade => (5.0, 15.0),
        FigureName::Ferrite => (0.0, 120.0),
        FigureName::CoolingTime => (0.0, 3600.0),
        FigureName::PenetrantDwell => (5.0, 120.0),
        _ => return None,
    })
}

/// Walls that one pass of TIG may not melt through.
fn thick(wall: &str) -> bool {
    matches!(wall, "8 mm" | "40 mm")
}

fn check_figure(figure: &Figure, at: &str) {
    let numbers: Vec<f64> = match figure.value {
        Value::Number(number) => vec![number],
        Value::Range { low, high, set } => {
            assert!(low <= set && set <= high, "{at}: {} {low} {set} {high}", figure.name.key());
            vec![low, set, high]
        }
        Value::Word(ref word) => {
            assert!(!word.trim().is_empty(), "{at}: {} is empty", figure.name.key());
            Vec::new()
        }
        Value::Flag(_) => Vec::new(),
    };
    for number in numbers {
        assert!(number.is_finite(), "{at}: {} is no number", figure.name.key());
        if let Some((low, high)) = bounds(figure.name) {
            assert!((low..=high).contains(&number), "{at}: {} is {number}", figure.name.key());
        }
    }
    assert!(figure.basis.is_some(), "{at}: {} has no basis", figure.name.key());
    for row in &figure.passes {
        for amps in row.start.iter().chain(&row.running).chain(&row.warm) {
            assert!((2.0..=600.0).contains(amps), "{at}: pass {} at {amps} A", row.number);
        }
    }
}

/// One job; true where it gave a whole sheet.
fn walk(alloy: &Alloy, form: &str, wall: &str, joint: &str) -> bool {
    let at = format!("{} {form} {wall} {joint}", alloy.name);
    let text = spec(alloy, form, wall, joint);
    let (read, said) = interpass::spec::read(&text);
    assert!(said.iter().all(|one| one.severity != Severity::Error), "{at}: {said:#?}");
    let read = read.unwrap();
    let (job, mut findings) = engine::job::check(&read, None);
    let worked = engine::work_out(&job);
    let judgement = rules::judge(&job, &worked);
    findings.extend(worked.findings.iter().cloned());
    findings.extend(judgement.findings.iter().cloned());
    // What no set and no tungsten gives is an answer too: it says so, and there is no sheet to weld by.
    let cannot = findings.iter().any(|one| {
        matches!(one.code, Code::SettingBeyondMachines | Code::SettingNotComputed | Code::SettingAboveTungsten)
    });
    for figure in worked.figures.values().filter(|_| !cannot) {
        check_figure(figure, &at);
    }
    if cannot {
        assert!(thick(wall), "{at}: {findings:#?}");
        return false;
    }
    if alloy.weldability == Weldability::Refused {
        assert_eq!(judgement.decision, Decision::No, "{at}: is welded");
        let gate = findings.iter().find(|one| one.code == Code::GateMetal);
        let gate = gate.unwrap_or_else(|| panic!("{at}: refused without a finding"));
        let why = format!("{gate:?}");
        assert!(why.contains(&alloy.why), "{at}: the refusal does not say that {}", alloy.why);
    } else {
        for name in NEEDED {
            assert!(worked.figures.contains_key(&name), "{at}: no {}: {findings:#?}", name.key());
        }
        let rod = worked.figures.contains_key(&FigureName::FillerMetal);
        assert!(rod || findings.iter().any(|one| one.code == Code::FillerNone), "{at}: no rod and no word of it");
        let order = (worked.figures[&FigureName::Preheat].aim(), worked.figures[&FigureName::InterpassMax].aim());
        if let (Some(preheat), Some(interpass)) = order {
            assert!(preheat <= interpass, "{at}: preheat {preheat}, between passes {interpass}");
        }
        let on_ac = worked.figures[&FigureName::Polarity].word() == Some("AC");
        let wants_ac = matches!(alloy.class, Class::Aluminium | Class::Magnesium) || alloy.family == "aluminium bronze";
        assert_eq!(on_ac, wants_ac, "{at}");
        assert_eq!(worked.figures.contains_key(&FigureName::Balance), on_ac, "{at}: balance is a matter of AC");
    }
    let sheet = sheet::build(&job, &worked, &judgement, &"0".repeat(64));
    let text = serde_json::to_string(&sheet.sections).unwrap();
    // A key or a blank that is missing comes out in square brackets.
    for lost in ["[steps/", "[sections/", "[values/", "[hazards/", "[advice/", "[decide/", "[gates/", "[workings/"] {
        assert!(!text.contains(lost), "{at}: {lost} in the sheet");
    }
    let refused = judgement.decision == Decision::No;
    assert!(refused || sheet.sections.len() >= 13, "{at}: only {} sections", sheet.sections.len());
    !refused
}

#[test]
fn every_metal_gives_a_whole_sheet_or_a_refusal_with_its_reason() {
    let rows = &alloy().rows;
    let others = rows.iter().filter(|alloy| alloy.class != Class::Aluminium).count();
    assert!(others >= 50, "only {others} metals besides aluminium");
    let jobs: Vec<(&Alloy, &str, &str, &str)> = rows
        .iter()
        .flat_map(|alloy| {
            let of_form = move |form: &'static str| {
                WALLS.iter().flat_map(move |wall| JOINTS.iter().map(move |joint| (alloy, form, *wall, *joint)))
            };
            forms(alloy.product).iter().flat_map(move |form| of_form(form))
        })
        .collect();
    let whole = jobs.par_iter().filter(|(alloy, form, wall, joint)| walk(alloy, form, wall, joint)).count();
    assert!(whole * 2 > jobs.len(), "{whole} of {} gave a sheet", jobs.len());
}

#[test]
fn a_family_alone_gives_the_cautious_end_and_asks_what_it_is() {
    let mut families: Vec<&str> = alloy().rows.iter().map(|alloy| alloy.family.as_str()).collect();
    families.sort_unstable();
    families.dedup();
    assert!(families.len() >= 20, "{families:?}");
    for family in families {
        let text = format!(
            "format = 1\n[procedure]\nnumber = \"T-1\"\ntitle = \"Family\"\nrevision = \"A\"\n[part]\nname = \"part\"\n\
             [metal]\nfamily = \"{family}\"\nthickness = \"6 mm\"\n[damage]\nkind = \"crack\"\n"
        );
        let (read, said) = interpass::spec::read(&text);
        let read = read.unwrap_or_else(|| panic!("{family}: {said:#?}"));
        let (job, findings) = engine::job::check(&read, None);
        let worked = engine::work_out(&job);
        let judgement = rules::judge(&job, &worked);
        for figure in worked.figures.values() {
            check_figure(figure, family);
        }
        assert_ne!(judgement.decision, Decision::Go, "{family}: a metal that nobody knows");
        if job.base.candidates.is_empty() {
            assert_eq!(judgement.decision, Decision::No, "{family}: all its members are refused");
            continue;
        }
        assert!(findings.iter().any(|one| one.code == Code::MetalFamily), "{family}");
        let sheet = sheet::build(&job, &worked, &judgement, &"0".repeat(64));
        assert!(sheet.sections.len() >= 13 || judgement.decision == Decision::No, "{family}");
    }
}
