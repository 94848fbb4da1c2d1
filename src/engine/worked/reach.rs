//! Whether the shop's set and torch reach the current, and what would bring it inside: a warm part, helium, or nothing.

use super::{Currents, Run};
use crate::engine::amperage::{Pass, Question};
use crate::engine::figure::{Figure, LineKind, Origin, Value};
use crate::engine::job::Job;
use crate::engine::load_line::held_shares;
use crate::engine::machine::{self, Set};
use crate::engine::names::FigureName;
use crate::engine::own::Own;
use crate::engine::preheat::oven;
use crate::engine::stock;
use crate::engine::tungsten;
use crate::engine::work::{Work, constant, round};
use crate::findings::{Code, Finding, Span};
use crate::kit::Torch;
use crate::reference::{Basis, Row};
use crate::units::{InUnits, show};

/// What ends the current first.
#[derive(Debug, Clone)]
pub(super) struct Ceiling {
    /// Current, A.
    pub(super) amps: f64,
    /// Name of the machine or torch.
    name: String,
    /// Whether it is the torch.
    torch: bool,
    span: Option<Span>,
}

impl Ceiling {
    /// Writes it into a working, as what cuts the value.
    pub(super) fn write(&self, work: &mut Work) {
        work.ceiling(if self.torch { "torch-ends" } else { "machine-ends" }, self.amps, "A", Origin::Kit(self.span));
        work.with(vec![self.name.clone()]);
    }
}

/// A change that brings the current inside the ceiling.
struct Inside {
    helium: f64,
    /// Part temperature, °C; the start where it may stay cold.
    part: f64,
    amps: f64,
}

fn amps(value: f64) -> String {
    show::number(round(FigureName::Amperage, value), 0)
}

fn whole(value: f64) -> String {
    show::number(value, 0)
}

impl Run<'_, '_> {
    /// The machine or the torch, whichever ends first.
    pub(super) fn ceiling(&self, currents: &Currents, set: Option<&Set<'_>>) -> Option<Ceiling> {
        let machine = set.map(|set| Ceiling {
            amps: set.amps.1,
            name: set.machine.name.value.clone(),
            torch: false,
            span: Some(set.span),
        });
        let torch = machine::largest_torch(self.job, currents.polarity).map(|(torch, amps)| Ceiling {
            amps,
            name: torch.name.value.clone(),
            torch: true,
            span: torch.rated.as_ref().map(|at| at.span),
        });
        [machine, torch].into_iter().flatten().reduce(|first, next| if next.amps < first.amps { next } else { first })
    }

    /// The part temperature at which the highest aim comes inside the ceiling; none where it does so cold, or never.
    pub(super) fn warm_start(
        &mut self,
        currents: &Currents,
        need: f64,
        ceiling: &Ceiling,
        set: Option<&Set<'_>>,
    ) -> Option<f64> {
        if round(FigureName::Amperage, need) <= ceiling.amps {
            return None;
        }
        let limit = currents.limits.interpass.min(currents.limits.preheat);
        let found = first_warm(currents.temperatures.start, limit, |part| {
            round(FigureName::Amperage, self.highest_aim(currents, part)) <= ceiling.amps
        });
        let ends = if ceiling.torch { "is rated for" } else { "ends at" };
        let Some(part) = found else {
            self.out_of_reach(currents, need, ceiling, limit, set);
            return None;
        };
        let message =
            format!("a cold start wants {} A, and {} {ends} {} A", amps(need), ceiling.name, whole(ceiling.amps));
        let finding = Finding::new(Code::SettingNeedAboveMachine, message).at_some(ceiling.span).help(format!(
            "start with the part at {} °C or more, under the limit of {} °C",
            whole(part),
            whole(limit)
        ));
        self.find([finding]);
        Some(part)
    }

