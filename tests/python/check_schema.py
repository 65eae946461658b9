"""check_schema.py SCHEMA FILE...: are the files what the schema says, and does the schema refuse broken ones?

Exit 1 where a file is refused, the schema itself is no valid 2020-12 schema, or a broken copy is let through.
"""
import copy
import json
import sys

from jsonschema import Draft202012Validator, FormatChecker


def broken(document):
    """Copies of a good document with one fault each."""
    def change(name, act):
        copied = copy.deepcopy(document)
        act(copied)
        return name, copied

    def first_found(d):
        return next(tooth for tooth in d["teeth"] if tooth["findings"])["findings"][0]

    def first_probed(d):
        return next(tooth for tooth in d["teeth"] if tooth["sites"])["sites"][0]

    def has(key):
        return any(tooth[key] for tooth in document["teeth"])

    yield change("other format", lambda d: d.update(format="x"))
    yield change("newer version", lambda d: d.update(version=d["version"] + 1))
    yield change("no patient", lambda d: d.pop("patient"))
    if has("sites"):
        yield change("depth as text", lambda d: first_probed(d).update(depth_mm="3"))
        yield change("depth below zero", lambda d: first_probed(d).update(depth_mm=-1))
    if has("findings"):
        yield change("unknown kind", lambda d: first_found(d).update(kind="rumour"))
        yield change("confidence above one", lambda d: first_found(d)["heard"].update(confidence=1.5))
    yield change("unknown species", lambda d: d["patient"].update(species="horse"))
    yield change("no tooth number", lambda d: d["teeth"][0].update(number=99))
    if document["decisions"]:
        yield change("unknown standing", lambda d: d["decisions"][0].update(standing="believed"))
    yield change("short hash", lambda d: d["visit"].update(journal_hash="abc"))


def main():
    schema = json.load(open(sys.argv[1], encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema, format_checker=FormatChecker())
    faults = 0
    for path in sys.argv[2:]:
        document = json.load(open(path, encoding="utf-8"))
        for error in validator.iter_errors(document):
            faults += 1
            print(f"{path}: {error.json_path}: {error.message}")
        for name, copied in broken(document):
            if validator.is_valid(copied):
                faults += 1
                print(f"{path}: let through: {name}")
    return 1 if faults else 0


sys.exit(main())
