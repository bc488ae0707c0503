# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""What batch and merge leave in a folder, tried from outside: day_folder_test.py PROGRAM [TEST...]"""

import json
import os
import pathlib
import resource
import shlex
import subprocess
import sys
import tempfile
import time
import unittest

from small_day import contents, make_day

MEASURABLE = 3
ROOT_USER = os.geteuid() == 0


def loftline(*words):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, check=False)


def processor_time_of_children_s():
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def in_own_mounts(script):
    """Runs a shell script whose mounts nobody else sees; "mounts" is the exit status if there can be none."""
    return subprocess.run(["unshare", "--mount", "--propagation", "private", "sh", "-c", script], capture_output=True, text=True,
                          check=False)


def can_mount(folder):
    return ROOT_USER and in_own_mounts(f"mount -t tmpfs none {shlex.quote(str(folder))}").returncode == 0


def rows_of(out):
    return json.loads((out / "summary.json").read_text(encoding="utf-8"))["flights"]


class DayFolder(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.place = tempfile.TemporaryDirectory()  # pylint: disable=consider-using-with
        cls.folder = pathlib.Path(cls.place.name)
        cls.table = make_day(cls.folder, MEASURABLE)
        cls.plain = cls.folder / "plain"
        cls.first = loftline("batch", cls.table, "--out", cls.plain, "--jobs", 2)
        cls.wanted = contents(cls.plain)

    @classmethod
    def tearDownClass(cls):
        cls.place.cleanup()

    def flights_in(self, found):
        return {name.split("/")[1] for name in found if name.startswith("flights/") and name.endswith("/flight.json")}

    def assert_nothing_half_written(self, found):
        for name, sha256 in found.items():
            if name[0] != ".":
                self.assertEqual(sha256, self.wanted.get(name), name)

    def test_bad_clips_do_not_stop_the_others(self):
        self.assertEqual(self.first.returncode, 0, self.first.stderr)
        rows = rows_of(self.plain)
        outcomes = [row["result"]["outcome"] for row in rows]
        self.assertEqual(outcomes, ["measured"] * MEASURABLE + ["refused", "unreadable", "skipped"])
        self.assertIn("no-rocket", json.dumps(rows[MEASURABLE]))
        self.assertIn("not-a-video", json.dumps(rows[MEASURABLE + 1]))
        self.assertTrue(rows[MEASURABLE + 1]["result"]["findings"][0]["message"])

    def test_number_of_jobs_changes_no_byte(self):
        for jobs in (1, 5):
            out = self.folder / f"jobs-{jobs}"
            self.assertEqual(loftline("batch", self.table, "--out", out, "--jobs", jobs).returncode, 0)
            self.assertEqual(contents(out), self.wanted)

    def test_again_measures_nothing_and_changes_nothing(self):
        before = {path: path.stat().st_ino for path in self.plain.rglob("*") if "flights" in path.parts}
        before_s = processor_time_of_children_s()
        again = loftline("batch", self.table, "--out", self.plain)
        # Measuring takes several seconds of it. (By the clock another job on the machine would count, too.)
        self.assertLess(processor_time_of_children_s() - before_s, 1.0)
        self.assertEqual(again.returncode, 0, again.stderr)
        self.assertEqual(contents(self.plain), self.wanted)
        self.assertEqual({path: path.stat().st_ino for path in self.plain.rglob("*") if "flights" in path.parts}, before)

    def test_a_second_run_is_refused_and_the_first_goes_on(self):
        out = self.folder / "busy"
        with subprocess.Popen([PROGRAM, "batch", self.table, "--out", out, "--jobs", "1"], stdout=subprocess.PIPE,
                              stderr=subprocess.PIPE) as first:
            while not list(out.glob(".partial/*/*")) and first.poll() is None:
                time.sleep(0.01)
            second = loftline("batch", self.table, "--out", out)
            joining = loftline("merge", self.plain, "--out", out)
            self.assertIsNone(first.poll(), "the first run was over too soon: this shows nothing")
            first.communicate()
        for refused in (second, joining):
            self.assertEqual(refused.returncode, 4, refused.stderr)
            self.assertIn("Another run is working in this folder", refused.stderr)
        self.assertEqual(first.returncode, 0)
        self.assertEqual(contents(out), self.wanted)

    def test_a_folder_that_cannot_be_written_is_a_clear_error(self):
        (self.folder / "a-file").write_text("not a folder", encoding="utf-8")
        refused = loftline("batch", self.table, "--out", self.folder / "a-file" / "results")
        self.assertEqual(refused.returncode, 4, refused.stderr)
        self.assertIn("a-file", refused.stderr)
        out = self.folder / "read-only"
        out.mkdir()
        if ROOT_USER:  # whom no permission keeps out
            if not can_mount(out):
                self.skipTest("no mounts of our own here")
            place = shlex.quote(str(out))
            command = shlex.join([str(PROGRAM), "batch", str(self.table), "--out", str(out)])
            refused = in_own_mounts(f"mount -t tmpfs -o ro none {place} && exec {command}")
        else:
            out.chmod(0o500)
            refused = loftline("batch", self.table, "--out", out)
        self.assertEqual(refused.returncode, 4, refused.stderr)
        self.assertIn("read-only", refused.stderr)
        self.assertEqual(list(out.iterdir()), [])

    def test_a_full_disk_is_a_clear_error_and_loses_nothing(self):
        out = self.folder / "small-disk"
        out.mkdir()
        if not can_mount(out):
            self.skipTest("no mounts of our own here")
        one_flight = max(sum(file.stat().st_size for file in flight.iterdir()) for flight in self.plain.glob("flights/*"))
        place, full, after = (shlex.quote(str(path)) for path in (out, self.folder / "full", self.folder / "after"))
        run = shlex.join([str(PROGRAM), "batch", str(self.table), "--out", str(out), "--jobs", "1"])
        ran = in_own_mounts(
            f"mount -t tmpfs -o size={int(1.6 * one_flight)} none {place} || exit 99\n"
            f"{run}; echo status $? >&2; cp -a {place} {full}\n"
            f"mount -o remount,size=100m {place} && {run}; echo status $? >&2; cp -a {place} {after}")
        self.assertEqual(ran.returncode, 0, ran.stderr)
        first, _, second = ran.stderr.partition("status 5")
        self.assertIn("No space left on device", first)
        self.assertIn("status 0", second)
        found = contents(self.folder / "full")
        self.assert_nothing_half_written(found)
        self.assertGreaterEqual(len(self.flights_in(found)), 1)
        self.assertLess(len(self.flights_in(found)), MEASURABLE)
        self.assertEqual(second.count("as before"), len(self.flights_in(found)))
        self.assertEqual(contents(self.folder / "after"), self.wanted)

    def test_nothing_is_written_elsewhere(self):
        out = self.folder / "only-here"
        out.mkdir()
        if not can_mount(out):
            self.skipTest("no mounts of our own here")
        run = shlex.join([str(PROGRAM), "batch", str(self.table), "--out", str(out)])
        place, after = shlex.quote(str(out)), shlex.quote(str(self.folder / "copied"))
        ran = in_own_mounts(f"mount -t tmpfs none {place} && mount -o remount,bind,ro / || exit 99\n"
                            f"touch {after} 2>/dev/null && exit 99\n"
                            f"{run} && mount -o remount,bind,rw / && cp -a {place} {after}")
        if ran.returncode == 99:
            self.skipTest("this folder cannot be made read-only here")
        self.assertEqual(ran.returncode, 0, ran.stderr)
        self.assertEqual(contents(self.folder / "copied"), self.wanted)

    def test_parts_joined_are_the_whole(self):
        parts = [self.folder / f"part-{number}" for number in (1, 2, 3)]
        for number, part in enumerate(parts, 1):
            self.assertEqual(loftline("batch", self.table, "--out", part, "--shard", f"{number}/3").returncode, 0)
        out = self.folder / "joined"
        for _ in range(2):  # again, it is no different
            joined = loftline("merge", parts[2], parts[0], parts[1], "--out", out)
            self.assertEqual(joined.returncode, 0, joined.stderr)
            self.assertEqual(contents(out), self.wanted)

    def test_a_missing_part_is_named(self):
        part = self.folder / "lonely"
        self.assertEqual(loftline("batch", self.table, "--out", part, "--shard", "2/3").returncode, 0)
        refused = loftline("merge", part, "--out", self.folder / "not-joined")
        self.assertEqual(refused.returncode, 4, refused.stderr)
        self.assertRegex(refused.stderr, r"1.*3")
        self.assertFalse((self.folder / "not-joined" / "summary.json").exists())


if __name__ == "__main__":
    PROGRAM = pathlib.Path(sys.argv.pop(1)).resolve()
    unittest.main()
