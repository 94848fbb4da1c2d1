//! The order in which the figures of a job are worked out, each from the ones before.

mod afterwards;
mod author;
mod reach;
mod shop;
mod steel;
mod torch;

use super::amperage::{Pass, Question};
use super::consumables::{self, Temperatures, rounded};
use super::figure::{Figure, LineKind, Value, Worked};
use super::job::Job;
use super::machine::{self, Set};
use super::metal::Ends;
use super::names::FigureName;
use super::opening::{self, Opening, Shape};
use super::own::Own;
use super::preheat::{Limits, limits, preheat_figure};
use super::solved::Solved;
use super::work::{Work, constant_of, to_step};
use reach::Ceiling;

use super::load_line::LoadLine;
use super::{acceptance, cost, filler, gas, heat, lens, penetrant, schedule, wave, weld_metal};
use crate::findings::{Code, Finding};
use crate::reference::Polarity;
use crate::reference::heat::heat_window_of;
use crate::spec::Set as OwnSet;
use crate::units::{InUnits, show};

/// Works out every figure of a job.
///
/// A figure that cannot be worked out is absent, and a finding says what it would need.
#[must_use]
pub fn work_out(job: &Job<'_>) -> Worked {
    let mut run = Run { job, out: Worked::default() };
    run.without_thickness();
    if let Some(wall) = job.thickness {
        run.with_thickness(wall);
    }
    if !run.out.figures.contains_key(&FigureName::Acceptance) {
        run.acceptance(None);
    }
    if let Some(figure) = super::qualification::figure(job, &run.out.figures) {
        run.put(figure);
    }
    run.out
}

struct Run<'j, 'a> {
    job: &'j Job<'a>,
    out: Worked,
}

/// What the passes are worked out from and come to.
struct Currents {
    ends: Ends,
    opening: Opening,
    limits: Limits,
    root: Solved,
    fill: Solved,
    temperatures: Temperatures,
    polarity: Polarity,
}

