//! A point: the values of a procedure, or of a test piece, that a standard of qualification asks about.

use crate::engine::figure::{Figure, Figures};
use crate::engine::job::Job;
use crate::engine::names::FigureName;
use crate::engine::preheat::first_arc;
use crate::engine::work::constant;
use crate::findings::{At, Span};
use crate::reference::qualification::Variable;
use crate::reference::search;
use crate::spec::{Coupon, DamageKind, Joint, Need, Process, names};
use crate::units::{Amount, InUnits, Length, Quantity, System, celsius, mm, show};
use std::collections::BTreeMap;

/// What a variable is worth.
#[derive(Debug, Clone, PartialEq)]
pub enum Held {
    /// A number or a range, in the unit of the variable: mm, °C, A, V, mm/min, L/min, kJ/mm.
    Number(f64, f64),
    /// A word.
    Word(String),
    /// A gas of argon and helium: percent of helium.
    Gas(f64),
    /// One metal, or two that meet, by their names in the tables where they hold them.
    Metals(Vec<String>),
}

/// A value with the way it is shown and the place where it was stated.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What it is worth.
    pub held: Held,
    /// As it stands on a sheet, in both systems.
    pub shown: String,
    /// Where it was stated.
    pub span: Option<Span>,
}

/// The values of a procedure or of a test piece.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Point {
    entries: BTreeMap<Variable, Entry>,
}

/// The word for a weld that is left as it is welded.
pub const UNTREATED: &str = "none";

/// The figure that a variable of this procedure is taken from.
#[must_use]
pub fn figure_of(variable: Variable) -> Option<FigureName> {
    Some(match variable {
        Variable::Filler => FigureName::FillerMetal,
        Variable::FillerSize => FigureName::FillerDiameter,
        Variable::GasFlow => FigureName::GasFlow,
        Variable::Polarity => FigureName::Polarity,
        Variable::Current => FigureName::Amperage,
        Variable::Voltage => FigureName::ArcVoltage,
        Variable::Travel => FigureName::TravelSpeed,
        Variable::HeatInput => FigureName::HeatInput,
        Variable::Preheat => FigureName::Preheat,
        Variable::Interpass => FigureName::InterpassMax,
        Variable::Tungsten => FigureName::TungstenType,
        Variable::TungstenSize => FigureName::TungstenDiameter,
        Variable::Cup => FigureName::Cup,
        Variable::Passes => FigureName::Passes,
        Variable::Opening => FigureName::Groove,
        _ => return None,
    })
}

fn number(amount: &Amount<Length>) -> Held {
    Held::Number(amount.range.low.in_mm(), amount.range.high.in_mm())
}

/// A filler by its name in the tables, else as it was written.
fn filler(name: &str) -> Held {
    Held::Word(search::filler_named(name).map_or_else(|| name.to_owned(), |row| row.name.clone()))
}

/// A preheat, °C: whatever counts as the temperature of a shop is the same one, for nobody preheats to it.
fn warmed(celsius: f64) -> Held {
    let shop = celsius <= constant("no-preheat-up-to").value;
    let held = if shop { constant("start-default").value } else { celsius };
    Held::Number(held, held)
}

/// A heat treatment after welding, in one word: that there is none, or as it was written.
fn treatment(text: &str) -> Held {
    let bare = text.to_lowercase();
    let none = ["none", "no", "as welded", "as-welded"].contains(&bare.trim());
    Held::Word(if none { UNTREATED.to_owned() } else { bare })
}

impl Point {
    /// The value of a variable.
    #[must_use]
    pub fn get(&self, variable: Variable) -> Option<&Entry> {
        self.entries.get(&variable)
    }

    /// With one value, by what it is worth alone.
    #[must_use]
    pub fn with(mut self, variable: Variable, held: Held) -> Point {
        self.put(variable, held, "", None);
        self
    }

    fn put(&mut self, variable: Variable, held: Held, shown: impl Into<String>, span: Option<Span>) {
        self.entries.insert(variable, Entry { held, shown: shown.into(), span });
    }

    fn word<T>(&mut self, variable: Variable, at: Option<&At<T>>, word: impl Fn(&T) -> String) {
        if let Some(at) = at {
            let text = word(&at.value);
            self.put(variable, Held::Word(text.clone()), text, Some(at.span));
        }
    }

