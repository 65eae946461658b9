//! What a sentence is worth: its words with the numbers as figures.
//! "oh" and "zero" are one value, "twenty two" is 22 and not 20 and 2.

/// The numbers of one word from zero to nineteen, each at its own place.
pub const ONES: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];

/// Twenty to ninety.
pub const TENS: [&str; 8] = [
    "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

/// The values of a sentence, in order: numbers as figures, other words as they are.
pub fn values<S: AsRef<str>>(words: &[S]) -> Vec<String> {
    let mut values: Vec<String> = Vec::new();
    // Tens without a unit so far: "twenty" waits for "two".
    let mut tens: Option<u32> = None;
    for word in words {
        let word = word.as_ref();
        let number = number(word);
        match (tens.take(), number) {
            (Some(tens), Some(unit @ 1..=9)) => {
                values.pop();
                values.push((tens + unit).to_string());
            }
            (_, Some(number)) => {
                if number >= 20 {
                    tens = Some(number);
                }
                values.push(number.to_string());
            }
            (_, None) => values.push(word.to_owned()),
        }
    }
    values
}

/// The number a single word names.
pub fn number(word: &str) -> Option<u32> {
    if word == "oh" {
        return Some(0);
    }
    let at = |list: &[&str]| list.iter().position(|&name| name == word);
    at(&ONES)
        .map(|at| at as u32)
        .or_else(|| at(&TENS).map(|at| at as u32 * 10 + 20))
}

/// Words that must be put in, taken out or changed to turn one sentence into the other.
pub fn word_errors<S: AsRef<str>, T: AsRef<str>>(said: &[S], heard: &[T]) -> usize {
    let mut row: Vec<usize> = (0..=heard.len()).collect();
    for (i, said) in said.iter().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, heard) in heard.iter().enumerate() {
            let change = diagonal + usize::from(said.as_ref() != heard.as_ref());
            diagonal = row[j + 1];
            row[j + 1] = change.min(diagonal + 1).min(row[j] + 1);
        }
    }
    row[heard.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(sentence: &str) -> String {
        values(&sentence.split(' ').collect::<Vec<_>>()).join(" ")
    }

    #[test]
    fn numbers_are_compared_by_value() {
        assert_eq!(of("tooth one oh four"), "tooth 1 0 4");
        assert_eq!(of("one zero four"), of("one oh four"));
        assert_eq!(of("twenty two two"), "22 2");
        assert_eq!(of("twenty ten"), "20 10");
        assert_eq!(of("twenty oh"), "20 0");
        assert_eq!(of("twelve"), "12");
        assert_ne!(of("one two"), of("twelve"));
        assert_eq!(of("ninety nine stop"), "99 stop");
    }

    #[test]
    fn word_errors_count_the_fewest_changes() {
        let errors = |a: &str, b: &str| {
            let words = |s: &str| s.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
            word_errors(&words(a), &words(b))
        };
        assert_eq!(errors("one two three", "one two three"), 0);
        assert_eq!(errors("one two three", "one three"), 1);
        assert_eq!(errors("one two", "one five two two"), 2);
        assert_eq!(errors("one two", ""), 2);
        assert_eq!(errors("four five", "five four"), 2);
    }
}
