//! The rules of the house that a machine can check: format, lints, which module may know which, and the text of all
//! files. Behaviour is tested elsewhere.
//!
//! Forbidden words are put together with `concat!`, so that this file passes its own rules.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

use regex::Regex;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// A member of the workspace. That it knows no other than those named in its `Cargo.toml`, the compiler sees; the
/// order of the modules within it, this test.
struct Member {
    /// Folder of its sources, relative to the root.
    src: &'static str,
    /// The way of the data. A module may use those before it.
    flow: &'static [&'static str],
    /// Branches at the end of the flow: none may use another, but for the pairs in `branch_uses`.
    branches: &'static [&'static str],
    branch_uses: &'static [(&'static str, &'static str)],
    /// Modules that join the others, and so may use all; nothing of the flow may use them.
    joints: &'static [&'static str],
}

const SPEECH: Member = Member {
    src: "crates/sulcus-speech/src",
    flow: &["audio", "speech"],
    branches: &[],
    branch_uses: &[],
    joints: &[],
};

const GRAMMAR: Member = Member {
    src: "crates/sulcus-grammar/src",
    flow: &["terms", "grammar"],
    branches: &[],
    branch_uses: &[],
    joints: &[],
};

const CORE: Member = Member {
    src: "crates/sulcus-core/src",
    flow: &["clock", "record", "session", "plan", "report", "export"],
    branches: &["plan", "report", "export"],
    // What is printed is the plan too.
    branch_uses: &[("report", "plan")],
    joints: &[],
};

const PROGRAM: Member = Member {
    src: "src",
    flow: &[
        "terminal", "files", "leisure", "journal", "voice", "web", "outbox", "archive", "score",
    ],
    branches: &["voice", "web", "outbox", "archive"],
    // The archive is one more place that the outbox sends to, and its server keeps house as the page's does.
    branch_uses: &[("archive", "outbox"), ("archive", "web")],
    joints: &["main", "cli", "commands", "config", "app", "sim"],
};

const MEMBERS: [&Member; 4] = [&SPEECH, &GRAMMAR, &CORE, &PROGRAM];

/// A file of the repository with its text.
struct Source {
    /// Relative to the root.
    path: String,
    text: String,
}

impl Source {
    fn is_rust(&self) -> bool {
        self.path.ends_with(".rs")
    }

    /// The module right under the member's `src` that the file belongs to.
    fn module(&self, member: &Member) -> Option<&str> {
        let inside = self.path.strip_prefix(member.src)?.strip_prefix('/')?;
        let top = inside.split('/').next()?;
        Some(top.strip_suffix(".rs").unwrap_or(top))
    }

    fn lines(&self) -> impl Iterator<Item = (String, &str)> {
        let place = |at: usize| format!("{}:{}", self.path, at + 1);
        self.text
            .lines()
            .enumerate()
            .map(move |(at, line)| (place(at), line))
    }
}

/// All text files that git keeps or would keep, so that a new file is checked before its first commit.
fn sources() -> Vec<Source> {
    let output = Command::new("git")
        .args([
            "ls-files",
            "--cached",
            "--others",
            "--exclude-standard",
            "-z",
        ])
        .current_dir(ROOT)
        .output()
        .expect("git runs: the text rules are checked on the files that it keeps");
    assert!(
        output.status.success(),
        "git lists the files of {ROOT}; is it a checkout?"
    );
    let names = String::from_utf8(output.stdout).expect("file names are UTF-8");
    let sources: Vec<_> = names
        .split('\0')
        .filter(|name| !name.is_empty())
        .filter_map(|name| {
            // Pictures, sound and deleted files have no text.
            let text = std::fs::read_to_string(Path::new(ROOT).join(name)).ok()?;
            let path = name.to_owned();
            Some(Source { path, text })
        })
        .collect();
    assert!(sources.iter().any(|source| source.path == "src/lib.rs"));
    sources
}

/// Rust code of a line, without a comment at its end or the whole of a comment line.
fn code(line: &str) -> &str {
    line.split("//").next().unwrap_or(line)
}

#[track_caller]
fn assert_none(rule: &str, faults: Vec<String>) {
    assert!(faults.is_empty(), "{rule}:\n  {}", faults.join("\n  "));
}

