//! Conversations at a table where sound only takes time: who has the word, what is confirmed, and what never is.

use super::*;
use crate::app::desk::Opening;
use crate::app::simulated::{SimulatedMouth, Stage, StageClock};
use crate::speech::listener::Heard;
use crate::terms::{Patient, Species};

pub(super) struct Table {
    pub(super) talk: Talk,
    stage: Stage,
    pub(super) lines: Vec<Line>,
    _folder: tempfile::TempDir,
}

impl Table {
    pub(super) fn open(pace: Pace) -> Self {
        Self::of_clinic(pace, "")
    }

    /// With the clinic's own choices.
    pub(super) fn of_clinic(pace: Pace, clinic: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join(crate::app::clinic::FILE), clinic).unwrap();
        let stage = Stage::default();
        let opening = Opening {
            patient: Patient::example(Species::Dog),
            vet: None,
            nurse: None,
        };
        let clock = Box::new(StageClock(stage.clone()));
        let (desk, _) = Desk::open(folder.path(), Some(opening), true, clock).unwrap();
        let engine = EngineIdentity {
            name: "test".to_owned(),
            model: "test".to_owned(),
        };
        let talk = Talk::new(desk, SimulatedMouth(stage.clone()), engine).with_pace(pace);
        Self {
            talk,
            stage,
            lines: Vec::new(),
            _folder: folder,
        }
    }

    /// Lets time pass.
    pub(super) fn pass(&mut self, ms: u64) {
        for _ in 0..ms / 10 {
            self.stage.advance_to(self.stage.now_ms() + 10);
            self.talk.at(self.stage.now_ms());
            for event in self.stage.events() {
                let lines = self.talk.voice(&event);
                self.lines.extend(lines);
            }
            let lines = self.talk.speak();
            self.lines.extend(lines);
        }
    }

    pub(super) fn begin(&mut self, under: Under) {
        let event = ListenEvent::SpeechStarted {
            at_ms: self.stage.now_ms(),
            under,
        };
        let lines = self.talk.listen(&event);
        self.lines.extend(lines);
    }

    pub(super) fn end(
        &mut self,
        sentences: &[(&str, f32)],
        under: Under,
        end: End,
        silence_ms: u64,
    ) {
        self.heard(Heard::made_up(sentences, under, end, silence_ms));
    }

    pub(super) fn heard(&mut self, heard: Heard) {
        let lines = self.talk.listen(&ListenEvent::Heard(Box::new(heard)));
        self.lines.extend(lines);
    }

    /// A sentence of half a second.
    pub(super) fn say(&mut self, words: &str) {
        self.begin(Under::Session);
        self.pass(500);
        self.end(&[(words, 0.0)], Under::Session, End::Pause, 256);
    }

    pub(super) fn says(&mut self) -> Vec<String> {
        std::mem::take(&mut self.lines)
            .into_iter()
            .filter_map(|line| match line {
                Line::Says(text) => Some(text),
                _ => None,
            })
            .collect()
    }

    pub(super) fn standings(&mut self) -> Vec<Standing> {
        let record = self.talk.desk().record();
        record.current().map(|charted| charted.standing).collect()
    }

    pub(super) fn count(&mut self, standing: Standing) -> usize {
        self.standings()
            .into_iter()
            .filter(|found| *found == standing)
            .count()
    }
}

pub(super) const LONG_MS: u64 = 20_000;

#[test]
fn a_fast_vet_is_told_all_of_a_tooth_at_once_in_the_pause() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.say("buccal three two three");
    // The read-back has begun; the vet speaks on, and has the word.
    table.pass(300);
    table.says();
    for words in ["palatal two two two", "mobility one", "calculus two"] {
        table.say(words);
        table.pass(400);
    }
    assert_eq!(
        table.says(),
        Vec::<String>::new(),
        "nothing is said in between"
    );
    assert_eq!(table.count(Standing::Heard), 8);
    table.pass(LONG_MS);
    let says = table.says();
    assert_eq!(says.len(), 1, "{says:?}");
    for part in ["104", "3 2 3", "2 2 2", "Mobility", "Calculus"] {
        assert!(
            says[0].to_lowercase().contains(&part.to_lowercase()),
            "{part}: {says:?}"
        );
    }
    assert_eq!(table.count(Standing::ReadBack), 8, "nothing is lost");
}

