//! Code systems of the FHIR projection: own ones where none is published for dogs and cats, and few foreign codes.
//!
//! Invariant: own codes never stand under another's address; a foreign code stands only where its source was read.
//! Sources: HL7 patient-animal extension (species and genderStatus); SNOMED CT dog 448771007, cat 448169003 and
//! tooth extraction 55162003 as published in public implementation guides, not checked in a SNOMED browser;
//! LOINC 64042-5 (depth, human protocol) and answer codes LA9269-7 to LA9274-7 (sites) as published in LOINC 2.82.

use serde_json::{Value as Json, json};

use crate::export::project::key;
use crate::record::wording;
use crate::terms::procedure::{Drug, Treatment};
use crate::terms::{
    Entrance, Jaw, Kind, Root, Site, Species, Stage, ToothNumber, dentition,
    finding::{Form, Reach},
};

/// Base of all own addresses. Under the reserved top-level domain "example" (RFC 2606), which nobody can own:
/// a code system's address must be stable, it need not resolve.
pub const BASE: &str = "https://sulcus.example/fhir";

pub const SNOMED: &str = "http://snomed.info/sct";
pub const LOINC: &str = "http://loinc.org";
pub const UCUM: &str = "http://unitsofmeasure.org";
pub const ANIMAL: &str = "http://hl7.org/fhir/StructureDefinition/patient-animal";
pub const DATA_ABSENT: &str = "http://terminology.hl7.org/CodeSystem/data-absent-reason";

pub fn system(name: &str) -> String {
    format!("{BASE}/CodeSystem/{name}")
}

pub fn coding(system: &str, code: &str, display: &str) -> Json {
    json!({ "system": system, "code": code, "display": display })
}

/// A concept of an own system.
pub fn own(name: &str, code: &str, display: &str) -> Json {
    json!({ "coding": [coding(&system(name), code, display)], "text": display })
}

/// FHIR codes of ours are written with hyphens.
pub fn hyphens(key: &str) -> String {
    key.replace('_', "-")
}

pub fn tooth(tooth: ToothNumber) -> Json {
    let name = dentition::name(tooth);
    json!({
        "coding": [coding(&system("triadan"), &tooth.to_string(), &name)],
        "text": format!("tooth {tooth}, {name}"),
    })
}

pub fn species(species: Species) -> Json {
    let (code, display) = match species {
        Species::Dog => ("448771007", "Domestic dog"),
        Species::Cat => ("448169003", "Domestic cat"),
    };
    json!({ "coding": [coding(SNOMED, code, display)], "text": species.word() })
}

pub fn kind(kind: Kind) -> Json {
    own("finding", &hyphens(&kind.key()), kind.spec().title)
}

/// The code of one component: kind and site in one, for components have no body site.
pub fn kind_at_site(kind: Kind, site: Site, tooth: ToothNumber) -> Json {
    let title = format!("{}, {}", kind.spec().title, wording::site(site, tooth));
    let code = hyphens(&format!("{}-{}", kind.key(), key(&site)));
    let mut codings = vec![coding(&system("finding"), &code, &title)];
    if kind == Kind::Depth {
        codings.push(coding(
            LOINC,
            "64042-5",
            "Distance from gingival margin to base of sulcus",
        ));
    }
    json!({ "coding": codings, "text": title })
}

pub fn kind_at_entrance(kind: Kind, entrance: Entrance, tooth: ToothNumber) -> Json {
    let title = format!(
        "{}, {} entrance",
        kind.spec().title,
        wording::entrance(entrance, tooth.jaw())
    );
    let code = hyphens(&format!("{}-{}", kind.key(), key(&entrance)));
    json!({ "coding": [coding(&system("finding"), &code, &title)], "text": title })
}

pub fn kind_at_root(kind: Kind, root: Root) -> Json {
    let (code, title) = at_root(kind, root);
    json!({ "coding": [coding(&system("finding"), &code, &title)], "text": title })
}

