//! The people at the table: they say what they mean, listen to what is said back, mend what is wrong, and confirm.
//! They know the record only from what they hear.

use std::collections::BTreeSet;

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

use super::meant::{DIGITS, Exam, Piece, ToothPlan, tooth_words, words};
use super::mouth::Stage;
use super::{Outcome, Room};
use crate::app::talk::Talk;
use crate::grammar::intent::Pace;
use crate::grammar::sample;
use crate::record::event::{Proposed, Speaker as Person};
use crate::record::{Event, Record};
use crate::session::{Phrase, Slot};
use crate::speech::activity::End;
use crate::speech::listener::{Heard, Latency, ListenEvent, Under};
use crate::speech::{Hearing, Unheard, Utterance};
use crate::terms::ToothNumber;
use crate::voice::{Cue, VoiceEvent};

/// A dictated word: 2.8 a second, the middle of the recorded speakers.
const WORD_MS: u64 = 360;
/// From the end of speech to the result: the pause that ends an utterance, and recognition.
const DECISION_MS: u64 = 256 + 180;
/// Between hearing something and answering it.
const REACTION_MS: std::ops::Range<u64> = 350..900;
/// To walk the probe along a side.
const PROBE_MS: std::ops::Range<u64> = 2_000..4_000;
/// A fast vet's pause between two readings.
const FAST_MS: std::ops::Range<u64> = 250..700;
/// Rounds of mending one tooth before the people give up.
const ROUNDS_MAX: usize = 25;
/// Longest that anybody waits for the program to fall silent.
const PATIENCE_MS: u64 = 60_000;

pub struct Table<'a> {
    talk: Talk,
    stage: Stage,
    room: &'a Room,
    random: ChaCha8Rng,
    /// Said to the end and not yet thought about.
    heard: Vec<Phrase>,
    outcome: Outcome,
    last_words: Vec<String>,
    /// Tones after the last words.
    cues: Vec<Cue>,
    /// Teeth to come back to.
    again: BTreeSet<ToothNumber>,
}

/// One tooth being worked on.
struct Work<'a> {
    exam: &'a Exam,
    plan: &'a ToothPlan,
    /// Said back right, since it was last said back wrong or withdrawn.
    right: BTreeSet<super::Meant>,
    told: Vec<bool>,
    is_at_tooth: bool,
    is_confirmed: bool,
    /// Pieces to be said as corrections.
    to_mend: Vec<usize>,
    to_deny: bool,
    to_undo: bool,
    asleep: bool,
    question: Option<Phrase>,
    /// The nurse has heard a read-back that is right.
    to_confirm: bool,
}

impl Work<'_> {
    /// A piece is told when each of its values was said back right.
    fn count_told(&mut self) {
        for (told, piece) in self.told.iter_mut().zip(&self.plan.pieces) {
            *told = piece.values.iter().all(|(key, _)| self.right.contains(key));
        }
    }

    /// Something was heard that cannot be left as it is.
    fn must_act(&self) -> bool {
        self.asleep
            || self.question.is_some()
            || self.to_undo
            || self.to_deny
            || !self.to_mend.is_empty()
            || self.to_confirm
    }
}

impl<'a> Table<'a> {
    pub fn new(talk: Talk, stage: Stage, room: &'a Room, random: ChaCha8Rng) -> Self {
        Self {
            talk,
            stage,
            room,
            random,
            heard: Vec::new(),
            outcome: Outcome::default(),
            last_words: Vec::new(),
            cues: Vec::new(),
            again: BTreeSet::new(),
        }
    }

    pub fn record(&mut self) -> &Record {
        self.talk.desk().record()
    }

    pub fn outcome(&mut self) -> Outcome {
        let mut outcome = std::mem::take(&mut self.outcome);
        outcome.seconds = self.stage.now_ms() as f64 / 1000.0;
        outcome
    }

    pub fn examine(&mut self, exam: &Exam, first: Vec<Phrase>) {
        self.talk.say_all(first);
        self.wait_until_quiet();
        self.heard.clear();
        for plan in &exam.teeth {
            self.tooth(exam, plan);
        }
        // What a false entry damaged on another tooth is said again.
        for _ in 0..3 {
            let again = std::mem::take(&mut self.again);
            for plan in exam.teeth.iter().filter(|plan| again.contains(&plan.tooth)) {
                self.tooth(exam, plan);
            }
        }
    }

