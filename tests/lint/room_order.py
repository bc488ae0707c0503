#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""Checks that no #include points from a room to one on its right, and that the large libraries stay where they belong.

Headers that show Ceres or libav, themselves or through another, are for their own room alone: nobody else should have to
compile against those.

room_order.py [ROOT]   exit status 1 and one line "FILE:LINE: what is wrong" for each trouble
"""

import pathlib
import re
import sys

# What each room may include besides itself. Rooms on the same level do not know each other.
ALLOWED = {
    "core": set(),
    "tracker": {"core"},
    "calibrate": {"core"},
    "fit": {"core", "tracker", "calibrate"},
    "study": {"core", "tracker", "calibrate", "fit"},
    "report": {"core", "tracker", "calibrate", "fit", "study"},
    "app": {"core", "tracker", "calibrate", "fit", "study", "report"},
    # The renderer makes the truth that the rooms are tested against: it must not share their mathematics.
    "sample-clips": {"core"},
}
FREE = {"tests"}
CODE = {".h", ".cc"}

# Library by include: the rooms that may use it, and whether headers for other rooms may show it.
LIBRARIES = [
    ("OpenCV", re.compile(r"<opencv2/"), {"tracker", "calibrate", "report", "sample-clips"}, True),
    ("Ceres", re.compile(r"<ceres/"), {"calibrate", "fit"}, False),
    ("libav", re.compile(r"<lib(av|sw)[a-z]*/"), {"tracker", "report", "sample-clips"}, False),
]
INCLUDE = re.compile(r'^\s*#\s*include\s+(["<][^">]+[">])')


def includes_of(path):
    """Line number and target of each include, brackets or quotes kept."""
    lines = path.read_text(encoding="utf-8").splitlines()
    matches = ((number, INCLUDE.match(line)) for number, line in enumerate(lines, start=1))
    return [(number, match.group(1)) for number, match in matches if match]


def private_headers(includes_by_name):
    """Headers that show a library which other rooms must not meet; they may show it through each other."""
    private = set()
    for name, includes in includes_by_name.items():
        hidden = [pattern for _, pattern, _, in_headers in LIBRARIES if not in_headers]
        if name.suffix == ".h" and any(pattern.match(target) for _, target in includes for pattern in hidden):
            private.add(name.as_posix())
    grew = True
    while grew:
        showing = {name.as_posix() for name, includes in includes_by_name.items()
                   if name.suffix == ".h" and any(target.strip('"') in private for _, target in includes)}
        grew = not showing <= private
        private |= showing
    return private


def trouble_with(include, room, private):
    """What is wrong with one include in a file of ROOM, or nothing."""
    if include.startswith('"'):
        target = include.strip('"').split("/")[0]
        if target not in ALLOWED.keys() | FREE:
            return f"{include}: write includes of our own from the root, as in \"core/error.h\""
        if target != room and target not in ALLOWED[room]:
            return f"{include}: {room} must not know {target}"
        if target != room and include.strip('"') in private:
            return f"{include}: it shows Ceres or libav, so it is for {target} alone"
        return None
    for name, pattern, rooms, _ in LIBRARIES:
        if pattern.match(include) and room not in rooms:
            return f"{include}: {name} belongs in {', '.join(sorted(rooms))}"
    return None


def heading_trouble(path, name):
    lines = path.read_text(encoding="utf-8").splitlines()
    if not lines or lines[0] != "// SPDX-License-Identifier: Apache-2.0":
        yield f"{name}:1: the licence line is missing"
    if path.suffix == ".h" and "#pragma once" not in lines:
        yield f"{name}:1: #pragma once is missing"


def check_tree(root):
    paths = [path for room in sorted(ALLOWED.keys() | FREE) for path in sorted((root / room).rglob("*"))
             if path.suffix in CODE and "third_party" not in path.parts]
    includes_by_name = {path.relative_to(root): includes_of(path) for path in paths}
    private = private_headers(includes_by_name)
    found = []
    for name, includes in includes_by_name.items():
        found += heading_trouble(root / name, name)
        room = name.parts[0]
        for number, include in includes if room not in FREE else []:
            trouble = trouble_with(include, room, private)
            if trouble:
                found.append(f"{name}:{number}: {trouble}")
    return found


def main(arguments):
    root = pathlib.Path(arguments[0]) if arguments else pathlib.Path(__file__).resolve().parent.parent.parent
    found = check_tree(root)
    for trouble in found:
        print(trouble, file=sys.stderr)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
