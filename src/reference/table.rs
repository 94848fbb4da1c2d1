//! A table: its rows, read on first use, and what every row has in common.

use serde::{Deserialize, Serialize, de::DeserializeOwned};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// How well a fact is founded, from strong to weak.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Basis {
    /// Read in the named source.
    #[serde(rename = "published")]
    Published,
    /// Worked out from published facts by a formula of physics or geometry.
    #[serde(rename = "computed")]
    Computed,
    /// A habit of the trade without a citable source.
    #[serde(rename = "common practice")]
    CommonPractice,
    /// Remembered, not read: to be checked against the named document.
    #[serde(rename = "memory")]
    Memory,
}

impl Basis {
    /// All kinds, strong to weak.
    pub const ALL: [Basis; 4] = [Basis::Published, Basis::Computed, Basis::CommonPractice, Basis::Memory];

    /// The words that stand for it in tables, JSON and on the sheet.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Basis::Published => "published",
            Basis::Computed => "computed",
            Basis::CommonPractice => "common practice",
            Basis::Memory => "memory",
        }
    }

    /// The weaker of two.
    #[must_use]
    pub fn weaker(self, other: Basis) -> Basis {
        self.max(other)
    }
}

/// Where a fact was found: key of a source in the table of sources, place in it, and how well it is founded.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Cite {
    /// Key of a row of the table of sources.
    pub source: &'static str,
    /// Page, table, clause or paragraph.
    pub locator: &'static str,
    /// How well it is founded.
    pub basis: Basis,
}

/// What every row of a reference table can say of itself.
pub trait Row: DeserializeOwned + Send + Sync + 'static {
    /// Where the fact was found.
    fn cite(&'static self) -> Cite;
    /// The key of the row within its table, unique there; empty when the table has no single key.
    fn key(&self) -> String {
        String::new()
    }
    /// The rows of one file of the table alone, in the order in which the files are declared; none past the last.
    fn part(at: usize) -> &'static [Self];
}

/// The rows of one table.
#[derive(Debug)]
pub struct Table<T> {
    /// All rows, in the order of the file.
    pub rows: Vec<T>,
}

impl<T> Default for Table<T> {
    fn default() -> Self {
        Table { rows: Vec::new() }
    }
}

impl<T: DeserializeOwned> Table<T> {
    /// Reads the rows of a table out of the JSON that the build script made of its file.
    ///
    /// What does not read gives an empty table; a test of the crate reads every table with [`Table::try_read`] too,
    /// compares and fails, so that this cannot happen in a released program.
    #[must_use]
    pub fn read(json: &str) -> Self {
        serde_json::from_str(json).map(|rows| Table { rows }).unwrap_or_default()
    }

    /// The rows of several files, one behind the other; each file as [`Table::read`].
    #[must_use]
    pub fn read_all(files: &[&str]) -> Self {
        Table { rows: files.iter().flat_map(|json| Self::read(json).rows).collect() }
    }

    /// Reads the array of tables called `name` out of the text of a file, and says what is wrong.
    ///
    /// # Errors
    /// The message of the TOML reader, when the text is not TOML or a row has a missing, unknown or ill-typed key.
    pub fn try_read(text: &str, name: &str) -> Result<Self, String> {
        let own = own_part(text, name);
        let mut file: BTreeMap<String, Vec<T>> = toml::from_str(&own).map_err(|error| error.to_string())?;
        let rows = file.remove(name).ok_or_else(|| format!("no [[{name}]]"))?;
        Ok(Table { rows })
    }
}

/// The rows of one table out of the text of a file that holds several: every table begins with its header in double
/// brackets at the start of a line, or, one line a row, with its name and an open bracket, up to a line that is the
/// closing bracket.
fn own_part(text: &str, name: &str) -> String {
    let header = format!("[[{name}]]");
    let list = format!("{name} = [");
    let mut own = String::with_capacity(text.len());
    let mut wanted = false;
    for line in text.lines() {
        if line.starts_with("[[") {
            wanted = line.trim_end() == header;
        } else if line.ends_with(" = [") && !line.starts_with([' ', '#']) {
            wanted = line == list;
        }
        if wanted {
            own.push_str(line);
            own.push('\n');
        }
        if line == "]" {
            wanted = false;
        }
    }
    own
}

/// The key and cite of each row.
pub type Checked = Vec<(String, Cite)>;

/// A file that holds rows of a table.
#[derive(Debug, Clone, Copy)]
pub struct TableFile {
    /// Its name.
    pub name: &'static str,
    /// Its embedded text.
    pub text: &'static str,
}

/// One table, for printing and for checking: name, files, and a reader that says what is wrong.
pub struct TableInfo {
    /// The name of the array of tables, which `interpass tables NAME` takes with spaces or hyphens.
    pub name: &'static str,
    /// The files it stands in, in the order of their rows; never none.
    pub files: &'static [TableFile],
    /// Reads them and gives the key and cite of each row, in that order.
    pub check: fn() -> Result<Checked, String>,
}

/// Which edition of the tables this is: the first 12 hex digits of the SHA-256 of all their texts, which changes with
/// any of them.
#[must_use]
pub fn edition() -> &'static str {
    static EDITION: LazyLock<String> = LazyLock::new(|| {
        let mut hasher = Sha256::new();
        let all = all_tables();
        let mut files: Vec<(&str, &str)> =
            all.iter().flat_map(|table| table.files).map(|file| (file.name, file.text)).collect();
        files.sort_unstable();
        files.dedup();
        for (file, text) in files {
            hasher.update(file);
            hasher.update(text);
        }
        hasher.finalize().iter().take(6).map(|byte| format!("{byte:02x}")).collect()
    });
    &EDITION
}

/// All tables in alphabetical order of their names.
#[must_use]
pub fn all_tables() -> Vec<TableInfo> {
    let mut tables = super::rows::infos();
    tables.sort_by_key(|table| table.name);
    tables
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[derive(Debug, Deserialize)]
    struct Pair {
        a: u32,
    }

    fn all(text: &str) -> Vec<u32> {
        Table::<Pair>::try_read(text, "pair").unwrap().rows.iter().map(|row| row.a).collect()
    }

    #[test]
    fn rows_stand_under_headers_or_one_a_line() {
        assert_eq!(all("[[pair]]\na = 1\n[[other]]\nb = [\n1,\n]\n[[pair]]\na = 2\n"), [1, 2]);
        assert_eq!(all("# pair\nother = [\n  { a = 7 },\n]\npair = [\n  { a = 1 },\n  { a = 2 },\n]\n"), [1, 2]);
        assert!(Table::<Pair>::try_read("other = [\n  { a = 7 },\n]\n", "pair").is_err());
    }

    #[test]
    fn files_stand_one_behind_the_other() {
        let table = Table::<Pair>::read_all(&[r#"[{"a":1}]"#, r#"[{"a":2}]"#]);
        assert_eq!(table.rows.iter().map(|row| row.a).collect::<Vec<_>>(), [1, 2]);
    }
}