    fn tooth(&mut self, exam: &Exam, plan: &ToothPlan) {
        let mut work = Work {
            exam,
            plan,
            right: BTreeSet::new(),
            told: vec![false; plan.pieces.len()],
            is_at_tooth: false,
            is_confirmed: false,
            to_mend: Vec::new(),
            to_deny: false,
            to_undo: false,
            asleep: false,
            question: None,
            to_confirm: false,
        };
        let mut next = 0;
        for _ in 0..ROUNDS_MAX + 2 * plan.pieces.len() {
            self.settle(&mut work);
            if !work.is_at_tooth {
                let said = tooth_words(plan.tooth);
                self.say(&said, Person::Vet);
                self.wait_until_quiet();
                self.think(&mut work);
                continue;
            }
            if next < plan.pieces.len() {
                self.chatter();
                self.settle(&mut work);
                self.pass(PROBE_MS);
                self.settle(&mut work);
                let said = self.hesitated(&plan.pieces[next]);
                let is_noticed = self.say(&said, Person::Vet);
                next += usize::from(is_noticed);
                let is_fast = self.random.random_bool(self.room.fast);
                if is_fast && next < plan.pieces.len() {
                    self.pass(FAST_MS);
                } else {
                    self.wait_for_read_back();
                }
                continue;
            }
            self.wait_until_quiet();
            self.settle(&mut work);
            if work.is_confirmed && work.told.iter().all(|told| *told) && work.is_at_tooth {
                return;
            }
            if !work.is_at_tooth {
                continue;
            }
            work.is_confirmed = false;
            self.pass(REACTION_MS);
            // With a nurse who confirms each read-back this is the last look: mostly nothing is left to confirm.
            self.say(&words("confirm"), Person::Vet);
            // Where nothing is spoken, the tone "saved" says it.
            let is_quiet = self.room.pace == Pace::Quiet;
            work.is_confirmed = is_quiet && self.cues.contains(&Cue::Saved);
            self.wait_until_quiet();
            self.settle(&mut work);
            let is_told = work.told.iter().all(|told| *told);
            if !is_told {
                work.is_confirmed = false;
                // Never read back, so never heard: said again.
                if let Some(at) = work.told.iter().position(|told| !told) {
                    let said = plan.pieces[at].words.clone();
                    self.pass(REACTION_MS);
                    self.say(&said, Person::Vet);
                    self.wait_until_quiet();
                }
            }
        }
        self.outcome.stuck = true;
        self.note("STUCK");
    }

    /// Thinks about all that was heard and acts on it until there is nothing to mend.
    fn settle(&mut self, work: &mut Work<'_>) {
        for _ in 0..ROUNDS_MAX {
            self.think(work);
            if !work.must_act() {
                return;
            }
            self.pass(REACTION_MS);
            if work.asleep {
                work.asleep = false;
                self.say(&words("start listening"), Person::Vet);
            } else if let Some(question) = work.question.take() {
                self.outcome.questions += 1;
                let answer = self.answer(work, &question);
                if let Some(answer) = answer {
                    self.say(&answer, Person::Vet);
                }
            } else if work.to_undo {
                work.to_undo = !self.say(&words("undo"), Person::Vet);
            } else if work.to_deny {
                work.to_deny = !self.say(&words("no"), Person::Vet);
            } else if let Some(at) = work.to_mend.pop() {
                let mut said = words("no");
                said.extend(work.plan.pieces[at].words.iter().cloned());
                if !self.say(&said, Person::Vet) {
                    // No tone: not taken.
                    work.to_mend.push(at);
                }
            } else if std::mem::take(&mut work.to_confirm) {
                self.say(&words("confirm"), Person::Nurse);
            }
            self.wait_until_quiet();
        }
    }