fn at_root(kind: Kind, root: Root) -> (String, String) {
    (
        hyphens(&format!("{}-{}-root", kind.key(), key(&root))),
        format!("{}, {}", kind.spec().title, root.word()),
    )
}

pub fn site(site: Site, tooth: ToothNumber) -> Json {
    let (answer, display) = match site {
        Site::MesioBuccal => ("LA9270-5", "Mesiofacial"),
        Site::Buccal => ("LA9269-7", "Facial"),
        Site::DistoBuccal => ("LA9271-3", "Distofacial"),
        Site::MesioLingual => ("LA9274-7", "Mesiolingual"),
        Site::Lingual => ("LA9272-1", "Lingual"),
        Site::DistoLingual => ("LA9273-9", "Distolingual"),
    };
    json!({
        "coding": [
            coding(&system("probing-site"), &hyphens(&key(&site)), wording::site(site, tooth)),
            coding(LOINC, answer, display),
        ],
    })
}

/// Codes of what is done or asked for, beyond the treatments.
const ACTS: [(&str, &str); 47] = [
    ("extract", "Extraction of a tooth"),
    ("recheck", "Look again at a tooth"),
    ("leave", "Leave a tooth as it is"),
    ("film-wanted", "Dental film wanted"),
    ("film-taken", "Dental film taken"),
    ("image-linked", "File of a film or photograph linked"),
    ("films-read", "Films read"),
    ("roots-complete", "All roots out on the film"),
    ("scaled", "Scaled"),
    ("polished", "Polished"),
    ("extracted", "Tooth extracted"),
    ("crown-removed", "Crown removed, roots left on purpose"),
    ("root-left", "Root left"),
    ("flap", "Flap raised"),
    ("sutured", "Sutured"),
    ("treated", "Tooth treated"),
    ("nerve-block", "Nerve block"),
    ("medication", "Medication given, as said"),
    ("anaesthesia-started", "Anaesthesia started"),
    ("anaesthesia-ended", "Anaesthesia ended"),
    ("procedure-started", "Procedure started"),
    ("procedure-ended", "Procedure ended"),
    ("throat-pack-in", "Throat pack in"),
    ("throat-pack-out", "Throat pack out"),
    ("gag-in", "Gag in"),
    ("gag-out", "Gag out"),
    ("swabs-counted", "Swabs counted"),
    ("complication", "Complication"),
    ("complication-treated", "Complication treated"),
    ("owner-told", "Owner told of a complication"),
    ("owner-asked", "Owner asked for consent"),
    ("sample-taken", "Sample taken for the laboratory"),
    ("samples-sent", "Samples sent to the laboratory"),
    ("result-read", "Result of the laboratory read"),
    ("home-medicine", "Medicine for home"),
    ("home-care", "Care at home"),
    ("tray-used", "Tray of instruments used"),
    ("checked", "Point of the check list done"),
    ("implant-batch", "Batch of a graft or membrane"),
    ("staged", "Work at a tooth put off to a second visit"),
    ("second-visit", "Second visit for the rest"),
    (
        "mouth-sample",
        "Sample to be taken from a part of the mouth",
    ),
    ("mouth-remove", "Removal of a lesion"),
    ("mouth-medicine", "Treatment of the mouth with medicines"),
    ("mouth-refer", "Referral for a part of the mouth"),
    ("mouth-monitor", "Look again at a part of the mouth"),
    ("mouth-leave", "Leave a part of the mouth as it is"),
];

/// An act by its code; the code itself where the table lacks it, which a test forbids.
pub fn act(code: &str) -> Json {
    let display = ACTS
        .iter()
        .find(|(of, _)| *of == code)
        .map_or(code, |(_, display)| display);
    own("act", code, display)
}

pub fn treatment(treatment: Treatment) -> Json {
    own(
        "act",
        &format!("treat-{}", hyphens(&key(&treatment))),
        wording::treatment(treatment),
    )
}

pub fn drug(drug: Drug) -> Json {
    own("drug", &key(&drug), wording::drug(drug))
}