impl<'a> Run<'_, 'a> {
    fn put(&mut self, figure: Figure) {
        self.out.figures.insert(figure.name, figure);
    }

    fn find(&mut self, finding: impl IntoIterator<Item = Finding>) {
        self.out.findings.extend(finding);
    }

    fn aim(&self, name: FigureName) -> Option<f64> {
        self.out.figures.get(&name).and_then(Figure::aim)
    }

    fn own(&self) -> Option<&OwnSet> {
        self.job.spec.weld.set.as_ref().map(|at| &at.value)
    }

    /// Puts the author's own value over a figure.
    fn over(&mut self, name: FigureName, own: Option<Own<'_>>) {
        if let (Some(own), Some(figure)) = (own, self.out.figures.get_mut(&name)) {
            own.put(figure, &mut self.out.findings);
        }
    }

    fn acceptance(&mut self, opening: Option<&Opening>) {
        if let Some(figure) = acceptance::figure(self.job, self.job.thickness, opening) {
            self.put(figure);
        }
    }

    /// Figures that need the metal alone, or nothing.
    fn without_thickness(&mut self) {
        let job = self.job;
        if !job.base.candidates.is_empty() {
            let (current, polarity) = wave::polarity(job);
            self.put(polarity);
            if let Some(balance) = wave::balance(job).filter(|_| current == Polarity::AC) {
                self.put(balance);
            }
            let own = self.own().cloned();
            let own = own.as_ref().and_then(|set| Own::quantity(set.balance.as_ref(), InUnits::in_percent_en));
            self.over(FigureName::Balance, own);
        }
        if job.thickness.is_none() {
            let (set, _) = machine::choose(job, wave::of_job(job), 0.0);
            self.fit_to_panel(set.as_ref(), &[FigureName::Balance, FigureName::Frequency]);
        }
        self.machine_ceilings();
        let (gas, findings) = gas::gas_figure(job);
        self.put(gas);
        self.find(findings);
        self.find(penetrant::lacking(job));
        for figure in penetrant::figures(job) {
            self.put(figure);
        }
        let Some(set) = self.own().cloned() else { return };
        self.over(FigureName::PenetrantDwell, Own::quantity(set.penetrant_dwell.as_ref(), InUnits::in_minutes));
        self.over(FigureName::DeveloperTime, Own::quantity(set.developer_time.as_ref(), InUnits::in_minutes));
    }

    fn with_thickness(&mut self, wall: f64) {
        let job = self.job;
        let Some(currents) = self.currents(wall) else { return };
        let opening = &currents.opening;
        if job.damage_is_known() || job.from_spec() {
            self.put(opening.figure());
        }
        self.acceptance(Some(opening));
        if let Some(hole) = opening::stop_hole(job, wall) {
            self.put(hole);
        }
        if let Some(frequency) = wave::frequency(job, wall).filter(|_| currents.polarity == Polarity::AC) {
            self.put(frequency);
        }
        if let Some(dilution) = weld_metal::dilution_figure(job, wall) {
            self.put(dilution);
        }
        self.missing_sizes(opening);
        let set = self.amperages(&currents);
        self.after_amperage(&currents, set.as_ref(), wall);
    }

    /// A note for what is left blank because the damage is not measured.
    fn missing_sizes(&mut self, opening: &Opening) {
        if !self.job.from_spec() || opening.missing.is_empty() {
            return;
        }
        let missing = opening.missing.join(", ");
        let finding = Finding::new(
            Code::SettingNotComputed,
            format!("weld metal, rods, arc time and gas are left as blanks: [damage] gives no {missing}"),
        )
        .at_some(self.job.spec.damage.kind.as_ref().map(|at| at.span))
        .help("measure it after opening up and add it");
        self.find([finding]);
    }

    /// Solves root and fill at the start temperature.
    fn currents(&mut self, wall: f64) -> Option<Currents> {
        let job = self.job;
        let ends = Ends::of(job)?;
        let mut limits = limits(job)?;
        let opening = opening::plan(job, wall);
        let (polarity, _) = wave::polarity(job);
        let start_of = |limits: &Limits| job.start_temperature.max(limits.needed.unwrap_or(f64::MIN));
        let question = |start| Question { job, ends: &ends, wall, opening: &opening, polarity, start };
        let mut start = start_of(&limits);
        let mut asked = question(start);
        let (mut root, mut fill) = (asked.solve(Pass::Root)?, asked.solve(Pass::Fill)?);
        if let Some(formula) = self.steel_preheat(wall, &root, &fill) {
            limits.take_in(formula);
        }
        if start_of(&limits) > start {
            start = start_of(&limits);
            asked = question(start);
            (root, fill) = (asked.solve(Pass::Root)?, asked.solve(Pass::Fill)?);
        }
        self.find(asked.compare(&root));
        let shares = edge_parts(&asked, &fill);
        let warm = limits.interpass.max(start);
        let temperatures =
            Temperatures { start, running: to_step(f64::midpoint(start, warm), 5.0).clamp(start, warm), warm };
        let mut currents = Currents { ends, opening, limits, root, fill, temperatures, polarity };
        if !shares.is_empty() {
            currents.root.work.remark(LineKind::Remark, "edge-shares", shares, None);
        }
        Some(currents)
    }

    /// The three amperages, the panel maximum and the preheat that a small machine asks for.
    fn amperages(&mut self, currents: &Currents) -> Option<Set<'a>> {
        let job = self.job;
        let need = self.highest_aim(currents, currents.temperatures.start);
        let (set, findings) = machine::choose(job, currents.polarity, need);
        self.find(findings);
        self.fit_to_panel(set.as_ref(), &[FigureName::Balance]);
        let ceiling = self.ceiling(currents, set.as_ref());
        let warm_start = ceiling.as_ref().and_then(|ceiling| self.warm_start(currents, need, ceiling, set.as_ref()));
        let (preheat, findings) = preheat_figure(job, &currents.limits, warm_start);
        self.put(preheat);
        self.find(findings);
        self.put(currents.limits.figure.clone());
        let temperatures = [
            (FigureName::Amperage, currents.temperatures.start),
            (FigureName::AmperageRunning, currents.temperatures.running),
            (FigureName::AmperageWarm, currents.temperatures.warm),
        ];
        for (name, part) in temperatures {
            self.put(amperage_at(name, &currents.root, (currents.temperatures.start, part), ceiling.as_ref()));
        }
        self.lowest(currents, set.as_ref());
        self.panel_maximum(currents, set.as_ref());
        let own = self.own().cloned();
        let own = own.as_ref().and_then(|set| Own::quantity(set.amperage.as_ref(), InUnits::in_amps));
        self.over(FigureName::Amperage, own);
        let passes =
            consumables::passes(job.class(), &currents.opening, &currents.root, &currents.fill, currents.temperatures);
        self.put(passes);
        self.beyond_machines(need);
        set
    }

    fn highest_aim(&self, currents: &Currents, part: f64) -> f64 {
        let root = currents.root.at(part)[1];
        if self.has_fill(currents) { root.max(currents.fill.at(part)[1]) } else { root }
    }

    fn highest(&self, currents: &Currents, part: f64) -> f64 {
        let root = currents.root.at(part)[2];
        if self.has_fill(currents) { root.max(currents.fill.at(part)[2]) } else { root }
    }

    fn has_fill(&self, currents: &Currents) -> bool {
        matches!(currents.opening.shape, Shape::Groove | Shape::Pad | Shape::Plug | Shape::Vee)
    }

    /// Everything that hangs on the current.
    fn after_amperage(&mut self, currents: &Currents, set: Option<&Set<'_>>, wall: f64) {
        self.tungsten_and_gas(currents, set, wall);
        self.filler_and_rod(currents, wall);
        self.heat(currents, wall);
        self.steel_cooling(currents, wall);
        self.ferrite();
        self.used_up(currents);
        self.author_limits(currents);
        self.afterwards(currents, wall);
    }

    fn filler_and_rod(&mut self, currents: &Currents, wall: f64) {
        let (figure, findings) = filler::figure(self.job, wall);
        self.find(findings);
        if let Some(figure) = figure {
            self.put(figure);
        }
        self.own_filler();
        let through = matches!(currents.opening.shape, Shape::Square | Shape::Fillet | Shape::Patch);
        let amps = currents.root.at(currents.temperatures.start)[1];
        let filler = self.out.figures.get(&FigureName::FillerMetal).and_then(Figure::word).map(str::to_owned);
        let set = self.own().cloned();
        let own = set.as_ref().and_then(|set| Own::quantity(set.filler_diameter.as_ref(), InUnits::in_mm));
        let rod = consumables::rod_figure(self.job, filler.as_deref(), wall, amps, currents.polarity, through);
        if let Some((figure, lacks)) = rod {
            self.put(figure);
            self.find(lacks.filter(|_| own.is_none()));
        }
        self.over(FigureName::FillerDiameter, own);
    }

    fn heat(&mut self, currents: &Currents, wall: f64) {
        let through = currents.root.pool.is_none();
        self.put(heat::travel_figure(schedule::Of::job(self.job, currents.polarity), wall, through));
        let set = self.own().cloned();
        self.over(
            FigureName::TravelSpeed,
            set.as_ref().and_then(|set| Own::quantity(set.travel_speed.as_ref(), InUnits::in_mm_per_min)),
        );
        let cold = rounded(currents.root.at(currents.temperatures.start));
        let warm = rounded(currents.root.at(currents.temperatures.warm));
        let aim = self.aim(FigureName::Amperage).unwrap_or(cold[1]);
        self.travel_for_heat(currents, aim);
        // Neither the set nor the torch is ever turned past the panel maximum.
        let end = self.aim(FigureName::AmperageMax).unwrap_or(f64::INFINITY);
        let amps = (warm[0].min(aim), aim, cold[2].min(end).max(aim));
        self.put(heat::voltage_figure(amps, self.job.helium));
        let travel = self.aim(FigureName::TravelSpeed).unwrap_or(constant_of(self.job.class(), "travel-repair").value);
        let most_aim = self.highest_aim(currents, currents.temperatures.start).min(end).max(aim);
        for figure in heat::heat_input_figures((warm[1].min(aim), aim, most_aim), travel, self.job.helium) {
            self.put(figure);
        }
        let own = set.as_ref().and_then(|set| Own::quantity(set.heat_input.as_ref(), InUnits::in_kj_per_mm));
        self.over(FigureName::HeatInput, own);
        if self.job.from_spec() || self.job.spec.part.mass.is_some() {
            let ends = currents.opening.sides.first().map_or(2.0, |side| side.ends);
            let start = currents.temperatures.start;
            let arc = heat::Arc { wall, start, amps: aim, inner_ends: ends, travel };
            for figure in heat::budget_figures(self.job, &currents.ends, &currents.limits, &arc) {
                self.put(figure);
            }
        }
        let most = self.aim(FigureName::AmperageMax).unwrap_or(cold[2]);
        if let Some(lens) = lens::figure(most) {
            self.put(lens);
        }
    }

    /// The travel that a heat input asks for: that of the author, or the window of the metal.
    fn travel_for_heat(&mut self, currents: &Currents, aim: f64) {
        let set = self.own().cloned().unwrap_or_default();
        if set.travel_speed.is_some() {
            return;
        }
        let stated = Own::quantity(set.heat_input.as_ref(), InUnits::in_kj_per_mm);
        let line = LoadLine::for_gas(self.job.helium);
        let Some(figure) = self.out.figures.get_mut(&FigureName::TravelSpeed) else { return };
        if let Some(stated) = stated {
            let amps = rounded(currents.fill.at(currents.temperatures.start));
            heat::travel_by_heat_input(figure, stated.value(), line, amps);
        } else if let Some(window) = self.job.base.alloy.and_then(heat_window_of) {
            heat::travel_in_window(figure, window, line, aim);
        }
    }

    fn used_up(&mut self, currents: &Currents) {
        if !(self.job.damage_is_known() || self.job.from_spec()) {
            return;
        }
        let (Some(rod), Some(travel), Some(flow), Some(post), Some(pre)) = (
            self.aim(FigureName::FillerDiameter),
            self.aim(FigureName::TravelSpeed),
            self.aim(FigureName::GasFlow),
            self.aim(FigureName::PostFlow),
            self.aim(FigureName::PreFlow),
        ) else {
            return;
        };
        let Some(filler) = self.out.figures.get(&FigureName::FillerMetal).and_then(Figure::word).map(str::to_owned)
        else {
            return;
        };
        let Some(passes) = self.out.figures.get(&FigureName::Passes).cloned() else { return };
        let parts = self.out.figures.get(&FigureName::GasFlow).map_or(&[][..], |figure| figure.parts.as_slice());
        let beside =
            parts.iter().filter(|(key, ..)| matches!(*key, "trailing" | "backing")).map(|(_, flow, _)| flow).sum();
        let set = consumables::RunAt { rod, filler: &filler, travel, flow, beside, pre_flow: pre, post_flow: post };
        for figure in consumables::figures(self.job, &currents.opening, &passes, &set) {
            self.put(figure);
        }
        self.cost(&filler, rod);
    }

    /// What rod and gas cost, where the kit has prices.
    fn cost(&mut self, filler: &str, diameter: f64) {
        let (Some(grams), Some(rods), Some(litres)) =
            (self.aim(FigureName::FillerMass), self.aim(FigureName::Rods), self.aim(FigureName::GasVolume))
        else {
            return;
        };
        if let Some(figure) = cost::figure(self.job, &cost::Used { filler, diameter, grams, rods, litres }) {
            self.put(figure);
        }
    }
}