/// Half a second of speech, the first silence, and then the sentence: how often [`Cue::Heard`] sounded with the silence,
/// and how often with the sentence.
fn heard_tones(table: &mut Table, words: &str) -> [usize; 2] {
    let count = |table: &Table| {
        let cues = table.stage.cues();
        cues.into_iter().filter(|cue| *cue == Cue::Heard).count()
    };
    count(table);
    table.begin(Under::Session);
    table.pass(500);
    table.talk.listen(&ListenEvent::Hushed);
    let at_silence = count(table);
    table.end(&[(words, 0.0)], Under::Session, End::Pause, 256);
    [at_silence, count(table)]
}

#[test]
fn the_tone_comes_with_the_first_silence_and_only_once() {
    let mut table = Table::open(Pace::EachReading);
    assert_eq!(
        heard_tones(&mut table, "tooth one oh four"),
        [0, 1],
        "by default it says that the sentence was understood"
    );
    table.talk = table.talk.with_heard_tone(HeardTone::Silence);
    table.pass(LONG_MS);
    assert_eq!(heard_tones(&mut table, "buccal three two three"), [1, 0]);
    // It belongs to its own utterance: the next one that ends without a silence before it has its own tone.
    table.pass(LONG_MS);
    table.stage.cues();
    table.say("confirm");
    assert!(table.stage.cues().contains(&Cue::Heard));
    // Once more, while the program still speaks: late tones are none.
    table.talk.say_all(vec![Phrase::new("overrun")]);
    table.talk.listen(&ListenEvent::Hushed);
    assert!(!table.stage.cues().contains(&Cue::Heard));
    table.pass(LONG_MS);
    table.say("stop listening");
    table.pass(LONG_MS);
    assert_eq!(
        heard_tones(&mut table, "buccal three two three"),
        [0, 0],
        "asleep it is silent"
    );
}

#[test]
fn the_tone_for_vital_signs_waits_while_somebody_speaks_and_is_spared_where_they_come() {
    const INTERVAL_MS: u64 = 5 * 60_000;
    let mut table = Table::open(Pace::EachReading);
    table.say("anaesthesia started");
    table.pass(LONG_MS);
    let tones = |table: &mut Table| {
        table.talk.remind();
        let cues = table.stage.cues();
        cues.iter().filter(|cue| **cue == Cue::VitalsDue).count()
    };
    // Over somebody's words, and in the silence after them.
    let tones_about = |table: &mut Table, words: &str| {
        table.stage.advance_to(table.stage.now_ms() + INTERVAL_MS);
        table.pass(10);
        table.begin(Under::Session);
        let over = tones(table);
        table.end(&[(words, 0.0)], Under::Session, End::Pause, 256);
        table.pass(LONG_MS);
        [over, tones(table)]
    };
    assert_eq!(tones_about(&mut table, "tooth one oh four"), [0, 1]);
    assert_eq!(tones(&mut table), 0, "and once");
    table.say("heart rate nine two");
    table.pass(LONG_MS);
    assert_eq!(
        tones_about(&mut table, "heart rate nine four"),
        [0, 0],
        "what was due has come"
    );
}

#[test]
fn a_confirm_during_the_read_back_confirms_nothing_of_it() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.say("buccal three two three");
    table.pass(600);
    assert_eq!(table.count(Standing::Heard), 3);
    // By key, while it is being said.
    table.talk.press(vec![Intent::Confirm], Person::Unknown);
    assert_eq!(table.count(Standing::Confirmed), 0);
    table.pass(LONG_MS);
    assert_eq!(table.count(Standing::ReadBack), 3);
    table.say("confirm");
    assert_eq!(table.count(Standing::Confirmed), 3);
}

