//! The listener with a scripted detector and engine: a frame's samples are its probability of voice.

use std::sync::Mutex;

use super::super::activity::{Detector, Settings};
use super::super::{EngineIdentity, Hypothesis, Unheard, word_graph::Word};
use super::*;

struct SampleDetector;

impl Detector for SampleDetector {
    fn probability(&mut self, samples: &[f32]) -> Result<f32, SpeechError> {
        Ok(samples[0])
    }
    fn reset(&mut self) {}
}

/// What the engine answers, in order, and what it was asked.
#[derive(Default)]
struct Script {
    answers: Vec<Result<Hearing, SpeechError>>,
    /// For each recognition: milliseconds of sound and words of the graph.
    asked: Vec<(usize, usize)>,
    discarded: u32,
    graph_words: usize,
}

struct ScriptedEngine(Arc<Mutex<Script>>);

impl Recogniser for ScriptedEngine {
    fn identity(&self) -> EngineIdentity {
        EngineIdentity {
            name: "scripted".to_owned(),
            model: "none".to_owned(),
        }
    }
    fn set_graph(&mut self, graph: Arc<WordGraph>) -> Result<Vec<String>, SpeechError> {
        self.0.lock().unwrap().graph_words = graph.words.len();
        Ok(Vec::new())
    }
    fn recognise(&mut self, samples: &[f32]) -> Result<Hearing, SpeechError> {
        let mut script = self.0.lock().unwrap();
        let words = script.graph_words;
        script.asked.push((samples.len() / 16, words));
        script.answers.remove(0)
    }
    fn discard(&mut self) {
        self.0.lock().unwrap().discarded += 1;
    }
}

fn hearing(words: &str, confidence: f32, unheard: Option<Unheard>) -> Hearing {
    let words: Vec<String> = words.split(' ').map(str::to_owned).collect();
    Hearing {
        hypotheses: vec![Hypothesis {
            word_confidences: vec![confidence; words.len()],
            words,
            log_probability: -1.0,
        }],
        unheard,
        free_text: None,
        figures: Vec::new(),
    }
}

fn graph(words: &[&str], min: usize, max: usize) -> Arc<WordGraph> {
    let words = words
        .iter()
        .map(|&text| Word {
            text: text.to_owned(),
            spellings: Vec::new(),
            figure: ["one", "two", "oh"]
                .contains(&text)
                .then(|| text.to_owned()),
        })
        .collect();
    Arc::new(WordGraph::loop_of(words, min, max))
}

struct Bench {
    listener: Listener,
    script: Arc<Mutex<Script>>,
    next: u64,
}

fn bench(answers: Vec<Hearing>) -> Bench {
    let script = Arc::new(Mutex::new(Script {
        answers: answers.into_iter().map(Ok).collect(),
        ..Script::default()
    }));
    let activity = Activity::new(Box::new(SampleDetector), Settings::default());
    let mut listener = Listener::new(
        activity,
        Box::new(ScriptedEngine(Arc::clone(&script))),
        Box::new(|| Duration::ZERO),
    );
    listener.control(Control::SetGraph(graph(&["one", "two", "oh"], 1, 3)));
    Bench {
        listener,
        script,
        next: 0,
    }
}

impl Bench {
    /// So many frames of that probability; what was told, levels left out, as short words.
    fn frames(&mut self, count: u64, probability: f32) -> Vec<String> {
        words(self.events(count, probability))
    }

    fn events(&mut self, count: u64, probability: f32) -> Vec<ListenEvent> {
        let mut told = Vec::new();
        for _ in 0..count {
            told.extend(self.listener.push(AudioEvent::Frame(Frame {
                samples: vec![probability; FRAME_SAMPLES],
                index: self.next,
            })));
            self.next += 1;
        }
        told
    }

    fn asked(&self) -> Vec<(usize, usize)> {
        self.script.lock().unwrap().asked.clone()
    }
}

