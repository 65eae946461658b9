//! `models-fetch.sh` with a stand-in for pip that serves small wheels made here: what it does when all goes well,
//! when a download fails or is cut off, when it is run again. Only the last test looks at the real models.

use std::ffi::OsStr;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use sha2::{Digest, Sha256};
use tempfile::TempDir;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");
const HEADING: &str = "set\tarch\tfile\tbytes\tsha256\tpackage\tversion\tplatform\twheel\twheel_bytes\twheel_sha256\tmember\tlicence\n";

/// A folder with a PATH of stand-ins, wheels to serve, a list of pins, and a models folder to fill.
struct Bench {
    folder: TempDir,
}

impl Bench {
    /// Two wheels: `alpha` with files a/one and a/two, `beta` with b/three.
    fn new() -> Self {
        let bench = Self {
            folder: tempfile::tempdir().expect("a folder"),
        };
        for folder in ["bin", "wheels"] {
            fs::create_dir(bench.path(folder)).expect("made");
        }
        // Serves wheels by the name of the package, as $FAKE tells: all, all but beta, cut off, another file, none.
        bench.program(
            "pip",
            r#"while (($# > 1)); do [[ $1 == --dest ]] && dest=$2; shift; done
package=${1%%==*}
echo "$package" >>"$BENCH/calls"
case $FAKE in
none) echo "ERROR: no route to the registry" >&2; exit 1 ;;
no-$package) echo "ERROR: no route to the registry" >&2; exit 1 ;;
cut) head -c 50 "$BENCH/wheels/$package-1.whl" >"$dest/$package-1.whl" ;;
other) cp "$BENCH/wheels/$package-1.whl" "$dest/$package-2.whl" ;;
*) cp "$BENCH/wheels/$package-1.whl" "$dest/" ;;
esac"#,
        );
        let files = [
            ("alpha", "a/one", "one\n"),
            ("alpha", "a/two", "two two\n"),
            ("beta", "b/three", "three\n"),
        ];
        for package in ["alpha", "beta"] {
            let members: Vec<_> = files
                .iter()
                .filter(|file| file.0 == package)
                .map(|&(_, member, text)| (member, text))
                .collect();
            zip(&bench.path(&format!("wheels/{package}-1.whl")), &members);
        }
        bench.pin(&files);
        bench
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn program(&self, name: &str, body: &str) {
        let path = self.path("bin").join(name);
        fs::write(&path, format!("#!/usr/bin/env bash\n{body}\n")).expect("written");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o755)).expect("set");
    }

    /// Writes the list of pins for files that ought to hold the given texts.
    fn pin(&self, files: &[(&str, &str, &str)]) {
        let mut pins = format!("# A remark.\n{HEADING}");
        // A row for each processor, so that the list fits the machine that the test runs on.
        for arch in ["x86_64", "aarch64"] {
            for (package, member, text) in files {
                let wheel = fs::read(self.path(&format!("wheels/{package}-1.whl"))).expect("read");
                pins += &format!(
                    "base\t{arch}\t{member}\t{}\t{}\t{package}\t1\tany\t{package}-1.whl\t{}\t{}\t{member}\tMIT\n",
                    text.len(),
                    sha256(text.as_bytes()),
                    wheel.len(),
                    sha256(&wheel),
                );
            }
        }
        fs::write(self.path("pins.tsv"), pins).expect("written");
    }

    fn command(&self, fake: &str, arguments: &[&str]) -> Command {
        let path = format!(
            "{}:{}",
            self.path("bin").display(),
            std::env::var("PATH").unwrap_or_default()
        );
        let mut command = Command::new("bash");
        command
            .arg(Path::new(ROOT).join("models-fetch.sh"))
            .args([OsStr::new("--models"), self.path("models").as_os_str()])
            .args([OsStr::new("--pins"), self.path("pins.tsv").as_os_str()])
            .args(arguments)
            .env("PATH", path)
            .env("BENCH", self.folder.path())
            .env("FAKE", fake);
        command
    }

    fn run(&self, fake: &str, arguments: &[&str]) -> Ran {
        let mut all = vec!["--no-system"];
        all.extend(arguments);
        Ran::from(self.command(fake, &all).output().expect("bash runs"))
    }

    /// How often each package was asked of pip since the last look.
    fn calls(&self) -> Vec<String> {
        let text = fs::read_to_string(self.path("calls")).unwrap_or_default();
        let _ = fs::remove_file(self.path("calls"));
        text.lines().map(str::to_owned).collect()
    }

    /// Files in the models folder and what they hold; downloads in progress are told by their folder's name.
    fn installed(&self) -> Vec<(String, String)> {
        let mut found = Vec::new();
        let mut folders = vec![self.path("models")];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
                if entry.path().is_dir() {
                    folders.push(entry.path());
                } else {
                    let path = entry.path();
                    let name = path
                        .strip_prefix(self.path("models"))
                        .expect("inside")
                        .display()
                        .to_string();
                    found.push((
                        name,
                        fs::read_to_string(&path).unwrap_or_else(|_| "bytes".into()),
                    ));
                }
            }
        }
        found.retain(|(name, _)| {
            !matches!(
                name.as_str(),
                "MANIFEST.tsv" | ".downloads/lock" | ".downloads/pip.log"
            )
        });
        found.sort();
        found
    }

    fn all() -> Vec<(String, String)> {
        [
            ("a/one", "one\n"),
            ("a/two", "two two\n"),
            ("b/three", "three\n"),
        ]
        .map(|(name, text)| (name.into(), text.into()))
        .to_vec()
    }
}

