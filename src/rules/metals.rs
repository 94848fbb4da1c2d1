//! What kind of metal a job is on, as far as steps, questions and dangers care: beyond the class of the tables, whether a
//! steel hardens, whether a magnet holds it, whether the root wants gas behind it, and which way an iron is welded.

use crate::engine::after::softens;
use crate::engine::job::Base;
use crate::engine::opening::root_gap;
use crate::engine::{Figure, FigureName, Job, Worked};
use crate::findings::Code;
use crate::reference::heat::shieldings_of;
use crate::reference::search::{composition_of, constant, content, family_members, filler_named};
use crate::reference::{Alloy, Class, Product, Weldability};
use crate::spec::{Access, Form, Joint, Surface};

/// The metals of a job: one, or two where different ones meet.
pub fn bases<'j>(job: &'j Job<'_>) -> impl Iterator<Item = &'j Base> {
    std::iter::once(&job.base).chain(&job.other)
}

/// All alloys that the metals of a job may be.
pub fn alloys<'j>(job: &'j Job<'_>) -> impl Iterator<Item = &'static Alloy> + 'j {
    bases(job).flat_map(|base| base.candidates.iter().copied())
}

/// The class of one metal; none where nothing is known of it.
#[must_use]
pub fn class_of(base: &Base) -> Option<Class> {
    base.candidates.first().map(|alloy| alloy.class)
}

/// The class of the first metal of the job, also where all of its family must not be welded and none is left to weigh;
/// aluminium where nothing is known.
#[must_use]
pub fn class(job: &Job<'_>) -> Class {
    let of_family = || family_members(&job.base.shown).first().map(|alloy| alloy.class);
    class_of(&job.base).or_else(of_family).unwrap_or(Class::Aluminium)
}

/// Whether a class is of iron that rusts and that a magnet holds: steel and cast iron.
#[must_use]
pub fn rusts(class: Class) -> bool {
    class.is_steel() || class == Class::CastIron
}

/// Whether one of the metals of the job is of this class. A metal of which nothing is known counts as aluminium.
#[must_use]
pub fn is(job: &Job<'_>, class: Class) -> bool {
    bases(job).any(|base| class_of(base).unwrap_or(Class::Aluminium) == class)
}

/// Whether all of the job is aluminium, which most of the plain words speak of.
#[must_use]
pub fn all_aluminium(job: &Job<'_>) -> bool {
    bases(job).all(|base| class_of(base).unwrap_or(Class::Aluminium) == Class::Aluminium)
}

/// Whether one of the metals of the job may be of a family whose name holds this word.
#[must_use]
pub fn of_family(job: &Job<'_>, word: &str) -> bool {
    alloys(job).any(|alloy| alloy.family.contains(word))
}

/// Whether a metal turns hard and brittle beside a weld that cools fast: the steels that the tables call doubtful, which
/// they do for no other reason, tool steel, and martensitic stainless steel.
#[must_use]
pub fn hardens(alloy: &Alloy) -> bool {
    let steel = alloy.class.is_steel() && alloy.weldability != Weldability::Good;
    steel || alloy.class == Class::ToolSteel || alloy.family.contains("martensitic")
}

/// Whether one of the metals of the job hardens beside the weld.
#[must_use]
pub fn hardenable(job: &Job<'_>) -> bool {
    alloys(job).any(hardens)
}

/// Whether a magnet holds this metal, so that the arc may be blown aside and magnetic particles show cracks: iron and
/// steel, and the stainless steels that are not austenitic. Of duplex steel a magnet holds half: too little for the test.
#[must_use]
pub fn magnetic(alloy: &Alloy) -> bool {
    let words = ["martensitic", "ferritic", "precipitation"];
    rusts(alloy.class) || words.iter().any(|word| alloy.family.contains(word))
}

/// Whether the first metal of the job is one that a magnet holds.
#[must_use]
pub fn tested_by_magnet(job: &Job<'_>) -> bool {
    job.base.candidates.first().is_some_and(|alloy| magnetic(alloy))
}

/// Whether one of the metals, or the rod, holds more of an element than the constant with this key says, percent by mass.
fn holds(job: &Job<'_>, worked: &Worked, element: &str, key: &str) -> bool {
    let from = constant(key).map_or(f64::INFINITY, |row| row.value);
    let base = alloys(job).any(|alloy| {
        composition_of(&alloy.name).is_some_and(|composition| content(&composition.limits, element) > from)
    });
    let rod = worked.figures.get(&FigureName::FillerMetal).and_then(Figure::word).and_then(filler_named);
    base || rod.is_some_and(|rod| content(&rod.limits, element) > from)
}

