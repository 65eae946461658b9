//! What a clinic may choose for its conversation, driven through the clinic's file: short read-backs, what "next"
//! confirms, the tooth that comes by itself, a quadrant in one go, and the pedal. And that nothing of it happens unasked.

use super::tests::{LONG_MS, Table};
use super::*;
use crate::terms::{Kind, Subject, ToothNumber};

const SHORT: &str = "[conversation]\nread_back = \"short\"\n";
const NEXT_CONFIRMS: &str = "[conversation]\nnext_confirms = true\n";
const BY_ITSELF: &str = "[conversation]\nnext_by_itself = true\n";

/// Says each, and lets the program answer.
fn say_all(table: &mut Table, sentences: &[&str]) {
    for words in sentences {
        table.say(words);
        table.pass(LONG_MS);
    }
}

fn tooth(number: u16) -> ToothNumber {
    ToothNumber::new(number).unwrap()
}

/// Standings of what is charted of a tooth.
fn of_tooth(table: &mut Table, number: u16) -> Vec<Standing> {
    let record = table.talk.desk().record();
    record
        .current()
        .filter(|charted| charted.event.tooth() == Some(tooth(number)))
        .map(|charted| charted.standing)
        .collect()
}

#[test]
fn a_tooth_is_named_again_only_where_it_changed_was_spoken_or_was_named_long_ago() {
    for (clinic, is_short) in [("", false), (SHORT, true)] {
        let mut table = Table::of_clinic(Pace::EachReading, clinic);
        table.say("tooth one oh four");
        table.pass(5_000);
        table.says();
        let mut named = |words: &str, pause_ms| {
            table.say(words);
            table.pass(pause_ms);
            let says = table.says();
            assert_eq!(says.len(), 1, "{says:?}");
            says[0].contains("10")
        };
        assert_eq!(named("buccal three two three", 5_000), !is_short);
        assert_eq!(named("palatal two two two", 5_000), !is_short);
        assert!(named("tooth one oh four mobility one", 5_000), "spoken");
        assert!(named("next buccal two two two", 5_000), "changed");
        assert_eq!(named("palatal two two two", LONG_MS + 5_000), !is_short);
        assert!(named("mobility one", 5_000), "named long ago");
    }
}

#[test]
fn a_cut_read_back_is_said_again_with_its_tooth() {
    let mut table = Table::of_clinic(Pace::EachReading, SHORT);
    table.say("tooth one oh four");
    table.pass(5_000);
    table.say("buccal three two three");
    table.pass(300);
    table.says();
    table.say("palatal two two two");
    table.pass(LONG_MS);
    let says = table.says();
    assert!(
        says.iter()
            .any(|said| said.contains("104") && said.contains("3 2 3")),
        "{says:?}"
    );
    assert_eq!(table.count(Standing::ReadBack), 6);
}

#[test]
fn next_confirms_only_where_the_clinic_chose_it() {
    let mut table = Table::of_clinic(Pace::EachReading, "");
    say_all(
        &mut table,
        &["tooth one oh four", "buccal three two three", "next"],
    );
    assert_eq!(of_tooth(&mut table, 104), [Standing::ReadBack; 3]);
}

#[test]
fn next_confirms_what_was_told_to_its_end_and_nothing_else() {
    let mut table = Table::of_clinic(Pace::EachReading, NEXT_CONFIRMS);
    say_all(&mut table, &["tooth one oh four", "buccal three two three"]);
    table.say("palatal two two two");
    // The read-back has only begun.
    table.pass(400);
    table.say("next buccal two two two");
    assert_eq!(
        of_tooth(&mut table, 104),
        [[Standing::Confirmed; 3], [Standing::Heard; 3]].concat()
    );
    table.pass(LONG_MS);
    assert_eq!(
        of_tooth(&mut table, 104)[3..],
        [Standing::ReadBack; 3],
        "said later, and confirmed by nobody"
    );
    assert_eq!(of_tooth(&mut table, 103), [Standing::ReadBack; 3]);
    // By now it was told to its end, and "next" is of the tooth that was left last too.
    say_all(&mut table, &["next"]);
    assert_eq!(of_tooth(&mut table, 104), [Standing::Confirmed; 6]);
    assert_eq!(of_tooth(&mut table, 103), [Standing::Confirmed; 3]);
    // What was left by another way waits for its own "confirm".
    say_all(
        &mut table,
        &[
            "buccal two two two",
            "tooth two oh four",
            "buccal two two two",
            "next",
            "next",
        ],
    );
    assert_eq!(of_tooth(&mut table, 102), [Standing::ReadBack; 3]);
    assert_eq!(of_tooth(&mut table, 204), [Standing::Confirmed; 3]);
}

const GOES_ON: &str = "[conversation]\nread_back_goes_on = true\nnext_confirms = true\n";

