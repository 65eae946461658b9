//! The check list before, during and after, each point with its state as far as the record tells.
//! A point is never ticked by silence: only an entry of the record ticks it.

use serde::Serialize;

use super::facts::{Mouth, ToothFacts};
use super::films::FilmPlan;
use super::lesions;
use super::rules::{CheckPhase, Cited, Evidence, rules};
use super::settings::Settings;
use super::stage::SITES_ENOUGH;
use crate::record::event::How;
use crate::record::{Record, Standing, monitoring, surgery};
use crate::terms::anaesthetic::Against;
use crate::terms::mouth::{Implant, MouthChoice};
use crate::terms::procedure::Treatment;
use crate::terms::temperature::{self, Band};
use crate::terms::{Kind, Procedure, Species, ToothNumber, VitalSign};

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckState {
    Done,
    Open,
    /// Something speaks against it: look at once.
    Attention,
    /// Nothing in this visit asks for it.
    NotNeeded,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CheckLine {
    pub key: String,
    pub phase: CheckPhase,
    pub state: CheckState,
    #[serde(flatten)]
    pub cited: Cited,
    /// What is still lacking, or what was found.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub detail: Option<String>,
    /// While it is open at the end, the animal is not to be woken.
    pub blocks_waking: bool,
    /// A word or a touch ticks it; the others are ticked by what is charted.
    #[serde(skip)]
    pub is_by_hand: bool,
}

/// Teeth that are expected and not, or not wholly, examined.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Unexamined {
    /// Nothing at all is charted.
    pub uncharted: Vec<ToothNumber>,
    /// Charted, but fewer sites than needed were probed.
    pub unprobed: Vec<ToothNumber>,
}

/// Looks for gaps. `expected` are the teeth that this animal should have.
pub fn unexamined(facts: &[ToothFacts], expected: &[ToothNumber]) -> Unexamined {
    let mut gaps = Unexamined::default();
    for facts in facts.iter().filter(|facts| expected.contains(&facts.tooth)) {
        if facts.kinds.is_empty() {
            gaps.uncharted.push(facts.tooth);
        } else if facts.is_there() && facts.sites_read() < SITES_ENOUGH {
            gaps.unprobed.push(facts.tooth);
        }
    }
    gaps
}

struct Seen<'a> {
    record: &'a Record,
    films: &'a FilmPlan,
    gaps: &'a Unexamined,
    settings: &'a Settings,
}

pub fn plan(
    record: &Record,
    mouth: &Mouth,
    films: &FilmPlan,
    gaps: &Unexamined,
    settings: &Settings,
) -> Vec<CheckLine> {
    let seen = Seen {
        record,
        films,
        gaps,
        settings,
    };
    rules()
        .checks
        .iter()
        .filter(|point| point.species.is_none_or(|species| species == mouth.species))
        .map(|point| {
            let (mut state, detail) = seen.state(point.evidence);
            if point.evidence == Evidence::Spoken && seen.is_ticked(&point.key) {
                state = CheckState::Done;
            }
            CheckLine {
                key: point.key.clone(),
                phase: point.phase,
                state,
                cited: Cited::new(&point.key, point.text.clone(), &point.sources),
                detail,
                blocks_waking: point.blocks_waking,
                is_by_hand: is_spoken(point.evidence),
            }
        })
        .collect()
}

/// Points that a word ticks; the others need what they ask for.
fn is_spoken(evidence: Evidence) -> bool {
    matches!(evidence, Evidence::Spoken | Evidence::Weight)
}

