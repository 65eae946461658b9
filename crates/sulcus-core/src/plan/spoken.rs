//! The plan as short sentences to be said aloud, the most important first. Tooth numbers and numbers are parts of
//! their own, so that the voice can say digits one by one.
//!
//! Invariant: no sentence has more than 12 words, a tooth counted as three.

use std::fmt;

use serde::Serialize;

use super::Plan;
use super::anaesthetic::Ceilings;
use super::checks::CheckState;
use super::progress::{Direction, ToothComparison};
use super::rules::CheckPhase;
use super::words;
use crate::terms::ToothNumber;
use crate::terms::anaesthetic::Against;

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    Text(String),
    Tooth(ToothNumber),
    Number(u16),
}

/// One sentence.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Sentence(pub Vec<Part>);

/// Longer sentences are lost over the noise of scaler and suction: common practice, no source.
pub const WORDS_MAX: usize = 12;

impl Sentence {
    pub fn text(words: impl Into<String>) -> Self {
        Self(vec![Part::Text(words.into())])
    }

    pub fn word_count(&self) -> usize {
        self.0
            .iter()
            .map(|part| match part {
                Part::Text(text) => text.split_whitespace().count(),
                Part::Tooth(_) => 3,
                // "one two", at most three digits in a plan.
                Part::Number(number) => number.to_string().len(),
            })
            .sum()
    }

    fn and(mut self, text: &str) -> Self {
        self.0.push(Part::Text(text.to_owned()));
        self
    }

    fn number(mut self, number: usize) -> Self {
        self.0
            .push(Part::Number(u16::try_from(number).unwrap_or(u16::MAX)));
        self
    }

    fn tooth(mut self, tooth: ToothNumber) -> Self {
        self.0.push(Part::Tooth(tooth));
        self
    }
}

impl fmt::Display for Sentence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, part) in self.0.iter().enumerate() {
            if at > 0 {
                f.write_str(" ")?;
            }
            match part {
                Part::Text(text) => f.write_str(text)?,
                Part::Tooth(tooth) => write!(f, "{tooth}")?,
                Part::Number(number) => write!(f, "{number}")?,
            }
        }
        f.write_str(".")
    }
}

/// "Extract 208, 104 and 309", as many sentences as the teeth need.
fn with_teeth(lead: &str, teeth: &[ToothNumber]) -> Vec<Sentence> {
    let lead_words = lead.split_whitespace().count();
    // Three words a tooth, and one for "and".
    let each = (WORDS_MAX.saturating_sub(lead_words + 1) / 3).max(1);
    teeth
        .chunks(each)
        .map(|chunk| {
            let mut sentence = Sentence::text(lead);
            for (at, tooth) in chunk.iter().enumerate() {
                if at > 0 && at + 1 == chunk.len() {
                    sentence = sentence.and("and");
                }
                sentence = sentence.tooth(*tooth);
            }
            sentence
        })
        .collect()
}

