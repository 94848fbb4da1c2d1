//! What a job is, as far as the order of the hands asks: cracked, cast, coated, reached from both sides.

use super::context::Context;
use crate::engine::{FigureName, PassRow, machine};
use crate::kit::{Cooling, Kit, Machine, Remote, Torch};
use crate::reference::{Alloy, Polarity, Product};
use crate::rules::metals::{self, Route};
use crate::rules::warming;
use crate::spec::{
    Access, Coating, Consequence, CutBy, DamageKind, Form, Held, IdentifiedBy, InspectionMethod, Joint, Keep, Loading,
    Site, Spec, Surface, Use,
};
use crate::units::{Amount, InUnits, Length};

/// A joint longer than this, mm, is welded in steps.
const LONG: f64 = 75.0;

/// What a feature to keep is called inside a sentence: `seat bore (62 mm)` for `seat bore, 62 mm`.
pub(super) fn feature(keep: &Keep) -> String {
    let name = &keep.feature.value;
    match name.split_once(", ") {
        Some((what, more)) => format!("{what} ({more})"),
        None => name.clone(),
    }
}

/// Whether a feature to keep is a bore, by the words of its name.
pub(super) fn is_bore(keep: &Keep) -> bool {
    let name = keep.feature.value.to_lowercase();
    name.contains("hole") || name.contains("bore")
}

