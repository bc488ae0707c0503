#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""page_words.py finds what it is there to find."""

import pathlib
import tempfile
import unittest
import unittest.mock

import page_words

DOC = """# Findings
## The verdict
| verdict | rule |
| --- | --- |
| **accepted** | `no-finding` |
## Findings
| code | severity |
| --- | --- |
| [`wet-grass`](findings/wet-grass.md) | caution, see `no-code` |
| [`two-suns`, `no-sky`](findings/sky.md) | note |
"""

ADVICE = """
constexpr std::pair<std::string_view, std::string_view> kAdvice[] = {
""" + "".join(f'    {{"source {i}",\n     "advice {i}"}},\n' for i in range(30)) + "};\n"

ASSUMED = """
  if (!given) assumed->push_back({"tube's bend", fmt::format("{:g} deg", 2.0)});
  // assumed->push_back({"nothing", "at all"});
  Usual(air.damp, 2.0, "dampness", " %", assumed);
"""


ANSWERS = """
std::vector<Answer> Answers() {
  add(MakeAnswer("speed_m_s", "Speed", "m/s", true, flight.speed), none);
}
std::string VerdictTitle(Verdict verdict) {
  return "Measured";
}
std::vector<std::string> SafetyRules() {
  return {"Look up.",
          "Stand back."};
}
"""

PLOTS = """
  plot.title = "Speed over time";
  Plot::Points seen{"dots", Plot::Marker::kRing, {}, {}};
"""


SERVER = """
Error Full() { return {ErrorKind::kInternal, "wet-grass", "It is wet.", ""}; }
WebResponse Gate() { return Refusal(request, "two-suns", "Too bright."); }
WebResponse Door() { return Refuse(404, "no-sky", "Dark.", ""); }  // Refuse(404, "no-comment", "", "")
"""


def findings(**said):
    rows = "".join(f'  "{code.replace("_", "-")}": {{\n    title: "{title}",\n    told: "{told}",\n  }},\n'
                   for code, (title, told) in said.items())
    return "const measuring = {\n" + rows + "};\n"


def phrases(*texts):
    return "const all = {\n" + "".join(f'  "{text}":\n    "x",\n' for text in texts) + "};\n"


ALL = [f"{kind} {i}" for kind in ("source", "advice") for i in range(30)] + ["tube's bend", "dampness"] + [
    "Speed", "Measured", "Look up.", "Stand back.", "Speed over time", "dots"]
ENGLISH = findings(wet_grass=("Wet grass", "Wait."), two_suns=("Two suns", "Look away."), no_sky=("No sky", "Dig."))
GERMAN = findings(wet_grass=("Nasses Gras", "Warten."), two_suns=("Zwei Sonnen", "Wegsehen."), no_sky=("Kein Himmel", "Graben."))


class PageWords(unittest.TestCase):
    def trouble(self, english=ENGLISH, german=GERMAN, german_phrases=phrases(*ALL)):
        with tempfile.TemporaryDirectory() as folder:
            root = pathlib.Path(folder)
            files = {
                "docs/findings.md": DOC,
                "app/serve/gate.cc": SERVER,
                "fit/budget_advice.cc": ADVICE,
                "fit/inputs.cc": ASSUMED,
                "calibrate/terms.cc": "",
                "report/answers.cc": ANSWERS,
                "report/flight_plots.cc": PLOTS,
                "app/page/src/words/en/findings.ts": english,
                "app/page/src/words/en/phrases.ts": phrases(),
                "app/page/src/words/de/findings.ts": german,
                "app/page/src/words/de/phrases.ts": german_phrases,
            }
            for name, text in files.items():
                (root / name).parent.mkdir(parents=True, exist_ok=True)
                (root / name).write_text(text, encoding="utf-8")
            return page_words.check_tree(root)

    def test_nothing_where_all_is_there(self):
        self.assertEqual(self.trouble(), [])

    def test_a_code_without_an_entry(self):
        german = findings(wet_grass=("Nasses Gras", "Warten."), two_suns=("Zwei Sonnen", "Wegsehen."))
        self.assertEqual(self.trouble(german=german),
                         ["words/de/findings.ts: nothing about 'no-sky'"])

    def test_a_code_of_the_server_alone(self):
        for made in ('Refuse(404, "no-door"', 'Refusal(request, "no-door"', 'ErrorKind::kUsage, "no-door"'):
            with unittest.mock.patch.dict(globals(), SERVER=SERVER + f"x({made}, y);"):
                self.assertEqual([line for line in self.trouble() if "no-door" in line],
                                 [f"words/{one}/findings.ts: nothing about 'no-door'" for one in ("de", "en")])

    def test_an_entry_that_says_nothing(self):
        german = GERMAN.replace("Graben.", "")
        self.assertEqual(self.trouble(german=german), ["words/de/findings.ts: 'no-sky' has no title, or says nothing"])

    def test_an_entry_left_in_english(self):
        german = GERMAN.replace("Wegsehen.", "Look away.")
        self.assertEqual(self.trouble(german=german), ["words/de/findings.ts: 'two-suns' is still English"])

    def test_a_phrase_without_an_entry(self):
        for phrase in ("source 3", "advice 29", "tube's bend", "dampness", "Speed", "Measured", "Stand back.", "dots"):
            rest = [text for text in ALL if text != phrase]
            self.assertEqual(self.trouble(german_phrases=phrases(*rest)), [f"words/de/phrases.ts: no entry for '{phrase}'"])


if __name__ == "__main__":
    unittest.main()
