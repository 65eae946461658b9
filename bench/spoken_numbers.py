#!/usr/bin/env python3
"""Measures how spoken numbers from 10 to 250 are heard in vital signs, and writes docs/spoken-numbers.md.

    cargo build --release && bench/spoken_numbers.py [--step N] [--noise DIR] [--program FILE] [--seed N]

Each number is said as a heart rate by synthesised voices in the ways that people say it: "one twenty two", "one two
two", "one hundred and twenty two". The whole grammar of the table may be heard; a clip is right where the sentence is
heard as it was said or in words that mean the same number, refused where nothing is entered, and wrong where another
number or another sentence is. `--step` takes every so manyth number, to try it. Needs bench/requirements.txt for the
neural voices; voices that are not installed are told and left out. Recorded people saying numbers are measured by
bench/table.py (`sulcus score LIST --grammar numbers`).
"""

import argparse
import json
import random
import re
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "bench"))

import voices  # noqa: E402

PLACE = ROOT / "target/bench/spoken-numbers"
PAGE = ROOT / "docs/spoken-numbers.md"

DIGITS = "zero one two three four five six seven eight nine".split()
TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()


def below_hundred(number):
    if number < 10:
        return DIGITS[number]
    if number < 20:
        return TEENS[number - 10]
    return " ".join([TENS[number // 10 - 2]] + ([DIGITS[number % 10]] if number % 10 else []))


def ways(number):
    """Way of saying to words."""
    said = {"digit by digit": " ".join(DIGITS[int(digit)] for digit in str(number))}
    if number < 100:
        said["as people say it"] = below_hundred(number)
        return said
    rest = number % 100
    hundred = DIGITS[number // 100]
    if rest >= 10:
        said["as people say it"] = f"{hundred} {below_hundred(rest)}"
    said["in full"] = f"{hundred} hundred" + (f" and {below_hundred(rest)}" if rest else "")
    return said


def value_of(program, words):
    """What the program makes of the words as text."""
    if not words:
        return None
    told = subprocess.run([program, "parse", words], capture_output=True, text=True).stdout
    found = re.search(r"heart rate (\d+)", told)
    return int(found.group(1)) if found and "heart rate" in words else None


def scored(program, said, more):
    """Rows of the table, and what was heard as something else."""
    out = PLACE / "score.json"
    command = [program, "--models", ROOT / "models", "score", PLACE / "list.tsv", "--grammar", "exam", "--json", out, *more]
    subprocess.run([str(part) for part in command], check=True, stdout=subprocess.DEVNULL)
    clips = {clip["name"]: clip for clip in json.loads(out.read_text())["clips"]}
    tally = {}
    pairs = set()
    for at, (number, way, sentence) in enumerate(said):
        clip = clips[f"{at:04}.wav"]
        fate = clip["fate"]
        if fate == "wrong":
            if value_of(program, clip.get("heard") or "") == number:
                fate = "right"
            else:
                pairs.add((sentence, clip.get("heard") or ""))
        for key in (way, "all"):
            row = tally.setdefault(key, {"right": 0, "refused": 0, "wrong": 0})
            row[fate if fate in row else "refused"] += 1
    rows = ["| said | clips | right | refused | wrong |", "|---|---|---|---|---|"]
    for way in ("as people say it", "digit by digit", "in full", "all"):
        row = tally.get(way)
        if row:
            count = sum(row.values())
            part = {key: f"{value} ({value * 100 / count:.1f} %)" for key, value in row.items()}
            rows.append(f"| {way} | {count} | {part['right']} | {part['refused']} | {part['wrong']} |")
    return rows, pairs


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--step", type=int, default=1)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--noise", type=Path, help="folder of WAV files; all clips are heard over them once more")
    options.add_argument("--program", type=Path, default=ROOT / "target/release/sulcus")
    wanted = options.parse_args()
    found = voices.voices()
    if not found:
        sys.exit("spoken_numbers.py: no voice is installed")
    said = [
        (number, way, f"heart rate {words}")
        for number in range(10, 251, wanted.step)
        for way, words in ways(number).items()
    ]
    random.Random(wanted.seed).shuffle(said)
    cast = voices.Cast(found, random.Random(wanted.seed))
    shutil.rmtree(PLACE, ignore_errors=True)
    PLACE.mkdir(parents=True)
    voices.speak_all(PLACE, "list.tsv", [sentence for _, _, sentence in said], cast, True, 0)
    rows = []
    pairs = set()
    places = [("Clear", [])]
    if wanted.noise:
        places.append(("At 10 dB over noise", ["--noise", wanted.noise, "--snr", "10"]))
    for place, more in places:
        found_rows, found_pairs = scored(wanted.program, said, more)
        rows += [f"## {place}", "", *found_rows, ""]
        pairs |= {(*pair, place) for pair in found_pairs}
    names = sorted({name for kinds in found.values() for name, _ in kinds})
    wrong = [f'- "{one}" was heard as "{other}" ({place})' for one, other, place in sorted(pairs)]
    PAGE.write_text(
        "\n".join(
            [
                "# Spoken numbers from 10 to 250",
                "",
                "Written by `bench/spoken_numbers.py`: heart rates said by synthesised voices, heard under the whole grammar"
                " of the table. Wrong is a number or a sentence that was not said, before anybody hears it said back; at the"
                " table close pairs (fifteen and fifty) are asked back, and values beyond the plausible range too.",
                "",
                f"Numbers: every {f'{wanted.step}th ' if wanted.step > 1 else ''}one from 10 to 250. Voices: {', '.join(names)}.",
                "",
                *rows,
                "",
                *(["## Taken for something else", "", *wrong, ""] if wrong else []),
            ]
        )
    )
    print("\n".join(rows))


if __name__ == "__main__":
    main()
