//! How the conversation goes at this clinic: the part `[conversation]` of `clinic.toml`, with its pedal.
//!
//! Invariant: what is not chosen is the safest: each reading is read back whole, and nothing but a "confirm", spoken
//! or pressed, confirms.

use serde::Deserialize;

use crate::grammar::Intent;
use crate::grammar::intent::Pace;
use crate::record::event::Speaker as Person;
use crate::session::flow::Customs;

/// How much of a read-back is spoken.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Form {
    /// Each with the number of its tooth.
    #[default]
    Full,
    /// The number only where it changed, was spoken, or was told longer ago.
    Short,
}

/// What the clinic chose.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Flow {
    pub pace: Option<Pace>,
    read_back: Form,
    /// How fast the program speaks: 1 is the rate at which the recogniser understood the read-backs best.
    voice_rate: f32,
    next_confirms: bool,
    next_by_itself: bool,
    /// With a headset: the read-back goes on while the next reading is called.
    read_back_goes_on: bool,
    pub pedal: Pedal,
}

impl Default for Flow {
    fn default() -> Self {
        Self {
            pace: None,
            read_back: Form::Full,
            voice_rate: 1.0,
            next_confirms: false,
            next_by_itself: false,
            read_back_goes_on: false,
            pedal: Pedal::default(),
        }
    }
}

/// Slower wears patience out, faster is no more understood: limits of good sense, no source.
const VOICE_RATES: std::ops::RangeInclusive<f32> = 0.8..=1.6;

impl Flow {
    /// What of it cannot be, in words.
    pub fn check(&self) -> Result<(), String> {
        if !VOICE_RATES.contains(&self.voice_rate) {
            return Err(format!(
                "conversation.voice_rate is {}; from {} to {} can be",
                self.voice_rate,
                VOICE_RATES.start(),
                VOICE_RATES.end()
            ));
        }
        self.pedal.check()
    }

    pub fn is_short(&self) -> bool {
        self.read_back == Form::Short
    }

    pub fn goes_on(&self) -> bool {
        self.read_back_goes_on
    }

    pub fn voice_rate(&self) -> f32 {
        self.voice_rate
    }

    pub fn customs(&self) -> Customs {
        Customs {
            next_confirms: self.next_confirms,
            next_by_itself: self.next_by_itself,
        }
    }
}

/// What a press of the pedal stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Tread {
    Nothing,
    Confirm,
    /// Takes back what was entered last.
    Withdraw,
    Next,
    /// Listens to the next utterance.
    Talk,
    /// The next utterance is the nurse's.
    Nurse,
}

impl Tread {
    /// What it means to the conversation; none where it is about the microphone.
    pub fn intent(self) -> Option<Intent> {
        match self {
            Self::Confirm => Some(Intent::Confirm),
            Self::Withdraw => Some(Intent::Undo),
            Self::Next => Some(Intent::NextTooth),
            Self::Nothing | Self::Talk | Self::Nurse => None,
        }
    }
}

/// Whose foot it is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Foot {
    #[default]
    Unknown,
    Vet,
    Nurse,
}

impl From<Foot> for Person {
    fn from(foot: Foot) -> Self {
        match foot {
            Foot::Unknown => Self::Unknown,
            Foot::Vet => Self::Vet,
            Foot::Nurse => Self::Nurse,
        }
    }
}

/// A pedal: a keyboard with few keys.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Pedal {
    /// Part of the device's name, or its path below /dev/input; none: no pedal is read.
    pub device: Option<String>,
    pub press: Tread,
    pub long: Tread,
    pub double: Tread,
    /// A press this long is a long one, in milliseconds.
    pub long_ms: u64,
    /// Two presses within this time are a double one, in milliseconds.
    pub double_ms: u64,
    pub by: Foot,
}

impl Default for Pedal {
    fn default() -> Self {
        Self {
            device: None,
            press: Tread::Confirm,
            long: Tread::Withdraw,
            double: Tread::Next,
            long_ms: 800,
            double_ms: 400,
            by: Foot::Unknown,
        }
    }
}

impl Pedal {
    fn check(&self) -> Result<(), String> {
        if !(200..=3_000).contains(&self.long_ms) || !(100..=1_000).contains(&self.double_ms) {
            return Err(
                "conversation.pedal: long_ms can be 200 to 3000, double_ms 100 to 1000".to_owned(),
            );
        }
        if self
            .device
            .as_ref()
            .is_some_and(|name| name.trim().is_empty())
        {
            return Err(
                "conversation.pedal: device is empty; leave it out for no pedal".to_owned(),
            );
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::clinic::Clinic;

    #[test]
    fn without_a_word_in_the_file_nothing_is_short_and_only_confirm_confirms() {
        let flow = Clinic::read("").unwrap().flow;
        assert_eq!(flow, Flow::default());
        assert!(!flow.is_short() && flow.pace.is_none());
        assert_eq!(flow.customs(), Customs::default());
        assert_eq!(flow.pedal.device, None);
    }

    #[test]
    fn what_the_clinic_chooses_is_read_and_what_cannot_be_is_told() {
        let text = "[conversation]\npace = \"each_quadrant\"\nread_back = \"short\"\nnext_confirms = true\n\
                    [conversation.pedal]\ndevice = \"Pedal\"\nlong = \"nothing\"\nby = \"nurse\"\n";
        let flow = Clinic::read(text).unwrap().flow;
        assert_eq!(flow.pace, Some(Pace::EachQuadrant));
        assert!(flow.is_short() && flow.customs().next_confirms);
        assert!(!flow.customs().next_by_itself);
        assert_eq!(flow.pedal.long, Tread::Nothing);
        assert_eq!(Person::from(flow.pedal.by), Person::Nurse);
        for (text, told) in [
            ("[conversation]\nvoice_rate = 3.0\n", "voice_rate"),
            ("[conversation]\npace = \"hasty\"\n", "hasty"),
            (
                "[conversation]\nsilence_confirms = true\n",
                "silence_confirms",
            ),
            ("[conversation.pedal]\nlong_ms = 5\n", "long_ms"),
            ("[conversation.pedal]\ndevice = \" \"\n", "device"),
        ] {
            let why = Clinic::read(text).unwrap_err();
            assert!(why.contains(told), "{text}: {why}");
        }
    }
}
