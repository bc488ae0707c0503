# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""A batch run that is killed at any moment and run again ends like an undisturbed one: killed_test.py PROGRAM"""

import pathlib
import random
import subprocess
import sys
import tempfile
import time

from small_day import contents, make_day

KILLS = 20
AT_CHANGES = 6  # more, each as soon as something changes in the folder: moments that the clock seldom hits
MEASURABLE = 3


def batch(program, table, out):
    return [program, "batch", table, "--out", out, "--jobs", "2"]


class Killer:
    def __init__(self, program, folder):
        self.program, self.folder = program, folder
        self.table = make_day(folder, MEASURABLE)
        self.tried = self.killed = 0
        begun_s = time.monotonic()
        subprocess.run(batch(program, self.table, folder / "undisturbed"), check=True, capture_output=True)
        self.whole_run_s = time.monotonic() - begun_s
        self.undisturbed = contents(folder / "undisturbed")

    def kill(self, wait):
        """Starts a run, calls WAIT with it and its folder, kills it, looks at what is left, and runs it again."""
        self.tried += 1
        out = self.folder / f"killed-{self.tried}"
        with subprocess.Popen(batch(self.program, self.table, out), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as run:
            wait(run, out)
            run.kill()
        if run.returncode != -9:
            return  # it was done already
        self.killed += 1
        left = contents(out)
        # Hidden files are nobody's results; the second run must take them away.
        half_done = [name for name, sha256 in left.items() if name[0] != "." and self.undisturbed.get(name) != sha256]
        if half_done:
            sys.exit(f"killed, it left what an undisturbed run does not have: {half_done}")
        again = subprocess.run(batch(self.program, self.table, out), capture_output=True, text=True, check=False)
        if again.returncode != 0:
            sys.exit(f"run again, it ended with {again.returncode}: {again.stderr}")
        self._compare(contents(out), left)

    def _compare(self, now, left):
        if now == self.undisturbed:
            return
        differing = sorted(name for name in now.keys() | self.undisturbed.keys() if now.get(name) != self.undisturbed.get(name))
        sys.exit(f"killed and run again, it differs from an undisturbed run in {differing}; killed, there were {sorted(left)}")


def names_in(folder):
    """Quick, and content with a folder that changes meanwhile."""
    try:
        return sorted(str(path) for path in folder.rglob("*"))
    except OSError:
        return []


def until_change(number):
    def wait(run, out):
        seen, changes = [], 0
        while changes < number and run.poll() is None:
            now = names_in(out)
            changes += now != seen
            seen = now
    return wait


def main():
    program = pathlib.Path(sys.argv[1]).resolve()
    draw = random.Random(5)
    with tempfile.TemporaryDirectory() as name:
        killer = Killer(program, pathlib.Path(name))
        while killer.killed < KILLS and killer.tried < 3 * KILLS:
            moment_s = draw.uniform(0.0, killer.whole_run_s)
            killer.kill(lambda run, out: time.sleep(moment_s))
        for _ in range(AT_CHANGES):
            killer.kill(until_change(draw.randint(1, 30)))
        print(f"killed {killer.killed} of {killer.tried} runs of {killer.whole_run_s:.2f} s each")
        if killer.killed < KILLS:
            sys.exit("too few runs were killed in time: this showed nothing")


if __name__ == "__main__":
    main()
