#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""Every finding and refusal has its row and its page: finding_pages.py ROOT

Codes that the sources create, rows of docs/findings.md and pages in docs/findings must be the same: each code has one row in its
table, linked to a page with the code in a heading, and no row or page is about a code that no source has. Prints what is wrong;
the exit status is 1 when anything is.
"""

import pathlib
import re
import sys

ROOMS = ("core", "tracker", "calibrate", "fit", "study", "report", "app")
CODE = r'"([a-z0-9]+(?:-[a-z0-9]+)*)"'
FINDING = re.compile(CODE + r",\s*Severity::k(?:Note|Caution)\b")
CHOSEN = re.compile(CODE + r",[^;\"]*\?\s*Severity::k")  # note or caution, as the case may be
REFUSAL = re.compile(r"ErrorKind::kRefused,\s*(?:" + CODE + r"|(\w+(?:\.\w+)?))")
HELPER = re.compile(r"^Error (\w+)\(const char\* code.*?^}", re.MULTILINE | re.DOTALL)
HANDED_ON = re.compile(r"Finding finding = (\w+)\(")
RELABELLED = re.compile(r"\.code = " + CODE)
ASKED_FOR = re.compile(r"\.code [!=]= " + CODE)


def without_comments(text):
    return re.sub(r"(^|\s)//.*$", "", text, flags=re.MULTILINE)


def sources(root):
    paths = [path for room in ROOMS for path in sorted((root / room).rglob("*")) if path.suffix in (".cc", ".h")]
    return {path.relative_to(root).as_posix(): without_comments(path.read_text(encoding="utf-8")) for path in paths}


def helpers(texts):
    """Functions that make a refusal of a code."""
    return {match[1] for text in texts.values() for match in HELPER.finditer(text) if "ErrorKind::kRefused" in match[0]}


def functions(text):
    """TEXT cut at the closing braces of functions and classes at its outer level."""
    return re.split(r"^\}", text, flags=re.MULTILINE)


def findings_of(maker, texts):
    """The codes of the findings that the function MAKER returns."""
    body = re.compile(r"^Finding " + maker + r"\([^;]*?\{.*?^}", re.MULTILINE | re.DOTALL)
    return {code for text in texts.values() for match in body.finditer(text) for code in FINDING.findall(match[0])}


def refusals_in(function, texts, call):
    """The codes that FUNCTION refuses with, and what of them cannot be followed."""
    refusals, unclear = set(call.findall(function)), []
    for code, variable in REFUSAL.findall(function):
        if code:
            refusals.add(code)
        elif variable == "finding.code":  # a finding that is made a refusal
            made = {code for maker in HANDED_ON.findall(function) for code in findings_of(maker, texts)}
            refusals |= made
            unclear += [] if made else [variable]
        elif variable != "code" or not HELPER.search(function + "}"):
            unclear.append(variable)
    return refusals, unclear


def codes_in_sources(texts):
    """The codes of findings, those of refusals, and what this check cannot follow."""
    findings, refusals, trouble = set(), set(), []
    call = re.compile(r"\b(?:" + "|".join(sorted(helpers(texts)) or ["(?!)"]) + r")\(\s*" + CODE)
    for name, text in texts.items():
        findings.update(FINDING.findall(text))
        findings.update(CHOSEN.findall(text))
        for function in functions(text):
            made, unclear = refusals_in(function, texts, call)
            refusals |= made
            trouble += [f"{name}: the code of a refusal ('{variable}') is not written where it is made" for variable in unclear]
    # A refusal that is given another code on its way out.
    for text in texts.values():
        for function in functions(text):
            if refusals & set(ASKED_FOR.findall(function)):
                refusals.update(RELABELLED.findall(function))
    return findings, refusals, trouble


def tables(text):
    """The tables of docs/findings.md by what they hold: (code, page or None) for each code of each row."""
    found = {"finding": [], "refusal": []}
    kind = None
    for line in text.splitlines():
        if line.startswith("## "):
            kind = {"Findings": "finding", "Refusals": "refusal"}.get(line[3:].split(" ")[0])
        if not kind or not line.startswith("| "):
            continue
        cell = line.split("|")[1]
        linked = {code: page for link, page in re.findall(r"\[([^]]*)\]\(([^)#]+)[^)]*\)", cell)
                  for code in re.findall(r"`([^`]+)`", link)}
        found[kind] += [(code, linked.get(code)) for code in re.findall(r"`([^`]+)`", cell)]
    return found


def headed_codes(page):
    headings = [line for line in page.read_text(encoding="utf-8").splitlines() if line.startswith("#")]
    return {code for heading in headings for code in re.findall(r"`([^`]+)`", heading)}


def compare(kind, codes, rows, docs):
    trouble = []
    listed = [code for code, _ in rows]
    for code in sorted(codes - set(listed)):
        trouble.append(f"{kind} '{code}' has no row in docs/findings.md")
    for code in sorted(set(listed) - codes):
        trouble.append(f"docs/findings.md: no source makes a {kind} '{code}'")
    for code in sorted({code for code in listed if listed.count(code) > 1}):
        trouble.append(f"docs/findings.md: {kind} '{code}' has more than one row")
    for code, page in rows:
        if page is None:
            trouble.append(f"docs/findings.md: {kind} '{code}' is not linked to its page")
        elif not (docs / page).is_file():
            trouble.append(f"docs/findings.md: {kind} '{code}': there is no page {page}")
        elif code not in headed_codes(docs / page):
            trouble.append(f"docs/{page}: no heading names {kind} '{code}'")
    return trouble


def check_pages(docs, codes, linked):
    trouble = []
    for page in sorted((docs / "findings").glob("*.md")):
        name = page.relative_to(docs).as_posix()
        if name not in linked:
            trouble.append(f"docs/{name}: nothing in docs/findings.md links to this page")
        trouble += [f"docs/{name}: no source has a code '{code}'" for code in sorted(headed_codes(page) - codes)]
        for target in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            if not (page.parent / target).is_file():
                trouble.append(f"docs/{name}: the link to {target} leads nowhere")
    return trouble


def check_tree(root):
    """What is wrong in the tree ROOT, one line each."""
    docs = root / "docs"
    findings, refusals, trouble = codes_in_sources(sources(root))
    rows = tables((docs / "findings.md").read_text(encoding="utf-8"))
    trouble += compare("finding", findings, rows["finding"], docs)
    trouble += compare("refusal", refusals, rows["refusal"], docs)
    linked = {page for kind in rows.values() for _, page in kind}
    return trouble + check_pages(docs, findings | refusals, linked)


if __name__ == "__main__":
    found = check_tree(pathlib.Path(sys.argv[1]))
    for line in found:
        print(line)
    sys.exit(1 if found else 0)
