//! Run records that are kept beside a spec: in its folder, or in the folder `runs` there.
//!
//! A record is kept as `runs/NAME.DATE-N.run.toml`, where NAME is that of the spec's file, never of what the record says.

use super::fault::{Fault, shown};
use super::inputs::{Input, RUN_END};
use super::targets::{stem, temporary};
use crate::findings::{Code, Finding};
use crate::run::RunRecord;
use crate::run::attempts::{self, Earlier};
use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The folder beside a spec that records are kept in.
pub(crate) const RUNS: &str = "runs";
/// Records of a folder that are read: more than a shop writes in years.
const MOST: usize = 2000;

/// A kept record.
#[derive(Debug)]
pub(crate) struct Kept {
    /// Its path as seen from the spec, parts parted by `/`: the same wherever the program is called.
    name: String,
    /// The name of its file.
    file: String,
    /// What it says; none where it cannot be read.
    run: Option<RunRecord>,
}

/// Finds the records beside specs; each folder is read once.
#[derive(Debug, Default)]
pub(crate) struct Runs {
    folders: BTreeMap<PathBuf, Arc<Vec<Kept>>>,
}

impl Runs {
    /// The records beside a spec, of whatever number; those of standard input are none.
    pub(crate) fn beside(&mut self, spec: &Input) -> Arc<Vec<Kept>> {
        if spec.is_stdin() {
            return Arc::default();
        }
        let folder = folder_of(&spec.path);
        Arc::clone(self.folders.entry(folder.clone()).or_insert_with(|| Arc::new(read(&folder))))
    }
}

fn folder_of(spec: &Path) -> PathBuf {
    let folder = spec.parent().unwrap_or(Path::new(""));
    if folder.as_os_str().is_empty() { PathBuf::from(".") } else { folder.to_owned() }
}

/// Names of the records in a folder, in order. A folder that is not there holds none.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
    let mut names: Vec<String> =
        names.filter(|name| name.ends_with(RUN_END) && !name.starts_with('.') && folder.join(name).is_file()).collect();
    names.sort();
    names.truncate(MOST);
    names
}

/// The records in a folder, by name.
///
/// # Errors
/// [`Fault::Call`], when it holds none.
pub(crate) fn records(folder: &Path) -> Result<Vec<Input>, Fault> {
    let all = names(folder).into_iter().map(|name| folder.join(name));
    let all: Vec<Input> = all.map(|path| Input { name: shown(&path), path, below: PathBuf::new() }).collect();
    if all.is_empty() { Err(Fault::Call(format!("no run record (*{RUN_END}) in {}", shown(folder)))) } else { Ok(all) }
}

fn read(folder: &Path) -> Vec<Kept> {
    let mut all = Vec::new();
    for (folder, before) in [(folder.to_owned(), String::new()), (folder.join(RUNS), format!("{RUNS}/"))] {
        for file in names(&folder) {
            let path = folder.join(&file);
            let input = Input { name: shown(&path), path, below: PathBuf::new() };
            let reading = input.bytes().ok().map(|bytes| crate::run::read_bytes(&bytes));
            let run = reading.filter(|reading| !crate::findings::any_error(&reading.findings));
            let name = crate::findings::clean::clean(&format!("{before}{file}"));
            all.push(Kept { name, file, run: run.and_then(|reading| reading.value) });
        }
    }
    all
}

/// Repairs of the place of this number that failed, by these records.
pub(crate) fn earlier(number: &str, kept: &[Kept]) -> Option<Earlier> {
    attempts::earlier(number, kept.iter().filter_map(|kept| Some((kept.name.as_str(), kept.run.as_ref()?))))
}

/// The records whose file bears the name of the spec's, and which cannot be read: their attempts are not counted.
pub(crate) fn unread(spec: &str, kept: &[Kept]) -> Vec<Finding> {
    let file = Path::new(spec).file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let own = format!("{}.", stem(&file));
    let lost = kept.iter().filter(|kept| kept.run.is_none() && kept.file.starts_with(&own));
    let finding = |kept: &Kept| {
        Finding::new(
            Code::RunUnread,
            format!("the run record {} cannot be read, so its attempt is not counted", kept.name),
        )
        .help("interpass check names what is wrong with it")
    };
    lost.map(finding).collect()
}

