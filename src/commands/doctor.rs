//! `sulcus doctor`: are microphone, loudspeaker, models and disk fit for work?
//! Looks and tells; changes nothing. Each problem comes with what to do, and one problem makes the exit code 1.

mod machine;
mod sound;
mod visits;

use serde::Serialize;

use crate::audio::AudioError;
use crate::commands::Outcome;
use crate::config::Config;
use crate::web::PORT;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Microphone to check: a name or identifier from the list, or a part that fits only one [default: the system's]
    #[arg(long, value_name = "NAME")]
    pub device: Option<String>,

    /// Channel of the microphone, counted from 0 [default: the mean of all]
    #[arg(long, value_name = "N")]
    pub channel: Option<u16>,

    /// How long to listen to the microphone
    #[arg(long, value_name = "SECONDS", default_value_t = 2.0, value_parser = seconds)]
    pub seconds: f32,

    /// Port that the local page will use
    #[arg(long, value_name = "PORT", default_value_t = PORT)]
    pub port: u16,

    /// Print the findings as JSON
    #[arg(long)]
    pub json: bool,
}

fn seconds(text: &str) -> Result<f32, String> {
    let seconds: f32 = text.parse().map_err(|_| "not a number".to_owned())?;
    if (0.2..=60.0).contains(&seconds) {
        Ok(seconds)
    } else {
        Err("give 0.2 to 60 seconds".to_owned())
    }
}

/// Everything that was found.
#[derive(Debug, Serialize)]
struct Report {
    version: &'static str,
    devices: Vec<sound::Device>,
    microphone: Option<sound::Microphone>,
    models: Vec<machine::Model>,
    data: machine::Data,
    visits: visits::Visits,
    fallback_voice: Option<String>,
    port: machine::Port,
    /// What keeps the program from working, each with what to do.
    problems: Vec<String>,
    /// What would make it work better.
    advice: Vec<String>,
}

/// Problems and advice, gathered by all checks.
#[derive(Debug, Default)]
struct Findings {
    problems: Vec<String>,
    advice: Vec<String>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let mut findings = Findings::default();
    let devices = sound::devices(&mut findings);
    let microphone = sound::microphone(options, &mut findings);
    let models = machine::models(&config.models, &mut findings);
    let data = machine::data(&config.data, &mut findings);
    let visits = visits::visits(config, &mut findings);
    let fallback_voice = machine::fallback_voice(&mut findings);
    let port = machine::port(options.port, &mut findings);
    let report = Report {
        version: env!("CARGO_PKG_VERSION"),
        devices,
        microphone,
        models,
        data,
        visits,
        fallback_voice,
        port,
        problems: findings.problems,
        advice: findings.advice,
    };
    if options.json {
        println!("{}", serde_json::to_string_pretty(&report)?);
    } else {
        print(&report);
    }
    Ok(if report.problems.is_empty() {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}

/// How a microphone is, in one word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    Good,
    /// No sound comes: muted, unplugged, or another device is meant.
    Muted,
    TooLoud,
    TooQuiet,
    Noisy,
}

/// Listens for three seconds, in which somebody speaks.
pub fn verdict(device: Option<&str>) -> Result<Verdict, AudioError> {
    sound::verdict(&Options {
        device: device.map(str::to_owned),
        channel: None,
        seconds: 3.0,
        port: PORT,
        json: false,
    })
}

fn print(report: &Report) {
    println!("Sound devices");
    for device in &report.devices {
        println!("  {device}");
    }
    if report.devices.is_empty() {
        println!("  none");
    }
    println!("Microphone");
    match &report.microphone {
        Some(microphone) => println!("  {microphone}"),
        None => println!("  none"),
    }
    println!("Models");
    for model in &report.models {
        println!("  {model}");
    }
    println!("Visits\n  {}\n  {}", report.data, report.visits);
    println!(
        "Fallback voice\n  {}",
        report.fallback_voice.as_deref().unwrap_or("none")
    );
    println!("Page\n  {}", report.port);
    println!();
    for problem in &report.problems {
        println!("PROBLEM  {problem}");
    }
    for advice in &report.advice {
        println!("ADVICE   {advice}");
    }
    if report.problems.is_empty() {
        println!("Ready for work");
    }
}
