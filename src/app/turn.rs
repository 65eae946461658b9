//! Whose turn it is: what waits to be said, and when it may be. Pure: time is passed in, nothing sounds here.
//!
//! Invariants: nothing begins while somebody speaks, but an alarm when they go on for long; an alarm goes before all
//! that waits and interrupts what is being said; values are made into words only when they are said, so that
//! nothing stale is read back; values leave the queue only by being said to the end, by having been withdrawn or
//! replaced, or by "stop", after which a "confirm" brings them back.

use std::collections::VecDeque;

use crate::grammar::intent::Pace;
use crate::record::{Record, Standing};
use crate::session::{Phrase, read_back};
use crate::terms::ToothNumber;

/// In a fast run the read-back waits for a silence this long: people pause 0.3 to 0.8 s between two readings of one
/// tooth, and longer where they look or move the probe.
const PAUSE_MS: u64 = 1_500;

/// With a read-back for each tooth, silence after which the tooth is read back though it was not left.
const TOOTH_PAUSE_MS: u64 = 4_000;

/// Somebody who speaks on within this time after a reading, while its read-back plays or waits, is fast.
const FAST_MS: u64 = 2_500;

/// Somebody who lets so much time pass is not fast any more.
const SLOW_MS: u64 = 5_000;

/// An alarm waits so long for somebody who speaks, then it is said all the same: what they say now is not saved.
const ALARM_WAITS_MS: u64 = 2_000;

/// What waits.
#[derive(Debug, Clone, PartialEq)]
enum Item {
    /// Saved values of one tooth (or of none), by number. `asked`: said whatever the pace.
    Values {
        tooth: Option<ToothNumber>,
        entries: Vec<u64>,
        asked: bool,
    },
    Phrase(Phrase),
}

/// Why a phrase ended before its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cut {
    /// Somebody spoke over it: it is said again later.
    SpokenOver,
    /// By "stop", or since something else was more important.
    Stopped,
}

#[derive(Debug, Default)]
pub struct Turn {
    pace: Pace,
    /// Said before all else.
    alarms: VecDeque<Phrase>,
    waiting: VecDeque<Item>,
    /// What is being said.
    saying: Option<Phrase>,
    is_saying_alarm: bool,
    /// Since when the person speaks.
    speech_since_ms: Option<u64>,
    /// When the person was last heard to stop.
    quiet_since_ms: u64,
    is_fast: bool,
}

impl Turn {
    pub fn new(pace: Pace) -> Self {
        Self {
            pace,
            ..Self::default()
        }
    }

    pub fn pace(&self) -> Pace {
        self.pace
    }

    pub fn set_pace(&mut self, pace: Pace) {
        self.pace = pace;
    }

    /// The phrase that is being said.
    pub fn saying(&self) -> Option<&Phrase> {
        self.saying.as_ref()
    }

    pub fn person_speaks(&self) -> bool {
        self.speech_since_ms.is_some()
    }

    /// Since when the person speaks.
    pub fn speech_since_ms(&self) -> Option<u64> {
        self.speech_since_ms
    }

    /// What is being said is an alarm.
    pub fn is_saying_alarm(&self) -> bool {
        self.is_saying_alarm && self.saying.is_some()
    }

    pub fn is_fast(&self) -> bool {
        self.is_fast
    }

    /// An alarm waits or is being said.
    pub fn has_alarm(&self) -> bool {
        !self.alarms.is_empty() || self.is_saying_alarm()
    }

    /// Nothing waits and nothing is being said.
    pub fn is_idle(&self) -> bool {
        self.alarms.is_empty() && self.waiting.is_empty() && self.saying.is_none()
    }

    /// Phrases that wait.
    pub fn waiting(&self) -> usize {
        self.waiting.len()
    }

    /// Somebody began to speak at that time.
    pub fn speech_started(&mut self, now_ms: u64) {
        self.speech_since_ms = Some(now_ms);
        let gap_ms = now_ms.saturating_sub(self.quiet_since_ms);
        let values_wait = self.values_wait()
            || self
                .saying
                .as_ref()
                .is_some_and(|phrase| !phrase.entries.is_empty());
        if values_wait && gap_ms < FAST_MS {
            self.is_fast = true;
        } else if gap_ms > SLOW_MS {
            self.is_fast = false;
        }
    }

    /// Nobody speaks any more, whether it was understood or not.
    pub fn speech_ended(&mut self, now_ms: u64) {
        self.speech_since_ms = None;
        self.quiet_since_ms = now_ms;
    }

    fn values_wait(&self) -> bool {
        self.waiting
            .iter()
            .any(|item| matches!(item, Item::Values { .. }))
    }

