//! Whose turn it is: what waits to be said, and when it may be. Pure: time is passed in, nothing sounds here.
//!
//! Invariants: nothing begins while somebody speaks, but an alarm when they go on for long; an alarm goes before all
//! that waits and interrupts what is being said; values are made into words only when they are said, so that
//! nothing stale is read back; values leave the queue only by being said to the end, by having been withdrawn or
//! replaced, or by "stop", after which a "confirm" brings them back.

use std::collections::VecDeque;

use crate::grammar::intent::Pace;
use crate::record::{Record, Standing};
use crate::session::{Phrase, Slot, read_back};
use crate::terms::ToothNumber;

/// In a fast run the read-back waits for a silence this long: people pause 0.3 to 0.8 s between two readings of one
/// tooth, and longer where they look or move the probe.
const PAUSE_MS: u64 = 1_500;

/// With a read-back for each tooth, silence after which the tooth is read back though it was not left.
const TOOTH_PAUSE_MS: u64 = 4_000;

/// With a read-back for each quadrant, silence after which what waits is read back though the quadrant was not left.
const QUADRANT_PAUSE_MS: u64 = 10_000;

/// A tooth whose number was told longer ago is told by its number again.
const NAMED_MS: u64 = 20_000;

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
    /// Read-backs leave out what was told just before.
    is_short: bool,
    /// A read-back goes on while somebody speaks.
    goes_on: bool,
    /// The tooth whose number was told last, and when.
    named: Option<(ToothNumber, u64)>,
    /// Read-backs and questions that wait for the end of a quadrant are wanted now.
    is_wanted: bool,
    /// A question about an odd value that waits for the end of its quadrant.
    gathered: Option<Phrase>,
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

    /// Read-backs leave out the tooth's number where it was told just before, and "confirmed" where more follows.
    pub fn set_short(&mut self, is_short: bool) {
        self.is_short = is_short;
    }

    /// A read-back goes on while somebody calls the next reading: nobody needs to be waited for.
    pub fn set_goes_on(&mut self, goes_on: bool) {
        self.goes_on = goes_on;
    }

    pub fn goes_on(&self) -> bool {
        self.goes_on
    }

    pub fn is_short(&self) -> bool {
        self.is_short
    }

    /// A tooth was chosen: its number is told with what follows.
    pub fn tooth_chosen(&mut self) {
        self.named = None;
    }

    /// What waits for the end of a quadrant is wanted now.
    pub fn want_all(&mut self) {
        self.is_wanted = true;
    }

    /// Keeps a question for the end of its quadrant. One before it comes up again when this one is answered.
    pub fn gather(&mut self, question: Phrase) {
        self.gathered = Some(question);
    }

    /// What was kept for the end of the quadrant is not asked any more.
    pub fn forget_gathered(&mut self) {
        self.gathered = None;
    }

    /// A question waits for the end of its quadrant.
    pub fn has_gathered(&self) -> bool {
        self.gathered.is_some()
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
        self.alarms.is_empty()
            && self.waiting.is_empty()
            && self.saying.is_none()
            && self.gathered.is_none()
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
        if values_wait && gap_ms < FAST_MS && !self.goes_on {
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
        let more = phrases.len() > 1;
        let is_told = |phrase: &Phrase| !(self.is_short && more && phrase.key == "confirmed");
        let phrases: Vec<Phrase> = phrases.into_iter().filter(is_told).collect();
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
            let picked = self.pick(record, now_ms);
            let picked = picked.or_else(|| self.pick_gathered(record, now_ms));
            if picked.is_none() && self.waiting.is_empty() {
                self.is_wanted = false;
            }
            self.shortened(picked?, now_ms)
        };
        self.saying = Some(phrase.clone());
        Some(phrase)
    }

    /// A tooth whose number was just told is not told again.
    fn shortened(&mut self, mut phrase: Phrase, now_ms: u64) -> Phrase {
        let Some(tooth) = phrase_tooth(&phrase) else {
            return phrase;
        };
        let is_named = self
            .named
            .is_some_and(|(named, at_ms)| named == tooth && now_ms < at_ms + NAMED_MS);
        if self.is_short && is_named && phrase.key == "depth_outlier" {
            "depth_outlier_again".clone_into(&mut phrase.key);
            phrase.is_rule = false;
        }
        if self.is_short && phrase.key == "entry" {
            for (_, slot) in &mut phrase.slots {
                if let Slot::Phrases(items) = slot {
                    read_back::join_sides(items);
                }
            }
            if is_named {
                "entry_again".clone_into(&mut phrase.key);
            }
        }
        phrase
    }

    /// The question that was kept, once the read-backs of its quadrant are told.
    fn pick_gathered(&mut self, record: &Record, now_ms: u64) -> Option<Phrase> {
        let tooth = phrase_tooth(self.gathered.as_ref()?);
        if self.values_wait() || !self.is_quadrant_over(record, tooth, now_ms) {
            return None;
        }
        self.gathered.take()
    }

    fn is_quadrant_over(&self, record: &Record, tooth: Option<ToothNumber>, now_ms: u64) -> bool {
        let quadrant = |tooth: Option<ToothNumber>| tooth.map(ToothNumber::quadrant);
        let is_left = quadrant(tooth) != quadrant(record.tooth);
        let quiet_ms = now_ms.saturating_sub(self.quiet_since_ms);
        self.pace != Pace::EachQuadrant
            || self.is_wanted
            || is_left
            || quiet_ms >= QUADRANT_PAUSE_MS
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
            Pace::EachQuadrant => self.is_quadrant_over(record, tooth, now_ms),
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
        if matches!(self.pace, Pace::Quiet | Pace::EachQuadrant)
            && (is_acknowledgement(phrase) || is_of_the_way(phrase))
            && !(self.pace == Pace::EachQuadrant && phrase.key == "confirmed")
        {
            return true;
        }
        if !is_of_the_way(phrase) {
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
    pub fn said(&mut self, now_ms: u64) -> Option<Phrase> {
        let phrase = self.saying.take()?;
        // Another tooth named in between, or an alarm, makes the number needed again.
        self.named = match phrase.key.as_str() {
            "tooth" | "next_by_itself" | "entry" | "entry_again" if !self.is_saying_alarm => {
                phrase_tooth(&phrase).map(|tooth| (tooth, now_ms))
            }
            "confirmed" => self.named,
            _ => None,
        };
        Some(phrase)
    }

    /// What was being said was cut short.
    pub fn cut(&mut self, record: &Record, why: Cut) {
        let Some(mut phrase) = self.saying.take() else {
            return;
        };
        self.named = None;
        if phrase.key == "entry_again" {
            "entry".clone_into(&mut phrase.key);
        }
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
    let is_read_back = ["entry", "entry_again", "entry_mouth"].contains(&phrase.key.as_str());
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
        Slot::Tooth(tooth) => Some(*tooth),
        _ => None,
    })
}

/// Tells only which tooth is at hand.
fn is_of_the_way(phrase: &Phrase) -> bool {
    ["tooth", "next_by_itself"].contains(&phrase.key.as_str())
}

/// Said only so that the person knows it was taken: a tone does as well, and nothing is lost with it.
fn is_acknowledgement(phrase: &Phrase) -> bool {
    is_of_the_way(phrase)
        || ["confirmed", "note_saved", "listening", "paused"].contains(&phrase.key.as_str())
}
