//! The microphone for real: the built program captures through cpal and ALSA from a private sound server.
//! Skips, saying so, where the server's packages are missing.

use crate::sound_server;

use std::f64::consts::TAU;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;
use sound_server::SoundServer;
use sulcus::audio::microphone::{Microphone, Options};
use sulcus::audio::{AudioEvent, FRAME_SAMPLES};

/// A minute of a 440 Hz tone, with one amplitude for each channel.
fn tone(folder: &Path, rate_hz: u32, amplitudes: &[f64]) -> PathBuf {
    let path = folder.join(format!("tone-{rate_hz}-{}.wav", amplitudes.len()));
    let spec = hound::WavSpec {
        channels: amplitudes.len() as u16,
        sample_rate: rate_hz,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut writer = hound::WavWriter::create(&path, spec).unwrap();
    for at in 0..rate_hz * 60 {
        let value = (TAU * 440.0 * f64::from(at) / f64::from(rate_hz)).sin();
        for amplitude in amplitudes {
            writer
                .write_sample((value * amplitude * 32_767.0) as i16)
                .unwrap();
        }
    }
    writer.finalize().unwrap();
    path
}

/// Runs `sulcus doctor --json`; gives its report and exit code.
fn doctor(server: &SoundServer, arguments: &[&str]) -> (Value, Option<i32>) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sulcus"));
    command
        .args(["doctor", "--json", "--data"])
        .arg(server.folder())
        .args(arguments);
    server.prepare(&mut command);
    let output = command.output().unwrap();
    let report = serde_json::from_slice(&output.stdout).unwrap_or_else(|error| {
        panic!("{error}: {}", String::from_utf8_lossy(&output.stderr));
    });
    (report, output.status.code())
}

fn level(report: &Value, figure: &str) -> f64 {
    report["microphone"][figure]
        .as_f64()
        .unwrap_or_else(|| panic!("no {figure} in {report:#}"))
}

fn problems(report: &Value) -> String {
    report["problems"].to_string()
}

fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() < 1.0, "{value}, not {expected}");
}

#[test]
fn the_level_of_a_tone_is_right() {
    let Some(mut server) = SoundServer::start() else {
        return;
    };
    let tone = tone(server.folder(), 44_100, &[0.5]);
    server.play(&tone);
    let (report, _) = doctor(&server, &[]);
    near(level(&report, "peak_dbfs"), -6.0);
    near(level(&report, "rms_dbfs"), -9.0);
    assert_eq!(level(&report, "clipped_samples"), 0.0);
    assert!(level(&report, "heard_ms") >= 2_000.0);
    let devices = report["devices"].as_array().unwrap();
    assert_eq!(devices[0]["id"], "default");
    assert_eq!(devices[0]["default"], true);
    assert!(devices[0]["input"].is_string() && devices[0]["output"].is_string());
    assert!(!problems(&report).contains("microphone"), "{report:#}");
}

#[test]
fn each_channel_can_be_heard_alone() {
    let Some(mut server) = SoundServer::start() else {
        return;
    };
    let tone = tone(server.folder(), 48_000, &[0.5, 0.0]);
    server.play(&tone);
    let (left, _) = doctor(&server, &["--channel", "0"]);
    near(level(&left, "peak_dbfs"), -6.0);
    let (mean, _) = doctor(&server, &[]);
    near(level(&mean, "peak_dbfs"), -12.0);
    let (right, code) = doctor(&server, &["--channel", "1"]);
    assert_eq!(level(&right, "peak_dbfs"), -120.0);
    assert!(problems(&right).contains("gives no sound at all: switch its mute off"));
    assert_eq!(code, Some(1));
}

#[test]
fn a_microphone_that_is_too_loud_is_a_problem() {
    let Some(mut server) = SoundServer::start() else {
        return;
    };
    let tone = tone(server.folder(), 48_000, &[1.0]);
    server.play(&tone);
    let (report, code) = doctor(&server, &[]);
    assert!(problems(&report).contains("is too loud"), "{report:#}");
    assert_eq!(code, Some(1));
}

