//! Which files a command reads: files as named, folders walked, patterns that the shell left alone, shares of them all.

use super::fault::{Fault, shown};
use ignore::WalkBuilder;
use ignore::overrides::OverrideBuilder;
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};
use std::str::FromStr;

/// The end of the name of a spec.
pub(crate) const SPEC_END: &str = ".repair.toml";
/// The end of the name of a kit.
pub(crate) const KIT_END: &str = ".kit.toml";
/// The end of the name of a run record.
pub(crate) const RUN_END: &str = ".run.toml";
/// What stands for standard input on the command line.
pub(crate) const STDIN: &str = "-";

/// A file to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Input {
    /// Where it lies; `-` for standard input.
    pub(crate) path: PathBuf,
    /// What it is called in messages.
    pub(crate) name: String,
    /// The folder that it lies in below the one that was named; empty for a file that was named itself.
    pub(crate) below: PathBuf,
}

impl Input {
    /// A file that was named on the command line.
    fn file(path: &Path) -> Self {
        Input { path: path.to_owned(), name: shown(path), below: PathBuf::new() }
    }

    /// Standard input, called `name` where it was given one.
    pub(crate) fn stdin(name: Option<&str>) -> Self {
        let name = name.map_or_else(|| "standard input".to_owned(), |name| shown(Path::new(name)));
        Input { path: PathBuf::from(STDIN), name, below: PathBuf::new() }
    }

    /// Whether it is standard input.
    pub(crate) fn is_stdin(&self) -> bool {
        self.path.as_os_str() == STDIN
    }

    /// Reads it: no more than a spec can hold and one byte, so that a file that is too large is known as such.
    pub(crate) fn bytes(&self) -> Result<Vec<u8>, Fault> {
        let most = crate::spec::limits::FILE_BYTES as u64 + 1;
        let mut bytes = Vec::new();
        let read = if self.is_stdin() {
            io::stdin().lock().take(most).read_to_end(&mut bytes)
        } else {
            File::open(&self.path).and_then(|file| file.take(most).read_to_end(&mut bytes))
        };
        match read {
            Ok(_) => Ok(bytes),
            Err(error) => Err(Fault::read(Path::new(&self.name), error)),
        }
    }
}

/// One of several disjoint shares of the files: `3/8`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Share {
    part: u64,
    of: u64,
}

impl FromStr for Share {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let numbers = text.split_once('/').and_then(|(part, of)| Some((part.parse().ok()?, of.parse().ok()?)));
        match numbers {
            Some((part, of)) if 1 <= part && part <= of => Ok(Share { part, of }),
            _ => Err("write it as 3/8: the third of eight shares".to_owned()),
        }
    }
}

impl Share {
    /// Whether a file belongs to it, by its name alone: the same on every machine and in every run.
    pub(crate) fn holds(self, name: &str) -> bool {
        let digest = Sha256::digest(name.as_bytes());
        let number = digest.iter().take(8).fold(0_u64, |number, byte| number << 8 | u64::from(*byte));
        number % self.of == self.part - 1
    }
}

/// All files that the paths of a command line name, each once: in the order of the paths, those of a folder by name.
///
/// # Errors
/// [`Fault::Call`] for a folder or a pattern that holds no spec, [`Fault::Read`] for a folder that cannot be walked. A
/// file that is not there is found out when it is read, so that the others are still read.
pub(crate) fn find(paths: &[PathBuf], name: Option<&str>, share: Option<Share>) -> Result<Vec<Input>, Fault> {
    let here = [PathBuf::from(".")];
    let paths = if paths.is_empty() { &here } else { paths };
    let mut inputs = Vec::new();
    for path in paths {
        if path.as_os_str() == STDIN {
            inputs.push(Input::stdin(name));
        } else if path.is_dir() {
            inputs.extend(walk(path, None)?);
        } else if let Some((root, pattern)) = pattern_of(path) {
            inputs.extend(walk(&root, Some(&pattern))?);
        } else {
            inputs.push(Input::file(path));
        }
    }
    let mut seen = BTreeSet::new();
    inputs.retain(|input| seen.insert(plain(&input.path)));
    inputs.retain(|input| share.is_none_or(|share| share.holds(&input.name)));
    Ok(inputs)
}

/// A path without `.` and `..`, as far as its text tells.
fn plain(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if plain.file_name().is_some() => {
                plain.pop();
            }
            part => plain.push(part),
        }
    }
    plain
}

/// The folder and the pattern of a path that the shell did not expand: `'specs/**/hw-01*.repair.toml'`.
fn pattern_of(path: &Path) -> Option<(PathBuf, String)> {
    let is_pattern = |part: &OsStr| part.to_str().is_some_and(|part| part.contains(['*', '?', '[', '{']));
    if path.exists() || !path.iter().any(is_pattern) {
        return None;
    }
    let root: PathBuf = path.iter().take_while(|part| !is_pattern(part)).collect();
    let pattern: Vec<&str> = path.iter().skip_while(|part| !is_pattern(part)).filter_map(OsStr::to_str).collect();
    let root = if root.as_os_str().is_empty() { PathBuf::from(".") } else { root };
    // A leading slash ties the pattern to the folder: `*.toml` means those in it, not those below it.
    Some((root, format!("/{}", pattern.join("/"))))
}

