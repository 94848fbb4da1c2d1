//! Text for a terminal: lines no wider than they should be, columns that line up.

/// Widest line of a text that is laid out here.
pub(crate) const WIDTH: usize = 100;

/// Number of columns that a text takes; every character of the trade takes one.
pub(crate) fn width(text: &str) -> usize {
    text.chars().count()
}

/// A text in lines, each with the indent; a word longer than a line stands alone.
pub(crate) fn wrapped(text: &str, indent: usize) -> String {
    let mut lines = String::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && indent + width(&line) + 1 + width(word) > WIDTH {
            push(&mut lines, indent, &line);
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        push(&mut lines, indent, &line);
    }
    lines
}

fn push(lines: &mut String, indent: usize, line: &str) {
    lines.extend(std::iter::repeat_n(' ', indent));
    lines.push_str(line);
    lines.push('\n');
}

/// Rows in columns as wide as they have to be; the last column is wrapped beside the others.
pub(crate) fn columns(rows: &[Vec<String>]) -> String {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let widest =
        |column: usize| rows.iter().filter_map(|row| row.get(column)).map(|cell| width(cell)).max().unwrap_or(0);
    let widths: Vec<usize> = (0..count.saturating_sub(1)).map(widest).collect();
    let indent: usize = widths.iter().map(|width| width + 2).sum();
    let mut text = String::new();
    for row in rows {
        let mut head = String::new();
        for (cell, wide) in row.iter().zip(&widths) {
            head.push_str(cell);
            head.extend(std::iter::repeat_n(' ', wide + 2 - width(cell)));
        }
        let last = row.get(widths.len()).map_or("", String::as_str);
        let tail = wrapped(last, indent);
        let tail = tail.get(indent..).unwrap_or_default();
        text.push_str(format!("{head}{}", tail.trim_end_matches('\n')).trim_end());
        text.push('\n');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_no_wider_than_they_should_be() {
        let text = wrapped(&"word µm ".repeat(60), 4);
        assert!(
            text.lines().all(|line| width(line) <= WIDTH && line.starts_with("    w") || line.starts_with("    µ"))
        );
        assert_eq!(text.split_whitespace().count(), 120);
        assert_eq!(wrapped("", 4), "");
    }

    #[test]
    fn columns_line_up() {
        let row = |cells: [&str; 3]| cells.map(str::to_owned).to_vec();
        let text = columns(&[row(["a", "µµ", "one"]), row(["bbb", "c", ""]), row(["d", "e", "two three"])]);
        assert_eq!(text, "a    µµ  one\nbbb  c\nd    e   two three\n");
    }
}
