// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The program speaks English. What it says in numbers and short fixed phrases is put into the page's language here, and
// what cannot be is marked as English, so that it is at least read out right.
import type { Finding, Severity } from "./api.ts";
import { h } from "./dom.ts";
import type { Child } from "./dom.ts";
import { language, words } from "./words/index.ts";

// "83.12 ± 0.10" with the language's own decimal mark. The digits stay the program's, which knows how many are worth showing.
export const localNumber = (text: string): string =>
  language === "en" ? text : text.replace(/(\d)\.(\d)/g, `$1${words.answers.decimalMark}$2`);

// A number of our own, such as a place in pixels: no separators of thousands, a true minus.
export const plainNumber = (value: number, digits: number): string => localNumber(value.toFixed(digits).replace("-", "\u2212"));

export const withUnit = (number: string, unit: string): string =>
  unit === "" ? number : unit === "°" ? `${number}°` : `${number}\u00a0${unit}`;

// A phrase of the program in the page's language; null where it has none.
export function phrase(text: string): string | null {
  if (language === "en") return text;
  return words.phrases[text] ?? null;
}

// A value of what was assumed: "65 ± 6° across the longer side".
function localValue(text: string): string {
  let said = phrase(text) ?? text;
  if (said !== text) return said;
  for (const [piece, own] of Object.entries(words.phrases)) {
    if (piece.includes(" ") && said.includes(piece)) said = said.replace(piece, own);
  }
  return localNumber(said);
}

export const localAssumed = (assumed: { what: string; value: string }): { what: string; value: string } =>
  ({ what: phrase(assumed.what) ?? assumed.what, value: localValue(assumed.value) });

// What the program says for its command line, as it is on the page.
const onPage = (text: string): string => text.replace(/\bgiven with --seed\b/g, "that you showed");

// Text of the program's for which there are no words of our own.
export const english = (text: string): HTMLElement => h("span", { lang: language === "en" ? null : "en" }, onPage(text));
export const said = (text: string): Child => phrase(text) ?? english(text);

interface CodeWords { title: string; told: string }
export const codeWords = (code: string): CodeWords | null =>
  (words.findings.codes as Record<string, CodeWords>)[code] ?? null;

const severityWord = (severity: Severity): string => words.findings[severity];

// What stands below a finding's title: the program's own sentences, or ours with the program's, which have the numbers.
export function saidOf(what: { code: string; message: string; advice: string }): Child[] {
  const own = codeWords(what.code);
  const both = [what.message, what.advice].filter((text) => text !== "").join(" ");
  if (language === "en" || !own) {
    if (both === "" && own) return [h("p", {}, own.told)];
    // Advice on the command line's options is no help here.
    const advice = own && /(^|\s)'?--[a-z]/.test(what.advice) ? own.told : what.advice;
    return [
      what.message ? h("p", {}, english(what.message)) : null,
      advice ? h("p", { class: "advice" }, english(advice)) : null,
    ];
  }
  return [
    h("p", {}, own.told),
    both === "" ? null : h("p", { class: "original" }, h("span", {}, `${words.findings.programSays} `), english(both)),
  ];
}

export function findingItem(finding: Finding): HTMLElement {
  const title = codeWords(finding.code)?.title;
  return h("li", { class: finding.severity, "data-code": finding.code },
    h("p", {}, h("strong", {}, title ? `${severityWord(finding.severity)}: ${title}.` : `${severityWord(finding.severity)}.`)),
    ...saidOf(finding));
}
