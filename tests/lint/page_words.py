#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""The page can name every finding, in each of its languages: page_words.py ROOT

Each code in the tables of docs/findings.md, and each with which the page's server answers, has a title and a sentence in
app/page/src/words/LANGUAGE/findings.ts, and what is said there in another language than English is not English. Sources of uncertainty, what is advised about them, and what is
assumed, are short fixed texts of the program; the other languages have an entry for each (words/LANGUAGE/phrases.ts). Prints what
is missing; the exit status is 1 when anything is.
"""

import pathlib
import re
import sys

ENTRY = re.compile(r'^\s*"([a-z0-9-]+)": \{\s*title: "([^"]*)",\s*told: "([^"]*)",?\s*\}', re.MULTILINE)
PHRASE = re.compile(r'^\s*"((?:[^"\\]|\\.)+)":\s*"((?:[^"\\]|\\.)+)",', re.MULTILINE)
LITERAL = r'"((?:[^"\\]|\\.)+)"'


def table_codes(text):
    """The codes in the first cells of the tables of docs/findings.md, behind its first table, which is about verdicts."""
    codes = []
    for section in text.split("\n## ")[2:]:
        rows = [line for line in section.splitlines() if line.startswith("| ")]
        codes += [code for row in rows for code in re.findall(r"`([a-z0-9-]+)`", row.split("|")[1])]
    return list(dict.fromkeys(codes))


SERVER_CODES = (
    re.compile(r"ErrorKind::k\w+,\s*\"([a-z0-9-]+)\""),
    re.compile(r"\bRefus(?:e|al)\(\s*(?:\d+|request),\s*\"([a-z0-9-]+)\""),
)
NOT_ON_THE_PAGE = {"bad-certificate", "port-taken"}  # before there is a page


def server_codes(root):
    texts = [without_comments(path.read_text(encoding="utf-8")) for path in sorted((root / "app/serve").glob("*.cc"))]
    return {code for text in texts for pattern in SERVER_CODES for code in pattern.findall(text)} - NOT_ON_THE_PAGE


def entries(folder):
    """Of a language's findings.ts and the files that it takes its codes from."""
    texts = [path.read_text(encoding="utf-8") for path in sorted(folder.glob("findings*.ts"))]
    return {code: (title, told) for text in texts for code, title, told in ENTRY.findall(text)}


def check_codes(root):
    words = root / "app/page/src/words"
    codes = table_codes((root / "docs/findings.md").read_text(encoding="utf-8"))
    trouble = [] if codes else ["docs/findings.md: no codes found"]
    codes += sorted(server_codes(root) - set(codes))
    english = entries(words / "en")
    for folder in sorted(words.iterdir()):
        if not folder.is_dir():
            continue
        own = entries(folder)
        name = f"words/{folder.name}/findings.ts"
        trouble += [f"{name}: nothing about '{code}'" for code in codes if code not in own]
        trouble += [f"{name}: '{code}' has no title, or says nothing" for code, said in own.items() if not all(said)]
        if folder.name != "en":
            trouble += [f"{name}: '{code}' is still English" for code, said in own.items()
                        if code in english and set(said) & set(english[code])]
    return trouble


def without_comments(text):
    return re.sub(r"//.*$", "", text, flags=re.MULTILINE)


def program_phrases(root):
    """The fixed short texts that the program puts into budgets and lists of what was assumed."""
    advice = (root / "fit/budget_advice.cc").read_text(encoding="utf-8")
    phrases = {text for pair in re.findall(r"\{\s*" + LITERAL + r",\s*" + LITERAL + r"\s*\}", advice) for text in pair}
    for room in ("calibrate", "fit"):
        for path in sorted((root / room).glob("*.cc")):
            text = without_comments(path.read_text(encoding="utf-8"))
            phrases |= set(re.findall(r"assumed_?(?:->|\.)push_back\(\{\s*" + LITERAL, text))
            phrases |= set(re.findall(LITERAL + r",\s*\"[^\"]*\",\s*assumed\)", text))
            phrases |= set(re.findall(r"\bGiven\([^;\"]*" + LITERAL, text))
            phrases |= {f"camera {name}" for name in re.findall(r"\bAddAngle\(" + LITERAL, text)}
    answers = without_comments((root / "report/answers.cc").read_text(encoding="utf-8"))
    phrases |= set(re.findall(r"\bMakeAnswer\(\s*\"\w+\",\s*" + LITERAL, answers))
    phrases |= set(re.findall(r"return " + LITERAL + ";", body_of(answers, "VerdictTitle")))
    phrases |= set(re.findall(LITERAL, body_of(answers, "SafetyRules")))
    plots = without_comments((root / "report/flight_plots.cc").read_text(encoding="utf-8"))
    phrases |= set(re.findall(r"plot\.(?:title|x_label|y_label) = " + LITERAL, plots))
    phrases |= set(re.findall(r"Plot::Points \w+\{" + LITERAL, plots))
    return phrases


def body_of(text, function):
    found = re.search(r"^[\w:<>]+ " + function + r"\(.*?^}", text, re.MULTILINE | re.DOTALL)
    return found[0] if found else ""


def check_phrases(root):
    phrases = program_phrases(root)
    trouble = [] if len(phrases) > 50 else [f"only {len(phrases)} phrases found in the program"]
    for path in sorted((root / "app/page/src/words").glob("*/phrases.ts")):
        if path.parent.name == "en":
            continue
        known = dict(PHRASE.findall(path.read_text(encoding="utf-8")))
        name = f"words/{path.parent.name}/phrases.ts"
        trouble += [f"{name}: no entry for '{phrase}'" for phrase in sorted(phrases - set(known))]
    return trouble


def check_tree(root):
    return check_codes(root) + check_phrases(root)


if __name__ == "__main__":
    found = check_tree(pathlib.Path(sys.argv[1]))
    for line in found:
        print(line)
    sys.exit(1 if found else 0)
