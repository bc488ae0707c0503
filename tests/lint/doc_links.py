#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""Every link in the documents leads somewhere: doc_links.py ROOT

Links and pictures of README.md, DEVELOPERS.md and docs/ to files of this tree must have their file, and links to a heading
("file.md#the-ruler") the heading. Pictures in docs/page/ that no document shows are told of, too. Prints what is wrong; the exit
status is 1 when anything is.
"""

import pathlib
import re
import sys

LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
HEADING = re.compile(r"^#{1,6} +(.*?)\s*$", re.MULTILINE)


def without_code(text):
    """Without fenced or indented blocks and spans of code, in which a bracket is no link."""
    text = re.sub(r"^```.*?^```", "", text, flags=re.MULTILINE | re.DOTALL)
    text = re.sub(r"(?m)^ {4}.*$", "", text)
    return re.sub(r"`[^`]*`", "", text)


def anchors(text):
    """The names that headings have in links: small letters, dashes for spaces, no punctuation."""
    names = []
    for title in HEADING.findall(text):
        plain = re.sub(r"[`*]", "", re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", title)).lower()
        names.append(re.sub(r" ", "-", re.sub(r"[^\w\- ]", "", plain)))
    return names


def wrong_links(root):
    documents = [root / "README.md", root / "DEVELOPERS.md", *sorted((root / "docs").rglob("*.md"))]
    wrong, shown = [], set()
    for document in documents:
        for target in LINK.findall(without_code(document.read_text(encoding="utf-8"))):
            if re.match(r"[a-z]+:", target):
                continue
            name, _, anchor = target.partition("#")
            path = (document.parent / name).resolve() if name else document
            shown.add(path)
            if not path.exists():
                wrong.append(f"{document.relative_to(root)}: there is no {target}")
            elif anchor and path.suffix == ".md" and anchor not in anchors(path.read_text(encoding="utf-8")):
                wrong.append(f"{document.relative_to(root)}: {name or 'it'} has no heading #{anchor}")
    unused = [path for path in sorted((root / "docs" / "page").glob("*.png")) if path.resolve() not in shown]
    return wrong + [f"{path.relative_to(root)}: no document shows it" for path in unused]


def main(root):
    wrong = wrong_links(root.resolve())
    print("\n".join(wrong))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
