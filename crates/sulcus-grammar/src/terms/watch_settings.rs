//! What a clinic sets for the watch over the anaesthetic: how often, what is told, and limits of its own.

use serde::Deserialize;

use super::Species;
use super::limits::{Limit, Severity, Side, Size};
use super::vital::{Part, VitalSign};

/// Minutes between two readings where the clinic says nothing: training texts write down every five minutes; an older
/// statement asks for ten at least (ACVA 1995).
const INTERVAL_MINUTES: u32 = 5;

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct WatchSettings {
    /// Minutes from one reading to the next; 0: no reminder.
    pub interval_minutes: u32,
    /// Whether a value outside its limits is told aloud; it is marked in any case.
    pub limits_aloud: bool,
    /// Limits in place of the published ones.
    pub limit: Vec<OwnLimit>,
}

impl Default for WatchSettings {
    fn default() -> Self {
        Self {
            interval_minutes: INTERVAL_MINUTES,
            limits_aloud: true,
            limit: Vec::new(),
        }
    }
}

/// A limit of the clinic's own.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnLimit {
    pub sign: VitalSign,
    /// Of a pressure: systolic, diastolic or mean.
    #[serde(default)]
    pub part: Option<OwnPart>,
    /// None: both.
    #[serde(default)]
    pub species: Option<Species>,
    #[serde(default)]
    pub below: Option<f64>,
    #[serde(default)]
    pub above: Option<f64>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum OwnPart {
    Systolic,
    Diastolic,
    Mean,
}

impl WatchSettings {
    /// The clinic's limits as the published ones stand.
    pub fn limits(&self) -> Vec<Limit> {
        let mut limits = Vec::new();
        for own in &self.limit {
            let part = match own.part {
                None => Part::Whole,
                Some(OwnPart::Systolic) => Part::Systolic,
                Some(OwnPart::Diastolic) => Part::Diastolic,
                Some(OwnPart::Mean) => Part::Mean,
            };
            for (side, value) in [(Side::Below, own.below), (Side::Above, own.above)] {
                let Some(value) = value else { continue };
                limits.push(Limit {
                    sign: own.sign,
                    part,
                    species: own.species,
                    size: Size::Any,
                    side,
                    hundredths: (value * 100.0).round().clamp(0.0, 1e6) as u32,
                    severity: Severity::Action,
                    source: "clinic",
                });
            }
        }
        limits
    }

    /// What is wrong with it, as field, value and what is wanted.
    pub fn fault(&self) -> Option<(String, String, &'static str)> {
        if self.interval_minutes > 60 {
            return Some((
                "watch.interval_minutes".into(),
                self.interval_minutes.to_string(),
                "0 (no reminder) to 60 minutes",
            ));
        }
        self.limit.iter().find_map(|own| {
            let value = own.below.or(own.above)?;
            let is_sound = value.is_finite()
                && (0.0..=1000.0).contains(&value)
                && own.sign.words().is_empty()
                && (own.sign == VitalSign::Pressure) == own.part.is_some();
            (!is_sound).then(|| {
                (
                    format!("watch.limit of {}", own.sign.title()),
                    value.to_string(),
                    "a figure from 0 to 1000 in the sign's unit; a pressure needs part",
                )
            })
        })
    }
}
