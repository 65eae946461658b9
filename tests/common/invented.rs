//! Invented visits for tests and examples: one dog, one cat, and the cat half a year later.
//! No animal, person or clinic in them exists.

// Each test file uses its own part.
#![allow(dead_code)]

use std::path::Path;

use sulcus::clock::{Clock, SetClock};
use sulcus::record::event::{Heard, How, Proposed, Retraction, Speaker, Telling};
use sulcus::record::{Draft, Event, Journal};
use sulcus::terms::procedure::{Block, Method, Treatment};
use sulcus::terms::{
    Decision, Drug, Entrance, Finding, Kind, MouthSide, Patient, Place, Procedure, Reason, Sex,
    Site, Species, Subject, ToothNumber, Value, Weight,
};
use uuid::Uuid;

pub fn tooth(number: u16) -> ToothNumber {
    ToothNumber::new(number).expect("a tooth")
}

pub fn finding(number: u16, kind: Kind, place: Place, value: Value) -> Finding {
    Finding::new(Subject::Tooth(tooth(number)), kind, place, value).expect("suited")
}

pub fn heard(words: &str, confidence: f32, speaker: Speaker) -> Heard {
    Heard {
        words: words.into(),
        confidence,
        engine: "invented".into(),
        model: "none".into(),
        speaker,
        how: How::Spoken,
        sounds_like: Speaker::Unknown,
    }
}

/// Writes a visit entry by entry, as a sitting at the table would.
pub struct Sitting<'a> {
    pub journal: &'a mut Journal,
    pub visit: Uuid,
    pub clock: SetClock,
}

impl Sitting<'_> {
    pub fn add(&mut self, event: Event, words: &str, confidence: f32) -> u64 {
        self.clock.advance_ms(1_400);
        let heard = heard(words, confidence, Speaker::Vet);
        let heard = (!words.is_empty()).then_some(&heard);
        let mut draft = Draft::new(event, heard);
        let entries = self.journal.entries(self.visit).expect("reads");
        if let Some(record) = sulcus::record::Record::fold(&entries) {
            draft.supersedes = record.replaced_by(&draft.event);
        }
        let saved = self
            .journal
            .append(self.visit, &[draft], self.clock.now())
            .expect("saves");
        saved[0].number
    }

    pub fn read_back(&mut self, entries: &[u64]) {
        self.add(
            Event::ReadBack {
                entries: entries.to_vec(),
                by: Telling::Spoken,
            },
            "",
            0.0,
        );
    }

    pub fn confirm(&mut self, entries: &[u64], words: &str) {
        self.read_back(entries);
        self.add(
            Event::Confirmed {
                entries: entries.to_vec(),
            },
            words,
            0.97,
        );
    }

    /// Six depths in reading order, confirmed by going on.
    pub fn depths(&mut self, number: u16, mm: [u8; 6]) {
        let words = mm.map(|mm| mm.to_string()).join(" ");
        self.add(
            Event::ToothChosen {
                tooth: tooth(number),
            },
            &number.to_string(),
            0.99,
        );
        let entries: Vec<u64> = Site::ALL
            .into_iter()
            .zip(mm)
            .map(|(site, mm)| {
                let of = finding(number, Kind::Depth, Place::Site(site), Value::Mm(mm));
                self.add(
                    Event::FindingRecorded {
                        finding: of,
                        challenge: None,
                    },
                    &words,
                    0.94,
                )
            })
            .collect();
        self.confirm(&entries, "next");
    }

    pub fn found(&mut self, number: u16, kind: Kind, place: Place, value: Value) -> u64 {
        let of = finding(number, kind, place, value);
        let words = sulcus::record::wording::finding(&of);
        self.add(
            Event::FindingRecorded {
                finding: of,
                challenge: None,
            },
            &words,
            0.91,
        )
    }

    pub fn sure(&mut self, number: u16, kind: Kind, place: Place, value: Value) {
        let entry = self.found(number, kind, place, value);
        self.confirm(&[entry], "yes");
    }

    pub fn decide(&mut self, number: u16, decision: Decision, reason: Option<Reason>) {
        let words = sulcus::record::wording::decision(&decision);
        let entry = self.add(
            Event::DecisionRecorded {
                tooth: tooth(number),
                decision,
                reason,
                challenge: None,
            },
            &words,
            0.95,
        );
        self.confirm(&[entry], "yes");
    }

    pub fn did(&mut self, procedure: Procedure) {
        let words = sulcus::record::wording::procedure(&procedure);
        let entry = self.add(
            Event::ProcedureRecorded {
                procedure,
                challenge: None,
            },
            &words,
            0.96,
        );
        self.confirm(&[entry], "yes");
    }
}

