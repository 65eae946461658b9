//! The plan as plain text, for a terminal or a printer. Lays out what the plan says and adds nothing.

use std::fmt::Write as _;

use super::Plan;
use super::anaesthetic::{AnaestheticPlan, Ceilings};
use super::checks::CheckState;
use super::mouth::{MouthPlan, MouthScore, Spread};
use super::progress::Comparison;
use super::rules::{Certainty, CheckPhase, Cited};
use super::tooth::ToothPlan;
use super::words::{self, hundredths};
use crate::terms::Site;

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
        let ask = if conflict.vet_stands_by_it {
            "the vet was asked and stands by it"
        } else {
            "ask the vet"
        };
        page.line(format!(
            "    CONFLICT, {ask}: {} but {}",
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
    format!(
        "buccal {}, lingual {} mm",
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
    for guidance in &mouth.guidance {
        page.cited("guidance: ", guidance);
    }
    for basis in &mouth.basis {
        page.cited("basis: ", basis);
    }
}

fn films(page: &mut Page, plan: &Plan) {
    let films = &plan.films;
    page.head("Films");
    let mark = |is_taken: bool| if is_taken { "[x]" } else { "[ ]" };
    page.line(format!(
        "{} {}",
        mark(films.full_mouth_taken),
        with_source(&films.full_mouth)
    ));
    if let Some(size) = &films.size {
        page.cited("size: ", size);
    }
    for film in &films.teeth {
        let why: Vec<String> = film.why.iter().map(with_source).collect();
        page.line(format!(
            "{} {}: {}",
            mark(film.is_taken),
            film.tooth,
            why.join("; ")
        ));
    }
    for film in &films.after_extraction {
        page.line(format!(
            "{} {} after extraction",
            mark(film.is_taken),
            film.tooth
        ));
    }
    let basis = films.views_basis.as_deref().unwrap_or_default();
    page.line(format!("views ({basis}):"));
    for view in &films.views {
        let side = view
            .side
            .map(|side| format!("{} ", words::mouth_side(side)))
            .unwrap_or_default();
        page.line(format!(
            "  {} {side}{}: {}",
            mark(view.is_taken),
            view.title,
            words::teeth(&view.teeth)
        ));
    }
    page.line(if films.are_read {
        "[x] films read"
    } else {
        "[ ] films read"
    });
}

fn work(page: &mut Page, plan: &Plan) {
    let work = &plan.work;
    page.head("Order of work");
    if work.steps.is_empty() {
        page.line("nothing left to do");
    }
    for (at, step) in work.steps.iter().enumerate() {
        if step.is_turn {
            page.line("    -- turn the patient --");
        } else if step.is_jaw_change {
            page.line("    -- other jaw --");
        }
        let wait = match step.wait_minutes {
            0 => String::new(),
            minutes => format!(", after waiting {minutes} min for the block"),
        };
        page.line(format!(
            "{:>3}. +{:>3} min  {} ({} to {} min{wait})",
            at + 1,
            step.starts_after_minutes,
            step.text,
            step.minutes_low,
            step.minutes_high
        ));
    }
    page.line(format!(
        "turns {}, changes of jaw {}, waiting {} min; in all {} to {} min",
        work.turns, work.jaw_changes, work.wait_minutes, work.minutes_low, work.minutes_high
    ));
    if let Some(minutes) = work.anaesthetic_minutes_so_far {
        page.line(format!("anaesthetic so far {minutes} min"));
    }
    for (task, count) in &work.learned {
        page.line(format!(
            "time of {task:?} learned from {count} in past visits"
        ));
    }
    for left in &work.left_out {
        page.line(format!("  ** does not fit: {} **", left.text));
    }
    for warning in &work.warnings {
        page.line(format!("WARNING: {warning}"));
    }
    for basis in &work.basis {
        page.cited("basis: ", basis);
    }
}

fn lay_out(page: &mut Page, plan: &Plan) {
    page.head("Lay out");
    for item in &plan.lay_out.items {
        let teeth = match item.teeth.as_slice() {
            [] => String::new(),
            teeth => format!(", for {}", words::teeth(teeth)),
        };
        let shelf = match item.shelf.as_slice() {
            [] => String::new(),
            words => format!(" -- {}", words.join(", ")),
        };
        page.line(format!("[ ] {}{teeth}{shelf}", with_source(&item.cited)));
    }
    if !plan.lay_out.is_shelf_known {
        page.line("shelf not checked: the clinic file lists none");
    }
    if !plan.lay_out.missing.is_empty() {
        page.line(format!(
            "MISSING ON THE SHELF: {}",
            plan.lay_out.missing.join(", ")
        ));
    }
    if !plan.lay_out.unknown_on_shelf.is_empty() {
        page.line(format!(
            "on the shelf, but asked for by no rule (a slip?): {}",
            plan.lay_out.unknown_on_shelf.join(", ")
        ));
    }
}

fn anaesthetic(page: &mut Page, plan: &AnaestheticPlan) {
    page.head("Local anaesthetic");
    for warning in &plan.warnings {
        page.cited("WARNING: ", warning);
    }
    match &plan.ceilings {
        Ceilings::Refused { why } => page.line(format!("no ceiling: {why}")),
        Ceilings::Worked { ceilings, total } => {
            for ceiling in ceilings {
                page.line(format!(
                    "{}: at most {} mg in all ({} mg/kg [{}]) = {} ml of {} %; still {} ml",
                    ceiling.drug.word(),
                    words::mg(ceiling.ceiling_ug),
                    hundredths(u32::from(ceiling.mg_per_kg_tenths) * 10),
                    ceiling.source,
                    hundredths(ceiling.volume_ml_hundredths),
                    hundredths(u32::from(ceiling.strength_percent_hundredths)),
                    hundredths(ceiling.left_volume_ml_hundredths)
                ));
            }
            for given in &total.given {
                let assumed = if given.strength_assumed {
                    ", strength assumed"
                } else {
                    ""
                };
                page.line(format!(
                    "given: {} {} ml = {} mg{assumed}",
                    given.drug.word(),
                    hundredths(given.volume_ml_hundredths),
                    words::mg(given.dose_ug)
                ));
            }
            page.line(format!(
                "running total: {} of the ceiling",
                hundredths(total.share_thousandths.div_ceil(10))
            ));
        }
    }
    for block in &plan.blocks {
        let certainty = match block.certainty {
            Certainty::Covers => "covers",
            Certainty::Disputed => "disputed for",
            Certainty::Unreliable => "UNRELIABLE for",
        };
        let name = words::spaced(
            &format!("{:?}", block.block)
                .chars()
                .enumerate()
                .flat_map(|(at, c)| {
                    let gap = (c.is_uppercase() && at > 0).then_some('_');
                    gap.into_iter().chain(c.to_lowercase())
                })
                .collect::<String>(),
        );
        page.line(format!(
            "block {name} {} {certainty} {}: {}",
            words::mouth_side(block.side),
            words::teeth(&block.teeth),
            with_source(&block.cited)
        ));
    }
    if !plan.uncovered.is_empty() {
        page.line(format!(
            "no block of the list surely covers: {}",
            words::teeth(&plan.uncovered)
        ));
    }
    for caution in &plan.cautions {
        page.cited("caution: ", caution);
    }
    page.line(&plan.sign_off);
}

fn checks(page: &mut Page, plan: &Plan) {
    page.head("Checks");
    for (phase, title) in [
        (CheckPhase::Before, "before"),
        (CheckPhase::During, "during"),
        (CheckPhase::After, "after"),
    ] {
        page.line(format!("{title}:"));
        for line in plan.checks.iter().filter(|line| line.phase == phase) {
            let mark = match line.state {
                CheckState::Done => "[x]",
                CheckState::Open => "[ ]",
                CheckState::Attention => "[!]",
                CheckState::NotNeeded => "[-]",
            };
            let detail = line
                .detail
                .as_ref()
                .map(|detail| format!(": {detail}"))
                .unwrap_or_default();
            let wake = if line.blocks_waking
                && matches!(line.state, CheckState::Open | CheckState::Attention)
            {
                "  ** do not wake before **"
            } else {
                ""
            };
            page.line(format!(
                "  {mark} {}{detail}{wake}",
                with_source(&line.cited)
            ));
        }
    }
}

fn afterwards(page: &mut Page, plan: &Plan) {
    let afterwards = &plan.afterwards;
    page.head("For the owner");
    for done in &afterwards.done {
        page.line(done);
    }
    for line in &afterwards.home_care {
        page.line(format!("- {}", line.text));
    }
    page.head("Come again");
    for recheck in &afterwards.rechecks {
        let from = recheck
            .from
            .map(|from| format!("{from} to "))
            .unwrap_or_else(|| "by ".into());
        let teeth = match recheck.teeth.as_slice() {
            [] => String::new(),
            teeth => format!(" ({})", words::teeth(teeth)),
        };
        page.line(format!(
            "{from}{}: {}{teeth}: {}",
            recheck.until,
            recheck.what,
            with_source(&recheck.cited)
        ));
    }
    if !afterwards.compare_next.is_empty() {
        page.line(format!(
            "compare next time: {}",
            words::teeth(&afterwards.compare_next)
        ));
    }
}

fn compared(page: &mut Page, comparison: &Comparison) {
    page.line(format!(
        "earlier visit {} of {}; a change counts above {} mm",
        comparison.earlier_visit,
        comparison.earlier_at.strftime("%Y-%m-%d"),
        comparison.probe_error_mm
    ));
    let mut same = Vec::new();
    for tooth in &comparison.teeth {
        if tooth.changes.is_empty() {
            same.push(tooth.tooth);
            continue;
        }
        let word = if tooth.has_progressed {
            "PROGRESSED"
        } else {
            "changed"
        };
        let watched = if tooth.was_monitored {
            ", was monitored"
        } else {
            ""
        };
        page.line(format!("{} {word}{watched}", tooth.tooth));
        for change in &tooth.changes {
            page.line(format!(
                "    {}: {} -> {}",
                change.what, change.before, change.now
            ));
        }
    }
    if !same.is_empty() {
        page.line(format!("no change: {}", words::teeth(&same)));
    }
    if !comparison.monitored_not_charted.is_empty() {
        page.line(format!(
            "was monitored, not charted now: {}",
            words::teeth(&comparison.monitored_not_charted)
        ));
    }
    page.cited("basis: ", &comparison.basis);
}

fn sources(page: &mut Page) {
    page.head("Sources");
    let cited: Vec<(String, &String)> = super::rules()
        .sources
        .iter()
        .map(|(key, title)| (format!("[{key}]"), title))
        .filter(|(key, _)| {
            let bare = key.trim_matches(['[', ']']);
            let found = [
                format!("[{bare}]"),
                format!("[{bare},"),
                format!(" {bare}]"),
                format!(" {bare},"),
            ];
            found.iter().any(|form| page.0.contains(form))
        })
        .collect();
    for (key, title) in cited {
        page.line(format!("{key} {title}"));
    }
}
