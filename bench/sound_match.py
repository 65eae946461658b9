"""Matches free text to the digits grammar by sound: what the constrained search is compared with.

The engine writes what it likes; the text and the eleven digit words are turned into phonemes by espeak-ng, and the
string of digits with the least weighted edit distance is found by dynamic programming over words. Figures in the text
are read one by one, as that grammar has no larger numbers. A string is entered if its distance, divided by its number
of phonemes, is small enough; the limit is chosen on one half of the speakers.
"""

import re
import subprocess
from functools import cache

DIGITS = "zero oh one two three four five six seven eight nine".split()

# Phonemes of the International Phonetic Alphabet by how they are made: near ones are taken for one another more easily.
VOWELS = set("aeiouyæɑɐɒɔəɚɛɜɝɪɨʊʌʉᵻøœ")
CONSONANTS = [set(group) for group in ("pb", "td", "kɡg", "fv", "θð", "sz", "ʃʒ", "mnŋ", "lɹrɾ", "wj", "hx")]
MANNERS = [set(group) for group in ("pbtdkɡgɾʔ", "fvθðszʃʒhx", "mnŋ", "lɹrwj")]
GAP = 0.8


@cache
def substitution(one, other):
    """0 for the same phoneme, 1 and more for those that no one takes for one another."""
    if one == other:
        return 0.0
    a, b = one[0], other[0]
    if a in VOWELS and b in VOWELS:
        return 0.15 if a == b else 0.45
    if a in VOWELS or b in VOWELS:
        return 1.3
    if any(a in group and b in group for group in CONSONANTS):
        return 0.3
    return 0.6 if any(a in group and b in group for group in MANNERS) else 1.0


@cache
def phonemes(text):
    out = subprocess.run(
        ["espeak-ng", "-q", "--ipa", "--sep= ", "-v", "en-us", text], capture_output=True, text=True, check=True
    ).stdout
    # Stress, length and the marks of another language's voice say nothing here.
    plain = re.sub(r"\([a-z-]+\)|[ˈˌː]", "", out)
    return tuple(plain.split())


def spelled(text):
    """Figures one by one, no marks."""
    text = re.sub(r"\d", lambda figure: f" {DIGITS[0 if figure[0] == '0' else int(figure[0]) + 1]} ", text.lower())
    return " ".join(re.sub(r"[^a-z' ]", " ", text).split())


def match(free_text):
    """The nearest string of digits and its distance a phoneme; nothing where there is no text."""
    heard = phonemes(spelled(free_text)) if spelled(free_text) else ()
    if not heard:
        return [], float("inf")
    ways = [(word, phonemes(word)) for word in DIGITS]
    # (cost, words so far): at a word's begin, and inside each word after each of its phonemes.
    begin = (0.0, ())
    inside = {}

    def into_words():
        """Enters every word from `begin`, and leaves out phonemes of words."""
        end = None
        for word, sounds in ways:
            best = inside.get((word, 0))
            entered = (begin[0], begin[1] + (word,)) if begin else None
            best = min((way for way in (best, entered) if way), default=None)
            if best:
                inside[word, 0] = best
            for at in range(1, len(sounds) + 1):
                options = [inside.get((word, at))]
                left = inside.get((word, at - 1))
                if left:
                    options.append((left[0] + GAP, left[1]))
                best = min((way for way in options if way), default=None)
                if best:
                    inside[word, at] = best
            last = inside.get((word, len(sounds)))
            if last and (end is None or last < end):
                end = last
        return end

    end = into_words()
    for heard_sound in heard:
        before, after = inside, {}
        for (word, at), (cost, words) in before.items():
            sounds = phonemes(word)
            steps = [((word, at), cost + GAP)]
            if at < len(sounds):
                steps.append(((word, at + 1), cost + substitution(sounds[at], heard_sound)))
            for place, price in steps:
                if place not in after or (price, words) < after[place]:
                    after[place] = (price, words)
        inside = after
        begin = None
        # Where a word ends here, another may begin here.
        end = begin = into_words()
        into_words()
    cost, words = end
    length = sum(len(phonemes(word)) for word in words)
    return list(words), cost / max(length, 1)
