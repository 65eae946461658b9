"""Says the texts, many processes at once, and keeps the sound in one file: `NAME.npy` (16-bit, 16 kHz, end to end) with
`NAME.json` (kind, text, voice and length of each clip)."""

import json
import os
import random
import time
from multiprocessing import Pool
from pathlib import Path

import numpy as np

# How many of each kind at most, and how often each is said.
PLAN = [
    ("grammar", 9000, 1), ("grammar", 2500, 2), ("lone", 400, 10), ("strings", 3000, 1), ("rows", 700, 1),
    ("teeth", 700, 1), ("apart", 1200, 1), ("not: plain", 1500, 1), ("not: words", 1500, 1), ("not: talk", 1500, 1), ("not: alike", 1800, 2),
]  # fmt: skip
LONGEST_S = 11

CAST = None


def start(folder):
    global CAST
    import voices

    CAST = voices.Cast(folder)


def with_pauses(text, chance):
    """People pause between numbers; a comma makes a synthesiser do so."""
    words = text.split()
    rate = chance.choice([0, 0, 0.1, 0.3])
    return " ".join(word + ("," if at + 1 < len(words) and chance.random() < rate else "") for at, word in enumerate(words))


def say(job):
    kind, text, turn, neural = job
    chance = random.Random(f"{kind} {text} {turn} {neural}")
    spoken = CAST.speak_apart if kind == "apart" else CAST.speak
    words = text.rstrip(".?").lower() if kind.startswith("not") else with_pauses(text, chance)
    if kind == "apart":
        words = text
    try:
        sound, voice = spoken(words, chance, neural)
    except Exception as error:  # noqa: BLE001 (told at the end; one clip less)
        return kind, text, f"failed: {error!r}"[:200], None
    if len(sound) > LONGEST_S * 16_000:
        return None
    return kind, text, voice, sound


def make(texts, parts, out, name, neural, seconds, processes=None, seed=3):
    """Ends after so many seconds, with what there is."""
    os.environ["OMP_NUM_THREADS"] = "1"
    jobs = [(kind, text, turn, neural) for kind, count, turns in PLAN for text in texts[kind][:count] for turn in range(turns)]
    jobs = list(dict.fromkeys(jobs))
    random.Random(seed + neural).shuffle(jobs)
    began, list_, sound, failed = time.time(), [], [], []
    with Pool(processes or os.cpu_count(), start, (parts,)) as pool:
        for made in pool.imap_unordered(say, jobs, chunksize=4):
            if made is None:
                continue
            if made[3] is None:
                failed.append(made)
                continue
            list_.append([*made[:3], len(made[3])])
            sound.append(made[3])
            if time.time() - began > seconds:
                pool.terminate()
                break
    if len(failed) > len(list_) / 20:
        raise SystemExit(f"{len(failed)} clips could not be said, as {failed[0]}")
    out = Path(out)
    np.save(out / f"{name}.npy", np.concatenate(sound))
    (out / f"{name}.json").write_text(json.dumps(list_))
    hours = sum(len(clip) for clip in sound) / 16_000 / 3600
    kinds = {kind: sum(row[0] == kind for row in list_) for kind, _, _ in PLAN}
    voices = {kind: sum(row[2].split()[0] == kind for row in list_) for kind in ("kokoro", "joe", "flite", "espeak")}
    print(f"said {len(list_)} of {len(jobs)}, {hours:.2f} h in {time.time() - began:.0f} s; {len(failed)} failed")
    for one in failed[:3]:
        print("  ", one[:3])
    print(kinds, voices, flush=True)
