//! Any text as an exported visit is taken in whole or refused.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Ok(imported) = sulcus::export::json::read(text) {
        sulcus::record::journal::entries_of_rows(imported.visit, &imported.rows)
            .expect("what was taken in is whole");
    }
});
