//! The sections of the text after the chart: films, work, lay-out, anaesthetic, checks, afterwards, comparison.

use super::{Page, hundredths, with_source, words};
use crate::plan::Plan;
use crate::plan::anaesthetic::{AnaestheticPlan, Ceilings};
use crate::plan::checks::CheckState;
use crate::plan::progress::Comparison;
use crate::plan::rules::{Certainty, CheckPhase};
use crate::plan::staging::Staging;

pub(super) fn films(page: &mut Page, plan: &Plan) {
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

pub(super) fn work(page: &mut Page, plan: &Plan) {
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

pub(super) fn staging(page: &mut Page, staging: &Staging) {
    let is_open = !staging.can_wait.is_empty()
        || !staging.put_off.is_empty()
        || !staging.stop.is_empty()
        || staging.limit_minutes.is_some();
    if !is_open {
        return;
    }
    page.head("Today, or a second visit (the vet decides)");
    match (staging.limit_minutes, staging.limit_because.as_str()) {
        (Some(minutes), "") => page.line(format!("the clinic's limit: {minutes} min")),
        (Some(minutes), why) => {
            page.line(format!("the clinic's limit for {why}: {minutes} min"));
        }
        (None, _) => page.line("the clinic set no limit: only the time is told"),
    }
    for reason in &staging.stop {
        page.cited("REASON TO STOP: ", reason);
    }
    for ask in &staging.asks {
        page.line(format!("ASK THE VET: {ask}"));
    }
    for placed in &staging.today {
        page.cited(&format!("{}: ", placed.tooth), &placed.cited);
    }
    for placed in &staging.can_wait {
        page.cited(&format!("{}: ", placed.tooth), &placed.cited);
    }
    if !staging.put_off.is_empty() {
        let when = staging.second_visit.map_or_else(
            || {
                format!(
                    "day not said; between {} and {}",
                    staging.second_from, staging.second_until
                )
            },
            |day| day.to_string(),
        );
        page.line(format!(
            "put off by the vet: {} (second visit: {when})",
            words::teeth(&staging.put_off)
        ));
    }
    for basis in &staging.basis {
        page.cited("basis: ", basis);
    }
}

pub(super) fn lay_out(page: &mut Page, plan: &Plan) {
    page.head("Lay out, in the order in which it is asked for");
    for (at, item) in plan.lay_out.items.iter().enumerate() {
        let is_first_in_case =
            item.is_in_case && (at == 0 || !plan.lay_out.items[at - 1].is_in_case);
        if is_first_in_case {
            page.cited("at hand in case: ", &plan.lay_out.in_case);
        }
        let teeth = match item.teeth.as_slice() {
            [] => String::new(),
            teeth => format!(", for {}", words::teeth(teeth)),
        };
        let shelf = match item.shelf.as_slice() {
            [] => String::new(),
            words => format!(" -- {}", words.join(", ")),
        };
        let why = item
            .why
            .as_ref()
            .map_or_else(String::new, |why| format!(": {why}"));
        page.line(format!(
            "[ ] {}{teeth}{why}{shelf}",
            with_source(&item.cited)
        ));
    }
    for care in &plan.lay_out.care {
        page.cited("after use: ", care);
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

pub(super) fn anaesthetic(page: &mut Page, plan: &AnaestheticPlan) {
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

pub(super) fn checks(page: &mut Page, plan: &Plan) {
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

pub(super) fn afterwards(page: &mut Page, plan: &Plan) {
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

pub(super) fn compared(page: &mut Page, comparison: &Comparison) {
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
    for change in &comparison.mouth {
        page.line(format!(
            "{}: {} -> {}",
            change.what, change.before, change.now
        ));
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

pub(super) fn sources(page: &mut Page) {
    page.head("Sources");
    let cited: Vec<(String, &String)> = crate::plan::rules()
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
