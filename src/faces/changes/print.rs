//! A report of changes as text of 80 columns, as Markdown and as one HTML file.

use super::Report;
use crate::faces::escape;
use crate::faces::terminal::push_wrapped;
use crate::faces::why::push_columns;
use std::fmt::Write;

/// The style of the HTML file.
const STYLE: &str = include_str!("../../../templates/changes.css");

/// For a terminal.
#[must_use]
pub fn terminal(report: &Report) -> String {
    let mut out = format!("{}\n", report.title);
    report.lead.iter().for_each(|line| push_wrapped(&mut out, "  ", line));
    for part in &report.parts {
        if !part.heading.is_empty() {
            let _ = writeln!(out, "{}", part.heading);
        }
        let indent = if part.heading.is_empty() { 0 } else { 2 };
        part.lead.iter().for_each(|line| push_columns(&mut out, &[(indent, line)]));
        for row in std::iter::once(&part.head).filter(|head| !head.is_empty()).chain(&part.rows) {
            let cells: Vec<(usize, &str)> = part.columns.iter().copied().zip(row.iter().map(String::as_str)).collect();
            push_columns(&mut out, &cells);
        }
        part.notes.iter().for_each(|line| push_columns(&mut out, &[(indent, line)]));
    }
    out
}

/// As Markdown.
#[must_use]
pub fn markdown(report: &Report) -> String {
    let text = |text: &str| escape::markdown(text).replace('|', "\\|");
    let mut out = format!("# {}\n", text(&report.title));
    let paragraphs = |out: &mut String, lines: &[String]| {
        for line in lines {
            let _ = write!(out, "\n{}\n", text(line));
        }
    };
    paragraphs(&mut out, &report.lead);
    for part in &report.parts {
        if !part.heading.is_empty() {
            let _ = write!(out, "\n## {}\n", text(&part.heading));
        }
        paragraphs(&mut out, &part.lead);
        if !part.rows.is_empty() {
            let row = |cells: &[String]| {
                let cells: Vec<String> = cells.iter().map(|cell| text(cell)).collect();
                format!("| {} |\n", cells.join(" | "))
            };
            let _ = write!(out, "\n{}|{}\n", row(&part.head), " --- |".repeat(part.head.len()));
            part.rows.iter().for_each(|cells| out.push_str(&row(cells)));
        }
        paragraphs(&mut out, &part.notes);
    }
    out
}

/// A text between tags.
fn html_text(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            other => out.push(other),
        }
    }
    out
}

/// As one HTML file that fetches nothing and runs nothing.
#[must_use]
pub fn html(report: &Report) -> String {
    let title = html_text(&report.title);
    let mut out = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{title}</h1>\n"
    );
    let paragraphs = |out: &mut String, lines: &[String]| {
        for line in lines {
            let _ = writeln!(out, "<p>{}</p>", html_text(line));
        }
    };
    paragraphs(&mut out, &report.lead);
    for part in &report.parts {
        if !part.heading.is_empty() {
            let _ = writeln!(out, "<h2>{}</h2>", html_text(&part.heading));
        }
        paragraphs(&mut out, &part.lead);
        if !part.rows.is_empty() {
            out.push_str("<div class=\"wide\" tabindex=\"0\"><table>\n");
            let heads: String =
                part.head.iter().map(|cell| format!("<th scope=\"col\">{}</th>", html_text(cell))).collect();
            let _ = writeln!(out, "<thead><tr>{heads}</tr></thead>\n<tbody>");
            for row in &part.rows {
                let mut cells = row.iter();
                let first =
                    cells.next().map_or(String::new(), |cell| format!("<th scope=\"row\">{}</th>", html_text(cell)));
                let rest: String = cells.map(|cell| format!("<td>{}</td>", html_text(cell))).collect();
                let _ = writeln!(out, "<tr>{first}{rest}</tr>");
            }
            out.push_str("</tbody></table></div>\n");
        }
        paragraphs(&mut out, &part.notes);
    }
    out.push_str("</main>\n</body>\n</html>\n");
    out
}
