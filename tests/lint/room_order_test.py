#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""room_order.py finds what it is there to find."""

import pathlib
import tempfile
import unittest

import room_order

HEAD = "// SPDX-License-Identifier: Apache-2.0\n#pragma once\n"

GOOD = [
    ("fit/a.cc", '#include "core/error.h"'),
    ("fit/a.cc", '#include "fit/a.h"'),
    ("fit/a.cc", "#include <ceres/ceres.h>"),
    ("fit/a.h", "#include <Eigen/Core>"),
    ("fit/a.h", "#include <ceres/jet.h>"),
    ("tracker/a.h", "#include <opencv2/core.hpp>"),
    ("tracker/a.cc", "#include <libavformat/avformat.h>"),
    ("report/a.cc", '#include "study/a.h"'),
    ("app/a.cc", '#include "report/a.h"'),
    ("sample-clips/render/a.cc", '#include "core/json_file.h"'),
    ("tests/fit/a.cc", '#include "sample-clips/render/a.h"'),
    ("core/a.cc", '// #include "app/a.h"'),
]
BAD = [
    ("core/a.cc", '#include "tracker/a.h"'),
    ("core/a.h", '# include "app/a.h"'),
    ("tracker/a.cc", '#include "calibrate/a.h"'),
    ("calibrate/a.cc", '#include "tracker/a.h"'),
    ("fit/a.cc", '#include "study/a.h"'),
    ("study/a.cc", '#include "report/a.h"'),
    ("report/a.cc", '#include "app/a.h"'),
    ("app/a.cc", '#include "tests/support/a.h"'),
    ("fit/a.cc", '#include "a.h"'),
    ("fit/a.cc", '#include "../core/error.h"'),
    ("sample-clips/render/a.cc", '#include "fit/flight_model.h"'),
    ("fit/a.cc", "#include <opencv2/core.hpp>"),
    ("core/a.cc", "#include <opencv2/core.hpp>"),
    ("app/a.cc", "#include <opencv2/core.hpp>"),
    ("tracker/a.cc", "#include <ceres/ceres.h>"),
    ("app/a.cc", "#include <libswscale/swscale.h>"),
]


class RoomOrderTest(unittest.TestCase):
    def found_among(self, files):
        with tempfile.TemporaryDirectory() as folder:
            for name, text in files.items():
                path = pathlib.Path(folder) / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(text, encoding="utf-8")
            return room_order.check_tree(pathlib.Path(folder))

    def found(self, name, text):
        return self.found_among({name: text})

    def test_good_includes_pass(self):
        for name, line in GOOD:
            self.assertEqual(self.found(name, HEAD + line + "\n"), [], line)

    def test_bad_includes_are_named_with_file_and_line(self):
        for name, line in BAD:
            found = self.found(name, HEAD + line + "\n")
            self.assertEqual(len(found), 1, f"{name}: {line}")
            self.assertTrue(found[0].startswith(f"{name}:3: "), found[0])

    def test_headers_that_show_libav_stay_in_their_room(self):
        files = {
            "tracker/handles.h": HEAD + "#include <libavutil/frame.h>\n",
            "tracker/reader.h": HEAD + '#include "tracker/handles.h"\n',
            "tracker/reader.cc": HEAD + '#include "tracker/reader.h"\n',
            "tracker/front.h": HEAD + "#include <opencv2/core.hpp>\n",
            "fit/fit.cc": HEAD + '#include "tracker/front.h"\n',
            "tests/tracker/reader_test.cc": HEAD + '#include "tracker/reader.h"\n',
        }
        self.assertEqual(self.found_among(files), [])
        files["report/clip.cc"] = HEAD + '#include "core/error.h"\n#include "tracker/reader.h"\n'
        found = self.found_among(files)
        self.assertEqual(len(found), 1)
        self.assertTrue(found[0].startswith("report/clip.cc:4: "), found[0])

    def test_missing_heads_are_found(self):
        self.assertEqual(len(self.found("core/a.cc", "int x;\n")), 1)
        self.assertEqual(len(self.found("core/a.h", "// SPDX-License-Identifier: Apache-2.0\nint x;\n")), 1)
        self.assertEqual(len(self.found("core/a.cc", "")), 1)


if __name__ == "__main__":
    unittest.main()