    /// No temperature that the metal bears brings it inside: which temperature would, what helium does, what else there is.
    fn out_of_reach(&mut self, currents: &Currents, need: f64, ceiling: &Ceiling, limit: f64, set: Option<&Set<'_>>) {
        let start = currents.temperatures.start;
        let set_end = set.map_or(ceiling.amps, |set| set.amps.1);
        let set_does = round(FigureName::Amperage, need) <= set_end;
        let ends = if ceiling.torch { "is rated for" } else { "ends at" };
        let who = if ceiling.torch && set_does { "this torch" } else { "this set" };
        let would = |amps: f64| self.would_need(currents, amps);
        let mut message = format!(
            "{who} cannot make this weld: it wants {} A with the part at {} °C, and at its limit of {} °C still {} A; {} {ends} {} A",
            amps(need),
            whole(start),
            whole(limit),
            amps(self.highest_aim(currents, limit)),
            ceiling.name,
            whole(ceiling.amps),
        );
        let mut note = would(ceiling.amps).map(|part| past(ceiling.amps, part, limit));
        if ceiling.torch
            && !set_does
            && let Some(set) = set
        {
            message.push_str(&format!(", and {} ends at {} A", set.machine.name.value, whole(set_end)));
            note = would(set_end).map(|part| past(set_end, part, limit));
        }
        let mut finding = Finding::new(Code::SettingNeedAboveMachine, message).at_some(ceiling.span);
        if let Some(note) = note {
            finding = finding.note(note);
        }
        let helium = self.helium_inside(currents, ceiling.amps, limit);
        self.find([finding.help(self.what_else(currents, need, ceiling, set_does, helium.as_ref()))]);
    }

    /// The part temperature, °C, at which this current would do, whatever the metal bears; none where it melts before.
    fn would_need(&self, currents: &Currents, amps: f64) -> Option<f64> {
        let molten = currents.ends.least.solidus.value;
        first_warm(currents.temperatures.start, molten, |part| self.highest_aim(currents, part) <= amps)
    }

    /// The least share of helium, on AC, that brings the current inside, with the part as cold as may be.
    fn helium_inside(&self, currents: &Currents, ceiling: f64, limit: f64) -> Option<Inside> {
        let most = constant("helium-share-on-ac").value / 100.0;
        let mut shares = held_shares().filter(|share| *share > self.job.helium && *share <= most);
        shares.find_map(|helium| {
            let aim = self.aims_with(currents, helium)?;
            let start = currents.temperatures.start;
            let fits = |part: f64| round(FigureName::Amperage, aim(part)) <= ceiling;
            let part = if fits(start) { Some(start) } else { first_warm(start, limit, fits) }?;
            let need = tungsten::Need { helium, ..self.tungsten_need(currents, ceiling) };
            tungsten::diameter(need, &[])?;
            Some(Inside { helium, part, amps: aim(part) })
        })
    }

    /// The highest aim by part temperature with this share of helium in the gas.
    fn aims_with(&self, currents: &Currents, helium: f64) -> Option<impl Fn(f64) -> f64 + use<>> {
        let job = Job { helium, ..self.job.clone() };
        let question = Question {
            job: &job,
            ends: &currents.ends,
            wall: job.thickness?,
            opening: &currents.opening,
            polarity: currents.polarity,
            start: currents.temperatures.start,
        };
        let (root, fill) = (question.solve(Pass::Root)?, question.solve(Pass::Fill)?);
        let fill = self.has_fill(currents).then_some(fill);
        Some(move |part| {
            let aim = |solved: &crate::engine::solved::Solved| solved.at(part)[1];
            fill.as_ref().map_or(0.0, aim).max(aim(&root))
        })
    }

