//! Published facts about aluminium that are not one number of one figure: cracking, warm service, rods that must not
//! meet a metal, tips and volts of DCEN, ratings of foundry alloys.

use crate::rows::Outcome;
use crate::shop::Ask;
use crate::sources::check_place;
use crate::trade::answer;
use interpass::engine::FigureName;
use interpass::engine::load_line::LoadLine;
use interpass::engine::tungsten::{self, Need};
use interpass::engine::weld_metal::{cracks_at, weld_content};
use interpass::engine::work::constant;
use interpass::findings::Code;
use interpass::reference::search::{alloy_named, content, filler_named};
use interpass::reference::{Alloy, Filler, Polarity, Weldability};

/// A published fact: what the engine says, and what it should.
fn fact(id: &str, (source, locator): (&str, &str), passed: bool, got: &str, wanted: &str) -> Outcome {
    check_place(id, source, locator);
    Outcome::new(&format!("fact-{id}"), passed, format!("{got}, not {wanted}"))
}

pub(crate) fn alloy(name: &str) -> &'static Alloy {
    alloy_named(name).unwrap_or_else(|| panic!("no alloy {name}"))
}

fn filler(name: &str) -> &'static Filler {
    filler_named(name).unwrap_or_else(|| panic!("no filler {name}"))
}

/// All checks of this file.
pub(crate) fn all() -> Vec<(String, String, Option<Outcome>)> {
    let groups = [weld_metal(), cracking(), service(), rods(), helium(), tips(), ratings()];
    groups.into_iter().flatten().map(|outcome| ("fact".to_owned(), outcome.id.clone(), Some(outcome))).collect()
}

/// 6061 with 5356, half of each: about 3 % magnesium and 0.3 % silicon.
fn weld_metal() -> Vec<Outcome> {
    let of = |(element, printed): (&str, f64)| {
        let (got, _) = weld_content(alloy("6061"), filler("ER5356"), element, [0.5, 0.5]);
        let got = (got * 1e4).round() / 1e4;
        // Half of the last digit that is printed.
        let passed = (got - printed).abs() <= 0.05 + 1e-9;
        let place = ("filler-column", "first answer");
        fact(&format!("weld-metal-{element}"), place, passed, &format!("{got} %"), &format!("{printed} %"))
    };
    [("mg", 3.0), ("si", 0.3)].into_iter().map(of).collect()
}

fn cracking() -> Vec<Outcome> {
    let word = |cracks| if cracks { "in a range that cracks" } else { "in no range that cracks" };
    // Without filler the weld is the metal alone.
    let bare = |name: &str| !cracks_at(alloy(name), filler("ER4043"), 1.0).is_empty();
    let mut out = Vec::new();
    // Of five metals 2219 cracks least when it is melted without filler.
    for (name, cracks) in [("2219", false), ("2014", true), ("2024", true), ("7075", true), ("6061", true)] {
        let place = ("crack-order-seminar", "abstract");
        out.push(fact(&format!("bare-{name}"), place, bare(name) == cracks, word(bare(name)), word(cracks)));
    }
    for name in ["6005A", "6063", "6082"] {
        out.push(fact(&format!("bare-{name}"), ("al-textbook", "p.50"), bare(name), word(bare(name)), word(true)));
    }
    // A casting of 7 % silicon heals its cracks with each of these rods.
    for name in ["ER1100", "ER4043", "ER4047", "ER5356"] {
        let shares = (2..=8).map(|tenth| f64::from(tenth) / 10.0);
        let bad = shares.filter(|share| !cracks_at(alloy("A356.0"), filler(name), *share).is_empty()).count();
        let place = ("liquation-paper", "abstract");
        out.push(fact(&format!("a356-with-{name}"), place, bad == 0, &format!("{bad} of 7 dilutions crack"), "none"));
    }
    // Metal under 2 % magnesium wants a rod of 5 %, not one like itself.
    let mut ask = Ask::of_form("5005", "sheet", "3 mm", "butt");
    ask.put("weld", "needs = [\"crack resistance\"]");
    let answer = answer(&ask);
    let first: Vec<&str> = answer.fillers().into_iter().take(3).collect();
    let passed = first.iter().any(|name| content(&filler(name).limits, "mg") > 4.5);
    let place = ("al-textbook", "p.50");
    out.push(fact("5005-takes-5-percent", place, passed, &first.join(" "), "a rod of 5 % magnesium"));
    out
}

/// Over 66 °C in service metals of much magnesium are open to stress corrosion, and so are rods; 5454 was made free of it.
fn service() -> Vec<Outcome> {
    let mut out = Vec::new();
    for (name, open) in [("5083", true), ("5086", true), ("5456", true), ("5454", false)] {
        let mut ask = Ask::new(name, "6 mm", "groove");
        ask.put("part", "service_temperature = \"70 °C\"");
        let answer = answer(&ask);
        let warned = answer.has(Code::MetalMagnesiumWarm);
        let word = |warned| if warned { "warned of" } else { "let pass" };
        let place = ("mg-service-paper", "abstract");
        out.push(fact(&format!("warm-{name}"), place, warned == open, word(warned), word(open)));
        let most = answer.fillers().iter().map(|name| content(&filler(name).limits, "mg")).fold(0.0, f64::max);
        let place = ("al-textbook", "p.49");
        out.push(fact(&format!("warm-rods-{name}"), place, most < 5.0, &format!("up to {most} %"), "5 % or more"));
    }
    out
}

