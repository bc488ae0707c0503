#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""Checks JSON files against the schemas in docs/schemas: schema_check.py FILE...

Which schema holds is told by each file's "format". Prints what is wrong with file and key path; the exit status is 1 when
anything is, or when no file was given. Also used as a module by tests/lint/schemas_test.py.
"""

import json
import pathlib
import sys
import warnings

with warnings.catch_warnings():
    warnings.simplefilter("ignore", DeprecationWarning)
    import jsonschema

SCHEMAS = pathlib.Path(__file__).resolve().parent.parent / "docs" / "schemas"


def load_strict(text):
    """Parses JSON as RFC 8259 has it; Python alone would take NaN, infinities and keys that stand twice."""

    def no_constant(name):
        raise ValueError(f"{name} is no JSON number")

    def no_twice(pairs):
        keys = [key for key, _ in pairs]
        for key in keys:
            if keys.count(key) > 1:
                raise ValueError(f'the key "{key}" stands twice')
        return dict(pairs)

    return json.loads(text, parse_constant=no_constant, object_pairs_hook=no_twice)


def load_schemas():
    """All schemas by file name, each checked against the meta-schema of 2020-12."""
    schemas = {}
    for path in sorted(SCHEMAS.glob("*.schema.json")):
        schemas[path.name] = load_strict(path.read_text(encoding="utf-8"))
        jsonschema.Draft202012Validator.check_schema(schemas[path.name])
    return schemas


def validator_for(schema, schemas):
    """References between the files are looked up in SCHEMAS, with the library's old or new means, whichever is there."""
    try:
        import referencing
        import referencing.jsonschema

        resources = [(name, referencing.jsonschema.DRAFT202012.create_resource(each)) for name, each in schemas.items()]
        registry = referencing.Registry().with_resources(resources)
        return jsonschema.Draft202012Validator(schema, registry=registry)
    except ImportError:
        resolver = jsonschema.RefResolver(base_uri=schema["$id"], referrer=schema, store=dict(schemas))
        return jsonschema.Draft202012Validator(schema, resolver=resolver)


def problems(document, schemas):
    """What is wrong with a parsed file, as lines of text; nothing when it is sound."""
    name = str(document.get("format", "")) if isinstance(document, dict) else ""
    schema = schemas.get(name.removeprefix("loftline.") + ".schema.json")
    if schema is None:
        return [f'there is no schema for the format "{name}"']
    found = sorted(validator_for(schema, schemas).iter_errors(document), key=lambda error: error.json_path)
    return [f"{error.json_path}: {error.message}" for error in found]


def main(paths):
    if not paths:
        print(__doc__, file=sys.stderr)
        return 1
    schemas = load_schemas()
    failed = False
    for path in paths:
        try:
            found = problems(load_strict(pathlib.Path(path).read_text(encoding="utf-8")), schemas)
        except (OSError, ValueError) as error:
            found = [str(error)]
        for problem in found:
            print(f"{path}: {problem}", file=sys.stderr)
        failed = failed or bool(found)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
