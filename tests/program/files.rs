//! Files that go in and out: what is too large, of another kind, or no file at all.

use std::io::Write;
use std::os::unix::fs::{FileTypeExt, symlink};
use std::path::Path;
use std::process::Command;

use crate::program::{root, run, stderr, stdout, sulcus};

fn import(data: &Path, file: &Path) -> (i32, String) {
    let output = run(sulcus(data).arg("import").arg(file));
    let text = stdout(&output) + &stderr(&output);
    (output.status.code().unwrap_or(-1), text)
}

#[test]
fn a_file_that_is_no_record_is_refused_in_its_own_words() {
    let place = tempfile::tempdir().expect("a folder");
    let data = place.path().join("data");
    let file = place.path().join("file.json");
    let good = std::fs::read_to_string(root().join("tests/data/visits/dog.json")).expect("there");
    let altered = good.replacen("\"monotonic_ms\": ", "\"monotonic_ms\": 1", 1);
    assert_ne!(altered, good);
    for (bytes, words) in [
        (
            format!("[{}1]", "1,".repeat(9 << 20)).into_bytes(),
            "larger than 16 MB",
        ),
        (
            format!("[{}1]", "1,".repeat(6 << 20)).into_bytes(),
            "no record that can be taken in",
        ),
        (b"\xff\xfe{\0}\0".to_vec(), "no text in UTF-8"),
        (
            good.as_bytes()[..good.len() / 2].to_vec(),
            "no record that can be taken in",
        ),
        (altered.into_bytes(), "is not what was exported"),
    ] {
        std::fs::write(&file, &bytes).expect("written");
        let (code, text) = import(&data, &file);
        assert_eq!(code, 1, "{words}: {text}");
        assert!(text.contains(words), "{words}: {text}");
        assert!(text.contains("file.json"), "{text}");
        assert!(!text.contains("the journal is damaged"), "{text}");
    }
}

/// Some programs put a byte order mark before the text.
#[test]
fn a_byte_order_mark_is_passed_over() {
    let place = tempfile::tempdir().expect("a folder");
    let file = place.path().join("file.json");
    let good = std::fs::read(root().join("tests/data/visits/dog.json")).expect("there");
    std::fs::write(&file, [&b"\xef\xbb\xbf"[..], &good].concat()).expect("written");
    let (code, text) = import(&place.path().join("data"), &file);
    assert_eq!(code, 0, "{text}");
}

fn journal(data: &Path) {
    let (code, text) = import(data, &root().join("tests/data/visits/dog.json"));
    assert_eq!(code, 0, "{text}");
}

/// What is no file stays what it is, and is written to.
#[test]
fn devices_pipes_and_links_stay_what_they_are() {
    let place = tempfile::tempdir().expect("a folder");
    let data = place.path().join("data");
    journal(&data);
    let export = |out: &str| run(sulcus(&data).args(["export", "last", "--out", out]));
    let full = export("/dev/full");
    assert_eq!(full.status.code(), Some(1), "{full:?}");
    assert!(stderr(&full).contains("No space left"), "{full:?}");
    let kind = std::fs::metadata("/dev/full").expect("there").file_type();
    assert!(kind.is_char_device(), "replaced by a file");
    let plain = stdout(&run(sulcus(&data).args(["export", "last"])));
    let printed = export("/dev/stdout");
    assert_eq!(printed.status.code(), Some(0), "{printed:?}");
    assert_eq!(stdout(&printed), plain);
    // As a shell hands a process over.
    let script = format!(
        "{} --data {} export last --out >(cat > {}/caught); wait $!; sleep 0",
        env!("CARGO_BIN_EXE_sulcus"),
        data.display(),
        place.path().display()
    );
    let output = run(Command::new("bash").args(["-c", &script]));
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let caught = || std::fs::read_to_string(place.path().join("caught")).unwrap_or_default();
    while caught().len() < plain.len() {
        std::thread::yield_now();
    }
    assert_eq!(caught(), plain);
    // A link stays one, and what it names is replaced.
    let (file, link) = (place.path().join("file"), place.path().join("link"));
    std::fs::write(&file, "old").expect("written");
    symlink(&file, &link).expect("linked");
    let output = export(&link.display().to_string());
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    assert!(
        std::fs::symlink_metadata(&link)
            .expect("there")
            .is_symlink()
    );
    assert_eq!(std::fs::read_to_string(&file).expect("there"), plain);
    let folder = export(&place.path().display().to_string());
    assert_eq!(folder.status.code(), Some(1), "{folder:?}");
    assert!(stderr(&folder).contains("it is a folder"), "{folder:?}");
}

/// A link that somebody laid in the data folder leads no write elsewhere.
#[test]
fn links_in_the_data_folder_are_not_followed() {
    for name in ["writer.lock", "journal.sqlite"] {
        let place = tempfile::tempdir().expect("a folder");
        let data = place.path().join("data");
        std::fs::create_dir(&data).expect("made");
        let victim = place.path().join("victim");
        let mut file = std::fs::File::create(&victim).expect("made");
        file.write_all(b"something else").expect("written");
        symlink(&victim, data.join(name)).expect("linked");
        let (code, text) = import(&data, &root().join("tests/data/visits/dog.json"));
        assert_eq!(code, 1, "{name}: {text}");
        assert_eq!(
            std::fs::read(&victim).expect("there"),
            b"something else",
            "{name}"
        );
    }
    let place = tempfile::tempdir().expect("a folder");
    let data = place.path().join("data");
    journal(&data);
    let victim = place.path().join("victim");
    std::fs::write(&victim, "something else").expect("written");
    let mark = data.join("journal.mark");
    std::fs::remove_file(&mark).expect("removed");
    symlink(&victim, &mark).expect("linked");
    let output = run(sulcus(&data).args(["addendum", "last", "more"]));
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    assert_eq!(std::fs::read(&victim).expect("there"), b"something else");
}
