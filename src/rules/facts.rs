//! The facts of a job, `area.word` each, in one table: the vocabulary that the triggers of hazards are written in,
//! and what makes each fact true.
//!
//! What decides about safety and is left out is unknown, and its worst value is taken for true.

use super::case::{Case, constant_value};
use super::identity::{self, Known};
use super::{causes, gates, metals, warming};
use crate::engine::FigureName;
use crate::kit::{Machine, Start};
use crate::reference::{Class, Product, tungsten_class};
use crate::spec::{
    Cleaner, Coating, DamageKind, Fitted, Form, Held, InspectionMethod, Loading, Process, Site, Surface, Use,
};
use std::collections::BTreeSet;

/// The facts that are true of a job.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Facts(BTreeSet<&'static str>);

impl Facts {
    /// The facts of this case.
    #[must_use]
    pub fn of(case: &Case<'_>) -> Self {
        FACTS.iter().filter(|(_, holds)| holds(case)).map(|(fact, _)| *fact).collect()
    }

    /// Whether it is true.
    #[must_use]
    pub fn holds(&self, fact: &str) -> bool {
        self.0.contains(fact)
    }

    /// All that are true, by name.
    pub fn iter(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.0.iter().copied()
    }
}

impl FromIterator<&'static str> for Facts {
    fn from_iter<I: IntoIterator<Item = &'static str>>(facts: I) -> Self {
        Facts(facts.into_iter().collect())
    }
}

/// Every word of the vocabulary, in the order of the table.
pub fn vocabulary() -> impl Iterator<Item = &'static str> {
    FACTS.iter().map(|(fact, _)| *fact)
}