    /// The values that a record gives of its test piece; the figures of a coupon are those of the author, in his spelling.
    #[must_use]
    pub fn of_coupon(coupon: &Coupon, _system: System) -> Point {
        let mut point = Point::default();
        // A spec knows one process, and its test piece was welded by the same.
        point.put(Variable::Process, Held::Word(Process::Gtaw.word().to_owned()), Process::Gtaw.word(), None);
        if let Some(at) = &coupon.alloy {
            let name = search::alloy_named(&at.value).map_or_else(|| at.value.clone(), |row| row.name.clone());
            point.put(Variable::Metal, Held::Metals(vec![name]), at.value.clone(), Some(at.span));
        }
        for (variable, at) in [(Variable::Thickness, &coupon.thickness), (Variable::Deposit, &coupon.deposit)] {
            if let Some(at) = at {
                point.put(variable, number(&at.value), show::stated(&at.value), Some(at.span));
            }
        }
        point.word(Variable::Joint, coupon.joint.as_ref(), |joint| joint.word().to_owned());
        point.word(Variable::Position, coupon.position.as_ref(), |position| position.word().to_owned());
        if let Some(at) = &coupon.filler {
            point.put(Variable::Filler, filler(&at.value), at.value.clone(), Some(at.span));
        }
        if let Some(at) = &coupon.gas {
            let held =
                names::gas(&at.value).map_or_else(|| Held::Word(at.value.clone()), |he| Held::Gas(he.si() * 100.0));
            point.put(Variable::Gas, held, at.value.clone(), Some(at.span));
        }
        point.word(Variable::Polarity, coupon.polarity.as_ref(), Clone::clone);
        for (variable, at) in [(Variable::Preheat, &coupon.preheat), (Variable::Interpass, &coupon.interpass_max)] {
            if let Some(at) = at {
                let [low, high] = [at.value.range.low, at.value.range.high].map(InUnits::in_celsius);
                let held = if variable == Variable::Preheat { warmed(high) } else { Held::Number(low, high) };
                point.put(variable, held, show::stated(&at.value), Some(at.span));
            }
        }
        if let Some(at) = &coupon.heat_treatment {
            point.put(Variable::HeatTreatment, treatment(&at.value), at.value.clone(), Some(at.span));
        }
        point.added();
        point
    }

    /// The values of a job and its figures.
    #[must_use]
    pub fn of_job(job: &Job<'_>, figures: &Figures) -> Point {
        let mut point = Point::default();
        let spec = job.spec;
        let metals: Vec<String> = std::iter::once(&job.base)
            .chain(&job.other)
            .map(|base| base.alloy.map_or_else(|| base.shown.clone(), |alloy| alloy.name.clone()))
            .collect();
        let shown = metals.join(" + ");
        point.put(Variable::Metal, Held::Metals(metals), shown, job.base.span);
        if let Some(at) = &spec.metal.thickness {
            point.put(Variable::Thickness, number(&at.value), show::stated(&at.value), Some(at.span));
        }
        if let Some(deposit) = deposit(job, figures) {
            point.put(Variable::Deposit, Held::Number(deposit, deposit), show::both(mm(deposit), job.system), None);
        }
        point.put(
            Variable::Joint,
            Held::Word(job.joint.word().to_owned()),
            job.joint.word(),
            at(spec.weld.joint.as_ref()),
        );
        let position = job.position.word();
        point.put(Variable::Position, Held::Word(position.to_owned()), position, at(spec.weld.position.as_ref()));
        point.put(
            Variable::Process,
            Held::Word(Process::Gtaw.word().to_owned()),
            Process::Gtaw.word(),
            at(spec.weld.process.as_ref()),
        );
        let gas = crate::engine::gas::gas_name(job.helium);
        point.put(Variable::Gas, Held::Gas(job.helium * 100.0), gas, at(spec.weld.gas.as_ref()));
        let treated = spec.weld.needs.iter().find(|need| need.value == Need::HeatTreatment);
        let word = if treated.is_some() { Need::HeatTreatment.word() } else { UNTREATED };
        point.put(Variable::HeatTreatment, Held::Word(word.to_owned()), word, treated.map(|at| at.span));
        point.figures(job, figures);
        point
    }

