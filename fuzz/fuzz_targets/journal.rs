//! Any bytes as the files of a journal give entries or an error.

#![no_main]

use libfuzzer_sys::fuzz_target;
use sulcus::record::Journal;
use sulcus::record::journal::{FILE, LOG_FILE, read_damaged};
use sulcus::sim::SimulatedDisk;

fuzz_target!(|files: (Vec<u8>, Vec<u8>)| {
    let disk = SimulatedDisk::new(0);
    for (name, bytes) in [(FILE, &files.0), (LOG_FILE, &files.1)] {
        disk.with(|on| on.put(&disk.path(name), bytes));
    }
    read_damaged(&disk.folder(1)).expect("bytes can always be read");
    for journal in [
        Journal::open_reader_on(Box::new(disk.folder(1))),
        Journal::open_on(Box::new(disk.folder(1))),
    ] {
        let Ok(journal) = journal else { continue };
        for line in journal.visits().unwrap_or_default() {
            let _ = journal.entries(line.visit);
        }
    }
});
