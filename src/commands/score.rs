//! `sulcus score`: how well are the clips of a list recognised?

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use anyhow::{Context, bail};
use serde::Serialize;

use crate::audio::SAMPLE_RATE_HZ;
use crate::commands::{Outcome, table};
use crate::config::Config;
use crate::grammar::{Meaning, Situation};
use crate::score::clip;
use crate::score::ear::{Ear, TAIL_SAMPLES};
use crate::score::list::{self, Row, Split};
use crate::score::noise::Noises;
use crate::score::tally::{self, ClipResult, Fate, Summary};
use crate::speech::closed_graph as graph;
use crate::speech::{self, Engine, Hearing, Recogniser, WordGraph};
use crate::terms::Species;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// List of clips: tab-separated, with a head line; columns path (relative to the list) and words
    pub list: PathBuf,

    /// What may be said: strings of digits, of numbers, or the whole examination
    #[arg(
        long,
        value_enum,
        default_value = "exam",
        conflicts_with = "grammar_words"
    )]
    pub grammar: Grammar,

    /// What may be said when: table, question, speaking, asleep, or all for everything at any time
    #[arg(long, value_name = "WHEN", default_value = "table", value_parser = when)]
    pub situation: When,

    /// Allow only teeth that this species has; otherwise all teeth, as in a visit
    #[arg(long)]
    pub species: Option<Species>,

    /// Instead of a grammar: a file with one allowed word or phrase a line
    #[arg(long, value_name = "FILE")]
    pub grammar_words: Option<PathBuf>,

    /// Recognition engine
    #[arg(long, value_enum, default_value = "moonshine")]
    pub engine: Engine,

    /// Hear with the network as it was fetched, not adapted to the vocabulary, for comparison
    #[arg(long)]
    pub no_adapter: bool,

    /// Mix in noise from this WAV file, or from the WAV files of this folder
    #[arg(long, value_name = "DIR", requires = "snr")]
    pub noise: Option<PathBuf>,

    /// Level of the speech over the noise, in dB
    #[arg(
        long,
        value_name = "DB",
        requires = "noise",
        allow_negative_numbers = true
    )]
    pub snr: Option<f32>,

    /// Seed for choosing the noise and its place
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub seed: u64,

    /// Only clips whose path begins so
    #[arg(long, value_name = "PREFIX")]
    pub only: Option<String>,

    /// Only clips whose words the grammar allows; the others are otherwise counted as speech that must be kept out
    #[arg(long)]
    pub allowed_only: bool,

    /// Only one half of the speakers
    #[arg(long, value_enum)]
    pub split: Option<Split>,

    /// Only so many clips, chosen by the seed
    #[arg(long, value_name = "COUNT")]
    pub sample: Option<usize>,

    /// Write each clip as it was heard, noise and all, to this folder, with a list
    #[arg(long, value_name = "DIR")]
    pub keep_sound: Option<PathBuf>,

    /// Hear nothing: only write the sound
    #[arg(long, hide = true, requires = "keep_sound")]
    pub sound_only: bool,

    /// Hear as at the table: voice activity cuts the sound, and the end of speech must be found
    #[arg(long)]
    pub as_at_the_table: bool,

    /// Print each clip that did not come out right
    #[arg(long)]
    pub show: bool,

    /// Write summary and clips as JSON to this file, or to standard output with "-"
    #[arg(long, value_name = "FILE")]
    pub json: Option<PathBuf>,

    /// End with exit code 1 where more of the allowed clips, in percent, do not come out with the right values
    #[arg(long, value_name = "PERCENT")]
    pub max_wrong_strings: Option<f64>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Grammar {
    /// 1 to 16 digits, "oh" among them
    Digits,
    /// 1 to 16 numbers below a hundred
    Numbers,
    /// All that may be said in an examination
    Exam,
}

/// When something may be said: a situation, or nothing for all of them together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct When(Option<Situation>);

fn when(word: &str) -> Result<When, String> {
    match word {
        "all" => Ok(When(None)),
        word => word
            .parse()
            .map(|situation| When(Some(situation)))
            .map_err(|why| format!("{why}; or all")),
    }
}

/// A clip's result with what its row tells.
#[derive(Serialize)]
struct Clip {
    #[serde(flatten)]
    result: ClipResult,
    speaker: String,
    split: Split,
}

