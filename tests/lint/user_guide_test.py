#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""The user guide's commands do what the guide says: user_guide_test.py PROGRAM

Runs the guide's own examples on the sample clips, in its order, and looks for the files that it promises.
"""

import pathlib
import re
import shlex
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
GUIDE = ROOT / "docs" / "user-guide.md"


def commands(text):
    """The indented 'loftline ...' examples on the sample clips, their continued lines joined."""
    blocks = re.findall(r"(?:^    .*\n)+", text, re.MULTILINE)
    lines = [line.strip() for block in blocks for line in block.replace("\\\n", " ").splitlines()]
    # Others show a form ("loftline COMMAND --help") or a clip of the reader's own.
    return [shlex.split(line) for line in lines if line.startswith("loftline ") and re.search(r"sample-clips|heron| day$", line)]


def promised_files(text):
    return [pathlib.Path("results") / name for name in re.findall(r"^\| `(\S+)` \|", text, re.MULTILINE)]


def main(program):
    text = GUIDE.read_text(encoding="utf-8")
    examples, promised = commands(text), promised_files(text)
    known = ["calibrate", "measure", "measure", "calibrate", "measure", "track", "fit",
             "plan", "batch", "compare", "predict", "predict", "validate"]
    if [example[1] for example in examples] != known or len(promised) != 4:
        return "the guide's examples are not the ones that this test knows: mend one of the two"
    with tempfile.TemporaryDirectory() as folder:
        (pathlib.Path(folder) / "sample-clips").symlink_to(ROOT / "sample-clips")
        for example in examples:
            run = subprocess.run([program] + example[1:], cwd=folder, capture_output=True, text=True, check=False)
            if run.returncode != 0:
                return f"{shlex.join(example)}\nended with {run.returncode}: {run.stderr}{run.stdout}"
        missing = [str(path) for path in promised if not (pathlib.Path(folder) / path).is_file()]
        results = [str(path) for path in pathlib.Path(folder).rglob("*.json") if "sample-clips" not in path.parts]
        check = subprocess.run([sys.executable, str(ROOT / "tests" / "schema_check.py")] + results, check=False)
    if missing:
        return "promised and not written: " + ", ".join(missing)
    clips = 8  # of the sample day, two files each: a result, and what the day keeps of it
    if len(results) != 10 + 2 * clips or check.returncode != 0:
        return f"{len(results)} files written by the examples do not all hold to their schemas"
    return None


if __name__ == "__main__":
    sys.exit(main(str(pathlib.Path(sys.argv[1]).resolve())))
