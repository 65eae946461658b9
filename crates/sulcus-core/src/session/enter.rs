//! Entering values: each is refused, asked about or recorded, by the rules.

use super::phrase::{Phrase, Slot};
use super::read_back::{
    code_words, decision_words, drug_words, entrance_word, fewest_digits, site_words,
};
use super::rules::Level;
use super::{Work, blood, drugs, mouth, read_back, reply, scope, stage, surgery, watch};
use crate::grammar::Intent;
use crate::grammar::intent::{Scope, Spot, ToothWork};
use crate::record::event::{Proposed, Retraction};
use crate::record::fold::Phase;
use crate::record::{Event, Record, Standing, monitoring, surgery as record_surgery};
use crate::terms::anaesthetic::{self, Against, Total};
use crate::terms::eruption::{self, Gap};
use crate::terms::procedure::{Method, Treatment};
use crate::terms::surgery::Complication;
use crate::terms::temperature::{self, Band};
use crate::terms::{
    Decision, Drug, Entrance, Finding, Jaw, Kind, Place, Procedure, Reason, Root, Side, Site,
    Species, Subject, ToothNumber, Value, dentition,
};

/// Fractures that open the pulp [VK-34].
const PULP_OPEN: [&str; 2] = ["CCF", "CCRF"];

/// Enters one intent. Talking intents are not for here and change nothing.
pub(super) fn enter(work: &mut Work<'_>, intent: &Intent) {
    if work.record.phase == Phase::Finished {
        work.say(Phrase::new("finished"));
        return;
    }
    match intent {
        Intent::ChooseTooth(tooth) => choose(work, *tooth),
        Intent::NextTooth => move_on(work, true),
        Intent::PreviousTooth => move_on(work, false),
        Intent::RecordNormal(Scope::ThisTooth) => for_tooth(work, Kind::Normal, Value::Present),
        Intent::RecordNormal(scope) => group(work, scope, Kind::Normal, "group_normal"),
        Intent::RecordAbsent(scope) => group(work, scope, Kind::Absent, "group_missing"),
        Intent::RecordMillimetres { kind, spot, mm } => millimetres(work, *kind, *spot, mm),
        Intent::ReadFromFront(from_front) => {
            work.push(Event::SiteOrderChosen {
                from_front: *from_front,
            });
            work.say(reply::order(*from_front));
        }
        Intent::RecordBleeding { spot } => bleeding(work, *spot),
        Intent::RecordFurcation { entrance, grade } => {
            let place = entrance.map_or(Place::Whole, Place::Entrance);
            with_tooth(work, |work, tooth| {
                finding(
                    work,
                    Subject::Tooth(tooth),
                    Kind::Furcation,
                    place,
                    Value::Grade(*grade),
                );
            });
        }
        Intent::RecordForTooth { kind, value } => for_tooth(work, *kind, value.clone()),
        Intent::RecordAtRoot { kind, place, value } => with_tooth(work, |work, tooth| {
            finding(work, Subject::Tooth(tooth), *kind, *place, value.clone());
        }),
        Intent::RecordForMouth { kind, area, value } => {
            let place = area.map_or(Place::Whole, |(area, side)| Place::Area(area, side));
            finding(work, Subject::Mouth, *kind, place, value.clone());
        }
        Intent::RecordFinding(given) => {
            finding(
                work,
                given.subject,
                given.kind,
                given.place,
                given.value.clone(),
            );
        }
        Intent::Decide { decision, reason } => {
            with_tooth(work, |work, tooth| decide(work, tooth, decision, *reason));
        }
        Intent::DecideGroup {
            scope,
            decision,
            reason,
        } => mouth::decide_group(work, scope, decision, *reason),
        Intent::DecideMouth(what) => mouth::decide(work, *what),
        Intent::DescribeLesion(traits) => mouth::describe(work, traits),
        Intent::ImplantBatch { what, batch } => mouth::batch(work, *what, batch),
        Intent::DoToTooth(done) => with_tooth(work, |work, tooth| do_to_tooth(work, tooth, *done)),
        Intent::Do(procedure) => procedure_done(work, procedure.clone()),
        Intent::Watch(watching) => watch::enter(work, watching),
        Intent::VirusTests { felv, fiv } => blood::enter(work, (*felv, *fiv)),
        Intent::HomeMedicine {
            drug,
            amount_thousandths,
            unit,
            times_a_day,
            days,
        } => surgery::home_medicine(
            work,
            Procedure::HomeMedicine {
                drug: drug.clone(),
                amount_thousandths: *amount_thousandths,
                unit: *unit,
                times_a_day: *times_a_day,
                days: *days,
            },
        ),
        Intent::Surgery(surgical) => surgery::enter(work, *surgical),
        _ => {}
    }
}

fn with_tooth(work: &mut Work<'_>, then: impl FnOnce(&mut Work<'_>, ToothNumber)) {
    match work.record.tooth {
        Some(tooth) => then(work, tooth),
        None => work.say(Phrase::rule("no_tooth")),
    }
}