pub fn open<'a>(
    journal: &'a mut Journal,
    visit: u128,
    second: i64,
    patient: Patient,
) -> Sitting<'a> {
    let mut sitting = Sitting {
        journal,
        visit: Uuid::from_u128(visit),
        clock: SetClock::at_second(second),
    };
    sitting.add(
        Event::VisitOpened {
            patient,
            vet: Some("Vet A (invented)".into()),
            nurse: Some("Nurse B (invented)".into()),
        },
        "",
        0.0,
    );
    sitting
}

pub fn dog_patient() -> Patient {
    Patient {
        id: Some("DEMO-D1".into()),
        name: "Biscuit".into(),
        species: Species::Dog,
        breed: Some("mixed breed".into()),
        sex: Some(Sex::FemaleNeutered),
        born: Some("2017-04".into()),
        weight: Some(Weight::from_grams(18_400).expect("a weight")),
        microchip: None,
        felv: None,
        fiv: None,
        owner: Some("Demo Owner One".into()),
        invented: true,
    }
}

pub fn cat_patient() -> Patient {
    Patient {
        id: Some("DEMO-C1".into()),
        name: "Pixel".into(),
        species: Species::Cat,
        breed: Some("domestic shorthair".into()),
        sex: Some(Sex::MaleNeutered),
        born: Some("2015".into()),
        weight: Some(Weight::from_grams(4_750).expect("a weight")),
        microchip: None,
        felv: None,
        fiv: None,
        owner: Some("Demo Owner Two".into()),
        invented: true,
    }
}

pub const DOG: u128 = 0xd06a_0000_0000_4000_8000_0000_0000_00d1;
pub const CAT: u128 = 0xca71_0000_0000_4000_8000_0000_0000_00c1;
pub const CAT_LATER: u128 = 0xca72_0000_0000_4000_8000_0000_0000_00c2;

