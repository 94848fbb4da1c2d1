//! How quantities are read: through [`crate::units::parse`], with what a key allows on top of it.

use super::read::{Read, Reader, Value};
use super::shape::Shape;
use super::{gauge, limits};
use crate::findings::{Code, Finding};
use crate::units::parse::{self, Bad, Context, Fault, amount};
use crate::units::{Amount, Kind, Quantity};
use toml::de::DeValue;

impl<T: Quantity> Read for Amount<T> {
    fn shape() -> Shape {
        Shape::Quantity(T::KIND)
    }

    fn read(value: &Value<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match value.get_ref() {
            DeValue::String(text) => spelt(value, text, reader),
            DeValue::Integer(_) | DeValue::Float(_) => {
                bare::<T>(value, reader);
                None
            }
            _ => {
                reader.wrong_type(value, &Self::shape());
                None
            }
        }
    }
}

fn spelt<T: Quantity>(value: &Value<'_>, text: &str, reader: &mut Reader<'_>) -> Option<Amount<T>> {
    if !reader.printable(value, text, false) {
        return None;
    }
    if text.chars().count() > limits::QUANTITY {
        let finding = Finding::new(Code::NameLength, format!("`{}` is too long for {}", reader.key(), T::KIND.one()))
            .at(reader.value_span(value))
            .label("too long")
            .help(format!("it takes {}", Shape::Quantity(T::KIND).takes()));
        reader.push(finding);
        return None;
    }
    let system = reader.gauge();
    let by_gauge = |number: u32| system.and_then(|system| gauge::thickness(system, number));
    let context = Context { gauge: system.is_some().then_some(&by_gauge) };
    match amount::<T>(text, context) {
        Ok(read) => fits(value, read, reader),
        Err(bad) => {
            reader.push(finding(&bad).at(reader.within(value, bad.at.clone())));
            None
        }
    }
}

fn finding(bad: &Bad) -> Finding {
    Finding::new(code(bad.fault), bad.message.clone()).label(bad.label.clone()).help(bad.help.clone())
}

/// The code of a fault.
fn code(fault: Fault) -> Code {
    match fault {
        Fault::WithoutUnit => Code::QuantityWithoutUnit,
        Fault::Unit => Code::QuantityUnit,
        Fault::Kind => Code::QuantityKind,
        Fault::Number => Code::QuantityNumber,
        Fault::RangeReversed => Code::QuantityRangeReversed,
        Fault::Absurd => Code::QuantityAbsurd,
        Fault::Gauge => Code::QuantityGauge,
    }
}

/// What a key allows beyond what the kind of quantity allows.
fn fits<T: Quantity>(value: &Value<'_>, read: Amount<T>, reader: &mut Reader<'_>) -> Option<Amount<T>> {
    let (table, key) = (reader.table(), reader.key());
    let noun = T::KIND.one();
    let example = T::KIND.examples().first().copied().unwrap_or_default();
    let at = reader.value_span(value);
    let bad = if !read.is_single() && !limits::takes_range(table, key) {
        let found = if read.text.contains("+/-") || read.text.contains('±') { "a tolerance" } else { "a range" };
        Finding::new(Code::QuantityRange, format!("`{key}` takes one value, and this is {found}"))
            .label(found)
            .help(format!("write the one that counts for this job, such as \"{example}\""))
    } else if read.is_single() && limits::needs_range(table, key) {
        Finding::new(Code::QuantityRangeNeeded, format!("`{key}` takes the range from lowest to highest"))
            .label("one value alone")
            .help(format!("write both ends, such as \"5 A to {}\"", read.text))
    } else if read.range.high.si() <= 0.0 && !limits::zero_allowed(table, key, T::KIND) && !on_a_scale(T::KIND) {
        Finding::new(Code::QuantityAbsurd, format!("`{key}` cannot be {}", read.text))
            .label("nothing at all")
            .help(format!("{noun} above zero, such as \"{example}\", or take the line out"))
    } else {
        return Some(read);
    };
    reader.push(bad.at(at));
    None
}

/// Whether zero of the SI unit is a point of a scale like any other.
fn on_a_scale(kind: Kind) -> bool {
    matches!(kind, Kind::Temperature | Kind::TemperatureStep)
}

/// The finding that a bare number stands where a quantity belongs.
fn bare<T: Quantity>(value: &Value<'_>, reader: &mut Reader<'_>) {
    if reader.is_placeholder(value) {
        return;
    }
    let key = reader.key();
    let shown = reader.shown(value);
    let bare = parse::bare(T::KIND, &shown);
    let plain = shown.trim_start_matches(['+', '-']);
    let finding = if plain == "nan" || plain == "inf" {
        Finding::new(Code::QuantityNumber, format!("`{key}` is {shown}, which is no number")).label("no number")
    } else {
        Finding::new(Code::QuantityWithoutUnit, format!("`{key}` is a bare {shown}")).label(bare.label)
    };
    reader.push(finding.at(reader.value_span(value)).help(bare.help));
}
