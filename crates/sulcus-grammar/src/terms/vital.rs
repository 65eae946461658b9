//! What is read of an animal under anaesthetic: vital signs with unit and method, and what may be heard for them.
//!
//! Sources: [ANZCVS24] ANZ College of Veterinary Scientists, monitoring guidelines 2024 (which signs);
//! [TVN-BP] The Veterinary Nurse, How to measure blood pressure (what each method gives). The plausible ranges are
//! this program's own proposal, drawn from published targets; they catch a mishearing and judge no animal.
//!
//! Invariant: a reading holds a value that its sign can have; "not reading" is a value of its own and never zero.

use serde::{Deserialize, Serialize};

use super::patient::Species;

/// What is watched. One number each, except the pressure, which has up to three, and the signs of depth, which
/// are words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum VitalSign {
    /// Beats a minute.
    HeartRate,
    /// Breaths a minute.
    BreathingRate,
    /// Of haemoglobin, by pulse oximeter, in per cent.
    OxygenSaturation,
    /// In mmHg.
    EndTidalCo2,
    /// Arterial, in mmHg.
    Pressure,
    /// In degrees Celsius.
    Temperature,
    /// Setting of the vaporiser, in per cent.
    Isoflurane,
    /// Setting of the vaporiser, in per cent.
    Sevoflurane,
    /// In litres a minute.
    OxygenFlow,
    /// Into the vein, in millilitres an hour.
    FluidRate,
    EyePosition,
    PalpebralReflex,
    JawTone,
    MucosaColour,
    /// In seconds.
    CapillaryRefill,
}

impl VitalSign {
    pub const ALL: [Self; 15] = [
        Self::HeartRate,
        Self::BreathingRate,
        Self::OxygenSaturation,
        Self::EndTidalCo2,
        Self::Pressure,
        Self::Temperature,
        Self::Isoflurane,
        Self::Sevoflurane,
        Self::OxygenFlow,
        Self::FluidRate,
        Self::EyePosition,
        Self::PalpebralReflex,
        Self::JawTone,
        Self::MucosaColour,
        Self::CapillaryRefill,
    ];

    pub fn title(self) -> &'static str {
        match self {
            Self::HeartRate => "heart rate",
            Self::BreathingRate => "breathing rate",
            Self::OxygenSaturation => "saturation",
            Self::EndTidalCo2 => "end tidal CO2",
            Self::Pressure => "pressure",
            Self::Temperature => "temperature",
            Self::Isoflurane => "isoflurane",
            Self::Sevoflurane => "sevoflurane",
            Self::OxygenFlow => "oxygen flow",
            Self::FluidRate => "fluids",
            Self::EyePosition => "eye",
            Self::PalpebralReflex => "palpebral reflex",
            Self::JawTone => "jaw tone",
            Self::MucosaColour => "mucosa",
            Self::CapillaryRefill => "capillary refill",
        }
    }

    /// For the eye; empty for words.
    pub fn unit(self) -> &'static str {
        match self {
            Self::HeartRate | Self::BreathingRate => "/min",
            Self::OxygenSaturation | Self::Isoflurane | Self::Sevoflurane => "%",
            Self::EndTidalCo2 | Self::Pressure => "mmHg",
            Self::Temperature => "°C",
            Self::OxygenFlow => "L/min",
            Self::FluidRate => "mL/h",
            Self::CapillaryRefill => "s",
            Self::EyePosition | Self::PalpebralReflex | Self::JawTone | Self::MucosaColour => "",
        }
    }

    /// The code of the unit in the Unified Code for Units of Measure; none for words.
    pub fn ucum(self) -> Option<&'static str> {
        match self {
            Self::EndTidalCo2 | Self::Pressure => Some("mm[Hg]"),
            Self::Temperature => Some("Cel"),
            Self::EyePosition | Self::PalpebralReflex | Self::JawTone | Self::MucosaColour => None,
            other => Some(other.unit()),
        }
    }

    /// The words that a sign of depth may have; empty where it is a number.
    pub fn words(self) -> &'static [&'static str] {
        match self {
            Self::EyePosition => &["central", "rotated"],
            Self::PalpebralReflex => &["brisk", "slow", "none"],
            Self::JawTone => &["tight", "moderate", "loose"],
            Self::MucosaColour => &["pink", "pale", "white", "blue", "red"],
            _ => &[],
        }
    }

    /// Signs that a record of an anaesthetic is expected to hold at every interval.
    pub fn is_routine(self) -> bool {
        matches!(
            self,
            Self::HeartRate
                | Self::BreathingRate
                | Self::OxygenSaturation
                | Self::EndTidalCo2
                | Self::Pressure
                | Self::Temperature
        )
    }
}

