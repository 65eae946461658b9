//! What goes wrong at the user's is told in one clear line with the next step, and nothing entered before is lost.

use crate::program;

use std::path::Path;

use program::{demo, has_models, root, run, stderr, stdout, sulcus};

/// Runs and expects exit code 1 (or the given) and each of the words on stderr, and no panic.
fn refused(command: &mut std::process::Command, code: i32, words: &[&str]) {
    let output = run(command);
    let text = stderr(&output);
    assert_eq!(output.status.code(), Some(code), "{text}");
    for word in words {
        assert!(text.contains(word), "{word:?} is not in: {text}");
    }
    assert!(!text.contains("panicked"), "{text}");
}

fn replay(data: &Path, file: &Path) -> std::process::Command {
    let mut command = sulcus(data);
    command.arg("replay").arg(file).args(["--species", "dog"]);
    command
}

#[test]
fn files_that_are_no_sound_are_named_with_what_to_do() {
    if !has_models("refusing bad sound files") {
        return;
    }
    let data = tempfile::tempdir().expect("a folder");
    let sound = root().join("tests/data/sound");
    refused(
        &mut replay(data.path(), &sound.join("not_there.wav")),
        1,
        &["not_there.wav"],
    );
    refused(
        &mut replay(data.path(), &sound.join("words.wav")),
        1,
        &["words.wav", "WAV"],
    );
    refused(
        &mut replay(data.path(), &sound.join("empty.wav")),
        1,
        &["empty.wav"],
    );
    refused(
        &mut replay(data.path(), &sound.join("no_samples.wav")),
        1,
        &["no_samples.wav"],
    );
    refused(
        &mut replay(data.path(), &sound.join("flac_named_wav.wav")),
        1,
        &["flac_named_wav.wav"],
    );
}

#[test]
fn slow_stereo_sound_of_24_bits_is_taken() {
    if !has_models("taking unusual sound") {
        return;
    }
    let data = tempfile::tempdir().expect("a folder");
    let output = run(&mut replay(
        data.path(),
        &root().join("tests/data/sound/slow_stereo_24_bit.wav"),
    ));
    assert!(output.status.success(), "{}", stderr(&output));
}

#[test]
fn without_models_it_says_how_to_get_them() {
    let data = tempfile::tempdir().expect("a folder");
    let none = tempfile::tempdir().expect("a folder");
    let mut command = replay(data.path(), &demo("dog.wav"));
    command.arg("--models").arg(none.path());
    refused(&mut command, 1, &["models-fetch.sh"]);
}

#[test]
fn a_damaged_model_is_named() {
    if !has_models("refusing a damaged model") {
        return;
    }
    let data = tempfile::tempdir().expect("a folder");
    let models = tempfile::tempdir().expect("a folder");
    for folder in ["onnxruntime", "moonshine"] {
        std::fs::create_dir(models.path().join(folder)).expect("made");
    }
    let library = "onnxruntime/libonnxruntime.so";
    std::fs::copy(
        root().join("models").join(library),
        models.path().join(library),
    )
    .expect("copied");
    for file in [
        "encoder_model.ort",
        "decoder_model_merged.ort",
        "tokenizer.bin",
    ] {
        std::fs::write(models.path().join("moonshine").join(file), b"no model").expect("written");
    }
    let mut command = replay(data.path(), &demo("dog.wav"));
    command.arg("--models").arg(models.path());
    refused(&mut command, 1, &["moonshine", "models-fetch.sh"]);
}

#[test]
fn without_a_microphone_it_says_so() {
    if !has_models("missing a microphone") {
        return;
    }
    let data = tempfile::tempdir().expect("a folder");
    let mut command = sulcus(data.path());
    command
        .args([
            "listen",
            "--species",
            "dog",
            "--device",
            "no such microphone",
        ])
        // No sound server of the machine may lend one.
        .env("PULSE_SERVER", "/nowhere")
        .env("ALSA_CONFIG_PATH", "/dev/null");
    refused(&mut command, 1, &["no such microphone", "doctor"]);
}

#[test]
fn a_second_program_on_the_same_folder_is_refused() {
    let data = tempfile::tempdir().expect("a folder");
    let _first = sulcus::record::Journal::open(data.path()).expect("opens");
    refused(
        &mut replay(data.path(), &demo("dog.wav")),
        1,
        &["another sulcus", "--data"],
    );
}

#[test]
fn a_folder_that_cannot_be_written_is_named() {
    let data = tempfile::tempdir().expect("a folder");
    let file = data.path().join("file");
    std::fs::write(&file, "in the way").expect("written");
    refused(
        &mut replay(&file.join("below"), &demo("dog.wav")),
        1,
        &["data folder", "--data"],
    );
}

#[test]
fn a_full_disk_saves_nothing_and_says_so() {
    if !has_models("filling a disk") {
        return;
    }
    let mount = tempfile::tempdir().expect("a folder");
    let mounted = std::process::Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=256k", "tmpfs"])
        .arg(mount.path())
        .status()
        .is_ok_and(|status| status.success());
    if !mounted {
        assert!(
            std::env::var_os("SULCUS_TEST_ALL").is_none(),
            "a small disk cannot be mounted"
        );
        println!("skipped: filling a disk needs the right to mount");
        return;
    }
    let data = mount.path().join("data");
    // The first writes fit; then the disk is filled to the last page.
    let first = run(sulcus(&data)
        .arg("replay")
        .arg(root().join("tests/data/sound/slow_stereo_24_bit.wav"))
        .args(["--species", "dog"]));
    let filler = std::fs::write(mount.path().join("filler"), vec![0_u8; 1 << 20]);
    let full = run(sulcus(&data).arg("replay").arg(demo("dog.wav")));
    let (text, code) = (stdout(&full) + &stderr(&full), full.status.code());
    let _ = std::process::Command::new("umount")
        .arg(mount.path())
        .status();
    assert!(first.status.success(), "{}", stderr(&first));
    assert!(filler.is_err(), "the disk is small");
    assert_eq!(code, Some(1), "{text}");
    assert!(
        text.contains("not saved") || text.contains("data folder"),
        "{text}"
    );
    assert!(!text.contains("panicked"), "{text}");
}

#[test]
fn wrong_use_has_its_own_exit_code() {
    let data = tempfile::tempdir().expect("a folder");
    let output = run(sulcus(data.path()).arg("dance"));
    assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
}

#[test]
fn parse_tells_intent_and_answer() {
    let data = tempfile::tempdir().expect("a folder");
    let output = run(sulcus(data.path()).args(["parse", "--species", "cat", "tooth one oh five"]));
    let text = stdout(&output);
    assert!(
        text.contains("intent: go to tooth 105")
            && text.contains("a cat has no upper first premolar"),
        "{text}"
    );
    let output = run(sulcus(data.path()).args(["parse", "the weather is nice"]));
    assert_eq!(output.status.code(), Some(1));
    let sheet = stdout(&run(sulcus(data.path()).args(["parse", "--help-sheet"])));
    assert!(
        sheet.contains("tooth one oh eight") && sheet.contains("undo"),
        "{sheet}"
    );
}
