#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""doc_links.py finds what it is there to find."""

import pathlib
import sys
import tempfile
import unittest

from doc_links import wrong_links


class DocLinks(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.root = pathlib.Path(folder.name).resolve()
        (self.root / "docs" / "page").mkdir(parents=True)
        (self.root / "README.md").write_text("[guide](docs/guide.md#1-clip)", encoding="utf-8")
        (self.root / "DEVELOPERS.md").write_text("`[no](link.md)`\n\n    [nor](this.md)\n", encoding="utf-8")
        (self.root / "docs" / "guide.md").write_text("# Guide\n## 1. Clip\n![it](page/a.png) [up](../README.md) [here](#guide)", encoding="utf-8")
        (self.root / "docs" / "page" / "a.png").write_bytes(b"")

    def test_nothing_where_all_is_well(self):
        self.assertEqual(wrong_links(self.root), [])

    def test_missing_file(self):
        (self.root / "docs" / "page" / "a.png").unlink()
        self.assertEqual(wrong_links(self.root), ["docs/guide.md: there is no page/a.png"])

    def test_missing_heading(self):
        (self.root / "README.md").write_text("[guide](docs/guide.md#2-clip)", encoding="utf-8")
        self.assertEqual(wrong_links(self.root), ["README.md: docs/guide.md has no heading #2-clip"])

    def test_picture_that_nothing_shows(self):
        (self.root / "docs" / "page" / "b.png").write_bytes(b"")
        self.assertEqual(wrong_links(self.root), ["docs/page/b.png: no document shows it"])


if __name__ == "__main__":
    sys.exit(0 if unittest.main(exit=False).result.wasSuccessful() else 1)
