//! One value of a spec: what it means, and how it is shown in the author's spelling with the other system beside it.

use crate::spec::names;
use crate::spec::shape::Shape;
use crate::units::parse::{Context, amount};
use crate::units::{
    Angle, AngularVelocity, Area, Current, EnShare, Flow, Frequency, HeatInput, HeliumShare, Kind, Length, Mass,
    Quantity, Share, Speed, Temperature, TemperatureStep, Time, Voltage, Volume, show,
};
use toml::Value;

/// What a value means: two spellings of one quantity, one name or one set of words give the same. None for an empty list
/// or table, which means as much as nothing.
pub(super) fn meaning(key: &str, value: &Value, shape: Option<&Shape>) -> Option<String> {
    match (value, shape) {
        (Value::Array(list), _) if list.is_empty() => None,
        (Value::Table(table), _) if table.is_empty() => None,
        (Value::String(text), Some(shape)) => {
            Some(quantity(text, shape).map_or_else(|| word(key, text), |found| found.0))
        }
        (Value::String(text), None) => Some(word(key, text)),
        (Value::Array(list), shape) => {
            let mut parts: Vec<String> = list.iter().filter_map(|item| meaning(key, item, shape)).collect();
            // The order of what is wanted means something; that of any other list of words does not.
            if key != "weld.needs" && matches!(shape, Some(Shape::Words(_))) {
                parts.sort();
                parts.dedup();
            }
            Some(parts.join("\n"))
        }
        (Value::Table(table), shape) => {
            let field = |key: &str| {
                let Some(Shape::Table(own)) = shape else { return None };
                own.field(key).map(|field| (field.shape)())
            };
            let parts = table.iter().filter_map(|(name, value)| {
                Some(format!("{name}={}", meaning(&format!("{key}.{name}"), value, field(name).as_ref())?))
            });
            let mut parts: Vec<String> = parts.collect();
            parts.sort();
            Some(parts.join("\n"))
        }
        (other, _) => Some(other.to_string()),
    }
}

/// A name by the row that it finds, else the text with plain white space.
fn word(key: &str, text: &str) -> String {
    let last = key.rsplit('.').next().unwrap_or_default();
    let known = match last {
        "alloy" => names::alloy(text).map(|row| row.name.clone()),
        "filler" | "filler_metal" => names::filler(text).map(|row| row.name.clone()),
        "tungsten_type" => names::tungsten(text).map(|row| row.name.clone()),
        "gas" => names::gas(text).map(|helium| format!("{:.4} helium", helium.si())),
        _ => None,
    };
    known.unwrap_or_else(|| text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// A value as it is shown.
pub(super) fn text(value: &Value, shape: Option<&Shape>) -> String {
    match value {
        Value::String(text) => {
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            shape.and_then(|shape| quantity(&text, shape)).map_or(text, |found| found.1)
        }
        Value::Array(list) => list.iter().map(|item| self::text(item, shape)).collect::<Vec<_>>().join(", "),
        Value::Table(table) => {
            let field = |key: &str| match shape {
                Some(Shape::Table(own)) => own.field(key).map(|field| (field.shape)()),
                _ => None,
            };
            let parts = table.iter().map(|(key, value)| self::text(value, field(key).as_ref()));
            parts.collect::<Vec<_>>().join(" ")
        }
        Value::Boolean(true) => "yes".to_owned(),
        Value::Boolean(false) => "no".to_owned(),
        other => other.to_string(),
    }
}

/// What a quantity means and how it is shown; none where the text is none of its kind.
fn quantity(text: &str, shape: &Shape) -> Option<(String, String)> {
    let kind = match shape {
        Shape::Quantity(kind) => *kind,
        Shape::Setting(inner) => return quantity(text, inner),
        _ => return None,
    };
    match kind {
        Kind::Length => read::<Length>(text),
        Kind::Area => read::<Area>(text),
        Kind::Volume => read::<Volume>(text),
        Kind::Mass => read::<Mass>(text),
        Kind::Current => read::<Current>(text),
        Kind::Voltage => read::<Voltage>(text),
        Kind::Time => read::<Time>(text),
        Kind::Frequency => read::<Frequency>(text),
        Kind::Flow => read::<Flow>(text),
        Kind::Temperature => read::<Temperature>(text),
        Kind::TemperatureStep => read::<TemperatureStep>(text),
        Kind::Speed => read::<Speed>(text),
        Kind::HeatInput => read::<HeatInput>(text),
        Kind::Share => read::<Share>(text),
        Kind::EnShare => read::<EnShare>(text),
        Kind::HeliumShare => read::<HeliumShare>(text),
        Kind::Rotation => read::<AngularVelocity>(text),
        Kind::Angle => read::<Angle>(text),
    }
}

fn read<T: Quantity>(text: &str) -> Option<(String, String)> {
    let read = amount::<T>(text, Context { gauge: None }).ok()?;
    // Eight digits behind the point: what is left out is the rounding of a unit.
    let meaning = format!("{:.8e} to {:.8e}", read.range.low.si(), read.range.high.si());
    Some((meaning, show::stated(&read)))
}