/// What was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// In hundredths of the sign's unit.
    Number {
        hundredths: u32,
    },
    /// In whole mmHg; what the method does not give, or nobody said, is absent.
    Pressure {
        systolic: Option<u16>,
        diastolic: Option<u16>,
        mean: Option<u16>,
    },
    Word {
        word: String,
    },
    /// Looked for, and the instrument gives nothing.
    NotReading,
}

/// By what a pressure or a temperature was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum VitalMethod {
    /// Gives the systolic pressure only [TVN-BP].
    Doppler,
    Oscillometric,
    /// A line in an artery: the reference [TVN-BP].
    Direct,
    Rectal,
    Oesophageal,
    Ear,
}

impl VitalMethod {
    pub fn word(self) -> &'static str {
        match self {
            Self::Doppler => "Doppler",
            Self::Oscillometric => "oscillometric",
            Self::Direct => "direct",
            Self::Rectal => "rectal",
            Self::Oesophageal => "oesophageal",
            Self::Ear => "ear",
        }
    }
}

/// One sign at one moment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reading {
    pub sign: VitalSign,
    pub measure: Measure,
    /// None where nobody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub method: Option<VitalMethod>,
}

/// A value that its sign cannot have.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{sign} cannot be {value}")]
pub struct Unfit {
    pub sign: &'static str,
    pub value: String,
}

impl Reading {
    /// # Errors
    /// Where the sign has another kind of value, a word that is none of its own, or no part of a pressure.
    pub fn new(
        sign: VitalSign,
        measure: Measure,
        method: Option<VitalMethod>,
    ) -> Result<Self, Unfit> {
        let fits = match (&measure, sign) {
            (Measure::NotReading, _) => sign.words().is_empty(),
            (
                Measure::Pressure {
                    systolic,
                    diastolic,
                    mean,
                },
                VitalSign::Pressure,
            ) => systolic.is_some() || diastolic.is_some() || mean.is_some(),
            (Measure::Number { hundredths }, sign) => {
                sign != VitalSign::Pressure
                    && sign.words().is_empty()
                    && *hundredths <= HUNDREDTHS_MAX
            }
            (Measure::Word { word }, sign) => sign.words().contains(&word.as_str()),
            (Measure::Pressure { .. }, _) => false,
        };
        let reading = Self {
            sign,
            measure,
            method,
        };
        if fits {
            Ok(reading)
        } else {
            Err(Unfit {
                sign: sign.title(),
                value: reading.value(),
            })
        }
    }

    pub fn number(sign: VitalSign, hundredths: u32) -> Result<Self, Unfit> {
        Self::new(sign, Measure::Number { hundredths }, None)
    }

    /// In hundredths of the unit, where it is one number.
    pub fn hundredths(&self) -> Option<u32> {
        match self.measure {
            Measure::Number { hundredths } => Some(hundredths),
            _ => None,
        }
    }

    /// The value for the eye, without its unit: "37.4", "110/60 (75)", "pink".
    pub fn value(&self) -> String {
        let part = |part: &Option<u16>| part.map_or_else(|| "-".to_owned(), |mm| mm.to_string());
        match &self.measure {
            Measure::Number { hundredths } => decimal(*hundredths),
            Measure::Pressure {
                systolic,
                diastolic,
                mean,
            } => match (systolic, diastolic, mean) {
                (Some(systolic), None, None) => format!("{systolic}/-"),
                (None, None, Some(mean)) => format!("({mean})"),
                (_, _, None) => format!("{}/{}", part(systolic), part(diastolic)),
                (_, _, Some(mean)) => {
                    format!("{}/{} ({mean})", part(systolic), part(diastolic))
                }
            },
            Measure::Word { word } => word.clone(),
            Measure::NotReading => "not reading".to_owned(),
        }
    }

