"""check_fhir.py FILE...: are the bundles FHIR R4, by two validators that are none of ours?

1. the models of fhir.resources (R4B, whose resources used here have the shape of R4): fields, types, needed ones;
2. HL7's R4 JSON schema, as an npm package carries it (target/python/fhir.schema.json, see setup): word lists.
With --plain the bundles are of other kinds than documents. Each document also gets broken copies that it must refuse, so that a validator that checks nothing is found out.
Exit 1 on any fault; 3 where a validator is missing.
"""
import copy
import json
import os
import sys

from fhir.resources.R4B.bundle import Bundle
from jsonschema import Draft6Validator

SCHEMA = os.path.join(os.path.dirname(__file__), "..", "..", "target", "python", "fhir.schema.json")


def model_accepts(bundle):
    try:
        Bundle.model_validate(bundle)
        return True, ""
    except Exception as error:  # pydantic's, whatever its class
        return False, str(error)[:2000]


def first(bundle, kind):
    return next(e["resource"] for e in bundle["entry"] if e["resource"]["resourceType"] == kind)


def broken(bundle, act):
    copied = copy.deepcopy(bundle)
    act(copied)
    return copied


MODEL_REFUSES = {
    "no status": lambda b: first(b, "Observation").pop("status"),
    "unknown field": lambda b: first(b, "Patient").update(mood="good"),
    "text for number": lambda b: first(b, "Observation").update(valueQuantity={"value": "many"}),
    "bad date": lambda b: b.update(timestamp="yesterday"),
    "two values": lambda b: first(b, "Observation").update(valueString="x", valueInteger=1),
}
SCHEMA_REFUSES = {
    "wrong status word": lambda b: first(b, "Composition").update(status="nearly"),
    "unknown field": lambda b: first(b, "Patient").update(mood="good"),
    "text for number": lambda b: first(b, "Encounter").update(length={"value": "many"}),
}


def main():
    if not os.path.exists(SCHEMA):
        print("SKIPPED: no target/python/fhir.schema.json; run tests/python/setup where npm is")
        validator = None
    else:
        validator = Draft6Validator(json.load(open(SCHEMA, encoding="utf-8")))
    faults = 0
    is_plain = "--plain" in sys.argv
    paths = [path for path in sys.argv[1:] if path != "--plain"]
    for path in paths:
        bundle = json.load(open(path, encoding="utf-8"))
        good, why = model_accepts(bundle)
        if not good:
            faults += 1
            print(f"{path}: models: {why}")
        for name, act in ({} if is_plain else MODEL_REFUSES).items():
            if model_accepts(broken(bundle, act))[0]:
                faults += 1
                print(f"{path}: models let through: {name}")
        if validator is None:
            continue
        # Entry by entry: the schema of a resource is a list of a hundred and more, each fault told for all of them.
        for index, entry in enumerate(bundle["entry"]):
            resource = entry["resource"]
            part = validator.evolve(schema={"$ref": f"#/definitions/{resource['resourceType']}",
                                            "definitions": validator.schema["definitions"]})
            for error in part.iter_errors(resource):
                faults += 1
                print(f"{path}: schema: entry {index}: {error.json_path}: {error.message[:300]}")
        shell = dict(bundle, entry=[])
        part = validator.evolve(schema={"$ref": "#/definitions/Bundle", "definitions": validator.schema["definitions"]})
        for error in part.iter_errors(shell):
            if "entry" not in error.json_path:
                faults += 1
                print(f"{path}: schema: {error.json_path}: {error.message[:300]}")
        for name, act in ({} if is_plain else SCHEMA_REFUSES).items():
            copied = broken(bundle, act)
            refused = False
            for entry in copied["entry"][:4]:
                resource = entry["resource"]
                part = validator.evolve(schema={"$ref": f"#/definitions/{resource['resourceType']}",
                                                "definitions": validator.schema["definitions"]})
                refused = refused or not part.is_valid(resource)
            if not refused:
                faults += 1
                print(f"{path}: schema let through: {name}")
    print(f"{len(paths)} bundles, {faults} faults, schema {'used' if validator else 'missing'}")
    return 1 if faults else 0


sys.exit(main())
