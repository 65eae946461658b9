//! Prompts as phrases that cannot be misheard: slots filled with words, numbers digit by digit.
//! What to say is decided in `session`, the sentences are in `grammar/`; here is only how numbers and gaps are spoken.
//!
//! Invariant: no figure and no open gap leaves this file; the voice is given words only.

use crate::session::phrase::{Phrase, Slot};
use crate::session::rules::Rules;
use crate::speech::value::{ONES, TENS};
use crate::terms::ToothNumber;

/// A tooth number digit by digit: "one zero four", as numbers are read in radio work
/// (US Federal Aviation Administration, Aeronautical Information Manual, table 4-2-2).
/// "Zero", never "oh": it is the same table's word, and no letter shares it.
pub fn spoken_tooth(tooth: ToothNumber) -> String {
    spoken_digits(u32::from(tooth.number()))
}

/// Every digit by its name: 305 is "three zero five".
pub fn spoken_digits(number: u32) -> String {
    number
        .to_string()
        .bytes()
        .map(|digit| ONES[usize::from(digit - b'0')])
        .collect::<Vec<_>>()
        .join(" ")
}

/// Depths or grades in the order in which they were said, with a pause after each: "two, two, three".
/// From ten on each is said twice over, see [`spoken_number`].
pub fn spoken_values(values: &[u8]) -> String {
    values
        .iter()
        .map(|value| spoken_number(u32::from(*value)))
        .collect::<Vec<_>>()
        .join(", ")
}

/// A number and, from ten on, its digits: "fifteen, one five"; above 999 digits only.
/// "50" was heard for 15 and a drug given by it (Pennsylvania Patient Safety Advisory, March 2006);
/// number and then digits is the remedy (University of South Alabama Health, safety tool on spoken numbers).
pub fn spoken_number(number: u32) -> String {
    match number {
        0..=9 => spoken_digits(number),
        10..=999 => format!("{}, {}", cardinal(number), spoken_digits(number)),
        _ => spoken_digits(number),
    }
}

/// A number with one decimal, given in tenths: 125 is "one two point five".
pub fn spoken_tenths(tenths: u32) -> String {
    format!(
        "{} point {}",
        spoken_digits(tenths / 10),
        spoken_digits(tenths % 10)
    )
}

