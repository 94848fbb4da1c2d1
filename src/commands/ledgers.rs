//! The ledger of a spec: where it lies, reading it, and adding a line so that nothing is lost, whatever stops the
//! program.
//!
//! It lies in the nearest folder, from that of the spec upwards, that holds one already; where none does, at the root of
//! the repository (the folder with `.git`), else beside the spec. Nothing above the root of the repository is looked at.
//! A line is added under an exclusive lock: the whole file is read and checked, what a writer that was killed left
//! behind its last line feed is cut off, the line is written at once and the disk is waited for. Only then is it
//! reported as entered.

use super::fault::{Fault, shown};
use super::inputs::Input;
use crate::ledger::{FILE_BYTES, Ledger, NAME, Tail, read};
use std::collections::BTreeMap;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

/// How long another program may hold the ledger.
const PATIENCE: Duration = Duration::from_secs(30);
/// How long it is waited before the lock is tried again.
const PAUSE: Duration = Duration::from_millis(3);

/// Where a ledger lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Place {
    /// Its path.
    pub(crate) path: PathBuf,
    /// What it is called in messages: as the user named the folders, as far as that goes.
    pub(crate) name: String,
    /// Why it lies there.
    pub(crate) why: Why,
}

/// Why a ledger lies where it lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Why {
    /// It is there.
    Found,
    /// The root of the repository.
    Repository,
    /// There is no repository: beside the spec.
    Beside,
}

/// Where the ledger of a spec lies, or would lie.
pub(crate) fn place(spec: &Path) -> Place {
    let folder = spec.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let whole = std::fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned());
    let mut named = Some(folder.to_owned());
    let mut repository = None;
    for parent in whole.ancestors() {
        let path = parent.join(NAME);
        let name = named.clone().map_or_else(|| shown(&path), |folder| shown(&folder.join(NAME)));
        if path.is_file() {
            return Place { path, name, why: Why::Found };
        }
        if parent.join(".git").exists() {
            repository = Some(Place { path, name, why: Why::Repository });
            break;
        }
        named = named.and_then(|folder| super::kits::above(&folder));
    }
    repository.unwrap_or_else(|| Place { path: whole.join(NAME), name: shown(&folder.join(NAME)), why: Why::Beside })
}

/// A ledger as it was read for many specs.
#[derive(Debug)]
pub(crate) struct Taken {
    /// What it is called in messages.
    pub(crate) name: String,
    /// What it holds.
    pub(crate) ledger: Ledger,
}

/// The ledgers of specs; each is read once.
#[derive(Debug, Default)]
pub(crate) struct Ledgers {
    /// Whether each is held against the last commit too.
    history: bool,
    folders: BTreeMap<PathBuf, Option<Arc<Opened>>>,
    files: BTreeMap<PathBuf, Arc<Opened>>,
}

/// What became of reading a ledger.
pub(crate) type Opened = Result<Taken, Fault>;

impl Ledgers {
    /// Ledgers that are held against the last commit too.
    pub(crate) fn with_history() -> Self {
        Ledgers { history: true, ..Ledgers::default() }
    }

    /// The ledger of a spec; none where there is none. Of standard input there is none.
    pub(crate) fn of(&mut self, spec: &Input) -> Option<Arc<Opened>> {
        if spec.is_stdin() {
            return None;
        }
        let folder = spec.path.parent().unwrap_or(Path::new("")).to_owned();
        if let Some(known) = self.folders.get(&folder) {
            return known.clone();
        }
        let place = place(&spec.path);
        let opened = (place.why == Why::Found).then(|| {
            let history = self.history;
            let read = || {
                Arc::new(open(&place).map(|mut ledger| {
                    if history && ledger.is_sound() {
                        ledger.findings.extend(super::git::lost(&place.path, &ledger.digests, &place.name));
                    }
                    Taken { name: place.name.clone(), ledger }
                }))
            };
            Arc::clone(self.files.entry(place.path.clone()).or_insert_with(read))
        });
        self.folders.insert(folder, opened.clone());
        opened
    }
}

/// What a ledger holds, for a look; an empty one where there is none.
///
/// # Errors
/// [`Fault::Read`] with its path.
pub(crate) fn peek(place: &Place) -> Result<Ledger, Fault> {
    if place.why == Why::Found { open(place) } else { Ok(Ledger::default()) }
}

/// Reads a ledger, not in the middle of another program's line.
fn open(place: &Place) -> Result<Ledger, Fault> {
    let mut file = File::open(&place.path).map_err(|error| fault(place, error, Fault::read))?;
    // Where files cannot be locked, a line that is being written is seen as one that was cut.
    let _ = locked(|| file.try_lock_shared());
    let bytes = bytes(&mut file).map_err(|error| fault(place, error, Fault::read))?;
    Ok(read(&bytes))
}

