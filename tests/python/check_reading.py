"""check_reading.py FILE: can the owner's sheet be read at the age of twelve, by a library that is none of ours?

Flesch-Kincaid grade of the running text at most 6, Flesch reading ease at least 70. A hard text must be refused, so
that a measure that lets all pass is found out. Exit 1 where it is too hard; 3 where the library is missing.
"""
import sys

try:
    import textstat
except ImportError:
    sys.exit(3)

HARD = (
    "Postoperative administration of non-steroidal anti-inflammatory medication necessitates concomitant evaluation "
    "of renal function. Immediate communication with the veterinary establishment is indispensable in circumstances "
    "of persistent haemorrhage or considerable respiratory insufficiency."
)


def figures(text):
    return textstat.flesch_kincaid_grade(text), textstat.flesch_reading_ease(text)


def is_plain(text):
    grade, ease = figures(text)
    return grade <= 6 and ease >= 70


text = open(sys.argv[1], encoding="utf-8").read()
print("grade %.1f, ease %.0f" % figures(text))
assert not is_plain(HARD), "a hard text passes"
sys.exit(0 if is_plain(text) else 1)