fn for_tooth(work: &mut Work<'_>, kind: Kind, value: Value) {
    with_tooth(work, |work, tooth| {
        finding(work, Subject::Tooth(tooth), kind, Place::Whole, value)
    });
}

// ---- teeth

fn choose(work: &mut Work<'_>, tooth: ToothNumber) {
    let species = work.record.patient.species;
    if !dentition::has(species, tooth) {
        let why = dentition::why_lacking(species, tooth);
        let phrase = Phrase::rule("tooth_lacking")
            .with("tooth", Slot::Tooth(tooth))
            .with("why", Slot::Text(why));
        work.say(phrase);
        return;
    }
    work.push(Event::ToothChosen { tooth });
    work.say(Phrase::new("tooth").with("tooth", Slot::Tooth(tooth)));
    let is_charted = work.record.findings_of(tooth).next().is_some();
    if !is_charted
        && work
            .record
            .age_days()
            .is_some_and(|age_days| eruption::is_persistent(tooth, age_days))
    {
        work.say(Phrase::rule("deciduous_grown").with("tooth", Slot::Tooth(tooth)));
    }
}

fn move_on(work: &mut Work<'_>, forwards: bool) {
    match scope::beside(&work.record, forwards) {
        Some(tooth) => choose(work, tooth),
        None => work.say(Phrase::new(if forwards {
            "last_tooth"
        } else {
            "first_tooth"
        })),
    }
}

fn group(work: &mut Work<'_>, scope: &Scope, kind: Kind, key: &str) {
    let teeth = match scope::teeth(&work.record, scope) {
        Ok(teeth) => teeth,
        Err(scope::NoScope::Empty) => return work.say(Phrase::new("range_empty")),
        Err(scope::NoScope::TwoJaws) => {
            let Scope::Range(from, to) = scope else {
                return;
            };
            let phrase = Phrase::new("range_two_jaws")
                .with("from", Slot::Tooth(*from))
                .with("to", Slot::Tooth(*to));
            return work.say(phrase);
        }
    };
    // What was found on a tooth is not overruled by a word about many.
    let (free, charted): (Vec<_>, Vec<_>) = teeth
        .into_iter()
        .partition(|tooth| work.record.findings_of(*tooth).next().is_none());
    let mut entries = Vec::new();
    for tooth in &free {
        if let Ok(finding) =
            Finding::new(Subject::Tooth(*tooth), kind, Place::Whole, Value::Present)
        {
            entries.push(work.push(Event::FindingRecorded {
                finding,
                challenge: None,
            }));
        }
    }
    let phrase = Phrase::new(key)
        .with("count", Slot::Number(free.len() as u16))
        .with("teeth", Slot::Teeth(free))
        .saying_back(entries);
    work.say(phrase);
    if !charted.is_empty() {
        work.say(Phrase::new("group_skipped").with("count", Slot::Number(charted.len() as u16)));
    }
}

// ---- findings

fn millimetres(work: &mut Work<'_>, kind: Kind, spot: Spot, mm: &[u8]) {
    with_tooth(work, |work, tooth| {
        let places = match places(work, tooth, kind, spot, mm.len()) {
            Ok(places) => places,
            Err(phrase) => return work.say(phrase),
        };
        let repeated = spot == Spot::AllSites;
        let given = places
            .into_iter()
            .enumerate()
            .map(|(index, place)| (place, Value::Mm(if repeated { mm[0] } else { mm[index] })))
            .collect();
        findings(work, Subject::Tooth(tooth), kind, given);
    });
}

/// Several places of one kind, said together: what would replace confirmed values is asked about as one.
fn findings(work: &mut Work<'_>, subject: Subject, kind: Kind, given: Vec<(Place, Value)>) {
    let (replacing, plain): (Vec<_>, Vec<_>) = given
        .into_iter()
        .partition(|(place, value)| confirmed_other(work, subject, kind, *place, value).is_some());
    for (place, value) in plain {
        finding(work, subject, kind, place, value);
    }
    if let [(place, value)] = replacing.as_slice() {
        return finding(work, subject, kind, *place, value.clone());
    }
    let mut new = Vec::new();
    let mut old = Vec::new();
    for (place, value) in replacing {
        old.extend(confirmed_other(work, subject, kind, place, &value));
        match Finding::new(subject, kind, place, value) {
            Ok(finding) => new.push(finding),
            Err(_) => return work.say(Phrase::new("not_suited")),
        }
    }
    if new.is_empty() {
        return;
    }
    let phrase = Phrase::rule("replace_confirmed")
        .with(
            "items",
            Slot::Phrases(read_back::of_numbers(&work.record, &old)),
        )
        .with("new", Slot::Phrases(read_back::items_of(&new)));
    work.challenge("replace_confirmed", phrase, Proposed::Findings(new));
}

/// The confirmed entry that another value would replace.
fn confirmed_other(
    work: &Work<'_>,
    subject: Subject,
    kind: Kind,
    place: Place,
    value: &Value,
) -> Option<u64> {
    let charted = work.record.finding(subject, kind, place)?;
    match &charted.event {
        Event::FindingRecorded { finding, .. }
            if charted.standing == Standing::Confirmed && finding.value != *value =>
        {
            Some(charted.number)
        }
        _ => None,
    }
}

