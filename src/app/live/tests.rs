//! The same sound, the same answers of the voice and the same keys give the same entries, whatever is late: the table's
//! loop with random delays against the plain order in which a file is played.

use std::sync::Mutex;

use crossbeam_channel::unbounded;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;

use super::*;
use crate::app::desk::{Desk, Opening};
use crate::app::talk::Mouth;
use crate::clock::SetClock;
use crate::record::Event;
use crate::speech::EngineIdentity;
use crate::speech::activity::End;
use crate::speech::listener::Heard;
use crate::terms::{Patient, Species};
use crate::voice::{Priority, SayId};

/// What the people may say, at any moment: commands that depend on what was heard back, and readings.
const SENTENCES: [&str; 9] = [
    "tooth one oh four",
    "buccal three two three",
    "palatal two two two",
    "mobility one",
    "confirm",
    "no",
    "undo",
    "next",
    "extract",
];

/// A spoken word of the program, and one of the people, in frames.
const PROGRAM_WORD: u64 = 12;
const WORD: u64 = 11;
/// From the last sound to the result of an utterance.
const SILENCE: u64 = 9;

/// One thing that people do.
#[derive(Debug, Clone)]
enum Deed {
    Say(&'static str),
    PressConfirm,
}

/// Things that people do, with the frames that they wait before.
fn deeds() -> impl Strategy<Value = Vec<(u64, Deed)>> {
    let deed = prop_oneof![
        6 => proptest::sample::select(SENTENCES.to_vec()).prop_map(Deed::Say),
        1 => Just(Deed::PressConfirm),
    ];
    // From at once to longer than a read-back, short waits more often: there it depends.
    let wait = prop_oneof![3 => 0..60_u64, 1 => 60..260_u64];
    proptest::collection::vec((wait, deed), 1..14)
}

/// What the microphone's side tells, frame by frame, and keys.
struct Sound {
    events: Vec<(u64, ListenEvent)>,
    presses: Vec<u64>,
    frames: u64,
}

fn sound(deeds: &[(u64, Deed)]) -> Sound {
    let mut frame = 40;
    let mut sound = Sound {
        events: Vec::new(),
        presses: Vec::new(),
        frames: 0,
    };
    for (wait, deed) in deeds {
        frame += wait;
        match deed {
            Deed::PressConfirm => sound.presses.push(frame),
            Deed::Say(words) => {
                // Known three frames after it began.
                let at_ms = frame * FRAME_MS;
                sound.events.push((
                    frame + 3,
                    ListenEvent::SpeechStarted {
                        at_ms,
                        under: Under::Session,
                    },
                ));
                frame += words.split(' ').count() as u64 * WORD + SILENCE;
                let heard = Heard::made_up(&[(words, 0.0)], Under::Session, End::Pause, 256);
                sound
                    .events
                    .push((frame, ListenEvent::Heard(Box::new(heard))));
                frame += 1;
            }
        }
    }
    sound.frames = frame + 400;
    sound
}

/// A voice that takes its time on the line of the sound.
#[derive(Clone, Default)]
struct TimedMouth(Arc<Mutex<Mouthful>>);

#[derive(Default)]
struct Mouthful {
    /// The frame that is being handled.
    now: u64,
    saying: Option<(SayId, u64)>,
    /// With the newest frame at that moment.
    told: Vec<(u64, VoiceEvent)>,
}

impl TimedMouth {
    fn at(&self, frame: u64) {
        self.0.lock().unwrap().now = frame;
    }

    /// What was told up to this frame.
    fn told(&self, newest: u64) -> Vec<(u64, VoiceEvent)> {
        let mut mouth = self.0.lock().unwrap();
        if let Some((id, end)) = mouth.saying
            && end <= newest
        {
            mouth.saying = None;
            mouth.told.push((end, VoiceEvent::Ended { id, cut: false }));
        }
        std::mem::take(&mut mouth.told)
    }
}

impl Mouth for TimedMouth {
    fn say(&self, id: SayId, phrases: Vec<String>, _priority: Priority) {
        let words: usize = phrases
            .iter()
            .map(|phrase| phrase.split_whitespace().count())
            .sum();
        let mut mouth = self.0.lock().unwrap();
        let end = mouth.now + 2 + words as u64 * PROGRAM_WORD;
        mouth.saying = Some((id, end));
    }