type Holds = fn(&Case<'_>) -> bool;

/// A fact and what makes it true.
const FACTS: &[(&str, Holds)] = &[
    ("process.gtaw", |case| case.spec().weld.process.as_ref().is_none_or(|process| process.value == Process::Gtaw)),
    ("current.ac", |case| case.on_ac()),
    // The metal. Where nobody knows the alloy, every member of the family counts.
    ("metal.aluminium", |case| metals::is(case.job, Class::Aluminium)),
    ("metal.magnesium", |case| metals::is(case.job, Class::Magnesium)),
    ("metal.steel", |case| metals::alloys(case.job).any(|alloy| alloy.class.is_steel())),
    ("metal.hardenable", |case| metals::hardenable(case.job)),
    ("metal.stainless", |case| metals::is(case.job, Class::Stainless)),
    ("metal.cast_iron", |case| metals::is(case.job, Class::CastIron)),
    ("metal.copper", |case| metals::is(case.job, Class::Copper)),
    // Of the metal or of the rod: a bronze rod smokes copper on iron too.
    ("metal.copper_bearing", |case| metals::is(case.job, Class::Copper) || metals::copper_rod(case.worked)),
    ("metal.nickel", |case| metals::is(case.job, Class::Nickel)),
    ("metal.titanium", |case| metals::is(case.job, Class::Titanium)),
    // All but aluminium: what is said of the light and the heat of its arc does not hold for them.
    ("metal.other", |case| !metals::all_aluminium(case.job)),
    // What goes into the fume, of the metal and of the rod.
    ("metal.chromium", |case| metals::chromium(case.job, case.worked)),
    ("metal.nickel_bearing", |case| metals::nickel(case.job, case.worked)),
    ("metal.leaded", |case| leaded(case)),
    ("identity.unproved", |case| identity::known(case) != Known::Proved),
    // Of a family it would be said of nearly every casting: there the hold on the metal's identity stands for it.
    ("metal.beryllium", |case| bases(case).any(|alloy| alloy.beryllium)),
    ("metal.high_magnesium", |case| case.alloys().any(|alloy| alloy.heat_group == "high magnesium")),
    ("metal.zinc_bearing", |case| {
        case.alloys().any(|alloy| alloy.heat_group == "zinc") || metals::boils_zinc(case.job)
    }),
    ("product.casting", |case| is_product(case, &[Product::Cast, Product::Die])),
    ("product.die_casting", |case| is_product(case, &[Product::Die])),
    // What lies on the metal.
    ("coating.paint", |case| coated(case, Coating::Paint)),
    ("coating.lead_paint", |case| coated(case, Coating::LeadPaint)),
    ("coating.powder_coat", |case| coated(case, Coating::PowderCoat)),
    ("coating.epoxy_paste", |case| coated(case, Coating::EpoxyPaste)),
    ("coating.sealant", |case| coated(case, Coating::Sealant)),
    ("coating.ptfe", |case| coated(case, Coating::Ptfe)),
    ("coating.impregnation_resin", |case| coated(case, Coating::ImpregnationResin)),
    ("coating.chromate", |case| coated(case, Coating::Chromate)),
    ("coating.zinc", |case| coated(case, Coating::Zinc)),
    ("coating.cadmium", |case| coated(case, Coating::Cadmium)),
    ("coating.chrome", |case| coated(case, Coating::Chrome)),
    ("coating.unknown", |case| coated(case, Coating::Unknown) || case.silent(case.spec().prepare.coating.as_ref())),
    ("surface.oil_soaked", |case| case.surface_is(Surface::OilSoaked)),
    ("surface.filler_paste", |case| case.surface_is(Surface::FillerPaste)),
    ("surface.anodised", |case| case.surface_is(Surface::Anodised)),
    ("surface.galvanised", |case| case.surface_is(Surface::Galvanised)),
    ("surface.plated", |case| case.surface_is(Surface::Plated)),
    ("surface.painted", |case| case.surface_is(Surface::Painted)),
    ("surface.earlier_weld", |case| case.surface_is(Surface::EarlierWeld)),
    // What cleans it. An unknown cleaner may be a chlorinated one, and one that takes fire.
    ("cleaner.acetone", |case| case.cleaned_with(Cleaner::Acetone).is_some()),
    ("cleaner.alcohol", |case| case.cleaned_with(Cleaner::Alcohol).is_some()),
    ("cleaner.alkaline", |case| case.cleaned_with(Cleaner::Alkaline).is_some()),
    ("cleaner.flammable", |case| unknown_cleaner(case) || case.solvents().any(|row| row.flammable)),
    ("cleaner.chlorinated", |case| {
        let stated = case.cleaned_with(Cleaner::Chlorinated).is_some();
        stated || unknown_cleaner(case) || case.solvents().any(|row| row.chlorinated)
    }),
    ("cleaner.unknown", unknown_cleaner),
    ("cleaner.any", |_| true),
    // What it has held.
    ("held.fuel", |case| case.has_held(Held::Fuel).is_some()),
    ("held.oil", |case| case.has_held(Held::Oil).is_some()),
    ("held.solvent", |case| case.has_held(Held::Solvent).is_some()),
    ("held.chemical", |case| case.has_held(Held::Chemical).is_some()),
    ("held.refrigerant", |case| case.has_held(Held::Refrigerant).is_some()),
    ("held.gas", |case| case.has_held(Held::Gas).is_some()),
    // A part that food touches in use has held food.
    ("held.food", |case| case.has_held(Held::Food).is_some() || case.used_as(Use::Food).is_some()),
    ("held.water", |case| case.has_held(Held::Water).is_some()),
    ("held.unknown", |case| case.has_held(Held::Unknown).is_some() || case.silent(case.part().held.as_ref())),
    ("part.enclosed", |case| case.part().enclosed.as_ref().is_some_and(|enclosed| enclosed.value)),
    ("part.enclosed_unknown", |case| case.silent(case.part().enclosed.as_ref())),
    ("part.hollow", |case| case.part().hollow.as_ref().is_some_and(|hollow| hollow.value)),
    ("part.hollow_unknown", |case| case.silent(case.part().hollow.as_ref())),
    // What is fitted to it.
    ("fitted.bearing", |case| case.fitted_with(Fitted::Bearing).is_some()),
    ("fitted.seal", |case| case.fitted_with(Fitted::Seal).is_some()),
    ("fitted.electronics", |case| case.fitted_with(Fitted::Electronics).is_some()),
    ("fitted.battery", |case| case.fitted_with(Fitted::Battery).is_some()),
    ("fitted.gas_strut", |case| case.fitted_with(Fitted::GasStrut).is_some()),
    ("fitted.hose", |case| case.fitted_with(Fitted::Hose).is_some()),
    ("fitted.tyre", |case| case.fitted_with(Fitted::Tyre).is_some()),
    // What it is used for.
    ("use.road_wheel", |case| case.used_as(Use::RoadWheel).is_some()),
    ("use.gas_cylinder", |case| case.used_as(Use::GasCylinder).is_some()),
    ("use.pressure", |case| case.used_as(Use::Pressure).or_else(|| case.loaded_by(Loading::Pressure)).is_some()),
    ("use.lifting", |case| case.used_as(Use::Lifting).is_some()),
    ("use.unknown", |case| case.asked && case.part().use_.is_empty()),
    // Where the work is done.
    ("place.confined", |case| case.spec().place.confined.as_ref().is_some_and(|confined| confined.value)),
    ("place.confined_unknown", |case| case.silent(case.spec().place.confined.as_ref())),
    ("place.pit", |case| case.spec().place.pit.as_ref().is_some_and(|pit| pit.value)),
    ("place.pit_unknown", |case| case.silent(case.spec().place.pit.as_ref())),
    ("place.outdoors", |case| at_site(case, Site::Outdoors)),
    ("place.boat", |case| at_site(case, Site::OnTheBoat)),
    ("place.damp", |case| case.spec().place.damp.as_ref().is_some_and(|damp| damp.value)),
    ("place.wind", |case| case.wind().is_some_and(|wind| wind > constant_value("wind-screen").unwrap_or(0.0))),
    ("place.not_a_weld_shop", |case| {
        let site = case.spec().place.site.as_ref();
        case.silent(site) || site.is_some_and(|site| site.value != Site::WeldingShop)
    }),
    // What the work brings with it.
    ("inspection.penetrant", has_penetrant),
    ("op.grinding", |_| true),
    ("op.drilling", has_drilling),
    ("op.welding", |_| true),
    ("op.preheat_oven", |case| warming::oven(case.job)),
    ("op.preheat_burner", |case| warming::by_burner(case.job, case.worked) || metals::burnt_out(case.job)),
    // As the sheet does: it bakes a casting that is soaked with oil, and nothing else.
    ("op.bake_out", |case| {
        let cast = is_product(case, &[Product::Cast, Product::Die]);
        case.surface_is(Surface::OilSoaked) && cast && metals::all_aluminium(case.job)
    }),
    ("op.purge", |case| metals::purged(case.job, case.worked)),
    ("op.preheat", |case| metals::kept_warm(case.job, case.worked).is_some()),
    ("op.leak_test", has_leak_test),
    // What the shop works with.
    ("kit.tungsten_thoriated", has_thorium),
    ("kit.high_frequency", has_high_frequency),
    ("gas.cylinder", |_| true),
    ("gas.helium", |case| case.job.helium > 0.0),
];

fn coated(case: &Case<'_>, word: Coating) -> bool {
    case.coated_with(word).is_some()
}

fn at_site(case: &Case<'_>, word: Site) -> bool {
    case.spec().place.site.as_ref().is_some_and(|site| site.value == word)
}

fn unknown_cleaner(case: &Case<'_>) -> bool {
    case.cleaned_with(Cleaner::Unknown).is_some() || case.silent(case.spec().prepare.cleaner.as_ref())
}

/// A brass or bronze with lead in it, or a brass of which nobody has proved the opposite.
fn leaded(case: &Case<'_>) -> bool {
    gates::leaded_brass(case).is_some()
}

/// The alloys that are known by name.
fn bases<'a>(case: &Case<'a>) -> impl Iterator<Item = &'static crate::reference::Alloy> + use<'a> {
    let bases = [Some(&case.job.base), case.job.other.as_ref()];
    bases.into_iter().flatten().filter_map(|base| base.alloy)
}

