//! The policy of failures: when a disk that takes nothing is tried again, and alarms that are repeated until somebody
//! says that they were heard. Pure: time is passed in, nothing is written or said here.
//!
//! Invariants: a trial follows for as long as the disk fails; an alarm ends only by being acknowledged or by its
//! cause being over.

use crate::record::JournalError;
use crate::session::{Phrase, Slot};

/// The disk is tried again after this time, then after twice as long, and so on.
const RETRY_FIRST_MS: u64 = 1_000;

/// Longer than this nobody waits who has freed space or plugged the disk in.
const RETRY_MAX_MS: u64 = 30_000;

/// Silence between an alarm and its repetition: time to write a line.
const REPEAT_MS: u64 = 8_000;

/// Key of the alarm that the disk takes nothing.
pub const NOT_SAVED: &str = "not_saved";

#[derive(Debug, Default)]
pub struct Troubles {
    retry: Option<Retry>,
    alarms: Vec<Alarm>,
    /// Why the disk takes nothing, in words.
    why: String,
    /// Keys of all alarms there ever were.
    raised: Vec<String>,
}

#[derive(Debug)]
struct Retry {
    at_ms: u64,
    wait_ms: u64,
}

#[derive(Debug)]
struct Alarm {
    phrase: Phrase,
    /// When it is said again; none while it waits or is being said.
    again_ms: Option<u64>,
}

impl Troubles {
    /// The disk did not take something: gives the alarm, the first time.
    pub fn storage_failed(&mut self, failure: &JournalError, now_ms: u64) -> Option<Phrase> {
        self.why = why(failure).to_owned();
        if self.retry.is_some() {
            self.retry_failed(failure, now_ms);
            return None;
        }
        self.retry = Some(Retry {
            at_ms: now_ms + RETRY_FIRST_MS,
            wait_ms: RETRY_FIRST_MS,
        });
        let phrase = Phrase::new(NOT_SAVED).with("why", Slot::Text(self.why.clone()));
        Some(self.raise(phrase))
    }

    /// An alarm from now on until it is acknowledged; to be said at once.
    pub fn raise(&mut self, phrase: Phrase) -> Phrase {
        self.raised.push(phrase.key.to_string());
        self.alarms.push(Alarm {
            phrase: phrase.clone(),
            again_ms: None,
        });
        phrase
    }

    /// Whether this was told before, acknowledged or not.
    pub fn was_raised(&self, phrase: &Phrase) -> bool {
        self.raised.contains(&phrase.key)
    }

    /// Why the disk takes nothing, in words.
    pub fn why(&self) -> &str {
        &self.why
    }

    pub fn retry_is_due(&self, now_ms: u64) -> bool {
        self.retry
            .as_ref()
            .is_some_and(|retry| retry.at_ms <= now_ms)
    }

    pub fn retry_failed(&mut self, failure: &JournalError, now_ms: u64) {
        self.why = why(failure).to_owned();
        if let Some(retry) = &mut self.retry {
            retry.wait_ms = (2 * retry.wait_ms).min(RETRY_MAX_MS);
            retry.at_ms = now_ms + retry.wait_ms;
        }
    }

    /// The disk takes it again.
    pub fn storage_is_back(&mut self) {
        self.retry = None;
        self.alarms.retain(|alarm| alarm.phrase.key != NOT_SAVED);
    }

    /// An alarm waits for somebody to say that it was heard.
    pub fn is_alarmed(&self) -> bool {
        !self.alarms.is_empty()
    }

    /// What the alarms say, for the page.
    pub fn alarms(&self) -> impl Iterator<Item = &Phrase> {
        self.alarms.iter().map(|alarm| &alarm.phrase)
    }

    /// Somebody says that it was heard; gives the alarms that end so.
    pub fn acknowledge(&mut self) -> Vec<Phrase> {
        self.alarms.drain(..).map(|alarm| alarm.phrase).collect()
    }

    /// An alarm is no longer being said, for whatever reason.
    pub fn ended(&mut self, phrase: &Phrase, now_ms: u64) {
        for alarm in &mut self.alarms {
            if alarm.phrase == *phrase {
                alarm.again_ms = Some(now_ms + REPEAT_MS);
            }
        }
    }

    /// Alarms that are to be said again now.
    pub fn due(&mut self, now_ms: u64) -> Vec<Phrase> {
        let mut due = Vec::new();
        for alarm in &mut self.alarms {
            if alarm.again_ms.is_some_and(|again_ms| again_ms <= now_ms) {
                alarm.again_ms = None;
                due.push(alarm.phrase.clone());
            }
        }
        due
    }
}

/// The cause as it is spoken.
fn why(failure: &JournalError) -> &'static str {
    match failure {
        JournalError::Shut => "the journal must be opened again",
        other => other.fault().words(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn failure() -> JournalError {
        JournalError::Shut
    }

    #[test]
    fn the_disk_is_tried_at_growing_intervals_for_ever() {
        let mut troubles = Troubles::default();
        assert!(troubles.storage_failed(&failure(), 0).is_some());
        let mut tried = Vec::new();
        for now_ms in (0..200_000).step_by(100) {
            if troubles.retry_is_due(now_ms) {
                tried.push(now_ms);
                troubles.retry_failed(&failure(), now_ms);
            }
        }
        let gaps: Vec<u64> = tried.windows(2).map(|two| two[1] - two[0]).collect();
        assert_eq!(tried[0], 1_000);
        assert_eq!(gaps[..4], [2_000, 4_000, 8_000, 16_000]);
        assert!(gaps[4..].iter().all(|gap| *gap == 30_000), "{gaps:?}");
        troubles.storage_is_back();
        assert!(!troubles.retry_is_due(u64::MAX) && !troubles.is_alarmed());
    }

    #[test]
    fn an_alarm_comes_again_until_it_is_acknowledged() {
        let mut troubles = Troubles::default();
        let phrase = troubles.storage_failed(&failure(), 0).unwrap();
        assert_eq!(
            troubles.storage_failed(&failure(), 10),
            None,
            "one trouble, one alarm"
        );
        assert_eq!(troubles.due(60_000), [], "it is still waiting to be said");
        for end_ms in [5_000, 100_000] {
            troubles.ended(&phrase, end_ms);
            assert_eq!(troubles.due(end_ms + REPEAT_MS - 1), []);
            assert_eq!(
                troubles.due(end_ms + REPEAT_MS),
                std::slice::from_ref(&phrase)
            );
        }
        troubles.ended(&phrase, 200_000);
        assert_eq!(troubles.acknowledge(), [phrase]);
        assert_eq!(troubles.due(u64::MAX), []);
    }
}
