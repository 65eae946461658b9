//! Tooth numbers of the modified Triadan system, and places on a tooth.
//! Source: Royal Veterinary College, tooth numbering in the dog; WikiVet, Modified Triadan System.
//!
//! Invariant: a [`ToothNumber`] has a quadrant 1 to 8 and a position 1 to 11. Whether a species has such
//! a tooth is asked of `dentition`.

use serde::{Deserialize, Serialize};
use std::fmt;

/// Three digits: quadrant (1 upper right, 2 upper left, 3 lower left, 4 lower right; 5 to 8 the deciduous
/// teeth in the same order), then the place counted from the midline backwards. Not arithmetic.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "u16", into = "u16")]
pub struct ToothNumber(u16);

/// The number is none of the modified Triadan system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{0} is no tooth number: the first digit is 1 to 8, the last two are 01 to 11")]
pub struct NotATooth(pub u16);

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Jaw {
    Upper,
    Lower,
}

/// The animal's own left or right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MouthSide {
    Right,
    Left,
}

impl ToothNumber {
    pub fn new(number: u16) -> Result<Self, NotATooth> {
        let (quadrant, position) = (number / 100, number % 100);
        if (1..=8).contains(&quadrant) && (1..=11).contains(&position) {
            Ok(Self(number))
        } else {
            Err(NotATooth(number))
        }
    }

    pub fn from_parts(quadrant: u8, position: u8) -> Result<Self, NotATooth> {
        Self::new(u16::from(quadrant) * 100 + u16::from(position))
    }

    pub fn number(self) -> u16 {
        self.0
    }

    /// 1 to 8.
    pub fn quadrant(self) -> u8 {
        (self.0 / 100) as u8
    }

    /// 1 to 11, counted from the midline backwards.
    pub fn position(self) -> u8 {
        (self.0 % 100) as u8
    }

    pub fn is_deciduous(self) -> bool {
        self.quadrant() > 4
    }

    pub fn jaw(self) -> Jaw {
        match self.quadrant() {
            1 | 2 | 5 | 6 => Jaw::Upper,
            _ => Jaw::Lower,
        }
    }

    pub fn mouth_side(self) -> MouthSide {
        match self.quadrant() {
            1 | 4 | 5 | 8 => MouthSide::Right,
            _ => MouthSide::Left,
        }
    }

    /// The permanent tooth that takes this deciduous tooth's place; none for a permanent tooth.
    pub fn successor(self) -> Option<Self> {
        self.is_deciduous().then(|| Self(self.0 - 400))
    }

    /// The deciduous number at the same place; none for a deciduous tooth, first premolars and molars.
    pub fn predecessor(self) -> Option<Self> {
        (!self.is_deciduous() && matches!(self.position(), 1..=4 | 6..=8))
            .then(|| Self(self.0 + 400))
    }
}

impl TryFrom<u16> for ToothNumber {
    type Error = NotATooth;
    fn try_from(number: u16) -> Result<Self, NotATooth> {
        Self::new(number)
    }
}

impl From<ToothNumber> for u16 {
    fn from(tooth: ToothNumber) -> u16 {
        tooth.0
    }
}

impl fmt::Display for ToothNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// The cheek side or the tongue side of a tooth. In the upper jaw the latter is said "palatal".
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    Buccal,
    Lingual,
}

/// One of the six places where a depth is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Site {
    MesioBuccal,
    Buccal,
    DistoBuccal,
    MesioLingual,
    Lingual,
    DistoLingual,
}

impl Site {
    /// In the order in which they are read: cheek side from the front backwards, then tongue side likewise.
    pub const ALL: [Self; 6] = [
        Self::MesioBuccal,
        Self::Buccal,
        Self::DistoBuccal,
        Self::MesioLingual,
        Self::Lingual,
        Self::DistoLingual,
    ];

    pub fn side(self) -> Side {
        match self {
            Self::MesioBuccal | Self::Buccal | Self::DistoBuccal => Side::Buccal,
            _ => Side::Lingual,
        }
    }

    pub fn of_side(side: Side) -> [Self; 3] {
        match side {
            Side::Buccal => [Self::MesioBuccal, Self::Buccal, Self::DistoBuccal],
            Side::Lingual => [Self::MesioLingual, Self::Lingual, Self::DistoLingual],
        }
    }
}

/// A way into the fork of the roots.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Entrance {
    Buccal,
    Lingual,
    Mesial,
    Distal,
}

/// One of the roots.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Root {
    Mesial,
    Distal,
    Palatal,
    MesioBuccal,
    MesioPalatal,
    DistoBuccal,
}

impl Root {
    pub const ALL: [Self; 6] = [
        Self::Mesial,
        Self::Distal,
        Self::Palatal,
        Self::MesioBuccal,
        Self::MesioPalatal,
        Self::DistoBuccal,
    ];

    pub fn word(self) -> &'static str {
        match self {
            Self::Mesial => "mesial root",
            Self::Distal => "distal root",
            Self::Palatal => "palatal root",
            Self::MesioBuccal => "mesiobuccal root",
            Self::MesioPalatal => "mesiopalatal root",
            Self::DistoBuccal => "distobuccal root",
        }
    }
}