    fn cue(&self, _cue: Cue) {}

    fn stop(&self) {
        let mut mouth = self.0.lock().unwrap();
        if let Some((id, _)) = mouth.saying.take() {
            let now = mouth.now;
            mouth.told.push((now, VoiceEvent::Ended { id, cut: true }));
        }
    }
}

fn open(folder: &std::path::Path, mouth: TimedMouth) -> Talk {
    let opening = Opening {
        patient: Patient::example(Species::Dog),
        vet: None,
        nurse: None,
    };
    let clock = Box::new(SetClock::at_second(1_772_442_000));
    let (desk, _) = Desk::open(folder, Some(opening), true, clock).unwrap();
    let engine = EngineIdentity {
        name: "test".to_owned(),
        model: "test".to_owned(),
    };
    Talk::new(desk, mouth, engine)
}

fn entries(talk: &mut Talk) -> Vec<(Event, Vec<u64>)> {
    let visit = talk.desk().record().visit;
    talk.desk()
        .journal()
        .entries(visit)
        .unwrap()
        .into_iter()
        .skip(1)
        .map(|entry| (entry.event, entry.supersedes))
        .collect()
}

/// The clock moves with the frames, so that each utterance has its own moment.
fn tick_clock(talk: &mut Talk) {
    talk.desk().clock().advance_ms(FRAME_MS);
}

/// In the order in which a file is played: frame after frame, nothing is ever late.
fn in_order(sound: Sound) -> Vec<(Event, Vec<u64>)> {
    let folder = tempfile::tempdir().unwrap();
    let mouth = TimedMouth::default();
    let mut talk = open(folder.path(), mouth.clone());
    let mut events = sound.events.into_iter().peekable();
    let mut presses = sound.presses.into_iter().peekable();
    let mut voices: Vec<(u64, VoiceEvent)> = Vec::new();
    for frame in 0..sound.frames {
        mouth.at(frame);
        tick_clock(&mut talk);
        // What the voice and the keys told two frames ago.
        if let Some(newest) = (frame + 1).checked_sub(2) {
            voices.extend(mouth.told(newest));
            talk.at((frame + 1) * FRAME_MS);
            let pressed = presses.next_if(|press| *press <= newest).is_some();
            let (due, rest) = std::mem::take(&mut voices)
                .into_iter()
                .partition(|(at, _)| *at <= newest);
            voices = rest;
            let due: Vec<(u64, VoiceEvent)> = due;
            for (_, event) in due {
                talk.voice(&event);
            }
            if pressed {
                talk.press(vec![Intent::Confirm], Person::Unknown);
            }
        }
        talk.at((frame + 1) * FRAME_MS);
        talk.speak();
        while let Some((_, event)) = events.next_if(|(at, _)| *at == frame) {
            talk.listen(&event);
            talk.speak();
        }
    }
    entries(&mut talk)
}

/// What decides when an event of the voice or a key counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Counts {
    /// Its time on the line, as in the program.
    Time,
    /// When the loop comes to it: what the program must not do.
    Arrival,
}

/// Ends of a table without a page or keys, and what its voice tells through.
fn ends() -> (Ends, Sender<(u64, VoiceEvent)>) {
    let (_told, listening) = unbounded();
    let (controls, _control) = unbounded();
    let (told_by_voice, voice) = unbounded();
    let ends = Ends {
        listening,
        controls,
        voice,
        presses: None,
        monitor: None,
        damage: None,
        courier: None,
        position: Arc::default(),
        keys: None,
        is_open: true,
        people: None,
        voices: Voices::default(),
        hears_itself: false,
    };
    (ends, told_by_voice)
}