/// Current near a free edge as shares of the current far from it, for the working: at 5, 10 and 20 mm.
fn edge_parts(question: &Question<'_>, fill: &Solved) -> Vec<String> {
    let shares: Vec<String> = [5.0, 10.0, 20.0]
        .into_iter()
        .filter_map(|edge| question.edge_share(fill, edge).map(|share| show::number(share, 2)))
        .collect();
    shares
}

/// The amperage of the first pass at a part temperature.
fn amperage_at(name: FigureName, root: &Solved, (start, part): (f64, f64), ceiling: Option<&Ceiling>) -> Figure {
    let [low, aim, high] = rounded(root.at(part));
    let mut work = root.work.clone();
    if name != FigureName::Amperage {
        work = Work::new();
        let [_, cold, _] = rounded(root.at(start));
        work.out_of(FigureName::Amperage, "aim-at-start", "i", cold);
        work.step("part-temperature", "T", "", part, "°C");
        work.remark(LineKind::Remark, "power-falls-with-part", Vec::new(), None);
        work.step("aim-at-part", "", "", root.at(part)[1], "A");
    }
    let (mut aim, mut high) = (aim, high);
    if let Some(ceiling) = ceiling.filter(|ceiling| ceiling.amps < high) {
        high = ceiling.amps;
        aim = aim.min(ceiling.amps);
        ceiling.write(&mut work);
    }
    let low = low.min(aim);
    work.remark(LineKind::Rounding, "rounded-to-dial", Vec::new(), None);
    let mut figure = work.done(name, Value::Range { low, high, set: aim }, root.basis);
    if name != FigureName::Amperage {
        figure.weakest = root.work.clone().done(name, Value::Number(aim), root.basis).weakest;
    }
    figure
}
