#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""What a browser loads to show the page, compressed, must stay small: page_size.py LIMIT_BYTES FILE...

A text that a browser would refuse under the page's content security policy (an inline script or style) is found too.
"""
import gzip
import pathlib
import re
import sys


def compressed_bytes(paths):
    """Sum of the files' sizes after gzip, as a server would send them."""
    return sum(len(gzip.compress(path.read_bytes(), 9)) for path in paths)


def inline_parts(html):
    """Inline scripts, style sheets, style attributes and event handlers of an HTML text."""
    found = re.findall(r"<script(?![^>]*\bsrc=)[^>]*>", html)
    return found + re.findall(r"<style[^>]*>|<[a-z][^>]*\s(?:style|on[a-z]+)=", html)


def main():
    limit, paths = int(sys.argv[1]), [pathlib.Path(name) for name in sys.argv[2:]]
    trouble = []
    for path in paths:
        if path.suffix == ".html":
            trouble += [f"{path.name}: the page's own policy forbids {part}" for part in inline_parts(path.read_text("utf-8"))]
    size = compressed_bytes(paths)
    print(f"the page is {size} bytes compressed, of {limit} allowed")
    if size > limit:
        trouble.append(f"the page is {size - limit} bytes too large")
    print("\n".join(trouble))
    return 1 if trouble else 0


if __name__ == "__main__":
    sys.exit(main())
