"""The sentences of the training: of the grammar as it is now, and foreign ones that must not be taken for them.

Foreign speech is made by patterns: plain English sentences and words, talk with numbers in it, and words that sound
like words of the grammar (one sound apart, by espeak-ng's phonemes). No list is fitted to a test set.
"""

import importlib
import inspect
import os
import random
import re
import subprocess
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

DIGITS = "zero oh one two three four five six seven eight nine".split()
DEPTHS = "one two three four five six seven eight nine ten eleven twelve".split()
SITUATIONS = ("table", "question", "speaking", "asleep")
# Foreign words that stay out of the training, to see how words are kept out that it never met.
UNMET = {"bird", "house", "visual", "wow", "sheila", "marvin", "happy"}

# Invented talk in a treatment room, by parts.
WHO = """he|she|it|the cat|the dog|her owner|my sister|the nurse|somebody|this one|our last patient|the student|the other
vet|my brother|the new one|their neighbour|the old lady|nobody""".replace("\n", " ").split("|")
DID = "wants|needs|took|had|found|saw|asked for|forgot|ordered|has|brought|lost|paid for|counted|dropped|keeps".split("|")
NUMBER = "one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirty|forty|a hundred|no|some|half".split("|")
THING = """pills|boxes of gloves|syringes|days off|kittens|towels|cups of coffee|phone calls|appointments|blankets|more
swabs|teeth out|missing teeth|x rays|sandwiches|needles|bottles|minutes|puppies|radiographs for the file|crowns on the
table|letters|keys|chairs|degrees of fever|kilos|pockets in that coat""".replace("\n", " ").split("|")
TAIL = """last week|yesterday|this morning|in the next room|on the left|on the right side|before lunch|for the plan|because
of the pain|at the back|again|since monday|from the upper drawer|right now|in the whole mouth i think|and then
stopped|at home|on tuesday|over there|up to now|for no reason|to be sure""".replace("\n", " ").split("|")
ASK = """can you|could you please|would you|do you want to|shall we|i think we should|let us|maybe you can|did you|why did
they|i would like to|please do not|we never|they always|no i did not|yes we can""".replace("\n", " ").split("|")
ACT = """turn the light up|hold the head|move the tongue|check the temperature again|write this down|look at the left
side|open the window|stop the music|repeat that for the student|read me the label|close the mouth|start the
pump|wash the mirror|call the owner back|compare the two pictures|take the throat pack out later|give him a little
more|go and get the monitor|extract the file from the folder|leave the door open|pass me the probe|mark the crown with a
pen|confirm the appointment|note the weight on the card|finish your coffee|wait for a moment|put three of them in a
box|listen to this song|undo the belt|move it forward a bit|go on without me|stay in room four""".replace(
    "\n", " "
).split("|")


def of_grammar(program, count, seeds):
    """What may be said, in every situation; most of it at the table."""
    jobs = [(situation, species, seed) for situation in SITUATIONS for species in ("dog", "cat") for seed in seeds]

    def sample(job):
        situation, species, seed = job
        wanted = count if situation == "table" else count // 6
        command = [program, "parse", "--samples", str(wanted), "--cover", "--seed", str(seed)]
        command += ["--species", species, "--situation", situation]
        run = subprocess.run([str(part) for part in command], capture_output=True, text=True, check=True)
        return run.stdout.splitlines()

    with ThreadPoolExecutor(os.cpu_count()) as pool:
        found = [said for lines in pool.map(sample, jobs) for said in lines]
    return [said for said in dict.fromkeys(found) if 0 < len(said.split()) <= 16]


def plain_english():
    """Sentences of the documentation that comes with Python."""
    found = []
    for name in sorted(sys.stdlib_module_names):
        if name.startswith("_") or name in ("antigravity", "this", "idlelib", "turtledemo"):
            continue
        try:
            module = importlib.import_module(name)
        except Exception:  # noqa: BLE001 (what cannot be loaded here has no sentences)
            continue
        things = [module] + [one for _, one in inspect.getmembers(module) if inspect.isclass(one) or inspect.isfunction(one)]
        for thing in things:
            text = " ".join((inspect.getdoc(thing) or "").split())
            for sentence in re.split(r"(?<=[.!?])\s+", text):
                if (
                    re.fullmatch(r"[A-Z][A-Za-z',\- ]+[.]", sentence)
                    and 3 <= len(sentence.split()) <= 14
                    and not re.search(r"[a-z][A-Z]|[A-Z]{2}", sentence)
                ):
                    found.append(sentence)
    return list(dict.fromkeys(found))


def phonemes(words):
    """Each word's phonemes by espeak-ng, without stress and length."""
    run = subprocess.run(
        ["espeak-ng", "-q", "--ipa", "-v", "en-us"], input="\n\n".join(words).encode(), capture_output=True, check=True
    )
    lines = [re.sub("[ˈˌː ]", "", line) for line in run.stdout.decode().splitlines() if line.strip()]
    if len(lines) != len(words):
        raise ValueError("espeak-ng gave another number of lines")
    return lines


