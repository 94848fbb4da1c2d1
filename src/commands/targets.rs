//! Where sheets are written: file names inside one folder, and writing that leaves the old file or the new one.
//!
//! A file is written to a temporary one in the same folder and then renamed. The disk is not waited for: a sheet can be
//! written again from its spec, and waiting costs more than the whole of the work.

use super::fault::Fault;
use super::inputs::{Input, SPEC_END};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// The name that all faces of a spec have in common, as a path below the folder of the sheets. It comes from the name of
/// the file alone, never from what stands in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Target(PathBuf);

impl Target {
    /// The target of a spec; none where its file has no name of its own.
    pub(crate) fn of(input: &Input) -> Option<Self> {
        let stem = stem(input.path.file_name()?.to_str()?);
        (!stem.is_empty()).then(|| Target(input.below.join(stem)))
    }

    /// The path of a face below the folder of the sheets.
    pub(crate) fn face(&self, end: &str) -> PathBuf {
        let mut name = self.0.clone().into_os_string();
        name.push(".");
        name.push(end);
        PathBuf::from(name)
    }

    /// The path of a drawing, by its id. Two targets that differ have no drawing in common.
    pub(crate) fn drawing(&self, id: &str) -> PathBuf {
        let mut name = self.0.clone().into_os_string();
        name.push("-");
        name.push(id);
        name.push(".svg");
        PathBuf::from(name)
    }

    /// What its drawings are named after, as a file beside it names them.
    pub(crate) fn stem(&self) -> &str {
        self.0.file_name().and_then(|name| name.to_str()).unwrap_or_default()
    }

    /// The same for two names that a folder may not tell apart.
    fn folded(&self) -> String {
        let name = self.0.to_string_lossy().to_lowercase();
        // The card of `a` and the sheet of `a.card` are one file.
        name.strip_suffix(".card").map_or(name.clone(), str::to_owned)
    }
}

/// The name of a spec without its ending: what its sheet and its drawings are named after.
pub(crate) fn stem(name: &str) -> &str {
    name.strip_suffix(SPEC_END).or_else(|| name.strip_suffix(".toml")).unwrap_or(name)
}

/// Numbers of those targets that another one would overwrite, and the number of that other one.
pub(crate) fn clashes(targets: &[Option<Target>]) -> BTreeMap<usize, usize> {
    let mut by_name: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (number, target) in targets.iter().enumerate() {
        if let Some(target) = target {
            by_name.entry(target.folded()).or_default().push(number);
        }
    }
    let mut clashes = BTreeMap::new();
    for numbers in by_name.into_values().filter(|numbers| numbers.len() > 1) {
        for number in &numbers {
            if let Some(other) = numbers.iter().find(|other| *other != number) {
                clashes.insert(*number, *other);
            }
        }
    }
    clashes
}

/// What became of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Written {
    /// It holds the same bytes as before.
    Unchanged,
    /// It is new or has changed.
    Changed,
}

/// The folder that sheets are written to.
#[derive(Debug)]
pub(crate) struct Folder {
    root: PathBuf,
    /// Folders in it that are known to be there and to lie inside.
    ready: Mutex<BTreeSet<PathBuf>>,
}

impl Folder {
    /// The folder with this path. Nothing is made before something is written to it.
    pub(crate) fn new(root: &Path) -> Self {
        Folder { root: root.to_owned(), ready: Mutex::default() }
    }

    /// The path of a file of it.
    pub(crate) fn path(&self, below: &Path) -> PathBuf {
        self.root.join(below)
    }

    /// Whether a file of it holds these bytes, `old` being room to read into.
    pub(crate) fn holds(&self, below: &Path, bytes: &[u8], old: &mut Vec<u8>) -> bool {
        let path = self.path(below);
        let same_size = fs::metadata(&path).is_ok_and(|data| data.is_file() && data.len() == bytes.len() as u64);
        old.clear();
        same_size && fs::File::open(&path).and_then(|mut file| file.read_to_end(old)).is_ok() && old == bytes
    }

    /// Writes a file of it, unless it holds the same bytes already.
    ///
    /// # Errors
    /// [`Fault::Write`] with the path of the file; the old file is still there then.
    pub(crate) fn write(&self, below: &Path, bytes: &[u8], old: &mut Vec<u8>) -> Result<Written, Fault> {
        if self.holds(below, bytes, old) {
            return Ok(Written::Unchanged);
        }
        let path = self.path(below);
        let folder = path.parent().unwrap_or(&self.root);
        self.make_ready(folder)
            .and_then(|()| replace(folder, &path, bytes))
            .map_err(|error| Fault::write(&path, error))?;
        Ok(Written::Changed)
    }

    /// Takes a file of it away, where there is one; with `look` it only says whether there is.
    ///
    /// # Errors
    /// [`Fault::Write`] with the path of the file, which is still there then.
    pub(crate) fn clear(&self, below: &Path, look: bool) -> Result<Written, Fault> {
        let path = self.path(below);
        if fs::symlink_metadata(&path).is_err() {
            return Ok(Written::Unchanged);
        }
        if !look {
            let folder = path.parent().unwrap_or(&self.root);
            self.make_ready(folder)
                .and_then(|()| fs::remove_file(&path))
                .map_err(|error| Fault::write(&path, error))?;
        }
        Ok(Written::Changed)
    }