struct Ran {
    code: Option<i32>,
    out: String,
    err: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code(),
            out: String::from_utf8_lossy(&output.stdout).into_owned(),
            err: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }
}

impl Ran {
    #[track_caller]
    fn ends(&self, code: i32, in_err: &[&str]) {
        assert_eq!(self.code, Some(code), "{}\n{}", self.out, self.err);
        for text in in_err {
            assert!(self.err.contains(text), "no {text:?} in:\n{}", self.err);
        }
    }
}

/// Says that a test is skipped; with SULCUS_TEST_ALL set nothing may be.
fn skip(told: &str) {
    assert!(std::env::var_os("SULCUS_TEST_ALL").is_none(), "{told}");
    println!("SKIPPED {told}");
}

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Makes a ZIP archive, as a wheel is one, with the Python that the script needs too.
fn zip(path: &Path, members: &[(&str, &str)]) {
    let mut python = Command::new("python3");
    python.args([
        "-c",
        "import sys, zipfile\nwith zipfile.ZipFile(sys.argv[1], 'w') as z:\n  for n, t in zip(sys.argv[2::2], sys.argv[3::2]): z.writestr(n, t)",
    ]);
    python.arg(path);
    for (name, text) in members {
        python.args([name, text]);
    }
    assert!(python.status().expect("python3 runs").success());
}

#[test]
fn fetches_once_and_does_nothing_when_run_again() {
    let bench = Bench::new();
    bench.run("all", &[]).ends(0, &[]);
    assert_eq!(bench.installed(), Bench::all());
    assert_eq!(bench.calls(), ["alpha", "beta"]);
    let manifest = fs::read_to_string(bench.path("models/MANIFEST.tsv")).expect("read");
    let one = format!("a/one\t4\t{}\tPyPI alpha\t1\tMIT", sha256(b"one\n"));
    assert!(manifest.lines().any(|line| line == one), "{manifest}");
    assert_eq!(manifest.lines().count(), 4, "{manifest}");

    let again = bench.run("none", &[]);
    again.ends(0, &[]);
    assert!(
        again.out.contains("alpha 1: there and checked"),
        "{}",
        again.out
    );
    assert_eq!(bench.calls(), Vec::<String>::new());
    assert_eq!(bench.installed(), Bench::all());
    bench.run("none", &["--check"]).ends(0, &[]);
}