#[derive(Serialize)]
struct Report<'a> {
    engine: String,
    model: String,
    list: String,
    noise: Option<String>,
    snr_db: Option<f32>,
    seed: u64,
    /// From nothing to the first sound that could be heard.
    load_seconds: f64,
    /// Size of the word graph.
    states: usize,
    summary: &'a Summary,
    clips: Vec<Clip>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let graph = Arc::new(word_graph(options)?);
    let rows = rows(options, &graph)?;
    if rows.is_empty() {
        bail!(
            "no clip of {} is left to be measured; check --only, --split and --allowed-only",
            options.list.display()
        );
    }
    let noises = match (&options.noise, options.snr) {
        (Some(path), Some(snr_db)) => Some(Noises::read(path, snr_db, options.seed)?),
        _ => None,
    };
    if let Some(folder) = &options.keep_sound {
        keep_sound(folder, &rows, noises.as_ref())?;
        if options.sound_only {
            return Ok(Outcome::Done);
        }
    }
    let start = Instant::now();
    let mut recogniser = speech::open_as(options.engine, &config.models, !options.no_adapter)?;
    let unknown = recogniser.set_graph(Arc::clone(&graph))?;
    let load_seconds = start.elapsed().as_secs_f64();
    if !unknown.is_empty() {
        eprintln!("the model can never hear: {}", unknown.join(", "));
    }

    let identity = recogniser.identity();
    let mut way = if options.as_at_the_table {
        Way::Table(Box::new(Ear::new(
            recogniser,
            Arc::clone(&graph),
            &config.models,
        )?))
    } else {
        Way::Whole(recogniser)
    };

    let is_same = same_meaning(options)?;
    let bar = table::bar(rows.len() as u64, "{bar:30} {pos}/{len} clips, {eta} left");
    let mut results = Vec::with_capacity(rows.len());
    for row in &rows {
        let mut samples = clip::read(&row.path)?;
        if options.as_at_the_table {
            samples.resize(samples.len() + TAIL_SAMPLES, 0.0);
        }
        if let Some(noises) = &noises {
            noises.mix(&row.name, &mut samples);
        }
        let result = way.hear(row, &samples, graph.accepts(&row.words), is_same.as_ref())?;
        if options.show && !matches!(result.fate, Fate::Right | Fate::KeptOut) {
            bar.suspend(|| eprintln!("{}", clip_line(&result)));
        }
        results.push(result);
        bar.inc(1);
    }
    bar.finish_and_clear();

    let summary = tally::summary(&results);
    if let Some(path) = &options.json {
        let report = Report {
            engine: identity.name,
            model: identity.model,
            list: options.list.display().to_string(),
            noise: options
                .noise
                .as_ref()
                .map(|path| path.display().to_string()),
            snr_db: options.snr,
            seed: options.seed,
            load_seconds,
            states: graph.states.len(),
            summary: &summary,
            clips: rows
                .iter()
                .zip(results)
                .map(|(row, result)| Clip {
                    result,
                    speaker: row.speaker.clone(),
                    split: row.split(),
                })
                .collect(),
        };
        write_json(path, &report)?;
    }
    if options.json.as_deref() != Some(Path::new("-")) {
        print!("{}", table(&summary));
    }
    match options.max_wrong_strings {
        Some(limit) if summary.wrong_strings_percent > limit => Ok(Outcome::Problem),
        _ => Ok(Outcome::Done),
    }
}

/// How the sound comes to the engine.
enum Way {
    /// The clip at once.
    Whole(Box<dyn Recogniser>),
    Table(Box<Ear>),
}

impl Way {
    fn hear(
        &mut self,
        row: &Row,
        samples: &[f32],
        allowed: bool,
        is_same: &SameMeaning,
    ) -> anyhow::Result<ClipResult> {
        let sound_seconds = samples.len() as f64 / f64::from(SAMPLE_RATE_HZ);
        let compare = |hearing: &Hearing, seconds: f64| {
            tally::compare(
                &row.name,
                &row.words,
                allowed,
                is_same,
                hearing,
                sound_seconds,
                seconds,
            )
        };
        match self {
            Way::Whole(recogniser) => {
                let start = Instant::now();
                let hearing = recogniser.recognise(samples)?;
                Ok(compare(&hearing, start.elapsed().as_secs_f64()))
            }
            Way::Table(ear) => {
                let heard = ear.hear(samples)?;
                let mut result = compare(&heard.hearing, heard.recognition_ms / 1000.0);
                let mut figure = |name: &str, value: f64| {
                    result.figures.insert(name.to_owned(), value.into());
                };
                figure("utterances", heard.utterances as f64);
                figure("entries", heard.entries as f64);
                if let Some(latency_ms) = heard.latency_ms {
                    figure("latency_ms", latency_ms);
                }
                Ok(result)
            }
        }
    }
}

type SameMeaning = dyn Fn(&[String], &[String]) -> bool;

/// Whether two sentences of the examination mean the same. Of other grammars there is no meaning but the values.
fn same_meaning(options: &Options) -> anyhow::Result<Box<SameMeaning>> {
    if options.grammar_words.is_some() || options.grammar != Grammar::Exam {
        return Ok(Box::new(|_, _| false));
    }
    let grammar = crate::grammar::Grammar::built_in()?;
    let situation = options.situation.0.unwrap_or(Situation::Table);
    let species = options.species.unwrap_or(Species::Dog);
    Ok(Box::new(move |one, other| {
        let meaning = |words: &[String]| match grammar.interpret(words, situation, species) {
            Meaning::Said(intents) => Some(intents),
            _ => None,
        };
        let said = meaning(one);
        said.is_some() && said == meaning(other)
    }))
}

