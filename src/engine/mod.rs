//! The engine: formulas, no table value. A pure function from a checked job to figures and findings.
//!
//! One file a section of the work: what a figure is and how it keeps its working stands in [`figure`], the list of
//! all figures in [`names`].

pub mod figure;
pub mod job;
pub mod names;

pub use figure::{Figure, Figures, Line, LineKind, Origin, PassRow, Ranked, Reason, Value, Worked, Working};
pub use job::Job;
pub use names::FigureName;

/// Works out every figure of a job.
#[must_use]
pub fn work_out(job: &Job<'_>) -> Worked {
    let _ = job;
    Worked::default()
}
