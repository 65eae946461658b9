//! A foot pedal: any keyboard with few keys, as the kernel tells its keys below /dev/input, so that no window needs to
//! be in front. Only tells what was trodden; `live` does what follows.
//!
//! Invariants: one tread gives one act; what a tread confirms is what had been heard when the foot went down, not when
//! it became clear that no second tread follows.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use crossbeam_channel::{Receiver, RecvTimeoutError, Sender, unbounded};

use super::flow::{Pedal, Tread};
use super::keys::Act;

/// Where the kernel tells the names of its input devices.
const CLASS: &str = "/sys/class/input";
const DEVICES: &str = "/dev/input";

/// A pedal that is not there is looked for again after this time.
const LOOK_AGAIN: Duration = Duration::from_secs(2);

/// How often it is looked whether a tread has become a long one.
const TICK: Duration = Duration::from_millis(20);

/// What the foot does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Edge {
    Down,
    Up,
}

/// Makes one tread of the foot's ups and downs. Pure: time is passed in.
#[derive(Debug)]
struct Gestures {
    pedal: Pedal,
    /// The foot is down since then, and it is not told yet what that means.
    down_ms: Option<u64>,
    /// One tread is over, and a second may follow: when the first began.
    first_ms: Option<u64>,
}

impl Gestures {
    fn new(pedal: Pedal) -> Self {
        Self {
            pedal,
            down_ms: None,
            first_ms: None,
        }
    }

    /// The foot went down or up.
    fn edge(&mut self, edge: Edge, now_ms: u64) -> Option<Tread> {
        match edge {
            Edge::Down => {
                if self.first_ms.take().is_some() {
                    return Some(self.pedal.double);
                }
                self.down_ms = Some(now_ms);
                None
            }
            Edge::Up => {
                let down_ms = self.down_ms.take()?;
                if self.pedal.double == Tread::Nothing {
                    return Some(self.pedal.press);
                }
                self.first_ms = Some(down_ms);
                None
            }
        }
    }

    /// Time has passed.
    fn tick(&mut self, now_ms: u64) -> Option<Tread> {
        let is_over =
            |since_ms: Option<u64>, ms| since_ms.is_some_and(|since| now_ms >= since + ms);
        if self.pedal.long != Tread::Nothing && is_over(self.down_ms, self.pedal.long_ms) {
            self.down_ms = None;
            return Some(self.pedal.long);
        }
        if is_over(self.first_ms, self.pedal.double_ms) {
            self.first_ms = None;
            return Some(self.pedal.press);
        }
        None
    }
}

/// One event of the kernel (`struct input_event` of linux/input.h): two words of time, then type, code and value.
const EVENT_BYTES: usize = 2 * size_of::<usize>() + 8;
const KEY: u16 = 1;

/// What the event says of a key; none where it says nothing, or that a key is still down.
fn edge_of(event: &[u8; EVENT_BYTES]) -> Option<Edge> {
    let [.., t0, t1, _, _, v0, v1, v2, v3] = *event;
    if u16::from_ne_bytes([t0, t1]) != KEY {
        return None;
    }
    match i32::from_ne_bytes([v0, v1, v2, v3]) {
        0 => Some(Edge::Up),
        1 => Some(Edge::Down),
        _ => None,
    }
}

/// The device by its path, or by part of its name.
fn find(device: &str, class: &Path) -> Option<PathBuf> {
    if device.starts_with('/') {
        return Some(PathBuf::from(device));
    }
    let wanted = device.to_lowercase();
    let mut found: Vec<PathBuf> = std::fs::read_dir(class)
        .ok()?
        .flatten()
        .filter(|entry| {
            let is_event = entry.file_name().to_string_lossy().starts_with("event");
            is_event
                && std::fs::read_to_string(entry.path().join("device/name"))
                    .is_ok_and(|name| name.to_lowercase().contains(&wanted))
        })
        .map(|entry| Path::new(DEVICES).join(entry.file_name()))
        .collect();
    found.sort();
    found.into_iter().next()
}

/// Reads the pedal from now on; a pedal that goes is looked for until it is there again.
///
/// # Errors
/// Where no thread can be started.
pub fn open(pedal: Pedal) -> std::io::Result<Option<Receiver<Act>>> {
    let Some(device) = pedal.device.clone() else {
        return Ok(None);
    };
    let (edges, feet) = unbounded();
    let (send, acts) = unbounded();
    let troubles = send.clone();
    std::thread::Builder::new()
        .name("pedal".to_owned())
        .spawn(move || watch(&device, &edges, &troubles))?;
    std::thread::Builder::new()
        .name("treads".to_owned())
        .spawn(move || tell(pedal, &feet, &send))?;
    Ok(Some(acts))
}

