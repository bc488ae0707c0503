# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""Launch days of small clips, which are measured in a third of a second each.

The clips are a sample clip, made smaller; what its survey has in pixels is made smaller with it.
"""

import csv
import hashlib
import json
import os
import pathlib
import subprocess

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
SAMPLES = ROOT / "sample-clips"
SOURCE = "01-whole-arc"
MEASURABLE = (640, 360)  # the rocket is 5 to 8 px long
TOO_SMALL = (480, 270)  # no rocket can be made out: refused
NOSES = {"Heron": "ogive", "Curlew": "cone", "Puffin": "blunt", "Sandpiper": "ogive"}
COLUMNS = ["clip", "survey", "design", "launch", "mass_g", "mass_std_g", "diameter_mm", "diameter_std_mm", "skip", "nose"]


def _scaled(point, factor):
    """Whole-number pixel positions are the middles of pixels."""
    return [round((value + 0.5) * factor - 0.5, 3) for value in point]


def _write_survey(path, size):
    survey = json.loads((SAMPLES / "surveys" / f"{SOURCE}.survey.json").read_text(encoding="utf-8"))
    factor = size[0] / survey["image"]["width_px"]
    survey["image"] |= {"width_px": size[0], "height_px": size[1]}
    for mark in survey["marks"]:
        mark |= {key: _scaled(mark[key], factor) for key in ("from_px", "to_px") if key in mark}
    survey["launch"]["px"] = _scaled(survey["launch"]["px"], factor)
    path.write_text(json.dumps(survey, indent=1), encoding="utf-8")


def _write_clip(path, size):
    subprocess.run(
        ["ffmpeg", "-nostdin", "-y", "-loglevel", "error", "-i", SAMPLES / "clips" / f"{SOURCE}.mp4", "-an", "-r", "30",
         "-vf", f"scale={size[0]}:{size[1]}:flags=area", "-c:v", "libx264", "-crf", "18", "-pix_fmt", "yuv420p", path],
        check=True)


def clip_and_survey(folder, size, name):
    """Makes both in FOLDER and gives their names."""
    _write_clip(folder / f"{name}.mp4", size)
    _write_survey(folder / f"{name}.survey.json", size)
    return f"{name}.mp4", f"{name}.survey.json"


def rows_of(clips, survey):
    """A row for each clip; no two rockets weigh the same."""
    designs = list(NOSES)
    return [{"clip": clip, "survey": survey, "design": designs[number % 4], "launch": 1 + number // 4,
             "mass_g": f"{6.0 + 0.001 * number:.3f}", "mass_std_g": "0.05", "diameter_mm": "24.06", "diameter_std_mm": "0.10",
             "skip": "", "nose": NOSES[designs[number % 4]]} for number, clip in enumerate(clips)]


def linked(folder, clip, count):
    """COUNT more names of a clip's file."""
    names = [f"launch-{number + 1:04d}.mp4" for number in range(count)]
    for name in names:
        os.link(folder / clip, folder / name)
    return names


def write_table(path, rows):
    with open(path, "w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS)
        writer.writeheader()
        writer.writerows(rows)
    return path


def make_day(folder, measurable):
    """So many clips that can be measured, then one without a rocket, one that is no video, and a skipped row."""
    clip, survey = clip_and_survey(folder, MEASURABLE, "whole-arc")
    small_clip, small_survey = clip_and_survey(folder, TOO_SMALL, "too-small")
    (folder / "not-a-video.mp4").write_text("The phone's battery was empty.\n" * 100, encoding="utf-8")
    rows = rows_of(linked(folder, clip, measurable) + [small_clip, "not-a-video.mp4", "never-filmed.mp4"], survey)
    rows[-3]["survey"] = small_survey
    rows[-1]["skip"] = "yes"
    return write_table(folder / "day.csv", rows)


def contents(folder):
    """Every file and folder below FOLDER and a hash of its bytes; of all that is there only the lock is left out."""
    found = {}
    for path in sorted(folder.rglob("*")):
        name = str(path.relative_to(folder))
        if name != ".lock":
            found[name] = hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else "folder"
    return found
