//! Entering surgery in full: closures, complications with what was done and who was told, samples for the laboratory,
//! the owner's consent, the tray of instruments.
//!
//! Invariants: what belongs to a complication names its entry; a sample has a pot and a place.

use super::Work;
use super::phrase::{Phrase, Slot};
use super::read_back::area_words;
use crate::grammar::intent::Surgical;
use crate::record::event::Proposed;
use crate::record::{Event, Record, surgery};
use crate::terms::surgery::{Complication, Suture};
use crate::terms::{Kind, Procedure, Subject};

pub(super) fn enter(work: &mut Work<'_>, surgical: Surgical) {
    let tooth = work.record.tooth;
    match surgical {
        Surgical::Closed { material, size } => {
            let Some(tooth) = tooth else {
                return work.say(Phrase::rule("no_tooth"));
            };
            let procedure = Procedure::Sutured {
                tooth,
                material: Some(material),
                size,
            };
            // For months in the mouth, or to be taken out under sedation [BRANNAN].
            if matches!(material, Suture::Polydioxanone | Suture::Nylon) {
                let phrase = Phrase::rule("suture_long")
                    .with("material", Slot::Text(material.word().to_owned()));
                return work.challenge("suture_long", phrase, Proposed::Procedure(procedure));
            }
            record(work, procedure);
        }
        Surgical::Complication { what, size_mm } => {
            record(
                work,
                Procedure::Complication {
                    what,
                    tooth,
                    size_mm,
                },
            );
            let is_bite_charted = work.record.findings().any(|(finding, _)| {
                finding.subject == Subject::Mouth && finding.kind == Kind::Occlusion
            });
            if what == Complication::JawFracture && !is_bite_charted {
                work.say(Phrase::rule("jaw_fracture_bite"));
            }
            if what == Complication::OrbitInjury {
                work.say(Phrase::rule("orbit_injury"));
            }
            work.say(Phrase::new("complication_asks"));
        }
        Surgical::Treated(how) => match newest(&work.record) {
            Some(of) => record(work, Procedure::ComplicationTreated { of, how }),
            None => work.say(Phrase::rule("no_complication")),
        },
        Surgical::OwnerTold { way, by } => {
            let of = untold(&work.record);
            if of.is_empty() {
                return work.say(Phrase::rule("nothing_to_tell"));
            }
            record(work, Procedure::OwnerTold { of, way, by });
        }
        Surgical::OwnerAsked {
            about,
            is_agreed,
            way,
            by,
        } => record(
            work,
            Procedure::OwnerAsked {
                about,
                tooth,
                is_agreed,
                way,
                by,
            },
        ),
        Surgical::Sample { pot, kind, area } => sample(work, pot, kind, area),
        Surgical::SamplesSent { due_days } => {
            let pots: Vec<u8> = surgery::samples(&work.record)
                .iter()
                .filter(|sample| sample.sent.is_none())
                .map(|sample| sample.pot)
                .collect();
            if pots.is_empty() {
                return work.say(Phrase::rule("no_sample"));
            }
            record(work, Procedure::SamplesSent { pots, due_days });
        }
        Surgical::HomeCare { what, days } => record(work, Procedure::HomeCare { what, days }),
        Surgical::Tray {
            number,
            sterilised_days_ago,
        } => {
            let today = jiff::tz::TimeZone::UTC.to_datetime(work.now.at).date();
            let sterilised = sterilised_days_ago.and_then(|days| {
                today
                    .checked_sub(jiff::Span::new().days(i64::from(days)))
                    .ok()
            });
            record(work, Procedure::TrayUsed { number, sterilised });
        }
    }
}

fn record(work: &mut Work<'_>, procedure: Procedure) {
    work.push(Event::ProcedureRecorded {
        procedure,
        challenge: None,
    });
}

/// A medicine for home: what was injected and may not follow by mouth is asked about.
pub(super) fn home_medicine(work: &mut Work<'_>, procedure: Procedure) {
    let Procedure::HomeMedicine { drug, .. } = &procedure else {
        return;
    };
    let is_cat = work.record.patient.species == crate::terms::Species::Cat;
    if is_cat && drug == "meloxicam" && surgery::last_given(&work.record, drug).is_some() {
        let phrase = Phrase::rule("meloxicam_cat_home");
        return work.challenge("meloxicam_cat_home", phrase, Proposed::Procedure(procedure));
    }
    record(work, procedure);
}