/// No silicon rod on metal over 2 % magnesium, no magnesium rod on metal over 2 % silicon.
fn rods() -> Vec<Outcome> {
    let most = |name: &str, element: &str| {
        let answer = answer(&Ask::new(name, "6 mm", "groove"));
        answer.fillers().iter().map(|name| content(&filler(name).limits, element)).fold(0.0, f64::max)
    };
    let metals = ["5052", "5083", "5086", "5454", "5456", "5754"].map(|name| (name, "si", "silicon"));
    let castings = ["319.0", "355.0", "356.0", "A356.0", "443.0"].map(|name| (name, "mg", "magnesium"));
    let of = |(name, element, word): (&str, &str, &str)| {
        let most = most(name, element);
        let place = ("al-textbook", "p.49");
        fact(&format!("no-{word}-rod-{name}"), place, most < 2.0, &format!("up to {most} % {word}"), "a rod of it")
    };
    metals.into_iter().chain(castings).map(of).collect()
}

fn helium() -> Vec<Outcome> {
    let mut ask = Ask::new("6061", "6 mm", "butt");
    ask.put("weld", "gas = \"helium\"");
    let warned = answer(&ask).has(Code::SettingOutside);
    let got = if warned { "advised against" } else { "let pass" };
    let mut out = vec![fact("helium-on-ac", ("al-textbook", "p.105"), warned, got, "advised against")];
    let most = |helium: f64| {
        let need = Need { polarity: Polarity::AC, balance: 70.0, low: 150.0, aim: 150.0, high: 160.0, helium };
        tungsten::diameter(need, &[]).and_then(|chosen| chosen.figure.maximum).unwrap_or(f64::NAN)
    };
    let (argon, half) = (most(0.0), most(0.5));
    let place = ("cup-maker-1", "Table 14, footnote 1");
    let got = format!("{half} A in half helium against {argon} A");
    out.push(fact("tungsten-in-helium", place, half < argon, &got, "less than in argon"));
    // Volts of the printed rows on DCEN, to a tenth: an arc is held by hand.
    for (amps, printed) in [(20, 20.0), (45, 20.0), (80, 17.0), (120, 17.0), (250, 14.0), (300, 17.0), (360, 19.0)] {
        let volts = LoadLine::for_gas(1.0).volts(f64::from(amps));
        let passed = (volts / printed - 1.0).abs() <= 0.1;
        let place = ("al-textbook", "Table 6.5, p.113");
        out.push(fact(&format!("helium-volts-{amps}"), place, passed, &format!("{volts} V"), &format!("{printed} V")));
    }
    let share = constant("dcen-efficiency").value;
    let passed = (0.73..=0.82).contains(&share);
    out.push(fact("dcen-efficiency", ("arc-review", "abstract"), passed, &share.to_string(), "0.73 to 0.82"));
    out
}

/// DCEN on aluminium: a taper of 45 degrees with a flat of about half the diameter.
fn tips() -> Vec<Outcome> {
    let mut out = Vec::new();
    for (diameter, amps, name) in [(2.4, 150.0, "2p4"), (3.2, 250.0, "3p2")] {
        let figures = tungsten::tip(Polarity::DCEN, diameter, amps);
        let aim = |name| {
            figures.iter().find(|figure| figure.name == name).and_then(|figure| figure.aim()).unwrap_or(f64::NAN)
        };
        let (angle, flat) = (aim(FigureName::TipAngle), aim(FigureName::TipFlat));
        let place = ("al-textbook", "p.113");
        let passed = (angle - 45.0).abs() <= 2.5;
        out.push(fact(&format!("dcen-angle-{name}"), place, passed, &format!("{angle} degrees"), "45"));
        let passed = (flat / diameter - 0.5).abs() <= 0.1;
        out.push(fact(&format!("dcen-flat-{name}"), place, passed, &format!("{flat} mm"), "about half the diameter"));
    }
    out
}

/// Ratings of weldability, 1 best to 5 worst: 4 and worse is never good, 2 and better never refused.
fn ratings() -> Vec<Outcome> {
    let of = |(name, rating): (&str, u8)| {
        let grade = alloy(name).weldability;
        let passed = if rating >= 4 { grade != Weldability::Good } else { grade != Weldability::Refused };
        let place = ("cast-foundry-page-2", "characteristics table");
        fact(&format!("rating-{name}"), place, passed, &format!("{grade:?}").to_lowercase(), &format!("{rating} of 5"))
    };
    [("319.0", 2), ("C355.0", 1), ("A356.0", 1), ("A357.0", 1), ("535.0", 4), ("713.0", 4)]
        .into_iter()
        .map(of)
        .collect()
}
