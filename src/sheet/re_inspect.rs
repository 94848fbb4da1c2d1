//! Section 7: cool, look, test the weld before any dressing, and accept or reject it against numbers.

use super::context::{Context, Say, listed};
use super::penetrant::Test;
use super::set_up::stainless_pair;
use super::writer::{Writer, table};
use super::{Cell, Section, Table, show};
use crate::engine::acceptance::{key, named};
use crate::engine::{Figure, FigureName, Limit};
use crate::reference::acceptance::by_dye;
use crate::reference::{Basis, Cite, Class, Flaw, Row};
use crate::rules::metals;
use crate::spec::{InspectionMethod, Joint};
use crate::units::mm;

/// Flaws that have a box to fill in where no standard of the tables limits them.
const BOXES: [Flaw; 5] = [Flaw::Pore, Flaw::Undercut, Flaw::Underfill, Flaw::MarkLong, Flaw::MarkRound];

/// Flaws that no standard allows, in one row.
const NEVER: [Flaw; 3] = [Flaw::Crack, Flaw::CraterCrack, Flaw::Fusion];

/// Section 7.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "7");
    super::other::relieve(&mut writer);
    writer.step("cool");
    // The cracks of a steel that hardens come days after the weld; colour is read before anything is wiped off.
    // A steel that asks for preheat by its composition may crack late too.
    let asks = context.figure(FigureName::Preheat).is_some_and(|figure| figure.minimum.is_some());
    if metals::hardenable(context.job) || (metals::class(context.job).is_steel() && asks) {
        writer.step("delay");
    }
    let tinted = matches!(context.job.class(), Class::Titanium | Class::Stainless | Class::Nickel);
    if tinted || stainless_pair(context) {
        writer.step("tint");
    }
    visual(&mut writer);
    if context.penetrant() {
        Test::Final.write(&mut writer);
    } else {
        writer.not_required("7.penetrant");
        if !context.magnetic_particles() {
            writer.text(Say::of("sections", "limits/no-dye"));
        }
    }
    for (method, key) in [
        (InspectionMethod::MagneticParticle, "magnetic"),
        (InspectionMethod::Radiography, "radiography"),
        (InspectionMethod::Ultrasonic, "ultrasonic"),
    ] {
        if context.tested_by(method) && !context.spec().inspection.methods.is_empty() {
            writer.step(key);
        }
    }
    writer.table(limits(context));
    remarks(&mut writer);
    super::attempt::mend(&mut writer);
    writer.hold("accepted", Say::of("sections", "hold/accepted"), &["attempt"]);
    writer.done()
}

/// The look at the weld: a pad has no other side, and a root that cannot be reached is said to be unseen.
fn visual(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let case = match context.job.joint {
        Joint::Pad => "pad",
        _ if !context.both_sides() && metals::open_root(context.job, context.worked) => "one-side",
        _ if !context.both_sides() => "face",
        _ => "",
    };
    writer.step_case("visual", case);
}

/// Standards and levels that the limits come from: `ISO 10042 level C, ISO 23277 level 2X`.
fn standards(context: &Context<'_>) -> String {
    let mut names: Vec<String> = Vec::new();
    for limit in all(context).iter().filter(|limit| limit.cite.basis != Basis::CommonPractice) {
        let name = match limit.level {
            "" => limit.standard.to_owned(),
            level => {
                let say = Say::of("values", "standard-level").with("0", limit.standard);
                context.cell(&say.with("1", level)).text
            }
        };
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.extend(named(context.job).1);
    names.join(", ")
}

fn all<'a>(context: &Context<'a>) -> &'a [Limit] {
    context.figure(FigureName::Acceptance).map_or(&[], |figure| figure.limits.as_slice())
}

fn leading<'a>(context: &Context<'a>) -> impl Iterator<Item = &'a Limit> + use<'a> {
    all(context).iter().filter(|limit| limit.leads)
}

/// The limits: those of the figure, and boxes to fill in for what no named standard of the tables limits.
fn limits(context: &Context<'_>) -> Table {
    let mut table = table(context, "acceptance", &[], &[]);
    let wall = context.job.thickness.map(|wall| crate::units::show::both(mm(wall), context.system()));
    table.head.push(match wall {
        Some(wall) => context.cell(&Say::of("sections", "head/limit-wall").with("wall", wall)).text,
        None => context.text("sections", "head/limit"),
    });
    let standards = standards(context);
    table.head.push(if standards.is_empty() { context.text("values", "no-standard") } else { standards });
    for head in ["found", "basis"] {
        table.head.push(context.text("sections", &format!("head/{head}")));
    }
    table.fill = vec![1, 2];
    let never: Vec<&Limit> =
        leading(context).filter(|limit| NEVER.contains(&limit.flaw) && limit.most <= 0.0).collect();
    if !never.is_empty() {
        let text = context.text("values", "no-flaw");
        table.rows.push(row(context, "never", text, &never));
    }
    let others = leading(context).filter(|limit| !never.contains(limit) && limit.flaw != Flaw::MarkCounts);
    for limit in others {
        table.rows.push(row(context, key(limit.flaw), allowed(context, limit), &[limit]));
    }
    for flaw in BOXES {
        if boxed(context, flaw) {
            let name = context.text("sections", &format!("flaw/{}", key(flaw)));
            table.rows.push(vec![context.plain(name), Cell::default(), Cell::default(), Cell::default()]);
        }
    }
    table
}

