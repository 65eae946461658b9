#!/usr/bin/env python3
"""Makes a test set of the whole vocabulary: sentences drawn from the grammar, said by many synthesised voices.

    bench/voices.py [--seed N] [--count N] [--out FOLDER]

Writes FOLDER/list.tsv (path, words, speaker, voice, kind) for what must be understood, and FOLDER/chatter.tsv (words
empty) for talk that must be kept out. Each way of saying and each word of the grammar occurs at least once. The same
seed and the same programs give the same sentences, voices, speeds and pitches. Voices that are not installed are told
and left out. Needs the release build of the program, and the packages of bench/requirements.txt.
"""

import argparse
import json
import random
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "audio-fixtures"))

import make  # noqa: E402  (the synthesisers and the levelling of the project's own clips)

PROGRAM = ROOT / "target/release/sulcus"
PIPER = ROOT / "models/piper"

# The sentences as they were drawn, to see later whether the grammar would still give the same.
DRAWN = "sentences.txt"

# Part of the clips for each kind of voice: the clear ones more, since people are clear too.
SHARES = {"neural": 0.3, "flite": 0.25, "festival": 0.1, "espeak": 0.35}

ESPEAK_ACCENTS = [
    "en-us", "en-us-nyc", "en-gb", "en-gb-x-rp", "en-gb-scotland", "en-gb-x-gbclan", "en-gb-x-gbcwmd", "en-029",
]  # fmt: skip
ESPEAK_VARIANTS = ["", "f2", "f3", "f4", "f5", "m2", "m3", "m4", "m7", "Andrea", "Annie", "linda", "Alex", "edward"]

# A hurried vet and a slow one; pitch moves the timbre with it, so one voice gives several speakers.
SPEEDS = [0.85, 1.0, 1.15, 1.3]
PITCHES = [0.9, 1.0, 1.1]

# Invented talk in a treatment room. None of it is a sentence of the grammar; much of it holds numbers and words of it.
CHATTER = """
could you hand me the next pack please
i think we have about twenty minutes left
her owner said she eats on the left side only
is the heart rate still at ninety
the kettle is on if anybody wants tea
we had two of those last week
can you turn the light a little to the right
he weighs four and a half kilos now
did somebody call about the delivery
that looks a bit red to me
hold the head still for a moment
my son turned seven on saturday
give her another five minutes on oxygen
the phone has been ringing all morning
what time does the next one come in
there is some water on the floor over there
i would rather not do that today
put it in the second drawer from the top
she was here in march for her vaccination
temperature is fine she is nice and warm
who took the big scissors again
let us see what the pictures look like
do you have one more swab for me
the printer is out of paper again
one of the kittens is still hungry
we should order more gloves size seven
this is going better than i thought
he tried to bite me on the way in
mind the cable behind you
can you write that down for later
the traffic was terrible on the bridge
she has the softest ears i have ever seen
let me know when you are ready
that is the third one this week
is the suction blocked or is it just me
i will be with you in three or four minutes
no i have not had lunch yet
tell them we will call back before six
it started raining just as i left
the blood results came back normal i think
""".strip().splitlines()


def from_models_folder():
    """The Piper voice that the program itself speaks with."""
    import onnxruntime

    config = json.loads((PIPER / "voice.onnx.json").read_text())
    return onnxruntime.InferenceSession(str(PIPER / "voice.onnx")), config


