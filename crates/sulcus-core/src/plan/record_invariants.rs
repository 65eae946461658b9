//! What the record never claims, tried on random conversations.

use proptest::prelude::*;

use crate::plan::{self, Settings};
use crate::record::{Event, Standing};
use crate::session::Session;
use crate::session::conflict::PAUSE_MS;
use crate::session::tests::Table;
use crate::terms::{Species, ToothNumber};

/// Sentences about one tooth that enter, replace, confirm, take back and decide.
const SENTENCES: &[&str] = &[
    "mobility three",
    "mobility one",
    "buccal nine nine nine",
    "buccal two two two",
    "lingual two two two",
    "root length ten",
    "periapical lesion",
    "discoloured",
    "complicated crown fracture",
    "leave",
    "monitor six months",
    "treat with closed root planing",
    "extract",
    "confirm",
    "confirm",
    "confirm everything",
    "no",
    "undo",
    "no, mobility two",
    "strike mobility",
    "strike decision",
    "strike this tooth",
    "(pause)",
    "(pause)",
];

/// Nobody speaks for a while; the program asks what is open.
fn pause(table: &mut Table) {
    use crate::clock::Clock as _;
    table.clock.advance_ms(PAUSE_MS + 1);
    let now = table.clock.0;
    if !table.session.is_pause(&table.record, now) {
        return;
    }
    let open = plan::open_conflicts(&table.record, &Settings::default());
    if let Some(step) = table.session.ask_conflict(&table.record, &open, now) {
        table.save(step.drafts);
    }
}

fn say(table: &mut Table, sentence: &str) {
    if sentence == "(pause)" {
        pause(table);
    } else {
        table.say(sentence);
    }
}

fn accepted(table: &Table) -> usize {
    let challenges = table.record.challenges.iter();
    challenges.filter(|c| c.accepted == Some(true)).count()
}

fn confirmed(table: &Table) -> Vec<u64> {
    table
        .record
        .current()
        .filter(|charted| charted.standing == Standing::Confirmed)
        .map(|charted| charted.number)
        .collect()
}

fn at_304() -> Table {
    let mut table = Table::open(Species::Dog);
    table.say("tooth three oh four");
    table
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// A confirmed value that ends to count does so by a question and its yes, whoever asked and however.
    #[test]
    fn what_is_confirmed_changes_only_by_question(
        said in proptest::collection::vec(proptest::sample::select(SENTENCES), 1..24),
    ) {
        let mut table = at_304();
        for sentence in &said {
            let (before, answers) = (confirmed(&table), accepted(&table));
            say(&mut table, sentence);
            let is_changed = before.iter().any(|number| {
                let same_value = table.record.entry(*number).is_some_and(|old| {
                    table.record.current().any(|now| values_are_same(&old.event, &now.event))
                });
                !table.record.is_current(*number) && !same_value
            });
            prop_assert!(!is_changed || accepted(&table) > answers, "{sentence} in {said:?}");
        }
    }

    /// "Asked and answered" is told only where a question after the decision put this very conflict in words and was
    /// answered with yes; every other conflict is open, and is among those to be asked.
    #[test]
    fn a_conflict_its_question_and_its_answer_belong_together(
        said in proptest::collection::vec(proptest::sample::select(SENTENCES), 1..24),
    ) {
        let mut table = at_304();
        for sentence in &said {
            say(&mut table, sentence);
        }
        let settings = Settings::default();
        let plan = plan::make(&table.record, &[], &settings);
        let tooth = ToothNumber::new(304).expect("a tooth");
        let open = plan::open_conflicts(&table.record, &settings);
        for conflict in plan.teeth.iter().filter(|t| t.tooth == tooth).flat_map(|t| &t.conflicts) {
            let key = &conflict.cited.rule;
            let Some(asked) = &conflict.asked else {
                prop_assert!(
                    open.iter().any(|o| o.tooth == tooth && o.against.iter().any(|(k, _)| k == key)),
                    "{key} is open and nobody will ask: {said:?}"
                );
                continue;
            };
            let question = table.record.challenges.iter().find(|c| c.number == asked.entry);
            let question = question.expect("a question");
            prop_assert_eq!(question.accepted, Some(true));
            prop_assert!(question.conflicts.contains(key));
            prop_assert!(question.question.contains("304"));
            // In words: the guidance's own, or the finding that makes it.
            let words = ["pulp", "mobility three", "furcation three"];
            prop_assert!(
                question.question.contains(&conflict.in_short())
                    || words.iter().any(|word| question.question.contains(word)),
                "{}: {}", key, question.question
            );
        }
    }
}

