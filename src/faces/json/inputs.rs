//! What went in: the keys that `settings` takes as flags, with what was assumed for those that were left out.

use super::super::say;
use super::number::Number;
use crate::engine::Job;
use crate::engine::job::Assumed;
use crate::spec::{Need, Process, Surface};
use crate::units::{Amount, Quantity, show};
use serde::Serialize;

/// The inputs of a job.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Inputs<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    metal: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    temper: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    form: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    other_metal: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    thickness: Option<AmountJson<'a>>,
    joint: &'static str,
    access: &'static str,
    position: &'static str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    surface: Vec<&'static str>,
    process: &'static str,
    gas: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    damage: Option<&'static str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    need: Vec<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    service_temperature: Option<AmountJson<'a>>,
    start_temperature: Plain,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass: Option<AmountJson<'a>>,
    /// The shop whose kit was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    shop: Option<&'a str>,
    /// What was left out and filled in.
    assumed: Vec<AssumedJson<'a>>,
}

/// A quantity that the author stated.
#[derive(Debug, Clone, Serialize)]
struct AmountJson<'a> {
    #[serde(flatten)]
    worth: Worth,
    unit: &'static str,
    /// As it was written.
    stated: &'a str,
}

#[derive(Debug, Clone, Serialize)]
#[serde(untagged)]
enum Worth {
    One { value: Number },
    Range { low: Number, high: Number },
}

#[derive(Debug, Clone, Serialize)]
struct Plain {
    value: Number,
    unit: &'static str,
}

#[derive(Debug, Clone, Serialize)]
struct AssumedJson<'a> {
    key: &'static str,
    value: &'a str,
    #[serde(skip_serializing_if = "String::is_empty")]
    why: String,
}

impl<'a> AmountJson<'a> {
    fn of<T: Quantity>(amount: &'a Amount<T>) -> Self {
        let worth = if amount.is_single() {
            Worth::One { value: Number(show::json_value(amount.range.low)) }
        } else {
            let ends = (show::json_value(amount.range.low), show::json_value(amount.range.high));
            Worth::Range { low: Number(ends.0), high: Number(ends.1) }
        };
        AmountJson { worth, unit: show::json_unit(T::KIND), stated: &amount.text }
    }
}

impl<'a> Inputs<'a> {
    pub(super) fn of(job: &'a Job<'a>) -> Self {
        let spec = job.spec;
        let (metal, weld) = (&spec.metal, &spec.weld);
        let other = metal.other.as_ref().map(|at| &at.value);
        Inputs {
            metal: metal.alloy.as_ref().or(metal.family.as_ref()).map(|at| at.value.as_str()),
            temper: metal.temper.as_ref().map(|at| at.value.as_str()),
            form: metal.form.as_ref().map(|at| at.value.word()),
            other_metal: other
                .and_then(|other| other.alloy.as_ref().or(other.family.as_ref()))
                .map(|at| at.value.as_str()),
            thickness: metal.thickness.as_ref().map(|at| AmountJson::of(&at.value)),
            joint: job.joint.word(),
            access: job.access.word(),
            position: job.position.word(),
            surface: metal.surface.iter().map(|at| Surface::word(at.value)).collect(),
            process: weld.process.as_ref().map_or(Process::Gtaw, |at| at.value).word(),
            gas: weld.gas.as_ref().map_or_else(|| assumed(job, "gas"), |at| at.value.as_str()),
            damage: spec.damage.kind.as_ref().map(|at| at.value.word()),
            need: weld.needs.iter().map(|at| Need::word(at.value)).collect(),
            service_temperature: spec.part.service_temperature.as_ref().map(|at| AmountJson::of(&at.value)),
            start_temperature: Plain { value: Number(job.start_temperature), unit: "°C" },
            mass: spec.part.mass.as_ref().map(|at| AmountJson::of(&at.value)),
            shop: job.kit.and_then(|kit| kit.shop.name.as_ref()).map(|at| at.value.as_str()),
            assumed: job.assumed.iter().map(AssumedJson::of).collect(),
        }
    }
}

/// What was assumed for a key; empty where it was stated.
fn assumed<'a>(job: &'a Job<'_>, key: &str) -> &'a str {
    job.assumed.iter().find(|assumed| assumed.key == key).map_or("", |assumed| assumed.value.as_str())
}

impl<'a> AssumedJson<'a> {
    fn of(assumed: &'a Assumed) -> Self {
        AssumedJson { key: assumed.key, value: &assumed.value, why: say::assumed(assumed) }
    }
}
