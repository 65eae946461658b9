"""Chooses how much of an adapter is merged, and from which belief a sentence is entered, on speech that it did not learn
from: tune speakers that were left out, and voices that were (`voices.CHOOSING`).

The program itself hears the clips (`sulcus score`), with the graphs of each strength in the place of its own.
"""

import csv
import gzip
import json
import math
import os
import random
import subprocess
import time
import wave
from concurrent.futures import ThreadPoolExecutor
from multiprocessing import Pool
from pathlib import Path

import network
import noise
import numpy as np
from texts import UNMET
from train import FREE, is_left_out, is_tune

STRENGTHS = [0.5, 0.6, 0.7, 0.85]
BELIEFS = [0.8, 0.85, 0.9, 0.93, 0.95, 0.97, 0.98, 0.99]
# A wrong entry weighs as much as so many refusals; foreign speech entered, as a wrong entry.
WRONG = 10

KOKORO = None


def start(folder):
    global KOKORO
    import voices

    KOKORO = voices.Kokoro(Path(folder))


def say(job):
    import voices

    number, words, seed = job
    chance = random.Random(f"choose {number} {words} {seed}")
    voice = chance.choice(sorted(voices.CHOOSING))
    pitch = chance.choice([0.9, 1, 1, 1.1])
    sound, rate = KOKORO.speak(words.rstrip(".?").lower(), chance.uniform(0.85, 1.25) / pitch, [(voice, 1.0)])
    return number, words, voice, voices.finished(sound, rate, pitch)


def write_wav(path, sound):
    quiet = np.random.default_rng(len(sound)).normal(0, 12, len(sound) + 9600)
    quiet[4800 : 4800 + len(sound)] += sound
    with wave.open(str(path), "wb") as file:
        file.setparams((1, 2, 16_000, 0, "NONE", ""))
        file.writeframes(np.clip(np.round(quiet), -32768, 32767).astype(np.int16).tobytes())


def make_sets(texts, parts, speech, out, few=None):
    """Lists for `sulcus score`: recorded speakers that were left out, and voices that were."""
    out.mkdir(parents=True, exist_ok=True)
    lines = ["path\twords\tspeaker"]
    for row in csv.DictReader(open(speech / "manifest.tsv", encoding="utf-8"), delimiter="\t"):
        if row["path"].startswith(FREE) and is_tune(row["speaker"]) and is_left_out(row["speaker"]):
            kind = "an4" if row["path"].startswith("an4/") else "commands"
            (out / kind).mkdir(exist_ok=True)
            target = out / kind / row["path"].replace("/", "_")
            if not target.exists():
                os.symlink((speech / row["path"]).resolve(), target)
            lines.append(f"{kind}/{target.name}\t{row['words']}\t{row['speaker']}")
    (out / "recorded.tsv").write_text("\n".join(lines) + "\n")

    chance = random.Random(9)
    heard = chance.sample(texts["choose"], min(170, len(texts["choose"])))
    strings = [" ".join(chance.choice("oh one two three four five six seven eight nine".split()) for _ in range(chance.choice([1, 1, 1, 3, 4, 6, 7]))) for _ in range(60)]
    foreign = [text for kind in ("not: talk", "not: alike", "not: words") for text in chance.sample(texts[kind], 40)]
    foreign += sorted(UNMET) * 4
    said = [(text, text) for text in heard + strings] + [(text, "") for text in foreign]
    if few:
        said = said[:few] + said[-few:]
    (out / "voices").mkdir(exist_ok=True)
    lines = ["path\twords\tspeaker"]
    jobs = [(number, text, 1) for number, (text, _) in enumerate(said)]
    with Pool(os.cpu_count(), start, (parts,)) as pool:
        for number, _, voice, sound in pool.imap(say, jobs, chunksize=2):
            write_wav(out / f"voices/{number:03}.wav", sound)
            lines.append(f"voices/{number:03}.wav\t{said[number][1]}\t{voice}")
    (out / "voices.tsv").write_text("\n".join(lines) + "\n")

    (out / "noise").mkdir(exist_ok=True)
    for kind in noise.KINDS:
        sound = noise.make(kind, 100)
        with wave.open(str(out / f"noise/{kind}.wav"), "wb") as file:
            file.setparams((1, 2, 16_000, 0, "NONE", ""))
            sound = sound / max(1.0, np.abs(sound).max()) * 0.9
            file.writeframes((sound * 32767).astype(np.int16).tobytes())