fn values_are_same(one: &Event, other: &Event) -> bool {
    match (one, other) {
        (
            Event::FindingRecorded { finding: one, .. },
            Event::FindingRecorded { finding: other, .. },
        ) => one == other,
        (
            Event::DecisionRecorded {
                tooth: a,
                decision: one,
                ..
            },
            Event::DecisionRecorded {
                tooth: b,
                decision: other,
                ..
            },
        ) => (a, one) == (b, other),
        (one, other) => one == other,
    }
}

/// A pack that stays in while the animal wakes is asked about at once, and again until somebody says that it was seen.
#[test]
fn a_throat_pack_left_in_is_asked_about_until_it_was_seen() {
    use crate::clock::Clock as _;
    let mut table = Table::open(Species::Dog);
    table.say("throat pack in");
    table.say("anaesthesia started");
    let due = |table: &Table| table.session.alert(&table.record, table.clock.0, 10);
    assert!(due(&table).is_none());
    table.say("anaesthesia ended");
    table.say("confirm");
    let step = due(&table).expect("an alert");
    assert_eq!(step.phrases[0].key, "pack_still_in");
    table.save(step.drafts);
    assert!(due(&table).is_none(), "one question at a time");
    table.say("no");
    assert!(due(&table).is_none());
    table.clock.advance_ms(61_000);
    let again = due(&table).expect("again after a minute");
    table.save(again.drafts);
    table.say("confirm");
    table.clock.advance_ms(3_600_000);
    assert!(due(&table).is_none());
    // Both questions and both answers are on record.
    let asked: Vec<_> = table
        .record
        .challenges
        .iter()
        .filter(|c| c.rule == "pack_still_in")
        .map(|c| c.accepted)
        .collect();
    assert_eq!(asked, [Some(false), Some(true)]);
    // Out, in again, and ended again: a new alert.
    assert_eq!(
        Session::situation(&table.record),
        crate::grammar::Situation::Table
    );
}

/// A gag that stays in a cat is asked about, again a minute after a "no", and anew as long after it was seen; never in a dog.
#[test]
fn a_gag_that_stays_in_a_cat_is_asked_about_as_long_as_it_is_in() {
    use crate::clock::Clock as _;
    let minute_ms = 60_000;
    for (species, expected) in [(Species::Cat, vec![10, 11, 21, 31]), (Species::Dog, vec![])] {
        let mut table = Table::open(species);
        table.say("mouth gag in");
        let mut asked = Vec::new();
        for minute in 1..=35 {
            table.clock.advance_ms(minute_ms);
            let step = table.session.alert(&table.record, table.clock.0, 10);
            let Some(step) = step else {
                continue;
            };
            assert_eq!(step.phrases[0].key, "gag_too_long");
            table.save(step.drafts);
            table.say(if asked.is_empty() { "no" } else { "yes" });
            asked.push(minute);
        }
        assert_eq!(asked, expected);
        table.say("mouth gag out");
        table.clock.advance_ms(60 * minute_ms);
        let step = table.session.alert(&table.record, table.clock.0, 10);
        assert!(step.is_none());
    }
}

