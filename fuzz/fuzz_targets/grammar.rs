//! Any text as a grammar file gives a grammar or a clear fault.

#![no_main]

use libfuzzer_sys::fuzz_target;
use sulcus::grammar::Grammar;

fuzz_target!(|text: &str| {
    if let Err(fault) = Grammar::from_sources(&[("fuzz.grammar", text)]) {
        assert!(!fault.to_string().is_empty());
    }
});
