"""Ways to clean sound before it is recognised, tried outside the program: high-pass, gain control, noise suppressor.

Each takes and gives samples (16 kHz, -1.0 to 1.0). The suppressor is the program of the crate nnnoiseless, a Rust port
of RNNoise, which works at 48 kHz; `cargo install nnnoiseless` puts it where it is looked for.
"""

import shutil
import subprocess
import tempfile
from pathlib import Path

import numpy as np
from scipy.io import wavfile
from scipy.signal import butter, resample_poly, sosfilt

import sound

ROOT = Path(__file__).resolve().parent.parent

# Below it lies no speech that a recogniser needs, but hum and handling noise.
HIGH_PASS_HZ = 120
GAIN_TARGET_RMS = 0.1
SUPPRESSOR_RATE = 48_000


def suppressor():
    own = ROOT / "target/bench/bin/nnnoiseless"
    return str(own) if own.exists() else shutil.which("nnnoiseless")


def high_pass(samples):
    return sosfilt(butter(4, HIGH_PASS_HZ, "highpass", fs=sound.RATE, output="sos"), samples)


def gain_control(samples):
    """Follows the level with 0.02 s up and 0.5 s down, and turns it to one target; 30 dB up at most."""
    block = sound.RATE // 100
    level, out = GAIN_TARGET_RMS, np.empty_like(samples)
    up, down = np.exp(-0.01 / 0.02), np.exp(-0.01 / 0.5)
    gain_before = 1.0
    for start in range(0, len(samples), block):
        part = samples[start : start + block]
        rms = np.sqrt(np.mean(part**2))
        keep = up if rms > level else down
        level = keep * level + (1 - keep) * rms
        gain = min(GAIN_TARGET_RMS / max(level, 1e-6), 31.6)
        out[start : start + block] = part * np.linspace(gain_before, gain, len(part))
        gain_before = gain
    return np.clip(out, -1, 1)


def suppress(samples):
    """The clip twice, the second kept: at the table the suppressor has been listening for long, and is not cold."""
    twice = np.concatenate([samples, samples])
    with tempfile.TemporaryDirectory() as folder:
        before, after = Path(folder) / "before.wav", Path(folder) / "after.wav"
        pcm = np.clip(resample_poly(twice, 3, 1), -1, 1)
        wavfile.write(before, SUPPRESSOR_RATE, np.round(pcm * 32767).astype(np.int16))
        subprocess.run([suppressor(), str(before), str(after)], check=True, capture_output=True)
        _, clean = wavfile.read(after)
    clean = resample_poly(clean / 32768, 1, 3)
    # The program leaves out its first frame; the end is what counts.
    return clean[-len(samples) :]


TRIALS = {"high-pass 120 Hz": high_pass, "gain control": gain_control, "noise suppressor (RNNoise)": suppress}
