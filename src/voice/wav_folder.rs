//! Speaks into a folder: one numbered WAV file for each sentence and tone, and a list of them.
//!
//! Invariant: no file is ever written over; numbers go on after those already there.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::player::{Item, Output, Silencer};
use super::{Sound, VoiceError};

/// The list: number, file, kind, seconds, words; one line for each file.
const INDEX: &str = "index.tsv";

/// Letters of the sentence that go into a file's name.
const NAME_LETTERS_MAX: usize = 48;

/// A folder that sound is written to.
pub struct WavFolder {
    folder: PathBuf,
    next_number: u32,
    open: Option<OpenFile>,
    silencer: Silencer,
}

struct OpenFile {
    kind: &'static str,
    words: String,
    sound: Option<Sound>,
}

impl WavFolder {
    /// Makes the folder where it is missing and looks for the last number in it.
    pub fn open(folder: &Path) -> Result<Self, VoiceError> {
        fs::create_dir_all(folder).map_err(|error| unwritable(folder, error))?;
        let mut last_number = 0;
        for entry in fs::read_dir(folder).map_err(|error| unwritable(folder, error))? {
            let name = entry
                .map_err(|error| unwritable(folder, error))?
                .file_name();
            let name = name.to_string_lossy();
            let number = name
                .split_once('-')
                .and_then(|(number, _)| number.parse().ok());
            last_number = last_number.max(number.unwrap_or(0));
        }
        Ok(Self {
            folder: folder.to_owned(),
            next_number: last_number + 1,
            open: None,
            silencer: Silencer::default(),
        })
    }

    fn write(&mut self, file: OpenFile) -> Result<(), VoiceError> {
        let Some(sound) = file.sound else {
            return Ok(());
        };
        let number = self.next_number;
        let name = format!("{number:04}-{}.wav", file_name(file.kind, &file.words));
        let path = self.folder.join(&name);
        let wav = sound.to_wav().map_err(|error| unwritable(&path, error))?;
        fs::write(&path, wav).map_err(|error| unwritable(&path, error))?;
        self.next_number += 1;

        let index = self.folder.join(INDEX);
        let seconds = sound.duration_ms() as f64 / 1000.0;
        let line = format!(
            "{number}\t{name}\t{}\t{seconds:.2}\t{}\n",
            file.kind, file.words
        );
        let heading = if index.exists() {
            ""
        } else {
            "number\tfile\tkind\tseconds\twords\n"
        };
        fs::OpenOptions::new()
            .create(true)
            .append(true)
            .open(&index)
            .and_then(|mut file| file.write_all(format!("{heading}{line}").as_bytes()))
            .map_err(|error| unwritable(&index, error))
    }
}

impl Output for WavFolder {
    fn ready(&mut self) -> Result<(), VoiceError> {
        Ok(())
    }

    fn begin(&mut self, item: &Item<'_>) -> Result<(), VoiceError> {
        let (kind, words) = match item {
            Item::Sentence { phrases, .. } => ("sentence", phrases.join(" ")),
            Item::Cue(cue) => ("cue", cue.name().to_owned()),
        };
        self.open = Some(OpenFile {
            kind,
            words: words.replace(char::is_control, " "),
            sound: None,
        });
        Ok(())
    }

    fn play(&mut self, sound: &Sound) -> Result<(), VoiceError> {
        if let Some(open) = &mut self.open {
            match &mut open.sound {
                Some(so_far) => so_far.samples.extend(&sound.samples),
                none => *none = Some(sound.clone()),
            }
        }
        Ok(())
    }

    fn end(&mut self) -> Result<(), VoiceError> {
        match self.open.take() {
            Some(file) => self.write(file),
            None => Ok(()),
        }
    }

    fn cut(&mut self) {
        self.open = None;
        self.silencer.release();
    }

    fn silencer(&self) -> Silencer {
        self.silencer.clone()
    }
}

fn unwritable(path: &Path, error: impl std::fmt::Display) -> VoiceError {
    VoiceError::File {
        path: path.to_owned(),
        why: error.to_string(),
    }
}

/// "cue" and the cue's name, or the sentence in lower case with hyphens.
fn file_name(kind: &str, words: &str) -> String {
    let words = if kind == "cue" {
        format!("cue {words}")
    } else {
        words.to_owned()
    };
    let letters: String = words
        .chars()
        .map(|letter| {
            if letter.is_alphanumeric() {
                letter.to_ascii_lowercase()
            } else {
                ' '
            }
        })
        .collect();
    let joined = letters.split_whitespace().collect::<Vec<_>>().join("-");
    let short: String = joined.chars().take(NAME_LETTERS_MAX).collect();
    short.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::super::{Cue, SayId};
    use super::*;

    fn say(folder: &Path, phrases: &[&str]) {
        let mut output = WavFolder::open(folder).unwrap();
        let phrases: Vec<String> = phrases.iter().map(|phrase| (*phrase).to_owned()).collect();
        let item = Item::Sentence {
            id: SayId(7),
            phrases: &phrases,
        };
        output.begin(&item).unwrap();
        for _ in &phrases {
            output.play(&Sound::silence(100, 16_000)).unwrap();
        }
        output.end().unwrap();
        output.begin(&Item::Cue(Cue::Saved)).unwrap();
        output.play(&Cue::Saved.sound(16_000)).unwrap();
        output.end().unwrap();
    }

    #[test]
    fn sentences_and_tones_become_numbered_files_and_lines() {
        let folder = tempfile::tempdir().unwrap();
        let folder = folder.path().join("new/voice");
        say(&folder, &["Tooth, one zero four.", "Saved."]);
        say(&folder, &["Repeat?"]);
        let index = fs::read_to_string(folder.join(INDEX)).unwrap();
        assert_eq!(
            index,
            "number\tfile\tkind\tseconds\twords\n\
             1\t0001-tooth-one-zero-four-saved.wav\tsentence\t0.20\tTooth, one zero four. Saved.\n\
             2\t0002-cue-saved.wav\tcue\t0.12\tsaved\n\
             3\t0003-repeat.wav\tsentence\t0.10\tRepeat?\n\
             4\t0004-cue-saved.wav\tcue\t0.12\tsaved\n"
        );
        let sound =
            Sound::from_wav(&fs::read(folder.join("0001-tooth-one-zero-four-saved.wav")).unwrap());
        assert_eq!(sound.unwrap().duration_ms(), 200);
    }

    #[test]
    fn a_place_that_is_no_folder_is_told() {
        let file = tempfile::NamedTempFile::new().unwrap();
        let error = WavFolder::open(&file.path().join("below"))
            .err()
            .unwrap()
            .to_string();
        assert!(error.contains("--voice-out"), "{error}");
    }
}
