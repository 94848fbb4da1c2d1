//! The author's own values: kept where they stand, checked against the worked-out range and against every ceiling.

use super::figure::{Figure, Value};
use super::names::FigureName;
use crate::findings::{At, Code, Finding, Span};
use crate::spec::Setting;
use crate::units::{Amount, Quantity, show};

/// A value that the author set, in the unit of its figure.
#[derive(Debug, Clone)]
pub struct Own<'s> {
    low: f64,
    high: f64,
    text: String,
    span: Span,
    because: Option<&'s str>,
}

impl<'s> Own<'s> {
    /// A quantity, turned into the unit of its figure.
    #[must_use]
    pub fn quantity<T: Quantity>(setting: Option<&'s At<Setting<Amount<T>>>>, unit: impl Fn(T) -> f64) -> Option<Self> {
        let setting = &setting?.value;
        let amount = &setting.value.value;
        Some(Own {
            low: unit(amount.range.low),
            high: unit(amount.range.high),
            text: amount.text.clone(),
            span: setting.value.span,
            because: setting.because.as_ref().map(|at| at.value.as_str()),
        })
    }

    /// A whole number: cup, lens shade.
    #[must_use]
    pub fn whole(setting: Option<&'s At<Setting<i64>>>) -> Option<Self> {
        let setting = &setting?.value;
        #[allow(clippy::cast_precision_loss, reason = "cups and shades are small")]
        let number = setting.value.value as f64;
        Some(Own {
            low: number,
            high: number,
            text: setting.value.value.to_string(),
            span: setting.value.span,
            because: setting.because.as_ref().map(|at| at.value.as_str()),
        })
    }

    /// The number that is meant.
    #[must_use]
    pub fn value(&self) -> f64 {
        f64::midpoint(self.low, self.high)
    }

    /// Where it stands.
    #[must_use]
    pub fn span(&self) -> Span {
        self.span
    }

    /// Whether all of it lies between these ends, binary noise aside.
    #[must_use]
    pub fn lies_in(&self, from: f64, to: f64) -> bool {
        let slack = 1e-6 * to.abs().max(1.0);
        self.low >= from - slack && self.high <= to + slack
    }

    /// An error when it passes a ceiling that no reason may pass.
    #[must_use]
    pub fn over(&self, code: Code, limit: f64, what: &str, help: &str) -> Option<Finding> {
        (self.high > limit + 1e-9).then(|| {
            Finding::new(code, format!("{} is past {what}", self.text))
                .at(self.span)
                .label(format!("at most {}", show::significant(limit, 4)))
                .note("a reason may leave a worked-out range, never a ceiling")
                .help(help.to_owned())
        })
    }

    /// Puts it in the place of the worked-out value, and says where it leaves the range.
    pub fn put(&self, figure: &mut Figure, findings: &mut Vec<Finding>) {
        let ends = figure.ends();
        let value = if self.low == self.high {
            match figure.value {
                Value::Range { low, high, .. } => {
                    Value::Range { low: low.min(self.low), high: high.max(self.low), set: self.low }
                }
                _ => Value::Number(self.low),
            }
        } else {
            Value::Range { low: self.low, high: self.high, set: f64::midpoint(self.low, self.high) }
        };
        if let Some((low, high)) = ends {
            let slack = 1e-6 * high.abs().max(1.0);
            if self.low < low - slack || self.high > high + slack {
                findings.push(self.outside(figure.name, low, high));
            }
        }
        stand(figure, value, self.because);
    }

    fn outside(&self, name: FigureName, low: f64, high: f64) -> Finding {
        let unit = name.unit().map_or(String::new(), |unit| format!(" {unit}"));
        let range = if low == high {
            format!("{}{unit}", show::significant(low, 4))
        } else {
            format!("{} to {}{unit}", show::significant(low, 4), show::significant(high, 4))
        };
        match self.because {
            Some(_) => Finding::new(
                Code::SettingOutside,
                format!("{} for `{}` lies outside the worked-out {range}", self.text, name.key()),
            )
            .at(self.span)
            .help("it stands, with its reason beside it"),
            None => Finding::new(
                Code::SettingWithoutReason,
                format!(
                    "{} for `{}` lies outside the worked-out {range}, and no reason is given",
                    self.text,
                    name.key()
                ),
            )
            .at(self.span)
            .help("add because = \"...\", or take a value inside the range"),
        }
    }
}

/// Puts the author's word or flag in the place of the worked-out one.
pub fn put_word(figure: &mut Figure, value: Value, because: Option<&At<String>>) {
    stand(figure, value, because.map(|at| at.value.as_str()));
}

fn stand(figure: &mut Figure, value: Value, because: Option<&str>) {
    figure.worked_out = Some(std::mem::replace(&mut figure.value, value));
    figure.basis = None;
    figure.because = because.map(str::to_owned);
}
