//! A page as one HTML file: no script, no network, nothing but its own style.

use super::{Block, Page};
use crate::faces::policy::hash;
use crate::findings::clean::clean;
use std::sync::LazyLock;

const STYLE: &str = include_str!("../../../templates/record.css");

/// The page as HTML.
#[must_use]
pub fn html(page: &Page) -> String {
    static DIGEST: LazyLock<String> = LazyLock::new(|| hash(STYLE));
    let title = plain(&page.title);
    let mut out = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src {}; base-uri 'none'; form-action 'none'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{title}</h1>\n",
        DIGEST.as_str(),
    );
    for block in &page.blocks {
        match block {
            Block::Heading(heading) => out.push_str(&format!("<h2>{}</h2>\n", plain(heading))),
            Block::Line(line) => out.push_str(&format!("<p>{}</p>\n", plain(line))),
            Block::List(items) => {
                let items: String = items.iter().map(|item| format!("<li>{}</li>\n", plain(item))).collect();
                out.push_str(&format!("<ul>\n{items}</ul>\n"));
            }
            Block::Table { caption, head, rows } => table(&mut out, caption, head, rows),
            Block::Chart(chart) => out.push_str(&chart.figure(&plain)),
        }
    }
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

fn table(out: &mut String, caption: &str, head: &[String], rows: &[Vec<String>]) {
    // A table that is wider than a phone can be scrolled by the keyboard.
    out.push_str(&format!("<div class=\"wide\" role=\"region\" aria-label=\"{0}\" tabindex=\"0\"><table>\n<caption>{0}</caption>\n<thead><tr>", plain(caption)));
    head.iter().for_each(|cell| out.push_str(&format!("<th scope=\"col\">{}</th>", plain(cell))));
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in rows {
        out.push_str("<tr>");
        for (number, cell) in row.iter().enumerate() {
            let (open, close) = if number == 0 { ("<th scope=\"row\">", "</th>") } else { ("<td>", "</td>") };
            out.push_str(&format!("{open}{}{close}", plain(cell)));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n");
}

/// A text as it stands in HTML.
fn plain(text: &str) -> String {
    let text = clean(text);
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