fn bytes(file: &mut File) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.seek(SeekFrom::Start(0))?;
    file.take(FILE_BYTES as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn fault(place: &Place, error: io::Error, of: fn(&Path, io::Error) -> Fault) -> Fault {
    of(Path::new(&place.name), error)
}

/// Tries a lock until it is there.
fn locked(lock: impl Fn() -> Result<(), TryLockError>) -> io::Result<()> {
    let since = Instant::now();
    loop {
        match lock() {
            Ok(()) => return Ok(()),
            Err(TryLockError::Error(error)) => return Err(error),
            Err(TryLockError::WouldBlock) if since.elapsed() > PATIENCE => {
                return Err(io::Error::new(io::ErrorKind::WouldBlock, "another program holds it"));
            }
            Err(TryLockError::WouldBlock) => std::thread::sleep(PAUSE),
        }
    }
}

/// A ledger that nobody else writes while this is there.
pub(crate) struct Held {
    file: File,
    place: Place,
    /// What it holds.
    pub(crate) ledger: Ledger,
    /// Its length as it was read.
    length: u64,
    /// Whether it was made for this.
    new: bool,
}

impl Held {
    /// Takes the ledger, and makes an empty one where there is none.
    ///
    /// # Errors
    /// [`Fault::Write`] with its path, where it cannot be opened for writing, locked or read.
    pub(crate) fn take(place: &Place) -> Result<Self, Fault> {
        let new = !place.path.exists();
        let opened = OpenOptions::new().read(true).write(true).create(true).truncate(false).open(&place.path);
        let mut file = opened.map_err(|error| fault(place, error, Fault::write))?;
        locked(|| file.try_lock()).map_err(|error| fault(place, error, Fault::write))?;
        let bytes = bytes(&mut file).map_err(|error| fault(place, error, Fault::write))?;
        Ok(Held { ledger: read(&bytes), length: bytes.len() as u64, file, place: place.clone(), new })
    }

    /// Adds a line, and waits until it is on the disk.
    ///
    /// # Errors
    /// [`Fault::Write`] with its path; the ledger is then as it was, as far as the disk allows.
    pub(crate) fn add(mut self, line: &str) -> Result<(), Fault> {
        let done = self.written(line);
        if done.is_err() {
            // What was written of the line goes; where that fails too, the next writer cuts it off.
            let _ = self.file.set_len(self.length);
        }
        done.map_err(|error| fault(&self.place, error, Fault::write))
    }

    fn written(&mut self, line: &str) -> io::Result<()> {
        let mut text = String::with_capacity(line.len() + 2);
        match self.ledger.tail {
            Some(Tail::Cut { at }) => {
                self.length = at as u64;
                self.file.set_len(self.length)?;
            }
            Some(Tail::Whole) => text.push('\n'),
            None => {}
        }
        text.push_str(line);
        text.push('\n');
        self.file.seek(SeekFrom::Start(self.length))?;
        self.file.write_all(text.as_bytes())?;
        self.file.sync_all()?;
        if self.new {
            // Its name has to be on the disk too.
            let folder = self.place.path.parent().unwrap_or(Path::new("."));
            if let Ok(folder) = File::open(folder) {
                let _ = folder.sync_all();
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    fn tree(files: &[&str]) -> tempfile::TempDir {
        let tree = tempfile::tempdir().unwrap();
        for name in files {
            let path = tree.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, "").unwrap();
        }
        tree
    }

    #[test]
    fn a_ledger_lies_at_the_root_of_the_repository_unless_a_nearer_one_is_there() {
        let found = |files: &[&str], spec: &str| {
            let tree = tree(files);
            let place = place(&tree.path().join(spec));
            let root = fs::canonicalize(tree.path()).unwrap();
            (place.path.strip_prefix(root).unwrap().to_str().unwrap().to_owned(), place.why)
        };
        let spec = "shop/jobs/a.repair.toml";
        assert_eq!(found(&["shop/.git/HEAD", spec], spec), ("shop/interpass.ledger.jsonl".to_owned(), Why::Repository));
        assert_eq!(
            found(&["interpass.ledger.jsonl", "shop/.git/HEAD", spec], spec),
            ("shop/interpass.ledger.jsonl".to_owned(), Why::Repository),
            "none above the repository"
        );
        assert_eq!(
            found(&["shop/.git/HEAD", "shop/jobs/interpass.ledger.jsonl", spec], spec),
            ("shop/jobs/interpass.ledger.jsonl".to_owned(), Why::Found)
        );
        assert_eq!(found(&[spec], spec), ("shop/jobs/interpass.ledger.jsonl".to_owned(), Why::Beside));
    }

    #[test]
    fn what_was_cut_goes_and_what_lacks_a_line_feed_gets_it() {
        let tree = tree(&["a.repair.toml"]);
        let place = place(&tree.path().join("a.repair.toml"));
        let text = || fs::read_to_string(&place.path).unwrap();
        Held::take(&place).unwrap().add("one").unwrap();
        assert_eq!(text(), "one\n");
        fs::write(&place.path, "{\"format\":1,\"number\":\"HW").unwrap();
        Held::take(&place).unwrap().add("two").unwrap();
        assert_eq!(text(), "two\n");
    }
}