    /// Takes in what one utterance or press gave to say. Where it ends in a question, it goes before all that waits:
    /// nothing but an answer is understood until it is answered.
    /// `asked`: the person wants to hear it, whatever the pace.
    pub fn push(&mut self, record: &Record, phrases: Vec<Phrase>, asked: bool) {
        let asks = phrases.iter().any(|phrase| phrase.is_question);
        let batch: Vec<Item> = phrases
            .into_iter()
            .map(|phrase| item(record, phrase, asked))
            .collect();
        if asks {
            for item in batch.into_iter().rev() {
                self.waiting.push_front(item);
            }
        } else {
            self.waiting.extend(batch);
        }
    }

    /// To be said before all else.
    pub fn push_alarm(&mut self, phrase: Phrase) {
        if !self.alarms.contains(&phrase) {
            self.alarms.push_back(phrase);
        }
    }

    /// What an alarm spoke of is over: it is not said any more.
    pub fn drop_alarms(&mut self, key: &str) {
        self.alarms.retain(|phrase| phrase.key != key);
    }

    /// Whether what is being said must give way to an alarm.
    pub fn must_give_way(&self, now_ms: u64) -> bool {
        self.saying.is_some() && !self.is_saying_alarm && self.alarm_may_sound(now_ms)
    }

    fn alarm_may_sound(&self, now_ms: u64) -> bool {
        let is_waited_for = self
            .speech_since_ms
            .is_some_and(|since_ms| now_ms.saturating_sub(since_ms) < ALARM_WAITS_MS);
        !self.alarms.is_empty() && !is_waited_for
    }

    /// Says these values next, whatever the pace.
    pub fn say_back(&mut self, record: &Record, entries: &[u64]) {
        for phrase in read_back::of_numbers(record, entries).into_iter().rev() {
            self.waiting.push_front(item(record, phrase, true));
        }
    }

    /// What is to be said now, if anything.
    pub fn next(&mut self, record: &Record, now_ms: u64) -> Option<Phrase> {
        if self.saying.is_some() {
            return None;
        }
        self.is_saying_alarm = self.alarm_may_sound(now_ms);
        let phrase = if self.is_saying_alarm {
            self.alarms.pop_front()?
        } else if self.person_speaks() {
            return None;
        } else {
            self.pick(record, now_ms)?
        };
        self.saying = Some(phrase.clone());
        Some(phrase)
    }

    fn pick(&mut self, record: &Record, now_ms: u64) -> Option<Phrase> {
        let mut at = 0;
        while at < self.waiting.len() {
            match &self.waiting[at] {
                Item::Phrase(phrase) => {
                    if self.is_needless(at, phrase, record) {
                        self.waiting.remove(at);
                        continue;
                    }
                    // Mere acknowledgements keep to the pace of what was entered before them.
                    let held = is_acknowledgement(phrase)
                        && (0..at)
                            .any(|before| matches!(self.waiting[before], Item::Values { .. }))
                        && self.is_hurried(now_ms);
                    if held {
                        at += 1;
                        continue;
                    }
                    let Some(Item::Phrase(phrase)) = self.waiting.remove(at) else {
                        return None;
                    };
                    return Some(phrase);
                }
                Item::Values { tooth, asked, .. } => {
                    let (tooth, asked) = (*tooth, *asked);
                    if asked || self.may_read_back(record, tooth, now_ms) {
                        match self.joined(record, tooth) {
                            Some(phrase) => return Some(phrase),
                            // All of it was withdrawn or replaced.
                            None => continue,
                        }
                    }
                    at += 1;
                }
            }
        }
        None
    }

    /// The person is in a run and has not paused yet.
    fn is_hurried(&self, now_ms: u64) -> bool {
        self.is_fast && now_ms.saturating_sub(self.quiet_since_ms) < PAUSE_MS
    }

    fn may_read_back(&self, record: &Record, tooth: Option<ToothNumber>, now_ms: u64) -> bool {
        let quiet_ms = now_ms.saturating_sub(self.quiet_since_ms);
        match self.pace {
            Pace::EachReading => !self.is_hurried(now_ms),
            Pace::EachTooth => {
                let is_left = tooth != record.tooth;
                (is_left && !self.is_hurried(now_ms)) || quiet_ms >= TOOTH_PAUSE_MS
            }
            Pace::Quiet => false,
            // A screen is in nobody's way.
            Pace::Shown => true,
        }
    }

