//! The queue with a made-up voice and made-up outputs. Nothing here waits for a clock: tests wait for events.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::time::Duration;

use super::super::Sound;
use super::queue::WAITING_MAX;
use super::*;

/// How long a test waits for an event before it counts as missing. Reached only where the test fails.
const PATIENCE: Duration = Duration::from_secs(60);

/// Says each phrase as 10 ms of sound, and counts.
struct Babbler {
    made: Arc<AtomicUsize>,
}

impl Synthesiser for Babbler {
    fn identity(&self) -> &str {
        "babbler"
    }

    fn rate_hz(&self) -> u32 {
        16_000
    }

    fn synthesise(&mut self, phrase: &str) -> Result<Sound, VoiceError> {
        self.made.fetch_add(1, Ordering::SeqCst);
        if phrase == "unspeakable" {
            let (phrase, why) = (phrase.to_owned(), "test".to_owned());
            return Err(VoiceError::Phrase { phrase, why });
        }
        Ok(Sound {
            samples: vec![0.1; 160],
            rate_hz: 16_000,
        })
    }
}

/// A loudspeaker under the test's hand: sound remains until the test lets it be heard.
#[derive(Default)]
struct Hand {
    silencer: Silencer,
    remaining_ms: Arc<AtomicU64>,
    /// How it fares: [`THERE`], [`HICCUP`] or [`GONE`].
    gone: Arc<AtomicUsize>,
}

const THERE: usize = 0;
/// Fails once and is there again.
const HICCUP: usize = 1;
const GONE: usize = 2;

impl Hand {
    fn state(&self) -> Result<(), VoiceError> {
        match self.gone.load(Ordering::SeqCst) {
            THERE => return Ok(()),
            // What was to be heard is lost with it: before the test may go on, or it takes that for the next sound.
            HICCUP => {
                self.remaining_ms.store(0, Ordering::SeqCst);
                self.gone.store(THERE, Ordering::SeqCst);
            }
            _ => {}
        }
        Err(VoiceError::Loudspeaker {
            why: "test".to_owned(),
        })
    }
}

impl Output for Hand {
    fn ready(&mut self) -> Result<(), VoiceError> {
        self.state()
    }

    fn play(&mut self, sound: &Sound) -> Result<(), VoiceError> {
        self.remaining_ms
            .fetch_add(sound.duration_ms(), Ordering::SeqCst);
        self.state()
    }

    fn remaining_ms(&mut self) -> Result<u64, VoiceError> {
        self.state()?;
        Ok(self.remaining_ms.load(Ordering::SeqCst))
    }

    fn cut(&mut self) {
        self.remaining_ms.store(0, Ordering::SeqCst);
        self.silencer.release();
    }

    fn silencer(&self) -> Silencer {
        self.silencer.clone()
    }
}

struct Bench {
    speaker: Speaker,
    events: Receiver<VoiceEvent>,
    remaining_ms: Arc<AtomicU64>,
    gone: Arc<AtomicUsize>,
    made: Arc<AtomicUsize>,
}

fn bench() -> Bench {
    let hand = Hand::default();
    let (remaining_ms, gone) = (Arc::clone(&hand.remaining_ms), Arc::clone(&hand.gone));
    let made = Arc::new(AtomicUsize::new(0));
    let voice = Babbler {
        made: Arc::clone(&made),
    };
    let (speaker, events) = Speaker::start(Some(Box::new(voice)), Box::new(hand), None);
    Bench {
        speaker,
        events,
        remaining_ms,
        gone,
        made,
    }
}

impl Bench {
    fn say(&self, id: u64, phrase: &str, priority: Priority) {
        self.speaker
            .say(SayId(id), vec![phrase.to_owned()], priority);
    }

    fn expect(&self, expected: &str) {
        let event = self.events.recv_timeout(PATIENCE).unwrap();
        assert_eq!(short(&event), expected);
    }

