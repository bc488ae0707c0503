# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""Where the programs are, and how one of them is timed."""

import pathlib
import re
import subprocess
import tempfile
from dataclasses import dataclass

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILD = ROOT / "build" / "release"
LOFTLINE = BUILD / "loftline"
BARE = BUILD / "tests" / "bench" / "bare_decode"


@dataclass
class Timed:
    """What one run of a program took."""

    status: int
    wall_s: float
    cpu_s: float  # of all its threads, system calls included
    memory_mib: float  # peak resident
    output: str


def timed(command):
    """Runs COMMAND under GNU time."""
    with tempfile.NamedTemporaryFile() as measured:
        done = subprocess.run(
            ["/usr/bin/time", "-v", "-o", measured.name, *map(str, command)], capture_output=True, text=True, check=False
        )
        text = pathlib.Path(measured.name).read_text()

    def number(pattern):
        return float(re.search(pattern, text)[1])

    clock = re.search(r"Elapsed \(wall clock\).*: (?:(\d+):)?(\d+):([\d.]+)", text)
    wall_s = int(clock[1] or 0) * 3600 + int(clock[2]) * 60 + float(clock[3])
    cpu_s = number(r"User time \(seconds\): ([\d.]+)") + number(r"System time \(seconds\): ([\d.]+)")
    memory_mib = number(r"Maximum resident set size \(kbytes\): (\d+)") / 1024
    return Timed(done.returncode, wall_s, cpu_s, memory_mib, done.stdout)
