//! Finished visits arrive once and whole, whatever happens on the way.

use super::{Archive, CLINIC, Table, stderr, stdout};
use crate::invented;
use crate::program;

use std::time::{Duration, Instant};

use sulcus::archive::Outcome;
use sulcus::clock::{Clock, SetClock};
use sulcus::sim::examination::Examinations;
use uuid::Uuid;

#[test]
fn a_finished_visit_goes_to_the_archive_and_an_open_one_stays() {
    let Some(archive) = Archive::start("a_finished_visit_goes_to_the_archive") else {
        return;
    };
    let table = Table::new(&archive.address);
    let joined = table.archive(&["join", &archive.code]);
    assert!(joined.status.success(), "{}", stderr(&joined));
    assert!(stdout(&joined).contains("Table 1 of Clinic A (invented)"));
    // A code is good once.
    let again = table.archive(&["join", &archive.code]);
    assert_eq!(again.status.code(), Some(1));
    assert!(stderr(&again).contains("good once"), "{}", stderr(&again));

    let mut journal = table.journal();
    let dog = invented::dog(&mut journal);
    invented::cat_later(&mut journal);
    drop(journal);
    let told = table.send();
    assert!(
        told.contains(&dog.to_string()) && told.contains("taken"),
        "{told}"
    );
    assert_eq!(archive.postgres.count("sulcus.visit"), 1);
    let rows = table.journal().rows(dog).expect("rows");
    assert_eq!(archive.entry_count(), rows.len() as i64);
    // What is held is what the journal holds, to the letter.
    let held = archive.postgres.sql(
        "postgres",
        "sulcus",
        "SELECT r->>'hash' FROM sulcus.stretch, jsonb_array_elements(rows::jsonb) r ORDER BY (r->>'number')::int",
    );
    let hashes: Vec<&str> = rows.iter().map(|row| row.hash.as_str()).collect();
    assert_eq!(held.lines().collect::<Vec<_>>(), hashes);
    assert!(table.send().contains("nothing waits"));

    // More entries are another delivery, and only they are added.
    let more = program::run(
        table
            .command()
            .args(["addendum", &dog.to_string(), "Eats well."]),
    );
    assert!(more.status.success(), "{}", stderr(&more));
    table.send();
    assert_eq!(archive.entry_count(), rows.len() as i64 + 1);
    assert_eq!(archive.postgres.count("sulcus.stretch"), 2);

    let status = table.archive(&["status"]);
    assert!(status.status.success(), "{}", stderr(&status));
    assert!(
        stdout(&status).contains("handed over: 2"),
        "{}",
        stdout(&status)
    );
    let status = archive.keeper(&["status"]);
    assert!(
        stdout(&status).contains("1 visits of 1 patients")
            && stdout(&status).contains("Table 1: 1 visits, seen"),
        "{}{}",
        stdout(&status),
        stderr(&status)
    );
}

#[test]
fn the_same_delivery_ten_times_is_taken_once() {
    let Some(archive) = Archive::start("the_same_delivery_ten_times") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    let cat = invented::cat(&mut table.journal());
    let parcel = table.parcel(cat);
    assert_eq!(parcel, table.parcel(cat), "the same bytes at each try");
    let held = parcel.rows.len() as u64;
    // Ten at once: which of them comes first is chance.
    let outcomes: Vec<Outcome> = std::thread::scope(|scope| {
        let tries: Vec<_> = (0..10)
            .map(|_| scope.spawn(|| table.link().deliver(&parcel).expect("taken")))
            .collect();
        tries
            .into_iter()
            .map(|one| one.join().expect("ends"))
            .collect()
    });
    let taken = outcomes
        .iter()
        .filter(|one| **one == Outcome::Taken { held })
        .count();
    let known = outcomes
        .iter()
        .filter(|one| **one == Outcome::Known { held })
        .count();
    assert_eq!((taken, known), (1, 9), "{outcomes:?}");
    assert_eq!(archive.entry_count(), held as i64);
    assert_eq!(archive.postgres.count("sulcus.patient"), 1);
    assert_eq!(archive.postgres.count("sulcus.refused"), 0);
}

