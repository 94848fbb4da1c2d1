//! Section 8: dress, look again, tell what is soft, bring back to size, test for leaks, coat and refit.

use super::cited;
use super::context::{Context, Say};
use super::facts::feature;
use super::prepare::{dummies, numbered, plugged};
use super::re_inspect::largest_pore;
use super::writer::Writer;
use super::{Cell, Section};
use crate::engine::job::Base;
use crate::engine::{Figure, FigureName};
use crate::reference::Row;
use crate::reference::search::{filler_named, haz_of, strength_of};
use crate::spec::{DamageKind, Environment, Finish, Fitted, Held, InspectionMethod, Joint, Keep, Need, Use};
use crate::units::{InUnits, show};

/// Section 8.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "8");
    if plugged(context) {
        writer.step("unplug");
    }
    dress(&mut writer);
    super::cause::shape(&mut writer);
    soft(&mut writer);
    size(&mut writer);
    leak(&mut writer);
    balance(&mut writer);
    coat(&mut writer);
    super::cause::surroundings(&mut writer);
    refit(&mut writer);
    super::cause::fit(&mut writer);
    not_required(&mut writer);
    hold(&mut writer);
    writer.done()
}

fn finish(context: &Context<'_>) -> Option<Finish> {
    context.spec().part.finish.as_ref().map(|at| at.value)
}

fn food(context: &Context<'_>) -> bool {
    let used = context.spec().part.use_.iter().any(|at| at.value == Use::Food);
    used || context.held() == Some(Held::Food)
}

/// Whether a feature to keep lies under the weld and is cut back to size.
fn machined<'a>(context: &Context<'a>) -> impl Iterator<Item = &'a Keep> + use<'a> {
    context.keeps().filter(|keep| keep.allowance.as_ref().is_some_and(|at| at.value.value().in_mm() > 0.0))
}

fn dress(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let case = if machined(context).next().is_some() {
        "machined"
    } else if food(context) {
        "food"
    } else if matches!(context.job.joint, Joint::Fillet | Joint::Lap) {
        "leave"
    } else {
        "flush"
    };
    writer.step_case("dress", case);
    let over = largest_pore(context);
    let case = if over.is_some() { "over" } else { "plain" };
    let say = writer.say("look", case).with("over", over.unwrap_or_default());
    writer.say_step("look", say);
}

/// Tempers that a weld hardly softens.
const UNSOFTENED: [&str; 3] = ["F", "O", "H111"];

