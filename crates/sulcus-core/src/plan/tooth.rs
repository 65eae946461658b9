//! One tooth of the plan: measures, stage, published guidance beside the vet's decision, and where they conflict.
//! Never chooses: guidance names what its source names, the decision is the vet's.

use serde::Serialize;

use super::attachment::Loss;
use super::condition::decision_key;
use super::facts::{Mouth, ToothFacts};
use super::rules::{Cited, rules};
use super::stage::{self, StageEstimate};
use crate::record::event::Proposed;
use crate::record::{Charted, Event, Record, Standing};
use crate::terms::{Decision, Kind, Reason, Site, Species, ToothNumber, dentition};

/// One place of the six.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SitePlan {
    pub site: Site,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth_mm: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub recession_mm: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub loss: Option<Loss>,
    pub is_deep: bool,
    pub is_pseudopocket: bool,
}

/// What a publication says for such a tooth.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Guidance {
    #[serde(flatten)]
    pub cited: Cited,
    /// Ways that the source names; words of the decision list.
    pub names: Vec<String>,
    /// 1 to 3; for the order of work only.
    pub importance: u8,
    pub is_infected: bool,
}

/// The vet's decision as recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DecisionPlan {
    pub decision: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub months: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reason: Option<Reason>,
    pub is_confirmed: bool,
    /// The program asked about it, and the vet stood by it.
    pub was_challenged: bool,
    pub pieces: u8,
}

/// Decision and guidance speak against each other.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Conflict {
    #[serde(flatten)]
    pub cited: Cited,
    pub decision: String,
    /// This very conflict was put in words and answered: told, not asked again.
    pub vet_stands_by_it: bool,
    /// When that was; none where nobody was asked, or nobody said that the decision stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<Asked>,
}

/// A question that put the conflict in words, and its yes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Asked {
    /// Number of the question's entry.
    pub entry: u64,
    /// By the clinic's wall time, "10:42".
    pub at: String,
    pub answered_at: String,
}

impl Conflict {
    /// What the guidance finds, without what it names.
    pub fn in_short(&self) -> String {
        let text = &self.cited.text;
        text.split(':').next().unwrap_or(text).trim().to_owned()
    }