/// Runs a cargo command on the project. Cargo holds no lock while tests run, so there is nothing to wait for.
fn cargo(arguments: &[&str]) {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let version = Command::new(&cargo)
        .args([arguments[0], "--version"])
        .output();
    if !version.is_ok_and(|output| output.status.success()) {
        // Debian's own packages bring them apart from the compiler.
        let needed = format!(
            "cargo {} is not installed; with rustup: rustup component add rustfmt clippy",
            arguments[0]
        );
        assert!(std::env::var_os("SULCUS_TEST_ALL").is_none(), "{needed}");
        println!("SKIPPED: {needed}");
        return;
    }
    let output = Command::new(&cargo)
        .args(arguments)
        .current_dir(ROOT)
        .output()
        .expect("cargo runs");
    let told = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "cargo {} fails:\n{told}",
        arguments.join(" ")
    );
}

#[test]
fn code_is_formatted() {
    cargo(&["fmt", "--all", "--check"]);
}

#[test]
fn clippy_has_nothing_to_say() {
    cargo(&[
        "clippy",
        "--locked",
        "--quiet",
        "--workspace",
        "--all-targets",
        "--",
        "-D",
        "warnings",
    ]);
}

/// Modules in the order of the member's `lib.rs`.
fn modules(member: &Member) -> Vec<String> {
    let path = Path::new(ROOT).join(member.src).join("lib.rs");
    let lib = std::fs::read_to_string(&path).expect("lib.rs is read");
    let declaration = Regex::new(r"(?m)^(?:pub )?mod (\w+);").expect("a pattern");
    declaration
        .captures_iter(&lib)
        .map(|found| found[1].to_owned())
        .collect()
}

#[test]
fn modules_are_listed_in_the_order_of_the_flow() {
    for member in MEMBERS {
        let modules = modules(member);
        let flow: Vec<_> = modules
            .iter()
            .filter(|m| member.flow.contains(&m.as_str()))
            .collect();
        assert_eq!(
            flow,
            member.flow.iter().collect::<Vec<_>>(),
            "{}/lib.rs lists the modules in the order of the data",
            member.src
        );
        let unknown: Vec<_> = modules
            .iter()
            .filter(|m| !flow.contains(m) && !member.joints.contains(&m.as_str()))
            .cloned()
            .collect();
        assert_none(
            "a new module is given its place here, in the flow or the joints of its member",
            unknown,
        );
    }
}

impl Member {
    /// Whether a module of the flow may use another.
    fn may_use(&self, from: &str, to: &str) -> bool {
        let place = |module: &str| self.flow.iter().position(|m| *m == module);
        if from == to || self.joints.contains(&from) {
            return true;
        }
        if self.branches.contains(&from) && self.branches.contains(&to) {
            return self.branch_uses.contains(&(from, to));
        }
        matches!((place(from), place(to)), (Some(from), Some(to)) if to < from)
    }
}

/// The modules that code names with `crate::`, and `{` where several are named at once.
fn uses(text: &str) -> Vec<(usize, String)> {
    let name = Regex::new(r"\bcrate::(\w+|\{)").expect("a pattern");
    text.lines()
        .enumerate()
        .flat_map(|(at, line)| {
            name.captures_iter(code(line))
                .map(|found| (at + 1, found[1].to_owned()))
                .collect::<Vec<_>>()
        })
        .collect()
}

#[test]
fn modules_use_only_those_before_them() {
    let sources = sources();
    let mut faults = Vec::new();
    for member in MEMBERS {
        let modules: BTreeSet<_> = modules(member).into_iter().collect();
        for source in sources.iter().filter(|source| source.is_rust()) {
            let Some(module) = source.module(member) else {
                continue;
            };
            if member.joints.contains(&module) || module == "lib" {
                continue;
            }
            for (line, used) in uses(&source.text) {
                let place = format!("{}:{line}", source.path);
                if used == "{" {
                    faults.push(format!(
                        "{place}: one `use` for each module, so that this rule sees it"
                    ));
                } else if modules.contains(&used) && !member.may_use(module, &used) {
                    faults.push(format!("{place}: {module} may not use {used}"));
                }
            }
        }
    }
    assert_none(
        "a module knows those before it in the flow, never those after it",
        faults,
    );
}

#[test]
fn the_import_rule_can_fail() {
    for (member, from, to, allowed) in [
        (&SPEECH, "speech", "audio", true),
        (&SPEECH, "audio", "speech", false),
        (&SPEECH, "speech", "speech", true),
        (&CORE, "session", "record", true),
        (&CORE, "record", "session", false),
        (&CORE, "export", "report", false),
        (&CORE, "report", "plan", true),
        (&PROGRAM, "voice", "config", false),
        (&PROGRAM, "web", "voice", false),
        (&PROGRAM, "outbox", "journal", true),
        (&PROGRAM, "app", "web", true),
    ] {
        assert_eq!(member.may_use(from, to), allowed, "{from} uses {to}");
    }
    let text =
        "use crate::audio::Frame;\nlet x = crate::speech::y(); // crate::web\nuse crate::{terms};";
    let found: Vec<_> = uses(text)
        .into_iter()
        .map(|(line, module)| format!("{line} {module}"))
        .collect();
    assert_eq!(found, ["1 audio", "2 speech", "3 {"]);
}