/// So many finished examinations by seed.
fn write_visits(table: &Table, seed: u64, count: usize) {
    let mut journal = table.journal();
    let mut clock = SetClock::at_second(1_790_000_000 + seed as i64);
    let mut visits: Vec<Uuid> = Vec::new();
    for step in Examinations::with_teeth(seed, 3) {
        if !visits.contains(&step.visit) {
            if visits.len() == count {
                return;
            }
            visits.push(step.visit);
        }
        clock.advance_ms(step.wait_ms);
        let now = clock.now();
        journal
            .append(step.visit, &step.drafts, now)
            .expect("saved");
    }
}

#[test]
fn three_tables_of_two_clinics_hand_over_while_database_and_server_are_killed_and_nothing_is_lost_or_twice()
 {
    let Some(mut archive) = Archive::start("three_tables_hand_over") else {
        return;
    };
    const VISITS: usize = 25;
    const OTHER: &str = "Clinic B (invented)";
    let made = archive.keeper(&["init", "--clinic", OTHER]);
    assert!(made.status.success(), "{}", stderr(&made));
    let tables: Vec<Table> = [CLINIC, CLINIC, OTHER]
        .into_iter()
        .enumerate()
        .map(|(number, clinic)| {
            let number = number as u64;
            let table = archive.table(&format!("Table {}", number + 2), clinic);
            write_visits(&table, number, VISITS);
            table
        })
        .collect();
    let is_done = std::sync::atomic::AtomicBool::new(false);
    let load = std::sync::atomic::Ordering::SeqCst;
    let mut broken_count = 0;
    std::thread::scope(|scope| {
        let senders: Vec<_> = tables
            .iter()
            .map(|table| {
                let is_done = &is_done;
                scope.spawn(move || {
                    let started = Instant::now();
                    loop {
                        // What failed is due at once for the test; at the table it waits.
                        let sent = table.archive(&["send", "--retry"]);
                        if sent.status.success() && is_done.load(load) {
                            return;
                        }
                        assert!(
                            started.elapsed() < Duration::from_secs(240),
                            "{}",
                            stderr(&sent)
                        );
                    }
                })
            })
            .collect();
        for round in 0..4 {
            std::thread::sleep(Duration::from_millis(350));
            match round % 4 {
                0 => {
                    archive.postgres.kill();
                    archive.postgres.run();
                }
                1 => {
                    archive.kill();
                    archive.serve(&[]);
                }
                2 => {
                    archive.postgres.stop();
                    std::thread::sleep(Duration::from_millis(300));
                    archive.postgres.run();
                }
                _ => {
                    archive.kill();
                    archive.postgres.kill();
                    archive.postgres.run();
                    archive.serve(&[]);
                }
            }
            broken_count += 1;
        }
        is_done.store(true, load);
        for sender in senders {
            sender.join().expect("all is handed over");
        }
    });
    assert_eq!(broken_count, 4);
    let mut expected = 0;
    for table in &tables {
        let journal = table.journal();
        for (visit, head) in journal.finished_heads().expect("heads") {
            let rows = journal.rows(visit).expect("rows").len();
            expected += rows as i64;
            let held = archive.postgres.sql(
                "postgres",
                "sulcus",
                &format!("SELECT head_hash, entry_count FROM sulcus.visit WHERE id = '{visit}'"),
            );
            assert_eq!(held, format!("{head}|{rows}"), "{visit}");
        }
    }
    assert_eq!(archive.postgres.count("sulcus.visit"), 3 * VISITS as i64);
    let of_clinics = archive.postgres.sql(
        "postgres",
        "sulcus",
        "SELECT count(*) FROM sulcus.visit v JOIN sulcus.clinic c ON c.id = v.clinic GROUP BY c.name ORDER BY c.name",
    );
    assert_eq!(of_clinics, format!("{}\n{VISITS}", 2 * VISITS));
    assert_eq!(archive.entry_count(), expected);
    assert_eq!(archive.postgres.count("sulcus.refused"), 0);
}

