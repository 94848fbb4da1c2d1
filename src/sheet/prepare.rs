//! Section 3: make the place and the part safe, prove the metal, strip and clean, find the ends, stop, open, fit.

use super::Section;
use super::context::{Context, Say};
use super::facts::{feature, is_bore};
use super::opening::opening;
use super::penetrant::Test;
use super::set_up::stainless_pair;
use super::writer::Writer;
use crate::engine::FigureName;
use crate::reference::{Class, Row, penetrant_limit};
use crate::rules::metals;
use crate::spec::{Cleaner, Coating, DamageKind, Fitted, Held, Keep, Surface};
use crate::units::InUnits;

/// A bore nearer to the damage than this, mm, gets a dummy: common practice.
const NEAR_BORE: f64 = 50.0;

/// Section 3.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "3");
    place(&mut writer);
    take_off(&mut writer);
    measure(&mut writer);
    if !proved_bare(context) {
        super::proof::identity(&mut writer);
    }
    keep_apart(&mut writer);
    protect(&mut writer);
    clean(&mut writer);
    Test::Tips.write(&mut writer);
    super::cause::ends(&mut writer);
    skin(&mut writer);
    stop_hole(&mut writer);
    opening(&mut writer);
    writer.done()
}

fn place(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.on_the_boat() {
        writer.step("bilge");
        writer.step("isolate");
    }
    if context.away_from_shop() {
        writer.step("permit");
    }
    // Left out means unknown, and unknown counts as tight.
    if context.spec().place.confined.as_ref().is_none_or(|at| at.value) {
        writer.step("air");
        writer.step("watch");
    }
    match context.held() {
        Some(Held::Oil) => writer.step_case("drain", "oil"),
        Some(Held::Water) => writer.step_case("drain", "water"),
        Some(Held::Nothing) | None => {}
        Some(_) => writer.step_case("drain", "other"),
    }
    let part = &context.spec().part;
    let stated = part.hollow.as_ref().map(|at| at.value);
    match stated {
        Some(true) => writer.step("vent"),
        None => writer.step_case("vent", "unknown"),
        Some(false) => {}
    }
}

fn take_off(writer: &mut Writer<'_, '_>) {
    let fitted: Vec<Fitted> = writer.context.spec().part.fitted.iter().map(|at| at.value).collect();
    if fitted.contains(&Fitted::GasStrut) {
        writer.step("take-off-gas-strut");
    }
    if fitted.contains(&Fitted::Hose) {
        writer.step("take-off-hose-pressure");
    }
    for thing in fitted {
        // A gas strut is off already, and with a tyre on nothing is done at all.
        if !matches!(thing, Fitted::GasStrut | Fitted::Tyre) {
            writer.step(&format!("take-off-{}", thing.word()));
        }
    }
}

/// Keys of steps that there is one of for each feature: `measure`, `measure-2` ...
pub(super) fn numbered(key: &str, index: usize) -> String {
    if index == 0 { key.to_owned() } else { format!("{key}-{}", index + 1) }
}

fn measure(writer: &mut Writer<'_, '_>) {
    if writer.context.is_propeller() {
        writer.step("pitch");
    }
    for (index, keep) in writer.context.keeps().enumerate() {
        let say = writer.say("measure", if is_bore(keep) { "bore" } else { "face" });
        let say = say.with("feature", feature(keep));
        writer.say_step(&numbered("measure", index), say);
    }
}

/// Whether the metal is proved on the stripped part. Sparks, a chip and the density want bare metal, and the wheel meets no
/// paint that may hold lead; of a metal that may be magnesium nothing is stripped before it is known.
fn proved_bare(context: &Context<'_>) -> bool {
    !matches!(context.job.class(), Class::Aluminium | Class::Magnesium)
}

/// Metals that other metal spoils where it is rubbed in, or that dirt cracks when they are hot, want tools of their own.
fn keep_apart(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let class = context.job.class();
    if stainless_pair(context) {
        writer.step_case("keep-apart", "pair");
    } else if matches!(class, Class::Stainless | Class::Nickel | Class::Titanium | Class::Magnesium) {
        writer.step("keep-apart");
    }
}

/// Scale and rust, the skin of a casting of iron, a hard case: off before the cut, and after the dye, for grinding smears
/// a crack shut.
fn skin(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let class = context.job.class();
    if metals::rusts(class) {
        writer.step("scale");
    }
    if context.job.base.alloy.is_some_and(|alloy| alloy.heat_group == "carburising steel") {
        writer.step("case");
    }
}

/// Whether a dummy goes into this bore.
fn takes_dummy(keep: &Keep) -> bool {
    keep.distance.as_ref().is_some_and(|at| at.value.value().in_mm() <= NEAR_BORE)
}

/// Bores that a dummy keeps round.
pub(super) fn dummies<'a>(context: &Context<'a>) -> impl Iterator<Item = &'a Keep> + use<'a> {
    let worn = context.kind() == Some(DamageKind::WornSurface);
    context.bores().filter(move |keep| !worn && takes_dummy(keep))
}

