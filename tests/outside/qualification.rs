//! Qualification: printed ranges, held against what the program says a test covers.

use crate::rows::{Outcome, not_yet, read};
use crate::sources::check_place;
use interpass::engine::qualification::{Held, Point, Ruling, Verdict, rulings};
use interpass::reference::qualification::{Variable, standard_named};
use serde::Deserialize;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RangeRow {
    id: String,
    standard: String,
    variable: Variable,
    /// Joint of the test piece; butt where it is left out.
    joint: Option<String>,
    tested: toml::Value,
    /// Ends of the range as they are printed, where it is one of numbers.
    low: Option<f64>,
    high: Option<f64>,
    inside: Vec<toml::Value>,
    outside: Vec<toml::Value>,
    /// What follows outside, where it is no new test.
    beyond: Option<String>,
    source: String,
    locator: String,
    basis: String,
}

fn held(row: &RangeRow, value: &toml::Value) -> Held {
    match (row.variable, value) {
        (Variable::Metal, toml::Value::String(text)) => Held::Metals(vec![text.clone()]),
        (_, toml::Value::String(text)) => Held::Word(text.clone()),
        (Variable::Gas, toml::Value::Float(percent)) => Held::Gas(*percent),
        (_, toml::Value::Float(number)) => Held::Number(*number, *number),
        other => panic!("{}: {other:?}", row.id),
    }
}

fn rule(row: &RangeRow, here: &toml::Value) -> Ruling {
    let standard = standard_named(&row.standard).unwrap_or_else(|| panic!("{}: {}", row.id, row.standard));
    let joint = Held::Word(row.joint.clone().unwrap_or_else(|| "butt".to_owned()));
    let tested = Point::default().with(Variable::Joint, joint).with(row.variable, held(row, &row.tested));
    let all = rulings(standard, &tested, &Point::default().with(row.variable, held(row, here)));
    all.into_iter().find(|ruling| ruling.variable == row.variable).unwrap_or_else(|| panic!("{}: no ruling", row.id))
}

fn judge(row: &RangeRow) -> Outcome {
    let beyond = row.beyond.as_deref().unwrap_or("new-test");
    let mut wrong = Vec::new();
    let wanted = row.inside.iter().map(|here| (here, "covered")).chain(row.outside.iter().map(|here| (here, beyond)));
    for (here, wanted) in wanted {
        let ruling = rule(row, here);
        let free = ruling.verdict == Verdict::NotEssential && wanted == "covered";
        if ruling.verdict.word() != wanted && !free {
            wrong.push(format!("{here}: {}, not {wanted}", ruling.verdict.word()));
        }
        let close = |a: Option<f64>, b: Option<f64>| {
            a.is_none() == b.is_none() && a.zip(b).is_none_or(|(a, b)| (a - b).abs() < 1e-9)
        };
        if matches!(row.tested, toml::Value::Float(_)) && row.variable != Variable::Gas {
            let ends = ruling.said.iter().any(|said| close(said.low, row.low) && close(said.high, row.high));
            if !ends {
                wrong.push(format!("{:?}, not {:?} to {:?}", ruling.said, row.low, row.high));
            }
        }
    }
    Outcome::new(&row.id, wrong.is_empty(), wrong.join("; "))
}

pub(crate) fn all() -> Vec<(String, String, Option<Outcome>)> {
    let put_off = not_yet();
    let rows: Vec<RangeRow> = read(include_str!("qualification.toml"), "range");
    assert!(rows.len() >= 30, "{} rows", rows.len());
    let one = |row: RangeRow| {
        check_place(&row.id, &row.source, &row.locator);
        assert!(["published", "memory"].contains(&row.basis.as_str()), "{}", row.id);
        let outcome = (!put_off.contains_key(&row.id)).then(|| judge(&row));
        ("qualification".to_owned(), row.id, outcome)
    };
    rows.into_iter().map(one).collect()
}
