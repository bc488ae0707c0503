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

// Files by their bare names; with the folder where two are called the same.
export function shortNames(paths: readonly string[], ending = ""): Map<string, string> {
  const bare = (path: string): string => path.split("/").pop() ?? path;
  const times = new Map<string, number>();
  for (const path of paths) times.set(bare(path), (times.get(bare(path)) ?? 0) + 1);
  return new Map(paths.map((path) => {
    const name = (times.get(bare(path)) ?? 0) > 1 ? path : bare(path);
    return [path, name.endsWith(ending) ? name.slice(0, name.length - ending.length) : name];
  }));
}
