//! The number of the transponder under an animal's skin.
//!
//! ISO 11784: fifteen decimal digits, of which the first three tell the country or the maker. Older transponders have
//! nine or ten characters (common practice, no source). Values from memory.

use serde::{Deserialize, Serialize};

/// A number as it is read from the chip: digits, or letters and digits of an older one, without spaces.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Microchip(String);

impl Microchip {
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl std::str::FromStr for Microchip {
    type Err = String;

    /// # Errors
    /// Says how a number is written where it is none.
    fn from_str(text: &str) -> Result<Self, String> {
        let number: String = text
            .chars()
            .filter(|letter| !letter.is_whitespace() && !matches!(letter, '-' | '.'))
            .collect::<String>()
            .to_uppercase();
        let is_iso = number.len() == 15 && number.bytes().all(|byte| byte.is_ascii_digit());
        let is_older = matches!(number.len(), 9 | 10)
            && number.bytes().all(|byte| byte.is_ascii_alphanumeric());
        if (is_iso || is_older) && number.bytes().any(|byte| byte != b'0') {
            Ok(Self(number))
        } else {
            Err(format!(
                "{} is no number of a microchip: write its 15 digits, or the 9 or 10 characters of an older one",
                text.trim()
            ))
        }
    }
}

impl TryFrom<String> for Microchip {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        text.parse()
    }
}

impl From<Microchip> for String {
    fn from(chip: Microchip) -> String {
        chip.0
    }
}

impl std::fmt::Display for Microchip {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn fifteen_digits_and_older_numbers_are_taken_in_any_spelling() {
        let chip = |text: &str| text.parse::<Microchip>().map(|chip| chip.to_string());
        assert_eq!(
            chip("999 000 000 123 456"),
            Ok("999000000123456".to_owned())
        );
        assert_eq!(chip("012-3a4-5678"), Ok("0123A45678".to_owned()));
        assert_eq!(chip("012345678"), Ok("012345678".to_owned()));
        for wrong in [
            "",
            "000000000000000",
            "99900000012345",
            "9990000001234567",
            "99900000012345A",
            "rex",
        ] {
            assert!(chip(wrong).is_err(), "{wrong}");
        }
    }

    proptest! {
        #[test]
        fn what_is_taken_reads_back_the_same(text in "\\PC{0,20}|[0-9 ]{15,20}") {
            if let Ok(chip) = text.parse::<Microchip>() {
                prop_assert_eq!(chip.as_str().parse::<Microchip>(), Ok(chip.clone()));
            }
        }
    }
}