    /// The whole line for the eye: "temperature 37.4 °C, rectal".
    pub fn text(&self) -> String {
        let unit = match self.measure {
            Measure::NotReading | Measure::Word { .. } => "",
            _ => self.sign.unit(),
        };
        let space = if unit.is_empty() || unit == "%" || unit == "/min" {
            ""
        } else {
            " "
        };
        let method = self
            .method
            .map(|method| format!(", {}", method.word()))
            .unwrap_or_default();
        format!(
            "{} {}{space}{unit}{method}",
            self.sign.title(),
            self.value()
        )
    }
}

/// 9,999 of any unit: more is no reading of any instrument here.
const HUNDREDTHS_MAX: u32 = 999_900;

/// "37.4", "120", "1.25": no zero behind the point, one before it.
/// Why: a trailing zero read without its point is a tenfold error (US FDA, medication errors in animals).
pub fn decimal(hundredths: u32) -> String {
    let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Which values are taken as they are and which are asked about or refused, in hundredths of the unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Range {
    /// Taken, from and to.
    pub accept: (u32, u32),
    /// Beyond these it is refused until it is said again.
    pub possible: (u32, u32),
}

/// How a number stands to its range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plausible {
    Accept,
    Ask,
    Refuse(Range),
}

const fn range(accept: (u32, u32), possible: (u32, u32)) -> Range {
    Range { accept, possible }
}

/// Parts of a pressure, each with a range of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    Whole,
    Systolic,
    Diastolic,
    Mean,
}

impl Range {
    /// This program's own proposal; none for words.
    pub fn of(species: Species, sign: VitalSign, part: Part) -> Option<Self> {
        use Species::{Cat, Dog};
        Some(match (sign, part, species) {
            (VitalSign::HeartRate, _, Dog) => range((5_000, 19_000), (2_000, 30_000)),
            (VitalSign::HeartRate, _, Cat) => range((8_000, 22_000), (3_000, 32_000)),
            (VitalSign::BreathingRate, ..) => range((400, 4_000), (0, 12_000)),
            (VitalSign::OxygenSaturation, ..) => range((9_000, 10_000), (4_000, 10_000)),
            (VitalSign::EndTidalCo2, ..) => range((2_500, 6_000), (0, 12_000)),
            (VitalSign::Pressure, Part::Systolic | Part::Whole, _) => {
                range((7_000, 18_000), (2_000, 28_000))
            }
            (VitalSign::Pressure, Part::Diastolic, _) => range((3_000, 12_000), (1_000, 20_000)),
            (VitalSign::Pressure, Part::Mean, _) => range((5_000, 15_000), (1_500, 24_000)),
            (VitalSign::Temperature, ..) => range((3_400, 4_000), (2_800, 4_290)),
            (VitalSign::Isoflurane, ..) => range((0, 300), (0, 500)),
            (VitalSign::Sevoflurane, ..) => range((0, 500), (0, 800)),
            (VitalSign::OxygenFlow, ..) => range((20, 400), (0, 1_500)),
            // A cat of 3 kg at 3 mL/kg/h to a dog of 40 kg at 10 mL/kg/h.
            (VitalSign::FluidRate, ..) => range((500, 40_000), (0, 99_900)),
            (VitalSign::CapillaryRefill, ..) => range((50, 300), (0, 1_000)),
            _ => return None,
        })
    }

    pub fn judge(self, hundredths: u32) -> Plausible {
        let inside = |(from, to): (u32, u32)| (from..=to).contains(&hundredths);
        if inside(self.accept) {
            Plausible::Accept
        } else if inside(self.possible) {
            Plausible::Ask
        } else {
            Plausible::Refuse(self)
        }
    }
}

impl Reading {
    /// The numbers in it, each with its part, in hundredths.
    pub fn parts(&self) -> Vec<(Part, u32)> {
        match self.measure {
            Measure::Number { hundredths } => vec![(Part::Whole, hundredths)],
            Measure::Pressure {
                systolic,
                diastolic,
                mean,
            } => [
                (Part::Systolic, systolic),
                (Part::Diastolic, diastolic),
                (Part::Mean, mean),
            ]
            .into_iter()
            .filter_map(|(part, mm)| Some((part, u32::from(mm?) * 100)))
            .collect(),
            Measure::Word { .. } | Measure::NotReading => Vec::new(),
        }
    }