/// Free text, such as a patient's name, with its figures said digit by digit: "Rex2" is "Rex two".
pub fn spoken_text(text: &str) -> String {
    let spaced: String = text
        .chars()
        .map(|letter| match letter.to_digit(10) {
            Some(digit) => format!(" {} ", ONES[digit as usize]),
            None => letter.to_string(),
        })
        .collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// 1 to 999 in words.
fn cardinal(number: u32) -> String {
    let (hundreds, rest) = ((number / 100) as usize, (number % 100) as usize);
    let mut words = Vec::new();
    if hundreds > 0 {
        words.extend([ONES[hundreds % 10], "hundred"]);
    }
    match rest {
        0 => {}
        1..=19 => words.push(ONES[rest]),
        _ => {
            words.push(TENS[rest / 10 - 2]);
            if rest % 10 > 0 {
                words.push(ONES[rest % 10]);
            }
        }
    }
    words.join(" ")
}

/// The phrases to be said, in order: each a unit that is kept as sound.
pub fn spoken(phrase: &Phrase, rules: &Rules) -> Vec<String> {
    phrase
        .templates(rules)
        .into_iter()
        .flat_map(|template| filled(template, phrase, rules))
        .collect()
}

/// One template with its gaps filled. A template that is one gap of several phrases becomes these.
fn filled(template: &str, phrase: &Phrase, rules: &Rules) -> Vec<String> {
    for (name, slot) in &phrase.slots {
        if let Slot::Phrases(phrases) = slot
            && template.trim() == format!("{{{name}}}")
        {
            return phrases
                .iter()
                .flat_map(|phrase| spoken(phrase, rules))
                .collect();
        }
    }
    let mut said = template.to_owned();
    for (name, slot) in &phrase.slots {
        let gap = format!("{{{name}}}");
        if let Slot::Tooth(tooth) = slot {
            // "Tooth" must be said with each number, or it is a row of depths; the sentence may have it already.
            let with_noun = said.to_lowercase().contains(&format!("tooth, {gap}"));
            let number = spoken_tooth(*tooth);
            let words = if with_noun {
                number
            } else {
                format!("tooth {number}")
            };
            said = said.replace(&gap, &words);
        } else {
            said = said.replace(&gap, &slot_words(name, slot, rules));
        }
    }
    let said = sentence(&spoken_text(&said));
    if said.is_empty() {
        Vec::new()
    } else {
        vec![said]
    }
}

/// Counts of entries and places are said once: mistaking them hurts nobody.
const COUNTS: [&str; 3] = ["count", "open", "room"];

fn slot_words(name: &str, slot: &Slot, rules: &Rules) -> String {
    match slot {
        Slot::Tooth(tooth) => spoken_tooth(*tooth),
        Slot::Teeth(teeth) => {
            let numbers: Vec<String> = teeth.iter().map(|tooth| spoken_tooth(*tooth)).collect();
            numbers.join(", ")
        }
        Slot::Digits(values) => spoken_values(values),
        Slot::Number(0) if name == "open" => "none".to_owned(),
        Slot::Number(0) if COUNTS.contains(&name) => "no".to_owned(),
        Slot::Number(count @ 1..=999) if COUNTS.contains(&name) => cardinal(u32::from(*count)),
        Slot::Number(number) => spoken_number(u32::from(*number)),
        Slot::Text(text) => spoken_text(text),
        Slot::Figure(figure) => spoken_text(&figure.replace('.', " point ")),
        Slot::Parts(parts) => {
            let said: Vec<String> = parts
                .iter()
                .map(|part| match part {
                    Slot::Tooth(tooth) => format!("tooth {}", spoken_tooth(*tooth)),
                    other => slot_words(name, other, rules),
                })
                .collect();
            said.join(" ")
        }
        Slot::Phrases(phrases) => {
            let said: Vec<String> = phrases
                .iter()
                .flat_map(|phrase| spoken(phrase, rules))
                .collect();
            let said: Vec<&str> = said.iter().map(|said| said.trim_end_matches('.')).collect();
            said.join(", ")
        }
    }
}

/// Capital first and a mark last: one phrase has one spelling, so that its sound is kept once.
fn sentence(words: &str) -> String {
    let words = words.trim();
    let mut letters = words.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let end = if words.ends_with(['.', '?', '!', ':']) {
        ""
    } else {
        "."
    };
    let sentence: String = first
        .to_uppercase()
        .chain(letters)
        .chain(end.chars())
        .collect();
    sentence.replace("..", ".").replace("?.", "?")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn numbers_are_said_so_that_they_cannot_be_taken_for_others() {
        let cases = [
            (0, "zero"),
            (7, "seven"),
            (10, "ten, one zero"),
            (15, "fifteen, one five"),
            (50, "fifty, five zero"),
            (40, "forty, four zero"),
            (14, "fourteen, one four"),
            (21, "twenty one, two one"),
            (100, "one hundred, one zero zero"),
            (310, "three hundred ten, three one zero"),
            (1085, "one zero eight five"),
        ];
        for (number, spoken) in cases {
            assert_eq!(spoken_number(number), spoken);
        }
    }

    #[test]
    fn teeth_and_depths_are_said_digit_by_digit() {
        assert_eq!(
            spoken_tooth(ToothNumber::new(104).unwrap()),
            "one zero four"
        );
        assert_eq!(
            spoken_tooth(ToothNumber::new(311).unwrap()),
            "three one one"
        );
        assert_eq!(spoken_values(&[2, 2, 3]), "two, two, three");
        assert_eq!(spoken_values(&[5, 12, 0]), "five, twelve, one two, zero");
        assert_eq!(spoken_values(&[]), "");
        assert_eq!(spoken_tenths(125), "one two point five");
    }

    fn check(phrase: &Phrase, expected: &[&str]) {
        assert_eq!(spoken(phrase, &Rules::built_in().unwrap()), expected);
    }

    fn tooth(number: u16) -> Slot {
        Slot::Tooth(ToothNumber::new(number).unwrap())
    }

    #[test]
    fn prompts_become_phrases_of_words() {
        let depths = Phrase::new("depths_side")
            .with("side", Slot::Text("buccal".to_owned()))
            .with("mm", Slot::Digits(vec![2, 12, 3]));
        check(&depths, &["Buccal, two, twelve, one two, three."]);
        let entry = Phrase::new("entry")
            .with("tooth", tooth(104))
            .with("items", Slot::Phrases(vec![depths.clone(), depths]));
        check(
            &entry,
            &[
                "Tooth, one zero four.",
                "Buccal, two, twelve, one two, three.",
                "Buccal, two, twelve, one two, three.",
            ],
        );
    }

    #[test]
    fn counts_are_said_once_and_depths_twice_over() {
        let where_now = Phrase::new("where")
            .with("patient", Slot::Text("Rex 2".to_owned()))
            .with("species", Slot::Text("dog".to_owned()))
            .with("tooth", tooth(409))
            .with("count", Slot::Number(15))
            .with("open", Slot::Number(0));
        check(
            &where_now,
            &[
                "Rex two, dog.",
                "Tooth, four zero nine.",
                "Fifteen entries.",
                "None not confirmed.",
            ],
        );
        let odd = Phrase::rule("depth_outlier")
            .with("tooth", tooth(104))
            .with("site", Slot::Text("buccal".to_owned()))
            .with("mm", Slot::Number(15));
        let said = spoken(&odd, &Rules::built_in().unwrap());
        assert!(
            said.is_empty() || said[0].contains("fifteen, one five"),
            "{said:?}"
        );
    }

    /// Every sentence of the data files, with every gap filled: no brace, no figure, a mark at the end.
    #[test]
    fn every_reply_and_rule_can_be_spoken() {
        let rules = Rules::built_in().unwrap();
        let replies = crate::session::reply::replies()
            .keys()
            .map(|key| Phrase::new(key));
        let of_rules = rules.all().map(|(key, _)| Phrase::rule(key));
        let mut count = 0;
        for mut phrase in replies.chain(of_rules) {
            let templates = phrase.templates(&rules).join(" ");
            for name in gaps(&templates) {
                let slot = if name == "tooth" {
                    tooth(311)
                } else {
                    Slot::Text("word 7".to_owned())
                };
                phrase = phrase.with(name.to_owned().leak(), slot);
            }
            for said in spoken(&phrase, &rules) {
                assert!(!said.contains(['{', '}']), "{}: {said}", phrase.key);
                assert!(
                    !said.contains(|letter: char| letter.is_ascii_digit()),
                    "{said}"
                );
                assert!(
                    said.ends_with(['.', '?', '!', ':']),
                    "{}: {said}",
                    phrase.key
                );
                count += 1;
            }
        }
        assert!(count > 60, "{count}");
    }

    fn gaps(text: &str) -> Vec<&str> {
        let after_braces = text.split('{').skip(1);
        let mut names: Vec<&str> = after_braces
            .filter_map(|part| part.split('}').next())
            .collect();
        names.sort_unstable();
        names.dedup();
        names
    }

    #[test]
    fn figures_in_free_text_become_words() {
        assert_eq!(
            spoken_text("Rex2 of  Kennel 14"),
            "Rex two of Kennel one four"
        );
    }

    proptest! {
        #[test]
        fn no_figure_is_ever_spoken(number in any::<u32>(), depths in proptest::collection::vec(any::<u8>(), 0..7)) {
            for spoken in [spoken_number(number), spoken_digits(number), spoken_tenths(number), spoken_values(&depths), spoken_text(&number.to_string())] {
                prop_assert!(!spoken.contains(|letter: char| letter.is_ascii_digit()));
            }
        }

        #[test]
        fn two_numbers_are_never_said_alike(first in 0_u32..2000, second in 0_u32..2000) {
            prop_assert_eq!(first == second, spoken_number(first) == spoken_number(second));
        }
    }
}
