//! The report for the clinic: everything that stands in the record, for the next vet who reads it.
//!
//! Invariants: no current value is left out; normal depths may be gathered in one line, but with their figures;
//! every line that nobody confirmed says so; nothing is judged here.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::content::{Block, Report, Table};
use super::picture::{self, Colours, View, normal_depth_mm};
use crate::record::fold::Phase;
use crate::record::{Charted, Event, Record, Signing, Speaker, Standing, wording};
use crate::terms::watch_settings::WatchSettings;
use crate::terms::{
    Finding, Kind, MouthDecision, Place, Procedure, Side, Site, Stage, Subject, ToothNumber, Value,
    dentition,
};

/// `plan` holds the lines of the plan, ready to print; where there are none the section is left out.
/// This is the one place where the plan enters a report.
pub fn report(record: &Record, zone: &TimeZone, plan: Option<&[String]>) -> Report {
    report_with(record, zone, plan, &WatchSettings::default())
}

/// The same with what the clinic set for the watch over the anaesthetic.
pub fn report_with(
    record: &Record,
    zone: &TimeZone,
    plan: Option<&[String]>,
    watch: &WatchSettings,
) -> Report {
    let writer = Writer { record, zone };
    let mut blocks = vec![writer.patient()];
    blocks.extend(writer.pictures());
    blocks.extend(writer.teeth());
    blocks.extend(writer.mouth());
    blocks.extend(writer.decisions());
    blocks.extend(writer.procedures());
    blocks.extend(super::surgery::blocks(record, zone));
    blocks.extend(writer.films());
    blocks.extend(writer.drugs());
    blocks.extend(super::anaesthetic::blocks(record, zone, watch));
    if let Some(lines) = plan.filter(|lines| !lines.is_empty()) {
        blocks.push(Block::Heading("Plan".into()));
        blocks.push(Block::List(lines.to_vec()));
    }
    blocks.extend(writer.notes());
    blocks.extend(writer.questions());
    blocks.extend(writer.later());
    Report {
        title: "Dental record".into(),
        subtitle: format!(
            "{}, {}, {}",
            record.patient.name,
            record.patient.species.word(),
            day(record.opened_at, zone)
        ),
        warnings: writer.warnings(),
        blocks,
        foot: foot(record),
    }
}

/// Puts open conflicts before all else.
pub fn tell_first(report: &mut Report, open_conflicts: Vec<String>) {
    report.warnings.splice(0..0, open_conflicts);
}

/// On each page: invented or not, and the hash that ties the paper to the journal.
pub fn foot(record: &Record) -> String {
    let mark = if record.patient.invented {
        "INVENTED DATA. "
    } else {
        ""
    };
    let lost: String = record
        .losses
        .iter()
        .map(|loss| {
            format!(
                "LOST BY THE DISK: {} saved entries, {} to {}. ",
                loss.count(),
                loss.first,
                loss.last
            )
        })
        .collect();
    format!(
        "{mark}{lost}Visit {}, {} entries, journal {}",
        record.visit, record.last, record.last_hash
    )
}

pub fn day(at: Timestamp, zone: &TimeZone) -> String {
    at.to_zoned_datetime(zone.clone())
        .strftime("%-d %B %Y")
        .to_string()
}

fn minute(at: Timestamp, zone: &TimeZone) -> String {
    at.to_zoned_datetime(zone.clone())
        .strftime("%Y-%m-%d %H:%M %:z")
        .to_string()
}

pub(super) fn clock(at: Timestamp, zone: &TimeZone) -> String {
    at.to_zoned_datetime(zone.clone())
        .strftime("%H:%M")
        .to_string()
}

/// "Dr X, 2026-03-02 11:20 +00:00; 2 entries after it are not signed".
fn signed_words((signing, after): (&Signing, u64), zone: &TimeZone) -> String {
    let later = match after {
        0 => String::new(),
        1 => "; 1 entry after it is not signed".into(),
        many => format!("; {many} entries after it are not signed"),
    };
    format!("{}, {}{later}", signing.name, minute(signing.at, zone))
}

