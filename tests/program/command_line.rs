//! The command line as people and scripts use it: exit codes, pipes, full disks, JSON, completions, manual pages.

use crate::program;

use std::process::{Command, Stdio};

use program::{root, run, stderr, stdout, sulcus};

/// A data folder with the invented visits in it.
fn clinic() -> tempfile::TempDir {
    let data = tempfile::tempdir().expect("a folder");
    let visits = root().join("tests/data/visits");
    let output = run(sulcus(data.path())
        .arg("import")
        .args(["dog.json", "cat.json"].map(|name| visits.join(name))));
    assert!(output.status.success(), "{}", stderr(&output));
    data
}

/// What each command line ends with: 0 done, 1 a problem was found, 2 wrong use; and a word of the message.
const ENDS: [(&str, i32, &str); 58] = [
    ("", 2, "Usage"),
    ("--help", 0, ""),
    ("--version", 0, ""),
    ("dance", 2, "dance"),
    ("visits", 0, ""),
    ("visits --json", 0, ""),
    ("visits --quiet", 0, ""),
    ("visits --date 2026", 0, ""),
    ("visits --date yesterday", 2, "2026-11"),
    ("visits --open --finished", 2, "cannot be used with"),
    ("visits --forgotten --json", 0, ""),
    ("show d06a", 0, ""),
    ("show d06a --json", 0, ""),
    ("show last", 0, ""),
    ("show zzz", 2, "four letters"),
    ("show zzzz", 1, "sulcus visits"),
    ("plan d06a", 0, ""),
    ("plan d06a --json", 0, ""),
    ("plan", 2, "VISIT"),
    ("plan d06a --clinic not-there.toml", 1, "not-there.toml"),
    ("plan d06a --minutes soon", 2, "soon"),
    ("compare d06a --with ca71", 2, "different patients"),
    ("compare d06a", 1, ""),
    ("compare d06a --tooth 999", 2, "tooth number"),
    ("compare d06a --tooth canine", 2, "108"),
    (
        "report d06a --format svg --picture tooth --tooth 999",
        2,
        "tooth number",
    ),
    ("report d06a --format svg --picture tooth", 2, "--tooth"),
    ("report d06a --format svg --owner", 2, "--owner"),
    ("report d06a --format pdf --picture before", 2, "--picture"),
    ("export d06a --format csv", 0, ""),
    ("export", 2, "which visit"),
    ("export --schema", 0, ""),
    ("export d06a --format odt", 2, "odt"),
    ("verify", 0, ""),
    ("verify --json", 0, ""),
    ("verify not-there.db", 1, "not-there.db"),
    ("finish zzzz", 1, "sulcus visits"),
    ("reopen d06a", 2, "--reason"),
    ("reopen d06a --reason=", 2, "reason"),
    ("addendum d06a", 2, ""),
    ("forget d06a --reason owner", 2, "VISIT"),
    ("push d06a --to ftp://archive.example/x", 2, "ftp"),
    ("push d06a", 2, "--to"),
    ("push d06a --to not-a-folder-here", 1, "not-a-folder-here"),
    ("import not-there.json", 1, "not-there.json"),
    ("key", 0, ""),
    ("key --trust xyz", 2, "64 digits"),
    ("browsers", 0, ""),
    ("backup", 2, "FILE"),
    ("restore not-there.db", 1, "not-there.db"),
    ("listen --species horse", 2, "horse"),
    ("replay x.wav --species dog --weight=-5", 2, "kilograms"),
    ("replay x.wav --species dog --weight=NaN", 2, "kilograms"),
    (
        "replay x.wav --species dog --born 31/05/2019",
        2,
        "2019-05-31",
    ),
    ("replay x.wav --species dog --born 2026-13", 2, "2019-05-31"),
    (
        "replay x.wav --species dog --born 2199-01",
        2,
        "after today",
    ),
    ("replay x.wav --species dog --patient=", 2, "empty"),
    ("parse --forms", 0, ""),
];