#[test]
fn a_failing_pip_is_told_and_nothing_is_half_installed() {
    let bench = Bench::new();
    bench.run("none", &[]).ends(
        1,
        &[
            "no route to the registry",
            "could not fetch alpha 1",
            "run this again",
        ],
    );
    assert_eq!(bench.installed(), []);
    bench
        .run("none", &["--check"])
        .ends(1, &["3 of 3 files", "./models-fetch.sh"]);
}

#[test]
fn a_download_that_is_cut_off_is_told_and_fetched_anew() {
    let bench = Bench::new();
    bench
        .run("cut", &[])
        .ends(1, &["alpha-1.whl is not the pinned file", "size 50 of"]);
    assert_eq!(bench.installed(), []);
    bench.run("all", &[]).ends(0, &[]);
    assert_eq!(bench.installed(), Bench::all());
    assert_eq!(bench.calls(), ["alpha", "alpha", "beta"]);
}

#[test]
fn another_version_than_the_pinned_one_is_refused() {
    let bench = Bench::new();
    bench
        .run("other", &[])
        .ends(1, &["alpha-2.whl", "where alpha-1.whl was expected"]);
    assert_eq!(bench.installed(), []);
}

#[test]
fn an_altered_file_inside_a_wheel_is_refused() {
    let bench = Bench::new();
    bench.pin(&[("alpha", "a/one", "ONE\n")]);
    bench
        .run("all", &[])
        .ends(1, &["a/one of alpha-1.whl is not the pinned file"]);
    // The wheel itself was right and is kept; nothing of it is in place.
    let names: Vec<_> = bench
        .installed()
        .into_iter()
        .map(|(name, _)| name)
        .collect();
    assert_eq!(names, [".downloads/alpha-1.whl"]);
}

#[test]
fn goes_on_where_it_was() {
    let bench = Bench::new();
    bench
        .run("no-beta", &[])
        .ends(1, &["could not fetch beta 1"]);
    assert_eq!(bench.installed(), Bench::all()[..2]);
    assert_eq!(bench.calls(), ["alpha", "beta"]);
    bench.run("all", &[]).ends(0, &[]);
    assert_eq!(bench.installed(), Bench::all());
    assert_eq!(bench.calls(), ["beta"]);
}

#[test]
fn a_kept_download_is_checked_before_it_is_used() {
    for (kept, calls) in [("whole", 1), ("cut off", 2)] {
        let bench = Bench::new();
        fs::create_dir_all(bench.path("models/.downloads")).expect("made");
        let mut wheel = fs::read(bench.path("wheels/alpha-1.whl")).expect("read");
        wheel.truncate(if kept == "whole" { wheel.len() } else { 60 });
        fs::write(bench.path("models/.downloads/alpha-1.whl"), wheel).expect("written");
        bench.run("all", &[]).ends(0, &[]);
        assert_eq!(bench.installed(), Bench::all(), "{kept}");
        assert_eq!(bench.calls().len(), calls, "{kept}");
    }
}

#[test]
fn a_damaged_file_is_named_and_mended() {
    let bench = Bench::new();
    bench.run("all", &[]).ends(0, &[]);
    fs::write(bench.path("models/a/two"), "TWO two\n").expect("written");
    fs::remove_file(bench.path("models/b/three")).expect("removed");
    let check = bench.run("none", &["--check"]);
    check.ends(1, &["2 of 3 files"]);
    assert!(
        check.out.contains("damaged: a/two\nmissing: b/three"),
        "{}",
        check.out
    );
    assert_eq!(bench.calls(), ["alpha", "beta"], "--check fetches nothing");
    bench
        .run("all", &[])
        .ends(0, &["a/two is not the pinned file"]);
    assert_eq!(bench.installed(), Bench::all());
}

