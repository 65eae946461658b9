"""Figures from the clips that `sulcus score --json` tells of: counts, rates, times, curves. Measures nothing itself.

A clip's fate is the program's: right, wrong, refused (allowed by the grammar), kept_out, false_entry (not allowed).
"""

import math

import sound_match

# As sulcus score --as-at-the-table adds to each clip, in seconds.
TAIL_S = 1.5


def clips_of(*runs):
    return [clip for run in runs if run for clip in run["clips"]]


DIGITS = set(sound_match.DIGITS)
LARGER = set(
    "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"
    " twenty thirty forty fifty sixty seventy eighty ninety hundred".split()
)


def is_larger_number(clip):
    """Nothing but numbers was said, not all of them digits."""
    words = set(clip["said"].split())
    return bool(words) and words <= DIGITS | LARGER and not words <= DIGITS


def half(clips, split):
    return [clip for clip in clips if clip["split"] == split]


def stats(clips, run=None, tail_s=TAIL_S):
    """`tail_s`: what follows each clip heard as at the table and is not reckoned to its length; 0 where noise goes on."""
    count = {fate: 0 for fate in ("right", "wrong", "refused", "kept_out", "false_entry")}
    for clip in clips:
        count[clip["fate"]] += 1
    allowed = [clip for clip in clips if clip["fate"] in ("right", "wrong", "refused")]
    foreign = [clip for clip in clips if clip["fate"] in ("kept_out", "false_entry")]
    times = sorted(clip["recognition_seconds"] * 1000 for clip in clips)
    ends = sorted(clip["figures"]["latency_ms"] for clip in clips if "latency_ms" in clip.get("figures", {}))
    table = any("utterances" in clip.get("figures", {}) for clip in clips)
    seconds = sum(clip["sound_seconds"] for clip in clips)
    foreign_s = sum(clip["sound_seconds"] - (tail_s if table else 0) for clip in foreign)
    entries = sum(clip.get("figures", {}).get("entries", clip["fate"] == "false_entry") for clip in foreign)
    summary = (run or {}).get("summary", {})
    return {
        "allowed": len(allowed),
        "right": count["right"],
        "wrong": count["wrong"],
        "refused": count["refused"],
        "values": sum(clip["values_said"] for clip in allowed),
        # Told to the record: what was refused is asked for again.
        "values_entered_wrong": sum(clip["value_errors"] for clip in allowed if clip["fate"] == "wrong"),
        "foreign": len(foreign),
        "false_entries": int(entries),
        "foreign_hours": foreign_s / 3600,
        "false_entries_per_hour": entries / (foreign_s / 3600) if foreign_s else None,
        "p50_ms": quantile(times, 0.5),
        "p95_ms": quantile(times, 0.95),
        "end_p50_ms": quantile(ends, 0.5),
        "end_p95_ms": quantile(ends, 0.95),
        "part_of_real_time": sum(times) / 1000 / seconds if seconds else None,
        "memory_mb": summary.get("memory_peak_mb") or (run or {}).get("memory_peak_mb"),
    }


def quantile(ordered, part):
    return ordered[max(math.ceil(part * len(ordered)) - 1, 0)] if ordered else None


def values(words):
    return ["zero" if word == "oh" else word for word in words]


def by_sound(clips, limit):
    """The clips again, as heard by matching the engine's free text to the digits by sound."""
    out = []
    for clip in clips:
        words, distance = sound_match.match(clip["free_text"] or "")
        said = values(clip["said"].split())
        same = values(words) == said
        fate = "refused" if distance > limit else "right" if same else "wrong"
        errors = word_errors(said, values(words)) if fate != "refused" else len(said)
        out.append({**clip, "fate": fate, "heard": " ".join(words), "value_errors": errors, "figures": {}})
    return out


def sound_limit(clips):
    """The limit of distance that does least harm on these clips: a wrong entry weighs as much as ten refusals."""

    def harm(limit):
        fates = [clip["fate"] for clip in by_sound(clips, limit)]
        return 10 * fates.count("wrong") + fates.count("refused")

    return min((step / 50 for step in range(0, 31)), key=harm)


def word_errors(said, heard):
    row = list(range(len(heard) + 1))
    for i, one in enumerate(said):
        diagonal, row[0] = row[0], i + 1
        for j, other in enumerate(heard):
            diagonal, row[j + 1] = row[j + 1], min(diagonal + (one != other), row[j + 1] + 1, row[j] + 1)
    return row[-1]


def at_belief(clips, least):
    """Counts if sentences were entered from this belief on: refused, wrong, entered though not allowed."""
    refused = wrong = false = 0
    for clip in clips:
        is_other = clip["figures"].get("other_numbers", 0)
        entered = clip["heard"] is not None and not is_other and clip["figures"].get("belief", 0) >= least
        if clip["fate"] in ("kept_out", "false_entry"):
            false += entered
        elif not entered:
            refused += 1
        else:
            wrong += not clip["same_values"]
    return refused, wrong, false


# How common each depth is thought to be in a mouth, millimetres 0 to 9. No source: a guess, to try the idea only.
DEPTHS = dict(zip(range(10), (0.05, 0.20, 0.35, 0.22, 0.08, 0.04, 0.025, 0.015, 0.01, 0.01)))
DIGIT = dict(zip("zero one two three four five six seven eight nine".split(), range(10)), oh=0)


def with_depths(clips, strength):
    """How many best strings change where the likelihood of depths counts with this strength: mended, spoilt."""
    mended = spoilt = 0
    for clip in clips:
        if not clip["hypotheses"]:
            continue
        said = tuple(DIGIT[word] for word in clip["said"].split())
        sound = {}
        for words, log_probability in clip["hypotheses"]:
            digits = tuple(DIGIT[word] for word in words.split())
            sound[digits] = sound.get(digits, 0) + math.exp(log_probability)

        def likely(digits):
            # Against all digits alike, so that no string gains by being short.
            depths = sum(math.log(DEPTHS[digit] * len(DEPTHS)) for digit in digits)
            return math.log(sound[digits]) + strength * depths

        before, after = max(sound, key=sound.get), max(sound, key=likely)
        mended += after == said != before
        spoilt += before == said != after
    return mended, spoilt
