//! The loudspeaker for real: cpal and ALSA play into a private sound server, and what comes out there is recorded.
//! The playing side runs in a process of its own, since the sound system is chosen by the environment.
//! Skips, saying so, where the server's packages are missing.

use crate::sound_server;

use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc;
use std::time::Duration;

use sound_server::SoundServer;
use sulcus::voice::loudspeaker::Loudspeaker;
use sulcus::voice::{Priority, SayId, Sound, Speaker, Synthesiser, VoiceError, VoiceEvent};

const RATE_HZ: u32 = 22_050;

/// Longer than any event may take on a loaded machine. Reached only where the test fails.
const PATIENCE: Duration = Duration::from_secs(30);

/// Sings instead of speaking: "440 600" is 600 ms of 440 Hz.
struct Singer;

impl Synthesiser for Singer {
    fn identity(&self) -> &str {
        "singer"
    }

    fn rate_hz(&self) -> u32 {
        RATE_HZ
    }

    fn synthesise(&mut self, phrase: &str) -> Result<Sound, VoiceError> {
        let (hz, duration_ms) = phrase.split_once(' ').unwrap();
        let (hz, duration_ms): (f32, u32) = (hz.parse().unwrap(), duration_ms.parse().unwrap());
        let mut sound = Sound::silence(duration_ms, RATE_HZ);
        for (index, sample) in sound.samples.iter_mut().enumerate() {
            *sample = (index as f32 * std::f32::consts::TAU * hz / RATE_HZ as f32).sin() * 0.3;
        }
        Ok(sound)
    }
}

/// The playing side: obeys lines ("say 1 440 600", "stop"), prints events. Started by the tests below.
#[test]
#[ignore = "is run by the other tests, in a process of its own"]
fn player() {
    let output = Box::new(Loudspeaker::new(None));
    let (speaker, events) = Speaker::start(Some(Box::new(Singer)), output, None);
    let printer = std::thread::spawn(move || {
        for event in events {
            let line = match event {
                VoiceEvent::Started { id } => format!("started {}", id.0),
                VoiceEvent::Ended { id, cut: false } => format!("ended {}", id.0),
                VoiceEvent::Ended { id, cut: true } => format!("cut {}", id.0),
                VoiceEvent::Failed { id, .. } => format!("failed {}", id.0),
                VoiceEvent::NoLoudspeaker { .. } => "lost".to_owned(),
                VoiceEvent::LoudspeakerFound => "found".to_owned(),
                VoiceEvent::CueStarted { .. } | VoiceEvent::CueEnded { .. } => continue,
            };
            // The test runner's own lines stand between; the mark tells ours.
            println!("\n= {line}");
            std::io::stdout().flush().unwrap();
        }
    });
    for line in std::io::stdin().lines() {
        let line = line.unwrap();
        if line == "stop" {
            speaker.stop();
        } else if let Some((id, phrase)) = line
            .strip_prefix("say ")
            .and_then(|say| say.split_once(' '))
        {
            speaker.say(
                SayId(id.parse().unwrap()),
                vec![phrase.to_owned()],
                Priority::Ordinary,
            );
        }
    }
    drop(speaker);
    printer.join().unwrap();
}

struct Player {
    child: Child,
    events: mpsc::Receiver<String>,
}