/// Through the table's loop: the listener is late by chance, the loop is busy by chance (a slow sync), and what the
/// voice told is looked at early or late.
fn with_delays(sound: Sound, late: &[u8], counts: Counts) -> Vec<(Event, Vec<u64>)> {
    let folder = tempfile::tempdir().unwrap();
    let mouth = TimedMouth::default();
    let talk = open(folder.path(), mouth.clone());
    let (ends, told_by_voice) = ends();
    let mut show = |_: &mut Talk, _: Shown<'_>| {};
    let mut table = Table::new(talk, &ends, None, &mut show);
    let mut events = sound.events.into_iter().peekable();
    let mut presses = sound.presses.into_iter().peekable();
    let mut late = late.iter().cycle().map(|by| u64::from(*by));
    // The moment, in frames given by the microphone, at which the loop comes to the next thing.
    let mut moment = 0;
    for frame in 0..sound.frames {
        moment = moment.max(frame + 1) + late.next().unwrap_or(0).saturating_sub(6);
        // The voice and the keys are not late; whether the loop looks at them at once is chance.
        while let Some(press) = presses.next_if(|press| *press < moment) {
            match counts {
                Counts::Time => table.line.put(press, Input::Key(Act::Confirm)),
                Counts::Arrival => table.key(Act::Confirm),
            }
        }
        for event in mouth.told(moment.min(frame)) {
            match counts {
                Counts::Time => told_by_voice.send(event).unwrap(),
                Counts::Arrival => table.tell(&mut |talk| talk.voice(&event.1)),
            }
        }
        if late.next().unwrap_or(0) > 4 {
            table.take_voice();
        }
        mouth.at(frame);
        tick_clock(&mut table.talk);
        table.take_voice();
        table.hear(ListenEvent::HeardUpTo {
            at_ms: (frame + 1) * FRAME_MS,
        });
        while let Some((_, event)) = events.next_if(|(at, _)| *at == frame) {
            table.hear(event);
            table.tell(&mut Talk::speak);
        }
    }
    entries(&mut table.talk)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn delays_change_no_entry(deeds in deeds(), late in proptest::collection::vec(0..9_u8, 50)) {
        prop_assert_eq!(
            in_order(sound(&deeds)),
            with_delays(sound(&deeds), &late, Counts::Time)
        );
    }
}

/// The same property does not hold for a loop that goes by the order of arrival: what is tried above can fail.
#[test]
fn by_arrival_delays_would_change_entries() {
    let mut runner = TestRunner::deterministic();
    let cases = (deeds(), proptest::collection::vec(0..9_u8, 50));
    let differs = (0..200).any(|_| {
        let (deeds, late) = cases.new_tree(&mut runner).unwrap().current();
        in_order(sound(&deeds)) != with_delays(sound(&deeds), &late, Counts::Arrival)
    });
    assert!(differs, "no delay changed anything");
}

#[test]
fn people_are_asked_to_wait_once_where_recognition_is_seconds_behind() {
    let folder = tempfile::tempdir().unwrap();
    let mouth = TimedMouth::default();
    let talk = open(folder.path(), mouth.clone());
    let (ends, _voice) = ends();
    let told = std::cell::RefCell::new(Vec::new());
    let mut show = |_: &mut Talk, shown: Shown<'_>| {
        if let Shown::Line(line) = shown {
            told.borrow_mut().push(format!("{line:?}"));
        }
    };
    let count = |what: &str| {
        let lines = told.borrow();
        lines.iter().filter(|line| line.contains(what)).count()
    };
    let mut table = Table::new(talk, &ends, None, &mut show);
    let at = |table: &mut Table<'_, '_>, given_ms: u64, heard_ms: u64| {
        ends.position.store(given_ms / FRAME_MS, Ordering::Release);
        table.hear(ListenEvent::HeardUpTo { at_ms: heard_ms });
        table.look();
    };
    at(&mut table, 60_000, 59_000);
    assert_eq!(count("One moment"), 0, "{told:?}");
    for behind_ms in [2_600, 4_000, 1_000, 3_000] {
        at(&mut table, 64_000, 64_000 - behind_ms);
        assert_eq!(count("recognition is 3 s behind"), 1, "{told:?}");
    }
    assert_eq!(count("One moment"), 1, "{told:?}");
    at(&mut table, 70_000, 69_900);
    at(&mut table, 80_000, 77_000);
    assert_eq!(count("recognition is 3 s behind"), 2, "{told:?}");
}
