//! The first time a microphone is used here: somebody says a few words, and the program says whether they can be
//! understood, and what to do if not. `sulcus doctor` tells the same in figures.

use std::path::Path;

use crossbeam_channel::Receiver;

use crate::commands::doctor::{self, Verdict};
use crate::config::Config;
use crate::session::{Phrase, Rules};
use crate::voice::loudspeaker::Loudspeaker;
use crate::voice::{self, Priority, SayId, Speaker, VoiceEvent, wording};

/// Microphones that were checked, one a line, in the data folder.
const CHECKED: &str = "checked-microphones.txt";

/// So often it listens (3 s each) before it says that nothing comes: people answer when they are ready.
const WINDOWS_MAX: usize = 4;

/// Whether this microphone was found good here before.
pub fn is_done(data: &Path, device: &str) -> bool {
    std::fs::read_to_string(data.join(CHECKED))
        .is_ok_and(|text| text.lines().any(|line| line == device))
}

/// Asks for a few words, listens, and says what to do. A check that cannot be made is told and stops nothing.
pub fn run(config: &Config, device: Option<&str>, loudspeaker: Option<&str>) -> anyhow::Result<()> {
    let name = device.unwrap_or("default");
    let opened = voice::open(&config.models);
    let output = Box::new(Loudspeaker::new(loudspeaker.map(str::to_owned)));
    let (mouth, events) = Speaker::start(opened.synthesiser, output, None);
    let rules = Rules::built_in()?;
    say(&mouth, &events, &rules, 1, "check_ask");
    let mut verdict = Verdict::Muted;
    for _ in 0..WINDOWS_MAX {
        verdict = match doctor::verdict(device) {
            Ok(verdict) => verdict,
            Err(error) => {
                eprintln!("sulcus: {error}");
                return Ok(());
            }
        };
        if !matches!(verdict, Verdict::Muted | Verdict::TooQuiet) {
            break;
        }
    }
    say(&mouth, &events, &rules, 2, key(verdict));
    if verdict == Verdict::Good {
        std::fs::create_dir_all(&config.data)?;
        let path = config.data.join(CHECKED);
        let mut text = std::fs::read_to_string(&path).unwrap_or_default();
        text.push_str(name);
        text.push('\n');
        std::fs::write(path, text)?;
    }
    Ok(())
}

fn key(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Good => "check_good",
        Verdict::Muted => "check_muted",
        Verdict::TooLoud => "check_loud",
        Verdict::TooQuiet => "check_quiet",
        Verdict::Noisy => "check_noisy",
    }
}

/// Says it to its end, and prints it for those whose loudspeaker is silent.
fn say(mouth: &Speaker, events: &Receiver<VoiceEvent>, rules: &Rules, number: u64, key: &str) {
    let phrase = Phrase::new(key);
    println!("says   {}", phrase.plain(rules));
    let id = SayId(number);
    mouth.say(id, wording::spoken(&phrase, rules), Priority::Ordinary);
    for event in events {
        match event {
            VoiceEvent::Ended { id: ended, .. } if ended == id => {
                println!("said   {}", phrase.plain(rules));
                return;
            }
            VoiceEvent::Failed { id: failed, error } if failed == id => {
                println!("!!     {error}");
                return;
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_good_microphone_is_checked_once() {
        let folder = tempfile::tempdir().unwrap();
        assert!(!is_done(folder.path(), "default"));
        std::fs::write(folder.path().join(CHECKED), "usb\ndefault\n").unwrap();
        assert!(is_done(folder.path(), "default"));
        assert!(!is_done(folder.path(), "headset"));
    }

    #[test]
    fn each_verdict_has_its_sentence() {
        let rules = Rules::built_in().unwrap();
        for verdict in [
            Verdict::Good,
            Verdict::Muted,
            Verdict::TooLoud,
            Verdict::TooQuiet,
            Verdict::Noisy,
        ] {
            assert!(
                !Phrase::new(key(verdict)).plain(&rules).is_empty(),
                "{verdict:?}"
            );
        }
    }
}
