//! Lesions with their description: what grows or is sore, where it is, how large and of what look. Pure; for session,
//! plan, reports and pictures alike.

use super::fold::{Charted, Record};
use super::wording;
use crate::terms::mouth::{MouthChoice, MouthDecision, Part};
use crate::terms::{Finding, Kind, Place, Procedure, Subject, Value};

/// A lesion and what was said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesion<'a> {
    pub finding: &'a Finding,
    pub charted: &'a Charted,
    /// In the order of [`Kind::OF_LESIONS`].
    pub described: Vec<(&'a Finding, &'a Charted)>,
}

impl Lesion<'_> {
    /// The part of the mouth it is in; none beside a tooth, or where nobody said it.
    pub fn part(&self) -> Option<Part> {
        match self.finding.place {
            Place::Area(area, side) => Some((area, side)),
            _ => None,
        }
    }

    pub fn code(&self, kind: Kind) -> Option<&str> {
        self.described
            .iter()
            .find_map(|(finding, _)| match &finding.value {
                Value::Code(code) if finding.kind == kind => Some(code.as_str()),
                _ => None,
            })
    }

    fn mm(&self, kind: Kind) -> Option<u8> {
        self.described
            .iter()
            .find_map(|(finding, _)| match finding.value {
                Value::Mm(mm) if finding.kind == kind => Some(mm),
                _ => None,
            })
    }

    /// "12 x 8 x 5 mm"; none where nobody measured it.
    pub fn size(&self) -> Option<String> {
        let Value::Mm(length) = self.finding.value else {
            return None;
        };
        let sides: Vec<String> = [
            Some(length),
            self.mm(Kind::LesionWidth),
            self.mm(Kind::LesionHeight),
        ]
        .into_iter()
        .flatten()
        .map(|mm| mm.to_string())
        .collect();
        Some(format!("{} mm", sides.join(" x ")))
    }

    /// Size, shape, surface and colour: what a description needs before a sample is taken. Those that nobody said.
    pub fn lacks(&self) -> Vec<&'static str> {
        let code = |kind, word| self.code(kind).is_none().then_some(word);
        [
            self.size().is_none().then_some("size"),
            code(Kind::LesionShape, "shape"),
            code(Kind::LesionSurface, "surface"),
            code(Kind::LesionColour, "colour"),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    /// "at the tongue, left"; "at 104".
    pub fn place(&self) -> String {
        match self.finding.subject {
            Subject::Tooth(tooth) => format!("at {tooth}"),
            Subject::Mouth => match wording::place(self.finding.place, Subject::Mouth) {
                place if place.is_empty() => "place not said".into(),
                place => place,
            },
        }
    }

    /// "front third; round, smooth, dark, firm": what was said of it in words, without its size.
    pub fn look(&self) -> String {
        let words: Vec<String> = self
            .described
            .iter()
            .filter_map(|(finding, _)| match &finding.value {
                Value::Code(code) => Some(match finding.kind {
                    Kind::LesionPart => format!("{code} third"),
                    _ => wording::code(code),
                }),
                _ => None,
            })
            .collect();
        words.join(", ")
    }
}

/// Every lesion that counts now, in the order entered.
pub fn lesions(record: &Record) -> Vec<Lesion<'_>> {
    record
        .findings()
        .filter(|(finding, _)| Kind::LESIONS.contains(&finding.kind))
        .map(|(finding, charted)| Lesion {
            finding,
            charted,
            described: Kind::OF_LESIONS
                .iter()
                .filter_map(|kind| {
                    let of = record.finding(finding.subject, *kind, finding.place)?;
                    match &of.event {
                        super::Event::FindingRecorded { finding, .. } => Some((finding, of)),
                        _ => None,
                    }
                })
                .collect(),
        })
        .collect()
}

/// The lesion that was entered last.
pub fn newest(record: &Record) -> Option<Lesion<'_>> {
    lesions(record)
        .into_iter()
        .max_by_key(|lesion| lesion.charted.number)
}

/// The sample that was decided is taken.
pub fn is_sampled(record: &Record, what: &MouthDecision) -> bool {
    what.choice == MouthChoice::Sample
        && record.procedures().any(|(procedure, _)| {
            matches!(procedure, Procedure::SampleTaken { area, .. } if *area == what.part)
        })
}