/// Whether a flaw wants a box: a weld flaw where the tables hold no standard of welds, a mark where they hold no class.
fn boxed(context: &Context<'_>, flaw: Flaw) -> bool {
    let (held, _) = named(context.job);
    let welds = held.iter().any(|named| !named.marks) && context.job.thickness.is_some();
    let same = |limit: &Limit| limit.flaw == flaw;
    if flaw.by_dye() { context.penetrant() && !all(context).iter().any(same) } else { !welds }
}

fn row(context: &Context<'_>, name: &str, text: String, limits: &[&Limit]) -> Vec<Cell> {
    let count = limits.first().and_then(|limit| limit.count).map_or_else(String::new, |count| count.to_string());
    let name = context.cell(&Say::of("sections", format!("flaw/{name}")).with("count", count)).text;
    let cites: Vec<Cite> = limits.iter().map(|limit| limit.cite.clone()).collect();
    let weakest = cites.iter().map(|cite| cite.basis).max();
    let basis = Cell {
        text: String::new(),
        basis: weakest.map(show::mark).unwrap_or_default().to_owned(),
        cites: context.keys(&cites),
    };
    vec![context.plain(name), context.plain(text), Cell::default(), basis]
}

/// How large a flaw may be, in both systems of units.
fn allowed(context: &Context<'_>, limit: &Limit) -> String {
    if limit.most <= 0.0 {
        return context.text("values", "no-flaw");
    }
    let most = show::amount_up_to(limit.most, "mm", context.system());
    match (limit.count, limit.short, limit.flaw) {
        (Some(_), ..) => context.cell(&Say::of("values", "gap-too-small").with("0", most)).text,
        // The name of the flaw says so already.
        (None, true, flaw) if flaw != Flaw::UndercutShort => {
            context.cell(&Say::of("values", "short-only").with("0", most)).text
        }
        _ => most,
    }
}

/// Whether a standard of the marks of a dye is named, and none of the weld itself.
pub(super) fn marks_alone(context: &Context<'_>) -> bool {
    let (held, _) = named(context.job);
    !held.is_empty() && held.iter().all(|named| named.marks)
}

/// What a reader of the limits must know besides.
fn remarks(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let (held, not_held) = named(context.job);
    let all: Vec<&Limit> = leading(context).collect();
    if held.is_empty() && not_held.is_empty() {
        writer.text(Say::of("sections", "limits/none-named"));
    }
    if !not_held.is_empty() {
        writer.text(Say::of("sections", "limits/not-held").with("standards", not_held.join(", ")));
    }
    if marks_alone(context) {
        writer.text(Say::of("sections", "limits/marks-alone"));
        if metals::open_root(context.job, context.worked) {
            writer.text(Say::of("sections", "limits/root"));
        }
    }
    if all.iter().any(|limit| limit.short || (limit.flaw == Flaw::UndercutShort && limit.most > 0.0)) {
        writer.text(Say::of("sections", "limits/short"));
    }
    // Marks by a class that the author did not name.
    if !held.iter().any(|named| named.marks)
        && context.penetrant()
        && let Some((weld, row)) = held.iter().find_map(|named| Some((named, by_dye(named.standard, named.level)?)))
    {
        let marks = format!("{} {}", row.marks, row.marks_level);
        let say = Say::of("sections", "limits/by-dye").with("marks", marks).with("standard", weld.text());
        writer.text(say.cite([row.cite()]));
    }
    if let Some(limit) = all.iter().find(|limit| limit.flaw == Flaw::MarkCounts) {
        let most = show::amount_up_to(limit.most, "mm", context.system());
        writer.text(Say::of("sections", "limits/mark-counts").with("most", most).cite([limit.cite.clone()]));
    }
    from_memory(writer, &all);
    inside(writer);
}

/// Limits from memory are checked against the standard; those that are remembered worst are named.
fn from_memory(writer: &mut Writer<'_, '_>, limits: &[&Limit]) {
    let context = writer.context;
    if !limits.iter().any(|limit| limit.cite.basis == Basis::Memory) {
        return;
    }
    let least = limits.iter().filter(|limit| limit.sure == Some("low"));
    let names: Vec<String> =
        least.map(|limit| context.text("sections", &format!("flaw/{}", key(limit.flaw))).to_lowercase()).collect();
    let case = if names.is_empty() { "memory" } else { "memory-least" };
    let names = listed(&names, &context.text("values", "and"));
    writer.text(Say::of("sections", format!("limits/{case}")).with("least", names));
}

/// What eye and dye cannot show: a level of a weld limits flaws inside it too.
fn inside(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let (held, _) = named(context.job);
    let sent = [InspectionMethod::Radiography, InspectionMethod::Ultrasonic].map(|method| context.tested_by(method));
    let Some(weld) = held.iter().find(|named| !named.marks) else { return };
    if !sent.contains(&true) {
        writer.text(Say::of("sections", "limits/inside").with("standard", weld.text()));
    }
}

/// The largest surface pore that is allowed, where a figure says so: empty where none is.
pub(super) fn largest_pore(context: &Context<'_>) -> Option<String> {
    let figure: &Figure = context.figure(FigureName::Acceptance)?;
    let limit = figure.limits.iter().find(|limit| limit.leads && limit.flaw == Flaw::Pore)?;
    Some(if limit.most > 0.0 { show::amount_up_to(limit.most, "mm", context.system()) } else { String::new() })
}
