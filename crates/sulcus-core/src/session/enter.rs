//! Entering values: each is refused, asked about or recorded, by the rules.

use super::phrase::{Phrase, Slot};
use super::read_back::{
    code_words, decision_words, drug_words, entrance_word, fewest_digits, site_words,
};
use super::rules::Level;
use super::{Work, reply, scope};
use crate::grammar::Intent;
use crate::grammar::intent::{Scope, Spot, ToothWork};
use crate::record::event::Proposed;
use crate::record::fold::Phase;
use crate::record::{Event, Record};
use crate::terms::anaesthetic::{self, Against, Total};
use crate::terms::eruption::{self, Gap};
use crate::terms::procedure::{Method, Treatment};
use crate::terms::{
    Decision, Drug, Entrance, Finding, Kind, Place, Procedure, Reason, Side, Site, Species,
    Subject, ToothNumber, Value, dentition,
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
        Intent::DoToTooth(done) => with_tooth(work, |work, tooth| do_to_tooth(work, tooth, *done)),
        Intent::Do(procedure) => procedure_done(work, procedure.clone()),
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
        for (index, place) in places.into_iter().enumerate() {
            let value = if repeated { mm[0] } else { mm[index] };
            finding(work, Subject::Tooth(tooth), kind, place, Value::Mm(value));
        }
    });
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
fn finding(work: &mut Work<'_>, subject: Subject, kind: Kind, place: Place, value: Value) {
    let Ok(finding) = Finding::new(subject, kind, place, value) else {
        return work.say(Phrase::new("not_suited"));
    };
    if let Subject::Tooth(tooth) = subject {
        match judge(work, tooth, &finding) {
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
        let level = work.rules.get(key).map_or(Level::Remark, |rule| rule.level);
        (level, Phrase::rule(key).with("tooth", Slot::Tooth(tooth)))
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
    let propose = |work: &mut Work<'_>, phrase: Phrase| {
        let rule = phrase.key.clone();
        let proposed = Proposed::Decision {
            tooth,
            decision: decision.clone(),
            reason,
        };
        work.challenge(&rule, phrase, proposed);
    };
    let is_missing = work
        .record
        .finding(Subject::Tooth(tooth), Kind::Absent, Place::Whole)
        .is_some();
    let said = |key: &str| Phrase::rule(key).with("tooth", Slot::Tooth(tooth));
    match decision {
        Decision::Extract if is_missing => return work.say(said("extract_missing")),
        Decision::Extract => return propose(work, said("extract")),
        Decision::Monitor { .. } | Decision::Leave => {
            let words = Slot::Text(decision_words(decision));
            if pulp_is_open(work, tooth) {
                return propose(work, said("pulp_exposed_left").with("decision", words));
            }
            if let Some(why) = severe(work, tooth) {
                let phrase = said("severe_left")
                    .with("why", Slot::Text(why.into()))
                    .with("decision", words);
                return propose(work, phrase);
            }
        }
        Decision::Treat(Treatment::CrownAmputation) if is_apical(work, tooth) => {
            return propose(work, said("amputation_apical"));
        }
        Decision::Treat(Treatment::CrownAmputation) if amputation_unsuited(work, tooth) => {
            return propose(work, said("amputation_unsuited"));
        }
        Decision::Treat(_) => {}
    }
    work.push(Event::DecisionRecorded {
        tooth,
        decision: decision.clone(),
        reason,
        challenge: None,
    });
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
fn severe(work: &Work<'_>, tooth: ToothNumber) -> Option<&'static str> {
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
        Some("furcation three")
    } else if has(Kind::Mobility, Place::Whole) {
        Some("mobility three")
    } else if matches!(
        work.record.value(tooth, Kind::ResorptionStage, Place::Whole),
        Some(Value::Code(code)) if code.starts_with('4')
    ) {
        Some("resorption stage four")
    } else {
        None
    }
}

fn is_apical(work: &Work<'_>, tooth: ToothNumber) -> bool {
    work.record
        .value(tooth, Kind::PeriapicalLesion, Place::Whole)
        .is_some()
}

/// Crown amputation is published for resorption type 2 only.
fn amputation_unsuited(work: &Work<'_>, tooth: ToothNumber) -> bool {
    work.record.value(tooth, Kind::ResorptionType, Place::Whole) != Some(&Value::Grade(2))
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
                .any(|(p, _)| *p == Procedure::Flap { tooth }) =>
        {
            Some(said("surgical_without_flap"))
        }
        ToothWork::CrownRemoved if is_apical(work, tooth) => Some(said("amputation_apical")),
        ToothWork::CrownRemoved if amputation_unsuited(work, tooth) => {
            Some(said("amputation_unsuited"))
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
fn over_ceiling(work: &mut Work<'_>, procedure: &Procedure, drug: Drug) -> Option<Phrase> {
    let species = work.record.patient.species;
    let weight = work.record.patient.weight;
    let strengths = *work.rules.strengths();
    let so_far: Vec<Procedure> = work
        .record
        .procedures()
        .map(|(procedure, _)| procedure.clone())
        .collect();
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
            work.say(Phrase::rule("ceiling_reached").with("drug", Slot::Text(name.to_owned())));
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
    let inside = left_inside(&work.record);
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
        Proposed::Finding(finding) => Event::FindingRecorded { finding, challenge },
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
        Proposed::Procedure(procedure) => Event::ProcedureRecorded {
            procedure,
            challenge,
        },
        Proposed::Finish => {
            work.push(Event::VisitFinished);
            return work.say(Phrase::new("finished"));
        }
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