fn words(told: Vec<ListenEvent>) -> Vec<String> {
    told.into_iter()
        .filter_map(|event| match event {
            ListenEvent::HeardUpTo { .. }
            | ListenEvent::Level(_)
            | ListenEvent::GraphSet { .. }
            | ListenEvent::Hushed => None,
            ListenEvent::SpeechStarted { at_ms, .. } => Some(format!("started {at_ms}")),
            ListenEvent::SpeechDismissed => Some("dismissed".to_owned()),
            ListenEvent::Partial(words) => Some(format!("partial {}", words.join(" "))),
            ListenEvent::Heard(heard) => Some(format!(
                "heard {} by {:?} under {:?} after {} ms, {} attempts",
                heard.hearing.hypotheses[0].words.join(" "),
                heard.end,
                heard.under,
                heard.latency.silence_ms,
                heard.latency.attempts,
            )),
            ListenEvent::Overrun {
                frames,
                utterance_lost,
            } => Some(format!("overrun {frames} lost {utterance_lost}")),
            ListenEvent::Lost { utterance_lost, .. } => Some(format!("gone lost {utterance_lost}")),
            ListenEvent::Found { device } => Some(format!("found {device}")),
            ListenEvent::Ended => Some("ended".to_owned()),
            ListenEvent::Failed(error) => Some(format!("failed {error}")),
        })
        .collect()
}

#[test]
fn a_sentence_that_cannot_go_on_is_heard_at_the_first_pause() {
    let mut bench = bench(vec![hearing("one oh two", 0.95, None)]);
    bench.frames(20, 0.0);
    assert_eq!(bench.frames(20, 0.9), ["started 640"]);
    assert_eq!(
        bench.frames(40, 0.0),
        ["heard one oh two by Pause under Session after 256 ms, 1 attempts"]
    );
    // 16 frames of pre-roll, 20 of voice, 7 of hang-over.
    assert_eq!(bench.asked(), [(43 * 32, 3)]);
}

#[test]
fn the_first_silence_of_each_pause_is_told_but_not_of_an_interruption() {
    let hushed = |events: Vec<ListenEvent>| -> Vec<usize> {
        let at =
            |(at, event): (usize, &ListenEvent)| matches!(event, ListenEvent::Hushed).then_some(at);
        events.iter().enumerate().filter_map(at).collect()
    };
    let mut bench = bench(vec![hearing("one oh two", 0.95, None)]);
    // Too little voice for speech: a click.
    bench.frames(2, 0.9);
    assert!(hushed(bench.events(10, 0.0)).is_empty());
    bench.frames(20, 0.9);
    assert_eq!(hushed(bench.events(1, 0.0)), [0]);
    assert!(hushed(bench.events(3, 0.0)).is_empty(), "once in a pause");
    bench.frames(5, 0.9);
    assert_eq!(hushed(bench.events(1, 0.0)), [0]);
    bench.frames(40, 0.0);

    bench.listener.control(Control::VoiceOn {
        interruptions: Some(graph(&["stop"], 1, 1)),
        frame: None,
    });
    bench.frames(20, 0.9);
    assert!(hushed(bench.events(5, 0.0)).is_empty());
}

#[test]
fn a_sentence_that_numbers_may_lengthen_waits_for_the_longest_pause() {
    let mut bench = bench(vec![hearing("one oh", 0.95, None)]);
    bench.frames(20, 0.9);
    assert_eq!(
        bench.frames(40, 0.0),
        ["heard one oh by Pause under Session after 448 ms, 1 attempts"]
    );
}

#[test]
fn a_sentence_that_only_words_may_lengthen_waits_less() {
    let mut bench = bench(vec![hearing("leave", 0.95, None)]);
    let words = graph(&["leave", "it"], 1, 2);
    bench.listener.control(Control::SetGraph(words));
    bench.frames(20, 0.9);
    assert_eq!(
        bench.frames(40, 0.0),
        ["heard leave by Pause under Session after 352 ms, 1 attempts"]
    );
}

#[test]
fn speech_that_goes_on_is_heard_whole() {
    let mut bench = bench(vec![
        hearing("one oh", 0.95, None),
        hearing("one oh two", 0.95, None),
    ]);
    bench.frames(20, 0.9);
    assert!(bench.frames(10, 0.0).is_empty());
    assert!(bench.frames(10, 0.9).is_empty());
    assert_eq!(
        bench.frames(40, 0.0),
        ["heard one oh two by Pause under Session after 256 ms, 2 attempts"]
    );
}

#[test]
fn doubt_waits_for_the_full_silence_and_reuses_the_result() {
    for answer in [
        hearing("one oh two", 0.5, None),
        hearing("one oh two", 0.95, Some(Unheard::Unclear)),
        hearing("not in graph", 0.95, None),
    ] {
        let said = answer.hypotheses[0].words.join(" ");
        let mut bench = bench(vec![answer]);
        bench.frames(20, 0.9);
        assert_eq!(
            bench.frames(40, 0.0),
            [format!(
                "heard {said} by Silence under Session after 704 ms, 1 attempts"
            )]
        );
    }
}