#[test]
fn with_a_headset_the_read_back_goes_on_under_the_next_reading() {
    for (clinic, times) in [("", 2), (GOES_ON, 1)] {
        let mut table = Table::of_clinic(Pace::EachReading, clinic);
        say_all(&mut table, &["tooth one oh four"]);
        table.says();
        table.say("buccal three two three");
        table.pass(2_500);
        table.begin(Under::Session);
        table.pass(5_000);
        // Said to its end by now, while somebody speaks: that counts when they are silent.
        assert_eq!(of_tooth(&mut table, 104), [Standing::Heard; 3]);
        table.end(
            &[("next buccal two two two", 0.0)],
            Under::Session,
            End::Pause,
            256,
        );
        assert!(
            of_tooth(&mut table, 104)
                .iter()
                .all(|standing| *standing < Standing::Confirmed)
        );
        table.pass(LONG_MS);
        let says = table.says();
        let said = says.iter().filter(|said| said.contains("3 2 3")).count();
        assert_eq!(said, times, "{clinic}: {says:?}");
        assert_eq!(table.count(Standing::ReadBack), 6);
    }
}

#[test]
fn a_question_that_nobody_could_hear_is_not_left_by_speaking_on() {
    let mut table = Table::of_clinic(Pace::EachReading, GOES_ON);
    say_all(&mut table, &["tooth one oh four"]);
    table.says();
    table.say("buccal three fourteen three");
    // The read-back goes on, the question waits behind it.
    table.pass(1_000);
    table.say("next buccal two two two");
    assert!(table.talk.desk().record().open_challenge().is_some());
    table.pass(LONG_MS);
    let says = table.says();
    assert!(says.iter().any(|said| said.contains("14")), "{says:?}");
    table.say("confirm");
    table.pass(LONG_MS);
    assert_eq!(of_tooth(&mut table, 104).len(), 3);
    assert!(table.talk.desk().record().open_challenge().is_none());
}

#[test]
fn no_over_a_read_back_that_goes_on_is_of_it() {
    let mut table = Table::of_clinic(Pace::EachReading, GOES_ON);
    say_all(&mut table, &["tooth one oh four"]);
    table.say("buccal three two three");
    table.pass(1_000);
    table.say("no");
    table.pass(LONG_MS);
    assert_eq!(of_tooth(&mut table, 104), []);
}

#[test]
fn no_right_after_a_read_back_is_of_it_though_the_next_has_begun() {
    for (pause_ms, left) in [(300, 3), (2_000, 0)] {
        let mut table = Table::of_clinic(Pace::EachReading, GOES_ON);
        say_all(&mut table, &["tooth one oh four"]);
        table.say("buccal three two three");
        table.pass(2_000);
        table.say("next buccal two one two");
        // To the end of the first read-back, whenever that is.
        table.says();
        while table.says().is_empty() {
            table.pass(100);
        }
        table.pass(pause_ms);
        table.say("no");
        assert_eq!(of_tooth(&mut table, 103).len(), left, "after {pause_ms} ms");
        assert_eq!(of_tooth(&mut table, 104).len(), 3 - left);
    }
}

#[test]
fn next_confirms_no_decision() {
    let mut table = Table::of_clinic(Pace::EachReading, NEXT_CONFIRMS);
    say_all(
        &mut table,
        &["tooth one oh four", "mobility one", "monitor", "next"],
    );
    let record = table.talk.desk().record();
    let (_, _, decision) = record.decision(tooth(104)).expect("a decision");
    assert_eq!(decision.standing, Standing::ReadBack);
    let mobility = record
        .finding(
            Subject::Tooth(tooth(104)),
            Kind::Mobility,
            crate::terms::Place::Whole,
        )
        .unwrap();
    assert_eq!(mobility.standing, Standing::Confirmed);
}

#[test]
fn the_next_tooth_comes_by_itself_told_by_its_number_and_a_finding_after_it_is_asked() {
    let mut table = Table::of_clinic(Pace::EachReading, BY_ITSELF);
    say_all(&mut table, &["tooth one oh four", "buccal three two three"]);
    assert_eq!(table.talk.desk().record().tooth, Some(tooth(104)));
    table.says();
    say_all(&mut table, &["palatal two two two"]);
    let says = table.says();
    assert!(
        says[0].contains("104") && says[1].contains("103"),
        "{says:?}"
    );
    assert_eq!(table.talk.desk().record().tooth, Some(tooth(103)));
    // Of 104, or of 103?
    say_all(&mut table, &["mobility one"]);
    assert_eq!(table.count(Standing::Confirmed), 0);
    let record = table.talk.desk().record();
    assert_eq!(
        record.current().count(),
        6,
        "nothing is entered before the answer"
    );
    assert!(table.says()[0].contains("104"));
    say_all(&mut table, &["tooth one oh four"]);
    assert_eq!(of_tooth(&mut table, 104).len(), 7);
    assert_eq!(table.talk.desk().record().tooth, Some(tooth(103)));
    // Its own depths are of it without a question, and from then on its findings too.
    say_all(&mut table, &["buccal two two two", "mobility two"]);
    assert_eq!(of_tooth(&mut table, 103).len(), 4);
}