#[test]
fn a_confirm_that_began_before_the_end_of_the_read_back_confirms_nothing_of_it() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.say("buccal three two three");
    let whole_ms = table.stage.next_end_ms().unwrap() - table.stage.now_ms();
    table.pass(whole_ms - 200);
    table.say("confirm");
    assert_eq!(table.count(Standing::Confirmed), 0);
    // It was cut by that; it is said again and can be confirmed then.
    table.pass(LONG_MS);
    assert_eq!(table.count(Standing::ReadBack), 3);
    table.say("confirm");
    assert_eq!(table.count(Standing::Confirmed), 3);
}

#[test]
fn after_stop_a_confirm_says_first_what_was_not_said() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.say("buccal three two three");
    table.pass(500);
    table.begin(Under::Interruptions);
    table.end(&[("stop", 0.0)], Under::Interruptions, End::Pause, 256);
    table.pass(LONG_MS);
    assert_eq!(table.count(Standing::Heard), 3);
    table.says();
    table.say("confirm");
    table.pass(LONG_MS);
    assert_eq!(table.count(Standing::Confirmed), 0);
    let says = table.says();
    assert!(
        says[0].contains("3 2 3") && says[1].contains("Confirm?"),
        "{says:?}"
    );
    table.say("confirm");
    assert_eq!(table.count(Standing::Confirmed), 3);
}

#[test]
fn no_during_a_read_back_speaks_of_that_read_back() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.say("buccal three two three");
    table.pass(300);
    // On to the next tooth before the read-back: what is told then is still the first one.
    table.say("tooth one oh five mobility one");
    table.pass(1_700);
    let being_said = table.talk.turn().saying().unwrap().entries.clone();
    assert_eq!(being_said.len(), 3, "the buccal depths");
    table.begin(Under::Interruptions);
    table.end(&[("no", 0.0)], Under::Interruptions, End::Pause, 256);
    let record = table.talk.desk().record();
    assert!(being_said.iter().all(|number| !record.is_current(*number)));
    assert_eq!(record.current().count(), 1, "the mobility stands");
}

#[test]
fn the_programs_own_no_is_no_interruption() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.say("mobility one");
    table.pass(LONG_MS);
    table.say("confirm");
    table.pass(LONG_MS);
    table.say("confirm");
    // "Nothing to confirm."
    table.begin(Under::Interruptions);
    table.end(&[("no", 0.0)], Under::Interruptions, End::Pause, 256);
    assert_eq!(table.count(Standing::Confirmed), 1);
    assert!(table.talk.turn().saying().is_some(), "it is said on");
}

#[test]
fn a_reading_without_its_beginning_is_not_entered_but_a_command_counts() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh eight");
    table.pass(LONG_MS);
    table.say("buccal three two three");
    table.pass(LONG_MS);
    let headless = |table: &mut Table, words: &str| {
        table.begin(Under::Session);
        table.pass(500);
        let mut heard = Heard::made_up(&[(words, 0.0)], Under::Session, End::Pause, 256);
        heard.is_headless = true;
        let lines = table.talk.listen(&ListenEvent::Heard(Box::new(heard)));
        table.lines.extend(lines);
        table.pass(LONG_MS);
    };
    // "Palatal" was spoken over, and the first digit of a tooth.
    for words in ["two two two", "three oh four", "next"] {
        table.says();
        headless(&mut table, words);
        assert_eq!(
            table.says(),
            ["I missed some words, Say the last reading again"],
            "{words}"
        );
    }
    assert_eq!(table.count(Standing::ReadBack), 3);
    headless(&mut table, "confirm");
    assert_eq!(table.count(Standing::Confirmed), 3);
}

#[test]
fn a_nurses_confirm_is_of_what_was_read_back_and_of_nothing_after_it() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.say("buccal three two three");
    table.pass(LONG_MS);
    table.say("tooth one oh five mobility one");
    // Its read-back has not ended when the nurse confirms.
    table.pass(100);
    table.talk.next_is(Person::Nurse);
    table.say("confirm");
    assert_eq!(table.count(Standing::Confirmed), 3);
    let record = table.talk.desk().record();
    let by: Vec<_> = record
        .current()
        .filter_map(|charted| charted.confirmed_by.as_ref())
        .map(|heard| heard.speaker)
        .collect();
    assert_eq!(by, [Person::Nurse; 3]);
}

