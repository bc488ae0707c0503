// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// How days and files are called on the page.
import { words } from "./words/index.ts";

// A day's name from that of a file: "ebbing_hollow.csv" to "ebbing_hollow", or with a number where that is taken.
export function nameFor(file: string, days: readonly { name: string }[]): string {
  const stem = (file.split("/").pop() ?? "").replace(/\.[^.]*$/, "").replace(/[^\p{L}\p{N} _-]+/gu, " ").trim().replace(/^[ _-]+/, "").slice(0, 50).trim();
  const base = stem === "" || stem.toLowerCase() === "day" ? words.day.someDay : stem;
  const taken = new Set(days.map((day) => day.name));
  for (let number = 1; ; number += 1) {
    const name = number === 1 ? base : `${base} ${number}`;
    if (!taken.has(name)) return name;
  }
}

// A file by its bare name; with its folder where another of LIKE is called the same.
export function shortName(path: string, like: readonly string[], ending = ""): string {
  const bare = (one: string): string => (one.split("/").pop() ?? one);
  const name = like.filter((one) => bare(one) === bare(path)).length > 1 ? path : bare(path);
  return name.endsWith(ending) ? name.slice(0, name.length - ending.length) : name;
}