def sets(out):
    """Name of a set to the options that hear it."""
    noisy = lambda db: ["--noise", out / "noise", "--snr", db]  # noqa: E731
    digits = [out / "recorded.tsv", "--only", "an4/", "--grammar", "digits"]
    words = [out / "recorded.tsv", "--only", "commands/"]
    spoken = [out / "voices.tsv"]
    return {
        "strings": digits,
        "strings at 10 dB": digits + noisy(10),
        "strings at 5 dB": digits + noisy(5),
        "words": words,
        "words at 10 dB": words + noisy(10),
        "voices": spoken,
        "voices at 10 dB": spoken + noisy(10),
        "voices at 5 dB": spoken + noisy(5),
    }


def models_with(models, target, prepared):
    """A models folder whose prepared graphs are others."""
    (target / "moonshine").mkdir(parents=True, exist_ok=True)
    for name in ("onnxruntime", "silero", "vad"):
        if (models / name).exists() and not (target / name).exists():
            os.symlink((models / name).resolve(), target / name)
    for file in (models / "moonshine").iterdir():
        if file.is_file() and not (target / "moonshine" / file.name).exists():
            os.symlink(file.resolve(), target / "moonshine" / file.name)
    if prepared and not (target / "moonshine/prepared-v1").exists():
        os.symlink(prepared.resolve(), target / "moonshine/prepared-v1")


def hear(program, folders, out, processes):
    """Hears every set with the models of each folder; gives name to set to clips."""
    wanted = [(name, folder, kind, options) for kind, options in sets(out).items() for name, folder in folders.items()]

    def one(job):
        name, folder, kind, options = job
        file = out / f"heard.{name}.{kind.replace(' ', '_')}.json"
        if not file.exists():
            command = [program, "--models", folder, "score", "--no-adapter", *options, "--json", file]
            run = subprocess.run([str(part) for part in command], capture_output=True, text=True)
            if not file.exists():
                raise SystemExit(f"{name}, {kind}: {run.stderr[-400:]}")
        return name, kind, json.loads(file.read_text())["clips"]

    heard, began = {}, time.time()
    with ThreadPoolExecutor(processes) as pool:
        for name, kind, clips in pool.map(one, wanted):
            heard.setdefault(name, {})[kind] = clips
    print(f"heard {len(wanted)} sets in {time.time() - began:.0f} s", flush=True)
    return heard


def adapted_belief(figures):
    """As the program reckons it with an adapter (`Belief::of`): the lead of other words counts against it."""
    belief = min(max(figures.get("belief", 0.0), 1e-6), 1 - 1e-6)
    return 1 / (1 + math.exp(-math.log(belief / (1 - belief)) + figures.get("free_lead_per_token", 0.0)))


def counts(clips, belief):
    """Right, wrong, refused; foreign ones entered."""
    right = wrong = refused = entered = 0
    for clip in clips:
        figures = clip["figures"]
        is_in = adapted_belief(figures) >= belief and not figures.get("other_numbers")
        if clip["fate"] in ("kept_out", "false_entry"):
            entered += is_in
        elif not is_in:
            refused += 1
        elif clip["same_values"]:
            right += 1
        else:
            wrong += 1
    return np.array([right, wrong, refused, entered])


def choose(heard):
    """Strength and belief of least harm, with the table behind."""
    rows = []
    for name, by_kind in heard.items():
        for belief in BELIEFS:
            total = sum(counts(clips, belief) for clips in by_kind.values())
            rows.append((float(total[2] + WRONG * (total[1] + total[3])), name, belief, total.tolist()))
    for name, by_kind in heard.items():
        for kind, clips in by_kind.items():
            line = "  ".join(f"{belief}: " + "/".join(map(str, counts(clips, belief))) for belief in (0.85, 0.9, 0.95, 0.97))
            print(f"{name:5} {kind:17} {line}")
    print("harm, strength, belief, right/wrong/refused/foreign entered")
    for row in sorted(rows)[:12]:
        print(row)
    return min(rows), rows


def keep(heard, path):
    with gzip.open(path, "wt") as file:
        json.dump(heard, file)
