//! Inspection: published times, temperatures, light, limits and shades, held against figures and printed steps.

use crate::rows::{Outcome, not_yet};
use crate::shop::Ask;
use crate::sources::check_place;
use crate::trade::answer;
use interpass::engine::acceptance::{Sizes, allowed, readable};
use interpass::engine::{self, Figure, FigureName, Origin, lens, penetrant};
use interpass::reference::acceptance::{by_dye, rows_for, standard_named};
use interpass::reference::{Acceptance, Flaw, acceptance};
use interpass::sheet::{self, Block};
use interpass::{kit, rules};
use serde::Deserialize;

#[derive(Debug, Deserialize)]
struct Told {
    source: String,
    locator: String,
    basis: String,
}

macro_rules! row {
    ($name:ident { $($(#[$meta:meta])* $field:ident : $type:ty),* $(,)? }) => {
        #[derive(Debug, Deserialize)]
        #[serde(deny_unknown_fields)]
        struct $name { id: String, source: String, locator: String, basis: String, $($(#[$meta])* $field: $type),* }
        impl $name {
            fn told(&self) -> Told {
                Told { source: self.source.clone(), locator: self.locator.clone(), basis: self.basis.clone() }
            }
        }
    };
}

row!(LimitRow {
    standard: String, level: String, flaw: String, joint: Option<String>, above: f64, to: Option<f64>,
    permitted: bool, base: f64, factor: f64, of: Option<String>, cap: Option<f64>, short_only: bool,
});
row!(AwsRow {
    code: String, flaw: String, permitted: Option<bool>, below: Option<f64>, above: Option<f64>, max_mm: Option<f64>,
    max_in: Option<f64>,
});
row!(MarkRow {
    standard: String, levels: Vec<String>, shape: String, permitted: bool, max_mm: Option<f64>, max_in: Option<f64>,
    counts_above: Option<f64>, count: Option<u32>, gap: Option<f64>,
});
row!(MapRow { level: String, standards: Vec<String>, marks: String });
row!(TimeRow { what: String, min: Option<f64>, max: Option<f64> });
row!(DwellRow {
    scheme: String, forms: Vec<String>, minutes: f64, developer: Option<f64>, longest: Option<f64>,
});
row!(FactorRow { scheme: String, from: f64, to: f64, factor: f64 });
row!(TemperatureRow { low: f64, high: f64 });
row!(LightRow { lux: f64 });
row!(ShadeRow { process: String, from: f64, to: f64, minimum: u8, start: Option<u8> });
row!(RuleRow { text: String });
row!(PrepRow { what: String, max_hours: Option<f64> });

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    limit: Vec<LimitRow>,
    aws: Vec<AwsRow>,
    mark: Vec<MarkRow>,
    level_map: Vec<MapRow>,
    time: Vec<TimeRow>,
    dwell: Vec<DwellRow>,
    factor: Vec<FactorRow>,
    temperature: Vec<TemperatureRow>,
    light: Vec<LightRow>,
    shade: Vec<ShadeRow>,
    rule: Vec<RuleRow>,
    prep: Vec<PrepRow>,
}

/// What came of a row: an answer with what is said and what is wanted, or nothing where the program gives none.
type Said = Option<(bool, String)>;

/// All checks of this file. A row that `not-yet.txt` puts off is not asked.
pub(crate) fn all() -> Vec<(String, String, Option<Outcome>)> {
    let rows: Rows = toml::from_str(include_str!("inspection.toml")).expect("rows");
    let put_off = not_yet();
    let mut out = Vec::new();
    let mut put = |id: &str, told: &Told, ask: &dyn Fn() -> Said| {
        check_place(id, &told.source, &told.locator);
        assert!(["published", "memory", "common practice"].contains(&told.basis.as_str()), "{id}");
        let said = if put_off.contains_key(id) { None } else { ask() };
        out.push(("inspection".to_owned(), id.to_owned(), said.map(|(passed, text)| Outcome::new(id, passed, text))));
    };
    rows.limit.iter().for_each(|row| put(&row.id, &row.told(), &|| Some(of_limit(row))));
    rows.aws.iter().for_each(|row| put(&row.id, &row.told(), &|| of_aws(row)));
    rows.mark.iter().for_each(|row| put(&row.id, &row.told(), &|| Some(of_mark(row))));
    rows.level_map.iter().for_each(|row| put(&row.id, &row.told(), &|| Some(of_map(row))));
    rows.time.iter().for_each(|row| put(&row.id, &row.told(), &|| of_time(row)));
    rows.dwell.iter().for_each(|row| put(&row.id, &row.told(), &|| Some(of_dwell(row))));
    rows.factor.iter().for_each(|row| put(&row.id, &row.told(), &|| Some(of_factor(row))));
    rows.temperature.iter().for_each(|row| put(&row.id, &row.told(), &|| Some(of_temperature(row))));
    rows.light.iter().for_each(|row| put(&row.id, &row.told(), &|| Some(of_light(row))));
    rows.shade.iter().for_each(|row| put(&row.id, &row.told(), &|| of_shade(row)));
    rows.rule.iter().for_each(|row| put(&row.id, &row.told(), &|| Some(of_rule(row))));
    rows.prep.iter().for_each(|row| put(&row.id, &row.told(), &|| of_prep(row)));
    out
}

/// A crack in 8 mm A356 that is through, as the harbour workshop would ask.
fn crack() -> Ask {
    let mut ask = Ask::new("A356.0", "8 mm", "groove");
    ask.put("damage", "through = true\ntips = 1\ncause = \"fatigue\"");
    ask
}

/// The printed step of a sheet; it must be there.
fn printed(ask: &Ask, cans: Option<&str>, id: &str) -> String {
    let kit = cans.map(|kind| {
        let text = format!("format = 1\n[shop]\nname = \"Van\"\n[measure]\npenetrant = {{ kind = \"{kind}\" }}\n");
        kit::read(&text).0.expect("a kit")
    });
    let (spec, _) = interpass::spec::read(&ask.text());
    let spec = spec.expect("a spec");
    let (job, _) = engine::job::check(&spec, kit.as_ref());
    let worked = engine::work_out(&job);
    let judgement = rules::judge(&job, &worked);
    let sheet = sheet::build(&job, &worked, &judgement, "");
    let mut steps = sheet.sections.iter().flat_map(|section| &section.blocks).filter_map(|block| match block {
        Block::Step(step) if step.id == id => Some(step.action.text.clone()),
        _ => None,
    });
    steps.next_back().unwrap_or_else(|| panic!("no step {id}"))
}

/// Every number in a printed step, in its order.
fn numbers(text: &str) -> Vec<f64> {
    text.split(|c: char| !(c.is_ascii_digit() || c == '.')).filter_map(|word| word.parse().ok()).collect()
}

fn flaw(name: &str) -> Flaw {
    match name {
        "crack" => Flaw::Crack,
        "crater crack" => Flaw::CraterCrack,
        "lack of fusion" => Flaw::Fusion,
        "surface pore" => Flaw::Pore,
        "end crater pipe" => Flaw::CraterPipe,
        "incomplete root penetration, single side butt" => Flaw::Root,
        "root porosity" => Flaw::RootPore,
        "undercut" => Flaw::Undercut,
        "continuous undercut" => Flaw::UndercutLong,
        "intermittent undercut" => Flaw::UndercutShort,
        "shrinkage groove" => Flaw::Shrinkage,
        "incompletely filled groove (underfill)" => Flaw::Underfill,
        "excess weld metal" => Flaw::Excess,
        "excessive convexity" => Flaw::Convexity,
        "excess penetration" => Flaw::Penetration,
        "overlap" => Flaw::Overlap,
        "linear misalignment, plates" => Flaw::Misalignment,
        other => panic!("no flaw {other}"),
    }
}

/// Walls on both sides of every step of the standards, mm.
const WALLS: [f64; 12] = [0.6, 1.0, 1.6, 2.0, 3.0, 3.1, 4.7625, 6.0, 8.0, 12.7, 25.4, 40.0];

fn found(standard: &str, level: &str, flaw: Flaw, wall: f64, joint: &str) -> Option<&'static Acceptance> {
    rows_for(standard, level, wall, joint).find(|row| row.flaw == flaw)
}

/// An answer is at most the exact limit, and less than a step of a gauge under it.
fn close_below(answer: f64, exact: f64) -> bool {
    answer <= exact + 1e-9 && answer > exact - 0.1 - 1e-9
}

fn of_limit(row: &LimitRow) -> (bool, String) {
    let joint = row.joint.as_deref().unwrap_or("butt");
    for wall in WALLS.into_iter().filter(|wall| row.above < *wall && row.to.is_none_or(|to| *wall <= to)) {
        // The depth of a weld, its throat and its width are none of them the wall, so that no letter stands for another.
        let sizes = Sizes { t: wall, s: 0.9 * wall, a: Some(0.7 * wall), b: Some(1.6 * wall) };
        let of = match row.of.as_deref() {
            Some("t") | None => wall,
            Some("s") => 0.9 * wall,
            Some("a") => 0.7 * wall,
            Some("b") => 1.6 * wall,
            Some(other) => panic!("{}: of {other}", row.id),
        };
        let exact = if row.permitted { (row.base + row.factor * of).min(row.cap.unwrap_or(f64::MAX)) } else { 0.0 };
        let Some(own) = found(&row.standard, &row.level, flaw(&row.flaw), wall, joint) else {
            return (false, format!("no limit at {wall} mm, not {exact} mm"));
        };
        let answer = readable(allowed(own, &sizes));
        if !close_below(answer, exact) || own.short != row.short_only || answer < 0.0 {
            return (false, format!("{answer} mm at {wall} mm, short {}, not {exact} mm", own.short));
        }
    }
    (true, format!("{} {} {}", row.standard, row.level, row.flaw))
}

fn of_aws(row: &AwsRow) -> Said {
    let standard = if row.code.contains("D1.1") { "AWS D1.1" } else { "AWS D1.2" };
    let level = if row.code.contains("cyclic") { "cyclic" } else { "static" };
    if row.permitted == Some(false) {
        let all = [Flaw::Crack, Flaw::CraterCrack, Flaw::Fusion].into_iter();
        let bad: Vec<_> =
            all.filter(|flaw| found(standard, level, *flaw, 6.0, "butt").is_none_or(|row| row.permitted)).collect();
        return Some((bad.is_empty(), format!("allowed: {bad:?}, not none")));
    }
    if row.flaw != "undercut" {
        return None;
    }
    // Printed in both units: neither may be passed.
    let most = row.max_mm?.min(row.max_in? * 25.4);
    let walls = [2.0, 6.0, 24.9, 25.1, 40.0].into_iter();
    let walls =
        walls.filter(|wall| row.above.is_none_or(|above| *wall > above) && row.below.is_none_or(|to| *wall <= to));
    let sizes = |wall| Sizes { t: wall, s: wall, a: None, b: None };
    let answers: Vec<f64> = walls
        .map(|wall| {
            found(standard, level, Flaw::Undercut, wall, "butt")
                .map_or(f64::NAN, |own| readable(allowed(own, &sizes(wall))))
        })
        .collect();
    Some((
        !answers.is_empty() && answers.iter().all(|answer| close_below(*answer, most)),
        format!("{answers:?} mm, not {most:.3} mm"),
    ))
}

/// The limit of a mark as a sheet of a job gives it.
fn of_mark(row: &MarkRow) -> (bool, String) {
    let wanted = match (row.shape.as_str(), row.counts_above, row.count) {
        (_, Some(_), _) => Flaw::MarkCounts,
        (_, _, Some(_)) => Flaw::MarkRow,
        ("linear", ..) => Flaw::MarkLong,
        _ => Flaw::MarkRound,
    };
    let most =
        row.counts_above.or(row.gap).or(row.max_mm).unwrap_or(0.0).min(row.max_in.map_or(f64::MAX, |inch| inch * 25.4));
    let most = if row.permitted { most } else { 0.0 };
    let standard = standard_named(&row.standard).unwrap_or_else(|| panic!("{}: not held", row.id));
    let mut said = Vec::new();
    for level in &row.levels {
        let mut ask = crack();
        let level = if level.is_empty() { String::new() } else { format!(", level = \"{level}\"") };
        ask.put("weld", &format!("[inspection]\nacceptance = [{{ standard = \"{}\"{level} }}]", row.standard));
        let answer = answer(&ask);
        let limits = &answer.figure(FigureName::Acceptance).expect("limits").limits;
        let own = limits.iter().find(|limit| limit.leads && limit.flaw == wanted && limit.standard == standard.name);
        let passed = own.is_some_and(|own| close_below(own.most, most) && own.count == row.count);
        said.push((passed, own.map(|own| own.most)));
    }
    (said.iter().all(|(passed, _)| *passed), format!("{said:?}, not {most:.3} mm"))
}

fn of_map(row: &MapRow) -> (bool, String) {
    let own: Vec<&str> = row
        .standards
        .iter()
        .map(|standard| by_dye(standard, &row.level).map_or("", |own| own.marks_level.as_str()))
        .collect();
    (own.iter().all(|own| *own == row.marks), format!("{own:?}, not {}", row.marks))
}

fn minutes(figure: &Figure, part: &str) -> f64 {
    figure.parts.iter().find(|(key, ..)| *key == part).map_or(f64::NAN, |(_, minutes, _)| *minutes)
}

fn dwell(ask: &Ask) -> Figure {
    answer(ask).figure(FigureName::PenetrantDwell).expect("a dwell").clone()
}

fn of_time(row: &TimeRow) -> Said {
    let table = |what: &str| penetrant::limit(what, Some("NAVSEA 271")).and_then(|limit| limit.value);
    let same = |own: Option<f64>, wanted: Option<f64>| {
        Some((own.is_some() && own == wanted, format!("{own:?} min, not {wanted:?}")))
    };
    match row.what.as_str() {
        "longest penetrant dwell" => same(dwell(&crack()).maximum, row.max),
        what if what.starts_with("evaporation after final wipe") => {
            let mut ask = crack();
            ask.put("weld", "[prepare]\ncleaner = \"acetone\"");
            same(numbers(&printed(&ask, None, "3.let-go")).first().copied(), row.min)
        }
        what if what.contains("damp cloth, before penetrant") => {
            let mut ask = crack();
            ask.put("weld", "[prepare]\ncleaner = \"alcohol\"");
            same(numbers(&printed(&ask, None, "3.let-go")).first().copied(), row.min)
        }
        what if what.contains("any other way") => same(table("solvent off, flooded"), row.min),
        what if what.contains("from end of wiping to developer") => same(table("wipe to developer"), row.max),
        what if what.starts_with("reading window") || what == "developing time" => {
            let (low, high) = answer(&crack()).ends(FigureName::DeveloperTime)?;
            let passed = row.min? <= low && high <= row.max?;
            Some((passed, format!("{low} to {high} min, not within {:?} to {:?}", row.min, row.max)))
        }
        _ => None,
    }
}

fn of_dwell(row: &DwellRow) -> (bool, String) {
    // A dwell is never under a published one for the form; one by another manual stands beside it.
    let cast = row.forms.iter().any(|form| form == "casting" || form == "any");
    let service = row.forms.iter().any(|form| form.contains("service")) || row.scheme == "house rule";
    let ask = if cast { crack() } else { Ask::of_form("6061", "plate", "8 mm", "groove") };
    let figure = dwell(&ask);
    let parts: &[&str] = if service { &["tips"] } else { &["tips", "opening", "gouge", "final"] };
    let least = parts.iter().map(|part| minutes(&figure, part)).fold(f64::INFINITY, f64::min);
    let beside = figure.working.iter().any(|line| {
        line.number == Some(row.minutes) && matches!(&line.origin, Origin::Row(cite) if cite.source == row.source)
    });
    let answer = answer(&ask);
    let developer = answer.ends(FigureName::DeveloperTime).expect("a developer time");
    let passed = (least >= row.minutes || (beside && row.scheme == "NAVSEA 271"))
        && row.developer.is_none_or(|wanted| developer.0 >= wanted)
        && row.longest.is_none_or(|longest| least <= longest);
    (passed, format!("{least} min, developer {} min, not {} min at least", developer.0, row.minutes))
}

/// What a dwell is multiplied by at the place's temperature, against the same test at 20 °C.
fn of_factor(row: &FactorRow) -> (bool, String) {
    let part = if row.scheme == "ASME V" { "opening" } else { "tips" };
    let at = |celsius: f64| {
        let mut ask = crack();
        ask.put("place", &format!("temperature = \"{celsius} °C\""));
        minutes(&dwell(&ask), part)
    };
    let usual = at(20.0);
    let answers: Vec<f64> =
        [row.from, 0.5 * (row.from + row.to), row.to - 0.1].into_iter().map(|c| at(c) / usual).collect();
    (answers.iter().all(|answer| (answer - row.factor).abs() < 1e-9), format!("{answers:?}, not {}", row.factor))
}

fn of_temperature(row: &TemperatureRow) -> (bool, String) {
    let text = printed(&crack(), None, "4.temperature");
    let [low, high] = numbers(&text)[..2] else { panic!("{text}") };
    (row.low <= low && high <= row.high, format!("{low} to {high} °C, not within {} to {} °C", row.low, row.high))
}

fn of_light(row: &LightRow) -> (bool, String) {
    let text = printed(&crack(), None, "4.read");
    let lux = numbers(&text).into_iter().find(|number| *number > 100.0).unwrap_or_else(|| panic!("{text}"));
    (lux >= row.lux, format!("{lux} lux, not {} lux or more", row.lux))
}

fn of_shade(row: &ShadeRow) -> Said {
    if row.process != "GTAW" {
        return None;
    }
    // At a current that stands in two rows the darker one rules.
    let at = |amps: f64| lens::row("US", amps).map(|own| (own.minimum, own.start));
    let inside = [row.from + 1.0, 0.5 * (row.from + row.to), row.to - 1.0].map(at);
    let wanted = Some((row.minimum, row.start));
    let figure = lens::figure(row.from + 1.0)?;
    let printed = figure.minimum == Some(f64::from(row.minimum)) && figure.aim() == row.start.map(f64::from);
    let edge = lens::row("US", row.to).is_some_and(|own| own.minimum >= row.minimum);
    Some((inside.iter().all(|own| *own == wanted) && printed && edge, format!("{inside:?}, not {wanted:?}")))
}

fn of_rule(row: &RuleRow) -> (bool, String) {
    let figure = lens::figure(180.0).expect("a lens");
    let dark = figure.working.iter().any(|line| line.words == "start-dark");
    let over = figure.aim().zip(figure.minimum).is_some_and(|(start, least)| start > least);
    (dark && over && row.text.contains("lighter"), "start dark, go lighter, never below the minimum".to_owned())
}

fn of_prep(row: &PrepRow) -> Said {
    let text = printed(&crack(), None, "5.scrape");
    let hours = numbers(text.split("arc within").nth(1)?).first().copied()?;
    let most = row.max_hours?;
    assert!(row.what.starts_with("clean to weld"));
    Some((hours <= most, format!("{hours} h, not {most} h at most")))
}

#[test]
fn a_dye_that_glows_is_read_in_the_dark() {
    let text = printed(&crack(), Some("fluorescent, water washable"), "4.read");
    assert!(text.contains("UV-A") && text.starts_with("Rinse"), "{text}");
    let text = printed(&crack(), Some("visible, solvent removable"), "4.read");
    assert!(text.contains("white light") && text.starts_with("Wipe"), "{text}");
}

#[test]
fn no_row_of_the_tables_goes_unasked() {
    let rows: Rows = toml::from_str(include_str!("inspection.toml")).expect("rows");
    let held = acceptance().rows.iter().filter(|row| ["ISO 10042", "ISO 5817"].contains(&row.standard.as_str()));
    for own in held {
        let asked = rows.limit.iter().any(|row| {
            row.standard == own.standard
                && row.level == own.level
                && flaw(&row.flaw) == own.flaw
                && row.above == own.above
        });
        assert!(asked, "{} {} {:?} above {} mm", own.standard, own.level, own.flaw, own.above);
    }
}
