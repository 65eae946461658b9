//! Whether the free text says other numbers than the best sentence: "fifty one" where "five one" was found.
//! Looks at text only; decides nothing.
//!
//! Why: where the graph allows digits only, a number of two figures is heard as two digits, and surely so: of 25 recorded
//! strings such as "two fifteen sixty two" all 25 were believed. The free text tells 22 of them.

use crate::speech::value;

/// A number of two figures begins here.
const LARGER_MIN: u32 = 10;

/// Whether the text is nothing but numbers, one of them above nine that is not among the sentence's values.
/// Figures count as larger numbers only where they stand in several groups of one or two ("11 9 68"): a longer group,
/// or one alone, is how digits are written too.
pub fn said<S: AsRef<str>>(free_text: &str, best: &[S]) -> bool {
    let Some(free) = numbers(free_text) else {
        return false;
    };
    let best = value::values(best);
    free.iter().any(|number| {
        number.parse().is_ok_and(|number: u32| number >= LARGER_MIN) && !best.contains(number)
    })
}

/// The values of a text of numbers; nothing where another word is in it, or its figures may be digits.
fn numbers(text: &str) -> Option<Vec<String>> {
    let text = text.to_lowercase();
    let parts: Vec<&str> = text
        .split(|letter: char| !letter.is_ascii_alphanumeric())
        .filter(|part| !part.is_empty())
        .collect();
    let is_number = |word: &&str| value::number(word).is_some();
    if parts.iter().all(is_number) {
        return Some(value::values(&parts));
    }
    let is_short = |group: &&str| {
        group.len() <= 2
            && group.chars().all(|letter| letter.is_ascii_digit())
            && !(group.len() == 2 && group.starts_with('0'))
    };
    (parts.len() > 1 && parts.iter().all(is_short))
        .then(|| parts.iter().map(|&part| part.to_owned()).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(free_text: &str, best: &str) -> bool {
        said(free_text, &best.split(' ').collect::<Vec<_>>())
    }

    #[test]
    fn larger_numbers_are_not_digits() {
        assert!(of("Fifty one, fifty six.", "five one five six"));
        assert!(of(
            "Five, twenty, six, forty five.",
            "five two six four five"
        ));
        assert!(of("11 9 68.", "one one nine six eight"));
        assert!(of("7:14:61", "seven one four six one"));
        assert!(of("Twelve.", "one two"));
    }

    #[test]
    fn the_same_numbers_and_other_talk_are_let_pass() {
        assert!(!of("Two ten.", "two ten"));
        assert!(!of("2 10", "two ten"));
        assert!(!of("Eight two six.", "eight two six"));
        assert!(!of("826-86", "eight two six eight six"));
        assert!(!of("33.", "three three"));
        assert!(!of("1 04", "one oh four"));
        assert!(!of("Buccal twelve", "buccal one two"));
        assert!(!of("", "one two"));
        assert!(!of("Jing Yibbite is two", "five eight two"));
    }
}