/// The form of the tables of strength beside the weld.
fn haz_form(context: &Context<'_>) -> &'static str {
    use crate::spec::Form;
    match context.spec().metal.form.as_ref().map(|at| at.value) {
        Some(Form::Sheet | Form::Plate) => "sheet and plate",
        Some(Form::Tube) => "drawn tube",
        _ => "extrusion",
    }
}

/// Whether a weld softens this metal.
fn softens(base: &Base) -> bool {
    !base.temper.as_deref().is_some_and(|temper| UNSOFTENED.contains(&temper))
}

/// Strength before and after of one metal, in words, with where it was found.
fn strength(context: &Context<'_>, base: &Base) -> Say {
    let (Some(alloy), Some(temper)) = (base.alloy, base.temper.as_deref()) else {
        return Say::of("advice", "soft/words");
    };
    let wall = base.thickness.or(context.job.thickness).unwrap_or_default();
    let mpa = |value: f64| super::show::bare(value, "MPa");
    if let Some(row) = haz_of(&alloy.name, temper, haz_form(context), wall) {
        return Say::of("advice", "soft/published")
            .with("metal", base.shown.clone())
            .with("before", mpa(row.proof))
            .with("after", mpa(row.haz_proof))
            .cite([row.cite()]);
    }
    let own = strength_of(&alloy.name, temper);
    let soft = ["F", "O"].iter().find_map(|temper| strength_of(&alloy.name, temper));
    match (own, soft) {
        (Some(own), Some(soft)) if soft.proof < own.proof => Say::of("advice", "soft/between")
            .with("metal", base.shown.clone())
            .with("temper", temper)
            .with("before", mpa(own.proof))
            .with("soft", soft.temper.clone())
            .with("after", mpa(soft.proof))
            .cite([soft.cite(), own.cite()]),
        _ => Say::of("advice", "soft/words"),
    }
}

fn soft(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let softened: Vec<&Base> =
        std::iter::once(&context.job.base).chain(&context.job.other).filter(|base| softens(base)).collect();
    if softened.is_empty() {
        writer.step_case("soft", "not");
    } else {
        let figure = context.figure(FigureName::HazStrength);
        let told: Vec<Cell> = match figure {
            Some(figure) => {
                let (set, _) = super::show::figure_text(figure, context.system());
                vec![context.cell(&Say::of("advice", "soft/figure").with("figure", set).figure(Some(figure)))]
            }
            None => softened.into_iter().map(|base| context.cell(&strength(context, base))).collect(),
        };
        let texts: Vec<&str> = told.iter().map(|cell| cell.text.as_str()).collect();
        let say = writer.say("soft", "soft").with("strength", texts.join(" "));
        let mut action = context.cell(&say.cite(cited::of_step("8.soft")));
        for cell in told {
            action.basis = if cell.basis.is_empty() { action.basis } else { cell.basis };
            action.cites.extend(cell.cites);
        }
        writer.push_step("soft", action, false);
    }
    if context.kind() == Some(DamageKind::StrippedThread) {
        writer.step("sleeve");
    }
}

fn size(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.kind() == Some(DamageKind::StrippedThread) {
        let thread = context.spec().damage.thread.as_ref().map_or_else(|| context.blank(), |at| at.value.clone());
        writer.step("face");
        for key in ["drill", "tap"] {
            let say = writer.say(key, "").with("thread", thread.clone());
            writer.say_step(key, say);
        }
    }
    for (index, keep) in machined(context).enumerate() {
        let allowance = keep.allowance.as_ref().map_or_else(|| context.blank(), |at| show::stated(&at.value));
        let say = writer.say("machine", "").with("feature", feature(keep)).with("allowance", allowance);
        writer.say_step(&numbered("machine", index), say);
    }
    for (index, keep) in dummies(context).enumerate() {
        let ream = context.text("advice", if allows_ream(keep) { "finish/ream" } else { "finish/no-ream" });
        let say = writer.say("bore", "").with("feature", feature(keep)).with("ream", ream);
        writer.say_step(&numbered("bore", index), say);
    }
    let dummied: Vec<*const Keep> = dummies(context).map(std::ptr::from_ref).collect();
    let others = context.keeps().filter(|keep| !dummied.contains(&std::ptr::from_ref(*keep)));
    for (index, keep) in others.enumerate() {
        let say = writer.say("measure", "").with("feature", feature(keep));
        writer.say_step(&numbered("measure", index), say);
    }
}

fn allows_ream(keep: &Keep) -> bool {
    keep.allowance.as_ref().is_some_and(|at| at.value.value().in_mm() > 0.0)
}

/// Whether the part is tested for leaks: the spec asks for it, or it holds something.
fn leak_tested(context: &Context<'_>) -> bool {
    let asked = context.tested_by(InspectionMethod::Leak);
    let held = matches!(context.held(), Some(held) if !matches!(held, Held::Nothing | Held::Unknown));
    asked || super::cause::of_ice(context) || (held && context.through())
}

fn leak(writer: &mut Writer<'_, '_>) {
    if leak_tested(writer.context) {
        writer.step("leak-test");
    }
}

fn balance(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.spec().part.rotating.is_none() {
        return;
    }
    if let Some(figure) = context.figure(FigureName::Unbalance) {
        let (set, _) = super::show::figure_text(figure, context.system());
        let say = Say::of("advice", "balance/text").with("unbalance", set).figure(Some(figure));
        writer.text(say);
    }
    writer.step("run-out");
    writer.step("balance");
}

fn coat(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.penetrant() && (food(context) || matches!(finish(context), Some(Finish::None) | None)) {
        writer.step("wash");
    }
    match finish(context) {
        Some(Finish::Paint) => writer.step("paint"),
        Some(Finish::PowderCoat) => writer.step("powder"),
        Some(Finish::Polish) if !food(context) => writer.step("polish"),
        Some(Finish::Anodise) => {
            colour(writer);
            writer.step("anodise");
            writer.step("strip-anodise");
        }
        _ => {}
    }
}

/// How the rod comes out of the anodising bath.
fn colour(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let rod = context.figure(FigureName::FillerMetal).and_then(Figure::word);
    let row = rod.and_then(filler_named);
    let filler = rod.map_or_else(|| context.blank(), str::to_owned);
    let say = match row.and_then(|row| row.anodised.clone().map(|colour| (row, colour))) {
        Some((row, colour)) => Say::of("advice", "finish/colour").with("colour", colour).cite([row.cite()]),
        None => Say::of("advice", "finish/colour-open"),
    };
    writer.text(say.with("filler", filler));
}

fn refit(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let sea = context.spec().part.environment.iter().any(|at| at.value == Environment::SaltWater);
    let mut fitted: Vec<Fitted> = context.spec().part.fitted.iter().map(|at| at.value).collect();
    // What is pressed or screwed in comes before what seals, and the battery comes last.
    fitted.sort_by_key(|thing| match thing {
        Fitted::Bush | Fitted::Insert => 0,
        Fitted::Bearing => 1,
        Fitted::Seal => 2,
        Fitted::Hose | Fitted::GasStrut | Fitted::Tyre => 3,
        Fitted::Electronics => 4,
        Fitted::Battery => 5,
    });
    for thing in fitted {
        let key = thing.word().replace(' ', "-");
        match thing {
            Fitted::Tyre => {}
            Fitted::Bush | Fitted::Insert => writer.step_case(&key, if sea { "sea" } else { "dry" }),
            _ => writer.step(&key),
        }
    }
    if context.spec().part.hollow.as_ref().is_some_and(|at| at.value) {
        writer.step("vent");
    }
    if context.on_the_boat() {
        writer.step("reconnect");
    }
}

fn not_required(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let treatable = context.alloys().any(|alloy| alloy.heat_treatable);
    let wanted = context.spec().weld.needs.iter().any(|at| at.value == Need::HeatTreatment);
    let heat = match (wanted, treatable) {
        (true, _) => "heat-treatment-follows",
        (false, true) => "heat-treatment",
        (false, false) => "heat-treatment-none",
    };
    writer.not_required(heat);
    if machined(context).next().is_none() && context.kind() != Some(DamageKind::StrippedThread) {
        writer.not_required("machining");
    }
    if context.spec().part.rotating.is_none() {
        writer.not_required("balance");
    }
    if !leak_tested(context) {
        let key = if context.held() == Some(Held::Nothing) { "leak-test" } else { "leak-test-other" };
        writer.not_required(key);
    }
    if finish(context) != Some(Finish::Anodise) {
        writer.not_required("colour");
    }
}

fn hold(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let mut rows: Vec<String> = Vec::new();
    let mut criteria: Vec<String> = Vec::new();
    for keep in context.keeps() {
        let name = feature(keep);
        let before = Say::of("sections", "box/before").with("feature", name.clone());
        let tolerance = keep.tolerance.as_ref().map(|at| at.value.clone());
        let key = if tolerance.is_some() { "after" } else { "after-plain" };
        let after = Say::of("sections", format!("box/{key}")).with("feature", name.clone());
        rows.push(context.cell(&before).text);
        rows.push(context.cell(&after.with("tolerance", tolerance.clone().unwrap_or_default())).text);
        let key = if tolerance.is_some() { "kept" } else { "kept-plain" };
        let say = Say::of("sections", format!("hold/{key}")).with("feature", name);
        criteria.push(context.cell(&say.with("tolerance", tolerance.unwrap_or_default())).text);
    }
    if !rows.is_empty() {
        let criterion = Say::of("sections", "hold/dimensions").with("criterion", criteria.join("; "));
        writer.hold_rows("dimensions", criterion, &["first", "second"], rows);
    }
    if leak_tested(context) {
        writer.hold("leak", Say::of("sections", "hold/leak"), &[]);
    }
}
