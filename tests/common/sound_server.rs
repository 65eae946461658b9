//! A private sound server for tests on a machine without a sound card: a PulseAudio that nobody else sees, with a
//! virtual loudspeaker whose monitor is the default microphone. What a test plays there is what the program hears,
//! through the same ALSA and cpal code as from a real device, in real time.

use std::os::unix::net::UnixStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// What is heard while this is kept. Not every test that has a sound server records.
#[allow(dead_code)]
pub struct Recording {
    recorder: Child,
    file: PathBuf,
}

#[allow(dead_code)]
impl Recording {
    /// What was heard, 16 kHz.
    pub fn samples(mut self) -> Vec<i16> {
        let _ = self.recorder.kill();
        let _ = self.recorder.wait();
        std::fs::read(&self.file)
            .unwrap()
            .chunks_exact(2)
            .map(|pair| i16::from_le_bytes([pair[0], pair[1]]))
            .collect()
    }

    /// Seconds of sound louder than a quiet room.
    pub fn loud_seconds(self) -> f64 {
        let samples = self.samples();
        // Tenths of a second.
        let loud = samples
            .chunks(1_600)
            .filter(|part| part.iter().any(|sample| sample.unsigned_abs() > 300))
            .count();
        loud as f64 / 10.0
    }
}

impl Drop for Recording {
    fn drop(&mut self) {
        let _ = self.recorder.kill();
        let _ = self.recorder.wait();
    }
}

const OPEN: &str = "set-default-sink mouth\nset-default-source mouth.monitor\n";

const HEADSET: &str = "\
load-module module-remap-sink sink_name=person master=mouth channels=1 channel_map=mono \
master_channel_map=front-left remix=no
load-module module-remap-sink sink_name=ear master=mouth channels=1 channel_map=mono \
master_channel_map=front-right remix=no
load-module module-remap-source source_name=headset master=mouth.monitor channels=1 channel_map=mono \
master_channel_map=front-left remix=no
set-default-sink ear
set-default-source headset
";

/// How long anything of the server may take. It answers within a second; a loaded machine may need more.
const PATIENCE: Duration = Duration::from_secs(20);

/// Where the person's voice, and the program's, come out.
#[derive(Clone, Copy, PartialEq)]
enum Air {
    /// Both in the same: the microphone hears the program at full level.
    Open,
    /// Each on its own channel of one device; the microphone hears the person's alone.
    Headset,
}

pub struct SoundServer {
    air: Air,
    folder: tempfile::TempDir,
    server: Option<Child>,
    players: Vec<Child>,
    /// Sound in real time beside other sound in real time is late on a small machine: one at a time.
    _turn: MutexGuard<'static, ()>,
}

static TURN: Mutex<()> = Mutex::new(());

/// Waits until no sound is played in real time, and keeps it so: for tests that need much of the machine themselves.
#[allow(dead_code)]
pub fn turn() -> MutexGuard<'static, ()> {
    TURN.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The Debian package that is missing, if one is.
pub fn missing_package() -> Option<&'static str> {
    let runs = |program: &str| {
        Command::new(program)
            .arg("--version")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .is_ok_and(|status| status.success())
    };
    let plugin = [
        "/usr/lib",
        "/usr/lib64",
        "/usr/lib/x86_64-linux-gnu",
        "/usr/lib/aarch64-linux-gnu",
    ]
    .iter()
    .any(|folder| {
        Path::new(folder)
            .join("alsa-lib/libasound_module_pcm_pulse.so")
            .is_file()
    });
    if !runs("pulseaudio") {
        Some("pulseaudio")
    } else if !runs("paplay") {
        Some("pulseaudio-utils")
    } else if !plugin {
        Some("libasound2-plugins")
    } else {
        None
    }
}

impl SoundServer {
    /// Starts the server; `None`, with a printed line, where its packages are missing.
    pub fn start() -> Option<Self> {
        Self::start_in(Air::Open)
    }

    /// The same, but the microphone does not hear the program.
    #[allow(dead_code)]
    pub fn start_with_headset() -> Option<Self> {
        Self::start_in(Air::Headset)
    }