#[test]
fn a_graph_set_within_an_utterance_holds_for_it() {
    let mut bench = bench(vec![hearing("one", 0.5, None), hearing("stop", 0.5, None)]);
    bench.frames(20, 0.9);
    bench.frames(10, 0.0);
    let small = graph(&["stop"], 1, 1);
    bench.listener.control(Control::SetGraph(small));
    bench.frames(40, 0.0);
    let graphs: Vec<usize> = bench.asked().iter().map(|&(_, words)| words).collect();
    assert_eq!(graphs, [3, 1]);
}

#[test]
fn the_program_does_not_hear_itself() {
    let mut bench = bench(vec![hearing("one oh two", 0.95, None)]);
    bench.frames(20, 0.0);
    bench.listener.control(Control::VoiceOn {
        interruptions: None,
        frame: None,
    });
    assert!(bench.frames(60, 0.9).is_empty());
    bench.listener.control(Control::VoiceOff { frame: None });
    // The echo of its last word.
    assert!(bench.frames(6, 0.9).is_empty());
    assert!(bench.frames(10, 0.0).is_empty());
    bench.frames(20, 0.9);
    assert_eq!(bench.frames(10, 0.0).len(), 1);
}

#[test]
fn speech_that_began_before_the_ears_opened_is_marked() {
    for (silent, marked) in [(0, true), (4, false)] {
        let mut bench = bench(vec![hearing("one oh two", 0.95, None)]);
        bench.frames(20, 0.0);
        bench.listener.control(Control::VoiceOn {
            interruptions: None,
            frame: None,
        });
        bench.frames(20, 0.0);
        bench.listener.control(Control::VoiceOff { frame: None });
        // Seven frames count as echo; the speech begins within them or after them.
        bench.frames(4 + silent, 0.0);
        bench.frames(20, 0.9);
        let heard = bench
            .events(10, 0.0)
            .into_iter()
            .find_map(|event| match event {
                ListenEvent::Heard(heard) => Some(heard.is_headless),
                _ => None,
            });
        assert_eq!(heard, Some(marked), "{silent} silent frames more");
    }
}

#[test]
fn interruptions_are_heard_under_their_own_graph() {
    let mut bench = bench(vec![hearing("stop", 0.95, None)]);
    bench.frames(20, 0.0);
    bench.listener.control(Control::VoiceOn {
        interruptions: Some(graph(&["stop"], 1, 1)),
        frame: None,
    });
    assert_eq!(bench.frames(10, 0.9), ["started 640"]);
    // The voice stops while the vet still says it: it stays an interruption.
    bench.listener.control(Control::VoiceOff { frame: None });
    bench.frames(10, 0.9);
    assert_eq!(
        bench.frames(40, 0.0),
        ["heard stop by Cut under Interruptions after 96 ms, 1 attempts"]
    );
    assert_eq!(bench.asked().len(), 1);
    assert_eq!(bench.asked()[0].1, 1);
}

#[test]
fn an_answer_soon_after_the_program_is_no_part_of_what_its_own_voice_began() {
    let mut bench = bench(vec![
        hearing("stop", 0.5, None),
        hearing("one oh two", 0.95, None),
    ]);
    bench.frames(20, 0.0);
    bench.listener.control(Control::VoiceOn {
        interruptions: Some(graph(&["stop"], 1, 1)),
        frame: None,
    });
    bench.frames(20, 0.9);
    bench.listener.control(Control::VoiceOff { frame: None });
    // The canceller let it through; the answer comes 0.3 s after its end, before the full silence.
    let told = bench.frames(9, 0.0);
    assert_eq!(
        told,
        ["heard stop by Cut under Interruptions after 192 ms, 1 attempts"]
    );
    bench.frames(20, 0.9);
    assert_eq!(
        bench.frames(10, 0.0),
        ["heard one oh two by Pause under Session after 256 ms, 1 attempts"]
    );
}

#[test]
fn speech_before_the_program_speaks_is_heard_as_it_is() {
    let mut bench = bench(vec![hearing("one", 0.95, None)]);
    bench.frames(20, 0.9);
    let told = bench.listener.control(Control::VoiceOn {
        interruptions: None,
        frame: None,
    });
    assert_eq!(
        words(told),
        ["heard one by Cut under Session after 0 ms, 1 attempts"]
    );
}