#[test]
fn a_hint_who_spoke_is_kept_for_one_utterance_and_decides_nothing() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.talk.next_sounds_like(Person::Nurse);
    table.say("mobility one");
    table.pass(LONG_MS);
    table.say("calculus two");
    table.pass(LONG_MS);
    table.talk.next_sounds_like(Person::Nurse);
    table.say("confirm");
    // All is confirmed, as by anybody who is not known: by a nurse's key it would be the last one read back.
    assert_eq!(table.count(Standing::Confirmed), 2);
    let record = table.talk.desk().record();
    let heard = |charted: &crate::record::Charted| charted.heard.clone().unwrap();
    let entered: Vec<_> = record.current().map(heard).collect();
    assert_eq!(entered[0].sounds_like, Person::Nurse);
    assert_eq!(entered[1].sounds_like, Person::Unknown);
    assert!(entered.iter().all(|heard| heard.speaker == Person::Unknown));
}

#[test]
fn a_nurse_does_not_answer_for_the_vet() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.say("extract");
    table.pass(LONG_MS);
    table.talk.next_is(Person::Nurse);
    table.say("confirm");
    table.pass(LONG_MS);
    assert!(table.says().iter().any(|said| said == "The vet decides"));
    assert_eq!(table.standings(), []);
    table.say("confirm");
    assert_eq!(table.count(Standing::Confirmed), 1);
}

#[test]
fn a_close_call_is_asked_and_the_answer_is_one_word() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.says();
    table.begin(Under::Session);
    table.end(
        &[
            ("buccal three five three", -1.0),
            ("buccal three nine three", -1.3),
        ],
        Under::Session,
        End::Pause,
        256,
    );
    table.pass(LONG_MS);
    assert_eq!(table.says(), ["five, or nine?"]);
    assert_eq!(table.standings(), []);
    table.say("nine");
    table.pass(LONG_MS);
    let says = table.says();
    assert!(says[0].contains("3 9 3"), "{says:?}");
    let words: Vec<_> = table
        .talk
        .desk()
        .record()
        .current()
        .filter_map(|charted| charted.heard.as_ref())
        .map(|heard| heard.words.clone())
        .collect();
    assert_eq!(words, ["buccal three nine three"; 3]);
}

#[test]
fn two_failures_in_a_row_change_the_way() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.says();
    let close = [
        ("buccal three five three", -1.0),
        ("buccal three nine three", -1.3),
    ];
    for _ in 0..2 {
        table.begin(Under::Session);
        table.end(&close, Under::Session, End::Pause, 256);
        table.pass(LONG_MS);
    }
    let says = table.says();
    assert_eq!(says.len(), 2, "{says:?}");
    assert!(says[1].contains("digit by digit"), "{says:?}");
}

#[test]
fn half_a_reading_is_not_entered() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.says();
    table.begin(Under::Session);
    table.end(&[("buccal three", 0.0)], Under::Session, End::Cut, 64);
    table.pass(LONG_MS);
    assert_eq!(table.standings(), []);
    let says = table.says();
    assert!(says[0].contains("Say the last reading again"), "{says:?}");
}

#[test]
fn in_quiet_only_questions_and_answers_are_spoken() {
    let mut table = Table::open(Pace::Quiet);
    table.say("tooth one oh four");
    table.pass(LONG_MS);
    table.say("buccal three two three");
    table.pass(LONG_MS);
    assert_eq!(table.says(), Vec::<String>::new());
    assert_eq!(
        table.count(Standing::Heard),
        3,
        "what was not said is not read back"
    );
    table.say("extract");
    table.pass(LONG_MS);
    assert!(table.says()[0].starts_with("Extract"));
    table.say("no");
    table.pass(LONG_MS);
    table.say("summary");
    table.pass(LONG_MS);
    assert!(table.says().iter().any(|said| said.contains("3 2 3")));
}
