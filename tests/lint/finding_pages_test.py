#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""finding_pages.py finds what it is there to find."""

import pathlib
import tempfile
import unittest

import finding_pages

ROWS = """# Findings
## Findings
| code | severity |
| --- | --- |
| [`wet-grass`](findings/wet-grass.md) | caution |
| [`two-suns`](findings/two-suns.md) | note |

## Refusals (exit status 3)
| code | meaning |
| --- | --- |
| [`no-sky`](findings/no-sky.md) | dark |
| [`no-tube`, `no-pump`](findings/launcher.md) | gone |
| [`two-suns`](findings/two-suns.md) | dazzled |

## Invalid input (exit status 4)
| code | meaning |
| --- | --- |
| `bad-spelling` | no page wanted |
"""

TREE = {
    "fit/checks.cc": """
void Check(FlightResult* result) {
  Add(result,
      "wet-grass",
      Severity::kCaution, "It is wet.", "Wait.");
  if (!result->sky) return;  // "no-comment", Severity::kNote
}
Finding TwoSuns() {
  Finding finding{"two-suns", Severity::kNote, "", ""};
  return finding;
}
""",
    "fit/fit.cc": """
std::optional<Error> Run() {
  const Finding finding = TwoSuns();
  return Error{ErrorKind::kRefused, finding.code, finding.message, finding.advice};
}
Error Spelling() {
  return {ErrorKind::kInvalidInput, "bad-spelling", "", ""};
}
""",
    "tracker/refusals.cc": """
Error Declined(const char* code, std::string message) {
  return {ErrorKind::kRefused, code, message, ""};
}
Error NoTube() {
  return Declined("no-tube", "There is no tube.");
}
""",
    "app/command.cc": """
Error Named(Error error) {
  if (error.code != "no-tube") return error;
  error.code = "no-pump";
  return error;
}
Error Sky() {
  return {ErrorKind::kRefused,
          "no-sky", "", ""};
}
""",
    "docs/findings.md": ROWS,
    "docs/findings/wet-grass.md": "# `wet-grass`\nSee [the sky](no-sky.md#now) and [all](../findings.md).\n",
    "docs/findings/two-suns.md": "# `two-suns`\n",
    "docs/findings/no-sky.md": "# `no-sky`\n`something-else` in the text is no heading.\n",
    "docs/findings/launcher.md": "# The launcher\n## `no-tube`, `no-pump`\n",
}


class FindingPagesTest(unittest.TestCase):
    def found(self, **changes):
        """What is wrong in TREE with the files in CHANGES put in its place; None takes one away."""
        with tempfile.TemporaryDirectory() as folder:
            for name, text in (TREE | changes.get("files", {})).items():
                if text is None:
                    continue
                path = pathlib.Path(folder) / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(text, encoding="utf-8")
            return finding_pages.check_tree(pathlib.Path(folder))

    def assert_trouble(self, expected, files):
        self.assertEqual(self.found(files=files), expected)

    def test_a_whole_tree_passes(self):
        self.assertEqual(self.found(), [])

    def test_codes_without_rows_are_found_however_they_are_made(self):
        added = {
            'Error A() {\n  return {ErrorKind::kRefused, "new-code", "", ""};\n}\n': "refusal",
            'Error A() {\n  return Declined(\n      "new-code", "");\n}\n': "refusal",
            'Error A(Error e) {\n  if (e.code == "no-sky") e.code = "new-code";\n  return e;\n}\n': "refusal",
            'Finding New() {\n  return {"new-code", Severity::kCaution, "", ""};\n}\n'
            "Error A() {\n  const Finding finding = New();\n"
            "  return {ErrorKind::kRefused, finding.code, finding.message};\n}\n": "both",
            'void A() {\n  Add(result, "new-code", seen ? Severity::kNote : Severity::kCaution, "");\n}\n': "finding",
            'void A() {\n  TellFindings({{"new-code",\n   Severity::kCaution, ""}});\n}\n': "finding",
        }
        for text, kind in added.items():
            kinds = ["finding", "refusal"] if kind == "both" else [kind]
            self.assert_trouble([f"{one} 'new-code' has no row in docs/findings.md" for one in kinds], {"fit/new.cc": text})

    def test_other_errors_want_no_page(self):
        text = 'Error A(Error e) {\n  if (e.code == "bad-spelling") e.code = "worse";\n  return e;\n}\n'
        self.assert_trouble([], {"core/file.cc": text})

    def test_a_code_that_cannot_be_followed_is_told(self):
        found = self.found(files={"fit/new.cc": "Error A() {\n  return {ErrorKind::kRefused, Name(), message};\n}\n"})
        self.assertEqual(found, ["fit/new.cc: the code of a refusal ('Name') is not written where it is made"])

    def test_rows_of_codes_that_no_source_has(self):
        row = "| [`old-code`](findings/no-sky.md) | gone |\n"
        self.assert_trouble(
            ["docs/findings.md: no source makes a refusal 'old-code'",
             "docs/findings/no-sky.md: no heading names refusal 'old-code'"],
            {"docs/findings.md": ROWS.replace("| [`no-sky`]", row + "| [`no-sky`]")},
        )

    def test_a_refusal_among_the_findings_is_in_the_wrong_table(self):
        found = self.found(files={"app/command.cc": TREE["app/command.cc"].replace("ErrorKind::kRefused,\n          \"no-sky\"",
                                                                                  '"no-sky", Severity::kNote')})
        self.assertEqual(found, ["finding 'no-sky' has no row in docs/findings.md",
                                 "docs/findings.md: no source makes a refusal 'no-sky'"])

    def test_rows_that_stand_twice(self):
        row = "| [`no-sky`](findings/no-sky.md) | night |\n"
        self.assert_trouble(["docs/findings.md: refusal 'no-sky' has more than one row"],
                            {"docs/findings.md": ROWS.replace("| [`no-tube`", row + "| [`no-tube`")})

    def test_rows_without_link_or_page_and_pages_without_row(self):
        unlinked = ROWS.replace("[`wet-grass`](findings/wet-grass.md)", "`wet-grass`")
        self.assert_trouble(["docs/findings.md: finding 'wet-grass' is not linked to its page",
                             "docs/findings/wet-grass.md: nothing in docs/findings.md links to this page"],
                            {"docs/findings.md": unlinked})
        self.assert_trouble(["docs/findings.md: refusal 'no-tube': there is no page findings/launcher.md",
                             "docs/findings.md: refusal 'no-pump': there is no page findings/launcher.md"],
                            {"docs/findings/launcher.md": None})

    def test_pages_about_other_codes(self):
        self.assert_trouble(["docs/findings/no-sky.md: no source has a code 'no-moon'"],
                            {"docs/findings/no-sky.md": "# `no-sky` and `no-moon`\n"})

    def test_links_that_lead_nowhere(self):
        self.assert_trouble(["docs/findings/no-sky.md: the link to no-moon.md leads nowhere"],
                            {"docs/findings/no-sky.md": "# `no-sky`\n[moon](no-moon.md), [web](https://localhost/x)\n"})


if __name__ == "__main__":
    unittest.main()