    /// All that waits of a tooth as one phrase, and out of the queue.
    fn joined(&mut self, record: &Record, of: Option<ToothNumber>) -> Option<Phrase> {
        let mut numbers = Vec::new();
        self.waiting.retain(|item| match item {
            Item::Values { tooth, entries, .. } if *tooth == of => {
                numbers.extend(entries.iter().copied());
                false
            }
            _ => true,
        });
        numbers.sort_unstable();
        numbers.dedup();
        numbers.retain(|number| is_unsaid(record, *number));
        let mut phrases = read_back::of_numbers(record, &numbers);
        // One tooth gives one phrase.
        debug_assert!(phrases.len() <= 1);
        phrases.pop()
    }

    /// A phrase that events have overtaken, or that the pace does without.
    fn is_needless(&self, at: usize, phrase: &Phrase, record: &Record) -> bool {
        if self.pace == Pace::Quiet && (is_acknowledgement(phrase) || phrase.key == "tooth") {
            return true;
        }
        if phrase.key != "tooth" {
            // A group that was withdrawn before it could be told.
            return !phrase.entries.is_empty()
                && !phrase
                    .entries
                    .iter()
                    .any(|number| record.is_current(*number));
        }
        let tooth = phrase_tooth(phrase);
        // Another tooth is at hand by now, or this one is told by its values.
        tooth != record.tooth
            || self.waiting.iter().skip(at + 1).any(
                |later| matches!(later, Item::Values { tooth: of, .. } if *of == tooth && self.pace == Pace::EachReading),
            )
    }

    /// What was being said has come to its end; gives it back.
    pub fn said(&mut self) -> Option<Phrase> {
        self.saying.take()
    }

    /// What was being said was cut short.
    pub fn cut(&mut self, record: &Record, why: Cut) {
        let Some(phrase) = self.saying.take() else {
            return;
        };
        if self.is_saying_alarm {
            // By "stop" it is silent for now; whoever raised it raises it again.
            if why == Cut::SpokenOver {
                self.alarms.push_front(phrase);
            }
            return;
        }
        if why == Cut::SpokenOver {
            let still_asked = !phrase.is_question || record.open_challenge().is_some();
            if still_asked && !is_acknowledgement(&phrase) {
                self.waiting.push_front(item(record, phrase, false));
            }
        }
    }

    /// "stop": nothing that waits is said, but for a question that waits for its answer.
    pub fn clear(&mut self) {
        self.waiting
            .retain(|item| matches!(item, Item::Phrase(phrase) if phrase.is_question));
    }

    /// Takes back the hold on somebody who never ended: the sound broke off.
    pub fn sound_broke_off(&mut self, now_ms: u64) {
        if self.person_speaks() {
            self.speech_ended(now_ms);
        }
    }
}

/// Whether an interruption may be the program's own words, heard in its microphone: "not entered" sounds like "no".
/// With such a phrase the word means nothing anyway.
pub fn is_echo(heard: &[String], said: &str) -> bool {
    const NEAR_NO: [&str; 5] = ["no", "not", "none", "nothing", "nowhere"];
    let said = said.to_lowercase();
    let said: Vec<&str> = said.split(|letter: char| !letter.is_alphabetic()).collect();
    heard.iter().any(|word| {
        said.contains(&word.as_str())
            || (word == "no" && said.iter().any(|said| NEAR_NO.contains(said)))
    })
}

/// Saved, still counting, and not yet said to its end.
fn is_unsaid(record: &Record, number: u64) -> bool {
    record.is_current(number)
        && record
            .entry(number)
            .is_some_and(|charted| charted.standing == Standing::Heard)
}

/// What was said to its end before is a phrase like any other ("repeat").
fn item(record: &Record, phrase: Phrase, asked: bool) -> Item {
    let is_read_back = ["entry", "entry_mouth"].contains(&phrase.key.as_str());
    if is_read_back
        && phrase
            .entries
            .iter()
            .any(|number| is_unsaid(record, *number))
    {
        Item::Values {
            tooth: phrase
                .entries
                .first()
                .and_then(|number| record.entry(*number)?.event.tooth()),
            entries: phrase.entries,
            asked,
        }
    } else {
        Item::Phrase(phrase)
    }
}

fn phrase_tooth(phrase: &Phrase) -> Option<ToothNumber> {
    phrase.slots.iter().find_map(|(_, slot)| match slot {
        crate::session::Slot::Tooth(tooth) => Some(*tooth),
        _ => None,
    })
}

/// Said only so that the person knows it was taken: a tone does as well, and nothing is lost with it.
fn is_acknowledgement(phrase: &Phrase) -> bool {
    ["tooth", "confirmed", "note_saved", "listening", "paused"].contains(&phrase.key.as_str())
}