/// Where so many readings belong.
fn places(
    work: &Work<'_>,
    tooth: ToothNumber,
    kind: Kind,
    spot: Spot,
    count: usize,
) -> Result<Vec<Place>, Phrase> {
    let sites = |sites: &[Site]| Ok(sites.iter().copied().map(Place::Site).collect());
    match spot {
        Spot::AllSites => sites(&Site::ALL),
        Spot::Site(site) => sites(&[site]),
        Spot::Side(side) => {
            let [first, middle, last] = of_side(work, side);
            match count {
                1 => sites(&[middle]),
                2 => sites(&[first, last]),
                3 => sites(&[first, middle, last]),
                _ => Err(Phrase::new("readings_for_side")),
            }
        }
        Spot::Unsaid if count == Site::ALL.len() => sites(&reading_order(work)),
        // One recession or enlargement without a place is of the whole tooth.
        Spot::Unsaid if kind != Kind::Depth && count == 1 => Ok(vec![Place::Whole]),
        Spot::Unsaid => {
            let awaited: Vec<Site> = reading_order(work)
                .into_iter()
                .filter(|site| {
                    work.record
                        .finding(Subject::Tooth(tooth), kind, Place::Site(*site))
                        .is_none()
                })
                .collect();
            if count > awaited.len() {
                return Err(Phrase::new("too_many_readings")
                    .with("count", Slot::Number(count as u16))
                    .with("room", Slot::Number(awaited.len() as u16)));
            }
            sites(&awaited[..count])
        }
    }
}

/// The three sites of a side in the order in which the vet says them.
fn of_side(work: &Work<'_>, side: Side) -> [Site; 3] {
    let [front, middle, back] = Site::of_side(side);
    if work.record.is_from_front {
        [front, middle, back]
    } else {
        [back, middle, front]
    }
}

/// All six: cheek side, then tongue side.
fn reading_order(work: &Work<'_>) -> [Site; 6] {
    let [a, b, c] = of_side(work, Side::Buccal);
    let [d, e, f] = of_side(work, Side::Lingual);
    [a, b, c, d, e, f]
}

fn bleeding(work: &mut Work<'_>, spot: Spot) {
    with_tooth(work, |work, tooth| {
        let places: Vec<Place> = match spot {
            Spot::Unsaid => vec![Place::Whole],
            Spot::Site(site) => vec![Place::Site(site)],
            Spot::Side(side) => Site::of_side(side).into_iter().map(Place::Site).collect(),
            Spot::AllSites => Site::ALL.into_iter().map(Place::Site).collect(),
        };
        for place in places {
            finding(
                work,
                Subject::Tooth(tooth),
                Kind::Bleeding,
                place,
                Value::Present,
            );
        }
    });
}

/// One finding through the rules.
pub(super) fn finding(
    work: &mut Work<'_>,
    subject: Subject,
    kind: Kind,
    place: Place,
    value: Value,
) {
    let Ok(finding) = Finding::new(subject, kind, place, value) else {
        return work.say(Phrase::new("not_suited"));
    };
    let judged = match subject {
        Subject::Tooth(tooth) => judge(work, tooth, &finding),
        Subject::Mouth => None,
    };
    let is_refused = matches!(judged, Some((Level::Refuse, _)));
    if let Some(old) = confirmed_other(work, subject, kind, place, &finding.value)
        && !is_refused
    {
        let phrase = Phrase::rule("replace_confirmed")
            .with(
                "items",
                Slot::Phrases(read_back::of_numbers(&work.record, &[old])),
            )
            .with(
                "new",
                Slot::Phrases(vec![read_back::finding_item(&finding)]),
            );
        return work.challenge("replace_confirmed", phrase, Proposed::Finding(finding));
    }
    if judged.is_some() {
        match judged {
            Some((Level::Refuse, phrase)) => return work.say(phrase),
            Some((Level::Ask, phrase)) => {
                let rule = phrase.key.clone();
                return work.challenge(&rule, phrase, Proposed::Finding(finding));
            }
            Some((Level::Remark, phrase)) => work.say(phrase),
            None => {}
        }
    }
    work.push(Event::FindingRecorded {
        finding,
        challenge: None,
    });
}

