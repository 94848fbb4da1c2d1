//! Section 8: dress, look again, tell what is soft, bring back to size, test for leaks, coat and refit.

use super::Section;
use super::after;
use super::context::{Context, Say};
use super::facts::feature;
use super::prepare::{dummies, numbered, plugged};
use super::re_inspect::largest_pore;
use super::writer::Writer;
use crate::engine::surface;
use crate::rules::metals;
use crate::spec::{DamageKind, Finish, Fitted, Held, InspectionMethod, Joint, Keep, Use};
use crate::units::{InUnits, show};

/// Section 8.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "8");
    if plugged(context) {
        writer.step("unplug");
    }
    dress(&mut writer);
    super::cause::shape(&mut writer);
    super::other::tint_off(&mut writer);
    after::soft(&mut writer);
    size(&mut writer);
    leak(&mut writer);
    if context.is_propeller() {
        writer.step("pitch");
    }
    after::unbalance(&mut writer);
    coat(&mut writer);
    after::sea(&mut writer);
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

/// Whether a pad was laid higher than the face, to be cut back.
fn pad_machined(context: &Context<'_>) -> Option<f64> {
    let left = super::drawing::line(context, "machining-allowance").filter(|left| *left > 0.0);
    left.filter(|_| context.job.joint == Joint::Pad)
}

/// Whether a feature to keep lies under the weld and is cut back to size.
fn machined<'a>(context: &Context<'a>) -> impl Iterator<Item = &'a Keep> + use<'a> {
    context.keeps().filter(|keep| keep.allowance.as_ref().is_some_and(|at| at.value.value().in_mm() > 0.0))
}

fn dress(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let case = if machined(context).next().is_some() || pad_machined(context).is_some() {
        "machined"
    } else if food(context) {
        "food"
    } else if matches!(context.job.joint, Joint::Fillet | Joint::Lap) {
        "leave"
    } else {
        "flush"
    };
    writer.step_case("dress", case);
    // Pores show under the cutter, not under the file that only takes the high spots off.
    if case != "machined" {
        look(writer, "look");
    }
}

/// The look that comes after metal was taken off.
fn look(writer: &mut Writer<'_, '_>, words: &str) {
    let context = writer.context;
    let over = largest_pore(context);
    let case = match over.as_deref() {
        None if food(context) => "no-pore",
        None => "plain",
        Some("") => "no-pore",
        Some(_) => "over",
    };
    let after = context.text("values", if words == "look" { "after/dressing" } else { "after/machining" });
    let say = writer.say("look", case).with("over", over.unwrap_or_default()).with("after", after);
    writer.say_step("look", say);
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
    let pad = pad_machined(context).filter(|_| machined(context).next().is_none());
    if let Some(left) = pad {
        let case = if context.is_propeller() { "edge" } else { "pad" };
        let say = writer.say("machine", case).with("allowance", super::show::by_hand(left, context.system()));
        writer.say_step("machine", say);
    }
    if machined(context).next().is_some() || pad.is_some() {
        look(writer, "machined");
    }
    // A blade cracks from its edge, and grinding cracks a hard steel: there a look alone is too little.
    if pad_machined(context).is_some() && context.is_propeller() && context.penetrant() {
        writer.step("penetrant");
    }
    if pad_machined(context).is_some() && context.magnetic_particles() {
        writer.step("magnetic");
    }
    for (index, keep) in dummies(context).enumerate() {
        let ream = context.text("advice", if allows_ream(keep) { "finish/ream" } else { "finish/no-ream" });
        let say =
            writer.say("bore", "").with("feature", feature(keep)).with("ream", ream).with("as", as_in(context, keep));
        writer.say_step(&numbered("bore", index), say);
    }
    let dummied: Vec<*const Keep> = dummies(context).map(std::ptr::from_ref).collect();
    let others = context.keeps().filter(|keep| !dummied.contains(&std::ptr::from_ref(*keep)));
    for (index, keep) in others.enumerate() {
        let say = writer.say("measure", "").with("feature", feature(keep)).with("as", as_in(context, keep));
        writer.say_step(&numbered("measure", index), say);
    }
}

/// The step of section 3 that measured a feature before.
fn as_in(context: &Context<'_>, keep: &Keep) -> String {
    let place = context.keeps().position(|other| std::ptr::eq(other, keep)).unwrap_or_default();
    format!("`3.{}`", numbered("measure", place))
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
        // Nothing is painted before it is tight.
        writer.hold("leak", Say::of("sections", "hold/leak"), &[]);
    }
}

fn coat(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.penetrant() && (food(context) || matches!(finish(context), Some(Finish::None) | None)) {
        writer.step("wash");
    }
    match finish(context) {
        Some(Finish::Paint) => writer.step("paint"),
        Some(Finish::PowderCoat) => after::powder(writer),
        Some(Finish::Polish) if !food(context) => writer.step("polish"),
        Some(Finish::Anodise) if !metals::all_aluminium(context.job) => writer.step("anodise"),
        Some(Finish::Anodise) => {
            after::colour(writer);
            writer.step("anodise");
            writer.step("strip-anodise");
        }
        _ => {}
    }
}

fn refit(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let sea = surface::at_sea(context.job);
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
    after::heat_treatment(writer);
    let cut = machined(context).next().is_some() || pad_machined(context).is_some();
    if !cut && context.kind() != Some(DamageKind::StrippedThread) {
        writer.not_required("machining");
    }
    if context.spec().part.rotating.is_none() && !context.loaded_by_rotation() {
        writer.not_required("balance");
    }
    if !leak_tested(context) {
        let key = if context.held() == Some(Held::Nothing) { "leak-test" } else { "leak-test-other" };
        writer.not_required(key);
    }
    if finish(context) != Some(Finish::Anodise) && metals::all_aluminium(context.job) {
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
}
