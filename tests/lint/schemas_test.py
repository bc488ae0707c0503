#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""The schemas accept the examples in docs/formats.md, and reject them once anything in them is spoilt."""

import copy
import pathlib
import re
import subprocess
import sys
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT / "tests"))
import schema_check  # noqa: E402

# A survey may leave out all but these; a result nothing but single quantities of the budget.
REQUIRED_IN_SURVEY = [
    ((), "format"), ((), "format_version"), ((), "image"), (("image",), "width_px"), (("image",), "height_px"),
    (("marks", 0), "kind"), (("marks", 0), "from_px"), (("marks", 0), "to_px"), (("marks", 0), "length_m"),
    (("marks", 1), "kind"), (("marks", 1), "from_px"), (("marks", 1), "to_px"), (("marks", 1), "lies"),
    (("marks", 2), "kind"), (("marks", 2), "px"), (("marks", 2), "at_m"),
]


def examples():
    text = (ROOT / "docs" / "formats.md").read_text(encoding="utf-8")
    return [schema_check.load_strict(block) for block in re.findall(r"```json\n(.*?)```", text, re.DOTALL)]


def containers(node, path=()):
    """Every object below NODE, with the path of keys that leads there."""
    if isinstance(node, dict):
        yield path, node
        for key, value in node.items():
            yield from containers(value, path + (key,))
    elif isinstance(node, list):
        for index, value in enumerate(node):
            yield from containers(value, path + (index,))


def at(node, path):
    for key in path:
        node = node[key]
    return node


class SchemasTest(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.schemas = schema_check.load_schemas()
        cls.examples = examples()

    def problems(self, document):
        return schema_check.problems(document, self.schemas)

    def test_examples_are_valid(self):
        self.assertGreaterEqual(len(self.examples), 3)
        for example in self.examples:
            self.assertEqual(self.problems(example), [])

    def test_unknown_keys_are_rejected_everywhere(self):
        for example in self.examples:
            for path, _ in containers(example):
                spoilt = copy.deepcopy(example)
                at(spoilt, path)["lenght_m"] = 1
                self.assertNotEqual(self.problems(spoilt), [], f"{example['format']} {path}")

    def first(self, name):
        return copy.deepcopy(next(each for each in self.examples if each["format"] == name))

    def test_only_the_required_keys_of_a_survey_are_required(self):
        survey = self.first("loftline.survey")
        for path, container in containers(survey):
            for key in container:
                spoilt = copy.deepcopy(survey)
                del at(spoilt, path)[key]
                self.assertEqual((path, key) in REQUIRED_IN_SURVEY, self.problems(spoilt) != [], f"{path} {key}")

    def test_every_key_of_a_result_is_required(self):
        result = self.first("loftline.result")
        for path, container in containers(result):
            if path in [("budget",)] or path[:1] == ("survey",):
                continue
            for key in container:
                spoilt = copy.deepcopy(result)
                del at(spoilt, path)[key]
                self.assertNotEqual(self.problems(spoilt), [], f"{path} {key}")

    def test_wrong_types_are_rejected_everywhere(self):
        for example in self.examples:
            for path, container in containers(example):
                for key in container:
                    spoilt = copy.deepcopy(example)
                    at(spoilt, path)[key] = {"no": {"such": "thing"}}
                    self.assertNotEqual(self.problems(spoilt), [], f"{path} {key}")

    def test_impossible_values_are_rejected(self):
        result = self.first("loftline.result")
        survey = self.first("loftline.survey")
        camera = self.first("loftline.camera")
        cases = [
            (camera, ("image", "rotation_deg"), 45),
            (camera, ("camera", "distortion", "k1_std"), 0),
            (camera, ("camera", "distortion", "k1_k2_correlation"), 1.5),
            (camera, ("timing", "readout_s"), 2),
            (survey, ("camera", "distortion", "p1_std"), -1),
            (survey, ("format_version",), 2),
            (survey, ("image", "width_px"), 0),
            (survey, ("image", "frame"), -1),
            (survey, ("marks", 0, "length_m"), 0),
            (survey, ("marks", 0, "length_std_m"), 0),
            (survey, ("marks", 0, "lies"), "flat"),
            (survey, ("marks", 1, "lies"), "free"),
            (survey, ("marks", 2, "kind"), "circle"),
            (survey, ("marks", 2, "at_m"), [0, 0, 0]),
            (survey, ("air", "humidity_percent"), 101),
            (result, ("verdict",), "refused"),  # but it has numbers
            (result, ("flight",), None),  # but the verdict is no refusal
            (result, ("findings", 0, "severity"), "refusal"),
            (result, ("findings", 0, "code"), "Apogee Extrapolated"),
            (result, ("clip", "sha256"), "abc"),
            (result, ("clip", "rotation_deg"), 45),
            (result, ("flight", "apogee_m", "std"), -0.1),
            (result, ("budget", "speed"), []),
            (result, ("budget", "launch_speed_m_s", 0, "share"), 1.2),
            (result, ("survey", "image", "height_px"), "1080"),
        ]
        for example, path, value in cases:
            spoilt = copy.deepcopy(example)
            at(spoilt, path[:-1])[path[-1]] = value
            self.assertNotEqual(self.problems(spoilt), [], f"{path} {value}")

    def test_a_refusal_without_numbers_is_valid(self):
        refused = self.first("loftline.result")
        refused.update(verdict="refused", flight=None, seen=None, fit=None, budget={}, survey=None)
        refused["findings"][0]["severity"] = "refusal"
        self.assertEqual(self.problems(refused), [])

    def test_the_program_tells_good_files_from_bad(self):
        program = [sys.executable, str(ROOT / "tests" / "schema_check.py")]
        with tempfile.TemporaryDirectory() as folder:
            good, bad = pathlib.Path(folder) / "good.json", pathlib.Path(folder) / "bad.json"
            text = '{"format": "loftline.survey", "format_version": 1, "image": {"width_px": 64, "height_px": 64%s}}'
            good.write_text(text % "", encoding="utf-8")
            for extra in [', "frame": NaN', ', "frame": 1, "frame": 1', ', "fps": 3', "}"]:
                bad.write_text(text % extra, encoding="utf-8")
                run = subprocess.run(program + [str(good), str(bad)], capture_output=True, text=True, check=False)
                self.assertEqual(run.returncode, 1, extra)
                self.assertIn("bad.json", run.stderr)
                self.assertNotIn("good.json", run.stderr)
            self.assertEqual(subprocess.run(program + [str(good)], check=False).returncode, 0)
            self.assertEqual(subprocess.run(program, capture_output=True, check=False).returncode, 1)
            self.assertEqual(subprocess.run(program + [folder], capture_output=True, check=False).returncode, 1)


if __name__ == "__main__":
    unittest.main()