#[test]
fn a_table_brought_back_from_an_old_copy_is_told_and_overwrites_nothing() {
    let Some(archive) = Archive::start("a_table_brought_back") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    let cat = invented::cat(&mut table.journal());
    let copy = tempfile::tempdir().expect("a folder");
    for file in std::fs::read_dir(table.path()).expect("listed").flatten() {
        std::fs::copy(file.path(), copy.path().join(file.file_name())).expect("copied");
    }
    let add = |table: &Table, words: &str| {
        let added = program::run(table.command().args(["addendum", &cat.to_string(), words]));
        assert!(added.status.success(), "{}", stderr(&added));
    };
    add(&table, "First words.");
    add(&table, "Second words.");
    table.send();
    let (entries, rows) = (
        archive.entry_count(),
        archive.postgres.count("sulcus.stretch"),
    );

    // The old copy holds less: nothing is changed, and the table is told.
    let old = Table { folder: copy };
    let told = old.send();
    assert!(told.contains("2 entries more than this journal"), "{told}");
    // It goes on another way: refused, told with what to do, and kept for a person.
    add(&old, "Other words.");
    let refused = old.archive(&["send"]);
    assert_eq!(refused.status.code(), Some(1));
    let told = stderr(&refused);
    assert!(
        told.contains("is another one than the archive holds") && told.contains("it stays here"),
        "{told}"
    );
    assert_eq!(archive.entry_count(), entries);
    assert_eq!(archive.postgres.count("sulcus.stretch"), rows);
    assert_eq!(
        archive
            .postgres
            .count("sulcus.refused WHERE body LIKE '%Other words%'"),
        1
    );
    // Once a day or ten times: one line.
    old.archive(&["send", "--retry"]);
    assert_eq!(archive.postgres.count("sulcus.refused"), 1);
    let status = archive.keeper(&["status"]);
    assert_eq!(status.status.code(), Some(1));
    assert!(
        stderr(&status).contains("REFUSED, 2 times"),
        "{}",
        stderr(&status)
    );
    let status = old.archive(&["status"]);
    assert!(stdout(&status).contains("refused"), "{}", stdout(&status));
}

#[test]
fn a_forgotten_visit_goes_from_the_archive_too_and_never_comes_back() {
    let Some(archive) = Archive::start("a_forgotten_visit") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    let cat = invented::cat(&mut table.journal());
    table.send();
    let parcel = table.parcel(cat);
    let forgotten = program::run(table.command().args([
        "forget",
        &cat.to_string(),
        "--reason",
        "the owner's wish (invented)",
        "--i-may-delete-this",
    ]));
    assert!(forgotten.status.success(), "{}", stderr(&forgotten));
    assert_eq!(
        archive.postgres.count("sulcus.visit"),
        1,
        "nothing is told yet"
    );
    table.send();
    assert_eq!(archive.postgres.count("sulcus.visit"), 0);
    assert_eq!(archive.postgres.count("sulcus.stretch"), 0);
    assert_eq!(
        archive
            .postgres
            .sql("postgres", "sulcus", "SELECT reason FROM sulcus.tombstone"),
        "the owner's wish (invented)"
    );
    let why = table
        .link()
        .deliver(&parcel)
        .expect_err("refused")
        .to_string();
    assert!(why.contains("deleted in the archive"), "{why}");
    assert_eq!(archive.postgres.count("sulcus.visit"), 0);
    assert_eq!(
        archive.postgres.sql(
            "postgres",
            "sulcus",
            "SELECT name FROM sulcus.access WHERE action = 'forget'"
        ),
        "Table 2"
    );
}

#[test]
fn the_rule_of_a_clinic_deletes_what_is_old_and_leaves_tombstones() {
    let Some(mut archive) = Archive::start("the_rule_of_a_clinic") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    invented::cat(&mut table.journal());
    invented::dog(&mut table.journal());
    table.send();
    let refused = archive.keeper(&["retain", "--years", "5"]);
    assert_eq!(
        refused.status.code(),
        Some(2),
        "nothing is deleted without the assent"
    );
    let set = archive.keeper(&["retain", "--years", "5", "--i-may-delete-this"]);
    assert!(set.status.success(), "{}", stderr(&set));
    archive.postgres.sql(
        "postgres",
        "sulcus",
        &format!(
            "UPDATE sulcus.visit SET finished_at = now() - interval '5 years 1 day' WHERE id = '{}'",
            Uuid::from_u128(invented::CAT)
        ),
    );
    // The server's daily round begins with its start.
    archive.kill();
    archive.serve(&[]);
    let started = Instant::now();
    while archive.postgres.count("sulcus.tombstone") == 0 {
        assert!(
            started.elapsed() < Duration::from_secs(30),
            "the round comes"
        );
        std::thread::sleep(Duration::from_millis(100));
    }
    assert_eq!(archive.postgres.count("sulcus.visit"), 1);
    let told = archive.postgres.sql(
        "postgres",
        "sulcus",
        "SELECT name, visit FROM sulcus.access WHERE action = 'forget'",
    );
    assert_eq!(
        told,
        format!("retention|{}", Uuid::from_u128(invented::CAT))
    );
}