def apart(a, b, most):
    """Whether two strings are at most so many sounds apart, and not the same."""
    if a == b or abs(len(a) - len(b)) > most:
        return False
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row = row, [i]
        for j, y in enumerate(b, 1):
            row.append(min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (x != y)))
    return row[-1] <= most


def near(words, grammar_words, random_):
    """Words that sound like a word of the grammar and are none."""
    own = {word: sound for word, sound in zip(sorted(grammar_words), phonemes(sorted(grammar_words)))}
    sounds = set(own.values())
    by_length = {}
    for sound in sounds:
        by_length.setdefault(len(sound), []).append(sound)
    words = [word for word in words if word not in grammar_words]
    random_.shuffle(words)
    found = []
    for word, sound in zip(words, phonemes(words)):
        if sound in sounds or len(sound) < 2:
            continue
        most = 1 if len(sound) <= 5 else 2
        others = [own for length in range(len(sound) - most, len(sound) + most + 1) for own in by_length.get(length, [])]
        if any(apart(sound, other, most) for other in others):
            found.append(word)
    return found


def sentence(words):
    return words[0].upper() + words[1:] + "."


def make(program, per_situation=2500, seeds=(100, 101, 102, 103), seed=11):
    """Kind of text to list of texts; kinds whose name begins with "not" are foreign."""
    chance = random.Random(seed)
    said = of_grammar(program, per_situation, seeds)
    chance.shuffle(said)
    grammar_words = {word for text in said for word in text.split()}
    lone = sorted({text for text in said if len(text.split()) == 1 and text in grammar_words})
    lengths = [1, 2, 2, 3, 3, 3, 4, 4, 5, 5, 6, 6, 7, 8, 9, 10, 12]
    strings = [" ".join(chance.choice(DIGITS) for _ in range(chance.choice(lengths))) for _ in range(2500)]
    # The same digit several times: none may be dropped, none doubled.
    for _ in range(500):
        digit = chance.choice(DIGITS)
        run = [digit] * chance.choice([2, 2, 3, 4])
        before = [chance.choice(DIGITS) for _ in range(chance.choice([0, 1, 2]))]
        strings.append(" ".join(before + run + [chance.choice(DIGITS) for _ in range(chance.choice([0, 1, 2]))]))
    # Said digit by digit, with a stop after each.
    apart_ = [" ".join(chance.choice(DIGITS) for _ in range(chance.choice([1, 2, 3, 3, 4, 5, 6]))) for _ in range(1300)]
    sides = [word for word in "buccal palatal lingual labial mesial distal".split() if word in grammar_words]
    rows = [
        " ".join([chance.choice(sides)] + [chance.choice(DEPTHS) for _ in range(chance.choice([3, 3, 3, 6]))])
        for _ in range(700)
    ]
    teeth = [
        ("tooth " if chance.random() < 0.7 else "")
        + " ".join([chance.choice(DIGITS[2:10]), chance.choice(["oh", "zero", "one"]), chance.choice(DIGITS[2:])])
        for _ in range(700)
    ]

    docs = plain_english()
    chance.shuffle(docs)
    counts = Counter(word.lower() for text in docs for word in re.findall(r"[A-Za-z]{2,}", text))
    known = [word for word, count in counts.items() if count >= 2]
    dictionary = Path("/usr/share/dict/american-english-small")
    if dictionary.exists():
        known += [word for word in dictionary.read_text().split() if re.fullmatch("[a-z]{2,9}", word)]
    known = sorted({word for word in known if word not in UNMET})
    foreign = [word for word in known if word not in grammar_words]
    like = near(known, grammar_words, chance)
    short = [word for word in foreign if len(word) <= 6]
    salad = []
    for _ in range(1500):
        words = [chance.choice(short if chance.random() < 0.5 else known) for _ in range(chance.choice([1, 1, 1, 2, 2, 3, 4]))]
        if not all(word in grammar_words for word in words):
            salad.append(sentence(" ".join(words)))
    talk = []
    for _ in range(1600):
        if chance.random() < 0.5:
            text = " ".join(chance.choice(part) for part in (WHO, DID, NUMBER, THING, TAIL))
        else:
            text = f"{chance.choice(ASK)} {chance.choice(ACT)}"
            if chance.random() < 0.4:
                text += " " + chance.choice(TAIL)
        talk.append(sentence(text))
    alike = [sentence(word) for word in like[:1600]]
    alike += [sentence(" ".join(chance.sample(like, 2))) for _ in range(200)]
    texts = {
        "grammar": said,
        "lone": lone,
        "strings": strings,
        "rows": rows,
        "apart": list(dict.fromkeys(apart_)),
        "teeth": teeth,
        "not: plain": docs,
        "not: words": list(dict.fromkeys(salad)),
        "not: talk": list(dict.fromkeys(talk)),
        "not: alike": list(dict.fromkeys(alike)),
    }
    return texts