/// Whether a metal of the job came to its shape in one of these ways: as its form says, or its alloy. The members of
/// a family count only where no form is stated.
fn is_product(case: &Case<'_>, products: &[Product]) -> bool {
    let by_form = case.forms().any(|form| products.contains(&product_of(form)));
    let by_alloy = bases(case).any(|alloy| products.contains(&alloy.product));
    let by_family = case.forms().next().is_none() && case.alloys().any(|alloy| products.contains(&alloy.product));
    by_form || by_alloy || by_family
}

fn product_of(form: Form) -> Product {
    match form {
        Form::Sheet | Form::Plate | Form::Extrusion | Form::Tube | Form::Bar | Form::Forging => Product::Wrought,
        Form::SandCasting | Form::PermanentMouldCasting | Form::InvestmentCasting => Product::Cast,
        Form::DieCasting => Product::Die,
    }
}

/// Penetrant is the method when none is stated, and it finds the tips of every crack.
fn has_penetrant(case: &Case<'_>) -> bool {
    let methods = &case.spec().inspection.methods;
    let damage = &case.spec().damage;
    let tips = damage.tips.as_ref().is_some_and(|tips| tips.value > 0);
    let crack = damage.kind.as_ref().is_none_or(|kind| kind.value == DamageKind::Crack);
    let named = methods.iter().any(|method| method.value == InspectionMethod::Penetrant);
    // Where another test is named the ends of the crack are looked for without dye.
    let another = methods.iter().any(|method| method.value == InspectionMethod::MagneticParticle);
    methods.is_empty() || named || ((tips || crack) && !another)
}