impl Player {
    fn start(server: &SoundServer) -> Self {
        let mut command = Command::new(std::env::current_exe().unwrap());
        command
            .args(["loudspeaker::player", "--exact", "--ignored", "--nocapture"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null());
        server.prepare(&mut command);
        let mut child = command.spawn().unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let (sender, events) = mpsc::channel();
        std::thread::spawn(move || {
            for line in lines.map_while(Result::ok) {
                if let Some(event) = line.trim().strip_prefix("= ") {
                    let _ = sender.send(event.to_owned());
                }
            }
        });
        Self { child, events }
    }

    fn order(&mut self, line: &str) {
        writeln!(self.child.stdin.as_mut().unwrap(), "{line}").unwrap();
    }

    /// Reads events up to the expected one; the others in between are given back.
    fn wait_for(&mut self, expected: &str) -> Vec<String> {
        let mut before = Vec::new();
        loop {
            match self.events.recv_timeout(PATIENCE) {
                Ok(event) if event == expected => return before,
                Ok(event) => before.push(event),
                Err(error) => panic!("{error}; waited for {expected:?}, had {before:?}"),
            }
        }
    }
}

impl Player {
    /// Says it until it was said to its end. On a busy machine the sound server itself may drop a stream, which is
    /// told as a lost loudspeaker: no fault of what is tested here.
    fn say_to_its_end(
        &mut self,
        server: &SoundServer,
        number: u32,
        hz: u32,
        ms: u32,
    ) -> (u64, u64) {
        for number in (number..).take(5) {
            let recording = Recording::start(server, &format!("said-{number}.raw"));
            self.order(&format!("say {number} {hz} {ms}"));
            loop {
                let event = self.events.recv_timeout(PATIENCE).unwrap();
                if event == format!("ended {number}") {
                    return recording.loud_ms_and_hz();
                }
                if event == format!("failed {number}") {
                    println!("the sound server dropped the stream: once more");
                    break;
                }
            }
        }
        panic!("the sound server dropped each of five sentences");
    }
}

impl Drop for Player {
    fn drop(&mut self) {
        drop(self.child.stdin.take());
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Records what the loudspeaker plays, until dropped.
struct Recording {
    child: Child,
    path: PathBuf,
}

impl Recording {
    fn start(server: &SoundServer, name: &str) -> Self {
        let path = server.folder().join(name);
        let mut command = Command::new("parec");
        command
            .args([
                "-d",
                "mouth.monitor",
                "--format=s16le",
                "--rate=16000",
                "--channels=1",
                "--latency-msec=20",
            ])
            .stdout(std::fs::File::create(&path).unwrap())
            .stderr(Stdio::null());
        server.prepare(&mut command);
        let recording = Self {
            child: command.spawn().unwrap(),
            path,
        };
        recording.wait_for_bytes(1);
        recording
    }

    fn wait_for_bytes(&self, bytes: u64) {
        let begun = std::time::Instant::now();
        while std::fs::metadata(&self.path).unwrap().len() < bytes {
            assert!(begun.elapsed() < PATIENCE, "nothing is recorded");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Waits until what was played has surely been recorded, then gives the loud part: its length and its pitch.
    fn loud_ms_and_hz(mut self) -> (u64, u64) {
        let now = std::fs::metadata(&self.path).unwrap().len();
        // Half a second more.
        self.wait_for_bytes(now + 16_000);
        let _ = self.child.kill();
        let _ = self.child.wait();
        let samples = samples(&self.path);
        let loud = |sample: &i16| sample.unsigned_abs() > 300;
        let first = samples.iter().position(loud).unwrap_or(0);
        let last = samples.iter().rposition(loud).unwrap_or(0);
        let loud = &samples[first..=last];
        let duration_ms = loud.len() as u64 * 1000 / 16_000;
        let rises = loud
            .windows(2)
            .filter(|pair| pair[0] <= 0 && pair[1] > 0)
            .count() as u64;
        (duration_ms, rises * 1000 / duration_ms.max(1))
    }
}

fn samples(path: &Path) -> Vec<i16> {
    let bytes = std::fs::read(path).unwrap();
    bytes
        .chunks_exact(2)
        .map(|pair| i16::from_le_bytes([pair[0], pair[1]]))
        .collect()
}

#[test]
fn what_is_said_comes_out_whole_and_at_its_pitch() {
    let Some(server) = SoundServer::start() else {
        return;
    };
    let mut player = Player::start(&server);
    // The first sentence shows that the device is open; the second is measured.
    player.say_to_its_end(&server, 1, 300, 50);
    let (duration_ms, hz) = player.say_to_its_end(&server, 11, 440, 900);
    assert!(duration_ms.abs_diff(900) < 60, "{duration_ms} ms");
    assert!(hz.abs_diff(440) < 8, "{hz} Hz");
}

#[test]
fn stop_is_heard_at_once_and_the_next_sentence_is_whole() {
    let Some(server) = SoundServer::start() else {
        return;
    };
    let mut player = Player::start(&server);
    let recording = Recording::start(&server, "stopped.raw");
    player.order("say 1 440 20000");
    player.wait_for("started 1");
    player.order("stop");
    player.wait_for("cut 1");
    let (duration_ms, _) = recording.loud_ms_and_hz();
    // What the sound server had taken already still comes out: far from 20 s.
    assert!(duration_ms < 4000, "{duration_ms} ms");
    let (duration_ms, hz) = player.say_to_its_end(&server, 2, 880, 500);
    assert!(duration_ms.abs_diff(500) < 60, "{duration_ms} ms");
    assert!(hz.abs_diff(880) < 16, "{hz} Hz");
}

#[test]
fn a_loudspeaker_that_goes_away_is_told_and_found_again() {
    let Some(mut server) = SoundServer::start() else {
        return;
    };
    let mut player = Player::start(&server);
    player.order("say 1 440 20000");
    player.wait_for("started 1");
    server.kill();
    assert_eq!(player.wait_for("lost"), Vec::<String>::new());
    player.wait_for("failed 1");
    server.restart();
    player.wait_for("found");
    let (duration_ms, _) = player.say_to_its_end(&server, 2, 440, 500);
    assert!(duration_ms.abs_diff(500) < 60, "{duration_ms} ms");
}
