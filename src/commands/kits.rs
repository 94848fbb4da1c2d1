//! The kit of a spec: the one that was named, else the only one in the folder of the spec or the nearest folder above it.

use super::fault::{Fault, shown};
use super::inputs::{Input, KIT_END};
use crate::findings::{Code, Finding, any_error};
use crate::kit::{self, Kit};
use crate::seal::Canonical;
use crate::spec::shown_text;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

/// A kit file that was read.
#[derive(Debug)]
pub(crate) struct KitFile {
    /// What it is called in messages.
    pub(crate) name: String,
    /// Its text.
    pub(crate) text: String,
    /// The kit; none where it has errors.
    pub(crate) kit: Option<Kit>,
    /// What the checker has to say of it.
    pub(crate) findings: Vec<Finding>,
    canonical: OnceLock<Canonical>,
}

impl KitFile {
    /// Reads a kit.
    pub(crate) fn read(input: &Input) -> Result<Self, Fault> {
        let bytes = input.bytes()?;
        let reading = kit::read_bytes(&bytes);
        let kit = reading.value.filter(|_| !any_error(&reading.findings));
        let text = shown_text(&bytes).into_owned();
        Ok(KitFile { name: input.name.clone(), text, kit, findings: reading.findings, canonical: OnceLock::new() })
    }

    /// The kit that rides in a sheet.
    pub(crate) fn of_text(name: &str, text: &str) -> Self {
        let reading = kit::read_bytes(text.as_bytes());
        let kit = reading.value.filter(|_| !any_error(&reading.findings));
        let (name, text) = (name.to_owned(), text.to_owned());
        KitFile { name, text, kit, findings: reading.findings, canonical: OnceLock::new() }
    }

    /// What is sealed of it.
    pub(crate) fn canonical(&self) -> &Canonical {
        self.canonical.get_or_init(|| Canonical::of(&self.text))
    }
}

/// Which kit belongs to a spec.
#[derive(Debug, Clone)]
pub(crate) enum Chosen {
    /// None was found.
    None,
    /// This one.
    One(Arc<KitFile>),
    /// Nobody can tell: two lie in one folder, or the one that was found cannot be read.
    Unknown(Finding),
}

/// Finds the kits of specs; each is read once.
#[derive(Debug, Default)]
pub(crate) struct Kits {
    named: Option<Arc<KitFile>>,
    folders: BTreeMap<PathBuf, Chosen>,
    files: BTreeMap<PathBuf, Arc<KitFile>>,
}

impl Kits {
    /// With the kit that was named on the command line, where one was.
    ///
    /// # Errors
    /// [`Fault::Read`], when it cannot be read.
    pub(crate) fn new(named: Option<&Path>) -> Result<Self, Fault> {
        let read = |path: &Path| {
            KitFile::read(&Input { path: path.to_owned(), name: shown(path), below: PathBuf::new() }).map(Arc::new)
        };
        Ok(Kits { named: named.map(read).transpose()?, ..Kits::default() })
    }

    /// The kit that was named on the command line.
    pub(crate) fn named(&self) -> Option<&Arc<KitFile>> {
        self.named.as_ref()
    }

    /// The kit of a spec.
    pub(crate) fn of(&mut self, spec: &Input) -> Chosen {
        if let Some(kit) = &self.named {
            return Chosen::One(Arc::clone(kit));
        }
        let folder = if spec.is_stdin() { Path::new("") } else { spec.path.parent().unwrap_or(Path::new("")) };
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        if let Some(known) = self.folders.get(folder) {
            return known.clone();
        }
        let chosen = self.look(folder);
        self.folders.insert(folder.to_owned(), chosen.clone());
        chosen
    }

    /// Looks in a folder, then in each above it, up to the one that holds `.git`.
    fn look(&mut self, folder: &Path) -> Chosen {
        let whole = fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned());
        // As long as the parents lie below the folder as it was named, they are shown as the user named them.
        let mut named = Some(folder.to_owned());
        for parent in whole.ancestors() {
            let shown_folder = named.clone().unwrap_or_else(|| parent.to_owned());
            let mut found = kits_in(parent);
            if found.len() > 1 {
                return Chosen::Unknown(ambiguous(&shown_folder, &found));
            }
            if let Some(name) = found.pop() {
                return self.read(&parent.join(&name), &shown_folder.join(&name));
            }
            if parent.join(".git").exists() {
                break;
            }
            named = named.and_then(|folder| above(&folder));
        }
        Chosen::None
    }

    fn read(&mut self, path: &Path, shown_path: &Path) -> Chosen {
        if let Some(kit) = self.files.get(path) {
            return Chosen::One(Arc::clone(kit));
        }
        let input = Input { path: path.to_owned(), name: shown(shown_path), below: PathBuf::new() };
        match KitFile::read(&input) {
            Ok(kit) => {
                let kit = Arc::new(kit);
                self.files.insert(path.to_owned(), Arc::clone(&kit));
                Chosen::One(kit)
            }
            Err(fault) => Chosen::Unknown(
                Finding::new(Code::ReadFile, fault.to_string()).help("mend its rights, or name another kit with --kit"),
            ),
        }
    }
}