/// Answer to "what is the plan".
pub fn spoken(plan: &Plan) -> Vec<Sentence> {
    let mut said = Vec::new();
    warnings(plan, &mut said);
    let conflicts: Vec<ToothNumber> = plan
        .teeth
        .iter()
        .filter(|tooth| tooth.conflicts.iter().any(|c| !c.vet_stands_by_it))
        .map(|tooth| tooth.tooth)
        .collect();
    said.extend(with_teeth("Decision and guidance differ for", &conflicts));
    let undecided: Vec<ToothNumber> = plan
        .teeth
        .iter()
        .filter(|t| t.is_undecided())
        .map(|t| t.tooth)
        .collect();
    said.extend(with_teeth("No decision yet for", &undecided));
    for (word, lead) in [
        ("extract", "Extract"),
        ("crown_amputation", "Crown amputation"),
        ("root_canal", "Root canal"),
        ("vital_pulp_therapy", "Vital pulp therapy"),
        ("root_planing_open", "Open root planing"),
        ("root_planing_closed", "Closed root planing"),
        ("restoration", "Restore"),
        ("gum_surgery", "Gum surgery"),
        ("treat", "Treat"),
        ("refer", "Refer"),
        ("monitor", "Monitor"),
    ] {
        let teeth: Vec<ToothNumber> = plan
            .teeth
            .iter()
            .filter(|tooth| {
                plan.outstanding.contains(&tooth.tooth) || matches!(word, "monitor" | "refer")
            })
            .filter(|tooth| tooth.decision.as_ref().is_some_and(|d| d.decision == word))
            .map(|tooth| tooth.tooth)
            .collect();
        said.extend(with_teeth(lead, &teeth));
    }
    let films: Vec<ToothNumber> = plan
        .films
        .teeth
        .iter()
        .filter(|f| !f.is_taken)
        .map(|f| f.tooth)
        .collect();
    match films.len() {
        0 => {}
        1..=3 => said.extend(with_teeth("Films wanted of", &films)),
        count => said.push(Sentence::text("Films wanted of").number(count).and("teeth")),
    }
    let missing = plan.unexamined.uncharted.len() + plan.unexamined.unprobed.len();
    if missing > 0 {
        let word = if missing == 1 { "tooth" } else { "teeth" };
        said.push(
            Sentence::text("Not fully examined:")
                .number(missing)
                .and(word),
        );
    }
    if !plan.work.steps.is_empty() {
        said.push(Sentence::text("Turns of the patient:").number(plan.work.turns));
        said.push(
            Sentence::text("Time, about")
                .number(plan.work.minutes_low as usize)
                .and("to")
                .number(plan.work.minutes_high as usize)
                .and("minutes"),
        );
    }
    if said.is_empty() {
        said.push(Sentence::text("Nothing is planned"));
    }
    said
}

fn warnings(plan: &Plan, said: &mut Vec<Sentence>) {
    match &plan.anaesthetic.ceilings {
        Ceilings::Worked { total, .. } if total.against == Against::Over => {
            said.push(Sentence::text(
                "Stop: local anaesthetic is over the ceiling",
            ));
        }
        Ceilings::Worked { total, .. } if total.against == Against::At => {
            said.push(Sentence::text(
                "Local anaesthetic is at the ceiling: no more",
            ));
        }
        Ceilings::Refused { .. } if !plan.anaesthetic.blocks.is_empty() => {
            said.push(Sentence::text("No weight, so no ceiling for nerve blocks"));
        }
        _ => {}
    }
    for line in &plan.checks {
        let is_late = line.phase == CheckPhase::After && line.state == CheckState::Attention;
        if is_late && line.blocks_waking {
            let what = words::spaced(&line.key);
            said.push(Sentence::text(format!("Do not wake: check {what}")));
        }
    }
    let left: Vec<ToothNumber> = plan
        .work
        .left_out
        .iter()
        .flat_map(|left| left.teeth.clone())
        .collect();
    if !plan.work.left_out.is_empty() && left.is_empty() {
        said.push(Sentence::text("Time is short: not all work fits"));
    }
    said.extend(with_teeth("No time for", &left));
    if plan.unconfirmed_count > 0 {
        said.push(
            Sentence::text("Not confirmed:")
                .number(plan.unconfirmed_count)
                .and("entries"),
        );
    }
}

/// Answer to "compare tooth ...".
pub fn comparison(tooth: &ToothComparison) -> Vec<Sentence> {
    let mut said = Vec::new();
    if tooth.sites_compared == 0 && tooth.changes.is_empty() {
        return vec![
            Sentence::default()
                .tooth(tooth.tooth)
                .and("has nothing to compare"),
        ];
    }
    if tooth.changes.is_empty() {
        return vec![
            Sentence::default()
                .tooth(tooth.tooth)
                .and("has not changed"),
        ];
    }
    said.push(
        Sentence::default()
            .tooth(tooth.tooth)
            .and(if tooth.has_progressed {
                "has progressed"
            } else {
                "has changed"
            }),
    );
    let mut changes: Vec<_> = tooth.changes.iter().collect();
    changes.sort_by_key(|change| change.direction != Direction::Worse);
    for change in changes {
        let mut sentence = Sentence::text(format!("{},", change.what));
        for (lead, value) in [("was", &change.before), ("now", &change.now)] {
            sentence = match value.trim_end_matches(" mm").parse::<usize>() {
                Ok(number) => sentence.and(lead).number(number),
                Err(_) => sentence.and(&format!("{lead} {value}")),
            };
        }
        said.push(sentence);
    }
    said
}
