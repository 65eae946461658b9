//! The plan as plain text, for a terminal or a printer. Lays out what the plan says and adds nothing.

mod sections;

use std::fmt::Write as _;

use super::Plan;
use super::mouth::{MouthPlan, MouthScore, Spread};
use super::progress::Comparison;
use super::rules::Cited;
use super::tooth::ToothPlan;
use super::words::{self, hundredths};
use crate::terms::Site;
use sections::{afterwards, anaesthetic, checks, compared, films, lay_out, sources, staging, work};

/// Text that is only ever appended to; writing to a string cannot fail.
#[derive(Default)]
struct Page(String);

impl Page {
    fn line(&mut self, text: impl AsRef<str>) {
        let _ = writeln!(self.0, "{}", text.as_ref());
    }

    fn head(&mut self, title: &str) {
        let _ = writeln!(self.0, "\n{title}\n{}", "-".repeat(title.len()));
    }

    fn cited(&mut self, indent: &str, cited: &Cited) {
        self.line(format!("{indent}{}", with_source(cited)));
    }
}

/// "text [KEY, KEY]" or "text (from memory, check)".
fn with_source(cited: &Cited) -> String {
    let keys: Vec<&str> = cited
        .sources
        .iter()
        .map(String::as_str)
        .filter(|key| !matches!(*key, "MEM" | "PRACTICE"))
        .collect();
    let mut text = cited.text.clone();
    if !keys.is_empty() {
        text += &format!(" [{}]", keys.join(", "));
    }
    if let Some(caution) = &cited.caution {
        text += &format!(" ({caution})");
    }
    text
}

pub fn text(plan: &Plan) -> String {
    let mut page = Page::default();
    heading(&mut page, plan);
    teeth(&mut page, plan);
    mouth(&mut page, &plan.mouth);
    films(&mut page, plan);
    work(&mut page, plan);
    staging(&mut page, &plan.staging);
    lay_out(&mut page, plan);
    anaesthetic(&mut page, &plan.anaesthetic);
    checks(&mut page, plan);
    afterwards(&mut page, plan);
    if let Some(comparison) = &plan.comparison {
        page.head("Compared with the visit before");
        compared(&mut page, comparison);
    }
    sources(&mut page);
    page.0
}

/// Only the comparison of two visits.
pub fn comparison_text(comparison: &Comparison) -> String {
    let mut page = Page::default();
    compared(&mut page, comparison);
    page.0
}

fn heading(page: &mut Page, plan: &Plan) {
    let patient = &plan.patient;
    let weight = patient
        .weight
        .map_or("weight not recorded".into(), |w| format!("{} kg", w.kg()));
    let born = patient
        .born
        .as_ref()
        .map(|born| format!(", born {born}"))
        .unwrap_or_default();
    page.line(format!(
        "Plan for {}, {}, {weight}{born}; visit of {}",
        patient.name,
        patient.species.word(),
        plan.date
    ));
    if patient.invented {
        page.line("INVENTED DATA, no real animal");
    }
    page.line("The vet decides. Guidance is published guidance with its source, to ask by, never an order.");
    if plan.unconfirmed_count > 0 {
        page.line(format!(
            "NOT CONFIRMED: {} entries of this chart",
            plan.unconfirmed_count
        ));
    }
    for assumption in &plan.assumptions {
        page.line(format!("Note: {assumption}"));
    }
}

fn teeth(page: &mut Page, plan: &Plan) {
    page.head("Teeth");
    let mut plain = Vec::new();
    for tooth in &plan.teeth {
        let is_quiet = tooth.guidance.is_empty()
            && tooth.decision.is_none()
            && tooth.notes.is_empty()
            && tooth.findings.iter().all(|finding| finding == "normal");
        if is_quiet {
            plain.push(tooth.tooth);
        } else {
            one_tooth(page, tooth);
        }
    }
    if !plain.is_empty() {
        page.line(format!("Nothing to tell: {}", words::teeth(&plain)));
    }
    let gaps = &plan.unexamined;
    if !gaps.uncharted.is_empty() {
        page.line(format!("Not charted: {}", words::teeth(&gaps.uncharted)));
    }
    if !gaps.unprobed.is_empty() {
        page.line(format!(
            "Not probed round: {}",
            words::teeth(&gaps.unprobed)
        ));
    }
}