    /// Waits for the sound, which comes just after the event that announces it, and lets it be heard.
    fn let_it_be_heard(&self) {
        while self.remaining_ms.swap(0, Ordering::SeqCst) == 0 {
            std::thread::yield_now();
        }
    }
}

fn short(event: &VoiceEvent) -> String {
    match event {
        VoiceEvent::Started { id } => format!("started {}", id.0),
        VoiceEvent::Ended { id, cut } => {
            format!("ended {}{}", id.0, if *cut { " cut" } else { "" })
        }
        VoiceEvent::Failed { id, error } => format!("failed {}: {error}", id.0),
        VoiceEvent::CueStarted { cue } => format!("started {}", cue.name()),
        VoiceEvent::CueEnded { cue } => format!("ended {}", cue.name()),
        VoiceEvent::NoLoudspeaker { .. } => "no loudspeaker".to_owned(),
        VoiceEvent::LoudspeakerFound => "loudspeaker found".to_owned(),
    }
}

#[test]
fn sentences_are_said_in_order_and_tones_go_between() {
    let bench = bench();
    bench.say(1, "one", Priority::Ordinary);
    bench.expect("started 1");
    bench.say(2, "two", Priority::Ordinary);
    bench.speaker.cue(Cue::Saved);
    bench.let_it_be_heard();
    bench.expect("ended 1");
    bench.expect("started saved");
    bench.let_it_be_heard();
    bench.expect("ended saved");
    bench.expect("started 2");
    bench.let_it_be_heard();
    bench.expect("ended 2");
}

#[test]
fn stop_cuts_the_sentence_and_forgets_what_waits() {
    let bench = bench();
    bench.say(1, "one", Priority::Ordinary);
    bench.expect("started 1");
    bench.say(2, "two", Priority::Ordinary);
    bench.say(3, "three", Priority::Ordinary);
    bench.speaker.stop();
    let mut ends: Vec<String> = (0..3)
        .map(|_| short(&bench.events.recv_timeout(PATIENCE).unwrap()))
        .collect();
    ends.sort();
    assert_eq!(ends, ["ended 1 cut", "ended 2 cut", "ended 3 cut"]);
    // And it speaks again.
    bench.say(4, "four", Priority::Ordinary);
    bench.expect("started 4");
    bench.let_it_be_heard();
    bench.expect("ended 4");
}

#[test]
fn an_urgent_sentence_cuts_the_one_being_said_and_comes_before_what_waits() {
    let bench = bench();
    bench.say(1, "one", Priority::Ordinary);
    bench.expect("started 1");
    bench.say(2, "two", Priority::Ordinary);
    bench.say(3, "three", Priority::Urgent);
    bench.expect("ended 1 cut");
    bench.expect("started 3");
    bench.let_it_be_heard();
    bench.expect("ended 3");
    bench.expect("started 2");
}

#[test]
fn a_lost_loudspeaker_is_told_once_and_its_return_once() {
    let bench = bench();
    bench.say(1, "one", Priority::Ordinary);
    bench.expect("started 1");
    bench.gone.store(GONE, Ordering::SeqCst);
    bench.expect("no loudspeaker");
    let failed = "no loudspeaker: test; plug one in or choose another with --loudspeaker";
    bench.expect(&format!("failed 1: {failed}"));
    bench.say(2, "two", Priority::Ordinary);
    bench.expect(&format!("failed 2: {failed}"));
    // A tone has no events then; the sentence after it shows that it was tried.
    bench.speaker.cue(Cue::NotSaved);
    bench.say(4, "four", Priority::Ordinary);
    bench.expect(&format!("failed 4: {failed}"));
    bench.gone.store(THERE, Ordering::SeqCst);
    bench.say(3, "three", Priority::Ordinary);
    bench.expect("loudspeaker found");
    bench.expect("started 3");
    bench.let_it_be_heard();
    bench.expect("ended 3");
}

