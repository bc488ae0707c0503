# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""Checks a report page: tags that close in order, no outside resource, and what screen readers need.

Usage: check_page.py [--beside] PAGE. Prints every fault; exit status 1 where there is one. With --beside, links and
pictures may point to files beside the page (below its own folder), but nowhere else.
"""
import re
import sys
from html.parser import HTMLParser

VOID = {"meta", "img", "br", "hr", "link", "input", "source", "col"}
LOADING = {"src", "href", "srcset", "data", "action", "poster", "background", "xlink:href"}


BESIDE = {("a", "href"), ("img", "src")}


def is_beside(address):
    return re.fullmatch(r"[A-Za-z0-9._~%-]+(/+[A-Za-z0-9._~%-]+)*", address) and ".." not in address.split("/")


class Page(HTMLParser):
    def __init__(self, beside):
        super().__init__(convert_charrefs=True)
        self.beside = beside
        self.open, self.faults, self.ids, self.labels, self.headings = [], [], [], [], []
        self.raw = {"script": "", "style": ""}
        self.scripts_of_kind = []

    def fault(self, text):
        self.faults.append(f"line {self.getpos()[0]}: {text}")

    def handle_starttag(self, tag, attrs):
        values = dict(attrs)
        if len(values) != len(attrs):
            self.fault(f"<{tag}> has an attribute twice")
        if tag not in VOID:
            self.open.append(tag)
        self.look(tag, values)

    def handle_startendtag(self, tag, attrs):
        self.look(tag, dict(attrs))

    def handle_endtag(self, tag):
        if not self.open or self.open[-1] != tag:
            self.fault(f"</{tag}> closes {self.open[-1:] or 'nothing'}")
        else:
            self.open.pop()

    def handle_data(self, data):
        if self.open and self.open[-1] in self.raw:
            self.raw[self.open[-1]] += data

    def look(self, tag, values):
        for name, value in values.items():
            allowed = (value or "").startswith(("data:image/", "#"))
            allowed = allowed or self.beside and (tag, name) in BESIDE and is_beside(value or "")
            if name in LOADING and not allowed:
                self.fault(f"<{tag} {name}> loads {value!r}")
            if name.startswith("on"):
                self.fault(f"<{tag} {name}> is a handler in an attribute")
        if "id" in values:
            self.ids.append(values["id"])
        if "aria-labelledby" in values:
            self.labels.append(values["aria-labelledby"])
        if tag == "html" and not values.get("lang"):
            self.fault("<html> has no lang")
        if tag == "img" and not values.get("alt"):
            self.fault("<img> has no alt text")
        if tag == "svg" and "aria-hidden" not in values and not values.get("aria-label"):
            self.fault("<svg> has neither a label nor aria-hidden")
        if tag == "th" and "scope" not in values:
            self.fault("<th> has no scope")
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))


def main():
    with open(sys.argv[-1], encoding="utf-8") as file:
        text = file.read()
    page = Page(beside="--beside" in sys.argv[1:-1])
    page.feed(text)
    page.close()
    if page.open:
        page.fault(f"never closed: {page.open}")
    if not text.startswith("<!DOCTYPE html>"):
        page.fault("no doctype")
    if len(set(page.ids)) != len(page.ids):
        page.fault("an id stands twice")
    page.faults += [f"no element has the id {label}" for label in page.labels if label not in page.ids]
    if page.headings.count(1) != 1:
        page.fault("there is not exactly one <h1>")
    page.faults += [f"<h{b}> follows <h{a}>" for a, b in zip(page.headings, page.headings[1:]) if b > a + 1]
    for found in re.findall(r"@import|url\((?!data:)[^)]*\)", page.raw["style"]):
        page.fault(f"the style sheet loads {found}")
    for found in re.findall(r"\bfetch\(|XMLHttpRequest|WebSocket|EventSource|sendBeacon|\bimport\(", page.raw["script"]):
        page.fault(f"a script uses {found}")
    if "default-src 'none'" not in text:
        page.fault("no content security policy")
    print("\n".join(page.faults))
    return 1 if page.faults else 0


sys.exit(main())
