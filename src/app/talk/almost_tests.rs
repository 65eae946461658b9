//! What is almost understood: the missing part that is asked for, the sentence that is offered, and what a "yes" to it
//! can never do.

use super::tests::Table;
use super::*;
use crate::speech::listener::Heard;
use crate::speech::{Hearing, Hypothesis};

/// An utterance that the engine was too unsure of, or that it heard freely.
fn unheard(table: &mut Table, best: &str, freely: &str, why: Unheard) {
    table.begin(Under::Session);
    table.pass(500);
    let mut heard = Heard::made_up(&[(best, -1.0)], Under::Session, End::Pause, 256);
    heard.hearing = Hearing {
        unheard: Some(why),
        free_text: (!freely.is_empty()).then(|| freely.to_owned()),
        hypotheses: vec![Hypothesis {
            words: best.split(' ').map(str::to_owned).collect(),
            log_probability: -1.0,
            word_confidences: vec![0.4; best.split(' ').count()],
        }],
        ..heard.hearing
    };
    table.heard(heard);
}

fn unclear(table: &mut Table, best: &str) {
    unheard(table, best, "", Unheard::Unclear);
}

fn events(table: &mut Table) -> Vec<Event> {
    let desk = table.talk.desk();
    let visit = desk.record().visit;
    let entries = desk.journal().entries(visit).unwrap();
    entries.into_iter().map(|entry| entry.event).collect()
}

#[test]
fn the_missing_part_is_asked_for_and_taken_from_the_next_utterance() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(5_000);
    table.says();
    table.say("mobility");
    table.pass(5_000);
    assert_eq!(table.says(), ["mobility: which grade?"]);
    table.say("two");
    table.pass(5_000);
    let says = table.says();
    assert!(says[0].to_lowercase().contains("mobility"), "{says:?}");
    let asked = events(&mut table)
        .into_iter()
        .filter(|event| matches!(event, Event::AskedFor { said, .. } if said == "mobility"));
    assert_eq!(asked.count(), 1, "what was asked is on record");
}

#[test]
fn a_bare_number_is_a_reading_again_when_the_question_is_long_past() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.say("mobility");
    table.pass(30_000);
    table.say("two");
    table.pass(5_000);
    let record = table.talk.desk().record().clone();
    let kinds: Vec<_> = record
        .current()
        .filter_map(|charted| match &charted.event {
            Event::FindingRecorded { finding, .. } => Some(finding.kind),
            _ => None,
        })
        .collect();
    assert_eq!(kinds, [crate::terms::Kind::Depth]);
}

#[test]
fn a_sentence_that_was_unclear_twice_is_offered_and_a_yes_enters_it() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(5_000);
    table.says();
    unclear(&mut table, "mobility two");
    table.pass(5_000);
    assert_eq!(table.says(), Vec::<String>::new(), "once may be chatter");
    unclear(&mut table, "mobility two");
    table.pass(5_000);
    assert_eq!(table.says(), ["Did you say: mobility two?"]);
    assert_eq!(table.standings(), [], "an offer enters nothing");
    table.say("yes");
    table.pass(5_000);
    assert_eq!(table.standings(), [Standing::ReadBack]);
    let asked = events(&mut table)
        .into_iter()
        .any(|event| matches!(event, Event::AskedFor { question, .. } if question.contains("mobility two")));
    assert!(asked, "what was asked is on record");
}

#[test]
fn no_to_an_offer_and_going_on_withdraw_and_enter_nothing() {
    for answer in ["no", "where are we"] {
        let mut table = Table::open(Pace::EachReading);
        table.say("tooth one oh four");
        table.say("mobility one");
        table.pass(5_000);
        let before = table.standings();
        unclear(&mut table, "calculus two");
        unclear(&mut table, "calculus two");
        table.pass(5_000);
        table.say(answer);
        table.pass(10_000);
        assert_eq!(table.standings(), before, "{answer}");
        table.say("yes");
        table.pass(5_000);
        assert_eq!(
            table.count(Standing::Confirmed),
            1,
            "a yes later confirms what was read back"
        );
        assert_eq!(table.standings().len(), 1, "and enters nothing");
    }
}

#[test]
fn what_can_hurt_is_never_offered() {
    for sentence in [
        "extract",
        "tooth one oh four extract",
        "extraction done",
        "undo",
        "strike mobility",
        "no buccal three two four",
        "methadone three milligrams in the muscle",
        "medicine carprofen given",
        "block mental left lidocaine zero point five",
        "finish examination",
        "lower incisors missing",
    ] {
        let mut table = Table::open(Pace::EachReading);
        table.say("tooth one oh four");
        table.say("mobility one");
        table.pass(8_000);
        table.says();
        let before = events(&mut table).len();
        for _ in 0..4 {
            unclear(&mut table, sentence);
            table.pass(8_000);
        }
        let says = table.says().join(" ");
        assert!(!says.contains("Did you say"), "{sentence}: {says}");
        assert_eq!(events(&mut table).len(), before, "{sentence}");
    }
}

#[test]
fn short_refused_words_of_the_trade_are_kept_and_no_other_talk() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(5_000);
    let foreign = Unheard::OutOfGrammar;
    unheard(&mut table, "next", "Park the mobility", foreign);
    unheard(&mut table, "next", "my sister is coming on Sunday", foreign);
    unheard(
        &mut table,
        "next",
        "she said the tooth of her son was loose and then it fell out at school",
        foreign,
    );
    let kept: Vec<String> = events(&mut table)
        .into_iter()
        .filter_map(|event| match event {
            Event::NotUnderstood { said } => Some(said),
            _ => None,
        })
        .collect();
    assert_eq!(kept, ["park the mobility"]);
}

#[test]
fn after_a_refusal_the_nearest_ways_are_shown() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.pass(5_000);
    table.lines.clear();
    unheard(
        &mut table,
        "next",
        "mobility purple two",
        Unheard::OutOfGrammar,
    );
    let near = table.lines.iter().find_map(|line| match line {
        Line::Unheard { heard, near, .. } => Some((heard.clone(), near.clone())),
        _ => None,
    });
    let (heard, near) = near.expect("told");
    assert_eq!(heard, "mobility purple two");
    assert!(near.contains(&"mobility two".to_owned()), "{near:?}");
    assert!(near.len() <= 3);
}

#[test]
fn a_doubtful_yes_extracts_nothing_and_the_question_is_asked_again_in_full() {
    let mut table = Table::open(Pace::EachReading);
    table.say("tooth one oh four");
    table.say("extract");
    table.pass(8_000);
    table.says();
    table.begin(Under::Session);
    table.pass(500);
    let mut heard = Heard::made_up(
        &[("yes", -1.0), ("next", -1.1)],
        Under::Session,
        End::Pause,
        256,
    );
    for hypothesis in &mut heard.hearing.hypotheses {
        hypothesis.word_confidences = vec![0.5];
    }
    table.heard(heard);
    table.pass(8_000);
    let says = table.says();
    assert!(
        says.iter().any(|said| said.contains("Extract 104?")),
        "{says:?}"
    );
    assert_eq!(table.standings(), [], "nothing is decided");
    table.say("yes");
    table.pass(8_000);
    assert_eq!(table.standings().len(), 1, "a clear yes decides");
}
