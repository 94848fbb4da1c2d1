//! The order in which the figures of a job are worked out, each from the ones before.

mod author;

use super::amperage::{Pass, Question};
use super::consumables::{self, Temperatures, rounded};
use super::figure::{Figure, LineKind, Origin, Value, Worked};
use super::job::Job;
use super::machine::{self, Set};
use super::metal::Ends;
use super::names::FigureName;
use super::opening::{self, Opening, Shape};
use super::own::{Own, put_word};
use super::preheat::{Limits, limits, preheat_figure};
use super::solved::Solved;
use super::work::{Work, constant, round, to_step};
use super::{filler, gas, heat, lens, penetrant, tungsten, wave, weld_metal};
use crate::findings::{Code, Finding};
use crate::reference::{Polarity, Row};
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

impl Run<'_, '_> {
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

    /// Figures that need the metal alone, or nothing.
    fn without_thickness(&mut self) {
        let job = self.job;
        if !job.base.candidates.is_empty() {
            let (_, polarity) = wave::polarity(job);
            self.put(polarity);
            if let Some(balance) = wave::balance(job) {
                self.put(balance);
            }
            self.balance_limits();
        }
        self.machine_ceilings();
        let (gas, findings) = gas::gas_figure(job);
        self.put(gas);
        self.find(findings);
        for figure in penetrant::figures(job) {
            self.put(figure);
        }
        let Some(set) = self.own().cloned() else { return };
        self.over(FigureName::PenetrantDwell, Own::quantity(set.penetrant_dwell.as_ref(), InUnits::in_minutes));
        self.over(FigureName::DeveloperTime, Own::quantity(set.developer_time.as_ref(), InUnits::in_minutes));
    }

    /// The author's balance, and the range of the panel.
    fn balance_limits(&mut self) {
        let own = self.own().cloned();
        self.over(
            FigureName::Balance,
            own.as_ref().and_then(|set| Own::quantity(set.balance.as_ref(), InUnits::in_percent_en)),
        );
        let (set, _) = machine::choose(self.job, Polarity::AC, 0.0);
        let range = set.as_ref().and_then(|set| machine::balance_range(set.machine));
        let Some((low, high)) = range else { return };
        let Some(figure) = self.out.figures.get_mut(&FigureName::Balance) else { return };
        if let Value::Range { low: from, high: to, set } = &mut figure.value {
            if *set < low || *set > high {
                let message = format!(
                    "the panel reaches {} to {} % EN, and {} % EN is wanted",
                    show::number(low, 0),
                    show::number(high, 0),
                    show::number(*set, 0)
                );
                self.out
                    .findings
                    .push(Finding::new(Code::KitLacks, message).help("take the nearest that the panel has"));
            }
            (*from, *to, *set) = (from.clamp(low, high), to.clamp(low, high), set.clamp(low, high));
        }
    }