    fn start_in(air: Air) -> Option<Self> {
        if let Some(package) = missing_package() {
            println!(
                "skipped: no {package}; apt-get install pulseaudio pulseaudio-utils libasound2-plugins"
            );
            return None;
        }
        let turn = turn();
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(
            folder.path().join("server.pa"),
            format!(
                "load-module module-native-protocol-unix socket={} auth-anonymous=1\n\
                 load-module module-null-sink sink_name=mouth rate=48000 channels=2 format=s16le\n\
                 {}",
                folder.path().join("socket").display(),
                match air {
                    Air::Open => OPEN,
                    Air::Headset => HEADSET,
                }
            ),
        )
        .unwrap();
        std::fs::write(
            folder.path().join("alsa.conf"),
            "</usr/share/alsa/alsa.conf>\npcm.!default { type pulse }\nctl.!default { type pulse }\n",
        )
        .unwrap();
        let mut server = Self {
            air,
            folder,
            server: None,
            players: Vec::new(),
            _turn: turn,
        };
        server.launch();
        Some(server)
    }

    fn socket(&self) -> PathBuf {
        self.folder.path().join("socket")
    }

    fn launch(&mut self) {
        let mut command = Command::new("pulseaudio");
        command
            .args([
                "-n",
                "--daemonize=no",
                "--exit-idle-time=-1",
                "--use-pid-file=no",
                "--disable-shm=yes",
                "-F",
            ])
            .arg(self.folder.path().join("server.pa"))
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        self.prepare(&mut command);
        self.server = Some(command.spawn().unwrap());
        let socket = self.socket();
        wait_for("the sound server", || UnixStream::connect(&socket).is_ok());
    }

    /// Makes a command see this server and no other sound.
    pub fn prepare(&self, command: &mut Command) {
        let folder = self.folder.path();
        command
            .env("HOME", folder)
            .env("XDG_RUNTIME_DIR", folder)
            .env("XDG_CONFIG_HOME", folder)
            .env("PULSE_SERVER", format!("unix:{}", self.socket().display()))
            .env("ALSA_CONFIG_PATH", folder.join("alsa.conf"));
    }

    /// Plays a file into the microphone until it ends or the server does; returns once the sound flows.
    pub fn play(&mut self, file: &Path) {
        let mut player = Command::new("paplay");
        if self.air == Air::Headset {
            player.arg("--device=person");
        }
        player.arg(file).stdout(Stdio::null()).stderr(Stdio::null());
        self.prepare(&mut player);
        self.players.push(player.spawn().unwrap());
        wait_for("the player", || {
            let mut list = Command::new("pactl");
            list.args(["list", "short", "sink-inputs"]);
            self.prepare(&mut list);
            list.output().is_ok_and(|output| !output.stdout.is_empty())
        });
    }

    /// Records what is in the air, 16 kHz, mono.
    #[allow(dead_code)]
    pub fn record(&self) -> Recording {
        let file = self.folder.path().join("recording.raw");
        let mut recorder = Command::new("parec");
        recorder
            .args(["--rate=16000", "--channels=1", "--format=s16le"])
            .arg("--device=mouth.monitor")
            .arg(&file)
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        self.prepare(&mut recorder);
        Recording {
            recorder: recorder.spawn().unwrap(),
            file,
        }
    }

    /// Takes the sound away, as when somebody pulls the plug.
    pub fn kill(&mut self) {
        if let Some(mut server) = self.server.take() {
            let _ = server.kill();
            let _ = server.wait();
        }
        for mut player in self.players.drain(..) {
            let _ = player.kill();
            let _ = player.wait();
        }
        let _ = std::fs::remove_file(self.socket());
    }

    /// Brings it back.
    pub fn restart(&mut self) {
        self.kill();
        self.launch();
    }

    /// A folder that goes with the server.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }
}

impl Drop for SoundServer {
    fn drop(&mut self) {
        self.kill();
    }
}

/// Asks until the answer is yes.
fn wait_for(what: &str, mut ready: impl FnMut() -> bool) {
    let deadline = Instant::now() + PATIENCE;
    while !ready() {
        assert!(Instant::now() < deadline, "{what} did not start");
        std::thread::sleep(Duration::from_millis(20));
    }
}