/// Whether bores, oil ways or threads are plugged against grit, dye and cleaner.
pub(super) fn plugged(context: &Context<'_>) -> bool {
    let part = &context.spec().part;
    let inside = matches!(context.held(), Some(held) if held != Held::Nothing);
    let open = part.fitted.iter().any(|at| matches!(at.value, Fitted::Bearing | Fitted::Seal | Fitted::Hose));
    inside || open || context.bores().count() > dummies(context).count()
}

fn protect(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.away_from_shop() || !context.movable() {
        writer.step("protect");
    }
    for (index, keep) in dummies(context).enumerate() {
        let say = writer.say("dummy", "").with("feature", feature(keep));
        writer.say_step(&numbered("dummy", index), say);
    }
    if plugged(context) {
        writer.step("plug");
    }
}

/// Case of the stripping step for a coating.
fn strip_case(coating: Coating) -> &'static str {
    match coating {
        Coating::None => "none",
        Coating::Paint | Coating::LeadPaint => "paint",
        Coating::Unknown => "unknown",
        Coating::PowderCoat | Coating::EpoxyPaste | Coating::Sealant | Coating::Ptfe | Coating::ImpregnationResin => {
            "resin"
        }
        Coating::Chromate | Coating::Zinc | Coating::Cadmium | Coating::Chrome => "metal",
    }
}

fn strip(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let coating = context.coating().unwrap_or(Coating::Unknown);
    let mut steps: Vec<(&str, &'static str, String)> = Vec::new();
    let painted = context.surface_is(Surface::Painted);
    // Paint lies over everything else.
    if painted && !matches!(coating, Coating::Paint | Coating::LeadPaint | Coating::PowderCoat | Coating::Unknown) {
        steps.push(("strip-paint", "paint", context.word("coating", "paint")));
    }
    if coating != Coating::None {
        steps.push(("strip", strip_case(coating), context.word("coating", coating.word())));
    }
    for (surface, covered) in [(Surface::Galvanised, Coating::Zinc), (Surface::Plated, Coating::Chrome)] {
        if context.surface_is(surface) && coating != covered && coating != Coating::Cadmium {
            let key = if steps.is_empty() { "strip" } else { "strip-plating" };
            steps.push((key, "metal", context.word("coating", surface.word())));
        }
    }
    if context.surface_is(Surface::Anodised) {
        steps.push(("strip-anodised", "anodised", String::new()));
    }
    if steps.is_empty() {
        writer.text(Say::of("advice", "strip/none"));
    }
    for (key, case, coating) in steps {
        let say = writer.say("strip", case).with("coating", coating);
        writer.say_step(key, say);
    }
}

fn clean(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.surface_is(Surface::Weathered)
        || context.spec().part.environment.iter().any(|at| at.value.word() == "salt water")
    {
        writer.step("wash");
    }
    strip(writer);
    let pasted = context.coating() == Some(Coating::EpoxyPaste) || context.surface_is(Surface::FillerPaste);
    if pasted {
        let say = writer.say("paste", "").with("damage", context.damage());
        writer.say_step("paste", say);
    }
    if proved_bare(context) {
        super::proof::identity(writer);
    }
    let cleaner = context.spec().prepare.cleaner.as_ref().map_or(Cleaner::Unknown, |at| at.value);
    match cleaner {
        Cleaner::Acetone => writer.step_case("degrease", "acetone"),
        Cleaner::Alcohol => writer.step_case("degrease", "alcohol"),
        Cleaner::Alkaline => {
            writer.step_case("degrease", "alkaline");
            writer.step("rinse");
        }
        Cleaner::Chlorinated | Cleaner::Unknown => writer.step_case("degrease", "unknown"),
    }
    if cleaner == Cleaner::Alkaline {
        let say = writer.say("dry-off", "").with("damage", context.damage());
        writer.say_step("dry-off", say);
    } else if context.penetrant() {
        let row = penetrant_limit().rows.iter().find(|row| row.what == "solvent off");
        let minutes = row.and_then(|row| row.value).map_or_else(|| context.blank(), show_minutes);
        let say = writer.say("let-go", "").with("minutes", minutes).cite(row.map(Row::cite));
        writer.say_step("let-go", say);
    }
}

/// Minutes as they are printed.
pub(super) fn show_minutes(minutes: f64) -> String {
    super::show::bare(minutes, "min")
}

fn stop_hole(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if !context.is_crack() {
        return;
    }
    let Some(figure) = context.figure(FigureName::StopHole) else {
        let key = match (context.through(), context.tips()) {
            (false, _) => "3.stop-hole/not-through",
            (true, Some(0)) => "3.stop-hole/no-tips",
            (true, _) => "3.stop-hole/no-figure",
        };
        writer.not_required(key);
        return;
    };
    let beyond = context.part(FigureName::StopHole, "beyond-mark").or(figure.aim().map(|size| (size, "mm")));
    let beyond = beyond
        .map_or_else(|| context.blank(), |(size, _)| super::show::one(FigureName::StopHole, size, context.system()));
    let case = if context.tips() == Some(1) { "one" } else { "two" };
    let say = writer.say("stop-hole", case).with("beyond", beyond).figure(Some(figure));
    writer.say_step("stop-hole", say);
}