def voices():
    """Kind of voice to the list of (name, function of words and speed); tells what is not there."""
    found = {kind: [] for kind in SHARES}

    def missing(what, why):
        print(f"not installed, left out: {what} ({why})")

    if (PIPER / "voice.onnx").exists() and shutil.which("espeak-ng"):
        make.piper_model = cache(from_models_folder)
        found["neural"].append(("piper", make.joe))
    else:
        missing("the Piper voice", "models/piper and espeak-ng")
    try:
        make.hibari_model()
        found["neural"].append(("hibari", make.heart))
    except ImportError:
        missing("the voice of hibari", "hibari-tts of bench/requirements.txt")
    if shutil.which("flite"):
        listed = subprocess.run(["flite", "-lv"], capture_output=True, text=True).stdout.split(":")[-1].split()
        # "awb_time" can only tell the time, "kal16" is "kal" at another rate.
        for name in sorted(set(listed) - {"awb_time", "kal16"}):
            found["flite"].append((f"flite-{name}", make.flite(name)))
    else:
        missing("flite", "apt-get install flite")
    if shutil.which("text2wave") and list(Path("/usr/share/festival/voices").glob("*/*")):
        found["festival"].append(("festival", make.festival))
    else:
        missing("festival", "apt-get install festival festvox-kallpc16k")
    if shutil.which("espeak-ng"):
        known = {line.split()[-1] for line in run_lines(["espeak-ng", "--voices=variant"])}
        accents = {line.split()[1] for line in run_lines(["espeak-ng", "--voices=en"])}
        for number, variant in enumerate(ESPEAK_VARIANTS):
            accent = ESPEAK_ACCENTS[number % len(ESPEAK_ACCENTS)]
            name = accent + (f"+{variant}" if variant else "")
            if accent in accents and (not variant or f"!v/{variant}" in known):
                found["espeak"].append((f"espeak-{name}", make.espeak(name)))
            else:
                missing(f"espeak-ng {name}", "not among its voices")
    else:
        missing("espeak-ng", "apt-get install espeak-ng")
    return {kind: list_ for kind, list_ in found.items() if list_}


def run_lines(command):
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.splitlines()[1:]


def sentences(count, seed):
    command = [str(PROGRAM), "parse", "--samples", str(count), "--cover", "--seed", str(seed)]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.splitlines()


def is_fresh(folder, count=300, seed=1):
    """Whether the set is there and of the grammar as it is now."""
    drawn = folder / DRAWN
    return drawn.exists() and drawn.read_text().splitlines() == sentences(count, seed)


class Cast:
    """Gives each clip its voice: the kinds by their shares, within a kind each voice equally often."""

    def __init__(self, found, chance):
        self.found, self.chance = found, chance
        self.decks = {kind: [] for kind in found}

    def next(self):
        kind = self.chance.choices(list(self.found), [SHARES[kind] for kind in self.found])[0]
        if not self.decks[kind]:
            self.decks[kind] = self.found[kind].copy()
            self.chance.shuffle(self.decks[kind])
        name, speak = self.decks[kind].pop()
        return kind, name, speak, self.chance.choice(SPEEDS), self.chance.choice(PITCHES)


def speak_all(folder, list_name, lines, cast, keep_words, number):
    rows = ["path\twords\tspeaker\tvoice\tkind"]
    for words in lines:
        kind, name, speak, speed, pitch = cast.next()
        make.VOICES[name] = speak
        path = folder / f"{number:04}.wav"
        make.write(path, make.with_room(make.edged(make.speech(name, speed, pitch, words)), number))
        speaker = f"{name}*{pitch}"
        rows.append(f"{path.name}\t{words if keep_words else ''}\t{speaker}\t{name} speed {speed} pitch {pitch}\t{kind}")
        number += 1
    (folder / list_name).write_text("\n".join(rows) + "\n")
    return number


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--count", type=int, default=300, help="sentences; more where it takes more to say all words")
    options.add_argument("--limit", type=int, help="of those only so many, for a trial")
    options.add_argument("--out", type=Path, default=ROOT / "target/bench/voices")
    wanted = options.parse_args()
    found = voices()
    if not found:
        sys.exit("voices.py: no voice is installed")
    chance = random.Random(wanted.seed)
    drawn = sentences(wanted.count, wanted.seed)
    said = drawn.copy()
    chance.shuffle(said)
    chatter = CHATTER * 2
    if wanted.limit:
        said, chatter = said[: wanted.limit], chatter[: wanted.limit // 3]
    cast = Cast(found, chance)
    shutil.rmtree(wanted.out, ignore_errors=True)
    wanted.out.mkdir(parents=True)
    number = speak_all(wanted.out, "list.tsv", said, cast, True, 0)
    speak_all(wanted.out, "chatter.tsv", chatter, cast, False, number)
    (wanted.out / DRAWN).write_text("\n".join(drawn) + "\n")
    count = sum(len(list_) for list_ in found.values())
    print(f"{len(said)} sentences and {len(chatter)} of chatter by {count} voices in {wanted.out}")


if __name__ == "__main__":
    main()
