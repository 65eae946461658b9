//! The checks of the fuzz targets, run briefly on generated input with every `cargo test`: readers of outside text and
//! bytes give a value or a clear error, never a panic and never something that was not written.

use proptest::prelude::*;

use sulcus::grammar::{Grammar, Meaning, Situation};
use sulcus::record::Journal;
use sulcus::record::journal::{FILE, LOG_FILE, MARK_FILE, read_damaged};
use sulcus::sim::SimulatedDisk;
use sulcus::terms::Species;

/// Bytes as the files of a journal: opened, read, salvaged.
fn read_as_journal(database: &[u8], log: &[u8], mark: &[u8]) {
    let disk = SimulatedDisk::new(0);
    for (name, bytes) in [(FILE, database), (LOG_FILE, log), (MARK_FILE, mark)] {
        disk.with(|on| on.put(&disk.path(name), bytes));
    }
    read_damaged(&disk.folder(1)).expect("bytes can always be read");
    for journal in [
        Journal::open_reader_on(Box::new(disk.folder(1))),
        Journal::open_on(Box::new(disk.folder(1))),
    ] {
        let Ok(journal) = journal else { continue };
        for line in journal.visits().unwrap_or_default() {
            // An error is an answer; a panic is none.
            let _ = journal.entries(line.visit);
        }
    }
}

/// The folder of a real journal, as one file.
fn real_journal() -> Vec<u8> {
    let file = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/journals/v1/journal.sqlite"
    );
    std::fs::read(file).expect("a real journal")
}

fn any_word() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => prop::sample::select(vec![
            "one", "zero", "four", "eight", "depth", "three", "buccal", "mobility", "grade", "furcation", "extract",
            "confirm", "undo", "no", "next", "tooth", "upper", "left", "canine", "note", "missing", "all", "monitor",
        ]).prop_map(str::to_owned),
        1 => "[a-z]{1,8}",
        1 => any::<String>(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn any_text_is_a_grammar_or_a_clear_fault(text in any::<String>()) {
        if let Err(fault) = Grammar::from_sources(&[("any.grammar", &text)]) {
            prop_assert!(!fault.to_string().is_empty());
        }
    }

    /// Text that looks like a grammar gets further.
    #[test]
    fn nearly_a_grammar_is_a_grammar_or_a_clear_fault(
        lines in prop::collection::vec("[a-z_<>()|\\[\\]{}=:#,. 0-9\"*?-]{0,40}", 0..12),
    ) {
        if let Err(fault) = Grammar::from_sources(&[("near.grammar", &lines.join("\n"))]) {
            prop_assert!(!fault.to_string().is_empty());
        }
    }

    #[test]
    fn any_words_have_one_meaning_or_none(words in prop::collection::vec(any_word(), 0..12)) {
        thread_local! {
            static GRAMMAR: Grammar = Grammar::built_in().expect("the built-in grammar");
        }
        for situation in Situation::ALL {
            for species in [Species::Dog, Species::Cat] {
                let meaning = GRAMMAR.with(|grammar| grammar.interpret(&words, situation, species));
                prop_assert!(!matches!(meaning, Meaning::Ambiguous(..)), "{words:?}");
            }
        }
    }

    #[test]
    fn any_bytes_are_a_journal_or_an_error(
        database in prop::collection::vec(any::<u8>(), 0..6_000),
        log in prop::collection::vec(any::<u8>(), 0..6_000),
        mark in prop::collection::vec(any::<u8>(), 0..200),
    ) {
        read_as_journal(&database, &log, &mark);
    }
}

proptest! {
    // Each case looks at a file of some 300 kB at every byte.
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn a_real_journal_with_other_bytes_is_a_journal_or_an_error(
        changes in prop::collection::vec((any::<prop::sample::Index>(), prop::collection::vec(any::<u8>(), 1..64)), 1..8),
    ) {
        let mut bytes = real_journal();
        for (at, with) in changes {
            let at = at.index(bytes.len() - with.len());
            bytes[at..at + with.len()].copy_from_slice(&with);
        }
        read_as_journal(&bytes, &[], &[]);
    }
}