#[test]
fn each_source_file_says_what_it_is_for() {
    let faults = sources()
        .iter()
        .filter(|source| source.is_rust())
        .filter(|source| !source.text.starts_with("//! "))
        .map(|source| source.path.clone())
        .collect();
    assert_none("a Rust file opens with //! and what it is for", faults);
}

/// Files of a member that no `mod` names: the compiler never sees them, and their tests never run.
fn unnamed(sources: &[Source]) -> Vec<String> {
    let is_named = |path: &Path| {
        let (Some(folder), Some(stem)) = (path.parent(), path.file_stem()) else {
            return false;
        };
        let (folder, name) = match stem.to_str() {
            Some("mod") => (folder.parent(), folder.file_name()),
            _ => (Some(folder), Some(stem)),
        };
        let (Some(folder), Some(name)) = (folder, name.and_then(|name| name.to_str())) else {
            return false;
        };
        let parents = [
            folder.join("mod.rs"),
            folder.join("lib.rs"),
            folder.join("main.rs"),
            folder.with_extension("rs"),
        ];
        sources
            .iter()
            .filter(|source| {
                parents
                    .iter()
                    .any(|parent| parent == Path::new(&source.path))
            })
            .flat_map(Source::lines)
            .any(|(_, line)| code(line).trim_end().ends_with(&format!("mod {name};")))
    };
    let tests = ["tests/house", "tests/live", "tests/program", "tests/sound"];
    let is_of_a_member = |path: &str| {
        let mut folders = MEMBERS.iter().map(|member| member.src).chain(tests);
        folders.any(|folder| Path::new(path).starts_with(folder))
    };
    sources
        .iter()
        .filter(|source| source.is_rust() && is_of_a_member(&source.path))
        .filter(|source| {
            let path = Path::new(&source.path);
            let roots = ["lib.rs", "main.rs"];
            !roots.iter().any(|root| path.ends_with(root)) && !is_named(path)
        })
        .map(|source| source.path.clone())
        .collect()
}

#[test]
fn each_source_file_is_compiled() {
    let mut all = sources();
    assert_none("a Rust file is named by a mod of its folder", unnamed(&all));
    let left = concat!("src/app/", "left_behind.rs");
    all.push(Source {
        path: left.to_owned(),
        text: String::new(),
    });
    assert_eq!(unnamed(&all), [left], "the rule can fail");
}

#[test]
fn text_is_clean() {
    let mut faults = Vec::new();
    let todo = Regex::new(concat!(r"\bTO", r"DO\b")).expect("a pattern");
    let todo_with_text = Regex::new(concat!(r"\bTO", r"DO: \S+ \S+")).expect("a pattern");
    for source in &sources() {
        if !source.text.is_empty() && !source.text.ends_with('\n') {
            faults.push(format!(
                "{}: no line end at the end of the file",
                source.path
            ));
        }
        for (place, line) in source.lines() {
            // A table may end in an empty cell.
            let is_table = source.path.ends_with(".tsv");
            if line.ends_with([' ', '\r']) || (line.ends_with('\t') && !is_table) {
                faults.push(format!("{place}: space at the end of the line"));
            }
            if source.is_rust() && line.starts_with('\t') {
                faults.push(format!("{place}: tab"));
            }
            if todo.is_match(line) && !todo_with_text.is_match(line) {
                faults.push(format!(
                    "{place}: says that something is to do, but not what"
                ));
            }
        }
    }
    assert_none("text is clean", faults);
}

#[test]
fn nothing_is_left_from_writing() {
    let leftovers = [
        concat!("dbg", "!("),
        concat!("to", "do!("),
        concat!("unimple", "mented!("),
    ];
    let mut faults = Vec::new();
    for source in sources().iter().filter(|source| source.is_rust()) {
        for (place, line) in source.lines() {
            let found = leftovers
                .iter()
                .filter(|leftover| code(line).contains(*leftover));
            faults.extend(found.map(|leftover| format!("{place}: {leftover}")));
        }
    }
    assert_none("nothing is left from writing", faults);
}