pub fn dog(journal: &mut Journal) -> Uuid {
    // 2026-11-03 08:30 UTC.
    let mut s = open(journal, DOG, 1_793_694_600, dog_patient());
    s.did(Procedure::AnaesthesiaStarted);
    for number in [110, 109] {
        s.depths(number, [2, 2, 3, 2, 2, 2]);
    }
    s.depths(108, [3, 3, 4, 3, 2, 3]);
    s.sure(108, Kind::Fracture, Place::Whole, Value::Code("CCF".into()));
    s.sure(108, Kind::PulpExposed, Place::Whole, Value::Present);
    for number in [107, 106, 105] {
        s.depths(number, [2, 2, 2, 2, 2, 2]);
    }
    s.depths(104, [3, 4, 5, 3, 7, 4]);
    s.sure(
        104,
        Kind::Recession,
        Place::Site(Site::Buccal),
        Value::Mm(2),
    );
    s.sure(
        104,
        Kind::Bleeding,
        Place::Site(Site::Lingual),
        Value::Present,
    );
    for number in [103, 102, 101, 201, 202, 203] {
        s.depths(number, [1, 1, 2, 1, 1, 2]);
    }
    s.sure(101, Kind::Mobility, Place::Whole, Value::Grade(1));
    s.depths(204, [3, 3, 3, 3, 3, 3]);
    s.sure(205, Kind::Absent, Place::Whole, Value::Present);
    s.depths(206, [2, 2, 2, 2, 2, 2]);
    s.depths(207, [2, 2, 3, 2, 2, 2]);
    s.depths(208, [2, 3, 7, 2, 3, 6]);
    s.sure(
        208,
        Kind::Furcation,
        Place::Entrance(Entrance::Buccal),
        Value::Grade(2),
    );
    s.sure(
        208,
        Kind::Bleeding,
        Place::Site(Site::DistoBuccal),
        Value::Present,
    );
    s.sure(208, Kind::Calculus, Place::Whole, Value::Grade(3));
    // A misheard nine, denied and said again.
    let wrong = s.found(
        209,
        Kind::Depth,
        Place::Site(Site::MesioBuccal),
        Value::Mm(9),
    );
    s.read_back(&[wrong]);
    s.add(
        Event::Retracted {
            entries: vec![wrong],
            why: Retraction::Corrected,
        },
        "no five",
        0.93,
    );
    s.depths(209, [5, 3, 3, 4, 3, 3]);
    s.depths(210, [2, 2, 2, 2, 2, 2]);
    for number in [311, 310] {
        s.depths(number, [2, 2, 2, 2, 2, 2]);
    }
    s.depths(309, [4, 5, 8, 4, 5, 9]);
    s.sure(
        309,
        Kind::Furcation,
        Place::Entrance(Entrance::Buccal),
        Value::Grade(3),
    );
    s.sure(
        309,
        Kind::Furcation,
        Place::Entrance(Entrance::Lingual),
        Value::Grade(3),
    );
    s.sure(309, Kind::Mobility, Place::Whole, Value::Grade(2));
    s.sure(
        309,
        Kind::Recession,
        Place::Site(Site::DistoBuccal),
        Value::Mm(3),
    );
    for number in [308, 307, 306, 305] {
        s.depths(number, [2, 2, 2, 2, 2, 2]);
    }
    s.depths(304, [3, 3, 3, 3, 3, 3]);
    for number in [303, 302, 301, 401, 402, 403] {
        s.depths(number, [1, 1, 1, 1, 1, 1]);
    }
    s.sure(
        302,
        Kind::Wear,
        Place::Whole,
        Value::Code("attrition".into()),
    );
    s.depths(404, [3, 3, 3, 3, 3, 3]);
    for number in [405, 406, 407, 408] {
        s.depths(number, [2, 2, 2, 2, 2, 2]);
    }
    s.depths(409, [3, 3, 4, 3, 3, 4]);
    s.sure(409, Kind::Calculus, Place::Whole, Value::Grade(2));
    s.depths(410, [2, 2, 2, 2, 2, 2]);
    // Read back, never confirmed: shown as such to the end.
    let open_end = s.found(411, Kind::Mobility, Place::Whole, Value::Grade(1));
    s.read_back(&[open_end]);
    let mass = Finding::new(
        Subject::Mouth,
        Kind::Mass,
        Place::Area(sulcus::terms::Area::Cheek, Some(MouthSide::Left)),
        Value::Mm(6),
    )
    .expect("suited");
    let mass = s.add(
        Event::FindingRecorded {
            finding: mass,
            challenge: None,
        },
        "mass left cheek six millimetres",
        0.88,
    );
    s.confirm(&[mass], "yes");
    s.did(Procedure::FilmTaken {
        teeth: vec![tooth(108), tooth(208), tooth(309), tooth(104)],
        number: None,
    });
    s.did(Procedure::FilmsRead);
    s.decide(108, Decision::Extract, Some(Reason::Fracture));
    s.decide(309, Decision::Extract, Some(Reason::Furcation));
    s.decide(
        208,
        Decision::Treat(Treatment::RootPlaningOpen),
        Some(Reason::Pocket),
    );
    s.decide(
        104,
        Decision::Monitor { months: Some(3) },
        Some(Reason::Pocket),
    );
    let asked = s.add(
        Event::Challenged {
            rule: "leave_despite_mobility".into(),
            question: "101 has mobility 1: leave it?".into(),
            conflicts: Vec::new(),
            proposed: Proposed::Decision {
                tooth: tooth(101),
                decision: Decision::Leave,
                reason: None,
            },
        },
        "leave",
        0.9,
    );
    s.add(
        Event::ChallengeAnswered {
            challenge: asked,
            accepted: true,
        },
        "yes",
        0.98,
    );
    let left = s.add(
        Event::DecisionRecorded {
            tooth: tooth(101),
            decision: Decision::Leave,
            reason: None,
            challenge: Some(asked),
        },
        "",
        0.0,
    );
    s.confirm(&[left], "yes");
    s.did(Procedure::NerveBlock {
        block: Block::InferiorAlveolar,
        side: MouthSide::Left,
        drug: Drug::Bupivacaine,
        volume_ml_hundredths: 90,
        strength_percent_hundredths: Some(50),
        as_given: None,
    });
    s.did(Procedure::Scaled);
    s.did(Procedure::Extracted {
        tooth: tooth(108),
        method: Method::Surgical,
    });
    s.did(Procedure::Sutured {
        tooth: tooth(108),
        material: None,
        size: None,
    });
    s.did(Procedure::Extracted {
        tooth: tooth(309),
        method: Method::Sectioned,
    });
    s.did(Procedure::RootsComplete { tooth: tooth(309) });
    s.did(Procedure::Treated {
        tooth: tooth(208),
        treatment: Treatment::RootPlaningOpen,
    });
    s.did(Procedure::Polished);
    s.did(Procedure::FilmWanted {
        teeth: vec![tooth(104)],
    });
    let note = s.add(
        Event::NoteRecorded {
            tooth: Some(tooth(208)),
            text: "owner is to brush here daily".into(),
            sound: None,
        },
        "",
        0.0,
    );
    s.read_back(&[note]);
    s.did(Procedure::AnaesthesiaEnded);
    s.add(Event::VisitFinished, "finish", 0.97);
    s.add(
        Event::AddendumWritten {
            text: "Recovery without trouble.".into(),
        },
        "",
        0.0,
    );
    s.visit
}

