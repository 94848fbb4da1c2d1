//! The boxes of a sheet that are filled in at the bench: a name for each, which stays when the sheet is laid out anew,
//! and what the page's script needs to take a run down.

use super::FaceError;
use super::labels::Labels;
use crate::sheet::run_form::{PASS_BOXES, RECORD_ROWS, RunForm, TEST_BOXES};
use crate::sheet::{Cell, Hold, Sheet, Table};
use serde::Serialize;

/// What the script is given.
#[derive(Serialize)]
struct Form<'a> {
    number: &'a str,
    revision: &'a str,
    seal: &'a str,
    #[serde(flatten)]
    run: &'a RunForm,
    words: &'a Labels,
}

/// The form of a sheet as JSON.
pub(super) fn form(sheet: &Sheet, words: &Labels) -> Result<String, FaceError> {
    let form = Form {
        number: sheet.number.trim(),
        revision: sheet.revision.trim(),
        seal: sheet.seal.trim(),
        run: &sheet.run_form,
        words,
    };
    serde_json::to_string(&form).map_err(|error| FaceError::Template(error.to_string()))
}

/// Names of the cells of a table that are boxes to fill in, row by row: `pass/1/amperage`, `record/lot`, `settings/3/4`.
/// Empty where the table has none.
pub(super) fn of_table(table: &Table) -> Vec<Vec<String>> {
    let has_box =
        |row: &[Cell]| table.fill.iter().any(|column| row.get(*column).is_some_and(|cell| cell.text.trim().is_empty()));
    if !table.rows.iter().any(|row| has_box(row)) {
        return Vec::new();
    }
    let name = |row: usize, first: &str, column: usize| {
        let place = table.fill.iter().position(|own| *own == column).unwrap_or_default();
        let of = |names: &[&str]| names.get(place).map(|name| (*name).to_owned());
        match table.key.as_str() {
            "passes" => of(&PASS_BOXES).map(|name| format!("pass/{first}/{name}")),
            "tests" => of(&TEST_BOXES).map(|name| format!("test/{}/{name}", row + 1)),
            "record" => RECORD_ROWS.get(row).map(|name| format!("record/{name}")),
            key => Some(format!("{key}/{}/{column}", row + 1)),
        }
    };
    let row = |(number, cells): (usize, &Vec<Cell>)| {
        let first = cells.first().map_or("", |cell| cell.text.trim());
        let cell = |(column, cell): (usize, &Cell)| {
            let empty = table.fill.contains(&column) && cell.text.trim().is_empty();
            if empty { name(number, first, column).unwrap_or_default() } else { String::new() }
        };
        cells.iter().enumerate().map(cell).collect()
    };
    table.rows.iter().enumerate().map(row).collect()
}

/// Names of the boxes of a hold, row by row. The last three of each row are the decision, the name and the time, as
/// every hold has them; those before are readings.
pub(super) fn of_hold(hold: &Hold) -> Vec<Vec<String>> {
    let rows = hold.rows.len().max(1);
    let name = |row: usize, at: usize| {
        let row = if rows > 1 { format!("/{}", row + 1) } else { String::new() };
        let what = match hold.boxes.len() - at {
            1 => "time".to_owned(),
            2 => "name".to_owned(),
            3 => "decision".to_owned(),
            _ => (at + 1).to_string(),
        };
        format!("{}{row}/{what}", hold.id)
    };
    (0..rows).map(|row| (0..hold.boxes.len()).map(|at| name(row, at)).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_are_named_by_what_is_read_in_them() {
        let cell = |text: &str| Cell { text: text.to_owned(), ..Cell::default() };
        let table = |key: &str, fill: &[usize]| Table {
            key: key.to_owned(),
            caption: String::new(),
            head: Vec::new(),
            rows: vec![vec![cell("1"), cell("x"), cell(""), cell(""), cell(""), cell("")]],
            fill: fill.to_vec(),
        };
        let names = |key, fill: &[usize]| of_table(&table(key, fill)).concat();
        let passes = ["", "", "pass/1/temperature", "pass/1/amperage", "pass/1/clean", "pass/1/by"];
        assert_eq!(names("passes", &[2, 3, 4, 5]), passes);
        assert_eq!(names("record", &[2]), ["", "", "record/lot", "", "", ""]);
        assert_eq!(names("settings", &[1, 4]), ["", "", "", "", "settings/1/4", ""], "a cell with a text is no box");
        assert!(names("groove", &[]).is_empty());
    }

    #[test]
    fn the_last_boxes_of_a_hold_are_those_that_every_hold_has() {
        let hold = |boxes: &[&str], rows: &[&str]| Hold {
            id: "hold-x".to_owned(),
            criterion: Cell::default(),
            boxes: boxes.iter().map(|text| (*text).to_owned()).collect(),
            rows: rows.iter().map(|text| (*text).to_owned()).collect(),
        };
        let names = of_hold(&hold(&["a", "d", "s", "t"], &[])).concat();
        assert_eq!(names, ["hold-x/1", "hold-x/decision", "hold-x/name", "hold-x/time"]);
        let names = of_hold(&hold(&["d", "s", "t"], &["before", "after"])).concat();
        assert_eq!((names.len(), names.last().map(String::as_str)), (6, Some("hold-x/2/time")));
        assert_eq!(of_hold(&hold(&[], &[])).concat(), Vec::<String>::new());
    }
}
