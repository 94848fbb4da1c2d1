//! What heat does to steel: preheat by its composition, cooling time, ferrite of stainless welds, and their findings.

use super::{Currents, Run};
use crate::engine::ferrous::cooling_figure::{self, cooling_time};
use crate::engine::ferrous::preheat::{Question, SteelPreheat, preheat};
use crate::engine::ferrous::{Limits, Metal, hardness};
use crate::engine::figure::Figure;
use crate::engine::heat::arc_energy;
use crate::engine::names::FigureName;
use crate::engine::solved::Solved;
use crate::engine::stainless::{Structure, ferrite_figure};
use crate::engine::work::{constant, constant_of};
use crate::reference::search::{composition_of, filler_named};
use crate::reference::{Alloy, Row};
use crate::units::InUnits;

/// An alloy by its composition, as a certificate of the part or its table gives it.
struct Known<'a> {
    alloy: &'a Alloy,
    limits: Limits,
}

impl Known<'_> {
    fn metal(&self) -> Metal<'_> {
        let cite = composition_of(&self.alloy.name).map(Row::cite);
        Metal { name: &self.alloy.name, limits: &self.limits, cite }
    }
}

impl Run<'_, '_> {
    /// The steels of the job that are known by name, with what they are made of.
    fn steels(&self) -> Vec<Known<'static>> {
        let job = self.job;
        let own = job.base.alloy.into_iter().filter_map(|alloy| Some((alloy, job.composition()?)));
        let other = job.other.as_ref().and_then(|other| other.alloy);
        let other = other.into_iter().filter_map(|alloy| Some((alloy, composition_of(&alloy.name)?.limits.clone())));
        own.chain(other).map(|(alloy, limits)| Known { alloy, limits }).collect()
    }

    /// Heat input with k that a pass brings to the part as it starts, kJ/mm: what the author states, of the root where that
    /// takes less at the same travel; else by the current.
    fn first_heat_input(&self, root: &Solved, fill: &Solved) -> f64 {
        let set = self.own().and_then(|set| set.heat_input.as_ref());
        let amps = fill.at(fill.reference)[1];
        if let Some(own) = set {
            let stated = own.value.value.value.range.low.in_kj_per_mm();
            let least = root.at(root.reference)[1].min(amps);
            let share = |amps: f64| arc_energy(fill.line.volts(amps), amps, 1.0);
            return stated * share(least) / share(amps);
        }
        let travel = constant_of(self.job.class(), "travel-repair").value;
        constant("heat-input-k").value * arc_energy(fill.line.volts(amps), amps, travel)
    }

    /// Preheat by formula of the steel that asks for most.
    pub(super) fn steel_preheat(&self, wall: f64, root: &Solved, fill: &Solved) -> Option<SteelPreheat> {
        let job = self.job;
        let heat_input = self.first_heat_input(root, fill);
        let hydrogen = job.spec.weld.hydrogen.as_ref().map(|at| at.value.range.high.in_litres() * 1000.0);
        let damp = job.spec.place.damp.as_ref().is_some_and(|at| at.value);
        let of = |known: &Known<'_>| {
            preheat(&Question { metal: known.metal(), rod: None, thickness: wall, hydrogen, damp, heat_input })
        };
        let steels = self.steels();
        let steels = steels.iter().filter(|known| known.alloy.class.is_steel());
        steels.map(of).max_by(|a, b| a.degrees.unwrap_or(0.0).total_cmp(&b.degrees.unwrap_or(0.0)))
    }

    /// Cooling time and hardness beside the weld of a steel.
    pub(super) fn steel_cooling(&mut self, currents: &Currents, wall: f64) {
        if !self.job.class().is_steel() {
            return;
        }
        let heat_input = self.out.figures.get(&FigureName::HeatInput);
        let Some((low, high)) = heat_input.and_then(Figure::ends) else { return };
        let set = heat_input.and_then(Figure::aim).unwrap_or(low);
        let start = currents.temperatures.start;
        let question = cooling_figure::Question { heat_input: [low, set, high], start, wall, joint: self.job.joint };
        let Some(mut figure) = cooling_time(&question) else { return };
        let seconds = figure.aim();
        for known in self.steels().iter().filter(|known| known.alloy.class.is_steel()) {
            if let Some(seconds) = seconds {
                let zone = hardness::hardness(&known.metal(), seconds);
                figure.working.extend(zone.lines);
                let findings = zone.findings.into_iter().map(|finding| finding.at_some(self.job.base.span));
                self.out.findings.extend(findings);
            }
        }
        self.put(figure);
    }

    /// Ferrite of a stainless weld.
    pub(super) fn ferrite(&mut self) {
        let job = self.job;
        let mut steels = self.steels();
        // Of a ferritic or hardening grade the estimate says nothing.
        let told = |known: &Known<'_>| ["austenitic", "duplex"].iter().any(|word| known.alloy.family.contains(word));
        if !steels.iter().any(told) {
            return;
        }
        // The stainless side is the one that the lines speak of.
        steels.sort_by_key(|known| !told(known));
        let (Some(base), other) = (steels.first(), steels.get(1)) else { return };
        let structure = if steels.iter().any(|known| known.alloy.family.contains("duplex")) {
            Structure::Duplex
        } else {
            Structure::Austenitic
        };
        let rod = self.out.figures.get(&FigureName::FillerMetal).and_then(Figure::word).and_then(filler_named);
        let Some((low, high)) = self.out.figures.get(&FigureName::Dilution).and_then(Figure::ends) else { return };
        let rod = rod.map(|rod| Metal { name: &rod.name, limits: &rod.limits, cite: Some(rod.cite()) });
        let service = job.spec.part.service_temperature.as_ref().map(|at| at.value.range.high.in_celsius());
        let question = ferrite_figure::Question {
            base: base.metal(),
            other: other.map(Known::metal),
            rod,
            share: [low / 100.0, high / 100.0],
            structure,
            service,
        };
        let (figure, findings) = ferrite_figure::ferrite(&question);
        self.put(figure);
        self.find(findings.into_iter().map(|finding| finding.at_some(job.base.span)));
    }
}
