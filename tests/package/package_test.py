#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""The installed package serves strangers: package_test.py BUILD_DIR SOURCE_DIR

Installs a finished build, moves what was installed to another place, and uses it from there as docs/library.md says: the
program runs, the exported files know nothing of where they came from, every header compiles, and docs/example builds and
gives the numbers that it must.
"""

import json
import math
import pathlib
import re
import subprocess
import sys
import tempfile

# Libraries that only the rooms themselves may show, and with them their headers' users.
PRIVATE = re.compile(r"<(ceres|libav\w+|libsw\w+)/|<cairo\.h>")
ROOMS = {"core", "tracker", "calibrate", "fit", "study", "report"}


def run(*command, fails=False, **options):
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True, check=False, **options)
    if (done.returncode != 0) != fails:
        sys.exit(f"{' '.join(map(str, command))}\nended with {done.returncode}:\n{done.stdout[-3000:]}{done.stderr[-6000:]}")
    return done.stdout + done.stderr


def check(holds, otherwise):
    if not holds:
        sys.exit(otherwise)


def install_and_move(build, work):
    run("cmake", "--install", build, "--prefix", work / "first")
    (work / "first").rename(work / "moved")
    return work / "moved"


def check_exported_files(prefix, forbidden):
    files = list(prefix.glob("lib*/**/*.cmake"))
    check(len(files) >= 4, f"too few package files: {files}")
    for file in files:
        text = file.read_text(encoding="utf-8")
        for word in forbidden + ["-Werror", "-Wall", "-fsanitize"]:
            check(word not in text, f"{file.name} has {word} in it")


def headers_of(prefix):
    """By the names that users include them by."""
    root = prefix / "include" / "loftline"
    return {path.relative_to(root).as_posix(): path.read_text(encoding="utf-8") for path in sorted(root.rglob("*.h"))}


def check_headers(headers):
    check(ROOMS == {name.split("/")[0] for name in headers}, "not every room has headers, or another has")
    check("fit/fit_flight.h" in headers and "fit/simulator/validation.h" in headers, "front headers are missing")
    for name, text in headers.items():
        check(not PRIVATE.search(text), f"{name} shows a library that users must not need")
        for needed in re.findall(r'^#include "([^"]+)"', text, re.MULTILINE):
            check(needed in headers, f"{name} includes {needed}, which is not installed")


def compile_headers(headers, work, prefix):
    """All headers, in both orders, so that hardly any can lean on what another brought along."""
    project = work / "all_headers"
    project.mkdir()
    names = list(headers)
    for file, order in (("forward.cc", names), ("backward.cc", names[::-1])):
        includes = "".join(f'#include "{name}"\n' for name in order)
        (project / file).write_text(includes + "#ifdef LOFTLINE_VERSION\n#error a flag of the build leaked\n#endif\n",
                                    encoding="utf-8")
    rooms = " ".join("loftline::" + room for room in sorted(ROOMS))
    (project / "CMakeLists.txt").write_text(
        "cmake_minimum_required(VERSION 3.25)\nproject(all_headers LANGUAGES CXX)\nfind_package(loftline REQUIRED)\n"
        f"add_library(all_headers OBJECT forward.cc backward.cc)\ntarget_link_libraries(all_headers PRIVATE {rooms})\n",
        encoding="utf-8")
    run("cmake", "-G", "Ninja", "-S", project, "-B", project / "build", f"-DCMAKE_PREFIX_PATH={prefix}",
        "-DCMAKE_EXPORT_COMPILE_COMMANDS=ON")
    # The compiler's own check, by the flags that a stranger's project gets: no code need be made.
    for entry in json.loads((project / "build" / "compile_commands.json").read_text(encoding="utf-8")):
        check(" -W" not in entry["command"], "warning flags leak to users: " + entry["command"])
        run("sh", "-c", entry["command"] + " -fsyntax-only", cwd=entry["directory"])


def build_example(source, work, prefix):
    build = work / "example"
    run("cmake", "-G", "Ninja", "-S", source / "docs" / "example", "-B", build, f"-DCMAKE_PREFIX_PATH={prefix}",
        "-DCMAKE_BUILD_TYPE=Release")
    run("cmake", "--build", build)
    return build / "check_simulator"


def check_version_is_asked(work, prefix):
    project = work / "later"
    project.mkdir()
    (project / "CMakeLists.txt").write_text(
        "cmake_minimum_required(VERSION 3.25)\nproject(later LANGUAGES CXX)\nfind_package(loftline 99.0 REQUIRED)\n",
        encoding="utf-8")
    told = run("cmake", "-G", "Ninja", "-S", project, "-B", project / "build", f"-DCMAKE_PREFIX_PATH={prefix}", fails=True)
    check("99.0" in told, "a version that is not there was found")


def measured_result(source, work, prefix):
    clips = source / "sample-clips"
    run(prefix / "bin" / "loftline", "measure", clips / "clips" / "01-whole-arc.mp4", "--survey",
        clips / "surveys" / "01-whole-arc.survey.json", "--mass", "6.6 g", "--diameter", "24 mm", "--out", work / "results")
    return work / "results" / "01-whole-arc.result.json"


def number_after(word, text):
    found = re.search(re.escape(word) + r" (-?[0-9.]+)", text)
    check(found, f"no number after '{word}' in:\n{text}")
    return float(found.group(1))


def check_example(program, source, work, prefix):
    result = measured_result(source, work, prefix)
    truth = json.loads((source / "sample-clips" / "truth" / "01-whole-arc.truth.json").read_text(encoding="utf-8"))["flight"]
    speed, angle, drag = truth["launch_speed_m_s"], truth["launch_angle_deg"], truth["drag_per_m"]
    # Without air the apogee is (v sin a)^2 / 2g, with standard gravity; five digits are printed.
    without = number_after("predicted:", run(program, result, speed, angle, 0.0))
    expected = (speed * math.sin(math.radians(angle))) ** 2 / (2.0 * 9.80665)
    check(abs(without - expected) < 2e-5 * expected, f"{without} m without air, expected {expected}")
    # With it, what the renderer's own solver found; 0.5 % for the wind and the place's gravity, which the example leaves out.
    text = run(program, result, speed, angle, drag)
    apogee = number_after("predicted:", text)
    check(abs(apogee - truth["apogee_m"]) < 0.005 * truth["apogee_m"], f"{apogee} m, truly {truth['apogee_m']}")
    # Its own numbers flown again agree with the footage, as the footage then stands against itself; with 30 % less drag
    # the apogee is 0.8 m too high, many times what a whole arc leaves open.
    filmed = json.loads(result.read_text(encoding="utf-8"))["flight"]
    own = [filmed[key]["value"] for key in ("launch_speed_m_s", "launch_angle_deg", "drag_per_m")]
    check("\nAgrees" in run(program, result, *own), "a flight's own numbers disagree with it")
    text = run(program, result, *own[:2], 0.7 * own[2])
    check("\nDisagrees" in text and re.search(r"^Apogee: [0-9.]+ m, filmed [0-9.]+ m, disagrees$", text, re.MULTILINE),
          "a simulator with too little drag was not told: " + text)
    check("four arguments" in run(program, fails=True), "wrong use is not explained")
    check("nothing.json" in run(program, "nothing.json", speed, angle, drag, fails=True), "a missing file is not named")


def main(build, source):
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        prefix = install_and_move(build, work)
        check_exported_files(prefix, [str(build), str(source), str(work)])
        headers = headers_of(prefix)
        check_headers(headers)
        compile_headers(headers, work, prefix)
        check_version_is_asked(work, prefix)
        check_example(build_example(source, work, prefix), source, work, prefix)


if __name__ == "__main__":
    main(pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2]).resolve())
