//! The faces of a run record that was set against a sheet: text for a terminal, Markdown, one HTML file, JSON.
//!
//! [`run`] and [`summary`] lay the model out once, as headings, lines, tables and a chart; [`text()`], [`markdown()`] and
//! [`html()`] write that.

mod chart;
mod html;
mod layout;
mod markdown;
mod text;

pub use html::html;
pub use layout::{run, summary};
pub use markdown::markdown;
pub use text::text;

use chart::Chart;

/// A page: what a face is written from.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// Title.
    pub title: String,
    /// Its pieces, in order.
    blocks: Vec<Block>,
}

/// A piece of a page.
#[derive(Debug, Clone, PartialEq)]
enum Block {
    /// A heading.
    Heading(String),
    /// A sentence or two.
    Line(String),
    /// Lines of a list.
    List(Vec<String>),
    /// A table.
    Table {
        /// Caption, for those who hear the page.
        caption: String,
        /// Heads of the columns.
        head: Vec<String>,
        /// Rows.
        rows: Vec<Vec<String>>,
    },
    /// The chart of a summary.
    Chart(Chart),
}