/// Results of the laboratory that nobody has read, of this patient's earlier visits: to be asked for before anything.
pub fn unread_results(record: &Record, past: &[Record]) -> Vec<CheckLine> {
    past.iter()
        .filter(|earlier| {
            earlier.visit != record.visit
                && earlier.opened_at < record.opened_at
                && super::progress::is_same_patient(&earlier.patient, &record.patient)
        })
        .flat_map(|earlier| {
            surgery::samples(earlier)
                .into_iter()
                .filter(|sample| sample.result.is_none())
                .map(move |sample| {
                    let day = jiff::tz::TimeZone::UTC
                        .to_datetime(earlier.opened_at)
                        .date();
                    CheckLine {
                        key: "sample_result".into(),
                        phase: CheckPhase::Before,
                        state: CheckState::Attention,
                        cited: rules().cite("sample_result"),
                        detail: Some(format!(
                            "pot {} of {day}, {}: no result was read",
                            sample.pot, sample.place
                        )),
                        blocks_waking: false,
                        is_by_hand: false,
                    }
                })
        })
        .collect()
}

impl Seen<'_> {
    fn count(&self, test: impl Fn(&Procedure) -> bool) -> usize {
        self.record
            .procedures()
            .filter(|(procedure, _)| test(procedure))
            .count()
    }

    fn is_ticked(&self, key: &str) -> bool {
        self.count(|p| matches!(p, Procedure::Checked { point } if point == key)) > 0
    }

    fn state(&self, evidence: Evidence) -> (CheckState, Option<String>) {
        let when = |is_done: bool| {
            if is_done {
                CheckState::Done
            } else {
                CheckState::Open
            }
        };
        match evidence {
            Evidence::Spoken => (CheckState::Open, None),
            // A weight in the record may be of any day: the word ticks it.
            Evidence::Weight => match self.record.patient.weight {
                Some(weight) if self.is_ticked("weight") => {
                    (CheckState::Done, Some(format!("{} kg", weight.kg())))
                }
                Some(weight) => (
                    CheckState::Open,
                    Some(format!("{} kg recorded, of today?", weight.kg())),
                ),
                None => (CheckState::Open, Some("no weight is recorded".into())),
            },
            Evidence::ThroatPackIn => {
                let packs = self.count(|p| *p == Procedure::ThroatPackIn);
                (when(packs > 0), (packs > 1).then(|| format!("{packs} in")))
            }
            Evidence::ThroatPackOut => self.throat_packs(),
            Evidence::Temperature => self.temperature(),
            Evidence::Gag => self.gag(),
            Evidence::GagOut => {
                let (put, taken) = self.gags();
                match put {
                    0 => (CheckState::NotNeeded, None),
                    _ => (
                        when(taken >= put),
                        (taken < put).then(|| "the gag is still in".into()),
                    ),
                }
            }
            Evidence::AllTeethCharted => self.teeth(),
            Evidence::AllConfirmed => {
                let count = self.record.unconfirmed().count();
                (
                    when(count == 0),
                    (count > 0).then(|| format!("{count} entries not confirmed")),
                )
            }
            Evidence::ByEar => self.by_ear(),
            Evidence::FilmsTaken => self.films_taken(),
            Evidence::FilmsRead => {
                let any = self.count(|p| matches!(p, Procedure::FilmTaken { .. })) > 0;
                match (any, self.films.are_read) {
                    (_, true) => (CheckState::Done, None),
                    (true, false) => (CheckState::Open, None),
                    (false, false) => (CheckState::Open, Some("no film is recorded".into())),
                }
            }
            Evidence::Anaesthetic => self.anaesthetic(),
            Evidence::RootsComplete => self.roots(),
            Evidence::OwnerTold => {
                let mishaps = surgery::mishaps(self.record);
                let untold: Vec<&str> = mishaps
                    .iter()
                    .filter(|mishap| mishap.told.is_none())
                    .map(|mishap| mishap.text.as_str())
                    .collect();
                match (mishaps.is_empty(), untold.is_empty()) {
                    (true, _) => (CheckState::NotNeeded, None),
                    (false, true) => (CheckState::Done, None),
                    (false, false) => (
                        CheckState::Attention,
                        Some(format!("not told of: {}", untold.join("; "))),
                    ),
                }
            }
            Evidence::Samples => {
                let samples = surgery::samples(self.record);
                let open: Vec<String> = samples
                    .iter()
                    .filter_map(|sample| match sample.sent {
                        None => Some(format!("pot {} not sent", sample.pot)),
                        Some((_, None)) => {
                            Some(format!("pot {}: no day for its result", sample.pot))
                        }
                        Some(_) => None,
                    })
                    .collect();
                match (samples.is_empty(), open.is_empty()) {
                    (true, _) => (CheckState::NotNeeded, None),
                    (false, true) => (CheckState::Done, None),
                    (false, false) => (CheckState::Open, Some(open.join("; "))),
                }
            }
            Evidence::SamplesDecided => {
                let open = lesions::untaken(self.record);
                let any = self
                    .record
                    .mouth_decisions()
                    .any(|(what, _)| what.choice == MouthChoice::Sample);
                match (any, open.is_empty()) {
                    (false, _) => (CheckState::NotNeeded, None),
                    (true, true) => (CheckState::Done, None),
                    (true, false) => (
                        CheckState::Open,
                        Some(format!("not taken: {}", open.join("; "))),
                    ),
                }
            }
            Evidence::ImplantBatch => self.implants(),
            Evidence::Swabs => self.swabs(),
        }
    }

    /// Each graft and membrane with its batch.
    fn implants(&self) -> (CheckState, Option<String>) {
        let placed: Vec<(ToothNumber, Implant)> = self
            .record
            .procedures()
            .filter_map(|(procedure, _)| match procedure {
                Procedure::Treated { tooth, treatment } => match treatment {
                    Treatment::BoneGraft => Some((*tooth, Implant::Graft)),
                    Treatment::Membrane => Some((*tooth, Implant::Membrane)),
                    _ => None,
                },
                _ => None,
            })
            .collect();
        let open: Vec<String> = placed
            .iter()
            .filter(|(at, of)| {
                self.count(|p| {
                    matches!(p, Procedure::ImplantBatch { tooth, what, .. } if tooth == at && what == of)
                }) == 0
            })
            .map(|(tooth, what)| format!("{} at {tooth}", what.word()))
            .collect();
        match (placed.is_empty(), open.is_empty()) {
            (true, _) => (CheckState::NotNeeded, None),
            (false, true) => (CheckState::Done, None),
            (false, false) => (
                CheckState::Open,
                Some(format!("no batch: {}", open.join("; "))),
            ),
        }
    }

    /// Said back by sound, and confirmed by a spoken word: a touch is another way, and told as such.
    fn by_ear(&self) -> (CheckState, Option<String>) {
        let (mut open, mut touched, mut any) = (0, 0, false);
        for charted in self.record.current() {
            any = true;
            match &charted.confirmed_by {
                _ if charted.standing < Standing::Confirmed => open += 1,
                Some(heard) if heard.how == How::Spoken && !heard.words.is_empty() => {}
                _ => touched += 1,
            }
        }
        let mut words = Vec::new();
        if open > 0 {
            words.push(format!("{open} not confirmed"));
        }
        if touched > 0 {
            words.push(format!("{touched} confirmed by touch, not by ear"));
        }
        match (any, words.is_empty()) {
            (false, _) => (CheckState::Open, Some("nothing is entered".into())),
            (true, true) => (CheckState::Done, None),
            (true, false) => (CheckState::Open, Some(words.join("; "))),
        }
    }

    fn throat_packs(&self) -> (CheckState, Option<String>) {
        let put = self.count(|p| *p == Procedure::ThroatPackIn);
        let taken = self.count(|p| *p == Procedure::ThroatPackOut);
        let detail = Some(format!("{put} in, {taken} out"));
        if put == 0 && taken == 0 {
            (CheckState::Open, Some("no throat pack is recorded".into()))
        } else if put == taken {
            (CheckState::Done, detail)
        } else if self.record.phase == crate::record::fold::Phase::Finished
            || taken > 0
            || self.count(|p| matches!(p, Procedure::AnaesthesiaEnded | Procedure::ProcedureEnded))
                > 0
        {
            (CheckState::Attention, detail)
        } else {
            (CheckState::Open, detail)
        }
    }

    fn temperature(&self) -> (CheckState, Option<String>) {
        let newest = monitoring::newest(self.record, VitalSign::Temperature)
            .and_then(|point| point.reading.hundredths())
            .and_then(|hundredths| u16::try_from(hundredths / 10).ok());
        match newest {
            Some(tenths) => {
                let degrees = format!("{}.{} degrees", tenths / 10, tenths % 10);
                match temperature::band(self.record.patient.species, tenths) {
                    Band::Usual => (CheckState::Done, Some(degrees)),
                    Band::Cold => (CheckState::Attention, Some(format!("{degrees}: cold"))),
                    Band::VeryCold => {
                        (CheckState::Attention, Some(format!("{degrees}: very cold")))
                    }
                    Band::Hot => (CheckState::Attention, Some(format!("{degrees}: hot"))),
                }
            }
            None => (CheckState::Open, None),
        }
    }

    fn gags(&self) -> (usize, usize) {
        (
            self.count(|p| *p == Procedure::GagIn),
            self.count(|p| *p == Procedure::GagOut),
        )
    }

    /// Longest time that a gag was in, in minutes, up to the newest entry.
    fn gag(&self) -> (CheckState, Option<String>) {
        let mut put = None;
        let mut longest = None;
        let newest = self.record.all().map(|charted| charted.at).max();
        let minutes =
            |from: jiff::Timestamp, to: jiff::Timestamp| to.duration_since(from).as_mins();
        for (procedure, charted) in self.record.procedures() {
            match procedure {
                Procedure::GagIn => put = put.or(Some(charted.at)),
                Procedure::GagOut => {
                    if let Some(from) = put.take() {
                        longest = longest.max(Some(minutes(from, charted.at)));
                    }
                }
                _ => {}
            }
        }
        if let (Some(from), Some(to)) = (put, newest) {
            longest = longest.max(Some(minutes(from, to)));
        }
        let limit = self.settings.limits.cat_gag_minutes_max;
        match longest {
            None => (CheckState::NotNeeded, Some("no gag is recorded".into())),
            Some(minutes) => {
                let over = minutes > i64::from(limit);
                let still = if put.is_some() { ", still in" } else { "" };
                let advice = if over { ": let the mouth close" } else { "" };
                // A gag in a cat is always told: blindness was seen after gags.
                let detail = format!("gag in for {minutes} minutes{still}, limit {limit}{advice}");
                (CheckState::Attention, Some(detail))
            }
        }
    }

    fn teeth(&self) -> (CheckState, Option<String>) {
        let Unexamined {
            uncharted,
            unprobed,
        } = self.gaps;
        let mut words = Vec::new();
        for (what, teeth) in [("not charted", uncharted), ("not probed round", unprobed)] {
            if !teeth.is_empty() {
                words.push(format!(
                    "{} {what}: {}",
                    teeth.len(),
                    super::words::teeth(teeth)
                ));
            }
        }
        if words.is_empty() {
            (CheckState::Done, None)
        } else {
            (CheckState::Open, Some(words.join("; ")))
        }
    }

    fn films_taken(&self) -> (CheckState, Option<String>) {
        let missing: Vec<ToothNumber> = self
            .films
            .teeth
            .iter()
            .filter(|film| !film.is_taken)
            .map(|film| film.tooth)
            .collect();
        if self.films.full_mouth_taken {
            (CheckState::Done, Some("whole mouth".into()))
        } else if self.count(|p| matches!(p, Procedure::FilmTaken { .. })) == 0 {
            (
                CheckState::Open,
                Some("none taken: take them, or note that the owner was told".into()),
            )
        } else if missing.is_empty() {
            (
                CheckState::Done,
                Some("of single teeth, not of the whole mouth".into()),
            )
        } else {
            (
                CheckState::Open,
                Some(format!("wanting: {}", super::words::teeth(&missing))),
            )
        }
    }

    fn anaesthetic(&self) -> (CheckState, Option<String>) {
        let any = self.count(|p| matches!(p, Procedure::NerveBlock { .. })) > 0;
        match super::anaesthetic::running_total(self.record, &self.settings.anaesthetic.strengths())
        {
            _ if !any => (CheckState::NotNeeded, Some("none given".into())),
            Err(why) => (CheckState::Attention, Some(why.to_string())),
            Ok(total) => {
                let share = super::words::hundredths(total.share_thousandths.div_ceil(10));
                let state = if total.against == Against::Over {
                    CheckState::Attention
                } else {
                    CheckState::Done
                };
                (state, Some(format!("{share} of the ceiling given")))
            }
        }
    }

    fn roots(&self) -> (CheckState, Option<String>) {
        let mut open = Vec::new();
        let mut any = false;
        for film in &self.films.after_extraction {
            any = true;
            let settled = self.is_settled(film.tooth);
            let is_crown_removal = self
                .count(|p| matches!(p, Procedure::CrownRemoved { tooth } if *tooth == film.tooth))
                > 0;
            if !film.is_taken {
                open.push(format!("{} no film after it", film.tooth));
            } else if !settled && !is_crown_removal {
                open.push(format!(
                    "{} not said whether roots are complete",
                    film.tooth
                ));
            }
        }
        match (any, open.is_empty()) {
            (false, _) => (CheckState::NotNeeded, None),
            (true, true) => (CheckState::Done, None),
            (true, false) => (CheckState::Open, Some(open.join("; "))),
        }
    }

    /// Said of the film after the extraction: that statement is newer than the film, the film than the extraction.
    /// A root that is left is told whatever the film.
    fn is_settled(&self, tooth: ToothNumber) -> bool {
        let newest = |test: &dyn Fn(&Procedure) -> bool| {
            self.record
                .procedures()
                .filter(|(p, _)| test(p))
                .map(|(_, charted)| charted.number)
                .last()
        };
        let film = newest(
            &|p| matches!(p, Procedure::FilmTaken { teeth, .. } if teeth.is_empty() || teeth.contains(&tooth)),
        );
        let extracted =
            newest(&|p| matches!(p, Procedure::Extracted { tooth: of, .. } if *of == tooth));
        let complete =
            newest(&|p| matches!(p, Procedure::RootsComplete { tooth: of } if *of == tooth));
        let left = newest(&|p| matches!(p, Procedure::RootLeft { tooth: of, .. } if *of == tooth));
        left.is_some() || (complete > film && film > extracted)
    }

    fn swabs(&self) -> (CheckState, Option<String>) {
        let counts: Vec<u8> = self
            .record
            .procedures()
            .filter_map(|(p, _)| match p {
                Procedure::SwabsCounted { count } => Some(*count),
                _ => None,
            })
            .collect();
        match counts.as_slice() {
            [] => (CheckState::Open, Some("no count is recorded".into())),
            [one] => (
                CheckState::Open,
                Some(format!("{one} at the start, count again at the end")),
            ),
            [first, .., last] if first == last => {
                (CheckState::Done, Some(format!("{first} and {last}")))
            }
            [first, .., last] => (
                CheckState::Attention,
                Some(format!("{first} at the start, {last} at the end")),
            ),
        }
    }
}

