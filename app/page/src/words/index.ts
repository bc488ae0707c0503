// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// All strings of the page, in two languages. English is the pattern: a key that German lacks, or has too many, does not
// compile. `words` is read whenever something is drawn; a change of language draws the whole page again.

import { de } from "./de/index.ts";
import { en } from "./en/index.ts";

export type Language = "en" | "de";

// The shape of a catalogue: the same keys; a string for a string, and for a function one of the same arguments.
export type Like<T> = {
  [K in keyof T]: T[K] extends (...args: infer A) => string ? (...args: A) => string
    : T[K] extends string ? string : Like<T[K]>;
};
export type Words = Like<typeof en>;

const catalogues: Record<Language, Words> = { en, de };
export const languages: readonly { code: Language; name: string }[] = [
  { code: "en", name: "English" }, { code: "de", name: "Deutsch" },
];
const storageKey = "loftline-language";

export let words: Words = en;
export let language: Language = "en";

function remembered(): string | null {
  try {
    return window.localStorage.getItem(storageKey);
  } catch {
    return null;
  }
}

export function useLanguage(code: Language, remember: boolean): void {
  language = code;
  words = catalogues[code];
  document.documentElement.lang = code;
  if (!remember) return;
  try {
    window.localStorage.setItem(storageKey, code);
  } catch {
    // a browser that keeps nothing: the choice holds until the page is closed
  }
}

// The language chosen before, else the first of the browser's that we have.
export function startLanguage(): void {
  const wanted = [remembered() ?? "", ...navigator.languages].map((tag) => tag.slice(0, 2).toLowerCase());
  const found = wanted.find((tag): tag is Language => tag in catalogues);
  useLanguage(found ?? "en", false);
}

export const number = (value: number, digits = 0): string =>
  value.toLocaleString(language, { minimumFractionDigits: digits, maximumFractionDigits: digits });
