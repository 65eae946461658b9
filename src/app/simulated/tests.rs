//! Examinations that once went wrong, and a handful of others, each by its seed.

use super::*;

fn play(room: &Room, seed: u64) -> Outcome {
    let folder = tempfile::tempdir().expect("a folder");
    examine(folder.path(), room, seed).expect("an examination")
}

/// It came to its end, and everything in it is as it was meant and confirmed.
fn ends_as_meant(outcome: &Outcome, seed: u64) {
    let log = outcome.log.join("\n");
    assert!(!outcome.stuck, "seed {seed}: {log}");
    assert_eq!(
        (outcome.wrong, outcome.unconfirmed),
        (0, 0),
        "seed {seed}: {log}"
    );
}

/// Where everything is heard right, nothing is wrong, nothing is left over and nothing is said twice.
#[test]
fn with_perfect_ears_the_record_is_what_was_meant() {
    let ears = Ears {
        confusion: 0.0,
        loss: 0.0,
        unclear: 0.0,
        false_entry: 0.0,
        false_doubt: 0.0,
    };
    let room = Room {
        ears,
        fast: 0.0,
        hesitation: 0.0,
        chatter: 0.0,
        impatience: 0.0,
        teeth: 6,
        ..Room::default()
    };
    for seed in 0..4 {
        let outcome = play(&room, seed);
        assert!(outcome.values > 0, "seed {seed}");
        ends_as_meant(&outcome, seed);
    }
}

#[test]
fn one_seed_gives_one_examination() {
    let room = Room {
        teeth: 3,
        ..Room::default()
    };
    assert_eq!(play(&room, 7), play(&room, 7));
}

/// Attentive people end with the record they meant, whatever was misheard on the way.
#[test]
fn attentive_people_mend_everything() {
    for pace in [Pace::EachReading, Pace::EachTooth, Pace::Quiet] {
        for hears_itself in [true, false] {
            let room = Room {
                ears: Ears::noisy(),
                pace,
                hears_itself,
                inattention: 0.0,
                teeth: 4,
                ..Room::default()
            };
            for seed in 0..6 {
                let outcome = play(&room, seed);
                assert_eq!(
                    (outcome.wrong_confirmed, outcome.stuck),
                    (0, false),
                    "seed {seed}, {pace:?}, hears itself: {hears_itself}\n{}",
                    outcome.log.join("\n")
                );
            }
        }
    }
}

/// What would pass unnoticed if the oracle were blind: people who nod through whatever is read back.
#[test]
fn the_oracle_sees_what_nobody_noticed() {
    let ears = Ears {
        confusion: 0.3,
        ..Ears::noisy()
    };
    let room = Room {
        ears,
        inattention: 1.0,
        teeth: 4,
        ..Room::default()
    };
    let wrong: usize = (0..4).map(|seed| play(&room, seed).wrong).sum();
    assert!(wrong > 0);
}

/// Every kind of people, with perfect ears: nothing is wrong, nothing is left over, and nobody gives up.
#[test]
fn every_kind_of_people_comes_to_its_end() {
    let ears = Ears {
        confusion: 0.0,
        loss: 0.0,
        unclear: 0.0,
        false_entry: 0.0,
        false_doubt: 0.0,
    };
    let brisk = "[conversation]\nread_back = \"short\"\nnext_confirms = true\n";
    let quadrants = Manner {
        confirms: manner::Confirms::Quadrant,
        ..Manner::practised()
    };
    for (pace, clinic, manner) in [
        (Pace::EachReading, "", Manner::usual()),
        (Pace::EachReading, brisk, Manner::practised()),
        (Pace::EachReading, "", Manner::two_people()),
        (Pace::EachQuadrant, "", quadrants),
    ] {
        let room = Room {
            ears: ears.clone(),
            pace,
            clinic: clinic.to_owned(),
            manner,
            fast: 0.0,
            hesitation: 0.0,
            chatter: 0.0,
            impatience: 0.0,
            hears_itself: false,
            teeth: 6,
            ..Room::default()
        };
        for seed in 0..2 {
            let outcome = play(&room, seed);
            ends_as_meant(&outcome, seed);
        }
    }
}

/// A scribe who writes slowly holds up the table; one who writes at once waits for the hands.
#[test]
fn the_slower_of_hands_and_pen_decides_on_paper() {
    let play = |write_value_ms| {
        let room = Room {
            manner: Manner::practised(),
            scribe: Scribe {
                write_value_ms,
                ..Scribe::default()
            },
            teeth: 2,
            ..Room::default()
        };
        play(&room, 1)
    };
    let (quick, slow) = (play(0), play(3_000));
    assert!(slow.scribe_seconds > quick.scribe_seconds + 10.0);
    assert!(
        quick.scribe_seconds > 2.0 * 2.0 * 2.0,
        "the hands take their time"
    );
    assert_eq!(quick.seconds, slow.seconds, "the program knows no pen");
    let values = slow.values as f64;
    assert!((slow.copy_seconds - 1.5 * values).abs() < 1e-6);
}

/// The nurse's entries come between the vet's readings: with perfect ears all stand as meant, and none of the vet's is
/// touched.
#[test]
fn a_nurse_who_is_heard_right_enters_what_she_read() {
    let ears = Ears {
        confusion: 0.0,
        loss: 0.0,
        unclear: 0.0,
        false_entry: 0.0,
        false_doubt: 0.0,
    };
    let room = watched(Room {
        ears,
        fast: 0.0,
        hesitation: 0.0,
        chatter: 0.0,
        impatience: 0.0,
        inattention: 0.0,
        teeth: 20,
        ..Room::default()
    });
    for seed in 0..2 {
        let outcome = play(&room, seed);
        ends_as_meant(&outcome, seed);
        let watch = outcome.watched;
        let log = outcome.log.join("\n");
        assert!(watch.rounds > 0 && watch.lost_seconds > 0.0, "{log}");
        assert_eq!((watch.wrong, watch.unconfirmed), (0, 0), "{log}");
    }
}

/// Misheard numbers are mended where somebody listens.
#[test]
fn an_attentive_nurse_mends_her_numbers() {
    let room = watched(Room {
        ears: Ears::noisy(),
        inattention: 0.0,
        teeth: 12,
        ..Room::default()
    });
    for seed in 0..3 {
        let outcome = play(&room, seed);
        let log = outcome.log.join("\n");
        assert!(!outcome.stuck, "{log}");
        assert_eq!(outcome.watched.wrong_confirmed, 0, "{log}");
    }
}