/// Teeth that are looked for at this age. Once all permanent teeth are due: all of them. Before that: in each place the
/// deciduous tooth or its successor, whichever is charted, and every permanent tooth that some animal of this age has:
/// it is charted as there, unerupted or missing. So nobody takes 28 milk teeth at six months for a whole mouth.
pub fn expected(record: &Record, mouth: &Mouth) -> Vec<ToothNumber> {
    use crate::terms::dentition::{Stage, teeth};
    use crate::terms::eruption::{self, Gap};
    let species: Species = mouth.species;
    let complete = rules().figure("permanent_complete_months").value;
    let is_young = mouth.age_months_max.is_some_and(|age| age < complete);
    if !is_young {
        return teeth(species, Stage::Permanent);
    }
    let is_charted = |tooth: ToothNumber| {
        record
            .findings_of(tooth)
            .any(|(f, _)| !matches!(f.kind, Kind::Absent | Kind::Unerupted))
    };
    let is_due = |tooth: &ToothNumber| {
        record
            .age_days()
            .is_some_and(|days| eruption::gap(species, *tooth, days) != Gap::NotYet)
    };
    let mut expected: Vec<ToothNumber> = teeth(species, Stage::Permanent)
        .into_iter()
        .filter(is_due)
        .collect();
    expected.extend(
        teeth(species, Stage::Deciduous)
            .into_iter()
            .filter(|deciduous| {
                is_charted(*deciduous) || !deciduous.successor().is_some_and(is_charted)
            }),
    );
    expected.sort_unstable();
    expected
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::{Clock as _, SetClock};
    use crate::record::event::{Draft, Entry, Event, Heard};
    use crate::terms::{Patient, Weight};
    use std::collections::BTreeSet;

    fn record(procedures: &[Procedure]) -> Record {
        let mut patient = Patient::example(Species::Cat);
        patient.weight = Weight::from_grams(4_000).ok();
        let mut clock = SetClock::at_second(1_772_442_000);
        let mut events = vec![Event::VisitOpened {
            patient,
            vet: None,
            nurse: None,
        }];
        events.extend(
            procedures
                .iter()
                .cloned()
                .map(|procedure| Event::ProcedureRecorded {
                    procedure,
                    challenge: None,
                }),
        );
        let entries: Vec<Entry> = events
            .into_iter()
            .enumerate()
            .map(|(at, event)| {
                Entry::unsaved(
                    uuid::Uuid::from_u128(1),
                    at as u64 + 1,
                    clock.now(),
                    Draft::new(event, Some(&Heard::default())),
                )
            })
            .collect();
        Record::fold(&entries).expect("a record")
    }

    fn done(record: &Record) -> BTreeSet<String> {
        crate::plan::check_list(record, &Settings::default())
            .into_iter()
            .filter(|line| line.state == CheckState::Done)
            .map(|line| line.key)
            .collect()
    }

    /// A statement ticks its own point and no other.
    #[test]
    fn each_statement_ticks_its_own_point_alone() {
        let nothing = done(&record(&[]));
        let own = |procedure: Procedure| {
            let found = done(&record(&[procedure]));
            found
                .difference(&nothing)
                .cloned()
                .collect::<Vec<_>>()
                .join(" ")
        };
        let checked = |point: &str| Procedure::Checked {
            point: point.to_owned(),
        };
        for point in [
            "consent",
            "fasting",
            "weight",
            "tube",
            "packs_counted",
            "warmth",
        ] {
            assert_eq!(own(checked(point)), point);
        }
        // Points that need what they speak of, not a word about it.
        for point in [
            "temperature",
            "throat_pack_out",
            "swabs",
            "roots_complete",
            "by_ear",
        ] {
            assert_eq!(own(checked(point)), "");
        }
        let temperature = |celsius_tenths| Procedure::Temperature { celsius_tenths };
        assert_eq!(own(temperature(370)), "temperature");
        assert_eq!(own(temperature(340)), "");
        assert_eq!(own(Procedure::ThroatPackIn), "throat_pack_in");
        assert_eq!(own(Procedure::AnaesthesiaStarted), "");
        assert_eq!(own(Procedure::Scaled), "");
    }
}
