#!/usr/bin/env python3
"""Measures recognition over all sets that are there and writes docs/recognition.md and docs/recognition.json.

    cargo build --release && bench/table.py [SPEECH_FOLDER]

SPEECH_FOLDER holds a manifest.tsv (columns path, words) and a folder noise/; without it only the project's own
synthesised clips are measured. Run it on a quiet machine: the times are wall times. Mixing is done by the program,
with a fixed seed.
"""

import csv
import json
import os
import platform
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PROGRAM = ROOT / "target/release/sulcus"
SPEECH = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT.parent / "shared/speech"
# In-vocabulary words of the command clips; every other word of that set must be kept out.
COMMANDS = "yes no up down left right on off stop go zero one two three four five six seven eight nine".split()


def score(name, listing, *options):
    """One run of `sulcus score`; gives its summary."""
    with tempfile.NamedTemporaryFile(suffix=".json") as out:
        command = [PROGRAM, "--models", ROOT / "models", "score", listing, *options, "--json", out.name]
        run = subprocess.run([str(part) for part in command], capture_output=True, text=True)
        if run.returncode not in (0, 1):
            sys.exit(f"{name}: {run.stderr}")
        result = json.load(open(out.name))
    print(name, json.dumps(result["summary"]), flush=True)
    return {"set": name, **result["summary"]}


def percent(part, whole):
    return "-" if not whole else f"{100 * part / whole:.1f} %"


def main():
    rows = []
    fixtures = ROOT / "audio-fixtures"
    rows.append(score("own clips, clean (synthesised), whole grammar", fixtures / "clean.tsv"))
    rows.append(score("own clips, noisy (synthesised), whole grammar", fixtures / "noisy.tsv"))
    rows.append(score("own clips to be kept out, whole grammar", fixtures / "reject.tsv"))
    for animal in ("dog", "cat"):
        rows.append(cues(fixtures / "demo", animal))
    manifest = SPEECH / "manifest.tsv"
    if manifest.exists():
        rows += human(manifest)
    else:
        print(f"no {manifest}: human speech is not measured")
    write(rows)


def cues(folder, animal):
    """The demo's sound cut at its cues."""
    import wave

    with tempfile.TemporaryDirectory() as place:
        sound = wave.open(str(folder / f"{animal}.wav"))
        rate = sound.getframerate()
        listing = Path(place) / "list.tsv"
        lines = ["path\twords"]
        for at, cue in enumerate(csv.DictReader(open(folder / f"{animal}.cues.tsv"), delimiter="\t")):
            start, end = float(cue["start_s"]) - 0.3, float(cue["end_s"]) + 0.3
            sound.setpos(int(start * rate))
            clip = wave.open(str(Path(place) / f"{at:02}.wav"), "w")
            clip.setparams((1, 2, rate, 0, "NONE", ""))
            clip.writeframes(sound.readframes(int((end - start) * rate)))
            clip.close()
            lines.append(f"{at:02}.wav\t{cue['words']}")
        listing.write_text("\n".join(lines) + "\n")
        return score(f"demo {animal}, sentence by sentence, whole grammar", listing)


def human(manifest):
    """Recorded people: connected digits, single words, free speech; clean and in noise."""
    rows = []
    digits = ["--grammar", "digits", "--only", "an4/", "--allowed-only"]
    rows.append(score("digits, 181 strings, all speakers", manifest, *digits))
    for split in ("tune", "check"):
        rows.append(score(f"digits, half of the speakers ({split})", manifest, *digits, "--split", split))
    noise = SPEECH / "noise"
    with tempfile.TemporaryDirectory() as place:
        for kind, pattern in (("running tap", "running_tap*"), ("vacuum cleaner", "vacuum*")):
            folder = Path(place) / kind.replace(" ", "_")
            folder.mkdir()
            for file in noise.glob(pattern):
                os.symlink(file.resolve(), folder / file.name)
            for snr in (20, 10, 5, 0):
                rows.append(score(f"digits, {kind} at {snr} dB", manifest, *digits, "--noise", folder, "--snr", str(snr)))
        words = Path(place) / "words.txt"
        words.write_text("\n".join(COMMANDS) + "\n")
        rows.append(score("single words, 20 allowed", manifest, "--grammar-words", words, "--only", "commands/"))
        for grammar in ("digits", "exam"):
            rows.append(score(f"free speech, {grammar} grammar", manifest, "--grammar", grammar, "--only", "other/"))
        listing = Path(place) / "noise.tsv"
        lines = ["path\twords"] + [f"{file.resolve()}\t" for file in sorted(noise.glob("*.wav")) if file.stat().st_size < 400_000]
        listing.write_text("\n".join(lines) + "\n")
        for grammar in ("digits", "exam"):
            rows.append(score(f"noise alone, {grammar} grammar", listing, "--grammar", grammar))
    return rows


def write(rows):
    lines = [
        "# Recognition, measured",
        "",
        "Made by `cargo build --release && bench/table.py`; do not edit by hand.",
        f"Machine: {os.cpu_count()} cores ({platform.machine()}), nothing else running. Clips are given whole to the engine;",
        "the time is from the end of the sound to the result, without the silence that ends an utterance.",
        "Right and wrong are by value (oh is zero). Refused: asked for again, nothing entered.",
        "Synthesised voices are the project's own; recorded people are not part of the repository.",
        "",
        "| set | clips to hear | right | entered wrong | refused | clips to keep out | entered all the same | time p50 / p95 | part of the sound | memory |",
        "|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|",
    ]
    for row in rows:
        allowed, foreign = row["clips_allowed"], row["clips_foreign"]
        lines.append(
            f"| {row['set']} | {allowed} | {row['right']} ({percent(row['right'], allowed)}) "
            f"| {row['wrong']} ({percent(row['wrong'], allowed)}) | {row['refused']} ({percent(row['refused'], allowed)}) "
            f"| {foreign} | {row['false_entries']} ({percent(row['false_entries'], foreign)}) "
            f"| {row['latency_p50_ms']:.0f} / {row['latency_p95_ms']:.0f} ms | {row['part_of_real_time']:.2f} | {row['memory_peak_mb']:.0f} MB |"
        )
    (ROOT / "docs/recognition.md").write_text("\n".join(lines) + "\n")
    (ROOT / "docs/recognition.json").write_text(json.dumps(rows, indent=1) + "\n")


main()