/// Whether metal or rod holds so much chromium that the fume holds chromium VI.
#[must_use]
pub fn chromium(job: &Job<'_>, worked: &Worked) -> bool {
    is(job, Class::Stainless) || holds(job, worked, "cr", "chromium-in-fume-from")
}

/// Whether metal or rod holds so much nickel that the fume does.
#[must_use]
pub fn nickel(job: &Job<'_>, worked: &Worked) -> bool {
    is(job, Class::Nickel) || holds(job, worked, "ni", "nickel-in-fume-from")
}

/// Whether a copper alloy of the job holds so much zinc that it boils out of the pool.
#[must_use]
pub fn boils_zinc(job: &Job<'_>) -> bool {
    let from = constant("zinc-in-fume-from").map_or(f64::INFINITY, |row| row.value);
    let zinc = |alloy: &Alloy| composition_of(&alloy.name).map_or(0.0, |row| content(&row.limits, "zn"));
    alloys(job).filter(|alloy| alloy.class == Class::Copper).any(|alloy| brass(alloy) || zinc(alloy) > from)
}

/// Whether the rod is of copper or of a copper alloy.
#[must_use]
pub fn copper_rod(worked: &Worked) -> bool {
    let rod = worked.figures.get(&FigureName::FillerMetal).and_then(Figure::word).and_then(filler_named);
    rod.is_some_and(|rod| rod.name.starts_with("ERCu"))
}

/// Whether the rod wets a metal that stays solid under it: bronze on iron, on steel and on brass.
#[must_use]
pub fn brazed(job: &Job<'_>, worked: &Worked) -> bool {
    copper_rod(worked) && bases(job).all(|base| base.candidates.iter().any(|alloy| rusts(alloy.class) || brass(alloy)))
}

/// Whether a crack that goes through is opened right through, so that no land of the metal alone is melted.
#[must_use]
pub fn no_land(job: &Job<'_>) -> bool {
    root_gap(job).is_some()
}

/// Whether oil is burnt out of the part: a casting of iron that is soaked with it.
#[must_use]
pub fn burnt_out(job: &Job<'_>) -> bool {
    let soaked = job.spec.metal.surface.iter().any(|at| at.value == Surface::OilSoaked);
    soaked && is(job, Class::CastIron)
}

/// Whether an alloy is a brass.
#[must_use]
pub fn brass(alloy: &Alloy) -> bool {
    alloy.class == Class::Copper && alloy.family.contains("brass")
}

/// Whether the first pass melts through to the back of the wall.
#[must_use]
pub fn open_root(job: &Job<'_>, worked: &Worked) -> bool {
    let groove = worked.figures.get(&FigureName::Groove);
    let part = |key: &str| groove.and_then(|figure| figure.parts.iter().find(|(own, ..)| *own == key));
    let through = job.spec.damage.through.as_ref().is_some_and(|at| at.value);
    // A groove cut from one side into a crack that goes through leaves a thin land for the first pass to melt.
    let one_side = through && job.access == Access::OneSide;
    match job.joint {
        Joint::Butt | Joint::Corner => true,
        Joint::Groove => one_side || part("left-1").is_some_and(|(_, left, _)| *left < THROUGH),
        Joint::Plug => through,
        Joint::Fillet | Joint::Lap | Joint::Edge | Joint::Pad => false,
    }
}

/// What is left under an opening that goes through, mm: less than any rule shows.
const THROUGH: f64 = 0.05;

/// Whether the back of the weld wants gas: a root that comes through in a metal that burns to scale or takes up air
/// there; titanium on a thin wall even where the weld does not come through.
#[must_use]
pub fn purged(job: &Job<'_>, worked: &Worked) -> bool {
    let thin = constant("titanium-back-shield-to").zip(job.thickness).is_some_and(|(to, wall)| wall <= to.value);
    let asks = |class| is(job, class);
    let backed = |alloy: &Alloy| shieldings_of(alloy).first().is_some_and(|row| row.backing != "none");
    let root = alloys(job).any(backed);
    (root && open_root(job, worked)) || (asks(Class::Titanium) && (open_root(job, worked) || thin))
}

/// The ways to weld iron. Who mixes them cracks the casting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Route {
    /// Cold: short beads, peened, never hotter than a hand bears.
    Cold,
    /// Warm: short beads, peened, on a casting that is warmed a little and kept so.
    Warm,
    /// Hot: the whole casting preheated and kept so.
    Hot,
}