/// The specs in a folder and below it, by name. What git ignores and what is hidden is left out.
fn walk(root: &Path, pattern: Option<&str>) -> Result<Vec<Input>, Fault> {
    let mut builder = WalkBuilder::new(root);
    builder.git_global(false).sort_by_file_name(OsStr::cmp);
    if let Some(pattern) = pattern {
        let mut overrides = OverrideBuilder::new(root);
        let overrides = overrides.add(pattern).and_then(|overrides| overrides.build());
        builder.overrides(overrides.map_err(|error| Fault::Call(format!("no pattern of files: {error}")))?);
    }
    let mut inputs = Vec::new();
    for entry in builder.build() {
        let entry = entry.map_err(|error| of_walk(root, error))?;
        // A pattern finds what is hidden; whoever means such a file names it.
        let is_spec = |name: &str| name.ends_with(SPEC_END) && !name.starts_with('.');
        let is_spec = entry.file_name().to_str().is_some_and(is_spec);
        if !is_spec || !entry.path().is_file() {
            continue;
        }
        let path = entry.into_path();
        let below = path.strip_prefix(root).ok().and_then(Path::parent).map(Path::to_owned).unwrap_or_default();
        inputs.push(Input { name: shown(&path), below, path });
    }
    if inputs.is_empty() {
        let what = pattern.map_or_else(|| shown(root), |pattern| format!("{}{pattern}", shown(root)));
        return Err(Fault::Call(format!("no spec (*{SPEC_END}) in {what}")));
    }
    Ok(inputs)
}

fn of_walk(root: &Path, error: ignore::Error) -> Fault {
    let text = error.to_string();
    match error.into_io_error() {
        Some(error) => Fault::read(root, error),
        None => Fault::Call(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    fn share(text: &str) -> Share {
        text.parse().unwrap()
    }

    #[test]
    fn shares_are_disjoint_whole_and_stable() {
        let names: Vec<String> = (0..1000).map(|number| format!("jobs/hw-{number}.repair.toml")).collect();
        let mut counts = Vec::new();
        for part in 1..=8 {
            let share = share(&format!("{part}/8"));
            counts.push(names.iter().filter(|name| share.holds(name)).count());
        }
        assert_eq!(counts.iter().sum::<usize>(), 1000);
        assert!(counts.iter().all(|count| (80..180).contains(count)), "{counts:?}");
        assert!(names.iter().all(|name| share("1/1").holds(name)));
        // By another program's SHA-256 the digest of this name begins with 0x6367e607f4686d11, which is 1 modulo 8.
        assert!(share("2/8").holds("specs/hw-012.repair.toml"));
    }

    #[test]
    fn a_share_is_a_number_of_a_number() {
        for text in ["0/8", "9/8", "3", "a/b", "3/0", "-1/8", ""] {
            assert!(text.parse::<Share>().is_err(), "{text}");
        }
    }

    #[test]
    fn folders_patterns_and_files() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::create_dir_all(at("b/c")).unwrap();
        for name in
            ["z.repair.toml", "a.repair.toml", "b/m.repair.toml", "b/c/n.repair.toml", "x.kit.toml", ".h.repair.toml"]
        {
            fs::write(at(name), "").unwrap();
        }
        let names = |paths: &[PathBuf]| -> Vec<String> {
            let found = find(paths, None, None).unwrap();
            found
                .iter()
                .map(|input| input.path.strip_prefix(folder.path()).unwrap().to_string_lossy().into_owned())
                .collect()
        };
        assert_eq!(
            names(&[folder.path().to_owned()]),
            ["a.repair.toml", "b/c/n.repair.toml", "b/m.repair.toml", "z.repair.toml"]
        );
        assert_eq!(names(&[at("*.toml")]), ["a.repair.toml", "z.repair.toml"]);
        assert_eq!(names(&[at("**/*.repair.toml")]).len(), 4);
        assert_eq!(names(&[at(".h.repair.toml"), at("x.kit.toml")]), [".h.repair.toml", "x.kit.toml"]);
        assert_eq!(names(&[at("b/../z.repair.toml"), at("z.repair.toml"), at("b")]).len(), 3, "each once");
        let below: Vec<PathBuf> =
            find(&[folder.path().to_owned()], None, None).unwrap().into_iter().map(|i| i.below).collect();
        assert_eq!(below, ["", "b/c", "b", ""].map(PathBuf::from));
        assert!(matches!(find(&[at("*.run.toml")], None, None), Err(Fault::Call(_))));
        assert!(matches!(
            find(&[at("missing.repair.toml")], None, None).unwrap().first().unwrap().bytes(),
            Err(Fault::Read { .. })
        ));
    }
}
