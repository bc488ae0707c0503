# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""loftline track beside general-purpose followers that a person starts, on rendered clips, judged by one program."""

import json
import statistics
import subprocess
from dataclasses import dataclass, field

from rendered import rendered
from timing import BARE, BUILD, LOFTLINE, timed

FOLLOW = BUILD / "tests" / "bench" / "follow_by_hand"
JUDGE = BUILD / "tests" / "bench" / "judge_track"
LEAST_TIMES_FASTER = 5.0
SHOWN = {
    "csrt": "CSRT",
    "mog2": "MOG2 and outlines, luma",
    "mog2-colour": "MOG2 and outlines, colour",
}
# Each tried in every way below; the one that finds most is shown.
WAYS = {"csrt": ("csrt-1", "csrt-2", "csrt-3", "csrt-4"), "mog2": ("mog2", "mog2-moved-on"),
        "mog2-colour": ("mog2-colour", "mog2-colour-moved-on")}


@dataclass
class Seen:
    """What one method made of one clip."""

    judged: dict
    frames_per_s: list = field(default_factory=list)
    note: str = ""


def _json_of(command):
    return json.loads(subprocess.run([*map(str, command)], check=True, capture_output=True, text=True).stdout)


def _best_way(method, clip, folder):
    best = None
    for way in WAYS[method]:
        track = folder / f"{way}.track.csv"
        run = _json_of([FOLLOW, way, clip.file, clip.truth, track])
        judged = _json_of([JUDGE, track, clip.truth, run["started"]])
        if best is None or judged["found"] > best[1].judged["found"]:
            best = way, Seen(judged, note=f"{way}, pointed again {run['pointed_again']} times")
            started = run["started"]
    return *best, started


def _compare(clip, repeats, folder):
    """Methods and what each saw of CLIP."""
    seen, ways, started = {}, {}, 0
    for method in WAYS:
        ways[method], seen[method], started = _best_way(method, clip, folder)
    track = folder / "ours.track.csv"
    bare_rates, track_rates = [], []
    for _ in range(repeats):
        bare = timed([BARE, clip.file])
        frames = int(bare.output.split()[0])
        bare_rates.append(frames / bare.wall_s)
        track.unlink(missing_ok=True)
        ours = timed([LOFTLINE, "track", clip.file, "--survey", clip.survey, "--out", track])
        track_rates.append(frames / ours.wall_s)
        for method, way in ways.items():
            run = _json_of([FOLLOW, way, clip.file, clip.truth, folder / "again.track.csv"])
            seen[method].frames_per_s.append(run["frames"] / run["seconds"])
    if ours.status == 0:
        judged = _json_of([JUDGE, track, clip.truth, started])
    else:
        judged = {"visible": seen["csrt"].judged["visible"], "found": 0, "false": 0, "rms_px": None}
    seen["loftline"] = Seen(judged, track_rates, "" if ours.status == 0 else f"exit {ours.status}")
    return statistics.median(bare_rates), seen


def _line(label, seen, ours_per_s):
    rate = statistics.median(seen.frames_per_s)
    judged = seen.judged
    rms = "     -" if judged["rms_px"] is None else f"{judged['rms_px']:6.2f}"
    faster = ours_per_s / rate
    times = f"{faster:5.1f}{' ' if faster >= LEAST_TIMES_FASTER else '!'}"
    return (f"  {label:<28}  {rate:8.0f}  {rms}  {judged['visible'] - judged['found']:4d} of {judged['visible']:3d}"
            f"  {judged['false']:5d}  {times}  {seen.note}")


def print_methods(seed, conditions, repeats, folder):
    """One block a clip."""
    print(f"Beside general-purpose followers: medians of {repeats} interleaved rounds. They are started on the true box, "
          "and pointed at the\nrocket again whenever they are off it (such a frame is lost; the pointing takes no time). "
          "Frames/s: theirs over the flight only,\nours over the whole clip, the program's start included. "
          f"Wanted: at least {LEAST_TIMES_FASTER:g} times faster, and nearer to the truth")
    print(f"  {'method':<28}  frames/s  RMS px  frames lost   false  times slower")
    for condition in conditions:
        clip = rendered(condition, seed)
        bare_per_s, seen = _compare(clip, repeats, folder)
        ours = seen["loftline"]
        ours_per_s = statistics.median(ours.frames_per_s)
        print(f"{clip.name}")
        print(f"  {'bare decode, two threads':<28}  {bare_per_s:8.0f}")
        print(_line("loftline track", ours, ours_per_s).replace("  1.0!", "  1.0 "))
        for method, label in SHOWN.items():
            print(_line(label, seen[method], ours_per_s))