/// The first rule that speaks against a finding of a tooth, or remarks on it.
fn judge(work: &Work<'_>, tooth: ToothNumber, finding: &Finding) -> Option<(Level, Phrase)> {
    let record = &work.record;
    let species = record.patient.species;
    let rule = |key: &str| {
        (
            work.rules.level(key),
            Phrase::rule(key).with("tooth", Slot::Tooth(tooth)),
        )
    };
    if !dentition::has(species, tooth) {
        let (level, phrase) = rule("tooth_lacking");
        return Some((
            level,
            phrase.with("why", Slot::Text(dentition::why_lacking(species, tooth))),
        ));
    }
    let is_missing = record
        .finding(Subject::Tooth(tooth), Kind::Absent, Place::Whole)
        .is_some();
    if is_missing
        && !matches!(
            finding.kind,
            Kind::Absent | Kind::RootRetained | Kind::Supernumerary | Kind::Unerupted
        )
    {
        return Some(rule("finding_on_missing"));
    }
    match (&finding.kind, finding.place, &finding.value) {
        (Kind::Depth, Place::Site(site), Value::Mm(mm))
            if *mm >= work.rules.depth_outlier_from_mm(species) =>
        {
            let (level, phrase) = rule("depth_outlier");
            let phrase = phrase
                .with("site", Slot::Text(site_words(tooth, site)))
                .with("mm", Slot::Number(u16::from(*mm)));
            Some((level, phrase))
        }
        (Kind::Furcation, place, _) => {
            let roots = dentition::roots(species, tooth)?;
            if roots.count == 1 && !roots.varies {
                return Some(rule("furcation_single_root"));
            }
            if roots.varies {
                return Some(rule("furcation_varies"));
            }
            match place {
                Place::Entrance(entrance)
                    if !dentition::entrances(species, tooth).contains(&entrance) =>
                {
                    let (level, phrase) = rule("entrance_unusual");
                    Some((
                        level,
                        phrase.with(
                            "entrance",
                            Slot::Text(entrance_word(tooth, entrance).into()),
                        ),
                    ))
                }
                _ => None,
            }
        }
        (_, Place::Root(root), _) => {
            let roots = dentition::roots(species, tooth)?;
            if roots.count == 1 && !roots.varies {
                return Some(rule("root_of_single"));
            }
            let is_palatal = matches!(root, Root::Palatal | Root::MesioPalatal);
            let is_of_three = is_palatal || matches!(root, Root::MesioBuccal | Root::DistoBuccal);
            (is_of_three && roots.count < 3 && !roots.varies).then(|| {
                let (level, phrase) = rule("root_unusual");
                (level, phrase.with("root", Slot::Text(root.word().into())))
            })
        }
        (Kind::SuccessorLacking, ..) if !tooth.is_deciduous() => {
            Some(rule("successor_of_permanent"))
        }
        (Kind::Unerupted, ..) if is_missing => Some(rule("unerupted_was_missing")),
        (Kind::Malposition, _, Value::Code(code)) => {
            let is_front = tooth.position() <= 4;
            let unusual =
                (code == "labioversion" && !is_front) || (code == "buccoversion" && is_front);
            let (level, phrase) = rule("version_unusual");
            unusual.then(|| {
                (
                    level,
                    phrase.with("value", Slot::Text(code_words(code).into())),
                )
            })
        }
        (Kind::Absent, ..) if !tooth.is_deciduous() => {
            let gap = eruption::gap(species, tooth, record.age_days()?);
            (gap != Gap::Missing).then(|| rule("absent_young"))
        }
        (Kind::ResorptionStage, _, Value::Code(code)) if code == "4" => {
            Some(rule("resorption_letter"))
        }
        _ => None,
    }
}

// ---- decisions

fn decide(work: &mut Work<'_>, tooth: ToothNumber, decision: &Decision, reason: Option<Reason>) {
    let is_missing = work
        .record
        .finding(Subject::Tooth(tooth), Kind::Absent, Place::Whole)
        .is_some();
    if is_missing && *decision == Decision::Extract {
        return work.say(Phrase::rule("extract_missing").with("tooth", Slot::Tooth(tooth)));
    }
    let confirmed = match work.record.decision(tooth) {
        Some((before, _, charted))
            if charted.standing == Standing::Confirmed && before != decision =>
        {
            Some(decision_words(before))
        }
        _ => None,
    };
    let question = decision_question(work, tooth, decision);
    let proposed = Proposed::Decision {
        tooth,
        decision: decision.clone(),
        reason,
    };
    match (question, confirmed) {
        (Some((phrase, conflicts)), confirmed) => {
            if let Some(before) = confirmed {
                // Told before the question, so that the answer to it is one to this too.
                work.say(
                    Phrase::rule("decision_confirmed")
                        .with("tooth", Slot::Tooth(tooth))
                        .with("decision", Slot::Text(before)),
                );
            }
            let rule = phrase.key.clone();
            work.challenge_about(&rule, phrase, proposed, conflicts);
        }
        (None, Some(before)) => {
            let phrase = Phrase::rule("replace_decision")
                .with("tooth", Slot::Tooth(tooth))
                .with("before", Slot::Text(before))
                .with("decision", Slot::Text(decision_words(decision)));
            work.challenge("replace_decision", phrase, proposed);
        }
        (None, None) => {
            work.push(Event::DecisionRecorded {
                tooth,
                decision: decision.clone(),
                reason,
                challenge: None,
            });
        }
    }
}

