//! The anaesthetic as pages of the report: graph, readings in time, drugs with their sums, course, gaps.
//!
//! Invariants: every reading that counts is there, as it was read; a gap is a row of its own; what nobody confirmed
//! and what a machine sent are marked; nothing says what to do.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::content::{Block, Table};
use super::picture::{self, Colours};
use crate::record::monitoring::{self, Stand};
use crate::record::{Charted, Record, Standing};
use crate::terms::drug::dose_text;
use crate::terms::limits::{self, Side};
use crate::terms::vital::VitalSign;
use crate::terms::watch::Watched;
use crate::terms::watch_settings::WatchSettings;

/// All of it; nothing where no anaesthetic was recorded.
pub(super) fn blocks(record: &Record, zone: &TimeZone, settings: &WatchSettings) -> Vec<Block> {
    if record.watched().next().is_none() {
        return Vec::new();
    }
    let writer = Writer {
        record,
        zone,
        settings,
    };
    let mut blocks = vec![Block::Heading("Anaesthetic".into())];
    blocks.extend(writer.graph());
    blocks.extend(writer.readings());
    blocks.extend(writer.limits());
    blocks.extend(writer.drugs());
    blocks.extend(writer.course());
    blocks
}

struct Writer<'a> {
    record: &'a Record,
    zone: &'a TimeZone,
    settings: &'a WatchSettings,
}

/// "!" and "!!" stand beside the value: a sign alone would be overlooked, so the words stand below the table.
fn sign_of(stand: Stand) -> &'static str {
    match stand {
        Stand::Inside => "",
        Stand::OffTarget(Side::Below) => " \u{2193}",
        Stand::OffTarget(Side::Above) => " \u{2191}",
        Stand::Watch(_) => " !",
        Stand::Alert(_) => " !!",
    }
}

fn doubt(charted: &Charted) -> &'static str {
    match charted.standing {
        Standing::Confirmed => "",
        _ if charted.is_machine_read() => " m",
        _ => " ?",
    }
}