#[test]
fn two_at_once_do_not_meet() {
    let bench = Bench::new();
    fs::create_dir_all(bench.path("models/.downloads")).expect("made");
    let script = bench.command("all", &["--no-system"]);
    let mut held = Command::new("flock");
    held.arg(bench.path("models/.downloads/lock"))
        .arg(script.get_program())
        .args(script.get_args())
        .envs(
            script
                .get_envs()
                .filter_map(|(name, value)| Some((name, value?))),
        );
    Ran::from(held.output().expect("flock runs")).ends(1, &["another models-fetch.sh is at work"]);
    assert_eq!(bench.installed(), []);
}

#[test]
fn a_full_disk_is_told_before_anything_is_fetched() {
    let bench = Bench::new();
    bench.program("df", "echo Filesystem; echo disk 9 9 0 100% /");
    bench
        .run("all", &[])
        .ends(1, &["has room for 0.0 KiB", "--models DIR"]);
    assert_eq!(bench.calls(), Vec::<String>::new());
}

#[test]
fn wrong_use_is_told_with_exit_code_2() {
    let bench = Bench::new();
    bench
        .run("all", &["--tset"])
        .ends(2, &["unknown option --tset", "--help"]);
    bench
        .run("all", &["--models"])
        .ends(2, &["--models needs a value"]);
    bench
        .run("all", &["--accept-unpinned"])
        .ends(2, &["--vosk-english"]);
    let help = bench.run("all", &["--help"]);
    help.ends(0, &[]);
    assert!(help.out.contains("exit codes"), "{}", help.out);
}

#[test]
fn the_english_model_is_taken_unpinned_only_where_that_is_accepted() {
    let bench = Bench::new();
    bench.program("curl", "echo called >>\"$BENCH/curled\"; exit 6");
    bench.run("all", &["--vosk-english"]).ends(
        3,
        &[
            "NOT FETCHED: English Vosk model",
            "no SHA-256 is pinned",
            "--accept-unpinned",
        ],
    );
    assert!(!bench.path("curled").exists());
    assert_eq!(bench.installed(), Bench::all());

    let both = ["--vosk-english", "--accept-unpinned"];
    bench.program(
        "curl",
        "echo 'curl: (6) Could not resolve host' >&2; exit 6",
    );
    bench.run("all", &both).ends(
        3,
        &[
            "NOT FETCHED",
            "could not be reached or refused (curl: (6) Could not resolve host)",
        ],
    );

    // What a captive portal sends.
    let send = |bench: &Bench| {
        let body = r#"while (($#)); do [[ $1 == --output ]] && cp "$BENCH/sent" "$2"; shift; done"#;
        bench.program("curl", body);
    };
    fs::write(bench.path("sent"), "<html>please log in</html>").expect("written");
    send(&bench);
    bench
        .run("all", &both)
        .ends(3, &["NOT FETCHED", "no Vosk model"]);
    assert_eq!(bench.installed(), Bench::all());

    let inside = |file: &str| format!("vosk-model-small-en-us-0.15/{file}");
    let parts = ["am/final.mdl", "graph/Gr.fst", "graph/HCLr.fst"].map(inside);
    zip(
        &bench.path("sent"),
        &parts.each_ref().map(|part| (part.as_str(), "part")),
    );
    let taken = bench.run("all", &both);
    taken.ends(0, &[]);
    let sum = sha256(&fs::read(bench.path("sent")).expect("read"));
    assert!(taken.out.contains("NOT CHECKED"), "{}", taken.out);
    assert!(taken.out.contains(&sum), "{}", taken.out);
    assert!(bench.path("models/vosk/en/graph/HCLr.fst").is_file());
    let manifest = fs::read_to_string(bench.path("models/MANIFEST.tsv")).expect("read");
    assert!(manifest.contains("vosk/en/am/final.mdl\t4\t"), "{manifest}");
    assert!(manifest.contains("(not pinned)"), "{manifest}");
    bench.run("all", &["--vosk-english"]).ends(0, &[]);
}