/// Which way a casting of iron is welded; none where the job is on no iron. Cold, unless it is preheated whole.
#[must_use]
pub fn iron_route(job: &Job<'_>, worked: &Worked) -> Option<Route> {
    let preheat = worked.figures.get(&FigureName::Preheat).and_then(Figure::aim);
    let hot = constant("iron-hot-from").zip(preheat).is_some_and(|(from, preheat)| preheat >= from.value);
    is(job, Class::CastIron).then_some(match (hot, kept_warm(job, worked)) {
        (true, _) => Route::Hot,
        (false, Some(_)) => Route::Warm,
        (false, None) => Route::Cold,
    })
}

/// What a weld makes of the metal beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// No weaker and no harder than it was.
    Same,
    /// Softer.
    Soft,
    /// Harder and more brittle.
    Hard,
}

/// What the weld makes of one metal of the job. Aluminium and magnesium follow their rows and tempers; what is cold
/// worked or aged is soft beside the weld; steel that hardens, and iron, is hard there.
#[must_use]
pub fn beside(job: &Job<'_>, base: &Base) -> Beside {
    let class = class_of(base).unwrap_or(Class::Aluminium);
    let soft = match class {
        Class::Aluminium | Class::Magnesium => softens(job, base),
        Class::Copper => worked_hard(base).unwrap_or_else(|| wrought(job, base)),
        _ => worked_hard(base).unwrap_or(false),
    };
    let hard = class == Class::CastIron || base.candidates.iter().any(|alloy| hardens(alloy));
    match (hard, soft) {
        (true, _) => Beside::Hard,
        (false, true) => Beside::Soft,
        (false, false) => Beside::Same,
    }
}

/// What the weld makes of the metals of the job: the worst of two. Hard it is too where the hardness was worked out to be
/// past what is safe.
#[must_use]
pub fn worst_beside(job: &Job<'_>, worked: &Worked) -> Beside {
    let mut all: Vec<Beside> = bases(job).map(|base| beside(job, base)).collect();
    if worked.findings.iter().any(|finding| finding.code == Code::MetalHardZone) {
        all.push(Beside::Hard);
    }
    let worst = [Beside::Hard, Beside::Soft].into_iter().find(|worst| all.contains(worst));
    worst.unwrap_or(Beside::Same)
}

/// Whether the temper says that a metal got its strength by cold work or ageing; none where no temper is stated.
fn worked_hard(base: &Base) -> Option<bool> {
    let temper = base.temper.as_ref()?.to_lowercase();
    let words = ["hard", "drawn", "rolled hard", "cold", "aged", "h900", "h1"];
    let soft = ["unhardened", "hot", "solution"];
    Some(words.iter().any(|word| temper.contains(word)) && !soft.iter().any(|word| temper.contains(word)))
}

fn wrought(job: &Job<'_>, base: &Base) -> bool {
    let own = std::ptr::eq(base, &raw const job.base);
    let other = job.spec.metal.other.as_ref().and_then(|at| at.value.form.as_ref());
    let form = if own { job.spec.metal.form.as_ref() } else { other };
    let cast = form.map(|at| {
        matches!(at.value, Form::SandCasting | Form::PermanentMouldCasting | Form::InvestmentCasting | Form::DieCasting)
    });
    !cast.unwrap_or_else(|| base.candidates.iter().any(|alloy| alloy.product != Product::Wrought))
}

/// Whether two metals cannot be joined by an arc at all: one wants an arc that the other does not stand, or they make
/// brittle metal with each other whatever the rod. Aluminium, magnesium, titanium and zinc join none but their own.
#[must_use]
pub fn clash(job: &Job<'_>) -> bool {
    let apart = [Class::Aluminium, Class::Magnesium, Class::Titanium, Class::Zinc];
    let one = class_of(&job.base);
    let other = job.other.as_ref().and_then(class_of);
    one.zip(other).is_some_and(|(one, other)| one != other && (apart.contains(&one) || apart.contains(&other)))
}

/// Whether the part is warmed because its metal asks for it, and kept so between passes: a preheat of a metal that
/// cracks cold, not the drying heat of a cold place and not the help for a small set.
#[must_use]
pub fn kept_warm(job: &Job<'_>, worked: &Worked) -> Option<f64> {
    let figure = worked.figures.get(&FigureName::Preheat)?;
    let other = ["drying-heat", "warm-start-for-machine"];
    let for_other = figure.working.iter().any(|line| other.contains(&line.words));
    let from = match figure.value {
        crate::engine::Value::Range { low, .. } => Some(low),
        _ => figure.aim(),
    };
    from.filter(|from| !for_other && !all_aluminium(job) && *from > job.start_temperature)
}