/// What is asked before a decision is entered, and the keys of the guidance that the question puts in words.
fn decision_question(
    work: &Work<'_>,
    tooth: ToothNumber,
    decision: &Decision,
) -> Option<(Phrase, Vec<String>)> {
    let said = |key: &str| Phrase::rule(key).with("tooth", Slot::Tooth(tooth));
    let about = |keys: &[&str]| keys.iter().map(ToString::to_string).collect();
    match decision {
        Decision::Extract if may_break_jaw(work, tooth) => {
            let thin = has(work, tooth, Kind::JawBoneThin);
            Some((
                said("extract_jaw_risk"),
                about(if thin { &["jaw_bone_thin"] } else { &[] }),
            ))
        }
        Decision::Extract => Some((said("extract"), Vec::new())),
        Decision::Monitor { .. } | Decision::Leave => {
            let words = Slot::Text(decision_words(decision));
            if pulp_is_open(work, tooth) {
                let phrase = said("pulp_exposed_left").with("decision", words);
                return Some((phrase, about(&["pulp_exposed"])));
            }
            let (why, keys) = severe(work, tooth)?;
            let phrase = said("severe_left")
                .with("why", Slot::Text(why.into()))
                .with("decision", words);
            Some((phrase, about(keys)))
        }
        Decision::Treat(Treatment::CrownAmputation) => amputation_question(work, tooth),
        Decision::Treat(_) => None,
    }
}

/// Whether the decision for this tooth brings up a question of its own, beside that whether to take it out.
pub(super) fn wants_own_answer(work: &Work<'_>, tooth: ToothNumber, decision: &Decision) -> bool {
    decision_question(work, tooth, decision).is_some_and(|(phrase, _)| phrase.key != "extract")
}

/// What speaks against taking the crown off and leaving the root, the gravest first.
fn amputation_question(work: &Work<'_>, tooth: ToothNumber) -> Option<(Phrase, Vec<String>)> {
    let said = |key: &str| Phrase::rule(key).with("tooth", Slot::Tooth(tooth));
    let of = |kind| work.record.value(tooth, kind, Place::Whole);
    if is_apical(work, tooth) {
        return Some((said("amputation_apical"), vec!["amputation_apical".into()]));
    }
    let is_resorbing = of(Kind::ResorptionStage).is_some();
    match of(Kind::ResorptionType) {
        Some(Value::Grade(2)) => None,
        None if is_resorbing => Some((
            said("amputation_type_unknown"),
            vec!["resorption_type_unknown".into()],
        )),
        other => {
            let key = match other {
                Some(Value::Grade(1)) => "amputation_type_one",
                Some(_) => "amputation_mixed",
                None => "amputation_without_resorption",
            };
            Some((said("amputation_unsuited"), vec![key.into()]))
        }
    }
}

fn pulp_is_open(work: &Work<'_>, tooth: ToothNumber) -> bool {
    let code = work.record.value(tooth, Kind::Fracture, Place::Whole);
    matches!(code, Some(Value::Code(code)) if PULP_OPEN.contains(&code.as_str()))
        || work
            .record
            .value(tooth, Kind::PulpExposed, Place::Whole)
            .is_some()
}

/// A sign that puts the tooth in the worst stage whatever its root length: furcation through and through,
/// mobility three; or resorption of most of the crown or root, where watching is published only for what no one can
/// see but on the film. Attachment loss as a share needs a film and is the plan's.
fn severe(work: &Work<'_>, tooth: ToothNumber) -> Option<(&'static str, &'static [&'static str])> {
    let entrances = [
        Entrance::Buccal,
        Entrance::Lingual,
        Entrance::Mesial,
        Entrance::Distal,
    ];
    let has = |kind, place| work.record.value(tooth, kind, place) == Some(&Value::Grade(3));
    if has(Kind::Furcation, Place::Whole)
        || entrances
            .into_iter()
            .any(|entrance| has(Kind::Furcation, Place::Entrance(entrance)))
    {
        Some(("furcation three", &["furcation_open"]))
    } else if has(Kind::Mobility, Place::Whole) {
        Some(("mobility three", &["mobility_three"]))
    } else if matches!(
        work.record.value(tooth, Kind::ResorptionStage, Place::Whole),
        Some(Value::Code(code)) if code.starts_with('4')
    ) {
        Some(("resorption stage four", &[]))
    } else {
        None
    }
}

fn is_apical(work: &Work<'_>, tooth: ToothNumber) -> bool {
    has(work, tooth, Kind::PeriapicalLesion)
}

/// Whether it is charted of the tooth or one of its roots.
fn has(work: &Work<'_>, tooth: ToothNumber, kind: Kind) -> bool {
    work.record
        .findings_of(tooth)
        .any(|(finding, _)| finding.kind == kind)
}

/// The jaw can break here: thin bone on film; or in a dog of up to 10 kg at the lower canine or first molar a pocket of
/// 7 mm or a quarter of the bone gone on film.
fn may_break_jaw(work: &Work<'_>, tooth: ToothNumber) -> bool {
    let patient = &work.record.patient;
    let is_small =
        patient.species == Species::Dog && patient.weight.is_some_and(|weight| weight.kg() <= 10.0);
    let is_there =
        tooth.jaw() == Jaw::Lower && !tooth.is_deciduous() && matches!(tooth.position(), 4 | 9);
    let is_weak = || {
        work.record
            .findings_of(tooth)
            .any(|(finding, _)| match (finding.kind, &finding.value) {
                (Kind::Depth, Value::Mm(mm)) => *mm >= 7,
                (_, Value::Percent(percent)) => *percent >= 25,
                _ => false,
            })
    };
    has(work, tooth, Kind::JawBoneThin) || (is_small && is_there && is_weak())
}

