//! The words of the trade as types: teeth, sites, findings, decisions, procedures, patients.
//! Values are checked when they are made; no input or output here, and nothing of ours is imported.

pub mod anaesthetic;
pub mod breed;
pub mod dentition;
pub mod drug;
pub mod eruption;
pub mod finding;
pub mod limits;
pub mod microchip;
pub mod mouth;
pub mod partial_date;
pub mod patient;
pub mod procedure;
pub mod surgery;
pub mod temperature;
pub mod tooth;
pub mod vital;
pub mod watch;
pub mod watch_settings;

pub use dentition::{Roots, Stage};
pub use finding::{Area, Finding, Kind, Place, Subject, Value};
pub use microchip::Microchip;
pub use mouth::MouthDecision;
pub use partial_date::PartialDate;
pub use patient::{Patient, Sex, Species, Weight};
pub use procedure::{Decision, Drug, Procedure, Reason};
pub use tooth::{Entrance, Jaw, MouthSide, Root, Side, Site, ToothNumber};
pub use vital::{Reading, VitalSign};
pub use watch::Watched;

/// The name of a variant as the journal spells it ("mesio_buccal"), whatever it holds.
pub fn key<T: serde::Serialize>(value: &T) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(key)) => key,
        Ok(serde_json::Value::Object(map)) => map.keys().next().cloned().unwrap_or_default(),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests;
