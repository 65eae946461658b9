//! The capture of a scripted device: loss and return, overruns, a slow listener. Time is passed in.

use std::sync::Mutex;

use super::*;
use crate::audio::Frame;

/// What the test holds of a device: its callbacks' ends, newest opening last, and whether it can be opened.
#[derive(Default)]
struct Bench {
    feeds: Vec<(Feed, Faults)>,
    plugged: bool,
    rate_hz: u32,
    tries: u32,
}

struct Scripted(Arc<Mutex<Bench>>);

impl Device for Scripted {
    fn open(&mut self) -> Result<Opened, AudioError> {
        let mut bench = self.0.lock().unwrap();
        bench.tries += 1;
        if !bench.plugged {
            return Err(AudioError::NoMicrophone {
                why: "unplugged".to_owned(),
            });
        }
        let (feed, faults, intake) = queue(bench.rate_hz, 1);
        bench.feeds.push((feed, faults));
        Ok(Opened {
            name: format!("scripted {}", bench.feeds.len()),
            rate_hz: bench.rate_hz,
            channels: 1,
            intake,
            stream: Box::new(()),
        })
    }
}

fn bench() -> (Arc<Mutex<Bench>>, Capture) {
    let bench = Arc::new(Mutex::new(Bench {
        plugged: true,
        rate_hz: 16_000,
        ..Bench::default()
    }));
    let capture = Capture::open(
        Box::new(Scripted(Arc::clone(&bench))),
        Mix::Mean,
        Duration::ZERO,
    )
    .unwrap();
    (bench, capture)
}

fn ms(ms: u64) -> Duration {
    Duration::from_millis(ms)
}

fn feed(bench: &Mutex<Bench>, samples: usize) {
    let mut bench = bench.lock().unwrap();
    let (feed, _) = bench.feeds.last_mut().unwrap();
    feed.push(&vec![0.25_f32; samples], |sample| sample);
}

/// Short names of events: frames as their numbers.
fn told(events: &[AudioEvent]) -> Vec<String> {
    events
        .iter()
        .map(|event| match event {
            AudioEvent::Frame(frame) => frame.index.to_string(),
            AudioEvent::Overrun { frames } => format!("overrun {frames}"),
            AudioEvent::Lost { device, why } => format!("lost {device}: {why}"),
            AudioEvent::Found { device } => format!("found {device}"),
            AudioEvent::Ended => "ended".to_owned(),
        })
        .collect()
}

#[test]
fn frames_come_as_samples_do() {
    let (bench, mut capture) = bench();
    feed(&bench, 700);
    assert_eq!(told(&capture.step(ms(10))), ["0"]);
    feed(&bench, 400);
    assert_eq!(told(&capture.step(ms(20))), ["1"]);
    assert!(capture.step(ms(30)).is_empty());
}

#[test]
fn a_device_that_fails_is_told_once_and_found_again() {
    let (bench, mut capture) = bench();
    feed(&bench, 512);
    capture.step(ms(10));
    bench.lock().unwrap().plugged = false;
    bench.lock().unwrap().feeds[0]
        .1
        .fail("unplugged".to_owned());
    bench.lock().unwrap().feeds[0]
        .1
        .fail("unplugged twice".to_owned());
    assert_eq!(told(&capture.step(ms(20))), ["lost scripted 1: unplugged"]);

    // Looked for with growing waits, and nothing is told meanwhile.
    for at in (30..10_000).step_by(10) {
        assert!(capture.step(ms(at)).is_empty(), "{at}");
    }
    let tries = bench.lock().unwrap().tries;
    assert!((5..=9).contains(&tries), "{tries} tries in ten seconds");

    bench.lock().unwrap().plugged = true;
    bench.lock().unwrap().rate_hz = 48_000;
    assert_eq!(told(&capture.step(ms(20_000))), ["found scripted 2"]);
    // The replacement has another rate; frames go on at their place in time: 19.99 s after the last sound.
    feed(&bench, 48_000);
    let events = told(&capture.step(ms(20_010)));
    assert_eq!(events.first().map(String::as_str), Some("625"));
    assert!(events.len() >= 30);
}