    fn what_else(
        &self,
        currents: &Currents,
        need: f64,
        ceiling: &Ceiling,
        set_does: bool,
        helium: Option<&Inside>,
    ) -> String {
        let start = currents.temperatures.start;
        let mut ways = Vec::new();
        if ceiling.torch && set_does {
            ways.push(format!("a torch that is rated for {} A", amps(need)));
        }
        if let Some(inside) = helium {
            let name = crate::engine::gas::gas_name(inside.helium);
            let held = stock::gases(self.job).iter().any(|gas| (gas.helium - inside.helium).abs() < 0.01);
            let shelf = if held { "" } else { ", which is not on the shelf" };
            let warm = if inside.part > start + 0.5 {
                format!(" with the part at {} °C", whole(inside.part))
            } else {
                String::new()
            };
            ways.push(format!("{name}{shelf}: about {} A{warm}", amps(inside.amps)));
        }
        if let Some(part) = self.oven_inside(ceiling.amps, currents) {
            ways.push(format!(
                "the whole casting warmed slowly in the vented oven to {} °C, stated as `preheat` with its reason",
                whole(part)
            ));
        }
        let sizes = ["set-size-200", "set-size-250", "set-size-350", "set-size-500"];
        let next = sizes.iter().map(|key| constant(key).value).find(|size| *size >= need);
        if let Some(size) = next.filter(|_| !set_does) {
            ways.push(format!("a set of {} A with a torch to match", whole(size)));
        }
        ways.push("a shop that has one; a bolted plate, an insert or a new part".to_owned());
        if helium.is_none() && self.job.helium < constant("helium-share-on-ac").value / 100.0 {
            ways.push("helium on AC does not bring it inside".to_owned());
        }
        ways.join("; ")
    }

    /// The part temperature, °C, inside the oven variant for castings, that brings the current inside.
    fn oven_inside(&self, ceiling: f64, currents: &Currents) -> Option<f64> {
        let (most, _, _) = oven(self.job)?;
        let start = currents.temperatures.start;
        first_warm(start, most, |part| round(FigureName::Amperage, self.highest_aim(currents, part)) <= ceiling)
    }

    /// A note where the machine cannot be turned down to what the job asks.
    pub(super) fn lowest(&mut self, currents: &Currents, set: Option<&Set<'_>>) {
        let Some(set) = set else { return };
        let cold = round(FigureName::Amperage, currents.root.at(currents.temperatures.start)[1]);
        if cold >= set.amps.0 {
            return;
        }
        let message = format!(
            "{} starts at {} A, and the first pass wants {} A",
            set.machine.name.value,
            whole(set.amps.0),
            whole(cold)
        );
        self.find([stock::lacks(
            message,
            "a smaller set, or a copper bar behind the joint and a faster hand on scrap first".to_owned(),
            Some(set.span),
        )]);
    }

    /// A job beyond the sets that are sold for manual work.
    pub(super) fn beyond_machines(&mut self, need: f64) {
        let sizes = ["set-size-160", "set-size-200", "set-size-250", "set-size-350", "set-size-500"];
        let sizes: Vec<f64> = sizes.iter().map(|key| constant(key).value).collect();
        let small = sizes.iter().filter(|size| **size < need).copied().collect::<Vec<_>>();
        if self.job.kit.is_some() || small.len() < 3 {
            return;
        }
        let next = sizes.iter().find(|size| **size >= need);
        let listed = small.iter().map(|size| whole(*size)).collect::<Vec<_>>().join(", ");
        let message = match next {
            Some(next) => {
                format!("{} A lies beyond sets of {listed} A; a set of {} A reaches it", amps(need), whole(*next))
            }
            None => format!("{} A lies beyond every set for manual TIG ({listed} A)", amps(need)),
        };
        let finding = Finding::new(Code::SettingBeyondMachines, message)
            .at_some(self.job.thickness_span())
            .help("open the joint to a V, warm the part within its limit, or take another process");
        self.find([finding]);
    }

