//! Good and bad sound files: what comes of each stands in `tests/data/sound/cases.tsv`, `{}` for the path.

use std::path::Path;

use sulcus::audio::{FRAME_SAMPLES, Mix, wav};

#[test]
fn every_file_gives_its_sound_or_says_what_to_do() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/sound");
    let cases = std::fs::read_to_string(folder.join("cases.tsv")).unwrap();
    let mut count = 0;
    for (name, expected) in cases
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split_once('\t').unwrap())
    {
        let path = folder.join(name);
        let told = match wav::read(&path, Mix::Mean) {
            Ok(samples) => format!("{} frames", samples.len() / FRAME_SAMPLES),
            Err(error) => error.to_string(),
        };
        assert_eq!(
            told,
            expected.replace("{}", &path.display().to_string()),
            "{name}"
        );
        count += 1;
    }
    assert!(count >= 9);
}

#[test]
fn a_folder_is_no_sound_file() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/sound");
    let error = wav::read(&folder, Mix::Mean).unwrap_err().to_string();
    assert!(error.starts_with("cannot read the sound file"), "{error}");
}
