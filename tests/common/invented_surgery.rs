//! An invented old dog whose examination has films, a fistula that is closed, a lump with a sample, a complication, and
//! work that is put off. No animal, person or clinic in it exists.

use sulcus::record::{Event, Journal};
use sulcus::terms::mouth::{FlapKind, MouthChoice};
use sulcus::terms::procedure::{Method, Treatment};
use sulcus::terms::surgery::{
    Agreed, Complication, HomeCare, HomeUnit, Remedy, SampleKind, Suture, SutureSize, Way,
};
use sulcus::terms::watch::Role;
use sulcus::terms::{
    Area, Decision, Finding, Kind, MouthDecision, MouthSide, Patient, Place, Procedure, Reason,
    Root, Sex, Species, Stage, Subject, Value, Weight, dentition,
};
use uuid::Uuid;

use crate::invented::{Sitting, open, tooth};

pub const OLD_DOG: u128 = 0xd0b1_0000_0000_4000_8000_0000_0000_00d2;

fn patient() -> Patient {
    Patient {
        id: Some("DEMO-D2".into()),
        name: "Mustard".into(),
        species: Species::Dog,
        breed: Some("mixed breed, small".into()),
        sex: Some(Sex::MaleNeutered),
        born: Some("2014-06".into()),
        weight: Some(Weight::from_grams(4_600).expect("a weight")),
        owner: Some("Demo Owner Three".into()),
        invented: true,
        ..Patient::example(Species::Dog)
    }
}

fn code(word: &str) -> Value {
    Value::Code(word.into())
}

/// Teeth of which something is told.
const TOLD: [u16; 6] = [104, 208, 309, 405, 409, 411];

fn filmed(s: &mut Sitting<'_>, number: u16, film: u16) {
    s.did(Procedure::FilmTaken {
        teeth: vec![tooth(number)],
        number: Some(film),
    });
}

fn lump(s: &mut Sitting<'_>) {
    let cheek = (Area::Cheek, Some(MouthSide::Left));
    let place = Place::Area(cheek.0, cheek.1);
    let told = [
        (Kind::Mass, Value::Mm(9)),
        (Kind::LesionWidth, Value::Mm(6)),
        (Kind::LesionShape, code("round")),
        (Kind::LesionSurface, code("smooth")),
        (Kind::LesionColour, code("dark")),
        (Kind::LesionFeel, code("firm")),
    ];
    let mut entries = Vec::new();
    for (kind, value) in told {
        let finding = Finding::new(Subject::Mouth, kind, place, value).expect("suited");
        let words = sulcus::record::wording::finding(&finding);
        let event = Event::FindingRecorded {
            finding,
            challenge: None,
        };
        entries.push(s.add(event, &words, 0.93));
    }
    let decided = Event::MouthDecided {
        what: MouthDecision {
            part: Some(cheek),
            choice: MouthChoice::Sample,
            reason: None,
        },
        challenge: None,
    };
    entries.push(s.add(decided, "plan a biopsy on left cheek", 0.95));
    s.confirm(&entries, "confirm");
    s.did(Procedure::SampleTaken {
        pot: 1,
        tooth: None,
        area: Some(cheek),
        kind: Some(SampleKind::Incisional),
    });
    s.did(Procedure::SamplesSent {
        pots: vec![1],
        due_days: Some(10),
    });
}

fn found(s: &mut Sitting<'_>) {
    for number in dentition::teeth(Species::Dog, Stage::Permanent) {
        if !TOLD.contains(&number.number()) {
            s.depths(number.number(), [2, 2, 3, 2, 2, 2]);
        }
    }
    s.sure(405, Kind::Absent, Place::Whole, Value::Present);
    s.sure(411, Kind::Absent, Place::Whole, Value::Present);
    s.depths(104, [4, 5, 6, 6, 9, 7]);
    s.sure(104, Kind::Mobility, Place::Whole, Value::Grade(3));
    s.sure(104, Kind::OronasalFistula, Place::Whole, Value::Present);
    s.depths(208, [2, 2, 3, 2, 2, 2]);
    s.sure(208, Kind::Fracture, Place::Whole, code("UCF"));
    s.sure(208, Kind::NearExposure, Place::Whole, Value::Present);
    s.sure(208, Kind::Transillumination, Place::Whole, code("bright"));
    s.depths(309, [3, 4, 5, 3, 3, 4]);
    s.depths(409, [7, 5, 7, 5, 4, 6]);
    s.sure(409, Kind::Mobility, Place::Whole, Value::Grade(2));
    filmed(s, 104, 1);
    s.sure(
        104,
        Kind::BoneLossVertical,
        Place::Whole,
        Value::Percent(70),
    );
    filmed(s, 208, 2);
    s.sure(208, Kind::FilmClear, Place::Whole, Value::Present);
    filmed(s, 309, 3);
    s.sure(
        309,
        Kind::BoneLossHorizontal,
        Place::Root(Root::Distal),
        Value::Percent(30),
    );
    filmed(s, 409, 4);
    s.sure(
        409,
        Kind::PeriapicalLesion,
        Place::Root(Root::Mesial),
        Value::Present,
    );
    s.sure(
        409,
        Kind::BoneLossVertical,
        Place::Root(Root::Distal),
        Value::Percent(60),
    );
    s.did(Procedure::FilmsRead);
}