#[test]
fn each_command_line_ends_with_the_code_that_is_promised() {
    let data = clinic();
    let mut wrong = Vec::new();
    for (line, code, word) in ENDS {
        let output = run(sulcus(data.path())
            .args(line.split_whitespace())
            .current_dir(data.path()));
        let said = stderr(&output);
        if output.status.code() != Some(code) || !said.contains(word) || said.contains("panicked") {
            wrong.push(format!("sulcus {line}: {:?}, {said}", output.status.code()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_reader_that_has_read_enough_is_no_error() {
    let data = clinic();
    for line in [
        "visits",
        "show d06a",
        "export d06a --format csv",
        "parse --forms",
        "man",
        "completions bash",
    ] {
        let mut child = sulcus(data.path())
            .args(line.split_whitespace())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("starts");
        // The reader goes away before anything is read.
        drop(child.stdout.take());
        let output = child.wait_with_output().expect("ends");
        assert_eq!(output.status.code(), Some(0), "{line}: {}", stderr(&output));
        assert_eq!(stderr(&output), "", "{line}");
    }
}

#[test]
fn a_full_disk_behind_the_output_is_told() {
    let data = clinic();
    for line in [
        "visits",
        "show d06a",
        "export d06a --format csv",
        "report d06a --format html",
    ] {
        let full = std::fs::File::options()
            .write(true)
            .open("/dev/full")
            .expect("Linux");
        let output = run(sulcus(data.path())
            .args(line.split_whitespace())
            .stdout(full));
        assert_eq!(output.status.code(), Some(1), "{line}");
        assert!(
            stderr(&output).contains("output could be written"),
            "{line}: {}",
            stderr(&output)
        );
        assert!(!stderr(&output).contains("panicked"), "{line}");
    }
}

#[test]
fn nobody_at_the_standard_error_changes_nothing() {
    let data = clinic();
    let mut child = sulcus(data.path())
        .args(["export", "d06a", "--out"])
        .arg(data.path().join("dog.json"))
        .stderr(Stdio::piped())
        .spawn()
        .expect("starts");
    drop(child.stderr.take());
    assert_eq!(child.wait().expect("ends").code(), Some(0));
    assert!(data.path().join("dog.json").is_file());
}

fn json(data: &std::path::Path, line: &str) -> serde_json::Value {
    let output = run(sulcus(data).args(line.split_whitespace()));
    assert!(output.status.success(), "{line}: {}", stderr(&output));
    serde_json::from_str(&stdout(&output)).unwrap_or_else(|why| panic!("{line}: {why}"))
}

#[test]
fn lists_are_printed_as_json_for_scripts() {
    let data = clinic();
    let list = json(data.path(), "visits --json");
    let visits = list["visits"].as_array().expect("visits");
    assert_eq!(visits.len(), 2);
    let dog = visits
        .iter()
        .find(|visit| visit["patient"]["species"] == "dog")
        .expect("the dog");
    assert_eq!(dog["state"], "finished");
    assert!(dog["entry_count"].as_u64().is_some_and(|count| count > 400));
    assert_eq!(list["lost"].as_array().map(Vec::len), Some(0));
    let chart = json(data.path(), "show d06a --json");
    assert_eq!(chart, json(data.path(), "export d06a --format json"));
    let found = json(data.path(), "verify --json");
    assert_eq!(found["is_whole"], true);
    assert_eq!(found["visits"].as_array().map(Vec::len), Some(2));
    assert!(found["problems"].as_array().is_some_and(Vec::is_empty));
    let none = json(data.path(), "visits --json --patient nobody");
    assert_eq!(none["visits"].as_array().map(Vec::len), Some(0));
}

#[test]
fn verify_as_json_names_a_change() {
    let data = clinic();
    let file = data.path().join("journal.sqlite");
    assert!(file.is_file());
    let connection = rusqlite::Connection::open(&file).expect("the journal");
    connection
        .execute_batch("DROP TRIGGER entry_is_never_changed")
        .expect("dropped");
    connection
        .execute(
            "UPDATE entry SET event = replace(event, '\"dog\"', '\"cat\"') WHERE number = 1",
            [],
        )
        .expect("changed");
    drop(connection);
    let output = run(sulcus(data.path()).args(["verify", "--json"]));
    assert_eq!(output.status.code(), Some(1));
    let found: serde_json::Value = serde_json::from_str(&stdout(&output)).expect("JSON");
    assert_eq!(found["is_whole"], false);
    assert!(
        found["problems"]
            .as_array()
            .is_some_and(|problems| !problems.is_empty())
    );
}

#[test]
fn quiet_leaves_out_notes_and_nothing_else() {
    let data = clinic();
    let to = data.path().join("dog.csv");
    let write = |quiet: &[&str]| {
        let output = run(sulcus(data.path())
            .args(["export", "d06a", "--format", "csv", "--out"])
            .arg(&to)
            .args(quiet));
        assert!(output.status.success());
        stderr(&output)
    };
    assert!(write(&[]).contains("written"));
    assert_eq!(write(&["--quiet"]), "");
    let refused = run(sulcus(data.path()).args(["show", "zzzz", "--quiet"]));
    assert!(stderr(&refused).contains("zzzz"));
}

#[test]
fn each_shell_gets_its_completions() {
    let data = tempfile::tempdir().expect("a folder");
    for (shell, check) in [("bash", Some("bash")), ("zsh", None), ("fish", None)] {
        let output = run(sulcus(data.path()).args(["completions", shell]));
        assert!(output.status.success());
        let text = stdout(&output);
        for command in ["listen", "visits", "verify"] {
            assert!(text.contains(command), "{shell}: {command}");
        }
        let Some(program) = check else { continue };
        let file = data.path().join(shell);
        std::fs::write(&file, &text).expect("written");
        let script = format!(
            "source {} && COMP_WORDS=(sulcus vis) COMP_CWORD=1 && _sulcus sulcus vis sulcus && echo ${{COMPREPLY[@]}}",
            file.display()
        );
        let output = Command::new(program)
            .args(["-c", &script])
            .output()
            .expect("bash");
        assert_eq!(stdout(&output).trim(), "visits", "{}", stderr(&output));
    }
}

#[test]
fn each_command_has_its_manual_page() {
    let data = tempfile::tempdir().expect("a folder");
    let folder = data.path().join("man1");
    let output = run(sulcus(data.path()).arg("man").arg(&folder));
    assert!(output.status.success(), "{}", stderr(&output));
    let help = stdout(&run(sulcus(data.path()).arg("--help")));
    let commands: Vec<&str> = help
        .split_once("Commands:")
        .and_then(|(_, rest)| rest.split_once("Options:"))
        .map(|(list, _)| {
            list.lines()
                .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
                .filter_map(|line| line.split_whitespace().next())
                .filter(|name| *name != "help")
                .collect()
        })
        .expect("a list of commands");
    assert!(commands.len() > 20);
    for command in commands {
        let page = std::fs::read_to_string(folder.join(format!("sulcus-{command}.1")))
            .unwrap_or_else(|why| panic!("{command}: {why}"));
        assert!(page.contains(".SH SYNOPSIS"), "{command}");
    }
    assert!(folder.join("sulcus.1").is_file());
}

#[test]
fn output_for_files_has_no_colours() {
    let data = clinic();
    for line in ["visits", "show d06a", "dance"] {
        let output = run(sulcus(data.path())
            .args(line.split_whitespace())
            .env("NO_COLOR", "1"));
        assert!(
            !stdout(&output).contains('\u{1b}') && !stderr(&output).contains('\u{1b}'),
            "{line}"
        );
    }
}

#[test]
fn names_that_are_no_text_are_folders_like_any_other() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let above = tempfile::tempdir().expect("a folder");
    let folder = above.path().join(OsStr::from_bytes(b"clinic \xff"));
    let output = run(sulcus(&folder)
        .arg("import")
        .arg(root().join("tests/data/visits/dog.json")));
    assert!(output.status.success(), "{}", stderr(&output));
    assert!(stdout(&run(sulcus(&folder).arg("visits"))).contains("d06a"));
    let out = folder.join(OsStr::from_bytes(b"dog \xfe.csv"));
    let output = run(sulcus(&folder)
        .args(["export", "d06a", "--format", "csv", "--out"])
        .arg(&out));
    assert!(output.status.success(), "{}", stderr(&output));
    assert!(out.is_file());
}

/// Answers each question of a typed lesson by `answer`; returns what was printed.
fn lesson(data: &std::path::Path, answer: impl Fn(&str) -> String) -> String {
    use std::io::{BufRead, BufReader, Write};
    let mut child = sulcus(data)
        .args([
            "practise", "--person", "Nurse A", "--study", "numbers", "--mouth", "cat",
        ])
        .args(["--questions", "3", "--typed"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("starts");
    let mut input = child.stdin.take().expect("an input");
    let mut text = String::new();
    for line in BufReader::new(child.stdout.take().expect("an output")).lines() {
        let line = line.expect("text");
        if let Some(question) = line.strip_prefix("ask    ") {
            writeln!(input, "{}", answer(question)).expect("taken");
        }
        text += &line;
        text.push('\n');
    }
    assert_eq!(child.wait().expect("ends").code(), Some(0), "{text}");
    text
}

#[test]
fn teeth_are_learned_what_was_missed_comes_again_and_the_score_is_kept() {
    let data = tempfile::tempdir().expect("a folder");
    let first = lesson(data.path(), |_| "mobility two".to_owned());
    assert!(
        first.contains("0 of 3 right; 0 of 3 over all lessons; 3 teeth to learn"),
        "{first}"
    );
    let lines: Vec<&str> = first.lines().collect();
    let learned: std::collections::HashMap<&str, &str> = lines
        .windows(2)
        .filter_map(|pair| {
            let question = pair[0].strip_prefix("ask    ")?;
            Some((question, pair[1].strip_prefix("no tooth; right is ")?))
        })
        .collect();
    assert_eq!(learned.len(), 3);
    let second = lesson(data.path(), |question| learned[question].to_owned());
    assert!(
        second.contains("3 of 3 right; 3 of 6 over all lessons; 0 teeth to learn"),
        "{second}"
    );
    // Nothing of it is a visit.
    assert!(stderr(&run(sulcus(data.path()).arg("visits"))).contains("holds no visits yet"));
}