/// `clippy` checks it where these lines stand; they keep tests out of it.
#[test]
fn unwrap_is_refused_outside_tests() {
    let line = "#![cfg_attr(not(test), deny(clippy::unwrap_used))]";
    for path in [
        "src/lib.rs",
        "src/main.rs",
        "crates/sulcus-core/src/lib.rs",
        "crates/sulcus-grammar/src/lib.rs",
        "crates/sulcus-speech/src/lib.rs",
    ] {
        let text = std::fs::read_to_string(Path::new(ROOT).join(path)).expect("read");
        assert!(
            text.lines().any(|found| found == line),
            "{path} has the line {line}"
        );
    }
}

#[test]
fn no_file_tells_where_it_was_written() {
    // Folders of one machine, and hosts that the ordinary clients know by themselves.
    let machine = Regex::new(concat!(
        r#"(?:^|[\s"'`(=:,])/(?:wo"#,
        r#"rk|ro"#,
        r#"ot|ho"#,
        r#"me|tm"#,
        r#"p)/"#
    ));
    let hosts = Regex::new(concat!(
        r"(?i)\b(?:py",
        r"pi\.org|python",
        r"hosted\.org|crat",
        r"es\.io\b|npm",
        r"js\.(?:com|org)|deb\.deb",
        r"ian\.org)"
    ));
    let tracker =
        Regex::new(concat!(r"(?i)\b(?:iss", r"ue|tick", r"et) #?\d+\b")).expect("a pattern");
    let (machine, hosts) = (machine.expect("a pattern"), hosts.expect("a pattern"));
    assert!(machine.is_match(concat!("see /wo", "rk/x")) && !machine.is_match("src/work/x"));
    let mut faults = Vec::new();
    // Cargo writes the names of its registry into the lock file itself.
    for source in sources()
        .iter()
        .filter(|source| source.path != "Cargo.lock")
    {
        for (place, line) in source.lines() {
            let found = [&machine, &hosts, &tracker]
                .into_iter()
                .find_map(|pattern| pattern.find(line));
            faults.extend(found.map(|found| format!("{place}: {}", found.as_str().trim())));
        }
    }
    assert_none(
        "no path of a machine, no host of a registry, no number of a task",
        faults,
    );
}

#[test]
fn files_that_are_named_exist() {
    let name = Regex::new(
        r#"(?:^|[\s"'`(])((?:\.\./)*(?:grammar|src|crates|tests|docs|benches|bench|audio-fixtures|\.ci)/[\w./-]*\w\.\w+)"#,
    )
    .expect("a pattern");
    let mut faults = Vec::new();
    for source in &sources() {
        if !(source.is_rust() || source.path.ends_with(".md") || source.path.ends_with(".sh")) {
            continue;
        }
        for (place, line) in source.lines() {
            for found in name.captures_iter(line) {
                let named = &found[1];
                // A name in capitals stands for any; one that climbs is relative to its own file, as in include_str!.
                let is_pattern = named.split(['/', '.']).any(|part| {
                    part.len() > 1 && part.chars().all(|c| c.is_ascii_uppercase() || c == '_')
                });
                let own_folder = Path::new(&source.path)
                    .parent()
                    .map(PathBuf::from)
                    .unwrap_or_default();
                // A member names its own files from its own folder.
                let own_member = source.path.match_indices('/').nth(1).map_or("", |(at, _)| {
                    if source.path.starts_with("crates/") {
                        &source.path[..at]
                    } else {
                        ""
                    }
                });
                let candidates = [
                    Path::new(ROOT).join(named),
                    Path::new(ROOT).join(own_member).join(named),
                    Path::new(ROOT).join(own_folder).join(named),
                ];
                if !is_pattern && !candidates.iter().any(|path| path.exists()) {
                    faults.push(format!("{place}: {named}"));
                }
            }
        }
    }
    assert_none("a file that is named exists", faults);
}

#[test]
fn the_code_map_names_each_module() {
    let Ok(map) = std::fs::read_to_string(Path::new(ROOT).join("DEVELOPERS.md")) else {
        println!("SKIPPED the_code_map_names_each_module: there is no DEVELOPERS.md yet");
        return;
    };
    let faults = MEMBERS
        .into_iter()
        .flat_map(modules)
        .filter(|module| {
            ![
                format!("`{module}`"),
                format!("`{module}/"),
                format!("/src/{module}"),
                format!("`src/{module}"),
            ]
            .iter()
            .any(|name| map.contains(name))
        })
        .collect();
    assert_none(
        "DEVELOPERS.md names each module in its code map, as `module`",
        faults,
    );
}
