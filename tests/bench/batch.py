# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""Whether a day's cost grows with its clips and with nothing else, and what a second core is worth."""

import statistics
import sys

from timing import LOFTLINE, ROOT, timed

sys.path.insert(0, str(ROOT / "tests" / "batch"))
from small_day import MEASURABLE, SAMPLES, clip_and_survey, linked, rows_of, write_table  # noqa: E402

SIZES = (50, 200, 1000)
MOST_GROWTH = 1.05  # of the time for a clip, from the smallest day to the largest
MOST_KIB_A_CLIP = 16.0  # more for each clip more: its row, its results, its line in summary and page; nothing of the clip
LEAST_GAIN = 1.6  # of two jobs over one


def _run(table, out, jobs):
    run = timed([LOFTLINE, "batch", table, "--out", out, "--jobs", jobs])
    if run.status != 0:
        sys.exit(f"batch ended with {run.status}")
    return run


def _mark(good):
    return " " if good else "!"


def print_growth(folder):
    """Days of hard links to one small clip. The small days are run before and after the large ones."""
    clip, survey = clip_and_survey(folder, MEASURABLE, "whole-arc")
    rows = rows_of(linked(folder, clip, max(SIZES)), survey)
    tables = {size: write_table(folder / f"day-{size}.csv", rows[:size]) for size in SIZES}
    runs = {size: [] for size in SIZES}
    order = SIZES + SIZES[-2::-1]
    for number, size in enumerate(order):
        runs[size].append(_run(tables[size], folder / f"out-{number}", 2))
    again = _run(tables[max(SIZES)], folder / f"out-{SIZES.index(max(SIZES))}", 2)
    print(f"Days of small clips ({MEASURABLE[0]} x {MEASURABLE[1]}), two jobs; '!' where a figure is missed")
    print("  clips   wall, s   a clip, ms   processor, a clip, ms   peak memory, MiB")
    wall_ms, cpu_ms, memory_mib = {}, {}, {}
    for size in SIZES:
        wall_s = statistics.mean(run.wall_s for run in runs[size])
        wall_ms[size] = 1000 * wall_s / size
        cpu_ms[size] = 1000 * statistics.mean(run.cpu_s for run in runs[size]) / size
        memory_mib[size] = max(run.memory_mib for run in runs[size])
        print(f"  {size:5d}  {wall_s:8.1f}  {wall_ms[size]:11.1f}  {cpu_ms[size]:22.1f}  {memory_mib[size]:17.1f}")
    small, large = min(SIZES), max(SIZES)
    for name, per_clip in (("wall", wall_ms), ("processor", cpu_ms)):
        growth = per_clip[large] / per_clip[small]
        print(f"  {name} time for a clip, {large} over {small}: {growth:.3f} of at most {MOST_GROWTH}{_mark(growth <= MOST_GROWTH)}")
    more_kib = 1024 * (memory_mib[large] - memory_mib[small]) / (large - small)
    print(f"  memory for a clip more: {more_kib:.1f} KiB of at most {MOST_KIB_A_CLIP}{_mark(more_kib <= MOST_KIB_A_CLIP)}")
    print(f"  {large} clips again, all of them done: {again.wall_s:.1f} s")


def print_gain(repeats, folder):
    """The sample clips' day with one job and with two, by turns."""
    runs = {1: [], 2: []}
    for number in range(repeats):
        for jobs, done in runs.items():
            done.append(_run(SAMPLES / "day.csv", folder / f"day-{number}-{jobs}", jobs))
    gains = [one.wall_s / two.wall_s for one, two in zip(runs[1], runs[2])]
    walls = {jobs: statistics.median(run.wall_s for run in done) for jobs, done in runs.items()}
    gain = statistics.median(gains)
    print(f"The sample day, 8 clips of 1080p: {walls[1]:.1f} s with one job, {walls[2]:.1f} s with two; median gain of {repeats} rounds "
          f"{gain:.2f} of at least {LEAST_GAIN}{_mark(gain >= LEAST_GAIN)} ({min(gains):.2f} to {max(gains):.2f}); peak memory "
          f"{max(run.memory_mib for run in runs[1]):.0f} and {max(run.memory_mib for run in runs[2]):.0f} MiB")


def print_batch(repeats, folder):
    print_gain(repeats, folder)
    print_growth(folder)