#[test]
fn a_control_with_a_frame_waits_for_it() {
    let mut bench = bench(vec![hearing("one oh two", 0.95, None)]);
    bench.frames(20, 0.0);
    bench.listener.control(Control::VoiceOn {
        interruptions: None,
        frame: Some(60),
    });
    bench.frames(20, 0.9);
    assert_eq!(bench.frames(10, 0.0).len(), 1, "heard: frames 20 to 49");
    assert!(bench.frames(10, 0.0).is_empty());
    assert!(bench.frames(40, 0.9).is_empty());
}

#[test]
fn a_hole_while_the_program_speaks_asks_nobody_to_say_it_again() {
    let mut bench = bench(Vec::new());
    bench.listener.control(Control::VoiceOn {
        interruptions: Some(graph(&["stop"], 1, 1)),
        frame: None,
    });
    bench.frames(20, 0.9);
    assert_eq!(
        words(bench.listener.push(AudioEvent::Overrun { frames: 3 })),
        ["overrun 3 lost false"]
    );
}

#[test]
fn an_utterance_with_a_hole_is_dropped_and_told() {
    let mut bench = bench(Vec::new());
    assert_eq!(
        words(bench.listener.push(AudioEvent::Overrun { frames: 3 })),
        ["overrun 3 lost false"]
    );
    bench.frames(20, 0.9);
    assert_eq!(
        words(bench.listener.push(AudioEvent::Overrun { frames: 3 })),
        ["overrun 3 lost true"]
    );
    bench.next += 3;
    assert!(bench.frames(40, 0.0).is_empty());
    bench.frames(20, 0.9);
    let lost = AudioEvent::Lost {
        device: "d".to_owned(),
        why: "w".to_owned(),
    };
    assert_eq!(words(bench.listener.push(lost)), ["gone lost true"]);
    assert_eq!(bench.script.lock().unwrap().discarded, 2);
}

#[test]
fn a_failing_engine_is_told_and_the_next_utterance_is_heard() {
    let mut bench = bench(vec![hearing("one oh two", 0.95, None)]);
    let failure = || Err(SpeechError::Engine("out of sorts".to_owned()));
    bench.script.lock().unwrap().answers.splice(
        0..0,
        // All pauses and the end of the first utterance.
        [failure(), failure(), failure(), failure()],
    );
    bench.frames(20, 0.9);
    assert_eq!(
        bench.frames(40, 0.0),
        ["failed recognition failed: out of sorts"]
    );
    bench.frames(20, 0.9);
    assert_eq!(bench.frames(10, 0.0).len(), 1);
}

#[test]
fn a_cough_is_dismissed_without_asking_the_engine() {
    let mut bench = bench(Vec::new());
    bench.frames(20, 0.0);
    bench.frames(2, 0.9);
    assert_eq!(bench.frames(40, 0.0), ["dismissed"]);
}

#[test]
fn nothing_is_heard_before_there_is_a_graph() {
    let script = Arc::new(Mutex::new(Script::default()));
    let mut bench = Bench {
        listener: Listener::new(
            Activity::new(Box::new(SampleDetector), Settings::default()),
            Box::new(ScriptedEngine(Arc::clone(&script))),
            Box::new(|| Duration::ZERO),
        ),
        script,
        next: 0,
    };
    assert!(bench.frames(40, 0.9).is_empty());
    assert!(bench.frames(40, 0.0).is_empty());
}

#[test]
fn the_end_of_a_file_ends_the_utterance_and_the_thread() {
    let bench = bench(vec![hearing("one oh two", 0.95, None)]);
    let (audio_sender, audio) = crossbeam_channel::unbounded();
    let (_control_sender, control) = crossbeam_channel::unbounded();
    let (events, receiver) = crossbeam_channel::unbounded();
    for index in 0..20 {
        audio_sender
            .send(AudioEvent::Frame(Frame {
                samples: vec![0.9; FRAME_SAMPLES],
                index,
            }))
            .unwrap();
    }
    audio_sender.send(AudioEvent::Ended).unwrap();
    let thread = spawn(bench.listener, audio, control, events).unwrap();
    let told = words(receiver.iter().collect());
    thread.join().unwrap();
    assert_eq!(
        told,
        [
            "started 0",
            "heard one oh two by Source under Session after 0 ms, 1 attempts",
            "ended"
        ]
    );
}