/// A temperature above the usual is asked about once for each reading, and the answer is on record.
#[test]
fn a_temperature_above_the_usual_is_asked_about_until_it_was_seen() {
    let mut table = Table::open(Species::Dog);
    let due = |table: &Table| table.session.alert(&table.record, table.clock.0, 10);
    for (said, is_asked) in [
        ("temperature thirty seven point five", false),
        ("temperature thirty five point five", false),
        ("temperature thirty nine point eight", true),
        ("temperature thirty eight point five", false),
        ("temperature thirty nine point eight", true),
    ] {
        table.say(said);
        let step = due(&table);
        assert_eq!(step.is_some(), is_asked, "{said}");
        if let Some(step) = step {
            assert_eq!(step.phrases[0].key, "temperature_seen");
            table.save(step.drafts);
            assert!(due(&table).is_none(), "one question at a time");
            table.say("yes");
            assert!(due(&table).is_none(), "it was seen");
        }
    }
    let answers: Vec<_> = table
        .record
        .challenges
        .iter()
        .filter(|challenge| challenge.rule == "temperature_seen")
        .collect();
    assert_eq!(answers.len(), 2);
    assert!(answers.iter().all(|asked| asked.accepted == Some(true)));
}

/// Whatever is entered is said back: what nobody hears, nobody can confirm or correct.
#[test]
fn everything_entered_is_said_back() {
    for sentence in [
        "missing one oh five and two oh five",
        "tooth one oh one normal tooth one oh two normal",
        "tooth one oh one missing tooth one oh two missing",
        "upper incisors normal",
        "rest normal",
        "mobility two tooth one oh four",
    ] {
        let mut table = Table::open(Species::Dog);
        table.say("tooth one oh eight");
        table.say(sentence);
        let unsaid: Vec<u64> = table
            .record
            .current()
            .filter(|charted| charted.standing == Standing::Heard)
            .map(|charted| charted.number)
            .collect();
        assert!(table.record.current().count() > 0, "{sentence}");
        assert_eq!(unsaid, [0; 0], "{sentence}");
    }
}

/// What is done around the anaesthetic, in any order, wrongly too.
const WATCH: &[&str] = &[
    "throat pack in",
    "throat pack out",
    "mouth gag in",
    "mouth gag out",
    "anaesthesia started",
    "anaesthesia ended",
    "temperature thirty seven point five",
    "temperature thirty nine point eight",
    "confirm",
    "yes",
    "no",
    "undo",
    "(minutes)",
    "(minutes)",
];