    /// What the figures give: words as they are, numbers by their aim.
    fn figures(&mut self, job: &Job<'_>, figures: &Figures) {
        let own = spans(job);
        for variable in Variable::ALL {
            let Some(figure) = figure_of(*variable).and_then(|name| figures.get(&name)) else { continue };
            let span = own.iter().find(|(name, _)| *name == figure.name).map(|(_, span)| *span);
            match (variable, figure.aim(), figure.word()) {
                (Variable::Passes, ..) => self.passes(figure),
                (Variable::Preheat, None, _) => {
                    let start = first_arc(job, figures);
                    let shown = show::both(celsius(start), job.system);
                    self.put(*variable, warmed(start), shown, at(job.spec.weld.start_temperature.as_ref()));
                }
                (Variable::Filler, _, Some(name)) => self.put(*variable, filler(name), name, span),
                (_, Some(aim), _) => self.put(*variable, Held::Number(aim, aim), shown(figure, aim, job.system), span),
                (_, None, Some(word)) => self.put(*variable, Held::Word(word.to_owned()), word, span),
                (_, None, None) => {}
            }
        }
        self.added();
    }

    /// A filler that is named is added.
    fn added(&mut self) {
        if let Some(entry) = self.get(Variable::Filler).cloned() {
            self.put(Variable::FillerAdded, Held::Word("added".to_owned()), entry.shown, entry.span);
        }
    }

    fn passes(&mut self, figure: &Figure) {
        if let Ok(count) = u32::try_from(figure.passes.len()) {
            self.put(Variable::Passes, Held::Number(f64::from(count), f64::from(count)), count.to_string(), None);
        }
    }
}

fn at<T>(at: Option<&At<T>>) -> Option<Span> {
    at.map(|at| at.span)
}

/// A figure's number in both systems; a pure number as it is.
fn shown(figure: &Figure, aim: f64, system: System) -> String {
    use crate::units::{amps, kj_per_mm, l_per_min, mm_per_min, volts};
    match figure.name.unit() {
        Some("mm") => show::both(mm(aim), system),
        Some("°C") => show::both(celsius(aim), system),
        Some("A") => show::both(amps(aim), system),
        Some("V") => show::both(volts(aim), system),
        Some("L/min") => show::both(l_per_min(aim), system),
        Some("mm/min") => show::both(mm_per_min(aim), system),
        Some("kJ/mm") => show::both(kj_per_mm(aim), system),
        _ => show::trimmed(show::number(aim, 1)),
    }
}

/// Where the author set a figure himself.
fn spans(job: &Job<'_>) -> Vec<(FigureName, Span)> {
    let Some(set) = job.spec.weld.set.as_ref().map(|at| &at.value) else { return Vec::new() };
    let all = [
        (FigureName::FillerMetal, set.filler_metal.as_ref().map(|at| at.span)),
        (FigureName::FillerDiameter, set.filler_diameter.as_ref().map(|at| at.span)),
        (FigureName::GasFlow, set.gas_flow.as_ref().map(|at| at.span)),
        (FigureName::Amperage, set.amperage.as_ref().map(|at| at.span)),
        (FigureName::TravelSpeed, set.travel_speed.as_ref().map(|at| at.span)),
        (FigureName::Preheat, set.preheat.as_ref().map(|at| at.span)),
        (FigureName::InterpassMax, set.interpass_max.as_ref().map(|at| at.span)),
        (FigureName::TungstenType, set.tungsten_type.as_ref().map(|at| at.span)),
        (FigureName::TungstenDiameter, set.tungsten_diameter.as_ref().map(|at| at.span)),
    ];
    all.into_iter().filter_map(|(name, span)| Some((name, span?))).collect()
}

/// Thickness of weld metal that this procedure lays, mm: the wall where the weld goes through, the depth that is cut
/// and filled where it does not, the height of a pad. None where none of it is known.
fn deposit(job: &Job<'_>, figures: &Figures) -> Option<f64> {
    let damage = &job.spec.damage;
    let depth = || {
        let parts = &figures.get(&FigureName::Groove)?.parts;
        let of = |key| parts.iter().find(|(own, ..)| *own == key).map(|(_, number, _)| *number);
        Some(of("depth-1")? + of("depth-2").unwrap_or(0.0))
    };
    match job.joint {
        Joint::Pad => damage.height.as_ref().map(|at| at.value.value().in_mm()),
        Joint::Groove => {
            let through = damage.through.as_ref().is_some_and(|at| at.value)
                || damage.kind.as_ref().is_some_and(|at| at.value == DamageKind::BrokenLug);
            if through { job.thickness } else { depth() }
        }
        _ => job.thickness,
    }
}
