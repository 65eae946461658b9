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

    yield change("other format", lambda d: d.update(format="x"))
    yield change("newer version", lambda d: d.update(version=2))
    yield change("no patient", lambda d: d.pop("patient"))
    yield change("depth as text", lambda d: d["teeth"][0]["sites"][0].update(depth_mm="3"))
    yield change("depth below zero", lambda d: d["teeth"][0]["sites"][0].update(depth_mm=-1))
    yield change("unknown kind", lambda d: d["teeth"][0]["findings"][0].update(kind="rumour"))
    yield change("unknown species", lambda d: d["patient"].update(species="horse"))
    yield change("no tooth number", lambda d: d["teeth"][0].update(number=99))
    yield change("unknown standing", lambda d: d["decisions"][0].update(standing="believed"))
    yield change("short hash", lambda d: d["visit"].update(journal_hash="abc"))
    yield change("confidence above one", lambda d: d["teeth"][0]["findings"][0]["heard"].update(confidence=1.5))


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