/// No ligament line, or replacement resorption: the root is joined to the bone.
fn is_ankylosed(work: &Work<'_>, tooth: ToothNumber) -> bool {
    work.record.findings_of(tooth).any(|(finding, _)| {
        finding.kind == Kind::Ankylosis
            || (finding.kind == Kind::RootResorption
                && finding.value == Value::Code("replacement".into()))
    })
}

// ---- what is done

fn do_to_tooth(work: &mut Work<'_>, tooth: ToothNumber, done: ToothWork) {
    let record = &work.record;
    let said = |key: &str| Phrase::rule(key).with("tooth", Slot::Tooth(tooth));
    let procedure = done.of(tooth);
    let question = match done {
        ToothWork::Extracted(_)
            if !matches!(record.decision(tooth), Some((Decision::Extract, ..))) =>
        {
            Some(said("extracted_undecided"))
        }
        ToothWork::Extracted(Method::Surgical)
            if !record
                .procedures()
                .any(|(p, _)| matches!(p, Procedure::Flap { tooth: of, .. } if *of == tooth)) =>
        {
            Some(said("surgical_without_flap"))
        }
        ToothWork::Extracted(Method::Closed) if is_ankylosed(work, tooth) => {
            Some(said("closed_ankylosed"))
        }
        ToothWork::Staged { is_later: true } if record_surgery::is_begun(record, tooth) => {
            Some(said("staged_begun"))
        }
        ToothWork::CrownRemoved => amputation_question(work, tooth).map(|(phrase, _)| phrase),
        ToothWork::RootsComplete if !is_filmed_after_extraction(record, tooth) => {
            Some(said("roots_without_film"))
        }
        ToothWork::RootLeft(_) if is_apical(work, tooth) => Some(said("root_left_apical")),
        ToothWork::Treated(Treatment::FistulaRepairDouble)
            if record_surgery::has(record, Complication::NasalOpening, tooth) =>
        {
            Some(said("double_flap_fresh"))
        }
        _ => None,
    };
    if let Some(phrase) = question {
        let rule = phrase.key.clone();
        return work.challenge(&rule, phrase, Proposed::Procedure(procedure));
    }
    if matches!(done, ToothWork::Extracted(Method::Sectioned))
        && dentition::roots(record.patient.species, tooth).is_some_and(|roots| roots.count == 1)
    {
        work.say(said("sectioned_single_root"));
    }
    work.push(Event::ProcedureRecorded {
        procedure,
        challenge: None,
    });
}

/// A film of the tooth, or of the whole mouth, is newer than the extraction of the tooth. True where no extraction is
/// recorded: nothing is known against it.
fn is_filmed_after_extraction(record: &Record, tooth: ToothNumber) -> bool {
    let extracted = record
        .procedures()
        .filter(|(p, _)| matches!(p, Procedure::Extracted { tooth: of, .. } if *of == tooth))
        .map(|(_, charted)| charted.number)
        .last();
    extracted.is_none_or(|extracted| {
        record.procedures().any(|(p, charted)| {
            matches!(p, Procedure::FilmTaken { teeth, .. } if teeth.is_empty() || teeth.contains(&tooth))
                && charted.number > extracted
        })
    })
}

fn procedure_done(work: &mut Work<'_>, procedure: Procedure) {
    // What is given is fixed now: another bottle or weight tomorrow must not change what was given today.
    let procedure = anaesthetic::as_given(
        procedure,
        work.record.patient.species,
        work.record.patient.weight,
        work.record.procedures().map(|(procedure, _)| procedure),
        work.rules.strengths(),
    );
    match &procedure {
        Procedure::GagIn if work.record.patient.species == Species::Cat => {
            work.say(Phrase::rule("gag_in_cat"))
        }
        Procedure::NerveBlock { drug, .. } => {
            if let Some(phrase) = over_ceiling(work, &procedure, *drug) {
                let rule = phrase.key.clone();
                return work.challenge(&rule, phrase, Proposed::Procedure(procedure));
            }
        }
        Procedure::Temperature { celsius_tenths } => {
            if let Some(rule) = temperature_rule(work.record.patient.species, *celsius_tenths) {
                let degrees = fewest_digits(u64::from(*celsius_tenths) * 10);
                work.say(Phrase::rule(rule).with("degrees", Slot::Text(degrees)));
            }
        }
        Procedure::AnaesthesiaEnded | Procedure::ProcedureEnded => {
            let (inside, out) = packs(&work.record);
            if inside > out {
                let phrase = Phrase::rule("packs_inside")
                    .with("in", Slot::Number(inside as u16))
                    .with("out", Slot::Number(out as u16));
                return work.challenge("packs_inside", phrase, Proposed::Procedure(procedure));
            }
        }
        _ => {}
    }
    work.push(Event::ProcedureRecorded {
        procedure,
        challenge: None,
    });
}