    /// "asked at 10:42, answered at 10:43: stands", or that it is open.
    pub fn words(&self) -> String {
        match &self.asked {
            Some(asked) => format!(
                "asked at {}, answered at {}: stands",
                asked.at, asked.answered_at
            ),
            None => "OPEN, ask the vet".to_owned(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ToothPlan {
    pub tooth: ToothNumber,
    pub name: String,
    pub root_count: Option<u8>,
    pub is_there: bool,
    /// Abbreviation or title of every finding, with its value.
    pub findings: Vec<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sites: Vec<SitePlan>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worst_depth_mm: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worst_loss: Option<Loss>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub root_length_mm: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stage: Option<StageEstimate>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub furcation: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mobility: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fracture: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub is_pulp_exposed: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub resorption: Option<String>,
    pub guidance: Vec<Guidance>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decision: Option<DecisionPlan>,
    pub conflicts: Vec<Conflict>,
    /// Contradictions in the chart itself, and what to look at again.
    pub notes: Vec<Cited>,
    pub unconfirmed_count: usize,
}

impl ToothPlan {
    /// Guidance asks for a decision and none is recorded.
    pub fn is_undecided(&self) -> bool {
        self.is_there && self.decision.is_none() && self.guidance.iter().any(|g| g.importance > 1)
    }

    pub fn importance(&self) -> u8 {
        self.guidance
            .iter()
            .map(|g| g.importance)
            .max()
            .unwrap_or(1)
    }

    pub fn is_infected(&self) -> bool {
        self.guidance.iter().any(|g| g.is_infected)
    }
}

/// The guidance of every rule that holds.
pub fn guidance(
    facts: &ToothFacts,
    mouth: &Mouth,
    stage: Option<&StageEstimate>,
    decision: Option<&Decision>,
) -> Vec<Guidance> {
    rules()
        .guidance
        .iter()
        .filter(|rule| rule.when.holds(facts, mouth, stage, decision))
        .map(|rule| Guidance {
            cited: Cited::new(&rule.key, rule.text.clone(), &rule.sources),
            names: rule.suggests.clone(),
            importance: rule.importance,
            is_infected: rule.is_infected,
        })
        .collect()
}

/// The question that put this conflict of this decision in words and was answered with yes.
fn asked(
    record: &Record,
    charted: &Charted,
    rule: &str,
    offset: jiff::tz::Offset,
) -> Option<Asked> {
    let own = match &charted.event {
        Event::DecisionRecorded { challenge, .. } => *challenge,
        _ => None,
    };
    let found = record.challenges.iter().rev().find(|challenge| {
        let is_of_this = match challenge.proposed {
            Proposed::Stands { entry, .. } => entry == charted.number,
            Proposed::Decision { .. } => own == Some(challenge.number),
            _ => false,
        };
        is_of_this
            && challenge.accepted == Some(true)
            && challenge.conflicts.iter().any(|key| key == rule)
    })?;
    let clock = |at: jiff::Timestamp| offset.to_datetime(at).strftime("%H:%M").to_string();
    Some(Asked {
        entry: found.number,
        at: clock(found.at),
        answered_at: clock(found.answered_at?),
    })
}

/// Guidance that speaks against the decision, each with its own question and answer.
pub fn conflicts(
    record: &Record,
    guidance: &[Guidance],
    decision: &Decision,
    charted: &Charted,
    offset: jiff::tz::Offset,
) -> Vec<Conflict> {
    let key = decision_key(decision);
    guidance
        .iter()
        .filter(|found| {
            rules().guidance.iter().any(|rule| {
                rule.key == found.cited.rule && rule.conflicts_with.iter().any(|c| c == key)
            })
        })
        .map(|found| {
            let asked = asked(record, charted, &found.cited.rule, offset);
            Conflict {
                cited: found.cited.clone(),
                decision: key.to_owned(),
                vet_stands_by_it: asked.is_some(),
                asked,
            }
        })
        .collect()
}

/// Puts one tooth together.
pub fn plan(
    record: &Record,
    facts: &ToothFacts,
    mouth: &Mouth,
    offset: jiff::tz::Offset,
    probe_error_mm: u8,
) -> ToothPlan {
    let tooth = facts.tooth;
    let stage = if facts.is_there() {
        stage::estimate(&facts.stage_input(probe_error_mm))
    } else {
        None
    };
    let found = record.decision(tooth);
    let decision = found.map(|(decision, ..)| decision);
    let guidance = guidance(facts, mouth, stage.as_ref(), decision);
    let was_challenged = found.is_some_and(|(_, _, charted)| {
        matches!(
            &charted.event,
            crate::record::Event::DecisionRecorded {
                challenge: Some(_),
                ..
            }
        )
    });
    let conflicts = found.map_or_else(Vec::new, |(decision, _, charted)| {
        conflicts(record, &guidance, decision, charted, offset)
    });
    let has_sites = facts.sites_read() > 0 || facts.has_recession();
    ToothPlan {
        tooth,
        name: dentition::name(tooth),
        root_count: facts.roots.map(|roots| roots.count),
        is_there: facts.is_there(),
        findings: super::words::findings(record, tooth),
        sites: if has_sites { sites(facts) } else { Vec::new() },
        worst_depth_mm: facts.deepest_mm(),
        worst_loss: facts.worst_loss(),
        root_length_mm: facts.root_length_mm,
        stage,
        furcation: facts.furcation,
        mobility: facts.mobility,
        is_pulp_exposed: (facts.fracture.is_some() || facts.is_pulp_exposed() == Some(true))
            .then(|| facts.is_pulp_exposed())
            .flatten(),
        fracture: facts.fracture.clone(),
        resorption: resorption(facts),
        guidance,
        decision: found.map(|(decision, reason, charted)| DecisionPlan {
            decision: decision_key(decision).to_owned(),
            months: match decision {
                Decision::Monitor { months } => *months,
                _ => None,
            },
            reason,
            is_confirmed: charted.standing == Standing::Confirmed,
            was_challenged,
            pieces: facts.roots.map_or(1, |roots| roots.count),
        }),
        conflicts,
        notes: notes(facts, mouth.species, decision),
        unconfirmed_count: facts.unconfirmed_count,
    }
}

fn sites(facts: &ToothFacts) -> Vec<SitePlan> {
    Site::ALL
        .into_iter()
        .enumerate()
        .map(|(at, site)| SitePlan {
            site,
            depth_mm: facts.depth_mm[at],
            recession_mm: facts.recession_mm[at],
            loss: facts.loss(at),
            is_deep: facts.depth_mm[at].is_some_and(|mm| mm > facts.normal_depth_mm),
            is_pseudopocket: facts.is_pseudopocket(at),
        })
        .collect()
}

fn resorption(facts: &ToothFacts) -> Option<String> {
    let stage = facts.resorption_stage.as_deref().map(|stage| match stage {
        "unstaged" => "TR without a stage".to_owned(),
        stage => format!("TR{stage}"),
    });
    let kind = facts.resorption_type.map(|kind| format!("type {kind}"));
    match (stage, kind) {
        (Some(stage), Some(kind)) => Some(format!("{stage} {kind}")),
        (stage, kind) => stage.or(kind),
    }
}

/// Contradictions and open questions of the chart.
fn notes(facts: &ToothFacts, species: Species, decision: Option<&Decision>) -> Vec<Cited> {
    let rules = rules();
    let mut notes = Vec::new();
    let loss = facts.worst_loss();
    if facts.furcation == Some(1)
        && facts.sites_read() >= stage::SITES_ENOUGH
        && loss.is_some_and(|loss| loss.at_most_mm == 0)
    {
        notes.push(rules.cite("furcation_without_loss"));
    }
    if facts.furcation.is_some() {
        match facts.roots {
            Some(roots) if roots.varies => notes.push(rules.cite("furcation_varying_root")),
            Some(roots) if roots.count == 1 => notes.push(rules.cite("furcation_single_root")),
            _ => {}
        }
    }
    if (0..6).any(|at| facts.is_pseudopocket(at)) {
        notes.push(rules.cite("pseudopocket"));
    }
    if facts.has_recession() && !facts.is_deep() {
        notes.push(rules.cite("recession_flag"));
    }
    if facts.film_percent == Some(0) && facts.is_deep() {
        notes.push(rules.cite("film_shows_less"));
    }
    if facts.kinds.contains(&Kind::ResorptionStage)
        && !facts.kinds.contains(&Kind::ResorptionType)
        && let Some(kind) = facts.resorption_type
    {
        notes.push(rules.cite_as(
            "resorption_type_by_film",
            format!("resorption type {kind}, as the film shows the ligament"),
        ));
    }
    if let (true, Some(said), Some(shown)) = (
        facts.kinds.contains(&Kind::ResorptionType),
        facts.resorption_type,
        facts.resorption_type_by_film(),
    ) && said != shown
    {
        notes.push(rules.cite_as(
            "resorption_type_by_film",
            format!(
                "resorption type {said} was said, and the film reads as type {shown}: look again"
            ),
        ));
    }
    if facts.resorption_stage.as_deref() == Some("4") {
        notes.push(rules.cite("resorption_letter"));
    }
    if let (Some(loss), Some(root)) = (loss, facts.root_length_mm)
        && loss.at_least_mm > root
    {
        notes.push(rules.cite_as(
            "stage_by_share",
            format!(
                "loss {} mm is more than the root's {root} mm: measure again",
                loss.at_least_mm
            ),
        ));
    }
    if decision == Some(&Decision::Extract) {
        let roots = facts.roots.map_or(1, |roots| roots.count);
        if roots > 1 {
            notes.push(rules.cite_as(
                "pieces_by_roots",
                format!("part into {roots} pieces, from the furcation towards the crown"),
            ));
        }
        if facts.roots.is_some_and(|roots| roots.varies) {
            notes.push(rules.cite("pieces_varying"));
        }
        if facts.roots.is_some_and(|roots| roots.from_memory) {
            notes.push(Cited::new(
                "pieces_by_roots",
                format!("root count of the {}'s deciduous tooth", species.word()),
                &["MEM".to_owned()],
            ));
        }
    }
    notes
}