#[test]
fn an_archive_that_lost_its_last_days_gets_them_again() {
    let Some(mut archive) = Archive::start("an_archive_that_lost") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    invented::cat(&mut table.journal());
    table.send();
    let dump = |archive: &Archive| {
        archive.postgres.dump("sulcus", "backup");
    };
    dump(&archive);
    invented::dog(&mut table.journal());
    table.send();
    let whole = archive.entry_count();
    // Brought back from the backup of before.
    archive.kill();
    archive.postgres.restore("sulcus", "backup");
    archive.serve(&[]);
    assert!(archive.entry_count() < whole);
    assert!(table.send().contains("nothing waits"));
    let again = table.archive(&["send", "--again"]);
    assert!(again.status.success(), "{}", stderr(&again));
    assert_eq!(archive.entry_count(), whole);
}

/// A table that begins with an old journal: a few visits a step, ended and killed between them, none lost or twice.
#[test]
fn an_old_journal_is_handed_over_in_steps_that_can_be_broken_off() {
    let Some(archive) = Archive::start("an_old_journal_is_handed_over") else {
        return;
    };
    const VISITS: usize = 70;
    let table = archive.table("Table 2", CLINIC);
    write_visits(&table, 9, VISITS);
    let held = || archive.postgres.count("sulcus.visit");
    let serve = || {
        table
            .command()
            .args(["serve", "--port", "0"])
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .expect("starts")
    };
    let until = |count: i64| {
        let started = Instant::now();
        while held() < count {
            assert!(started.elapsed() < Duration::from_secs(120), "{count}");
            std::thread::sleep(Duration::from_millis(50));
        }
    };
    // Ended as a person ends it: it waits for a step, not for all of the journal.
    let mut page = serve();
    until(5);
    let pid = rustix::process::Pid::from_raw(page.id() as i32).expect("a process");
    rustix::process::kill_process(pid, rustix::process::Signal::TERM).expect("sent");
    page.wait().expect("ended");
    let so_far = held();
    assert!(so_far < VISITS as i64, "{so_far}");
    let status = table.archive(&["status"]);
    assert!(
        stdout(&status).contains("finished and not begun with yet: "),
        "{}",
        stdout(&status)
    );
    // Killed in the middle.
    let mut page = serve();
    until(so_far + 5);
    page.kill().expect("killed");
    page.wait().expect("ended");
    assert!(held() < VISITS as i64);
    let told = table.send();
    assert!(told.contains("taken"), "{told}");
    assert_eq!(held(), VISITS as i64);
    assert!(table.send().contains("nothing waits"));
    assert_eq!(archive.postgres.count("sulcus.refused"), 0);
    let status = table.archive(&["status"]);
    assert!(
        stdout(&status).contains(&format!("handed over: {VISITS}"))
            && !stdout(&status).contains("not begun with"),
        "{}",
        stdout(&status)
    );
}

#[test]
fn the_page_of_a_table_hands_over_by_itself() {
    let Some(archive) = Archive::start("the_page_of_a_table_hands_over") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    invented::cat(&mut table.journal());
    let mut page = table
        .command()
        .args(["serve", "--port", "0"])
        .stdout(std::process::Stdio::null())
        .spawn()
        .expect("starts");
    let started = Instant::now();
    while archive.postgres.count("sulcus.visit") == 0 {
        assert!(
            started.elapsed() < Duration::from_secs(60),
            "it is handed over"
        );
        std::thread::sleep(Duration::from_millis(100));
    }
    page.kill().expect("killed");
    page.wait().expect("ended");
}
