//! Makes text fit for espeak-ng: its phoneme marks for the terms that its rules say wrongly, nothing that it would obey.
//! Used for both voices, since the neural one takes its phonemes from espeak-ng.

/// Words that espeak-ng 1.51 says wrongly, and how to write them, `[[…]]` being its own phoneme names.
/// Found by reading its phonemes for the terms of the grammar: "distal" came out with the stress on "-al",
/// "mesiobuccal" as "mesi-ah-buckle", "extract" as the noun. Right stresses and vowels from memory.
const RESPELLED: [(&str, &str); 9] = [
    ("distal", "[[d'Ist@l]]"),
    ("distobuccal", "[[d'IstoU]] buccal"),
    ("distolingual", "[[d'IstoU]] lingual"),
    ("distopalatal", "[[d'IstoU]] [[p'ala#t2@l]]"),
    // A "t" that is not softened to "d": of eight read-backs a recogniser wrote "palatal" for seven, before for three.
    ("palatal", "[[p'ala#t2@l]]"),
    ("mesiobuccal", "mesio-buccal"),
    ("mesiolingual", "mesio-lingual"),
    ("mesiopalatal", "mesio [[p'ala#t2@l]]"),
    ("extract", "[[Ekstr'akt]]"),
];

/// The rules as text: part of a voice's identity, so that sound made under older rules is not used.
pub fn rules() -> String {
    format!("{RESPELLED:?}")
}

/// The text with terms respelled, and without brackets and control characters, by which text could give orders.
pub fn pronounceable(text: &str) -> String {
    let mut spoken = String::with_capacity(text.len() + 16);
    let mut word = String::new();
    for letter in text.chars().chain([' ']) {
        if letter.is_alphanumeric() {
            word.push(letter);
            continue;
        }
        let known = RESPELLED
            .iter()
            .find(|(term, _)| term.eq_ignore_ascii_case(&word));
        spoken.push_str(known.map_or(word.as_str(), |(_, spelling)| spelling));
        word.clear();
        let order = letter.is_control() || matches!(letter, '[' | ']' | '<' | '>');
        spoken.push(if order { ' ' } else { letter });
    }
    // The blank that closed the last word.
    spoken.pop();
    spoken
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn terms_are_respelled_and_nothing_else() {
        assert_eq!(
            pronounceable("Distal, furcation two."),
            "[[d'Ist@l]], furcation two."
        );
        assert_eq!(
            pronounceable("distally mesiobuccal?"),
            "distally mesio-buccal?"
        );
        assert_eq!(pronounceable("… Café, né"), "… Café, né");
    }

    #[test]
    fn text_gives_no_orders() {
        assert_eq!(pronounceable("[[h@]] <voice>\none"), "  h@    voice  one");
    }

    /// A colon or a stop within the marks would be taken for the end of a clause.
    #[test]
    fn spellings_hold_no_clause_end() {
        for (_, spelling) in RESPELLED {
            assert!(
                !spelling.contains(['.', ',', ';', ':', '?', '!']),
                "{spelling}"
            );
        }
    }

    proptest! {
        #[test]
        fn other_words_stay_as_they_are(text in "[a-z ,.?é-]{0,60}") {
            let term = |word: &str| RESPELLED.iter().any(|(term, _)| *term == word);
            if !text.split(|letter: char| !letter.is_alphanumeric()).any(term) {
                prop_assert_eq!(pronounceable(&text), text);
            }
        }
    }
}