fn word_graph(options: &Options) -> anyhow::Result<WordGraph> {
    if let Some(path) = &options.grammar_words {
        let text = std::fs::read_to_string(path)
            .with_context(|| format!("cannot read the words file {}", path.display()))?;
        return Ok(graph::sentences(text.lines()));
    }
    match options.grammar {
        Grammar::Digits => Ok(graph::digits()),
        Grammar::Numbers => Ok(graph::numbers()),
        Grammar::Exam => exam_graph(options.situation, options.species),
    }
}

fn exam_graph(when: When, species: Option<Species>) -> anyhow::Result<WordGraph> {
    let grammar = crate::grammar::Grammar::built_in()?;
    let graph = match (when.0, species) {
        (Some(situation), None) => grammar.graph(situation),
        (Some(situation), Some(species)) => grammar.graph_for_species(situation, species),
        (None, None) => grammar.graph_of_all_situations(),
        (None, Some(_)) => bail!("--situation all goes with all teeth; leave --species out"),
    };
    Ok(graph.as_ref().clone())
}

/// Writes the clips as they will be heard, and their list.
fn keep_sound(folder: &Path, rows: &[Row], noises: Option<&Noises>) -> anyhow::Result<()> {
    std::fs::create_dir_all(folder)
        .with_context(|| format!("cannot make the folder {}", folder.display()))?;
    let mut list = "path\twords\tspeaker\tclip\n".to_owned();
    for (number, row) in rows.iter().enumerate() {
        let mut samples = clip::read(&row.path)?;
        if let Some(noises) = noises {
            noises.mix(&row.name, &mut samples);
        }
        let name = format!("{number:04}.wav");
        clip::write(&folder.join(&name), &samples)?;
        list.push_str(&format!(
            "{name}\t{}\t{}\t{}\n",
            row.words.join(" "),
            row.speaker,
            row.name
        ));
    }
    let path = folder.join("list.tsv");
    std::fs::write(&path, list).with_context(|| format!("cannot write {}", path.display()))
}

fn rows(options: &Options, graph: &WordGraph) -> anyhow::Result<Vec<Row>> {
    let mut rows = list::read(&options.list)?;
    if let Some(prefix) = &options.only {
        rows.retain(|row| row.name.starts_with(prefix));
    }
    if let Some(split) = options.split {
        rows.retain(|row| row.split() == split);
    }
    if options.allowed_only {
        rows.retain(|row| graph.accepts(&row.words));
    }
    if let Some(count) = options.sample {
        rows = list::sample(rows, count, options.seed);
    }
    Ok(rows)
}

fn clip_line(result: &ClipResult) -> String {
    format!(
        "{:?}{}: {} said \"{}\", heard \"{}\", free \"{}\"",
        result.fate,
        result
            .unheard
            .map(|why| format!(" ({why})"))
            .unwrap_or_default(),
        result.name,
        result.said,
        result.heard.as_deref().unwrap_or(""),
        result.free_text.as_deref().unwrap_or(""),
    )
}

fn write_json(path: &Path, report: &Report<'_>) -> anyhow::Result<()> {
    let text = serde_json::to_string_pretty(report)?;
    if path == Path::new("-") {
        println!("{text}");
        return Ok(());
    }
    std::fs::write(path, text).with_context(|| format!("cannot write {}", path.display()))
}

fn table(summary: &Summary) -> String {
    let mut out = String::new();
    let mut line = |name: &str, value: String| out.push_str(&format!("{name:<44}{value}\n"));
    let s = summary;
    line("clips", s.clips.to_string());
    if s.clips_allowed > 0 {
        line("allowed by the grammar", s.clips_allowed.to_string());
        line("  right in value", s.right.to_string());
        line(
            "  entered with a wrong value",
            format!("{} ({:.2} %)", s.wrong, s.wrong_entries_percent),
        );
        line(
            "  refused",
            format!("{} ({:.2} %)", s.refused, s.refused_percent),
        );
        line(
            "wrong strings by value, refused included",
            format!("{:.2} %", s.wrong_strings_percent),
        );
        line(
            "wrong strings by wording (oh is not zero)",
            format!("{:.2} %", s.wrong_wordings_percent),
        );
        line("wrong words", format!("{:.2} %", s.wrong_words_percent));
        line("wrong values", format!("{:.2} %", s.wrong_values_percent));
    }
    if s.clips_foreign > 0 {
        line("not allowed by the grammar", s.clips_foreign.to_string());
        line(
            "  entered all the same",
            format!("{} ({:.2} %)", s.false_entries, s.false_entries_percent),
        );
    }
    if let (Some(p50), Some(p95)) = (s.end_of_speech_p50_ms, s.end_of_speech_p95_ms) {
        line(
            "end of speech to result, p50 / p95",
            format!("{p50:.0} / {p95:.0} ms"),
        );
    }
    line(
        "recognition, p50 / p95 / max",
        format!(
            "{:.0} / {:.0} / {:.0} ms",
            s.latency_p50_ms, s.latency_p95_ms, s.latency_max_ms
        ),
    );
    line(
        "recognition, part of the sound's length",
        format!("{:.3}", s.part_of_real_time),
    );
    if let Some(memory) = s.memory_peak_mb {
        line("memory, highest", format!("{memory:.0} MB"));
    }
    out
}