    /// The panel maximum: the most that any pass asks, cut where the machine, the torch or the shelf ends.
    pub(super) fn panel_maximum(&mut self, currents: &Currents, set: Option<&Set<'_>>) {
        let mut work = Work::new();
        let high = self.highest(currents, currents.temperatures.start);
        work.out_of(FigureName::Amperage, "first-pass-high", "i", currents.root.at(currents.temperatures.start)[2]);
        work.step("highest-of-passes", "", "", high, "A");
        let wanted = round(FigureName::Amperage, high);
        let mut value = wanted;
        if let Some(set) = set
            && value > set.amps.1
        {
            value = set.amps.1;
            work.ceiling("machine-ends", set.amps.1, "A", Origin::Kit(Some(set.span)));
            work.with(vec![set.machine.name.value.clone()]);
        }
        let (torch, findings) = machine::torch(self.job, currents.polarity, value);
        self.find(findings);
        value = cut_by_torch(&mut work, torch, value);
        value = self.cut_by_shelf(&mut work, currents, value);
        let mut basis = currents.root.basis;
        if basis == Basis::Published && value != wanted {
            basis = Basis::Computed;
        }
        let mut figure = work.done(FigureName::AmperageMax, Value::Number(value), basis);
        figure.weakest = self.out.figures.get(&FigureName::Amperage).and_then(|figure| figure.weakest);
        if let Some((torch, _)) = torch {
            figure.alternatives = vec![torch.name.value.clone()];
        }
        self.put(figure);
        let own = self.own().cloned();
        let own = own.as_ref().and_then(|set| Own::quantity(set.amperage_max.as_ref(), InUnits::in_amps));
        self.over(FigureName::AmperageMax, own);
        self.duty(set, torch.map(|(torch, _)| torch));
    }

    /// The panel is turned no further than the best tungsten of the shelf carries, where that leaves the aim room.
    fn cut_by_shelf(&self, work: &mut Work, currents: &Currents, value: f64) -> f64 {
        let shelf = stock::electrodes(self.job);
        let need = self.tungsten_need(currents, value);
        let own = self.own().is_some_and(|set| set.tungsten_diameter.is_some());
        let Some((most, electrode)) = tungsten::most_on_shelf(need, &shelf).filter(|(most, _)| *most < value && !own)
        else {
            return value;
        };
        work.ceiling("shelf-ends", most, "A", Origin::Kit(Some(electrode.span)));
        work.with(vec![electrode.class.name.clone(), show::number(electrode.diameter, 1)]);
        most
    }

    fn duty(&mut self, set: Option<&Set<'_>>, torch: Option<&Torch>) {
        let (Some(set), Some(most)) = (set, self.aim(FigureName::AmperageMax)) else { return };
        let duty: Option<Figure> = machine::duty_figure(set, torch, most);
        if duty.is_none()
            && let Some(rated) = &set.machine.rated
        {
            let message = format!(
                "{} is rated up to {}: no duty cycle is known at {} A",
                set.machine.name.value,
                rated.value.amperage.value.text,
                whole(most)
            );
            self.find([Finding::new(Code::SettingNotComputed, message)
                .at(rated.span)
                .help("read the rating plate; a duty cycle is never stretched above the rated current")]);
        }
        if let Some(duty) = duty {
            self.put(duty);
        }
    }
}

fn cut_by_torch(work: &mut Work, torch: Option<(&Torch, f64)>, mut value: f64) -> f64 {
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
        work.remark(LineKind::Remark, "wants-water-cooling", Vec::new(), Some(constant("water-cooled-above").cite()));
    }
    value
}

/// The temperature that a current would need, against what the metal bears.
fn past(amps: f64, part: f64, limit: f64) -> String {
    format!("{} A would need the part at about {} °C, past its limit of {} °C", whole(amps), whole(part), whole(limit))
}

/// The first part temperature, in steps of 5 °C above the start and up to the limit, that fits.
fn first_warm(start: f64, limit: f64, fits: impl Fn(f64) -> bool) -> Option<f64> {
    let steps = (0..400).map(|step| show::round_to(start + f64::from(step) * 5.0, 5.0, show::Toward::Up));
    steps.take_while(|part| *part <= limit).find(|part| *part > start && fits(*part))
}