#[test]
fn a_device_that_falls_silent_is_lost() {
    let (bench, mut capture) = bench();
    feed(&bench, 512);
    capture.step(ms(10));
    assert!(capture.step(ms(2_000)).is_empty());
    assert_eq!(
        told(&capture.step(ms(2_010))),
        ["lost scripted 1: no sound comes from it any more"]
    );
    assert_eq!(told(&capture.step(ms(2_260))), ["found scripted 2"]);
    // The first samples after an opening may take longer.
    assert!(capture.step(ms(7_250)).is_empty());
    assert_eq!(
        told(&capture.step(ms(7_260))),
        ["lost scripted 2: no sound comes from it any more"]
    );
}

#[test]
fn samples_beyond_the_queue_are_counted_and_told() {
    let (bench, mut capture) = bench();
    feed(&bench, 31_744); // 62 frames of the 62.5 that fit.
    feed(&bench, 1_024);
    let events = told(&capture.step(ms(10)));
    assert_eq!(events.len(), 63);
    assert_eq!(events[62], "overrun 2");
    feed(&bench, 512);
    assert_eq!(told(&capture.step(ms(20))), ["64"]);
}

#[test]
fn a_gap_that_the_device_reports_is_told() {
    let (bench, mut capture) = bench();
    bench.lock().unwrap().feeds[0].1.gap();
    assert_eq!(told(&capture.step(ms(10))), ["overrun 1"]);
}

#[test]
fn a_missing_device_is_an_error_at_the_first_opening() {
    let bench = Arc::new(Mutex::new(Bench::default()));
    assert!(matches!(
        Capture::open(Box::new(Scripted(bench)), Mix::Mean, Duration::ZERO),
        Err(AudioError::NoMicrophone { .. })
    ));
}

fn frame(index: u64) -> AudioEvent {
    AudioEvent::Frame(Frame {
        samples: vec![0.0; FRAME_SAMPLES],
        index,
    })
}

#[test]
fn a_slow_listener_loses_frames_but_no_news() {
    let (sender, receiver) = bounded(2);
    let mut outbox = Outbox::new(sender);
    let lost = || AudioEvent::Lost {
        device: "d".to_owned(),
        why: "w".to_owned(),
    };
    for index in 0..5 {
        assert!(outbox.offer(frame(index)).is_ok());
    }
    assert!(outbox.offer(lost()).is_ok());
    for index in 6..8 {
        assert!(outbox.offer(frame(index)).is_ok());
    }
    let mut events = Vec::new();
    for _ in 0..4 {
        events.extend(receiver.try_iter());
        assert!(outbox.flush().is_ok());
    }
    assert!(outbox.offer(frame(8)).is_ok());
    events.extend(receiver.try_iter());
    assert_eq!(
        told(&events),
        ["0", "1", "overrun 3", "lost d: w", "overrun 2", "8"]
    );
}

#[test]
fn the_thread_ends_when_the_listener_goes() {
    let bench = Arc::new(Mutex::new(Bench {
        plugged: true,
        rate_hz: 16_000,
        ..Bench::default()
    }));
    let (running, receiver) = run(Box::new(Scripted(Arc::clone(&bench))), Mix::Mean, 4).unwrap();
    feed(&bench, 512);
    assert!(matches!(receiver.recv(), Ok(AudioEvent::Frame(_))));
    drop(receiver);
    drop(running);
}

/// Sound that the device lost and said nothing of, at each place of a sentence: known by the times of capture, it is told,
/// so that no sentence is made of the words around it.
#[test]
fn a_hole_at_any_place_is_told() {
    for place in 2..90 {
        let (bench, mut capture) = bench();
        let mut events = Vec::new();
        for number in 0..100 {
            let lost_ms = if number >= place { 150 } else { 0 };
            {
                let mut bench = bench.lock().unwrap();
                let (feed, _) = bench.feeds.last_mut().unwrap();
                let at = ms(number * 20 + lost_ms);
                let times = Times {
                    captured: at,
                    arrived: at,
                };
                feed.captured(times, 320);
                feed.push(&[0.25_f32; 320], |sample| sample);
            }
            events.extend(capture.step(ms(number * 20 + lost_ms)));
        }
        let told = told(&events);
        let holes = told.iter().filter(|event| event.starts_with("overrun"));
        assert_eq!(holes.count(), 1, "before delivery {place}: {told:?}");
    }
}