impl Writer<'_> {
    fn clock(&self, at: Timestamp) -> String {
        at.to_zoned_datetime(self.zone.clone())
            .strftime("%H:%M")
            .to_string()
    }

    fn newest(&self) -> Timestamp {
        self.record
            .all()
            .map(|charted| charted.at)
            .max()
            .unwrap_or(self.record.opened_at)
    }

    fn graph(&self) -> Option<Block> {
        let svg = picture::anaesthetic_svg(
            self.record,
            self.settings,
            self.newest(),
            Colours::Paper,
            "anaesthetic",
        )?;
        Some(Block::Picture {
            svg,
            caption: "The anaesthetic, in minutes from its beginning".into(),
        })
    }

    /// One row a time, one column a sign that was read at all; gaps between.
    fn readings(&self) -> Vec<Block> {
        let points = monitoring::readings(self.record);
        let signs: Vec<VitalSign> = VitalSign::ALL
            .into_iter()
            .filter(|sign| points.iter().any(|point| point.reading.sign == *sign))
            .collect();
        if signs.is_empty() {
            return Vec::new();
        }
        let own = self.settings.limits();
        let stands: Vec<(u64, Stand)> = signs
            .iter()
            .flat_map(|sign| monitoring::stands(self.record, &own, *sign))
            .collect();
        let stand = |number: u64| {
            stands
                .iter()
                .find(|(of, _)| *of == number)
                .map_or("", |(_, stand)| sign_of(*stand))
        };
        let gaps = monitoring::gaps(self.record, self.settings.interval_minutes, self.newest());
        let mut rows: Vec<(Timestamp, Vec<String>)> = Vec::new();
        for point in &points {
            let column = signs.iter().position(|sign| *sign == point.reading.sign);
            let cell = format!(
                "{}{}{}",
                point.reading.value(),
                stand(point.charted.number),
                doubt(point.charted)
            );
            // What was said in one breath stands in one row.
            if rows.last().is_none_or(|(at, _)| *at != point.at) {
                let mut row = vec![self.clock(point.at)];
                row.resize(signs.len() + 1, String::new());
                rows.push((point.at, row));
            }
            if let (Some((_, row)), Some(column)) = (rows.last_mut(), column) {
                let into = &mut row[column + 1];
                if into.is_empty() {
                    *into = cell;
                } else {
                    into.push_str(", ");
                    into.push_str(&cell);
                }
            }
        }
        for gap in &gaps {
            let mut row = vec![
                format!("{}-{}", self.clock(gap.from), self.clock(gap.to)),
                format!("nothing read for {} min", gap.minutes()),
            ];
            row.resize(signs.len() + 1, String::new());
            // After the last reading before it.
            let at = gap.from + jiff::SignedDuration::from_millis(1);
            rows.push((at, row));
        }
        rows.sort_by_key(|(at, _)| *at);
        let mut head = vec!["Time".to_owned()];
        head.extend(signs.iter().map(|sign| {
            let unit = sign.unit();
            let space = if unit.is_empty() { "" } else { " " };
            format!("{}{space}{unit}", sign.title())
        }));
        let mut widths = vec![12];
        widths.extend(signs.iter().map(|_| 88 / signs.len() as u16));
        vec![
            Block::Table(Table {
                head,
                rows: rows.into_iter().map(|(_, row)| row).collect(),
                widths,
            }),
            Block::Paragraph(
                "Pressure is systolic/diastolic (mean). \u{2193} \u{2191} outside the target; ! low or high; !! so twice in a row, \
                 4 minutes apart or more; ? unconfirmed; m read by machine."
                    .into(),
            ),
        ]
    }

    /// Which limits were broken, with their sources.
    fn limits(&self) -> Vec<Block> {
        let own = self.settings.limits();
        let patient = &self.record.patient;
        let mut lines: Vec<String> = Vec::new();
        for point in monitoring::readings(self.record) {
            let broken = limits::broken(patient.species, patient.weight, &own, &point.reading);
            let told: Vec<String> = broken
                .iter()
                .filter(|limit| limit.severity == limits::Severity::Action)
                .map(|limit| limit.text())
                .collect();
            if !told.is_empty() {
                lines.push(format!(
                    "{} {}: {}",
                    self.clock(point.at),
                    point.reading.text(),
                    told.join("; ")
                ));
            }
        }
        if lines.is_empty() {
            return Vec::new();
        }
        vec![
            Block::Paragraph(
                "Outside published limits (for checking the patient; the vet judges):".into(),
            ),
            Block::List(lines),
        ]
    }

    fn drugs(&self) -> Vec<Block> {
        let rows: Vec<Vec<String>> = self
            .record
            .watched()
            .filter_map(|(what, charted)| {
                let text = match what {
                    Watched::Drug(entry) => entry.text(),
                    Watched::Wasted { .. } | Watched::Witnessed { .. } | Watched::Batch { .. } => {
                        what.text()
                    }
                    _ => return None,
                };
                let (by, at) = match what {
                    Watched::Drug(entry) => (
                        entry.given_by.map_or("", |by| by.word()),
                        monitoring::given_at(entry, charted),
                    ),
                    _ => ("", charted.at),
                };
                Some(vec![
                    self.clock(at),
                    charted.number.to_string(),
                    format!("{text}{}", doubt(charted)),
                    by.to_owned(),
                ])
            })
            .collect();
        if rows.is_empty() {
            return Vec::new();
        }
        let sums: Vec<String> = monitoring::sums(self.record)
            .iter()
            .map(|sum| {
                let dose = sum.dose_ug.map_or_else(|| "dose unknown".into(), dose_text);
                format!("{} {dose} in {}", sum.drug, sum.times)
            })
            .collect();
        let mut blocks = vec![
            Block::Heading("Drug log".into()),
            Block::Table(Table {
                head: ["Time", "Entry", "What", "Given by"]
                    .map(str::to_owned)
                    .to_vec(),
                rows,
                widths: vec![10, 8, 68, 14],
            }),
            Block::Paragraph(format!("Given in all: {}.", sums.join("; "))),
        ];
        let unwitnessed = monitoring::unwitnessed(self.record);
        if !unwitnessed.is_empty() {
            let names: Vec<String> = unwitnessed
                .iter()
                .map(|(entry, number)| format!("{} (entry {number})", entry.drug))
                .collect();
            blocks.push(Block::Paragraph(format!(
                "Controlled, without a witness: {}.",
                names.join(", ")
            )));
        }
        blocks.push(Block::Paragraph(
            "Published ranges are for catching a slip and recommend nothing; the register of controlled drugs is the clinic's own."
                .into(),
        ));
        blocks
    }

    fn course(&self) -> Vec<Block> {
        let lines: Vec<String> = self
            .record
            .watched()
            .filter(|(what, _)| matches!(what, Watched::Course(_) | Watched::Crisis(_)))
            .map(|(what, charted)| {
                format!(
                    "{} {}{}",
                    self.clock(charted.at),
                    what.text(),
                    doubt(charted)
                )
            })
            .collect();
        if lines.is_empty() {
            return Vec::new();
        }
        vec![
            Block::Heading("Course of the anaesthetic".into()),
            Block::List(lines),
        ]
    }
}
