#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""docs/library.md shows the example as it is: library_guide_test.py SOURCE_DIR

The example's files, which package_test.py builds and runs, stand in the page word for word.
"""

import pathlib
import re
import sys


def indented_blocks(text):
    """What stands indented by four, blank lines within included."""
    lines = text.splitlines()
    blocks, block = [], []
    for line in lines + ["end"]:
        if line.startswith("    ") or not line and block:
            block.append(line[4:])
        elif block:
            blocks.append("\n".join(block).rstrip("\n") + "\n")
            block = []
    return blocks


def main(source):
    docs = pathlib.Path(source) / "docs"
    text = (docs / "library.md").read_text(encoding="utf-8")
    blocks = indented_blocks(text)
    faults = []
    for name in ["CMakeLists.txt", "main.cc"]:
        if (docs / "example" / name).read_text(encoding="utf-8") not in blocks:
            faults.append(f"docs/library.md does not show docs/example/{name} as it is")
    lines = len((docs / "example" / "main.cc").read_text(encoding="utf-8").splitlines())
    if lines > 42:
        faults.append(f"docs/example/main.cc has {lines} lines, too many for a first look")
    for header in re.findall(r"`([a-z_/]+\.h)`", text):
        if not (pathlib.Path(source) / header).is_file():
            faults.append(f"docs/library.md names {header}, which is not there")
    return "\n".join(faults) or None


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
