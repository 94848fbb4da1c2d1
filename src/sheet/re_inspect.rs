//! Section 7: cool, look, test the weld before any dressing, and accept or reject it against numbers.

use super::context::{Context, Say};
use super::penetrant::Test;
use super::writer::{Writer, table};
use super::{Cell, Section, Table};
use crate::engine::FigureName;
use crate::spec::InspectionMethod;

/// Kinds of flaw that a limit is asked for: key of the words, and whether penetrant shows it.
const FLAWS: &[(&str, bool)] = &[
    ("crack", false),
    ("pore", false),
    ("undercut", false),
    ("underfill", false),
    ("mark-long", true),
    ("mark-round", true),
];

/// Section 7.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "7");
    writer.step("cool");
    writer.step("visual");
    if context.penetrant() {
        Test::Final.write(&mut writer);
    } else {
        writer.not_required("7.penetrant");
    }
    for (method, key) in [
        (InspectionMethod::Ultrasonic, "ultrasonic"),
        (InspectionMethod::Radiography, "radiography"),
        (InspectionMethod::MagneticParticle, "magnetic"),
    ] {
        if context.tested_by(method) && !context.spec().inspection.methods.is_empty() {
            writer.step(key);
        }
    }
    writer.table(limits(context));
    super::attempt::mend(&mut writer);
    writer.hold("accepted", Say::of("sections", "hold/accepted"), &["attempt"]);
    writer.done()
}

/// Standards and levels as stated: `ISO 10042 level C, ISO 23277 level 2X`.
fn standards(context: &Context<'_>) -> String {
    let stated = context.spec().inspection.acceptance.iter().map(|at| match &at.value.level {
        Some(level) => {
            let say = Say::of("values", "standard-level").with("0", at.value.standard.value.clone());
            context.cell(&say.with("1", level.value.clone())).text
        }
        None => at.value.standard.value.clone(),
    });
    stated.collect::<Vec<String>>().join(", ")
}

/// The limits: those of the figure, else boxes to fill in from the standard that is named.
fn limits(context: &Context<'_>) -> Table {
    let mut table = table(context, "acceptance", &["limit"], &[]);
    let standards = standards(context);
    let heading = if standards.is_empty() { context.text("values", "no-standard") } else { standards };
    table.head.push(heading);
    for head in ["found", "basis"] {
        table.head.push(context.text("sections", &format!("head/{head}")));
    }
    table.fill = vec![1, 2];
    let figure = context.figure(FigureName::Acceptance);
    let parts = figure.map_or(&[][..], |figure| figure.parts.as_slice());
    if parts.is_empty() {
        for (key, by_dye) in FLAWS {
            if *by_dye && !context.penetrant() {
                continue;
            }
            let name = context.text("sections", &format!("flaw/{key}"));
            let allowed = if *key == "crack" { context.text("values", "no-flaw") } else { String::new() };
            table.rows.push(vec![context.plain(name), context.plain(allowed), Cell::default(), Cell::default()]);
        }
        return table;
    }
    for (key, number, unit) in parts {
        let name = context.text("sections", &format!("flaw/{key}"));
        let allowed = super::show::amount_up_to(*number, unit, context.system());
        table.rows.push(vec![context.plain(name), context.plain(allowed), Cell::default(), context.basis_cell(figure)]);
    }
    table
}

/// The largest surface pore that is allowed, where a figure says so.
pub(super) fn largest_pore(context: &Context<'_>) -> Option<String> {
    let (number, unit) = context.part(FigureName::Acceptance, "pore")?;
    Some(super::show::amount_up_to(number, unit, context.system()))
}
