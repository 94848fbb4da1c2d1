//! What a sheet was made with, so that a receiver can make it again and compare.

use super::super::Answer;
use crate::ledger::Papers;
use crate::sheet::Sheet;
use crate::units::System;
use serde::Serialize;

/// What a sheet was made with, so that it can be made again.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Made<'a> {
    /// Version of the program.
    program: &'static str,
    /// Edition of its tables.
    tables: &'static str,
    /// The system of units that comes first: `metric` or `inch`.
    units: &'static str,
    /// Repairs of the same place that failed, where run records tell of any.
    #[serde(skip_serializing_if = "Option::is_none")]
    earlier: Option<EarlierJson<'a>>,
    /// What the ledger says of it, where it says anything.
    #[serde(skip_serializing_if = "Option::is_none")]
    ledger: Option<&'a Papers>,
}

#[derive(Debug, Clone, Serialize)]
struct EarlierJson<'a> {
    failed: i64,
    from: &'a [String],
}

impl<'a> Made<'a> {
    pub(super) fn of(answer: &Answer<'a>, sheet: &'a Sheet) -> Self {
        let earlier = answer.job.earlier;
        Made {
            program: env!("CARGO_PKG_VERSION"),
            tables: crate::reference::edition(),
            units: match answer.job.system {
                System::Metric => "metric",
                System::Inch => "inch",
            },
            earlier: earlier.map(|earlier| EarlierJson { failed: earlier.failed, from: &earlier.from }),
            ledger: (sheet.papers != Papers::default()).then_some(&sheet.papers),
        }
    }
}