pub(super) fn doubt(charted: &Charted) -> &'static str {
    match charted.standing {
        Standing::Confirmed => "",
        Standing::ReadBack | Standing::Heard => " (? unconfirmed)",
    }
}

struct Writer<'a> {
    record: &'a Record,
    zone: &'a TimeZone,
}

/// Nothing where there are no rows.
pub(super) fn section(
    heading: &str,
    head: &[&str],
    widths: &[u16],
    rows: Vec<Vec<String>>,
) -> Vec<Block> {
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Heading(heading.into()),
        Block::Table(Table {
            head: head.iter().map(ToString::to_string).collect(),
            rows,
            widths: widths.to_vec(),
        }),
    ]
}

impl Writer<'_> {
    fn warnings(&self) -> Vec<String> {
        let record = self.record;
        let mut lines = Vec::new();
        if record.patient.invented {
            lines.push("Invented data for demonstration: no such animal, owner or clinic.".into());
        }
        if record.phase == Phase::Open {
            lines.push("The visit is not finished: this report may change.".into());
        }
        for loss in &record.losses {
            lines.push(format!(
                "The disk lost {} entries of this visit that had been saved; what they held is not in this report.",
                loss.count()
            ));
        }
        if record.phase == Phase::Finished && record.signed().is_none() {
            lines.push("Not signed by a vet.".into());
        }
        let unconfirmed = record.unconfirmed().count();
        if unconfirmed > 0 {
            lines.push(format!(
                "{unconfirmed} {} never confirmed; marked \"?\" below.",
                if unconfirmed == 1 {
                    "entry was"
                } else {
                    "entries were"
                }
            ));
        }
        if record.open_challenge().is_some() {
            lines.push("A question of the program was left without an answer.".into());
        }
        lines
    }

    fn patient(&self) -> Block {
        let record = self.record;
        let patient = &record.patient;
        let mut pairs: Vec<(&str, String)> = vec![("Patient", patient.name.clone())];
        let mut put = |name, value: Option<String>| {
            if let Some(value) = value {
                pairs.push((name, value));
            }
        };
        put("Number", patient.id.clone());
        put(
            "Microchip",
            patient.microchip.as_ref().map(ToString::to_string),
        );
        let kind = [
            Some(patient.species.word().to_owned()),
            patient.breed.clone(),
            patient.sex.map(|sex| wording::sex(sex).to_owned()),
        ];
        put(
            "Animal",
            Some(kind.into_iter().flatten().collect::<Vec<_>>().join(", ")),
        );
        put("Born", patient.born.as_ref().map(ToString::to_string));
        put(
            "Weight",
            patient.weight.map(|weight| format!("{} kg", weight.kg())),
        );
        let result = |positive: bool| if positive { "positive" } else { "negative" };
        put("FeLV", patient.felv.map(|is| result(is).to_owned()));
        put("FIV", patient.fiv.map(|is| result(is).to_owned()));
        put("Owner", patient.owner.clone());
        put("Vet", record.vet.clone());
        put("Nurse", record.nurse.clone());
        put("Begun", Some(minute(record.opened_at, self.zone)));
        put(
            "Finished",
            record.finished_at.map(|at| minute(at, self.zone)),
        );
        put(
            "Signed",
            record
                .signed()
                .map(|signed| signed_words(signed, self.zone)),
        );
        // Two pairs a row: the patient's data takes a few lines only.
        let rows = pairs
            .chunks(2)
            .map(|pair| {
                let mut row: Vec<String> = pair
                    .iter()
                    .flat_map(|(name, value)| [(*name).to_owned(), value.clone()])
                    .collect();
                row.resize(4, String::new());
                row
            })
            .collect();
        Block::Table(Table {
            head: Vec::new(),
            rows,
            widths: vec![12, 38, 12, 38],
        })
    }

    fn pictures(&self) -> Vec<Block> {
        let picture = |view, prefix: &str, legend, caption: &str| Block::Picture {
            svg: picture::mouth_svg(
                self.record,
                &picture::Options {
                    view,
                    colours: Colours::Paper,
                    id_prefix: prefix.into(),
                    legend,
                    ..picture::Options::default()
                },
            ),
            caption: caption.into(),
        };
        let something_done = self
            .record
            .procedures()
            .any(|(procedure, _)| procedure.tooth().is_some() && !is_film(procedure));
        if something_done {
            vec![
                picture(View::Before, "before", false, "Found and decided"),
                picture(View::After, "after", true, "At the end"),
            ]
        } else {
            vec![picture(View::Before, "before", true, "Found and decided")]
        }
    }

    /// Three depths of a side: "2, 3, 7", "-" where not read, "?" where not confirmed; empty for a missing tooth.
    fn depths(&self, tooth: ToothNumber, side: Side) -> String {
        let is_read = |site: &Site| {
            self.record
                .finding(Subject::Tooth(tooth), Kind::Depth, Place::Site(*site))
                .is_some()
        };
        if !Site::of_side(side).iter().any(is_read) {
            let is_absent = self
                .record
                .finding(Subject::Tooth(tooth), Kind::Absent, Place::Whole)
                .is_some();
            return if is_absent { "" } else { "not read" }.into();
        }
        Site::of_side(side)
            .map(|site| {
                let charted =
                    self.record
                        .finding(Subject::Tooth(tooth), Kind::Depth, Place::Site(site));
                match charted.map(|c| (&c.event, c.standing)) {
                    Some((Event::FindingRecorded { finding, .. }, standing)) => {
                        let mm = wording::value(&finding.value).replace(" mm", "");
                        let mark = if standing == Standing::Confirmed {
                            ""
                        } else {
                            "?"
                        };
                        format!("{mm}{mark}")
                    }
                    _ => "-".into(),
                }
            })
            // Commas: readers of PDF text take single figures with spaces between for one spaced-out word.
            .join(", ")
    }

    fn is_plain(&self, tooth: ToothNumber) -> bool {
        let normal = normal_depth_mm(self.record.patient.species);
        let findings: Vec<(&Finding, &Charted)> = self.record.findings_of(tooth).collect();
        findings.len() == 6
            && findings.iter().all(|(finding, charted)| {
                finding.kind == Kind::Depth
                    && matches!(finding.value, Value::Mm(mm) if mm <= normal)
                    && charted.standing == Standing::Confirmed
            })
            && self.record.decision(tooth).is_none()
            && !self
                .record
                .procedures()
                .any(|(procedure, _)| procedure.tooth() == Some(tooth))
    }

    fn teeth(&self) -> Vec<Block> {
        let record = self.record;
        let mut all = dentition::teeth(record.patient.species, Stage::Permanent);
        all.extend(record.current().filter_map(|charted| charted.event.tooth()));
        all.sort_unstable();
        all.dedup();
        let (mut rows, mut plain, mut silent) = (Vec::new(), Vec::new(), Vec::new());
        for tooth in all {
            if record.findings_of(tooth).next().is_none() {
                let spoken_of = record.current().any(|c| c.event.tooth() == Some(tooth));
                if !spoken_of {
                    silent.push(tooth.to_string());
                    continue;
                }
            }
            if self.is_plain(tooth) {
                let line = format!(
                    "{tooth}: {} / {}",
                    self.depths(tooth, Side::Buccal),
                    self.depths(tooth, Side::Lingual)
                );
                // One tooth's figures are not torn apart at the end of a line.
                plain.push(line.replace(' ', "\u{a0}"));
                continue;
            }
            let findings: Vec<String> = record
                .findings_of(tooth)
                .filter(|(finding, _)| {
                    finding.kind != Kind::Depth
                        && !Kind::OF_FILMS.contains(&finding.kind)
                        && !Kind::OF_LESIONS.contains(&finding.kind)
                })
                .map(|(finding, charted)| {
                    format!("{}{}", wording::finding(finding), doubt(charted))
                })
                .collect();
            let decision = record
                .decision(tooth)
                .map(|(decision, _, charted)| {
                    format!("{}{}", wording::decision(decision), doubt(charted))
                })
                .unwrap_or_default();
            rows.push(vec![
                tooth.to_string(),
                dentition::name(tooth),
                self.depths(tooth, Side::Buccal),
                self.depths(tooth, Side::Lingual),
                findings.join("; "),
                decision,
            ]);
        }
        let mut blocks = section(
            "Findings by tooth",
            &[
                "Tooth",
                "Name",
                "Cheek side mm",
                "Tongue side mm",
                "Other findings",
                "Decision",
            ],
            &[7, 25, 11, 11, 29, 17],
            rows,
        );
        let normal = normal_depth_mm(record.patient.species);
        if !plain.is_empty() {
            blocks.push(Block::Paragraph(format!(
                "Depths of {normal} mm or less and nothing else found (cheek side / tongue side, each from the front backwards): {}.",
                plain.join("; ")
            )));
        }
        if !silent.is_empty() {
            blocks.push(Block::Paragraph(format!(
                "Not examined: {}.",
                silent.join(", ")
            )));
        }
        blocks
    }

    fn mouth(&self) -> Vec<Block> {
        let items: Vec<String> = self
            .record
            .findings()
            .filter(|(finding, _)| {
                finding.subject == Subject::Mouth
                    && !Kind::LESIONS.contains(&finding.kind)
                    && !Kind::OF_LESIONS.contains(&finding.kind)
            })
            .map(|(finding, charted)| format!("{}{}", wording::finding(finding), doubt(charted)))
            .collect();
        let mut blocks = Vec::new();
        if !items.is_empty() {
            blocks.push(Block::Heading("Mouth".into()));
            blocks.push(Block::List(items));
        }
        blocks.extend(super::lesions::blocks(self.record));
        blocks
    }

    fn confirmer(&self, charted: &Charted) -> String {
        let Some(heard) = &charted.confirmed_by else {
            return "? unconfirmed".into();
        };
        let named = |name: &Option<String>, role: &str| name.clone().unwrap_or_else(|| role.into());
        match heard.speaker {
            Speaker::Vet => named(&self.record.vet, "vet"),
            Speaker::Nurse => named(&self.record.nurse, "nurse"),
            Speaker::Unknown => "confirmed, speaker not identified".into(),
        }
    }

    fn decisions(&self) -> Vec<Block> {
        let mut rows: Vec<Vec<String>> = self
            .record
            .decisions()
            .map(|(tooth, decision, reason, charted)| {
                vec![
                    tooth.to_string(),
                    wording::decision(decision),
                    reason.map(wording::reason).unwrap_or_default().into(),
                    clock(charted.at, self.zone),
                    self.confirmer(charted),
                ]
            })
            .collect();
        rows.extend(self.record.mouth_decisions().map(|(what, charted)| {
            vec![
                String::new(),
                wording::mouth_decision(&MouthDecision {
                    reason: None,
                    ..*what
                }),
                what.reason.map(wording::reason).unwrap_or_default().into(),
                clock(charted.at, self.zone),
                self.confirmer(charted),
            ]
        }));
        section(
            "Decisions",
            &["Tooth", "Decision", "Reason", "Time", "Confirmed by"],
            &[8, 32, 20, 10, 30],
            rows,
        )
    }

    fn procedure_rows(&self, wanted: impl Fn(&Procedure) -> bool) -> Vec<Vec<String>> {
        self.record
            .procedures()
            .filter(|(procedure, _)| wanted(procedure))
            .map(|(procedure, charted)| {
                vec![
                    clock(charted.at, self.zone),
                    procedure.tooth().map(|t| t.to_string()).unwrap_or_default(),
                    wording::procedure(procedure),
                    self.confirmer(charted),
                ]
            })
            .collect()
    }

    fn procedures(&self) -> Vec<Block> {
        section(
            "Done",
            &["Time", "Tooth", "What", "Confirmed by"],
            &[10, 8, 52, 30],
            self.procedure_rows(|procedure| {
                !is_film(procedure)
                    && !is_drug(procedure)
                    && !super::surgery::is_told_here(procedure)
            }),
        )
    }

    fn films(&self) -> Vec<Block> {
        let mut blocks = section(
            "Films",
            &["Time", "Tooth", "What", "Confirmed by"],
            &[10, 8, 52, 30],
            self.procedure_rows(is_film),
        );
        let read = self
            .record
            .findings()
            .filter(|(finding, _)| Kind::OF_FILMS.contains(&finding.kind))
            .map(|(finding, charted)| {
                let root = match finding.place {
                    Place::Root(root) => root.word(),
                    _ => "",
                };
                let of_tooth = Finding {
                    place: Place::Whole,
                    ..finding.clone()
                };
                vec![
                    clock(charted.at, self.zone),
                    charted
                        .event
                        .tooth()
                        .map(|t| t.to_string())
                        .unwrap_or_default(),
                    root.into(),
                    wording::finding(&of_tooth),
                    self.confirmer(charted),
                ]
            })
            .collect();
        blocks.extend(section(
            "Films read",
            &[
                "Time",
                "Tooth",
                "Root",
                "What the film shows",
                "Confirmed by",
            ],
            &[10, 8, 18, 34, 30],
            read,
        ));
        blocks
    }

    fn drugs(&self) -> Vec<Block> {
        let mut blocks = section(
            "Drugs, as said",
            &["Time", "Tooth", "What", "Confirmed by"],
            &[10, 8, 52, 30],
            self.procedure_rows(is_drug),
        );
        if !blocks.is_empty() {
            blocks.push(Block::Paragraph(
                "Recorded as spoken. The anaesthetic record and the drug register are the clinic's own and come first."
                    .into(),
            ));
        }
        blocks
    }

    fn notes(&self) -> Vec<Block> {
        let items: Vec<String> = self
            .record
            .current()
            .filter_map(|charted| match &charted.event {
                Event::NoteRecorded { tooth, text, .. } => {
                    let at = tooth.map(|tooth| format!("{tooth}: ")).unwrap_or_default();
                    Some(format!("{at}{text}{}", doubt(charted)))
                }
                _ => None,
            })
            .collect();
        if items.is_empty() {
            return Vec::new();
        }
        vec![
            Block::Heading("Notes, as recognised".into()),
            Block::List(items),
        ]
    }

    fn questions(&self) -> Vec<Block> {
        let items: Vec<String> = self
            .record
            .challenges
            .iter()
            .map(|challenge| {
                let answer = match challenge.accepted {
                    Some(true) => "yes",
                    Some(false) => "no",
                    None => "no answer",
                };
                let at = challenge
                    .answered_at
                    .map_or_else(String::new, |at| format!(", {}", clock(at, self.zone)));
                format!(
                    "{} {} {answer}{at}",
                    clock(challenge.at, self.zone),
                    challenge.question
                )
            })
            .collect();
        if items.is_empty() {
            return Vec::new();
        }
        vec![
            Block::Heading("Asked before entering".into()),
            Block::List(items),
        ]
    }

    /// What came after the end, and how much was changed on the way.
    fn later(&self) -> Vec<Block> {
        let record = self.record;
        let mut blocks = Vec::new();
        for (heading, remarks) in [
            ("Addenda", &record.addenda),
            ("Reopened", &record.reopenings),
        ] {
            if !remarks.is_empty() {
                blocks.push(Block::Heading(heading.into()));
                blocks.push(Block::List(
                    remarks
                        .iter()
                        .map(|(at, text)| format!("{}: {text}", minute(*at, self.zone)))
                        .collect(),
                ));
            }
        }
        let changed = record
            .all()
            .filter(|charted| !record.is_current(charted.number))
            .count();
        if changed > 0 {
            blocks.push(Block::Paragraph(format!(
                "{changed} {} withdrawn or replaced on the way; the exported record keeps all of them.",
                if changed == 1 { "entry was" } else { "entries were" }
            )));
        }
        blocks
    }
}

fn is_film(procedure: &Procedure) -> bool {
    matches!(
        procedure,
        Procedure::FilmWanted { .. }
            | Procedure::FilmTaken { .. }
            | Procedure::ImageLinked { .. }
            | Procedure::FilmsRead
            | Procedure::RootsComplete { .. }
    )
}

fn is_drug(procedure: &Procedure) -> bool {
    matches!(
        procedure,
        Procedure::NerveBlock { .. } | Procedure::Medication { .. }
    )
}
