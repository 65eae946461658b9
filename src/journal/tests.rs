//! What `reopen` says of an append that failed: by what the file holds, not by what is remembered.

use uuid::Uuid;

use super::*;
use crate::clock::{Clock, SetClock};
use crate::record::Event;
use crate::terms::{Patient, Species, ToothNumber};

/// What is appended in one commit.
struct Step {
    visit: Uuid,
    drafts: Vec<Draft>,
}

/// A journal with one step of a visit in it, and the steps after it.
fn begun(folder: &Path) -> (Journal, Vec<Step>) {
    let opened = Event::VisitOpened {
        patient: Patient::example(Species::Cat),
        vet: None,
        nurse: None,
    };
    let tooth = |number| Event::ToothChosen {
        tooth: ToothNumber::new(number).expect("a tooth"),
    };
    let steps: Vec<Step> = [
        vec![opened, tooth(104)],
        vec![tooth(107), Event::ListeningPaused],
        vec![Event::ListeningResumed],
    ]
    .into_iter()
    .map(|events| Step {
        visit: Uuid::from_u128(7),
        drafts: events
            .into_iter()
            .map(|event| Draft::new(event, None))
            .collect(),
    })
    .collect();
    let mut journal = Journal::open(folder).expect("opens");
    journal
        .append(steps[0].visit, &steps[0].drafts, now())
        .expect("saves");
    (journal, steps)
}

fn now() -> Now {
    SetClock::at_second(1_700_000_000).now()
}

/// As if the append had failed after the entry with number `before`.
fn fail(journal: &mut Journal, step: &Step, before: Option<u64>) {
    journal.is_shut = true;
    journal.failed = Some(FailedAppend {
        visit: step.visit,
        drafts: step.drafts.clone(),
        before,
    });
}

#[test]
fn what_the_file_holds_was_saved() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut journal, steps) = begun(folder.path());
    let before = journal.newest[&steps[0].visit].0;
    let entries = journal
        .append(steps[1].visit, &steps[1].drafts, now())
        .expect("saves");
    fail(&mut journal, &steps[1], Some(before));
    assert_eq!(
        journal.reopen().expect("opens"),
        Reopened::WasSaved(entries)
    );
    assert!(!journal.is_shut());
    journal
        .append(steps[2].visit, &steps[2].drafts, now())
        .expect("goes on");
}

#[test]
fn what_the_file_lacks_is_given_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut journal, steps) = begun(folder.path());
    for before in [None, Some(journal.newest[&steps[0].visit].0)] {
        fail(&mut journal, &steps[1], before);
        let refused = journal.append(steps[1].visit, &steps[1].drafts, now());
        assert!(matches!(refused, Err(JournalError::Shut)));
        let given_back = Reopened::NotSaved {
            visit: steps[1].visit,
            drafts: steps[1].drafts.clone(),
        };
        assert_eq!(journal.reopen().expect("opens"), given_back);
    }
    assert_eq!(journal.reopen().expect("opens"), Reopened::NothingWaited);
}

/// Neither nothing nor what was said: damage, never a guess.
#[test]
fn anything_else_in_its_place_is_damage() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut journal, steps) = begun(folder.path());
    let before = journal.newest[&steps[0].visit].0;
    journal
        .append(steps[1].visit, &steps[1].drafts, now())
        .expect("saves");
    fail(&mut journal, &steps[2], Some(before));
    let error = journal.reopen().expect_err("damaged");
    assert!(matches!(error, JournalError::Damaged { .. }), "{error}");
    assert!(journal.is_shut());
}

/// Not a number is written as null, and could never be read again.
#[test]
fn what_could_not_be_read_back_is_not_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut journal, steps) = begun(folder.path());
    let heard = crate::record::Heard {
        confidence: f32::NAN,
        ..Default::default()
    };
    let draft = Draft::new(Event::ListeningPaused, Some(&heard));
    let visit: Uuid = steps[0].visit;
    let error = journal.append(visit, &[draft], now()).expect_err("refused");
    assert!(matches!(error, JournalError::NotSaved { .. }), "{error}");
    assert!(matches!(
        journal.reopen().expect("opens"),
        Reopened::NotSaved { .. }
    ));
}
