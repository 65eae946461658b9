//! Everything that the espeak-ng program does: speech sounds (phonemes) for the neural voice, and a plain voice of its
//! own where there is no neural one. The program is run, not linked: it is free software under other terms than ours.

use std::io::Write;
use std::process::{Command, Stdio};

use super::pronunciation::{pronounceable, rules};
use super::{Sound, Synthesiser, VoiceError};

const PROGRAM: &str = "espeak-ng";

/// American English: the neural voice was trained on its sounds, and the recogniser understands it best.
const VOICE: &str = "en-us";

/// Words a minute. The program's own 175 runs digits together.
const WORDS_A_MINUTE: &str = "140";

/// Samples a second of the program's sound, stated in its WAV header and checked there.
const RATE_HZ: u32 = 22_050;

/// The phonemes (International Phonetic Alphabet) of each clause. Clauses hold words only, no punctuation.
pub fn phonemes(voice: &str, clauses: &[&str]) -> Result<Vec<String>, VoiceError> {
    let clauses: Vec<String> = clauses.iter().map(|clause| pronounceable(clause)).collect();
    let lines = phoneme_lines(voice, &clauses.join("\n"))?;
    if lines.len() == clauses.len() {
        return Ok(lines);
    }
    // A clause was cut in two (too long for one breath): ask for each alone, to know which lines are whose.
    clauses
        .iter()
        .map(|clause| Ok(phoneme_lines(voice, clause)?.join(" ")))
        .collect()
}

/// One line for each line of `text`, or more where the program breaks one.
fn phoneme_lines(voice: &str, text: &str) -> Result<Vec<String>, VoiceError> {
    let output = run(&["-q", "--ipa", "-v", voice], text)?;
    Ok(String::from_utf8_lossy(&output)
        .lines()
        .map(|line| without_language_marks(line.trim()))
        .filter(|line| !line.is_empty())
        .collect())
}

/// Drops "(en)" and the like, which mark a word taken from another language's rules.
fn without_language_marks(line: &str) -> String {
    let mut outside = true;
    line.chars()
        .filter(|letter| match letter {
            '(' => {
                outside = false;
                false
            }
            ')' => {
                outside = true;
                false
            }
            _ => outside,
        })
        .collect()
}

/// Runs the program with `text` as its standard input and returns its standard output.
fn run(arguments: &[&str], text: &str) -> Result<Vec<u8>, VoiceError> {
    let failed = |why: String| VoiceError::Program {
        program: PROGRAM.to_owned(),
        why,
    };
    let mut child = Command::new(PROGRAM)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| failed(error.to_string()))?;
    // The text of one prompt is far smaller than a pipe's buffer, so writing first cannot block for ever.
    let mut input = child.stdin.take().expect("standard input was asked for");
    let written = writeln!(input, "{text}");
    drop(input);
    let output = child
        .wait_with_output()
        .map_err(|error| failed(error.to_string()))?;
    if !output.status.success() {
        let message = String::from_utf8_lossy(&output.stderr);
        return Err(failed(format!("{}: {}", output.status, message.trim())));
    }
    written.map_err(|error| failed(error.to_string()))?;
    Ok(output.stdout)
}

/// The fallback voice.
pub struct EspeakVoice {
    identity: String,
}

impl EspeakVoice {
    /// Finds the program and asks for its version.
    pub fn open() -> Result<Self, VoiceError> {
        let output = run(&["--version"], "")?;
        let version = String::from_utf8_lossy(&output)
            .split_whitespace()
            .find(|word| word.starts_with(|letter: char| letter.is_ascii_digit()))
            .unwrap_or("of unknown version")
            .to_owned();
        Ok(Self {
            identity: format!(
                "{PROGRAM} {version} {VOICE} {WORDS_A_MINUTE} wpm {}",
                rules()
            ),
        })
    }
}

impl Synthesiser for EspeakVoice {
    fn identity(&self) -> &str {
        &self.identity
    }

    fn rate_hz(&self) -> u32 {
        RATE_HZ
    }

    fn synthesise(&mut self, phrase: &str) -> Result<Sound, VoiceError> {
        let failed = |why: String| VoiceError::Phrase {
            phrase: phrase.to_owned(),
            why,
        };
        let line = pronounceable(phrase);
        let bytes = run(&["-v", VOICE, "-s", WORDS_A_MINUTE, "--stdout"], &line)?;
        let sound = Sound::from_wav(&bytes).map_err(|error| failed(error.to_string()))?;
        if sound.rate_hz != RATE_HZ {
            return Err(failed(format!("{} Hz instead of {RATE_HZ}", sound.rate_hz)));
        }
        Ok(sound.trimmed_and_levelled().rounded_to_pcm())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn language_marks_are_no_sounds() {
        assert_eq!(without_language_marks("(fr)bˈɔ̃(en) dˈɑːɡ"), "bˈɔ̃ dˈɑːɡ");
    }
}