/// Which of the dangers stand, worked out from the record alone.
fn dangers(table: &Table) -> Vec<&'static str> {
    use crate::clock::Clock as _;
    use crate::terms::Procedure as P;
    let record = &table.record;
    let done: Vec<_> = record.procedures().collect();
    let count = |wanted: &P| done.iter().filter(|(p, _)| *p == wanted).count();
    let last = |of: &[P]| {
        done.iter()
            .rev()
            .find(|(p, _)| of.contains(p))
            .map(|(p, c)| ((*p).clone(), c.at))
    };
    let mut found = Vec::new();
    let is_over = last(&[P::AnaesthesiaStarted, P::AnaesthesiaEnded])
        .is_some_and(|(newest, _)| newest == P::AnaesthesiaEnded);
    if is_over && count(&P::ThroatPackIn) > count(&P::ThroatPackOut) {
        found.push("pack_still_in");
    }
    let now = table.clock.clone().now().at;
    if record.patient.species == Species::Cat
        && last(&[P::GagIn, P::GagOut]).is_some_and(|(newest, at)| {
            newest == P::GagIn && now.as_second() - at.as_second() >= 600
        })
    {
        found.push("gag_too_long");
    }
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// No alert without its danger; and a danger that nobody said they saw is asked about, now or already.
    #[test]
    fn an_alert_has_its_danger_and_a_danger_its_alert(
        is_cat in any::<bool>(),
        said in proptest::collection::vec(proptest::sample::select(WATCH), 1..24),
    ) {
        use crate::clock::Clock as _;
        let mut table = Table::open(if is_cat { Species::Cat } else { Species::Dog });
        for sentence in &said {
            if *sentence == "(minutes)" {
                table.clock.advance_ms(7 * 60_000);
            } else {
                table.say(sentence);
            }
            let dangers = dangers(&table);
            let is_open = table.record.open_challenge().is_some();
            let step = table.session.alert(&table.record, table.clock.0, 10);
            match step {
                Some(step) => {
                    let key = step.phrases[0].key.clone();
                    prop_assert!(
                        key == "temperature_seen" || dangers.iter().any(|danger| *danger == key),
                        "{key} without its danger: {said:?}"
                    );
                    table.save(step.drafts);
                }
                // Something else is being asked; the alert comes when that is answered.
                None if is_open => {}
                None => for danger in dangers {
                    let asked = table.record.challenges.iter().rev().find(|c| c.rule == danger);
                    prop_assert!(asked.is_some(), "{danger} was never asked about: {said:?}");
                }
            }
        }
    }

    /// Teeth are missed by age: none that no animal of this age has, and every one that it should have until it is charted.
    #[test]
    fn a_young_mouth_is_looked_through_by_its_age(
        is_cat in any::<bool>(),
        days in 20_u32..500,
        charted in proptest::collection::btree_set((1_u16..=8, 1_u16..=11), 0..40),
    ) {
        use crate::record::{Draft, Record};
        use crate::terms::dentition::{self, Stage};
        use crate::terms::{Finding, Kind, Patient, Place, Subject, Value, eruption};
        let species = if is_cat { Species::Cat } else { Species::Dog };
        let mut table = Table::open(species);
        let today = plan::visit_date(&table.record, &Settings::default());
        let born = today
            .checked_sub(jiff::Span::new().days(i64::from(days)))
            .expect("a day");
        let patient = Patient { born: Some(born.to_string().into()), ..Patient::example(species) };
        table.save(vec![Draft::new(Event::PatientUpdated { patient, unsays_tests: false }, None)]);
        let charted: Vec<ToothNumber> = charted
            .into_iter()
            .filter_map(|(quadrant, position)| ToothNumber::new(quadrant * 100 + position).ok())
            .filter(|tooth| dentition::has(species, *tooth))
            .collect();
        let drafts = charted
            .iter()
            .map(|tooth| Draft::new(Event::FindingRecorded {
                finding: Finding {
                    subject: Subject::Tooth(*tooth),
                    kind: Kind::Normal,
                    place: Place::Whole,
                    value: Value::Present,
                },
                challenge: None,
            }, None))
            .collect();
        table.save(drafts);
        let record: &Record = &table.record;
        let plan = plan::make(record, &[], &Settings::default());
        let missed = &plan.unexamined.uncharted;
        for tooth in missed {
            prop_assert!(!charted.contains(tooth), "{tooth} is charted");
            prop_assert!(
                tooth.is_deciduous() || eruption::gap(species, *tooth, days) != eruption::Gap::NotYet,
                "{tooth} at {days} days"
            );
        }
        // Calendar months differ in length: between the two nothing is claimed.
        let is_missed = |stage: Stage, tooth: ToothNumber| {
            let is_replaced = stage == Stage::Deciduous
                && tooth.successor().is_some_and(|after| charted.contains(&after));
            missed.contains(&tooth) || charted.contains(&tooth) || is_replaced
        };
        if days > eruption::ALL_IN_DAYS + 7 {
            for tooth in dentition::teeth(species, Stage::Permanent) {
                prop_assert!(is_missed(Stage::Permanent, tooth), "{tooth} at {days} days");
            }
        } else if days + 7 < eruption::ALL_IN_DAYS {
            for tooth in dentition::teeth(species, Stage::Deciduous) {
                prop_assert!(is_missed(Stage::Deciduous, tooth), "{tooth} at {days} days");
            }
        }
    }
}