/// The folder above one as a user would write it.
pub(crate) fn above(folder: &Path) -> Option<PathBuf> {
    let last_is_name = folder.file_name().is_some() && folder != Path::new(".");
    if folder == Path::new(".") {
        Some(PathBuf::from(".."))
    } else if last_is_name {
        let parent = folder.parent()?;
        Some(if parent.as_os_str().is_empty() { PathBuf::from(".") } else { parent.to_owned() })
    } else {
        (folder.is_relative()).then(|| folder.join(".."))
    }
}

/// Names of the kits in a folder, in order. A folder that cannot be read holds none that could be used.
fn kits_in(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
    let mut names: Vec<String> =
        names.filter(|name| name.ends_with(KIT_END) && !name.starts_with('.') && folder.join(name).is_file()).collect();
    names.sort();
    names
}

fn ambiguous(folder: &Path, names: &[String]) -> Finding {
    let shown_names: Vec<String> = names.iter().map(|name| shown(&folder.join(name))).collect();
    let first = shown_names.first().cloned().unwrap_or_default();
    let finding = Finding::new(Code::KitAmbiguous, format!("{} kits lie in {}", names.len(), shown(folder)));
    let finding = shown_names.iter().fold(finding, |finding, name| finding.note(name.clone()));
    finding.help(format!("name the one that is meant: --kit {first}"))
}

/// The note that no kit was given.
pub(crate) fn none() -> Finding {
    Finding::new(Code::KitNone, "no kit was given, so no limit of a machine, a torch or a shelf is checked")
        .help("give --kit FILE, or put a NAME.kit.toml beside the specs")
}

/// The same where there is no spec whose folder could hold one.
pub(crate) fn none_given() -> Finding {
    Finding::new(Code::KitNone, "no kit was given, so no limit of a machine, a torch or a shelf is checked")
        .help("give --kit FILE")
}

#[cfg(test)]
mod tests {
    use super::*;

    const KIT: &str = "format = 1\n[[machine]]\nname = \"Bay 1 set\"\namperage = { ac = \"5 A to 200 A\" }\n";

    struct Tree(tempfile::TempDir);

    impl Tree {
        fn new(files: &[(&str, &str)]) -> Self {
            let tree = Tree(tempfile::tempdir().unwrap());
            for (name, text) in files {
                let path = tree.0.path().join(name);
                fs::create_dir_all(path.parent().unwrap()).unwrap();
                fs::write(path, text).unwrap();
            }
            tree
        }

        fn chosen(&self, spec: &str) -> Chosen {
            let path = self.0.path().join(spec);
            Kits::default().of(&Input { name: shown(&path), path, below: PathBuf::new() })
        }

        fn name(&self, spec: &str) -> Option<String> {
            match self.chosen(spec) {
                Chosen::One(kit) => Path::new(&kit.name).file_name().map(|name| name.to_string_lossy().into_owned()),
                _ => None,
            }
        }
    }

    #[test]
    fn the_nearest_kit_up_to_the_repository_holds() {
        let tree = Tree::new(&[
            ("out.kit.toml", KIT),
            ("shop/.git/HEAD", ""),
            ("shop/jobs/boats/a.repair.toml", ""),
            ("shop/jobs/jobs.kit.toml", KIT),
            ("shop/rails/b.repair.toml", ""),
        ]);
        assert_eq!(tree.name("shop/jobs/boats/a.repair.toml").as_deref(), Some("jobs.kit.toml"));
        assert!(matches!(tree.chosen("shop/rails/b.repair.toml"), Chosen::None), "none above the repository");
    }

    #[test]
    fn two_kits_in_one_folder_are_not_guessed_between() {
        let tree = Tree::new(&[("a.kit.toml", KIT), ("b.kit.toml", KIT), ("sub/x.repair.toml", "")]);
        let Chosen::Unknown(finding) = tree.chosen("sub/x.repair.toml") else { panic!("a kit was chosen") };
        assert_eq!(finding.code, Code::KitAmbiguous);
        assert_eq!(finding.notes.len(), 2);
    }

    #[test]
    fn a_kit_with_errors_is_none_but_keeps_its_findings() {
        let tree = Tree::new(&[(".git/HEAD", ""), ("a.kit.toml", "format = 1\n[shopp]\n"), ("x.repair.toml", "")]);
        let Chosen::One(kit) = tree.chosen("x.repair.toml") else { panic!("no kit") };
        assert!(kit.kit.is_none());
        assert!(any_error(&kit.findings));
    }

    #[test]
    fn folders_above_are_called_as_the_user_would() {
        assert_eq!(above(Path::new("specs/a")), Some(PathBuf::from("specs")));
        assert_eq!(above(Path::new("specs")), Some(PathBuf::from(".")));
        assert_eq!(above(Path::new(".")), Some(PathBuf::from("..")));
        assert_eq!(above(Path::new("..")), Some(PathBuf::from("../..")));
        assert_eq!(above(Path::new("/")), None);
    }
}