#[test]
fn a_sentence_that_broke_off_is_said_again_where_the_device_comes_back_at_once() {
    let bench = bench();
    bench.say(1, "one", Priority::Ordinary);
    bench.expect("started 1");
    bench.gone.store(HICCUP, Ordering::SeqCst);
    while bench.gone.load(Ordering::SeqCst) == HICCUP {
        std::thread::yield_now();
    }
    bench.let_it_be_heard();
    bench.expect("ended 1");
}

#[test]
fn a_phrase_that_cannot_be_made_fails_its_sentence_only() {
    let bench = bench();
    bench.say(1, "unspeakable", Priority::Ordinary);
    bench.expect("failed 1: cannot make speech of \"unspeakable\": test");
    bench.say(2, "two", Priority::Ordinary);
    bench.expect("started 2");
}

#[test]
fn what_was_made_ahead_is_not_made_again() {
    let bench = bench();
    bench
        .speaker
        .prepare(vec!["one".to_owned(), "two".to_owned()]);
    bench.say(1, "one", Priority::Ordinary);
    bench.expect("started 1");
    bench.let_it_be_heard();
    bench.expect("ended 1");
    bench.say(2, "two", Priority::Ordinary);
    bench.expect("started 2");
    assert_eq!(bench.made.load(Ordering::SeqCst), 2);
}

#[test]
fn too_many_sentences_are_refused_not_hoarded() {
    let bench = bench();
    bench.say(0, "one", Priority::Ordinary);
    bench.expect("started 0");
    let last = WAITING_MAX as u64 + 1;
    for id in 1..=last {
        bench.say(id, "one", Priority::Ordinary);
    }
    bench.expect(&format!(
        "failed {last}: too many sentences wait to be said"
    ));
}

#[test]
fn without_a_voice_tones_work_and_sentences_fail() {
    let hand = Hand::default();
    let remaining_ms = Arc::clone(&hand.remaining_ms);
    let (speaker, events) = Speaker::start(None, Box::new(hand), None);
    speaker.say(SayId(1), vec!["one".to_owned()], Priority::Ordinary);
    assert!(short(&events.recv_timeout(PATIENCE).unwrap()).starts_with("failed 1: no voice"));
    speaker.cue(Cue::Heard);
    assert_eq!(
        short(&events.recv_timeout(PATIENCE).unwrap()),
        "started heard"
    );
    while remaining_ms.swap(0, Ordering::SeqCst) == 0 {
        std::thread::yield_now();
    }
    assert_eq!(
        short(&events.recv_timeout(PATIENCE).unwrap()),
        "ended heard"
    );
}

#[test]
fn dropping_the_speaker_ends_what_is_said() {
    let bench = bench();
    bench.say(1, "one", Priority::Ordinary);
    bench.expect("started 1");
    bench.say(2, "two", Priority::Ordinary);
    drop(bench.speaker);
    let mut ends: Vec<String> = bench.events.iter().map(|event| short(&event)).collect();
    ends.sort();
    assert_eq!(ends, ["ended 1 cut", "ended 2 cut"]);
}

#[test]
fn the_synchronous_mouth_has_told_all_when_the_call_returns() {
    let made = Arc::new(AtomicUsize::new(0));
    let voice = Babbler {
        made: Arc::clone(&made),
    };
    let output = Box::new(super::super::player::Nowhere::default());
    let (speaker, events) = Speaker::synchronous(Some(Box::new(voice)), output, None);
    speaker.say(
        SayId(1),
        vec!["one".to_owned(), "two".to_owned()],
        Priority::Ordinary,
    );
    speaker.cue(Cue::Saved);
    speaker.stop();
    let told: Vec<String> = events.try_iter().map(|event| short(&event)).collect();
    assert_eq!(
        told,
        ["started 1", "ended 1", "started saved", "ended saved"]
    );
    assert_eq!(made.load(Ordering::SeqCst), 2);
}
