// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The text of a PDF that Chromium wrote, as a reader would copy it: streams inflated, glyphs turned into letters by each
// font's ToUnicode table (ISO 32000-1, 9.10.3). For the plain objects that Chromium writes; not for PDFs of any kind.

import { inflateSync } from "node:zlib";

function objectsOf(bytes) {
  const text = bytes.toString("latin1");
  const objects = new Map();
  for (const start of text.matchAll(/(?:^|\n)(\d+) 0 obj\s/g)) {
    const from = start.index + start[0].length;
    const body = text.slice(from, text.indexOf("endobj", from));
    const stream = /stream\r?\n/.exec(body);
    const length = stream ? Number(/\/Length (\d+)/.exec(body.slice(0, stream.index))?.[1]) : 0;
    const begin = stream ? from + stream.index + stream[0].length : 0;
    objects.set(Number(start[1]), {
      dictionary: stream ? body.slice(0, stream.index) : body,
      data: () => (/\/FlateDecode/.test(body.slice(0, stream.index)) ? inflateSync(bytes.subarray(begin, begin + length)) : bytes.subarray(begin, begin + length)).toString("latin1"),
    });
  }
  return objects;
}

const fromUtf16 = (hex) => Buffer.from(hex, "hex").swap16().toString("utf16le");

// Glyph number to letters.
function readToUnicode(cmap) {
  const letters = new Map();
  for (const [, block] of cmap.matchAll(/beginbfchar([^]*?)endbfchar/g)) {
    for (const [, glyph, hex] of block.matchAll(/<(\w+)>\s*<(\w+)>/g)) letters.set(parseInt(glyph, 16), fromUtf16(hex));
  }
  for (const [, block] of cmap.matchAll(/beginbfrange([^]*?)endbfrange/g)) {
    for (const [, low, high, hex] of block.matchAll(/<(\w+)>\s*<(\w+)>\s*<(\w+)>/g)) {
      const [from, to, first] = [low, high, hex].map((number) => parseInt(number, 16));
      for (let glyph = from; glyph <= to; glyph += 1) letters.set(glyph, String.fromCodePoint(first + glyph - from));
    }
    for (const [, low, list] of block.matchAll(/<(\w+)>\s*<\w+>\s*\[([^\]]*)\]/g)) {
      [...list.matchAll(/<(\w+)>/g)].forEach(([, hex], at) => letters.set(parseInt(low, 16) + at, fromUtf16(hex)));
    }
  }
  return letters;
}

function fontsOf(objects, page) {
  const fonts = new Map();
  const resources = /\/Font\s*<<([^>]*)>>/.exec(page.dictionary)?.[1] ?? "";
  for (const [, name, number] of resources.matchAll(/\/(\w+) (\d+) 0 R/g)) {
    const table = /\/ToUnicode (\d+) 0 R/.exec(objects.get(Number(number)).dictionary);
    fonts.set(name, table ? readToUnicode(objects.get(Number(table[1])).data()) : new Map());
  }
  return fonts;
}

function shownText(content, fonts) {
  let font = new Map();
  let text = "";
  for (const [piece, name, hex, end] of content.matchAll(/\/(\w+) [\d.]+ Tf|<([\da-fA-F]+)>|\b(ET)\b/g)) {
    if (name !== undefined) font = fonts.get(name) ?? font;
    else if (end !== undefined) text += "\n";
    else for (const [glyph] of hex.matchAll(/.{4}/g)) text += font.get(parseInt(glyph, 16)) ?? (piece ? "\ufffd" : "");
  }
  return text;
}

// One string for each sheet.
export function pdfPages(bytes) {
  const objects = objectsOf(bytes);
  const pages = [...objects.values()].filter((one) => /\/Type \/Page\b/.test(one.dictionary));
  return pages.map((page) => {
    const contents = [...(/\/Contents (?:\[([^\]]*)\]|(\d+ 0 R))/.exec(page.dictionary) ?? []).slice(1).join(" ").matchAll(/(\d+) 0 R/g)];
    const fonts = fontsOf(objects, page);
    return contents.map(([, number]) => shownText(objects.get(Number(number)).data(), fonts)).join("\n");
  });
}
