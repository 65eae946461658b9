//! A date as far as it is known: year, year and month, or day. The one place that reads them.
//!
//! Invariant: what was written in a record, readable or not, is written the same again.

use std::fmt;
use std::str::FromStr;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A year, a month or a day, as ISO 8601 writes them: 2019, 2019-05, 2019-05-31.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(from = "String", into = "String")]
pub enum PartialDate {
    /// Any day of the year.
    Year(i16),
    /// Any day of the month; holds its first.
    Month(Date),
    /// The day itself.
    Day(Date),
    /// Text of an older record that is no date: shown, never reckoned with.
    Unreadable(String),
}

/// The text is no date.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0} is no date: write 2019, 2019-05 or 2019-05-31")]
pub struct NoDate(String);

impl PartialDate {
    /// The first and the last day that it can mean; none where it is unreadable.
    pub fn days(&self) -> Option<(Date, Date)> {
        match self {
            Self::Year(year) => {
                Some((Date::new(*year, 1, 1).ok()?, Date::new(*year, 12, 31).ok()?))
            }
            Self::Month(first) => Some((*first, first.last_of_month())),
            Self::Day(day) => Some((*day, *day)),
            Self::Unreadable(_) => None,
        }
    }
}

impl FromStr for PartialDate {
    type Err = NoDate;

    /// # Errors
    /// Where the text is none of the three forms, or no real day.
    fn from_str(text: &str) -> Result<Self, NoDate> {
        let no_date = || NoDate(text.to_owned());
        let day = |full: String| full.parse::<Date>().map_err(|_| no_date());
        match text.len() {
            4 => Ok(Self::Year(day(format!("{text}-01-01"))?.year())),
            7 => Ok(Self::Month(day(format!("{text}-01"))?)),
            10 => Ok(Self::Day(day(text.to_owned())?)),
            _ => Err(no_date()),
        }
    }
}

impl From<&str> for PartialDate {
    fn from(text: &str) -> Self {
        text.parse()
            .unwrap_or_else(|_| Self::Unreadable(text.to_owned()))
    }
}

impl From<String> for PartialDate {
    fn from(text: String) -> Self {
        text.as_str().into()
    }
}

impl From<PartialDate> for String {
    fn from(date: PartialDate) -> Self {
        date.to_string()
    }
}

impl fmt::Display for PartialDate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Year(year) => write!(f, "{year:04}"),
            Self::Month(first) => write!(f, "{}", first.strftime("%Y-%m")),
            Self::Day(day) => write!(f, "{day}"),
            Self::Unreadable(text) => f.write_str(text),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn each_form_is_read_and_means_its_days() {
        for (text, first, last) in [
            ("2019", "2019-01-01", "2019-12-31"),
            ("2020-02", "2020-02-01", "2020-02-29"),
            ("2019-05-31", "2019-05-31", "2019-05-31"),
        ] {
            let date: PartialDate = text.parse().expect("a date");
            assert_eq!(date.to_string(), text);
            let (from, to) = date.days().expect("days");
            assert_eq!(
                (from.to_string(), to.to_string()),
                (first.into(), last.into())
            );
        }
        for text in [
            "",
            "19",
            "yesterday",
            "2019-13",
            "2019-02-30",
            "2019-5-1",
            "20190531",
        ] {
            assert!(text.parse::<PartialDate>().is_err(), "{text}");
        }
    }

    proptest! {
        /// Old records hold any text.
        #[test]
        fn what_was_written_is_written_again(text in ".*|[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?") {
            prop_assert_eq!(PartialDate::from(text.as_str()).to_string(), text);
        }
    }
}
