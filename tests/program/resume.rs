//! The program is killed in the middle of a visit and goes on where it was.
//! A killed process loses nothing that it had said was saved; whether a power cut does is tested on the journal.

use crate::program;

use std::io::{BufRead, BufReader};
use std::process::Stdio;

use program::{demo, has_models, run, stdout, sulcus};

/// Plays the demo and kills the program after so many lines that say something was saved.
/// Returns the lines it had said until then.
fn play_and_kill(data: &std::path::Path, saved: usize, arguments: &[&str]) -> Vec<String> {
    let mut child = sulcus(data)
        .arg("replay")
        .arg(demo("dog.wav"))
        .args(arguments)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the built program starts");
    let mut lines = Vec::new();
    let mut left = saved;
    for line in BufReader::new(child.stdout.take().expect("piped")).lines() {
        let line = line.expect("text");
        left -= usize::from(left > 0 && line.starts_with("saved"));
        let is_answer = line.starts_with("says");
        lines.push(line);
        // The answer to what was saved is heard too.
        if left == 0 && is_answer {
            break;
        }
    }
    child.kill().expect("killed");
    child.wait().expect("ended");
    assert_eq!(left, 0, "the program ended by itself: {lines:?}");
    lines
}

#[test]
fn a_killed_visit_goes_on_at_the_same_tooth() {
    if !has_models("going on after a kill") {
        return;
    }
    for saved in [1, 2, 5, 9] {
        let data = tempfile::tempdir().expect("a folder");
        let lines = play_and_kill(
            data.path(),
            saved,
            &["--species", "dog", "--patient", "Pepper", "--invented"],
        );
        // Every value that was said to be saved is in the journal, and all its hashes fit.
        let said: usize = lines.iter().filter_map(|line| values(line)).sum();
        let journal = sulcus::record::Journal::open_reader(data.path()).expect("opens");
        let visit = journal.visits().expect("lists")[0].visit;
        let record = sulcus::record::Record::fold(&journal.entries(visit).expect("whole"))
            .expect("a record");
        assert!(
            record.all().count() >= said,
            "{said} values were said to be saved: {lines:?}"
        );
        drop(journal);
        let tooth = lines
            .iter()
            .rev()
            .filter_map(|line| line.strip_prefix("says   "))
            .find_map(|said| said.split(',').next()?.trim().parse::<u16>().ok())
            .expect("a tooth was said");
        let again = run(sulcus(data.path())
            .arg("replay")
            .arg(program::root().join("tests/data/sound/slow_stereo_24_bit.wav")));
        let said = stdout(&again);
        assert!(
            said.contains("Visit goes on") && said.contains(&tooth.to_string()),
            "killed after {saved}: {said}"
        );
        assert_eq!(visits(data.path()), 1, "the same visit goes on");
    }
}

/// "saved  3 entries, 2 values" says 2.
fn values(line: &str) -> Option<usize> {
    line.strip_prefix("saved")?
        .split(", ")
        .nth(1)?
        .split(' ')
        .next()?
        .parse()
        .ok()
}

fn visits(data: &std::path::Path) -> usize {
    let list = run(sulcus(data).args(["visits"]));
    stdout(&list).matches("Pepper").count()
}