    /// The worst of its parts.
    pub fn plausible(&self, species: Species) -> Plausible {
        let mut worst = Plausible::Accept;
        for (part, hundredths) in self.parts() {
            let Some(range) = Range::of(species, self.sign, part) else {
                continue;
            };
            match range.judge(hundredths) {
                refused @ Plausible::Refuse(_) => return refused,
                Plausible::Ask => worst = Plausible::Ask,
                Plausible::Accept => {}
            }
        }
        worst
    }

    /// Whether the parts of a pressure stand in the only order that they can have: diastolic, mean, systolic.
    pub fn is_ordered(&self) -> bool {
        let Measure::Pressure {
            systolic,
            diastolic,
            mean,
        } = self.measure
        else {
            return true;
        };
        let said: Vec<u16> = [diastolic, mean, systolic].into_iter().flatten().collect();
        said.windows(2).all(|pair| pair[0] < pair[1])
    }

    /// The mean, as far as it was said; computed from the other two where not, marked so by the second value.
    /// One third of the pulse pressure above the diastolic: textbook rule, from memory.
    pub fn mean_mmhg(&self) -> Option<(u16, bool)> {
        match self.measure {
            Measure::Pressure {
                mean: Some(mean), ..
            } => Some((mean, false)),
            Measure::Pressure {
                systolic: Some(systolic),
                diastolic: Some(diastolic),
                ..
            } if systolic > diastolic => Some((diastolic + (systolic - diastolic) / 3, true)),
            _ => None,
        }
    }
}

/// What a Fahrenheit figure is in hundredths of a degree Celsius, rounded; none where it is none of a living animal.
pub fn celsius_of_fahrenheit(hundredths: u32) -> Option<u32> {
    // 86 to 110 °F: beyond them no animal is meant.
    (8_600..=11_000).contains(&hundredths).then(|| {
        let celsius = (hundredths - 3_200) * 5 / 9;
        // To the tenth, as it is read.
        (celsius + 5) / 10 * 10
    })
}

/// What kilopascals are in mmHg, in hundredths, to the whole mmHg: 1 kPa is 7.50062 mmHg.
pub fn mmhg_of_kpa(hundredths: u32) -> u32 {
    let mmhg = u64::from(hundredths) * 750_062 / 100_000;
    u32::try_from((mmhg + 50) / 100 * 100).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_converted_as_published() {
        assert_eq!(celsius_of_fahrenheit(9_860), Some(3_700));
        assert_eq!(celsius_of_fahrenheit(10_040), Some(3_800));
        assert_eq!(celsius_of_fahrenheit(5_000), None);
        assert_eq!(mmhg_of_kpa(600), 4_500);
        assert_eq!(mmhg_of_kpa(500), 3_800);
    }

    #[test]
    fn a_reading_holds_what_its_sign_can_have() {
        let word = |word: &str| Measure::Word { word: word.into() };
        assert!(Reading::new(VitalSign::MucosaColour, word("pink"), None).is_ok());
        assert!(Reading::new(VitalSign::MucosaColour, word("tight"), None).is_err());
        assert!(Reading::number(VitalSign::Pressure, 8_000).is_err());
        assert!(Reading::new(VitalSign::HeartRate, Measure::NotReading, None).is_ok());
        let none = Measure::Pressure {
            systolic: None,
            diastolic: None,
            mean: None,
        };
        assert!(Reading::new(VitalSign::Pressure, none, None).is_err());
    }

    #[test]
    fn the_mean_is_computed_only_where_it_was_not_said() {
        let pressure = |mean| {
            Reading::new(
                VitalSign::Pressure,
                Measure::Pressure {
                    systolic: Some(120),
                    diastolic: Some(60),
                    mean,
                },
                None,
            )
            .expect("a pressure")
        };
        assert_eq!(pressure(None).mean_mmhg(), Some((80, true)));
        assert_eq!(pressure(Some(77)).mean_mmhg(), Some((77, false)));
        assert_eq!(pressure(Some(77)).text(), "pressure 120/60 (77) mmHg");
        assert!(pressure(Some(77)).is_ordered());
        assert!(!pressure(Some(59)).is_ordered());
    }
}