#[test]
fn a_device_is_chosen_by_name_and_a_wrong_name_is_told() {
    let Some(mut server) = SoundServer::start() else {
        return;
    };
    let tone = tone(server.folder(), 48_000, &[0.25]);
    server.play(&tone);
    let (report, _) = doctor(&server, &["--device", "pulse"]);
    near(level(&report, "peak_dbfs"), -12.0);
    let (report, code) = doctor(&server, &["--device", "trumpet"]);
    assert!(report["microphone"].is_null());
    assert!(problems(&report).contains("known are:"), "{report:#}");
    assert_eq!(code, Some(1));
}

#[test]
fn a_machine_without_a_microphone_says_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_sulcus"));
    // A sound system with no card and no server.
    std::fs::write(
        folder.path().join("alsa.conf"),
        "</usr/share/alsa/alsa.conf>\npcm.!default { type hw card 31 }\n",
    )
    .unwrap();
    let output = command
        .args(["doctor", "--data"])
        .arg(folder.path())
        .env("HOME", folder.path())
        .env("PULSE_SERVER", "unix:/nonexistent")
        .env("ALSA_CONFIG_PATH", folder.path().join("alsa.conf"))
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&output.stdout);
    let line =
        "PROBLEM  no microphone: plug one in, or give --device NAME; sulcus doctor lists them";
    assert!(told.contains(line), "{told}");
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    assert_eq!(output.status.code(), Some(1));
}

/// What the test below runs as a program of its own, since the environment tells which sound server is meant:
/// opens the microphone and prints what it tells until it has been lost and found again and is heard.
#[test]
#[ignore = "run by the test below"]
fn listening_until_lost_and_found() {
    let (_microphone, events) = Microphone::open(&Options::default()).unwrap();
    let (mut lost, mut found, mut last) = (0, false, None);
    for event in events {
        match event {
            AudioEvent::Frame(frame) => {
                assert_eq!(frame.samples.len(), FRAME_SAMPLES);
                assert!(last.is_none_or(|last| frame.index > last), "numbers rise");
                if last.is_none() {
                    println!("hearing");
                }
                last = Some(frame.index);
                let loud = frame.samples.iter().any(|sample| sample.abs() > 0.4);
                if found && loud {
                    println!("hearing again");
                    return;
                }
            }
            AudioEvent::Overrun { .. } => {}
            AudioEvent::Lost { .. } => {
                lost += 1;
                println!("lost {lost}");
            }
            AudioEvent::Found { .. } => {
                found = true;
                println!("found");
            }
            AudioEvent::Ended => unreachable!("a microphone has no end"),
        }
    }
}

#[test]
fn a_lost_microphone_is_told_once_and_found_again() {
    let Some(mut server) = SoundServer::start() else {
        return;
    };
    let tone = tone(server.folder(), 48_000, &[0.5]);
    server.play(&tone);
    let mut command = Command::new(std::env::current_exe().unwrap());
    command
        .args([
            "--exact",
            "microphone::listening_until_lost_and_found",
            "--ignored",
            "--nocapture",
        ])
        .stdout(Stdio::piped());
    server.prepare(&mut command);
    let mut listening = command.spawn().unwrap();
    let lines = BufReader::new(listening.stdout.take().unwrap()).lines();
    let mut told = Vec::new();
    for line in lines.map_while(Result::ok) {
        match line.trim() {
            "hearing" => server.kill(),
            "lost 1" => {
                server.restart();
                server.play(&tone);
            }
            _ => {}
        }
        told.push(line);
    }
    let ended = listening.wait().unwrap();
    let told: Vec<&str> = told
        .iter()
        .map(|line| line.trim())
        .filter(|line| {
            ["hearing", "lost", "found"]
                .iter()
                .any(|word| line.starts_with(word))
        })
        .collect();
    assert_eq!(told, ["hearing", "lost 1", "found", "hearing again"]);
    assert!(ended.success());
}