/// Stop holes, threads and vents are drilled; damage of no stated kind, and a crack in a wall of no stated thickness,
/// may want any of them.
fn has_drilling(case: &Case<'_>) -> bool {
    let stop_hole = case.worked.figures.contains_key(&FigureName::StopHole);
    let hollow = case.part().hollow.as_ref().is_some_and(|hollow| hollow.value);
    let by_kind = match case.spec().damage.kind.as_ref().map(|kind| kind.value) {
        Some(DamageKind::StrippedThread) | None => true,
        Some(DamageKind::Crack) => case.job.thickness.is_none(),
        Some(_) => false,
    };
    stop_hole || hollow || by_kind
}

/// What holds a fluid behind the wall that is welded through, and what ice broke, is tested for leaks, whether the spec
/// asks for it or not: as the sheet does.
fn has_leak_test(case: &Case<'_>) -> bool {
    let asked = case.spec().inspection.methods.iter().any(|method| method.value == InspectionMethod::Leak);
    let held = case.part().held.as_ref().map(|held| held.value);
    let through = case.spec().damage.through.as_ref().is_some_and(|through| through.value);
    let holds = !matches!(held, None | Some(Held::Nothing | Held::Unknown));
    asked || causes::of(case).leak || (holds && through)
}

fn has_thorium(case: &Case<'_>) -> bool {
    let worked = case.word_of(FigureName::TungstenType);
    let set = case.spec().weld.set.as_ref().and_then(|set| set.tungsten_type.as_ref());
    let set = set.map(|setting| setting.value.value.value.as_str());
    worked.into_iter().chain(set).any(|name| {
        let named = |known: &String| known.eq_ignore_ascii_case(name.trim());
        tungsten_class()
            .rows
            .iter()
            .any(|class| class.thoriated && (named(&class.name) || class.also.iter().any(named)))
    })
}

/// Without a kit, and where the kit does not say how its machine starts, high frequency is taken for granted.
fn has_high_frequency(case: &Case<'_>) -> bool {
    let starts = |machine: &Machine| {
        machine.start.is_empty() || machine.start.iter().any(|start| start.value == Start::HighFrequency)
    };
    case.machines().next().is_none() || case.machines().any(starts)
}