/// Reads the device for ever.
fn watch(device: &str, edges: &Sender<Edge>, acts: &Sender<Act>) {
    let mut is_told = false;
    loop {
        let why = match find(device, Path::new(CLASS)) {
            None => format!("no input device is called {device:?}"),
            Some(path) => match std::fs::File::open(&path) {
                Err(error) => format!("{}: {error}", path.display()),
                Ok(mut file) => {
                    if acts.send(Act::PedalFound).is_err() {
                        return;
                    }
                    is_told = false;
                    let mut event = [0; EVENT_BYTES];
                    while file.read_exact(&mut event).is_ok() {
                        if let Some(edge) = edge_of(&event)
                            && edges.send(edge).is_err()
                        {
                            return;
                        }
                    }
                    format!("{}: it is gone", path.display())
                }
            },
        };
        if !is_told && acts.send(Act::PedalLost(why)).is_err() {
            return;
        }
        is_told = true;
        std::thread::sleep(LOOK_AGAIN);
    }
}

/// Makes acts of the foot's ups and downs.
fn tell(pedal: Pedal, feet: &Receiver<Edge>, acts: &Sender<Act>) {
    let started = Instant::now();
    let mut gestures = Gestures::new(pedal);
    loop {
        let edge = feet.recv_timeout(TICK);
        let now_ms = started.elapsed().as_millis() as u64;
        // What time alone has made of the tread before comes first.
        let late = gestures.tick(now_ms);
        let trod = match edge {
            Ok(edge) => {
                if edge == Edge::Down && acts.send(Act::FootDown).is_err() {
                    return;
                }
                gestures.edge(edge, now_ms)
            }
            Err(RecvTimeoutError::Timeout) => None,
            Err(RecvTimeoutError::Disconnected) => return,
        };
        for tread in late.into_iter().chain(trod) {
            if tread != Tread::Nothing && acts.send(Act::Trod(tread)).is_err() {
                return;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Plays a foot: times of its downs and ups, in turn; gives what was trodden and when it was told.
    fn tread(pedal: &Pedal, edges_ms: &[u64]) -> Vec<(u64, Tread)> {
        let mut gestures = Gestures::new(pedal.clone());
        let mut told = Vec::new();
        for now_ms in 0..5_000 {
            told.extend(gestures.tick(now_ms).map(|tread| (now_ms, tread)));
            for (at, _) in edges_ms.iter().enumerate().filter(|(_, ms)| **ms == now_ms) {
                let edge = if at % 2 == 0 { Edge::Down } else { Edge::Up };
                told.extend(gestures.edge(edge, now_ms).map(|tread| (now_ms, tread)));
            }
        }
        told
    }

    #[test]
    fn a_press_a_long_one_and_two_are_told_apart() {
        let pedal = Pedal::default();
        assert_eq!(tread(&pedal, &[100, 200]), [(500, Tread::Confirm)]);
        assert_eq!(tread(&pedal, &[100, 2_000]), [(900, Tread::Withdraw)]);
        assert_eq!(tread(&pedal, &[100, 200, 300, 400]), [(300, Tread::Next)]);
        // Two single ones.
        let two = tread(&pedal, &[100, 200, 1_000, 1_100]);
        assert_eq!(two, [(500, Tread::Confirm), (1_400, Tread::Confirm)]);
        // A foot that rests on it withdraws once.
        assert_eq!(tread(&pedal, &[100]).len(), 1);
        // Three quick ones: a double and a single.
        let three = tread(&pedal, &[100, 150, 200, 250, 300, 350]);
        assert_eq!(three, [(200, Tread::Next), (700, Tread::Confirm)]);
    }

    #[test]
    fn without_a_double_press_a_press_is_told_at_once() {
        let pedal = Pedal {
            double: Tread::Nothing,
            ..Pedal::default()
        };
        assert_eq!(tread(&pedal, &[100, 200]), [(200, Tread::Confirm)]);
        let pedal = Pedal {
            long: Tread::Nothing,
            ..pedal
        };
        assert_eq!(tread(&pedal, &[100, 4_000]), [(4_000, Tread::Confirm)]);
    }

    #[test]
    fn a_pedal_is_found_by_part_of_its_name() {
        let class = tempfile::tempdir().unwrap();
        for (event, name) in [
            ("event3", "Some Keyboard"),
            ("event7", "Invented FootSwitch"),
        ] {
            let device = class.path().join(event).join("device");
            std::fs::create_dir_all(&device).unwrap();
            std::fs::write(device.join("name"), format!("{name}\n")).unwrap();
        }
        let found = find("footswitch", class.path());
        assert_eq!(found.unwrap(), Path::new("/dev/input/event7"));
        assert_eq!(find("pedal", class.path()), None);
        assert_eq!(
            find("/dev/input/event2", class.path()).unwrap(),
            Path::new("/dev/input/event2")
        );
    }
}
