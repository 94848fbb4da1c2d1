//! The engine: formulas, no table value. A pure function from a checked job to figures and findings.
//!
//! One file a section of the work: what a figure is and how it keeps its working stands in [`figure`], the list of
//! all figures in [`names`], the order in which they are worked out in [`work_out`].

pub mod acceptance;
pub mod after;
pub mod amperage;
pub mod balance;
pub mod consumables;
pub mod cost;
pub mod exposure;
pub mod ferrous;
pub mod figure;
pub mod filler;
pub mod gas;
pub mod geometry;
pub mod heat;
pub mod heat_flow;
pub mod job;
pub mod lens;
pub mod load_line;
pub mod machine;
pub mod maths;
pub mod metal;
pub mod names;
pub mod opening;
pub mod own;
pub mod panel;
pub mod penetrant;
pub mod penetration;
pub mod preheat;
pub mod qualification;
pub mod schedule;
pub mod solved;
pub mod stainless;
pub mod stock;
pub mod surface;
pub mod tungsten;
pub mod wave;
pub mod weld_metal;
pub mod work;
mod worked;

pub use figure::{
    Figure, Figures, Limit, Line, LineKind, Origin, PassKind, PassRow, Ranked, Reason, Value, Worked, Working,
};
pub use job::Job;
pub use names::FigureName;
pub use worked::work_out;