    /// Makes up their mind about what was said.
    fn think(&mut self, work: &mut Work<'_>) {
        for phrase in std::mem::take(&mut self.heard) {
            self.note(&format!("  < {} {:?}", phrase.key, phrase.entries));
            if phrase.is_question {
                work.question = Some(phrase);
                continue;
            }
            let tooth = phrase.slots.iter().find_map(|(name, slot)| match slot {
                Slot::Tooth(tooth) if *name == "tooth" => Some(*tooth),
                _ => None,
            });
            match phrase.key.as_str() {
                "tooth" => work.is_at_tooth = tooth == Some(work.plan.tooth),
                // All that was said back is confirmed, by whichever word.
                "confirmed" | "nothing_to_confirm" => work.is_confirmed = true,
                "paused" => work.asleep = true,
                "entry" | "entry_mouth" | "summary" => {
                    work.is_confirmed = false;
                    self.check(work, &phrase);
                }
                "group_normal" | "group_missing" => work.to_undo = true,
                "note_saved" => work.to_undo = true,
                "note_recording" => {
                    // Whatever is said next becomes the note; it is taken back after that.
                    let said = words("never mind");
                    self.say(&said, Person::Vet);
                    self.wait_until_quiet();
                }
                "withdrawn" | "struck" => match tooth {
                    Some(tooth) if tooth != work.plan.tooth => {
                        self.again.insert(tooth);
                    }
                    _ => {
                        work.right.clear();
                        work.count_told();
                    }
                },
                _ => {}
            }
        }
        if self.room.pace == Pace::Quiet && !work.is_at_tooth {
            // The tone says that it was taken, the page shows which.
            let at_hand = self.talk.desk().record().tooth;
            work.is_at_tooth = at_hand == Some(work.plan.tooth);
        }
    }

    /// Compares a read-back with what was meant.
    fn check(&mut self, work: &mut Work<'_>, phrase: &Phrase) {
        let record = self.talk.desk().record();
        let mut wrong = Vec::new();
        let mut is_foreign = false;
        let mut right = Vec::new();
        for number in &phrase.entries {
            let Some(charted) = record.entry(*number) else {
                continue;
            };
            let Event::FindingRecorded { finding, .. } = &charted.event else {
                is_foreign = true;
                continue;
            };
            let key = (finding.subject, finding.kind, finding.place);
            match work.exam.meant(&key) {
                Some(value) if *value == finding.value => right.push(key),
                Some(_) => wrong.push(key),
                None => is_foreign = true,
            }
        }
        if (is_foreign || !wrong.is_empty()) && self.random.random_bool(self.room.inattention) {
            // They nod it through.
            right.append(&mut wrong);
            is_foreign = false;
        }
        for (at, piece) in work.plan.pieces.iter().enumerate() {
            let holds =
                |keys: &[super::Meant]| piece.values.iter().any(|(key, _)| keys.contains(key));
            if holds(&wrong) && !work.to_mend.contains(&at) {
                work.to_mend.push(at);
            }
        }
        for key in &wrong {
            work.right.remove(key);
        }
        work.right.extend(right);
        work.count_told();
        if is_foreign {
            work.to_deny = true;
            work.to_mend.clear();
        }
        work.to_confirm = self.room.nurse_confirms && wrong.is_empty() && !is_foreign;
    }

    /// What is said to a question.
    fn answer(&mut self, work: &Work<'_>, question: &Phrase) -> Option<Vec<String>> {
        if question.key == "either" {
            return question.slots.iter().find_map(|(_, slot)| match slot {
                Slot::Text(word) if self.last_words.contains(word) => Some(vec![word.clone()]),
                _ => None,
            });
        }
        let challenge = self.talk.desk().record().open_challenge()?;
        let is_meant = match &challenge.proposed {
            Proposed::Finding(finding) => {
                work.exam
                    .meant(&(finding.subject, finding.kind, finding.place))
                    == Some(&finding.value)
            }
            _ => false,
        };
        Some(words(if is_meant { "confirm" } else { "no" }))
    }

    /// "buccal three correction four ...", now and then.
    fn hesitated(&mut self, piece: &Piece) -> Vec<String> {
        let depths = piece.words.len() == 4;
        if !(depths && self.random.random_bool(self.room.hesitation)) {
            return piece.words.clone();
        }
        let at = self.random.random_range(1..piece.words.len());
        let mut said = piece.words.clone();
        said.insert(at, "correction".to_owned());
        said.insert(at, DIGITS[self.random.random_range(1..10)].to_owned());
        said
    }

    /// Somebody talks about something else.
    fn chatter(&mut self) {
        if !self.random.random_bool(self.room.chatter) {
            return;
        }
        let situation = self.talk.desk().situation();
        let command = sample::utterance(
            self.talk.desk().grammar().book(),
            situation,
            2,
            &mut self.random,
        );
        self.note(&format!("(chatter, like {})", command.join(" ")));
        let hearing = self.room.ears.overhear(command, &mut self.random);
        self.utter(2_500, hearing);
        self.wait_until_quiet();
    }

