//! Pace, as ratios of one run: the floor (reading each spec and writing the bytes of its three faces and drawings, and nothing else),
//! the program, and a plain script that makes the same documents with general-purpose libraries and calculates nothing.
//!
//! `cargo bench --bench pace -- 500` takes 500 specs, 200 when no number is given. The subjects take turns, at least five
//! rounds, on a file system in memory where there is one, because a disk swings many times more than the subjects differ.
//! `PYTHON=... cargo bench` names the Python that has jinja2 and markdown-it-py; without one the script is left out.
//! Nothing is asserted on time; files and bytes are counted.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

const PROGRAM: &str = env!("CARGO_BIN_EXE_interpass");
const HERE: &str = env!("CARGO_MANIFEST_DIR");
const ROUNDS: usize = 5;

/// Faces of a sheet: name of the file, its bytes.
type Faces = Vec<(String, Vec<u8>)>;

fn main() {
    let count = std::env::args().skip(1).find_map(|word| word.parse().ok()).unwrap_or(200);
    let memory = Path::new("/dev/shm");
    let place = if memory.is_dir() { memory.to_owned() } else { std::env::temp_dir() };
    let temp = tempfile::tempdir_in(&place).expect("a folder to work in");
    let bench = Bench::prepare(temp.path(), count);
    println!(
        "{count} specs in {}, {} kB in three faces and the drawings each, {ROUNDS} rounds",
        place.display(),
        bench.bytes / count / 1000
    );
    bench.writing();
    bench.other();
    starting();
}

struct Bench {
    specs: PathBuf,
    kit: PathBuf,
    /// What the program wrote the first time.
    sheets: PathBuf,
    out: PathBuf,
    count: usize,
    bytes: usize,
    /// Each spec with the files of its sheet and their bytes.
    recorded: Vec<(PathBuf, Faces)>,
}

impl Bench {
    /// Makes specs out of the demo specs, and their sheets.
    fn prepare(root: &Path, count: usize) -> Self {
        let (specs, sheets, out) = (root.join("specs"), root.join("sheets"), root.join("out"));
        fs::create_dir_all(&specs).expect("a folder of specs");
        let demos = demos();
        for number in 0..count {
            let (name, text) = &demos[number % demos.len()];
            let old = text.split("number   = \"").nth(1).and_then(|rest| rest.split('"').next()).unwrap_or("HW-");
            let text = text.replace(old, &format!("PACE-{number:06}"));
            fs::write(specs.join(format!("{number:06}-{name}")), text).expect("a spec");
        }
        let kit = Path::new(HERE).join("specs/kits/harbour.kit.toml");
        let mut bench = Bench { specs, kit, sheets, out, count, bytes: 0, recorded: Vec::new() };
        bench.program(&bench.sheets, &[]);
        for path in files(&bench.specs) {
            let stem =
                path.file_name().and_then(|name| name.to_str()).expect("a name").trim_end_matches(".repair.toml");
            let faces = ["md", "html", "json"].map(|end| format!("{stem}.{end}"));
            let drawings = (1..=7).map(|number| format!("{stem}-d{number}.svg"));
            let names = faces.into_iter().chain(drawings.filter(|name| bench.sheets.join(name).is_file()));
            let files: Faces =
                names.map(|name| (name.clone(), fs::read(bench.sheets.join(&name)).expect("a face"))).collect();
            bench.bytes += files.iter().map(|(_, bytes)| bytes.len()).sum::<usize>();
            bench.recorded.push((path, files));
        }
        assert_eq!(bench.recorded.len(), count);
        bench
    }

    /// Runs the program on all specs; seconds.
    fn program(&self, to: &Path, environment: &[(&str, &str)]) -> f64 {
        let mut command = Command::new(PROGRAM);
        command.args(["write", "--quiet", "--kit"]).arg(&self.kit).arg(&self.specs).arg("--to").arg(to);
        timed(command.envs(environment.iter().copied()))
    }

    /// Reads each spec and writes the recorded bytes in the way the program does; seconds.
    fn floor(&self) -> f64 {
        let start = Instant::now();
        fs::create_dir_all(&self.out).expect("a folder");
        let mut read = 0;
        for (spec, faces) in &self.recorded {
            read += fs::read(spec).expect("a spec").len();
            for (name, bytes) in faces {
                let mut file = tempfile::NamedTempFile::new_in(&self.out).expect("a file");
                file.write_all(bytes).expect("bytes");
                file.persist(self.out.join(name)).expect("a name");
            }
        }
        assert!(read > 0);
        start.elapsed().as_secs_f64()
    }

    /// Runs the script; seconds, by its own clock, which starts when its libraries and its data are loaded.
    fn script(&self, python: &str) -> Option<f64> {
        let script = Path::new(HERE).join("benches/plain.py");
        let output = Command::new(python).arg(script).args([&self.specs, &self.sheets, &self.out]).output().ok()?;
        let each: f64 = String::from_utf8_lossy(&output.stdout).trim().parse().ok()?;
        Some(each * self.count as f64 / 1e6)
    }