/// What became of a record that was to be kept.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Keeping {
    /// It is kept there now.
    New(PathBuf),
    /// A record with the very same bytes has been kept there before.
    Known(PathBuf),
}

/// Keeps a record beside the file of a spec or sheet. A record that is there is never overwritten, and a reader never
/// sees a part of one.
///
/// # Errors
/// [`Fault::Write`], when it cannot be written; nothing is left over then.
pub(crate) fn keep(spec: &Path, date: Option<&str>, bytes: &[u8]) -> Result<Keeping, Fault> {
    let folder = folder_of(spec).join(RUNS);
    let file = spec.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let own = stem_of(&file);
    let same = |name: &String| fs::read(folder.join(name)).is_ok_and(|old| old == bytes);
    if let Some(known) = names(&folder).iter().find(|name| name.starts_with(&format!("{own}.")) && same(name)) {
        return Ok(Keeping::Known(folder.join(known)));
    }
    let begin = format!("{own}.{}", date.unwrap_or("undated"));
    place(&folder, &begin, bytes).map(Keeping::New).map_err(|error| Fault::write(&folder.join(begin + RUN_END), error))
}

/// The name of a spec or a sheet without its ends: `hw-012` of `hw-012.repair.toml` and of `hw-012.html`.
pub(crate) fn stem_of(file: &str) -> &str {
    let plain = stem(file);
    let plain = plain.strip_suffix(".html").or_else(|| plain.strip_suffix(".json")).unwrap_or(plain);
    if plain.is_empty() { "run" } else { plain }
}

/// Writes a temporary file and gives it the first name that is free.
fn place(folder: &Path, begin: &str, bytes: &[u8]) -> io::Result<PathBuf> {
    fs::create_dir_all(folder)?;
    let mut file = temporary(folder, bytes)?;
    file.as_file().sync_all()?;
    for number in 1..=MOST {
        let path = folder.join(format!("{begin}-{number}{RUN_END}"));
        match file.persist_noclobber(&path) {
            Ok(_) => return Ok(path),
            Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => file = error.file,
            Err(error) => return Err(error.error),
        }
    }
    Err(io::Error::other("too many records of one day"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_is_kept_once_and_never_overwritten() {
        let temp = tempfile::tempdir().unwrap();
        let spec = temp.path().join("hw-040.repair.toml");
        let path = |name: &str| temp.path().join("runs").join(name);
        let keep = |bytes: &[u8]| keep(&spec, Some("2026-10-05"), bytes).unwrap();
        assert_eq!(keep(b"one"), Keeping::New(path("hw-040.2026-10-05-1.run.toml")));
        assert_eq!(keep(b"two"), Keeping::New(path("hw-040.2026-10-05-2.run.toml")));
        assert_eq!(keep(b"one"), Keeping::Known(path("hw-040.2026-10-05-1.run.toml")));
        assert_eq!(fs::read(path("hw-040.2026-10-05-1.run.toml")).unwrap(), b"one");
        assert_eq!(fs::read_dir(temp.path().join("runs")).unwrap().count(), 2, "nothing is left over");
    }

    #[test]
    fn many_at_once_lose_and_tear_none() {
        let temp = tempfile::tempdir().unwrap();
        let spec = temp.path().join("hw-040.html");
        std::thread::scope(|scope| {
            for number in 0..8_u8 {
                let spec = &spec;
                scope.spawn(move || keep(spec, None, &vec![number; 50_000]).unwrap());
            }
        });
        let files = fs::read_dir(temp.path().join("runs")).unwrap().map(|entry| entry.unwrap().path());
        let mut seen: Vec<u8> = files
            .map(|path| {
                assert!(path.to_str().unwrap().contains("/hw-040.undated-"), "{path:?}");
                let bytes = fs::read(path).unwrap();
                assert!(bytes.len() == 50_000 && bytes.iter().all(|byte| Some(byte) == bytes.first()));
                *bytes.first().unwrap()
            })
            .collect();
        seen.sort_unstable();
        assert_eq!(seen, (0..8).collect::<Vec<u8>>());
    }
}