    /// Makes a folder, and makes sure that no link leads out of the folder of the sheets.
    fn make_ready(&self, folder: &Path) -> io::Result<()> {
        let known = |ready: &BTreeSet<PathBuf>| ready.contains(folder);
        if self.ready.lock().is_ok_and(|ready| known(&ready)) {
            return Ok(());
        }
        fs::create_dir_all(folder)?;
        if !fs::canonicalize(folder)?.starts_with(fs::canonicalize(&self.root)?) {
            return Err(io::Error::other("a link leads out of the folder of the sheets"));
        }
        if let Ok(mut ready) = self.ready.lock() {
            ready.insert(folder.to_owned());
        }
        Ok(())
    }
}

/// A temporary file in the folder with these bytes, to be given its name once it is whole.
pub(crate) fn temporary(folder: &Path, bytes: &[u8]) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".interpass-").suffix(".tmp");
    // A sheet is for others to read: the rights of any new file, not those of a secret one.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    Ok(file)
}

/// Writes a temporary file in the folder and gives it the name.
fn replace(folder: &Path, path: &Path, bytes: &[u8]) -> io::Result<()> {
    temporary(folder, bytes)?.persist(path).map_err(|error| error.error)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn target(path: &str, below: &str) -> Option<Target> {
        Target::of(&Input { path: PathBuf::from(path), name: path.to_owned(), below: PathBuf::from(below) })
    }

    #[test]
    fn names_come_from_the_name_of_the_file() {
        assert_eq!(
            target("specs/refused/hw-019.repair.toml", "refused").unwrap().face("md"),
            Path::new("refused/hw-019.md")
        );
        assert_eq!(target("/x/job.v2.toml", "").unwrap().face("html"), Path::new("job.v2.html"));
        assert_eq!(target("notes", "").unwrap().face("json"), Path::new("notes.json"));
        assert_eq!(target(".repair.toml", ""), None);
        assert_eq!(target("..", ""), None);
    }

    #[test]
    fn names_that_differ_in_case_alone_clash() {
        let targets = [
            target("a/HW.repair.toml", ""),
            target("b/other.toml", ""),
            target("c/hw.toml", ""),
            None,
            target("c/hw.toml", "c"),
        ];
        assert_eq!(clashes(&targets), BTreeMap::from([(0, 2), (2, 0)]));
        let targets = [target("a.card.repair.toml", ""), target("A.repair.toml", ""), target("a.cards.toml", "")];
        assert_eq!(clashes(&targets), BTreeMap::from([(0, 1), (1, 0)]));
    }

    #[test]
    fn only_what_changed_is_written_and_nothing_is_left_over() {
        let temp = tempfile::tempdir().unwrap();
        let folder = Folder::new(&temp.path().join("sheets"));
        let mut old = Vec::new();
        let name = Path::new("sub/a.md");
        assert_eq!(folder.write(name, b"one", &mut old).unwrap(), Written::Changed);
        assert_eq!(folder.write(name, b"one", &mut old).unwrap(), Written::Unchanged);
        assert_eq!(folder.write(name, b"two", &mut old).unwrap(), Written::Changed);
        assert_eq!(fs::read(folder.path(name)).unwrap(), b"two");
        assert_eq!(fs::read_dir(temp.path().join("sheets/sub")).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn no_link_leads_out_of_the_folder() {
        let temp = tempfile::tempdir().unwrap();
        let (sheets, outside) = (temp.path().join("sheets"), temp.path().join("outside"));
        fs::create_dir_all(&sheets).unwrap();
        fs::create_dir_all(&outside).unwrap();
        std::os::unix::fs::symlink(&outside, sheets.join("sub")).unwrap();
        let fault = Folder::new(&sheets).write(Path::new("sub/a.md"), b"x", &mut Vec::new()).unwrap_err();
        assert!(fault.to_string().contains("a link leads out"), "{fault}");
        assert_eq!(fs::read_dir(&outside).unwrap().count(), 0);
        // A file that is a link is replaced; what it points to stays.
        let secret = outside.join("secret");
        fs::write(&secret, "keep").unwrap();
        std::os::unix::fs::symlink(&secret, sheets.join("b.md")).unwrap();
        Folder::new(&sheets).write(Path::new("b.md"), b"x", &mut Vec::new()).unwrap();
        assert_eq!(fs::read_to_string(&secret).unwrap(), "keep");
    }

    #[cfg(unix)]
    #[test]
    fn a_sheet_can_be_read_by_others() {
        use std::os::unix::fs::PermissionsExt;
        let temp = tempfile::tempdir().unwrap();
        fs::write(temp.path().join("any"), "").unwrap();
        Folder::new(temp.path()).write(Path::new("a.md"), b"x", &mut Vec::new()).unwrap();
        let mode = |name: &str| fs::metadata(temp.path().join(name)).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode("a.md"), mode("any"));
    }

    #[test]
    fn two_runs_at_once_leave_whole_files() {
        let temp = tempfile::tempdir().unwrap();
        let texts = ["a".repeat(100_000), "b".repeat(90_000)];
        std::thread::scope(|scope| {
            for text in &texts {
                scope.spawn(|| {
                    let folder = Folder::new(temp.path());
                    for _ in 0..200 {
                        folder.write(Path::new("a.md"), text.as_bytes(), &mut Vec::new()).unwrap();
                    }
                });
            }
            scope.spawn(|| {
                for _ in 0..400 {
                    if let Ok(text) = fs::read_to_string(temp.path().join("a.md")) {
                        assert!(texts.contains(&text), "a torn file of {} bytes", text.len());
                    }
                }
            });
        });
        assert_eq!(fs::read_dir(temp.path()).unwrap().count(), 1);
    }
}
