//! The voice as it is: real model, real espeak-ng, real files. What needs a model that is not there says so and passes.
//! Whether a recogniser understands the read-back is measured by a command; this shows that there is something to hear.

use std::path::{Path, PathBuf};

use sulcus::voice::player::Output;
use sulcus::voice::wav_folder::WavFolder;
use sulcus::voice::{Cue, Priority, SayId, Sound, Speaker, Synthesiser, VoiceEvent, espeak, piper};

/// The models folder, where there is a voice in it.
fn models() -> Option<PathBuf> {
    let models = std::env::var_os("SULCUS_MODELS").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("models"),
        PathBuf::from,
    );
    if models.join("piper/voice.onnx").is_file() {
        return Some(models);
    }
    assert!(
        std::env::var_os("SULCUS_TEST_ALL").is_none(),
        "no voice model in {}",
        models.display()
    );
    println!(
        "skipped: no voice model in {}; run ./models-fetch.sh",
        models.display()
    );
    None
}

#[test]
fn the_neural_voice_says_one_phrase_the_same_way_each_time() {
    let Some(models) = models() else { return };
    let mut first = piper::PiperVoice::open(&models).unwrap();
    let mut second = piper::PiperVoice::open(&models).unwrap();
    for phrase in [
        "Tooth, one zero four.",
        "Buccal.",
        "Two, two, three.",
        "Confirm?",
    ] {
        let sound = first.synthesise(phrase).unwrap();
        assert_eq!(sound, second.synthesise(phrase).unwrap(), "{phrase}");
        let letters = phrase
            .chars()
            .filter(|letter| letter.is_alphabetic())
            .count() as u64;
        // Speech runs at some 40 to 160 ms a letter; silence or a stuck model would not.
        let duration_ms = sound.duration_ms();
        assert!(
            (40 * letters..160 * letters).contains(&duration_ms),
            "{phrase}: {duration_ms} ms"
        );
        let square_sum = sound
            .samples
            .iter()
            .map(|sample| sample * sample)
            .sum::<f32>();
        let rms = (square_sum / sound.samples.len() as f32).sqrt();
        assert!((0.04..0.15).contains(&rms), "{phrase}: level {rms}");
    }
    assert_eq!(first.identity(), second.identity());
}

#[test]
fn odd_text_neither_fails_nor_gives_orders() {
    let Some(models) = models() else { return };
    let mut voice = piper::PiperVoice::open(&models).unwrap();
    assert!(voice.synthesise(" .,; ").unwrap().samples.is_empty());
    let plain = voice.synthesise("Bella, two.").unwrap();
    assert_eq!(voice.synthesise("Bella,\ntwo.").unwrap(), plain);
    assert_eq!(voice.synthesise("[Bella], two.\u{0}").unwrap(), plain);
    assert!(!voice.synthesise("Bella ☃.").unwrap().samples.is_empty());
}

#[test]
fn the_fallback_voice_speaks() {
    let mut voice = match espeak::EspeakVoice::open() {
        Ok(voice) => voice,
        Err(error) => {
            println!("skipped: {error}");
            return;
        }
    };
    let sound = voice.synthesise("Tooth, one zero four.").unwrap();
    assert!(
        (900..4000).contains(&sound.duration_ms()),
        "{} ms",
        sound.duration_ms()
    );
    assert_eq!(sound, voice.synthesise("Tooth, one zero four.").unwrap());
}

#[test]
fn without_model_the_fallback_is_opened_and_the_reason_is_kept() {
    let opened = sulcus::voice::open(Path::new("/nowhere"));
    let warning = opened
        .warnings
        .first()
        .expect("a missing model is told")
        .to_string();
    assert!(
        warning.contains("/nowhere") && warning.contains("models-fetch.sh"),
        "{warning}"
    );
    match opened.synthesiser {
        Some(voice) => assert!(voice.identity().starts_with("espeak-ng")),
        None => assert!(
            opened
                .warnings
                .last()
                .unwrap()
                .to_string()
                .starts_with("no voice")
        ),
    }
}

#[test]
fn a_sentence_becomes_one_file_and_is_kept_for_the_next_time() {
    let Some(models) = models() else { return };
    let folder = tempfile::tempdir().unwrap();
    let (out, store) = (folder.path().join("out"), folder.path().join("voice-cache"));
    let phrases = vec!["Tooth, one zero four.".to_owned(), "Buccal.".to_owned()];
    for round in 1..=2 {
        let voice = sulcus::voice::open(&models).synthesiser.unwrap();
        let output: Box<dyn Output> = Box::new(WavFolder::open(&out).unwrap());
        let (speaker, events) = Speaker::synchronous(Some(voice), output, Some(&store));
        speaker.say(SayId(round), phrases.clone(), Priority::Ordinary);
        speaker.cue(Cue::Saved);
        let events: Vec<VoiceEvent> = events.try_iter().collect();
        assert!(
            matches!(events[1], VoiceEvent::Ended { id, cut: false } if id == SayId(round)),
            "{events:?}"
        );
        assert_eq!(std::fs::read_dir(&store).unwrap().count(), 2);
    }
    let read = |name: &str| Sound::from_wav(&std::fs::read(out.join(name)).unwrap()).unwrap();
    let first = read("0001-tooth-one-zero-four-buccal.wav");
    assert_eq!(first, read("0003-tooth-one-zero-four-buccal.wav"));
    assert!(first.duration_ms() > 1500);
}
