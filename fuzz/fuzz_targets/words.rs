//! Any words have one meaning or none.

#![no_main]

use libfuzzer_sys::fuzz_target;
use sulcus::grammar::{Grammar, Meaning, Situation};
use sulcus::terms::Species;

fuzz_target!(|text: &str| {
    thread_local! {
        static GRAMMAR: Grammar = Grammar::built_in().expect("the built-in grammar");
    }
    // A sentence has a bounded length; longer ones only take time.
    let words: Vec<&str> = text.split_whitespace().take(16).collect();
    for situation in Situation::ALL {
        for species in [Species::Dog, Species::Cat] {
            let meaning = GRAMMAR.with(|grammar| grammar.interpret(&words, situation, species));
            assert!(!matches!(meaning, Meaning::Ambiguous(..)), "{words:?}");
        }
    }
});