/// All own code systems as one bundle, to be loaded beside the exports.
pub fn code_systems() -> Json {
    let mut teeth: Vec<ToothNumber> = [Species::Dog, Species::Cat]
        .into_iter()
        .flat_map(|species| {
            [Stage::Permanent, Stage::Deciduous]
                .into_iter()
                .flat_map(move |stage| dentition::teeth(species, stage))
        })
        .collect();
    teeth.sort_unstable();
    teeth.dedup();
    let upper = ToothNumber::new(104).ok();
    let mut findings = Vec::new();
    let mut values = Vec::new();
    for kind in Kind::ALL {
        let spec = kind.spec();
        findings.push((hyphens(&kind.key()), spec.title.to_owned()));
        if spec.reach == Reach::RootOrTooth {
            findings.extend(Root::ALL.map(|root| at_root(kind, root)));
        }
        if let Form::Code(codes) = spec.form {
            values.extend(codes.iter().map(|code| {
                let code = format!("{}-{code}", hyphens(&kind.key()));
                (code.clone(), code)
            }));
        }
    }
    for kind in [
        Kind::Depth,
        Kind::Recession,
        Kind::Enlargement,
        Kind::Bleeding,
    ] {
        for site in Site::ALL {
            let code = hyphens(&format!("{}-{}", kind.key(), key(&site)));
            findings.push((code.clone(), code));
        }
    }
    for entrance in [
        Entrance::Buccal,
        Entrance::Lingual,
        Entrance::Mesial,
        Entrance::Distal,
    ] {
        let title = format!(
            "furcation, {} entrance",
            wording::entrance(entrance, Jaw::Lower)
        );
        findings.push((format!("furcation-{}", key(&entrance)), title));
    }
    findings.extend(
        [
            ("examination", "examination of a tooth"),
            ("decision", "decision for a tooth"),
            ("note", "note in words, unverified"),
            ("temperature", "body temperature"),
            ("weight", "body weight"),
            ("size", "size"),
        ]
        .map(|(code, display)| (code.to_owned(), display.to_owned())),
    );
    let mut acts: Vec<(String, String)> = ACTS
        .iter()
        .map(|(code, display)| ((*code).to_owned(), (*display).to_owned()))
        .collect();
    acts.extend(Treatment::ALL.map(|treatment| {
        (
            format!("treat-{}", hyphens(&key(&treatment))),
            wording::treatment(treatment).to_owned(),
        )
    }));
    let sites = Site::ALL
        .into_iter()
        .map(|site| {
            (
                hyphens(&key(&site)),
                upper.map_or("", |t| wording::site(site, t)).to_owned(),
            )
        })
        .collect();
    let mut systems = vec![
        (
            "triadan",
            "Modified Triadan tooth numbers of dog and cat",
            teeth
                .into_iter()
                .map(|tooth| (tooth.to_string(), dentition::name(tooth)))
                .collect(),
        ),
        ("finding", "Findings", findings),
        ("finding-value", "Values of findings", values),
        ("probing-site", "Sites round a tooth", sites),
        ("act", "Things done, asked for or decided", acts),
        (
            "document",
            "Kinds of document",
            vec![("dental-record".into(), "Veterinary dental record".into())],
        ),
    ];
    systems.extend(super::anaesthetic::systems());
    systems.extend(super::surgery::systems());
    let entries: Vec<Json> = systems
        .into_iter()
        .map(
            |(name, title, concepts): (&str, &str, Vec<(String, String)>)| {
                let url = system(name);
                json!({
                    "fullUrl": url,
                    "resource": {
                        "resourceType": "CodeSystem",
                        "id": name,
                        "url": url,
                        "name": name.replace('-', "_"),
                        "title": title,
                        "status": "active",
                        "content": "complete",
                        "caseSensitive": true,
                        "count": concepts.len(),
                        "concept": concepts
                            .into_iter()
                            .map(|(code, display)| json!({ "code": code, "display": display }))
                            .collect::<Vec<_>>(),
                    },
                })
            },
        )
        .collect();
    json!({ "resourceType": "Bundle", "type": "collection", "entry": entries })
}