    fn with_thickness(&mut self, wall: f64) {
        let job = self.job;
        let Some(currents) = self.currents(wall) else { return };
        let opening = &currents.opening;
        if job.damage_is_known() || job.from_spec() {
            self.put(opening.figure());
        }
        if let Some(hole) = opening::stop_hole(job, wall) {
            self.put(hole);
        }
        if let Some(frequency) = wave::frequency(job, wall) {
            self.put(frequency);
        }
        if let Some(dilution) = weld_metal::dilution_figure(job, wall) {
            self.put(dilution);
        }
        self.missing_sizes(opening);
        self.amperages(&currents, wall);
        self.after_amperage(&currents, wall);
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
        let limits = limits(job)?;
        let opening = opening::plan(job, wall);
        let (polarity, _) = wave::polarity(job);
        let start = job.start_temperature;
        let question = Question { job, ends: &ends, wall, opening: &opening, polarity, start };
        let root = question.solve(Pass::Root)?;
        let fill = question.solve(Pass::Fill)?;
        self.find(question.compare(&root));
        let shares = edge_parts(&question, &fill);
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
    fn amperages(&mut self, currents: &Currents, wall: f64) {
        let job = self.job;
        let need = self.highest_aim(currents, currents.temperatures.start);
        let (set, findings) = machine::choose(job, currents.polarity, need);
        self.find(findings);
        let torch = machine::largest_torch(job, currents.polarity);
        let ceiling = set.as_ref().map(|set| set.amps.1).into_iter().chain(torch).reduce(f64::min);
        let warm_start = ceiling.and_then(|ceiling| self.warm_start(currents, need, ceiling, set.as_ref()));
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
            self.put(amperage_at(name, &currents.root, part, ceiling));
        }
        self.panel_maximum(currents, set.as_ref(), wall);
        if let Some(own) =
            self.own().cloned().as_ref().and_then(|set| Own::quantity(set.amperage.as_ref(), InUnits::in_amps))
        {
            self.over(FigureName::Amperage, Some(own));
        }
        let passes = consumables::passes(&currents.opening, &currents.root, &currents.fill, currents.temperatures);
        self.put(passes);
        self.beyond_machines(need);
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

    /// The part temperature at which the highest aim comes inside the machine; none where it does so cold, or never.
    fn warm_start(&mut self, currents: &Currents, need: f64, ceiling: f64, set: Option<&Set<'_>>) -> Option<f64> {
        if round(FigureName::Amperage, need) <= ceiling {
            return None;
        }
        let limit = currents.limits.interpass.min(currents.limits.preheat);
        let start = currents.temperatures.start;
        let steps = (0..400).map(|step| start + f64::from(step) * 5.0).take_while(|part| *part <= limit);
        let found = steps
            .map(|part| show::round_to(part, 5.0, show::Toward::Up))
            .find(|part| *part <= limit && round(FigureName::Amperage, self.highest_aim(currents, *part)) <= ceiling);
        let name = set.map_or("the set", |set| set.machine.name.value.as_str());
        let span = set.map(|set| set.span);
        let amps = |value: f64| show::number(round(FigureName::Amperage, value), 0);
        let message = match found {
            Some(_) => {
                format!("a cold start wants {} A, and {name} ends at {} A", amps(need), show::number(ceiling, 0))
            }
            None => format!(
                "{name} cannot make this weld: it ends at {} A, cold it wants {} A and at the limit of {} °C still {} A",
                show::number(ceiling, 0),
                amps(need),
                show::number(limit, 0),
                amps(self.highest_aim(currents, limit)),
            ),
        };
        let finding = Finding::new(Code::SettingNeedAboveMachine, message).at_some(span);
        let finding = match found {
            Some(part) => finding.help(format!(
                "start with the part at {} °C or more, under the limit of {} °C",
                show::number(part, 0),
                show::number(limit, 0)
            )),
            None => finding.help("a bigger set, or helium in the gas, or another way of mending it"),
        };
        self.find([finding]);
        found
    }

    /// A job beyond the sets that are sold for manual work.
    fn beyond_machines(&mut self, need: f64) {
        let sizes = ["set-size-160", "set-size-200", "set-size-250", "set-size-350", "set-size-500"];
        let sizes: Vec<f64> = sizes.iter().map(|key| constant(key).value).collect();
        let small = sizes.iter().filter(|size| **size < need).copied().collect::<Vec<_>>();
        if self.job.kit.is_some() || small.len() < 3 {
            return;
        }
        let next = sizes.iter().find(|size| **size >= need);
        let listed = small.iter().map(|size| show::number(*size, 0)).collect::<Vec<_>>().join(", ");
        let message = match next {
            Some(next) => format!(
                "{} A lies beyond sets of {listed} A; a set of {} A reaches it",
                show::number(round(FigureName::Amperage, need), 0),
                show::number(*next, 0)
            ),
            None => format!(
                "{} A lies beyond every set for manual TIG ({listed} A)",
                show::number(round(FigureName::Amperage, need), 0)
            ),
        };
        let finding = Finding::new(Code::SettingBeyondMachines, message)
            .at_some(self.job.thickness_span())
            .help("open the joint to a V, warm the part within its limit, or take another process");
        self.find([finding]);
    }

    fn panel_maximum(&mut self, currents: &Currents, set: Option<&Set<'_>>, wall: f64) {
        let _ = wall;
        let mut work = Work::new();
        let high = self.highest(currents, currents.temperatures.start);
        work.figure(FigureName::Amperage, "i", currents.root.at(currents.temperatures.start)[2]);
        work.step("highest-of-passes", "", "", high, "A");
        let mut value = round(FigureName::Amperage, high);
        let mut basis = currents.root.basis;
        if let Some(set) = set
            && value > set.amps.1
        {
            value = set.amps.1;
            work.ceiling("machine-ends", set.amps.1, "A", Origin::Kit(Some(set.span)));
            work.with(vec![set.machine.name.value.clone()]);
        }
        let (torch, findings) = machine::torch(self.job, currents.polarity, value);
        self.find(findings);
        if let Some((torch, rated)) = torch {
            if rated < value {
                value = rated;
                work.ceiling("torch-ends", rated, "A", Origin::Kit(torch.rated.as_ref().map(|at| at.span)));
                work.with(vec![torch.name.value.clone()]);
            }
            if machine::water_cooled(torch) {
                work.remark(LineKind::Remark, "water-cooled", vec![torch.name.value.clone()], None);
            }
        } else if value > constant("water-cooled-above").value {
            work.remark(
                LineKind::Remark,
                "wants-water-cooling",
                Vec::new(),
                Some(constant("water-cooled-above").cite()),
            );
        }
        if basis == crate::reference::Basis::Published && value != round(FigureName::Amperage, high) {
            basis = crate::reference::Basis::Computed;
        }
        let mut figure = work.done(FigureName::AmperageMax, Value::Number(value), basis);
        figure.weakest = self.out.figures.get(&FigureName::Amperage).and_then(|figure| figure.weakest);
        if let Some((torch, _)) = torch {
            figure.alternatives = vec![torch.name.value.clone()];
        }
        self.put(figure);
        if let Some(own) =
            self.own().cloned().as_ref().and_then(|set| Own::quantity(set.amperage_max.as_ref(), InUnits::in_amps))
        {
            self.over(FigureName::AmperageMax, Some(own));
        }
        if let Some(duty) =
            set.zip(self.aim(FigureName::AmperageMax)).and_then(|(set, amps)| machine::duty_figure(set, amps))
        {
            self.put(duty);
        }
    }

    /// Everything that hangs on the current.
    fn after_amperage(&mut self, currents: &Currents, wall: f64) {
        self.tungsten_and_gas(currents, wall);
        self.filler_and_rod(currents, wall);
        self.heat(currents, wall);
        self.used_up(currents);
        self.author_limits(currents);
    }

    fn tungsten_and_gas(&mut self, currents: &Currents, wall: f64) {
        let Some(most) = self.aim(FigureName::AmperageMax) else { return };
        let low = rounded(currents.root.at(currents.temperatures.warm))[0];
        let balance = self.aim(FigureName::Balance).unwrap_or(constant("usual-balance").value);
        let set = self.own().cloned();
        if let Some(class) = tungsten::class(currents.polarity) {
            self.put(class);
            if let (Some(own), Some(figure)) = (
                set.as_ref().and_then(|set| set.tungsten_type.as_ref()),
                self.out.figures.get_mut(&FigureName::TungstenType),
            ) {
                put_word(figure, Value::Word(own.value.value.value.clone()), own.value.because.as_ref());
            }
        }
        let aim = round(FigureName::Amperage, self.highest_aim(currents, currents.temperatures.start).min(most));
        let need =
            tungsten::Need { polarity: currents.polarity, balance, low, aim, high: most, helium: self.job.helium };
        let Some((_, figure)) = tungsten::diameter(need) else {
            self.no_tungsten(most, balance);
            return;
        };
        self.put(figure);
        let own_diameter = set.as_ref().and_then(|set| Own::quantity(set.tungsten_diameter.as_ref(), InUnits::in_mm));
        if let Some(own) = own_diameter {
            let capacity = tungsten::capacity(own.value(), currents.polarity, balance);
            if capacity.as_ref().is_none_or(|capacity| capacity.high < most) {
                let high = capacity.map_or(0.0, |capacity| capacity.high);
                let message = format!(
                    "a tungsten of this diameter carries {} A, and the panel maximum is {} A",
                    show::number(high, 0),
                    show::number(most, 0)
                );
                self.find([Finding::new(Code::SettingAboveTungsten, message)
                    .at(own.span())
                    .help("the next diameter, or less current")]);
            }
            if let Some(figure) = self.out.figures.get_mut(&FigureName::TungstenDiameter) {
                own.put(figure, &mut self.out.findings);
            }
        }
        let diameter = self.aim(FigureName::TungstenDiameter).unwrap_or(0.0);
        for figure in tungsten::tip(currents.polarity, diameter, most) {
            self.put(figure);
        }
        self.put(gas::lens_figure());
        if let (Some(own), Some(figure)) =
            (set.as_ref().and_then(|set| set.gas_lens.as_ref()), self.out.figures.get_mut(&FigureName::GasLens))
        {
            put_word(figure, Value::Flag(own.value.value.value), own.value.because.as_ref());
        }
        let lens =
            !matches!(self.out.figures.get(&FigureName::GasLens).map(|figure| &figure.value), Some(Value::Flag(false)));
        self.put(tungsten::stick_out(diameter, lens, &currents.opening));
        let pool = currents.fill.pool.or(currents.root.pool).unwrap_or(constant("pool-per-wall").value * wall);
        let Some((cup, figure)) = gas::cup_figure(diameter, pool, aim, currents.polarity) else { return };
        self.put(figure);
        self.over(FigureName::Cup, set.as_ref().and_then(|set| Own::whole(set.cup.as_ref())));
        let cup = self
            .aim(FigureName::Cup)
            .and_then(|number| {
                crate::reference::cup().rows.iter().find(|cup| (f64::from(cup.number) - number).abs() < 0.1)
            })
            .unwrap_or(cup);
        // The gas goes by what is welded with, not by where the pedal ends.
        for figure in gas::flow_figures(self.job, wall, aim, currents.polarity, cup) {
            self.put(figure);
        }
        for figure in gas::time_figures(aim) {
            self.put(figure);
        }
        let Some(set) = set else { return };
        self.over(FigureName::GasFlow, Own::quantity(set.gas_flow.as_ref(), InUnits::in_l_per_min));
        self.over(FigureName::PreFlow, Own::quantity(set.pre_flow.as_ref(), InUnits::in_seconds));
        self.over(FigureName::PostFlow, Own::quantity(set.post_flow.as_ref(), InUnits::in_seconds));
        self.over(FigureName::StickOut, Own::quantity(set.stick_out.as_ref(), InUnits::in_mm));
        self.over(FigureName::TipAngle, Own::quantity(set.tip_angle.as_ref(), InUnits::in_degrees));
        self.over(FigureName::TipFlat, Own::quantity(set.tip_flat.as_ref(), InUnits::in_mm));
        self.over(FigureName::Frequency, Own::quantity(set.frequency.as_ref(), InUnits::in_hertz));
        self.over(FigureName::StopHole, Own::quantity(set.stop_hole.as_ref(), InUnits::in_mm));
    }

    fn filler_and_rod(&mut self, currents: &Currents, wall: f64) {
        let (figure, findings) = filler::figure(self.job, wall);
        self.find(findings);
        if let Some(figure) = figure {
            self.put(figure);
        }
        self.own_filler();
        let through = matches!(currents.opening.shape, Shape::Square | Shape::Vee | Shape::Fillet | Shape::Patch);
        let amps = currents.root.at(currents.temperatures.start)[1];
        if let Some(figure) = consumables::rod_figure(self.job, wall, amps, currents.polarity, through) {
            self.put(figure);
        }
        let set = self.own().cloned();
        self.over(
            FigureName::FillerDiameter,
            set.as_ref().and_then(|set| Own::quantity(set.filler_diameter.as_ref(), InUnits::in_mm)),
        );
    }

    fn heat(&mut self, currents: &Currents, wall: f64) {
        let through = currents.root.pool.is_none();
        self.put(heat::travel_figure(wall, currents.polarity, through));
        let set = self.own().cloned();
        self.over(
            FigureName::TravelSpeed,
            set.as_ref().and_then(|set| Own::quantity(set.travel_speed.as_ref(), InUnits::in_mm_per_min)),
        );
        let cold = rounded(currents.root.at(currents.temperatures.start));
        let warm = rounded(currents.root.at(currents.temperatures.warm));
        let aim = self.aim(FigureName::Amperage).unwrap_or(cold[1]);
        let amps = (warm[0].min(aim), aim, cold[2].max(aim));
        self.put(heat::voltage_figure(amps, self.job.helium));
        let travel = self.aim(FigureName::TravelSpeed).unwrap_or(constant("travel-repair").value);
        let most_aim = self.highest_aim(currents, currents.temperatures.start).max(aim);
        for figure in heat::heat_input_figures((warm[1].min(aim), aim, most_aim), travel, self.job.helium) {
            self.put(figure);
        }
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
        let set = consumables::RunAt { rod, filler: &filler, travel, flow, pre_flow: pre, post_flow: post };
        for figure in consumables::figures(self.job, &currents.opening, &passes, &set) {
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
fn amperage_at(name: FigureName, root: &Solved, part: f64, ceiling: Option<f64>) -> Figure {
    let [low, aim, high] = rounded(root.at(part));
    let mut work = root.work.clone();
    if name != FigureName::Amperage {
        work = Work::new();
        work.figure(FigureName::Amperage, "i", aim);
        work.step("part-temperature", "T", "", part, "°C");
        work.remark(LineKind::Remark, "power-falls-with-part", Vec::new(), None);
    }
    let (mut aim, mut high) = (aim, high);
    if let Some(ceiling) = ceiling.filter(|ceiling| *ceiling < high) {
        high = ceiling;
        aim = aim.min(ceiling);
    }
    let low = low.min(aim);
    work.remark(LineKind::Rounding, "rounded-to-dial", Vec::new(), None);
    let mut figure = work.done(name, Value::Range { low, high, set: aim }, root.basis);
    if name != FigureName::Amperage {
        figure.weakest = root.work.clone().done(name, Value::Number(aim), root.basis).weakest;
    }
    figure
}