    /// Says words; tells whether a tone showed that they were taken.
    fn say(&mut self, said: &[String], person: Person) -> bool {
        self.outcome.utterances += 1;
        self.note(&format!("> {}", said.join(" ")));
        self.last_words = said.to_vec();
        let hearing = self.room.ears.hear(said, &mut self.random);
        if person == Person::Nurse {
            self.talk.next_is(Person::Nurse);
        }
        self.stage.cues();
        self.utter(said.len() as u64 * WORD_MS, hearing);
        self.cues = self.stage.cues();
        self.cues.contains(&Cue::Heard)
    }

    /// The sound of an utterance goes by, and its result comes.
    fn utter(&mut self, ms: u64, hearing: Hearing) {
        let is_guarded = self.room.hears_itself && self.stage.is_speaking();
        let started_ms = self.stage.now_ms();
        let under = if is_guarded {
            Under::Interruptions
        } else {
            Under::Session
        };
        self.listen(&ListenEvent::SpeechStarted {
            at_ms: started_ms,
            under,
        });
        self.run(ms + DECISION_MS);
        let mut hearing = hearing;
        let is_interruption = hearing.hypotheses.first().is_some_and(|best| {
            [&["no"][..], &["undo"], &["stop"]]
                .iter()
                .any(|words| best.words == *words)
        });
        if is_guarded && !is_interruption {
            hearing.unheard = Some(Unheard::OutOfGrammar);
        }
        self.listen(&ListenEvent::Heard(Box::new(Heard {
            hearing,
            utterance: Utterance {
                samples: Vec::new(),
                start_ms: started_ms,
            },
            started_ms,
            end: End::Pause,
            under,
            is_headless: false,
            taken_out_db: None,
            share_played: None,
            latency: Latency {
                silence_ms: 256,
                waited_ms: 180.0,
                recognition_ms: 180.0,
                attempts: 1,
            },
        })));
    }

    fn listen(&mut self, event: &ListenEvent) {
        self.talk.at(self.stage.now_ms());
        self.talk.listen(event);
        self.deliver();
    }

    /// The mouth's events reach the talk; what was said to its end reaches the people.
    fn deliver(&mut self) {
        self.talk.at(self.stage.now_ms());
        loop {
            let events = self.stage.events();
            if events.is_empty() {
                break;
            }
            for event in events {
                let phrase = self.talk.turn().saying().cloned();
                let is_whole = matches!(event, VoiceEvent::Ended { cut: false, .. });
                self.talk.voice(&event);
                if let (true, Some(phrase)) = (is_whole, phrase) {
                    self.heard.push(phrase);
                }
            }
        }
        self.talk.speak();
    }

    /// Lets time pass.
    fn run(&mut self, ms: u64) {
        let until = self.stage.now_ms() + ms;
        while self.stage.now_ms() < until {
            let now_ms = self.stage.now_ms();
            let step = if self.talk.turn().is_idle() {
                until
            } else {
                now_ms + 100
            };
            let next = self
                .stage
                .next_end_ms()
                .unwrap_or(until)
                .min(step)
                .min(until);
            self.stage.advance_to(next.max(now_ms + 1).min(until));
            self.deliver();
        }
    }

    fn pass(&mut self, range: std::ops::Range<u64>) {
        let ms = self.random.random_range(range);
        self.run(ms);
    }

    /// Waits until the program says nothing and has nothing more to say for now.
    fn wait_until_quiet(&mut self) {
        let until = self.stage.now_ms() + PATIENCE_MS;
        let mut quiet_ms = 0;
        while self.stage.now_ms() < until && quiet_ms < 400 {
            self.run(50);
            quiet_ms = if self.stage.is_speaking() {
                0
            } else {
                quiet_ms + 50
            };
        }
    }

    /// The same, but for those who cannot wait: "stop" in the middle of a read-back.
    fn wait_for_read_back(&mut self) {
        if self.random.random_bool(self.room.impatience) {
            self.run(800);
            if self.stage.is_speaking() {
                self.say(&words("stop"), Person::Vet);
            }
        }
        self.wait_until_quiet();
    }

    fn note(&mut self, line: &str) {
        let at = self.stage.now_ms() as f64 / 1000.0;
        self.outcome.log.push(format!("{at:8.2} {line}"));
    }
}
