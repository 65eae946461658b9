//! What is to be said when time passes and nobody speaks: a mouth gag that stays in a cat, a machine that slept.
//! Time is passed in.

use super::phrase::{Phrase, Slot};
use crate::clock::Now;
use crate::record::{Record, monitoring};
use crate::terms::{Procedure, Species};

/// Number of the entry by which a gag went into a cat's mouth, and the minutes since; none where it is out.
pub(super) fn gag_in(record: &Record, now: Now) -> Option<(u64, u64)> {
    if record.patient.species != Species::Cat {
        return None;
    }
    let newest = record
        .procedures()
        .filter(|(procedure, _)| matches!(procedure, Procedure::GagIn | Procedure::GagOut))
        .last()?;
    if *newest.0 == Procedure::GagOut {
        return None;
    }
    // A clock that was set back counts as no time.
    let seconds = now.at.as_second() - newest.1.at.as_second();
    Some((newest.1.number, u64::try_from(seconds).unwrap_or(0) / 60))
}

/// Seconds after the interval at which the quiet tone is followed by words.
const WORD_AFTER_SECONDS: i64 = 60;

/// What the watch over the anaesthetic brings up: how many intervals went by without a reading, and whether the
/// words are due beside the tone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Due {
    pub intervals: i64,
    pub is_word: bool,
}

/// None while the last reading is young enough, or nothing is watched.
pub(super) fn vitals(record: &Record, now: Now, interval_minutes: u32) -> Option<(Due, Phrase)> {
    if interval_minutes == 0 {
        return None;
    }
    let seconds = monitoring::seconds_since_reading(record, now.at)?;
    let interval = i64::from(interval_minutes) * 60;
    let intervals = seconds / interval;
    (intervals > 0).then(|| {
        let due = Due {
            intervals,
            is_word: seconds % interval >= WORD_AFTER_SECONDS.min(interval / 2),
        };
        let minutes = u16::try_from(seconds / 60).unwrap_or(u16::MAX);
        let phrase = Phrase::new("vitals_due").with("minutes", Slot::Number(minutes));
        (due, phrase)
    })
}

/// The reminder that is due after so many minutes and again after each as many, and which one it is; none before.
pub(super) fn gag(record: &Record, now: Now, after_minutes: u32) -> Option<(u64, Phrase)> {
    let (_, minutes) = gag_in(record, now)?;
    let times = minutes / u64::from(after_minutes.max(1));
    (times > 0).then(|| {
        let phrase = Phrase::rule("gag_time").with("minutes", Slot::Number(minutes as u16));
        (times, phrase)
    })
}

/// Wall time this far ahead of the time that the program was running, in milliseconds, is told. Clocks that are set
/// right over the network move by less.
const GAP_MS: i64 = 60_000;

/// Between these two moments the program stood still: the machine slept, or its clock was set. Whoever spoke meanwhile
/// was not heard.
pub(super) fn gap(before: Now, now: Now) -> Option<Phrase> {
    let wall_ms = now.at.as_millisecond() - before.at.as_millisecond();
    let ran_ms = now.monotonic_ms.saturating_sub(before.monotonic_ms) as i64;
    let gap_ms = wall_ms - ran_ms;
    (gap_ms >= GAP_MS).then(|| {
        let minutes = u16::try_from(gap_ms / 60_000).unwrap_or(u16::MAX);
        Phrase::new("machine_slept").with("minutes", Slot::Number(minutes))
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::Table;
    use crate::clock::{Clock, SetClock};
    use crate::session::Session;
    use crate::terms::Species;

    fn reminded(session: &mut Session, table: &Table, clock: &SetClock) -> usize {
        session
            .remind(&table.record, clock.0, Some(10))
            .phrases
            .len()
    }

    #[test]
    fn a_gag_in_a_cat_is_told_every_ten_minutes_until_it_is_out() {
        let mut table = Table::open(Species::Cat);
        table.say("mouth gag in");
        let mut session = Session::default();
        let mut clock = table.clock;
        let mut told = Vec::new();
        for _ in 0..25 {
            clock.advance_ms(60_000);
            told.push(reminded(&mut session, &table, &clock));
        }
        let minutes: Vec<usize> = (1..=25).filter(|minute| told[minute - 1] > 0).collect();
        assert_eq!(minutes, [10, 20]);
        table.say("mouth gag out");
        clock.advance_ms(3_600_000);
        assert_eq!(reminded(&mut session, &table, &clock), 0);
    }

    #[test]
    fn a_machine_that_slept_is_told_once() {
        let table = Table::open(Species::Dog);
        let mut session = Session::default();
        let mut clock = table.clock;
        let mut told = Vec::new();
        let mut look = |clock: &SetClock| {
            told.extend(session.remind(&table.record, clock.0, None).phrases);
        };
        look(&clock);
        clock.advance_ms(3_600_000);
        look(&clock);
        // Set right by half a minute, and set back.
        clock.0.at += jiff::SignedDuration::from_secs(30);
        look(&clock);
        clock.0.at -= jiff::SignedDuration::from_hours(1);
        look(&clock);
        clock.0.at += jiff::SignedDuration::from_secs(12 * 60 + 40);
        look(&clock);
        look(&clock);
        let [phrase] = told.as_slice() else {
            panic!("{told:?}");
        };
        assert_eq!(
            phrase.plain(&crate::session::Rules::built_in().unwrap()),
            "The machine slept, or its clock was set, Minutes not heard: 12, Say the last reading again"
        );
    }

    #[test]
    fn a_dog_is_not_spoken_of() {
        let mut table = Table::open(Species::Dog);
        table.say("mouth gag in");
        let mut clock = table.clock;
        clock.advance_ms(3_600_000);
        assert_eq!(reminded(&mut Session::default(), &table, &clock), 0);
    }
}
