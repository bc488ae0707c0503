# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""How long the page waits for a frame, beside a bare decode of the same clips in the same run."""

import json
import statistics
import subprocess

from timing import BARE, BUILD, timed

LATENCY = BUILD / "tests" / "bench" / "frame_latency"
WANTED_MS = {"warm_jumps": 60.0, "warm_drag": 60.0, "warm_at_once": 500.0}  # p95
KINDS = ("warm_jumps", "warm_drag", "warm_at_once", "cold_jumps", "cold_drag", "cold_at_once")


def scrub_clip(folder, source):
    """20 s of 1080p60, H.264 high, a key frame every 60 frames, as grainy as a phone's: too much to keep all of it ready."""
    path = folder / "scrub.mp4"
    subprocess.run(
        ["ffmpeg", "-nostdin", "-y", "-loglevel", "error", "-i", str(source), "-t", "20",
         "-vf", "scale=1920:1080,tpad=stop_mode=clone:stop_duration=20,noise=alls=6:allf=t,fps=60", "-an",
         "-c:v", "libx264", "-profile:v", "high", "-preset", "veryfast", "-crf", "21", "-g", "60", "-keyint_min", "60",
         "-sc_threshold", "0", "-pix_fmt", "yuv420p", str(path)],
        check=True,
    )
    return path


def middle(runs, *keys):
    values = []
    for run in runs:
        for key in keys:
            run = run[key]
        values.append(run)
    return statistics.median(values)


def print_clip(clip, repeats, memory_mib):
    bare_ms, runs = [], []
    for _ in range(repeats):
        bare = timed([BARE, clip])
        bare_ms.append(1000.0 * bare.wall_s / int(bare.output.split()[0]))
        runs.append(json.loads(timed([LATENCY, clip, memory_mib]).output))
    print(f"\n{clip.name}: {runs[0]['frames']} frames, memory for {memory_mib} MiB, medians of {repeats} rounds")
    print(f"  bare decode, from beginning to end: {statistics.median(bare_ms):.2f} ms a frame")
    print(f"  opened after {middle(runs, 'open_ms'):.0f} ms, first frame after {middle(runs, 'first_ms'):.0f} ms, "
          f"all made ahead after {middle(runs, 'ahead_ms') / 1000.0:.1f} s")
    print(f"  counted at most {middle(runs, 'memory_most_mib'):.0f} MiB; the process's peak "
          f"{middle(runs, 'process_peak_mib'):.0f} MiB")
    print(f"  {'':<14} {'p50':>9} {'p95':>9} {'most':>9}   wanted, p95")
    for kind in KINDS:
        p50, p95, most = (middle(runs, kind, key) for key in ("p50", "p95", "max"))
        wanted = f"{WANTED_MS[kind]:.0f} ms: {'held' if p95 < WANTED_MS[kind] else 'MISSED'}" if kind in WANTED_MS else "-"
        print(f"  {kind.replace('_', ' '):<14} {p50:6.1f} ms {p95:6.1f} ms {most:6.1f} ms   {wanted}")


def print_frames(clips, repeats, folder):
    print("from asking for a frame to having its JPEG")
    for clip in clips:
        print_clip(clip, repeats, 256)
    long_clip = scrub_clip(folder, clips[0])
    for memory_mib in (256, 64):
        print_clip(long_clip, repeats, memory_mib)