/// The remark on a body temperature outside the usual; see [`temperature::band`].
pub(super) fn temperature_rule(species: Species, celsius_tenths: u16) -> Option<&'static str> {
    match temperature::band(species, celsius_tenths) {
        Band::Cold => Some("temperature_low"),
        Band::VeryCold => Some("temperature_very_low"),
        Band::Hot => Some("temperature_high"),
        Band::Usual => None,
    }
}

/// Throat packs that went in and that came out.
fn packs(record: &Record) -> (usize, usize) {
    let count = |wanted: &Procedure| record.procedures().filter(|(p, _)| *p == wanted).count();
    (
        count(&Procedure::ThroatPackIn),
        count(&Procedure::ThroatPackOut),
    )
}

/// The question where the sum of all blocks, this one included, passes the ceiling; remarks otherwise.
/// It says what is used up, what this would make, and how much may still follow.
pub(super) fn over_ceiling(
    work: &mut Work<'_>,
    procedure: &Procedure,
    drug: Drug,
) -> Option<Phrase> {
    let species = work.record.patient.species;
    let weight = work.record.patient.weight;
    let strengths = *work.rules.strengths();
    let so_far = monitoring::local_anaesthetics(&work.record);
    let sum = |procedures: &[Procedure]| {
        anaesthetic::running_total(species, weight, procedures, &strengths)
    };
    let name = drug_words(drug);
    let all: Vec<Procedure> = so_far.iter().cloned().chain([procedure.clone()]).collect();
    let (Ok(before), Ok(after), Some(weight)) = (sum(&so_far), sum(&all), weight) else {
        work.say(Phrase::rule("ceiling_unknown"));
        return None;
    };
    match after.against {
        Against::Below => None,
        Against::At => {
            work.say(if after.given.len() > 1 {
                Phrase::rule("ceiling_reached_together")
            } else {
                Phrase::rule("ceiling_reached").with("drug", Slot::Text(name.to_owned()))
            });
            None
        }
        Against::Over => Some(ceiling_question(
            &before,
            &after,
            drug,
            more_words(before.left_ug(species, weight, drug), procedure),
        )),
    }
}

/// "At most 0.2 millilitres more", rounded down; of the solution that is given.
fn more_words(left_ug: u64, procedure: &Procedure) -> String {
    let Procedure::NerveBlock {
        strength_percent_hundredths: Some(strength),
        ..
    } = procedure
    else {
        return "No more".to_owned();
    };
    match anaesthetic::volume_ml_hundredths(left_ug, *strength) {
        0 => "No more".to_owned(),
        volume => format!(
            "At most {} millilitres more",
            fewest_digits(u64::from(volume))
        ),
    }
}