fn one_tooth(page: &mut Page, tooth: &ToothPlan) {
    page.line(format!("{} {}", tooth.tooth, tooth.name));
    let mut facts = Vec::new();
    if let Some(stage) = &tooth.stage {
        facts.push(stage.words());
    }
    if let Some(loss) = tooth.worst_loss {
        let mm = if loss.at_least_mm == loss.at_most_mm {
            loss.at_most_mm.to_string()
        } else {
            format!("{} to {}", loss.at_least_mm, loss.at_most_mm)
        };
        let root = tooth
            .root_length_mm
            .map(|root| format!(" of a {root} mm root"))
            .unwrap_or_default();
        facts.push(format!("worst loss {mm} mm{root}"));
    }
    facts.extend(tooth.findings.iter().cloned());
    if tooth.is_pulp_exposed == Some(true) {
        facts.push("pulp exposed".into());
    }
    facts.dedup();
    if !facts.is_empty() {
        page.line(format!("    {}", facts.join("; ")));
    }
    if !tooth.sites.is_empty() {
        page.line(format!(
            "    depth {}",
            site_row(tooth, |site| site.depth_mm)
        ));
        if tooth
            .sites
            .iter()
            .any(|site| site.recession_mm.is_some_and(|mm| mm > 0))
        {
            page.line(format!(
                "    recession {}",
                site_row(tooth, |site| site.recession_mm)
            ));
        }
    }
    if let Some(stage) = &tooth.stage
        && !stage.lacking.is_empty()
    {
        page.line(format!("    stage lacks: {}", stage.lacking.join("; ")));
    }
    for note in &tooth.notes {
        page.cited("    note: ", note);
    }
    for guidance in &tooth.guidance {
        page.cited("    guidance: ", &guidance.cited);
    }
    match &tooth.decision {
        Some(decision) => {
            let months = decision
                .months
                .map(|months| format!(", {months} months"))
                .unwrap_or_default();
            let standing = if decision.is_confirmed {
                ""
            } else {
                ", NOT CONFIRMED"
            };
            page.line(format!(
                "    decision: {}{months}{standing}",
                words::decision(&decision.decision).to_uppercase()
            ));
        }
        None if tooth.is_undecided() => page.line("    decision: none yet, ask"),
        None => {}
    }
    for conflict in &tooth.conflicts {
        page.line(format!(
            "    CONFLICT, {}: {} but {}",
            conflict.words(),
            words::decision(&conflict.decision),
            with_source(&conflict.cited)
        ));
    }
    if tooth.unconfirmed_count > 0 {
        page.line(format!(
            "    not confirmed: {} entries",
            tooth.unconfirmed_count
        ));
    }
}

/// "buccal 3 3 4, lingual 3 - 5", mesial to distal.
fn site_row(tooth: &ToothPlan, value: impl Fn(&super::tooth::SitePlan) -> Option<u8>) -> String {
    let side = |sites: &[super::tooth::SitePlan]| {
        sites
            .iter()
            .map(|site| value(site).map_or("-".into(), |mm| mm.to_string()))
            .collect::<Vec<_>>()
            .join(" ")
    };
    let half = Site::ALL.len() / 2;
    let tongue = crate::session::read_back::side_word(tooth.tooth, crate::terms::Side::Lingual);
    format!(
        "buccal {}, {tongue} {} mm",
        side(&tooth.sites[..half]),
        side(&tooth.sites[half..])
    )
}

fn mouth(page: &mut Page, mouth: &MouthPlan) {
    page.head("Mouth");
    page.line(format!("{} teeth charted", mouth.teeth_charted));
    if !mouth.teeth_missing.is_empty() {
        page.line(format!("missing: {}", words::teeth(&mouth.teeth_missing)));
    }
    let row = |name: &str, spread: &Option<Spread>, unit: &str, of: &str| match spread {
        Some(s) => format!(
            "{name}: mean {}{unit}, worst {}{unit}, over {} {of}",
            hundredths(s.mean_hundredths),
            s.worst,
            s.count
        ),
        None => format!("{name}: not charted"),
    };
    page.line(row("depth", &mouth.depth_mm, " mm", "sites"));
    page.line(row("attachment loss", &mouth.loss_mm, " mm", "sites"));
    page.line(row("plaque", &mouth.plaque, "", "teeth"));
    page.line(row("calculus", &mouth.calculus, "", "teeth"));
    page.line(row("gingivitis", &mouth.gingivitis, "", "teeth"));
    for stage in mouth
        .by_stage
        .iter()
        .filter(|stage| !stage.teeth.is_empty())
    {
        page.line(format!(
            "{}: {} ({})",
            stage.stage.word(),
            stage.teeth.len(),
            words::teeth(&stage.teeth)
        ));
    }
    if !mouth.stage_open.is_empty() {
        let open: Vec<String> = mouth
            .stage_open
            .iter()
            .map(|(tooth, range)| format!("{tooth} {range}"))
            .collect();
        page.line(format!("stage open: {}", open.join("; ")));
    }
    match mouth.attachment_lost_thousandths {
        Some(share) => page.line(format!(
            "share of attachment lost: {}.{} % over {} teeth with a root length",
            share / 10,
            share % 10,
            mouth.attachment_lost_teeth
        )),
        None => page.line("share of attachment lost: no root length is charted"),
    }
    match &mouth.mouth_score {
        MouthScore::Refused { why } => page.line(format!("total mouth score: none: {why}")),
        MouthScore::Worked { gingivitis, periodontitis, source, caution } => page.line(format!(
            "total mouth score: gingivitis {gingivitis:.2}, periodontitis {periodontitis:.2}; factors: {source} ({caution})"
        )),
    }
    for finding in &mouth.findings {
        page.line(format!("found: {finding}"));
    }
    for lesion in &mouth.lesions {
        let parts: Vec<&str> = [lesion.size.as_deref(), Some(&*lesion.look)]
            .into_iter()
            .flatten()
            .filter(|part| !part.is_empty())
            .collect();
        page.line(format!(
            "lesion: {} {}: {}",
            lesion.kind.spec().title,
            lesion.place,
            if parts.is_empty() {
                "not described".to_owned()
            } else {
                parts.join(", ")
            }
        ));
    }
    for decision in &mouth.decisions {
        let standing = match (decision.is_done, decision.is_confirmed) {
            (true, _) => ", done",
            (false, true) => "",
            (false, false) => ", not confirmed",
        };
        page.line(format!("decided: {}{standing}", decision.text));
    }
    for guidance in &mouth.guidance {
        page.cited("guidance: ", guidance);
    }
    for basis in &mouth.basis {
        page.cited("basis: ", basis);
    }
}