fn sample(
    work: &mut Work<'_>,
    pot: Option<u8>,
    kind: Option<crate::terms::surgery::SampleKind>,
    area: Option<(crate::terms::Area, Option<crate::terms::MouthSide>)>,
) {
    // Said of a part of the mouth it is of that part, whatever tooth is at hand.
    let tooth = work.record.tooth.filter(|_| area.is_none());
    if tooth.is_none() && area.is_none() {
        return work.say(Phrase::rule("sample_place"));
    }
    let samples = surgery::samples(&work.record);
    let next = samples.iter().map(|sample| sample.pot).max().unwrap_or(0) + 1;
    let pot = pot.unwrap_or(next);
    if samples.iter().any(|sample| sample.pot == pot) {
        let phrase = Phrase::rule("pot_taken")
            .with("pot", Slot::Number(u16::from(pot)))
            .with("next", Slot::Number(u16::from(next)));
        return work.say(phrase);
    }
    let place = surgery::place(tooth, area);
    let procedure = Procedure::SampleTaken {
        pot,
        tooth,
        area,
        kind,
    };
    if let Some(other) = samples.iter().find(|sample| sample.place == place) {
        let phrase = Phrase::rule("sample_same_place")
            .with("pot", Slot::Number(u16::from(other.pot)))
            .with("place", Slot::Text(place));
        return work.challenge("sample_same_place", phrase, Proposed::Procedure(procedure));
    }
    record(work, procedure);
}

/// Number of the newest complication's entry.
fn newest(record: &Record) -> Option<u64> {
    surgery::mishaps(record)
        .last()
        .map(|mishap| mishap.charted.number)
}

/// Entries of complications that the owner was not told of.
fn untold(record: &Record) -> Vec<u64> {
    surgery::mishaps(record)
        .iter()
        .filter(|mishap| mishap.told.is_none())
        .map(|mishap| mishap.charted.number)
        .collect()
}

/// What is still open of it when the visit is to be finished.
pub(super) fn open(record: &Record) -> Vec<String> {
    let mut open: Vec<String> = surgery::mishaps(record)
        .iter()
        .filter(|mishap| mishap.told.is_none())
        .map(|mishap| {
            let tooth = mishap
                .tooth
                .map_or_else(String::new, |tooth| format!("{tooth} "));
            format!("owner not told of {tooth}{}", mishap.text)
        })
        .collect();
    if !surgery::later(record).is_empty() && surgery::second_visit(record).is_none() {
        open.push("nobody said when the second visit is".to_owned());
    }
    for sample in surgery::samples(record) {
        match sample.sent {
            None => open.push(format!("sample in pot {} not sent", sample.pot)),
            Some((_, None)) => open.push(format!(
                "nobody said when the result of pot {} is due",
                sample.pot
            )),
            Some(_) => {}
        }
    }
    open
}

/// "complication: jaw fracture, at the tooth at hand".
pub(super) fn wish(surgical: Surgical) -> String {
    match surgical {
        Surgical::Closed { material, size } => {
            let size = size.map_or_else(String::new, |size| format!("{} ", size.text()));
            format!(
                "sutured with {size}{}, at the tooth at hand",
                material.word()
            )
        }
        Surgical::Complication { what, size_mm } => {
            let size = size_mm.map_or_else(String::new, |mm| format!(", {mm} mm"));
            format!("complication: {}{size}, at the tooth at hand", what.word())
        }
        Surgical::Treated(how) => format!("done about the newest complication: {}", how.word()),
        Surgical::OwnerTold { way, by } => {
            let way = way.map_or_else(String::new, |way| format!(" {}", way.word()));
            let by = by.map_or_else(String::new, |by| format!(", by the {}", by.word()));
            format!("owner told of each complication{way}{by}")
        }
        Surgical::OwnerAsked {
            about,
            is_agreed,
            way,
            by,
        } => {
            let answer = if is_agreed { "agreed to" } else { "declined" };
            let way = way.map_or_else(String::new, |way| format!(", {}", way.word()));
            let by = by.map_or_else(String::new, |by| format!(", asked by the {}", by.word()));
            format!("owner {answer} {}{way}{by}", about.word())
        }
        Surgical::Sample { pot, kind, area } => {
            let pot = pot.map_or_else(|| "the next pot".to_owned(), |pot| format!("pot {pot}"));
            let kind = kind.map_or_else(String::new, |kind| format!(", {}", kind.word()));
            let place = area.map_or_else(
                || "at the tooth at hand".to_owned(),
                |(area, side)| area_words(area, side),
            );
            format!("sample, {pot}{kind}, {place}")
        }
        Surgical::SamplesSent { due_days } => match due_days {
            Some(days) => format!("samples sent, result due in {days} days"),
            None => "samples sent".into(),
        },
        Surgical::HomeCare { what, days } => format!("at home: {} for {days} days", what.word()),
        Surgical::Tray {
            number,
            sterilised_days_ago,
        } => match sterilised_days_ago {
            Some(days) => format!("tray {number}, sterilised {days} days ago"),
            None => format!("tray {number}"),
        },
    }
}