fn cat_round(s: &mut Sitting<'_>, deeper: u8) {
    for number in [109, 108, 107, 106] {
        s.depths(number, [1, 1, 1, 1, 1, 1]);
    }
    s.depths(104, [1, 1, 2, 1, 1, 1]);
    for number in [103, 102, 101, 201, 202, 203] {
        s.depths(number, [0, 1, 0, 1, 0, 1]);
    }
    s.depths(204, [1, 2 + deeper, 1, 1, 1 + deeper, 1]);
    for number in [206, 207, 208, 209] {
        s.depths(number, [1, 1, 1, 1, 1, 1]);
    }
    s.depths(309, [1, 2, 1, 1, 1, 1]);
    s.depths(308, [1, 1, 1, 1, 1, 1]);
}

pub fn cat(journal: &mut Journal) -> Uuid {
    // 2026-05-05 09:00 UTC.
    let mut s = open(journal, CAT, 1_777_971_600, cat_patient());
    cat_round(&mut s, 0);
    s.depths(307, [1, 1, 1, 1, 1, 1]);
    s.sure(
        307,
        Kind::ResorptionStage,
        Place::Whole,
        Value::Code("2".into()),
    );
    s.depths(304, [1, 1, 1, 1, 1, 1]);
    s.sure(204, Kind::Gingivitis, Place::Whole, Value::Grade(1));
    let caudal = Finding::new(
        Subject::Mouth,
        Kind::Stomatitis,
        Place::Whole,
        Value::Code("caudal".into()),
    )
    .expect("suited");
    s.add(
        Event::FindingRecorded {
            finding: caudal,
            challenge: None,
        },
        "caudal stomatitis",
        0.72,
    );
    s.decide(
        307,
        Decision::Monitor { months: Some(6) },
        Some(Reason::Resorption),
    );
    s.decide(204, Decision::Monitor { months: Some(6) }, None);
    s.did(Procedure::Scaled);
    s.did(Procedure::Polished);
    s.add(Event::VisitFinished, "finish", 0.97);
    s.visit
}

pub fn cat_later(journal: &mut Journal) -> Uuid {
    // 2026-11-10 10:00 UTC.
    let mut s = open(journal, CAT_LATER, 1_794_304_800, cat_patient());
    cat_round(&mut s, 2);
    s.depths(307, [1, 2, 1, 1, 1, 1]);
    s.sure(
        307,
        Kind::ResorptionStage,
        Place::Whole,
        Value::Code("4c".into()),
    );
    s.sure(307, Kind::ResorptionType, Place::Whole, Value::Grade(2));
    s.sure(204, Kind::Gingivitis, Place::Whole, Value::Grade(2));
    s.sure(204, Kind::Bleeding, Place::Whole, Value::Present);
    s.decide(307, Decision::Extract, Some(Reason::Resorption));
    s.visit
}

/// All three visits in a fresh journal.
pub fn journal(folder: &Path) -> Journal {
    let mut journal = Journal::open(folder).expect("opens");
    dog(&mut journal);
    cat(&mut journal);
    cat_later(&mut journal);
    journal
}