#[test]
fn without_the_choice_the_tooth_stays() {
    let mut table = Table::of_clinic(Pace::EachReading, "");
    say_all(
        &mut table,
        &[
            "tooth one oh four",
            "buccal three two three palatal two two two",
        ],
    );
    assert_eq!(table.talk.desk().record().tooth, Some(tooth(104)));
}

#[test]
fn a_quadrant_in_one_go_is_read_back_at_its_end_and_its_questions_after_that() {
    let mut table = Table::of_clinic(Pace::EachQuadrant, "");
    for words in [
        "tooth one oh four",
        "buccal three two three",
        // Asked about, by the rules.
        "palatal two fourteen two",
        "next buccal two two two",
        "mobility one",
    ] {
        table.say(words);
        table.pass(2_000);
    }
    assert_eq!(
        table.says(),
        Vec::<String>::new(),
        "nothing is said in between"
    );
    assert!(
        table.talk.desk().record().open_challenge().is_some(),
        "kept in the journal"
    );
    assert_eq!(table.count(Standing::Heard), 9);
    table.say("tooth two oh four");
    table.pass(600);
    // "Confirm" in the middle of the read-backs is no answer to a question that nobody heard.
    table.say("confirm");
    assert!(table.talk.desk().record().open_challenge().is_some());
    table.pass(60_000);
    let says = table.says();
    let question = says
        .iter()
        .position(|said| said.contains("14"))
        .expect("the question");
    for part in ["3 2 3", "2 2 2", "Mobility"] {
        let at = says
            .iter()
            .position(|said| said.to_lowercase().contains(&part.to_lowercase()));
        assert!(at.is_some_and(|at| at < question), "{part}: {says:?}");
    }
    table.say("no");
    table.pass(LONG_MS);
    assert!(table.talk.desk().record().open_challenge().is_none());
    assert!(table.count(Standing::Confirmed) < 9);
    table.say("confirm everything");
    table.pass(LONG_MS);
    assert_eq!(table.count(Standing::Confirmed), 9);
}

#[test]
fn what_is_asked_about_for_safety_is_asked_at_once_in_a_quadrant_too() {
    let mut table = Table::of_clinic(Pace::EachQuadrant, "");
    table.say("tooth one oh four");
    table.pass(2_000);
    table.say("extract");
    table.pass(LONG_MS);
    assert!(table.says().iter().any(|said| said.starts_with("Extract")));
    table.say("next");
    table.pass(LONG_MS);
    let record = table.talk.desk().record();
    assert!(
        record.decision(tooth(104)).is_none(),
        "whoever goes on has not said yes"
    );
}

#[test]
fn the_pedal_confirms_what_was_heard_when_the_foot_went_down() {
    let mut table = Table::of_clinic(Pace::EachReading, "");
    say_all(&mut table, &["tooth one oh four", "buccal three two three"]);
    table.talk.foot_down();
    // The tread is told later; meanwhile another read-back came to its end.
    say_all(&mut table, &["palatal two two two"]);
    table.says();
    table.talk.pedal(Intent::Confirm, Person::Unknown);
    assert_eq!(
        of_tooth(&mut table, 104),
        [[Standing::Confirmed; 3], [Standing::ReadBack; 3]].concat()
    );
    table.pass(LONG_MS);
    assert_eq!(table.says(), Vec::<String>::new(), "a tone says it");
    table.talk.foot_down();
    table.talk.pedal(Intent::Confirm, Person::Unknown);
    assert_eq!(of_tooth(&mut table, 104), [Standing::Confirmed; 6]);
}

#[test]
fn the_pedal_answers_no_question_that_came_after_the_foot_went_down() {
    let mut table = Table::of_clinic(Pace::EachReading, "");
    say_all(&mut table, &["tooth one oh four"]);
    table.talk.foot_down();
    say_all(&mut table, &["extract"]);
    table.talk.pedal(Intent::Confirm, Person::Vet);
    assert!(table.talk.desk().record().open_challenge().is_some());
    table.talk.foot_down();
    table.talk.pedal(Intent::Confirm, Person::Nurse);
    assert!(
        table.talk.desk().record().open_challenge().is_some(),
        "a nurse's foot decides nothing"
    );
    table.talk.foot_down();
    table.talk.pedal(Intent::Confirm, Person::Vet);
    assert!(table.talk.desk().record().decision(tooth(104)).is_some());
}

#[test]
fn a_long_tread_takes_back_and_two_go_on() {
    use crate::app::flow::Tread;
    let mut table = Table::of_clinic(Pace::EachReading, "");
    say_all(&mut table, &["tooth one oh four", "buccal three two three"]);
    table
        .talk
        .pedal(Tread::Withdraw.intent().unwrap(), Person::Unknown);
    assert_eq!(of_tooth(&mut table, 104), []);
    table
        .talk
        .pedal(Tread::Next.intent().unwrap(), Person::Unknown);
    assert_eq!(table.talk.desk().record().tooth, Some(tooth(103)));
}
