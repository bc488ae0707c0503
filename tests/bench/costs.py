# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""What tracking costs beside a bare decode: wall time, processor time, memory; each beside the figure that is wanted."""

import statistics
from dataclasses import dataclass, field

from rendered import rendered, rendered_4k, ten_minutes
from timing import BARE, LOFTLINE, timed

MOST_CPU_BESIDE = 0.40  # of the decoding's


@dataclass
class Case:
    """One clip, and what it may cost."""

    label: str
    file: object
    survey: object
    most_wall: float  # times the bare decode's
    most_mib: float
    once: bool = False  # too long to repeat
    runs: list = field(default_factory=list)  # (bare, track)


def cases(seed, with_ten_minutes):
    """Renders what is missing."""
    found = []
    for condition, most_wall in (("tripod", 1.25), ("clutter", 1.25), ("hand-held", 1.6), ("panning", 1.6)):
        clip = rendered(condition, seed)
        found.append(Case(f"{condition}, 1080p60", clip.file, clip.survey, most_wall, 350))
    clip = rendered_4k("tripod", seed)
    found.append(Case("tripod, 4K60", clip.file, clip.survey, 1.35, 900))
    if with_ten_minutes:
        start = rendered("tripod", seed)
        found.append(Case("tripod, 1080p60, 10 min", ten_minutes(start), start.survey, 1.25, 350, once=True))
    return found


def _verdict(value, most):
    return f"{value:5.2f} of {most:4.2f}{' ' if value <= most else '!'}"


def _line(case):
    bare_s, track_s = (statistics.median(pair[i].wall_s for pair in case.runs) for i in (0, 1))
    wall = statistics.median(track.wall_s / bare.wall_s for bare, track in case.runs)
    beside = statistics.median(track.cpu_s / bare.cpu_s - 1.0 for bare, track in case.runs)
    memory_mib = max(track.memory_mib for _, track in case.runs)
    frames = int(case.runs[0][0].output.split()[0])
    memory = f"{memory_mib:4.0f} of {case.most_mib:3.0f}{' ' if memory_mib <= case.most_mib else '!'}"
    return (f"{case.label:<24}  {frames:6d}  {bare_s:7.2f}  {track_s:7.2f}  {_verdict(wall, case.most_wall)}  "
            f"{_verdict(beside, MOST_CPU_BESIDE)}  {memory}  exit {case.runs[-1][1].status}")


def print_costs(seed, repeats, with_ten_minutes, folder):
    """Interleaved rounds, so that a busy minute of the machine falls on all alike."""
    found = cases(seed, with_ten_minutes)
    for round_number in range(repeats):
        for case in found:
            if case.once and round_number > 0:
                continue
            bare = timed([BARE, case.file])
            track = timed([LOFTLINE, "track", case.file, "--survey", case.survey, "--out", folder / "t.track.csv"])
            case.runs.append((bare, track))
    print(f"What tracking costs: medians of {repeats} interleaved rounds (10 min: one), each 'measured of at most', "
          "'!' where that is missed")
    print(f"{'rendered clip':<24}  frames  bare, s  track, s  wall, times   beside decode  memory, MiB")
    for case in found:
        print(_line(case))