fn taken_out(s: &mut Sitting<'_>, number: u16, kind: FlapKind, film: u16) {
    let of = tooth(number);
    s.did(Procedure::Flap {
        tooth: of,
        kind: Some(kind),
    });
    s.did(Procedure::Extracted {
        tooth: of,
        method: Method::Surgical,
    });
    filmed(s, number, film);
    s.did(Procedure::RootsComplete { tooth: of });
}

fn sewn(s: &mut Sitting<'_>, number: u16) {
    s.did(Procedure::Sutured {
        tooth: tooth(number),
        material: Some(Suture::Poliglecaprone),
        size: SutureSize::new(4),
    });
}

pub fn old_dog(journal: &mut Journal) -> Uuid {
    // 2026-11-12 08:00 UTC.
    let mut s = open(journal, OLD_DOG, 1_794_470_400, patient());
    s.did(Procedure::TrayUsed {
        number: 12,
        sterilised: Some(jiff::civil::date(2026, 11, 10)),
    });
    s.did(Procedure::AnaesthesiaStarted);
    found(&mut s);
    s.decide(104, Decision::Extract, Some(Reason::Mobility));
    s.decide(208, Decision::Treat(Treatment::Sealant), None);
    s.decide(309, Decision::Extract, Some(Reason::Pocket));
    s.decide(409, Decision::Extract, Some(Reason::Pocket));
    lump(&mut s);
    s.did(Procedure::OwnerAsked {
        about: Agreed::Extraction,
        tooth: Some(tooth(409)),
        is_agreed: true,
        way: Some(Way::Telephone),
        by: Some(Role::Vet),
    });
    s.did(Procedure::Scaled);
    s.did(Procedure::Polished);
    taken_out(&mut s, 104, FlapKind::Pedicle, 5);
    s.did(Procedure::Treated {
        tooth: tooth(104),
        treatment: Treatment::FistulaRepair,
    });
    sewn(&mut s, 104);
    taken_out(&mut s, 409, FlapKind::Triangle, 6);
    s.did(Procedure::Complication {
        what: Complication::Bleeding,
        tooth: Some(tooth(409)),
        size_mm: None,
    });
    let of = sulcus::record::surgery::mishaps(&record(&s))
        .last()
        .expect("the bleeding")
        .charted
        .number;
    s.did(Procedure::ComplicationTreated {
        of,
        how: Remedy::Pressure,
    });
    sewn(&mut s, 409);
    s.did(Procedure::Treated {
        tooth: tooth(208),
        treatment: Treatment::Sealant,
    });
    s.did(Procedure::Staged {
        tooth: tooth(309),
        is_later: true,
    });
    s.did(Procedure::OwnerTold {
        of: vec![of],
        way: Some(Way::Telephone),
        by: Some(Role::Vet),
    });
    s.did(Procedure::OwnerAsked {
        about: Agreed::LaterVisit,
        tooth: Some(tooth(309)),
        is_agreed: true,
        way: Some(Way::Telephone),
        by: Some(Role::Vet),
    });
    s.did(Procedure::SecondVisit { days: 21 });
    s.did(Procedure::AnaesthesiaEnded);
    s.did(Procedure::HomeMedicine {
        drug: "meloxicam".into(),
        amount_thousandths: 300,
        unit: HomeUnit::Ml,
        times_a_day: 1,
        days: 5,
    });
    s.did(Procedure::HomeCare {
        what: HomeCare::SoftFood,
        days: 14,
    });
    s.did(Procedure::HomeCare {
        what: HomeCare::Rest,
        days: 3,
    });
    s.add(Event::VisitFinished, "finish examination", 0.97);
    let up_to = record(&s).last;
    s.add(
        Event::VisitSigned {
            name: "Vet A (invented)".into(),
            up_to,
        },
        "",
        0.0,
    );
    s.visit
}

fn record(s: &Sitting<'_>) -> sulcus::record::Record {
    let entries = s.journal.entries(s.visit).expect("reads");
    sulcus::record::Record::fold(&entries).expect("a record")
}