fn ceiling_question(before: &Total, after: &Total, drug: Drug, more: String) -> Phrase {
    let own = after.given.iter().find(|given| given.drug == drug);
    let (dose_ug, ceiling_ug) = own.map_or((0, 0), |given| (given.dose_ug, given.ceiling_ug));
    let name = |is_first: bool| {
        let name = drug_words(drug);
        if is_first {
            capital(name)
        } else {
            name.to_owned()
        }
    };
    let phrase = |key: &str| {
        Phrase::rule(key)
            .with("drug", Slot::Text(name(key == "ceiling")))
            // Rounded against the patient: given up, the ceiling down.
            .with("given", Slot::Text(milligrams(dose_ug.div_ceil(100))))
            .with("most", Slot::Text(milligrams(ceiling_ug / 100)))
            .with("more", Slot::Text(more.clone()))
    };
    if after.given.len() == 1 || dose_ug > ceiling_ug {
        return phrase("ceiling");
    }
    let used: Vec<String> = before
        .given
        .iter()
        .map(|given| {
            let percent = (given.dose_ug * 100).div_ceil(given.ceiling_ug.max(1));
            format!("{} is used up to {percent} percent", drug_words(given.drug))
        })
        .collect();
    let used = Slot::Text(capital(&used.join(", ")));
    if after.share_thousandths > 1000 {
        let percent = u16::try_from(after.share_thousandths.div_ceil(10)).unwrap_or(u16::MAX);
        return phrase("ceiling_together")
            .with("used", used)
            .with("share", Slot::Number(percent))
            .with(
                "together",
                Slot::Text(
                    if after.given.len() == 2 {
                        "both"
                    } else {
                        "all"
                    }
                    .to_owned(),
                ),
            );
    }
    // Only the lower figure that one source gives for a mixture is passed.
    let mixed = after.over_in_mix.first().copied().unwrap_or(drug);
    phrase("ceiling_mixed")
        .with("used", used)
        .with("mixed", Slot::Text(drug_words(mixed).to_owned()))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

/// "4.2" from tenths of a milligram; "4" for whole ones.
fn milligrams(tenths: u64) -> String {
    fewest_digits(tenths * 10)
}

// ---- the end

pub(super) fn finish(work: &mut Work<'_>) {
    let unconfirmed = work.record.unconfirmed().count();
    let missing = reply::missing_teeth(&work.record).len();
    let mut inside = left_inside(&work.record);
    if is_anaesthesia_running(&work.record) {
        inside.push("anaesthesia still running".to_owned());
    }
    inside.extend(surgery::open(&work.record));
    let conflicts: Vec<String> = work
        .conflicts
        .iter()
        .map(|open| open.tooth.to_string())
        .collect();
    if !conflicts.is_empty() {
        inside.push(format!(
            "decision and guidance differ, not answered: {}",
            conflicts.join(", ")
        ));
    }
    if unconfirmed == 0 && missing == 0 && inside.is_empty() {
        work.push(Event::VisitFinished);
        return work.say(Phrase::new("finished"));
    }
    let mut why = inside;
    if unconfirmed > 0 {
        why.push(format!("{unconfirmed} not confirmed"));
    }
    if missing > 0 {
        why.push(format!("{missing} teeth not charted"));
    }
    let phrase = Phrase::rule("finish_open").with("why", Slot::Text(why.join(", ")));
    work.challenge("finish_open", phrase, Proposed::Finish);
}

/// Anaesthesia was started, and since then not ended.
fn is_anaesthesia_running(record: &Record) -> bool {
    let newest = record.procedures().filter(|(p, _)| {
        matches!(
            p,
            Procedure::AnaesthesiaStarted | Procedure::AnaesthesiaEnded
        )
    });
    newest
        .last()
        .is_some_and(|(p, _)| *p == Procedure::AnaesthesiaStarted)
}

/// What went into the mouth and did not come out, in words.
fn left_inside(record: &Record) -> Vec<String> {
    let (entered, out) = packs(record);
    let gag = |wanted: &Procedure| record.procedures().filter(|(p, _)| *p == wanted).count();
    let mut inside = Vec::new();
    if entered > out {
        inside.push("throat pack in".to_owned());
    }
    if gag(&Procedure::GagIn) > gag(&Procedure::GagOut) {
        inside.push("mouth gag in".to_owned());
    }
    inside
}

/// The vet stands by it: entered, and confirmed by that word.
pub(super) fn proposed(work: &mut Work<'_>, proposed: &Proposed, challenge: u64) {
    let challenge = Some(challenge);
    let event = match proposed.clone() {
        Proposed::Finding(finding) => {
            // In the bone is not missing: one ends the other.
            if let (Kind::Unerupted, Subject::Tooth(tooth)) = (finding.kind, finding.subject)
                && let Some(absent) =
                    work.record
                        .finding(Subject::Tooth(tooth), Kind::Absent, Place::Whole)
            {
                let entries = work.record.with_replaced(absent.number);
                work.push(Event::Retracted {
                    entries,
                    why: Retraction::Corrected,
                });
            }
            Event::FindingRecorded { finding, challenge }
        }
        Proposed::Decision {
            tooth,
            decision,
            reason,
        } => Event::DecisionRecorded {
            tooth,
            decision,
            reason,
            challenge,
        },
        Proposed::Decisions {
            teeth,
            decision,
            reason,
        } => {
            let entries = mouth::decided(work, &teeth, &decision, reason, challenge);
            work.push(Event::Confirmed { entries });
            return;
        }
        Proposed::MouthDecision(what) => Event::MouthDecided { what, challenge },
        Proposed::Stage { teeth } => return stage::put_off(work, &teeth, challenge),
        Proposed::Procedure(procedure) => Event::ProcedureRecorded {
            procedure,
            challenge,
        },
        Proposed::Watched(what) => {
            let number = work.push(Event::WatchRecorded { what, challenge });
            work.push(Event::Confirmed {
                entries: vec![number],
            });
            watch::outside(work, number);
            return drugs::after(work, number);
        }
        Proposed::Finish => {
            work.push(Event::VisitFinished);
            return work.say(Phrase::new("finished"));
        }
        Proposed::Findings(findings) => {
            let entries = findings
                .into_iter()
                .map(|finding| work.push(Event::FindingRecorded { finding, challenge }))
                .collect();
            work.push(Event::Confirmed { entries });
            return;
        }
        Proposed::TakeBack { entries, why } => {
            let entries: Vec<u64> = entries
                .into_iter()
                .filter(|number| work.record.is_current(*number))
                .collect();
            return match why {
                Retraction::Struck => super::strike::now(work, &entries),
                _ => super::take_back_now(work, &entries, why),
            };
        }
        // That it was asked and answered is all that is kept.
        Proposed::Stands { .. } => return work.say(Phrase::new("noted")),
        Proposed::Seen { .. } => return work.say(Phrase::new("noted")),
        Proposed::BloodTests {
            felv,
            fiv,
            takes_back,
        } => return blood::answered(work, (felv, fiv), takes_back),
        Proposed::Tooth(tooth) => {
            work.push(Event::ToothChosen { tooth });
            return work.say(Phrase::new("tooth").with("tooth", Slot::Tooth(tooth)));
        }
    };
    let number = work.push(event);
    work.push(Event::Confirmed {
        entries: vec![number],
    });
}