    /// The three subjects in turn, each into a new folder.
    fn writing(&self) {
        let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
        let mut subjects: [(&str, Vec<f64>); 4] =
            ["floor", "interpass, one core", "interpass, all cores", "plain script"].map(|name| (name, Vec::new()));
        for _ in 0..ROUNDS {
            for (number, (_, seconds)) in subjects.iter_mut().enumerate() {
                let _ = fs::remove_dir_all(&self.out);
                let taken = match number {
                    0 => Some(self.floor()),
                    1 => Some(self.program(&self.out, &[("RAYON_NUM_THREADS", "1")])),
                    2 => Some(self.program(&self.out, &[])),
                    _ => self.script(&python),
                };
                if let Some(taken) = taken {
                    // The script writes the three faces alone.
                    let all = self.recorded.iter().map(|(_, files)| files.len()).sum();
                    assert_eq!(files(&self.out).len(), if number == 3 { 3 * self.count } else { all });
                    seconds.push(taken);
                }
                if number == 3 && taken.is_some() {
                    self.script_bytes();
                }
            }
        }
        let floor = subjects[0].1.clone();
        println!("{:<24}{:>12}{:>10}   of each round", "write", "us a spec", "x floor");
        for (name, seconds) in subjects.iter().filter(|(_, seconds)| !seconds.is_empty()) {
            let ratios: Vec<f64> = seconds.iter().zip(&floor).map(|(taken, floor)| taken / floor).collect();
            let each = median(seconds) / self.count as f64 * 1e6;
            println!("{name:<24}{each:>12.1}{:>10.2}   {:.2} to {:.2}", median(&ratios), least(&ratios), most(&ratios));
        }
        if subjects[3].1.is_empty() {
            println!("plain script: no Python with jinja2 and markdown-it-py; name one by PYTHON");
        }
    }

    /// Says how much the script wrote, as its documents are the same but its templates are not.
    fn script_bytes(&self) {
        use std::sync::Once;
        static SAID: Once = Once::new();
        let bytes: u64 =
            files(&self.out).iter().filter_map(|path| fs::metadata(path).ok()).map(|data| data.len()).sum();
        SAID.call_once(|| println!("the script writes {:.2} times the bytes", bytes as f64 / self.bytes as f64));
    }

    /// The program where nothing has changed, and where nothing is written.
    fn other(&self) {
        let (mut unchanged, mut check) = (Vec::new(), Vec::new());
        for _ in 0..ROUNDS {
            unchanged.push(self.program(&self.sheets, &[("RAYON_NUM_THREADS", "1")]));
            let mut command = Command::new(PROGRAM);
            command.arg("check").arg(&self.specs).arg("--kit").arg(&self.kit).env("RAYON_NUM_THREADS", "1");
            check.push(timed(&mut command));
        }
        for (name, seconds) in [("nothing changed", unchanged), ("check", check)] {
            println!("{name:<24}{:>12.1}", median(&seconds) / self.count as f64 * 1e6);
        }
    }
}

/// What one answer costs from the start of a process to its end, beside a program that does nothing but say its version.
fn starting() {
    let subjects: [(&str, &[&str]); 2] = [
        ("settings, a process", &["settings", "--metal", "A356.0", "--temper", "T6", "--thickness", "8mm"]),
        ("version, a process", &["--version"]),
    ];
    let mut taken = [Vec::new(), Vec::new()];
    for _ in 0..50 {
        for ((_, arguments), taken) in subjects.iter().zip(&mut taken) {
            taken.push(timed(Command::new(PROGRAM).args(*arguments)));
        }
    }
    for ((name, _), taken) in subjects.iter().zip(&taken) {
        println!("{name:<24}{:>9.2} ms", median(taken) * 1e3);
    }
}

/// Names and texts of the demo specs that are not refused.
fn demos() -> Vec<(String, String)> {
    let named = |path: PathBuf| {
        let name = path.file_name()?.to_str()?.to_owned();
        name.ends_with(".repair.toml").then_some(())?;
        Some((name, fs::read_to_string(&path).ok()?))
    };
    files(&Path::new(HERE).join("specs")).into_iter().filter_map(named).collect()
}

/// The files of a folder, by name.
fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path());
    let mut files: Vec<PathBuf> = entries.filter(|path| path.is_file()).collect();
    files.sort();
    files
}

/// Seconds that a command takes; it has to succeed.
fn timed(command: &mut Command) -> f64 {
    let start = Instant::now();
    let status = command.stdout(Stdio::null()).stderr(Stdio::null()).status().expect("a process");
    assert!(status.success(), "{command:?}: {status}");
    start.elapsed().as_secs_f64()
}

fn median(numbers: &[f64]) -> f64 {
    let mut sorted = numbers.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(f64::NAN)
}

fn least(numbers: &[f64]) -> f64 {
    numbers.iter().copied().fold(f64::INFINITY, f64::min)
}

fn most(numbers: &[f64]) -> f64 {
    numbers.iter().copied().fold(0.0, f64::max)
}
