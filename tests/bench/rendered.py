# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""Clips with truth, rendered once and kept in build/bench until the renderer changes."""

import json
import pathlib
import subprocess
from dataclasses import dataclass

from timing import BUILD, ROOT

RENDER = BUILD / "sample-clips" / "render" / "render_clip"
KEPT = ROOT / "build" / "bench"


@dataclass
class Clip:
    """A rendered clip and what belongs to it."""

    name: str
    file: pathlib.Path
    survey: pathlib.Path
    truth: pathlib.Path


def _clip(name):
    return Clip(name, KEPT / f"{name}.mp4", KEPT / f"{name}.survey.json", KEPT / "truth" / f"{name}.truth.json")


def _is_kept(clip):
    return clip.truth.exists() and clip.truth.stat().st_mtime > RENDER.stat().st_mtime


def _render(arguments):
    KEPT.mkdir(parents=True, exist_ok=True)
    subprocess.run([RENDER, *map(str, arguments), "--out", KEPT], check=True, capture_output=True)


def rendered(condition, seed):
    """The scene of CONDITION and SEED, 1920 x 1080."""
    clip = _clip(f"{condition}-{seed}")
    if not _is_kept(clip):
        _render(["--condition", condition, "--seed", seed])
    return clip


def rendered_4k(condition, seed):
    """The same scene through a sensor and lens of twice the resolution."""
    clip = _clip(f"{condition}-{seed}-4k")
    if _is_kept(clip):
        return clip
    KEPT.mkdir(parents=True, exist_ok=True)
    printed = subprocess.run(
        [RENDER, "--condition", condition, "--seed", str(seed), "--scene-only", "--out", KEPT],
        check=True, capture_output=True, text=True,
    )
    scene = json.loads(printed.stdout)
    scene["name"] = clip.name
    scene["picture"].update(width_px=3840, height_px=2160)
    scene["coding"]["bitrate_mbit_s"] *= 3.0  # as phones do: about 50 Mbit/s for what has about 17 at 1080p
    for length in ("blur_px", "sway_px", "cloud_drift_px_s"):
        scene["look"][length] *= 2.0
    file = KEPT / f"{clip.name}.scene.json"
    file.write_text(json.dumps(scene))
    _render(["--scene", file])
    return clip


def ten_minutes(start):
    """START, then nobody near the tube for the rest of ten minutes: its last picture under fresh sensor noise."""
    path = KEPT / f"{start.name}-ten-minutes.mp4"
    if path.exists() and path.stat().st_mtime > start.file.stat().st_mtime:
        return path
    coding = ["-an", "-c:v", "libx264", "-preset", "veryfast", "-b:v", "8M", "-minrate", "8M",
              "-maxrate", "8M", "-bufsize", "8M", "-pix_fmt", "yuv420p", "-bf", "0",
              "-video_track_timescale", "60000"]
    first, quiet = KEPT / "first.mp4", KEPT / "quiet.mp4"
    ffmpeg = ["ffmpeg", "-nostdin", "-y", "-loglevel", "error"]
    subprocess.run([*ffmpeg, "-i", start.file, "-vf", "fps=60", *coding, first], check=True)
    subprocess.run([*ffmpeg, "-sseof", "-0.2", "-i", start.file, "-t", "10", "-vf",
                    "fps=60,tpad=stop_mode=clone:stop_duration=10,noise=alls=4:allf=t", *coding, quiet], check=True)
    pieces = KEPT / "ten-minutes.txt"
    pieces.write_text(f"file '{first}'\n" + f"file '{quiet}'\n" * 60)
    subprocess.run([*ffmpeg, "-f", "concat", "-safe", "0", "-i", pieces, "-c", "copy",
                    "-video_track_timescale", "60000", path], check=True)
    return path
