//! The first hour of a new clinic: the questions as they are typed, left and taken up again, and the clinic file.

use std::io::Write;
use std::path::Path;
use std::process::{Output, Stdio};

use crate::program::{stderr, stdout, sulcus};

fn begin(data: &Path, arguments: &[&str], typed: &str) -> Output {
    let mut child = sulcus(data)
        .arg("begin")
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the built program starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    stdin.write_all(typed.as_bytes()).expect("typed");
    drop(stdin);
    child.wait_with_output().expect("its end")
}

fn clinic(data: &Path) -> String {
    std::fs::read_to_string(data.join("clinic.toml")).unwrap_or_default()
}

#[test]
fn a_new_clinic_is_asked_leaves_goes_on_and_has_its_clinic_file() {
    let data = tempfile::tempdir().expect("a folder");
    let at = data.path();
    // The name, one explanation, the telephone, then home.
    let first = begin(at, &[], "Invented clinic\n?\n0000 000000\nlater\n");
    assert!(first.status.success(), "{}", stderr(&first));
    assert!(stdout(&first).contains("It stands on the owner's sheet"));
    assert_eq!(clinic(at), "", "nothing is written before the end");
    // Goes on at the third question; a slip is asked again, and one question is gone back to.
    let rest = "0000 000001\nA. Vet (invented)\n\nperhaps\nyes\n\nback\neach tooth\n\n\n5\n2\n\n90\n\n\n\n0,5\n\n\nno\nno\n";
    let second = begin(at, &[], rest);
    let shown = stdout(&second);
    assert!(second.status.success(), "{shown}{}", stderr(&second));
    assert!(!shown.contains("Name of the practice"), "{shown}");
    for wanted in [
        "Not taken: answer yes or no",
        "Not taken: a number from 2 to 3",
        "Practise now with A. Vet (invented)",
        "sulcus listen --page --headset",
    ] {
        assert!(shown.contains(wanted), "{wanted}: {shown}");
    }
    let file = clinic(at);
    for line in [
        "name = \"Invented clinic\"",
        "emergency_telephone = \"0000 000001\"",
        "pace = \"each_tooth\"",
        "read_back_goes_on = true",
        "dog_normal_depth_mm = 2",
        "anaesthetic_minutes_max = 90",
        "bupivacaine_percent = 0.5",
        "# cat_gag_minutes_max = 10",
    ] {
        assert!(file.lines().any(|one| one == line), "{line}: {file}");
    }
    // Other commands read it.
    let doctor = crate::program::run(sulcus(at).args(["parse", "tooth one oh four"]));
    assert!(doctor.status.success(), "{}", stderr(&doctor));
    // Answered once, it asks no more; again, it begins with what was answered.
    let third = stdout(&begin(at, &[], ""));
    assert!(third.contains("Everything was answered"), "{third}");
    let again = begin(at, &["--again"], &"\n".repeat(40));
    assert!(again.status.success(), "{}", stderr(&again));
    assert!(stdout(&again).contains("[Invented clinic]"));
    assert_eq!(clinic(at), file);
}

#[test]
fn a_clinic_file_that_somebody_wrote_is_left_alone() {
    let data = tempfile::tempdir().expect("a folder");
    let at = data.path();
    std::fs::write(at.join("clinic.toml"), "wake = \"good morning sulcus\"\n").expect("written");
    let asked = begin(at, &[], &"\n".repeat(40));
    assert!(asked.status.success(), "{}", stderr(&asked));
    assert!(
        stdout(&asked).contains("stays as it is"),
        "{}",
        stdout(&asked)
    );
    assert_eq!(clinic(at), "wake = \"good morning sulcus\"\n");
    assert!(at.join("clinic.new.toml").exists());
}

#[test]
fn answers_that_cannot_be_read_are_told_with_what_to_do() {
    let data = tempfile::tempdir().expect("a folder");
    std::fs::write(data.path().join("begin.toml"), "given = 3\n").expect("written");
    let asked = begin(data.path(), &[], "");
    assert_eq!(asked.status.code(), Some(1));
    assert!(stderr(&asked).contains("delete it to be asked from the beginning"));
}
