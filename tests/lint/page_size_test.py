#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""page_size.py must fail on a page that is too large, and on one that a browser would not run."""
import pathlib
import random
import subprocess
import sys
import tempfile
import unittest

CHECK = pathlib.Path(__file__).with_name("page_size.py")


def run(limit, **files):
    with tempfile.TemporaryDirectory() as folder:
        paths = []
        for name, text in files.items():
            path = pathlib.Path(folder) / name.replace("_", ".")
            path.write_text(text, "utf-8")
            paths.append(str(path))
        return subprocess.run([sys.executable, str(CHECK), str(limit), *paths], capture_output=True, text=True)


class PageSize(unittest.TestCase):
    def test_passes_what_is_small(self):
        self.assertEqual(run(1000, index_html='<script src="/page/app.js"></script>').returncode, 0)

    def test_finds_what_is_too_large(self):
        noise = "".join(random.Random("page").choices("abcdefghijklmnop", k=20000))
        done = run(1000, app_js=noise)
        self.assertEqual(done.returncode, 1)
        self.assertIn("too large", done.stdout)

    def test_counts_compressed(self):
        self.assertEqual(run(1000, app_js="x" * 20000).returncode, 0)

    def test_finds_inline_script_and_style(self):
        for text in ("<script>go()</script>", "<style>p{}</style>", '<p style="color:red">', '<p onclick="go()">'):
            self.assertEqual(run(1000, index_html=text).returncode, 1, text)


if __name__ == "__main__":
    unittest.main()