impl<'a> Context<'a> {
    pub(super) fn spec(&self) -> &'a Spec {
        self.job.spec
    }

    pub(super) fn kit(&self) -> Option<&'a Kit> {
        self.job.kit
    }

    /// The kind of damage, where it is stated.
    pub(super) fn kind(&self) -> Option<DamageKind> {
        self.spec().damage.kind.as_ref().map(|at| at.value)
    }

    /// The noun for the damage.
    pub(super) fn damage(&self) -> String {
        self.word("damage", self.kind().map_or("other", DamageKind::word))
    }

    /// Whether the spec says that it rotates in use.
    pub(super) fn loaded_by_rotation(&self) -> bool {
        self.spec().part.loading.iter().any(|at| at.value == Loading::Rotating)
    }

    /// Whether the back of the weld wants gas.
    pub(super) fn purged(&self) -> bool {
        metals::purged(self.job, self.worked)
    }

    /// Which way a casting of iron is welded.
    pub(super) fn iron_route(&self) -> Option<Route> {
        metals::iron_route(self.job, self.worked)
    }

    pub(super) fn is_crack(&self) -> bool {
        self.kind() == Some(DamageKind::Crack)
    }

    pub(super) fn is_propeller(&self) -> bool {
        self.spec().part.use_.iter().any(|at| at.value == Use::Propeller)
    }

    pub(super) fn through(&self) -> bool {
        self.spec().damage.through.as_ref().is_some_and(|at| at.value)
    }

    /// Crack ends that stop inside the metal; none where nobody says.
    pub(super) fn tips(&self) -> Option<i64> {
        self.spec().damage.tips.as_ref().map(|at| at.value)
    }

    /// A crack that runs out at an edge, so that it is welded from its inner end outwards.
    pub(super) fn to_edge(&self) -> bool {
        self.is_crack() && self.tips() == Some(1)
    }

    pub(super) fn both_sides(&self) -> bool {
        self.job.access == Access::BothSides
    }

    /// All alloys that the metals of the job may be.
    pub(super) fn alloys(&self) -> impl Iterator<Item = &'static Alloy> + use<'a> {
        let job = self.job;
        [Some(&job.base), job.other.as_ref()]
            .into_iter()
            .flatten()
            .flat_map(|base| base.alloy.into_iter().chain(base.candidates.iter().copied()))
    }

    pub(super) fn is_casting(&self) -> bool {
        let form = self.spec().metal.form.as_ref().map(|at| at.value);
        let stated = form.map(|form| {
            matches!(form, Form::SandCasting | Form::PermanentMouldCasting | Form::InvestmentCasting | Form::DieCasting)
        });
        stated.unwrap_or_else(|| self.alloys().any(|alloy| alloy.product != Product::Wrought))
    }

    pub(super) fn is_die_casting(&self) -> bool {
        let form = self.spec().metal.form.as_ref().map(|at| at.value);
        form == Some(Form::DieCasting) || self.alloys().any(|alloy| alloy.product == Product::Die)
    }

    pub(super) fn surface_is(&self, wanted: Surface) -> bool {
        let metal = &self.spec().metal;
        let other = metal.other.iter().flat_map(|other| &other.value.surface);
        metal.surface.iter().chain(other).any(|at| at.value == wanted)
    }

    pub(super) fn oil_soaked(&self) -> bool {
        self.surface_is(Surface::OilSoaked)
    }

    pub(super) fn identified_by(&self) -> Option<IdentifiedBy> {
        self.spec().metal.identified_by.as_ref().map(|at| at.value)
    }

    /// Whether a certificate or a spectrometer proves every metal of the job.
    pub(super) fn proved(&self) -> bool {
        let metal = &self.spec().metal;
        let proof =
            |by: Option<IdentifiedBy>| matches!(by, Some(IdentifiedBy::Certificate | IdentifiedBy::Spectrometer));
        let other = metal.other.as_ref();
        let other = other.is_none_or(|other| proof(other.value.identified_by.as_ref().map(|at| at.value)));
        other && proof(self.identified_by())
    }

    /// What lies on the metal; none where nobody says, which means unknown.
    pub(super) fn coating(&self) -> Option<Coating> {
        self.spec().prepare.coating.as_ref().map(|at| at.value)
    }

    pub(super) fn held(&self) -> Option<Held> {
        self.spec().part.held.as_ref().map(|at| at.value)
    }

    pub(super) fn on_the_boat(&self) -> bool {
        self.spec().place.site.as_ref().is_some_and(|at| at.value == Site::OnTheBoat)
    }

    /// Whether the work is done where welding is not the rule.
    pub(super) fn away_from_shop(&self) -> bool {
        self.spec().place.site.as_ref().is_some_and(|at| at.value != Site::WeldingShop)
    }

    pub(super) fn movable(&self) -> bool {
        warming::movable(self.job)
    }

    pub(super) fn consequence_high(&self) -> bool {
        self.spec().part.consequence.as_ref().is_some_and(|at| at.value == Consequence::High)
    }

    /// Whether a test is asked for; visual and penetrant where none is named.
    pub(super) fn tested_by(&self, method: InspectionMethod) -> bool {
        let methods = &self.spec().inspection.methods;
        let default = matches!(method, InspectionMethod::Visual | InspectionMethod::Penetrant);
        if methods.is_empty() { default } else { methods.iter().any(|at| at.value == method) }
    }

    pub(super) fn penetrant(&self) -> bool {
        self.tested_by(InspectionMethod::Penetrant)
    }

    /// Whether magnetic particles are asked for, on a metal that a magnet holds.
    pub(super) fn magnetic_particles(&self) -> bool {
        let asked = !self.spec().inspection.methods.is_empty() && self.tested_by(InspectionMethod::MagneticParticle);
        asked && metals::tested_by_magnet(self.job)
    }

    /// How the opening is cut, in words.
    pub(super) fn tool(&self) -> String {
        self.word("tool", self.spec().prepare.method.as_ref().map_or("unknown", |at| CutBy::word(at.value)))
    }

    /// Whether the joint is a cut opening with a groove or plug shape of its own.
    pub(super) fn is_groove(&self) -> bool {
        self.job.joint == Joint::Groove
    }

    pub(super) fn keeps(&self) -> impl Iterator<Item = &'a Keep> + use<'a> {
        self.spec().part.keep.iter().map(|at| &at.value)
    }

    /// Features to keep that are bores, by the words of their names.
    pub(super) fn bores(&self) -> impl Iterator<Item = &'a Keep> + use<'a> {
        self.keeps().filter(|keep| is_bore(keep))
    }

    /// The passes, where they were worked out.
    pub(super) fn passes(&self) -> &'a [PassRow] {
        self.figure(FigureName::Passes).map_or(&[], |figure| figure.passes.as_slice())
    }

    /// Whether a second side is gouged and welded.
    pub(super) fn two_sided(&self) -> bool {
        let unknown = self.passes().is_empty() && self.through() && self.both_sides() && self.is_groove();
        unknown || self.passes().iter().any(|row| row.side > 1)
    }

    /// Length of the joint, mm, where it is known.
    pub(super) fn joint_length(&self) -> Option<f64> {
        let passes = self.passes().iter().filter_map(|row| row.length).reduce(f64::max);
        passes.or_else(|| self.spec().damage.length.as_ref().map(|at| at.value.value().in_mm()))
    }

    pub(super) fn is_long(&self) -> bool {
        !matches!(self.job.joint, Joint::Pad | Joint::Plug) && self.joint_length().is_some_and(|length| length > LONG)
    }

    fn polarity(&self) -> Polarity {
        match self.figure(FigureName::Polarity).and_then(|figure| figure.word()) {
            Some("DCEN") => Polarity::DCEN,
            Some("DCEP") => Polarity::DCEP,
            _ => Polarity::AC,
        }
    }

    /// The machine that the engine took for this job.
    pub(super) fn machine(&self) -> Option<&'a Machine> {
        let aims = self.passes().iter().map(|PassRow { start: [_, aim, _], .. }| *aim);
        let need = aims.reduce(f64::max).or_else(|| self.figure(FigureName::Amperage)?.aim()).unwrap_or_default();
        machine::choose(self.job, self.polarity(), need).0.map(|set| set.machine)
    }

    pub(super) fn no_remote(&self) -> bool {
        self.machine().is_some_and(|machine| machine.remote.as_ref().is_some_and(|at| at.value == Remote::None))
    }

    /// The torch that the engine took for this job.
    pub(super) fn torch(&self) -> Option<&'a Torch> {
        let most = self.figure(FigureName::AmperageMax)?.aim()?;
        machine::torch(self.job, self.polarity(), most).0.map(|(torch, _)| torch)
    }

    /// Whether the torch in hand, or one that nobody has named yet, is cooled by water.
    pub(super) fn water_cooled(&self) -> bool {
        self.torch().is_some_and(|torch| torch.cooling.as_ref().is_some_and(|at| at.value == Cooling::Water))
    }

    /// Whether the part can go into a vented oven of the shop.
    pub(super) fn oven(&self) -> bool {
        warming::oven(self.job)
    }

    pub(super) fn burner(&self) -> bool {
        warming::burner(self.job)
    }

    /// A size of the damage as stated.
    pub(super) fn size(&self, key: &str) -> Option<&'a Amount<Length>> {
        let damage = &self.spec().damage;
        let at = match key {
            "length" => &damage.length,
            "width" => &damage.width,
            "depth" => &damage.depth,
            "diameter" => &damage.diameter,
            "height" => &damage.height,
            "edge" => &damage.edge_distance,
            _ => &None,
        };
        at.as_ref().map(|at| &at.value)
    }
}