#[test]
fn missing_system_packages_are_installed_or_the_command_is_shown() {
    let bench = Bench::new();
    // The sound library is missing until apt-get was there; sudo needs no password.
    bench.program("pkg-config", "[[ $2 != alsa || -e $BENCH/installed ]]");
    bench.program(
        "apt-get",
        r#"echo "$*" >>"$BENCH/apt"; [[ ! -e $BENCH/broken ]] || { echo "E: no such luck" >&2; exit 100; }
[[ $1 != install ]] || touch "$BENCH/installed""#,
    );
    bench.program("sudo", r#"shift; exec "$@""#);
    // As they may be missing on this machine, and are not what is tested.
    for present in ["cc", "espeak-ng"] {
        bench.program(present, "true");
    }
    fs::write(bench.path("broken"), "").expect("written");
    Ran::from(bench.command("all", &[]).output().expect("runs")).ends(
        1,
        &[
            "E: no such luck",
            "could not install libasound2-dev",
            "--no-system",
        ],
    );
    assert_eq!(bench.installed(), []);

    fs::remove_file(bench.path("broken")).expect("removed");
    fs::remove_file(bench.path("apt")).expect("removed");
    let ran = Ran::from(bench.command("all", &[]).output().expect("runs"));
    ran.ends(0, &[]);
    let apt = fs::read_to_string(bench.path("apt")).expect("read");
    assert!(
        apt.starts_with("update\ninstall -y --no-install-recommends"),
        "{apt}"
    );
    assert!(apt.contains(" libasound2-dev"), "{apt}");
    assert!(ran.out.contains("installing libasound2-dev"), "{}", ran.out);

    // Run again: nothing to install, apt-get is not asked.
    fs::remove_file(bench.path("apt")).expect("removed");
    let again = Ran::from(bench.command("all", &[]).output().expect("runs"));
    again.ends(0, &[]);
    assert!(
        again.out.contains("system packages: all there"),
        "{}",
        again.out
    );
    assert!(!bench.path("apt").exists());
}

#[test]
fn another_program_that_installs_is_waited_for_and_told() {
    let bench = Bench::new();
    bench.program("pkg-config", "[[ $2 != alsa || -e $BENCH/installed ]]");
    // The lock is held for the first two calls, or for ever.
    bench.program(
        "apt-get",
        r#"echo "$*" >>"$BENCH/apt"
if [[ -e $BENCH/busy || $(wc -l <"$BENCH/apt") -le 2 ]]; then
    echo "E: Could not get lock /var/lib/apt/lists/lock. It is held by process 42 (apt-get)" >&2
    exit 100
fi
[[ $1 != install ]] || touch "$BENCH/installed""#,
    );
    bench.program("sudo", r#"shift; exec "$@""#);
    for present in ["cc", "espeak-ng", "sleep"] {
        bench.program(present, "true");
    }
    let ran = Ran::from(bench.command("all", &[]).output().expect("runs"));
    ran.ends(0, &[]);
    assert_eq!(
        ran.out.matches("another program is installing").count(),
        1,
        "told once: {}",
        ran.out
    );

    fs::remove_file(bench.path("installed")).expect("removed");
    fs::write(bench.path("busy"), "").expect("written");
    let mut command = bench.command("all", &[]);
    command.env("SULCUS_APT_WAIT_S", "60");
    Ran::from(command.output().expect("runs")).ends(
        1,
        &[
            "has been installing packages for 1 minutes",
            "run this again",
        ],
    );

    let mut command = bench.command("all", &[]);
    command.env("SULCUS_APT_WAIT_S", "soon");
    Ran::from(command.output().expect("runs")).ends(2, &["SULCUS_APT_WAIT_S", "soon"]);
}

#[test]
fn without_the_right_to_install_the_command_is_shown() {
    let bench = Bench::new();
    bench.program("pkg-config", "[[ $2 != alsa ]]");
    bench.program("apt-get", r#"echo "$*" >>"$BENCH/apt""#);
    bench.program("sudo", "echo 'sudo: a password is required' >&2; exit 1");
    for present in ["cc", "espeak-ng"] {
        bench.program(present, "true");
    }
    fs::create_dir(bench.path("models")).expect("made");
    let script = bench.command("all", &[]);
    // Root needs no password: then run as nobody, from a copy that nobody may read.
    let is_root = Command::new("id")
        .arg("-u")
        .output()
        .is_ok_and(|id| id.stdout == b"0\n");
    let mut command = if is_root {
        for folder in ["", "bin", "wheels", "models"] {
            fs::set_permissions(bench.path(folder), fs::Permissions::from_mode(0o777))
                .expect("set");
        }
        let copy = bench.path("models-fetch.sh");
        fs::copy(Path::new(ROOT).join("models-fetch.sh"), &copy).expect("copied");
        let mut command = Command::new("setpriv");
        command.args(["--reuid=65534", "--regid=65534", "--clear-groups", "bash"]);
        command.arg(copy).args(script.get_args().skip(1));
        command
    } else {
        let mut command = Command::new("bash");
        command.args(script.get_args());
        command
    };
    command.envs(
        script
            .get_envs()
            .filter_map(|(name, value)| Some((name, value?))),
    );
    Ran::from(command.output().expect("runs")).ends(
        1,
        &[
            "needs a password",
            "run: sudo apt-get update && sudo apt-get install -y",
            "libasound2-dev",
        ],
    );
    assert!(
        !bench.path("apt").exists(),
        "apt-get was called without the right to"
    );
    assert_eq!(bench.calls(), Vec::<String>::new());
}

#[test]
fn the_real_pins_are_whole() {
    let pins = fs::read_to_string(Path::new(ROOT).join("models.pins.tsv")).expect("read");
    let mut rows = pins.lines().filter(|line| !line.starts_with('#'));
    assert_eq!(
        rows.next().map(|line| format!("{line}\n")).as_deref(),
        Some(HEADING)
    );
    let mut files = std::collections::HashSet::new();
    for row in rows {
        let cells: Vec<_> = row.split('\t').collect();
        assert_eq!(cells.len(), 13, "{row}");
        assert!(matches!(cells[0], "base" | "tests"), "{row}");
        assert!(matches!(cells[1], "any" | "x86_64" | "aarch64"), "{row}");
        for sum in [cells[4], cells[10]] {
            let is_hex = |c: char| c.is_ascii_digit() || ('a'..='f').contains(&c);
            assert!(sum.len() == 64 && sum.chars().all(is_hex), "{row}");
        }
        for size in [cells[3], cells[9]] {
            assert!(size.parse::<u64>().is_ok_and(|bytes| bytes > 0), "{row}");
        }
        assert!(files.insert((cells[1], cells[2])), "twice: {row}");
    }
    assert!(files.len() >= 9);
}

#[test]
fn the_scripts_are_clean() {
    if Command::new("shellcheck")
        .arg("--version")
        .output()
        .is_err()
    {
        skip("the_scripts_are_clean: shellcheck is not installed");
        return;
    }
    let scripts = [
        "models-fetch.sh",
        ".ci/run",
        "packaging/make-deb",
        "packaging/sulcus-models",
        "packaging/sulcus-kiosk",
        "tests/package/clean-root",
    ]
    .map(|script| Path::new(ROOT).join(script));
    let output = Command::new("shellcheck")
        .args(scripts)
        .output()
        .expect("runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stdout)
    );
}

#[test]
fn the_real_models_are_the_pinned_ones() {
    let models = Path::new(ROOT).join("models");
    if !models.is_dir() {
        skip("the_real_models_are_the_pinned_ones: run ./models-fetch.sh");
        return;
    }
    let script = Path::new(ROOT).join("models-fetch.sh");
    let output = Command::new("bash")
        .arg(script)
        .arg("--check")
        .output()
        .expect("runs");
    Ran::from(output).ends(0, &[]);
}
