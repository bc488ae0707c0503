// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What part 4 says: verdict, findings, numbers, what to do better, what was assumed, safety. The looks are the report's.
import { fileUrl } from "./api.ts";
import type { Answer, Answers } from "./api.ts";
import { percentText } from "./answers_budget.ts";
import { h, replace, uniqueId } from "./dom.ts";
import { findingItem, localAssumed, localNumber, said, withUnit } from "./local.ts";
import { words } from "./words/index.ts";

export function section(className: string, title: string, ...content: (HTMLElement | null)[]): HTMLElement {
  const id = uniqueId(className);
  return h("section", { class: className, "aria-labelledby": id }, h("h3", { id }, title), ...content);
}

export function verdictSection(answers: Answers): HTMLElement {
  const sentence = words.answers.verdictSentence(answers.verdict, answers.positions, answers.verdict_sentence);
  return h("p", { class: `verdict ${answers.verdict}`, "data-verdict": answers.verdict },
    h("strong", {}, said(answers.verdict_title), "."), " ", sentence);
}

export function findingsSection(answers: Answers): HTMLElement | null {
  if (answers.findings.length === 0) return null;
  return section("findings", words.answers.findings, h("ul", {}, ...answers.findings.map(findingItem)));
}

function numberOf(answer: Answer): HTMLElement[] {
  const { text } = answer;
  if (!text) return [h("p", { class: "value absent" }, words.answers.notKnown)];
  const unit = answer.unit === "" ? null : h("span", { class: "unit" }, answer.unit === "°" ? "°" : ` ${answer.unit}`);
  return [
    h("p", { class: "value" }, h("span", { class: "number" }, localNumber(text.value)), unit),
    h("p", { class: "spread" }, withUnit(localNumber(text.plus_minus), answer.unit), " ",
      h("span", { class: "range" }, words.answers.range95(localNumber(text.low), localNumber(text.high)))),
  ];
}

function answerBox(answer: Answer): HTMLElement {
  const sentence = words.answers.sentence(answer.key, answer.facts ?? {}, answer.sentence);
  return h("div", { class: answer.main ? "answer main" : "answer", "data-key": answer.key },
    h("h4", {}, said(answer.label)), ...numberOf(answer), h("p", { class: "meaning" }, sentence));
}

export function numbersSection(answers: Answers): HTMLElement | null {
  if (!answers.answers.some((answer) => answer.text !== null)) return null;
  const main = answers.answers.filter((answer) => answer.main);
  const further = answers.answers.filter((answer) => !answer.main);
  return section("answers", words.answers.numbers,
    h("div", { class: "main-answers" }, ...main.map(answerBox)),
    h("div", { class: "further-answers" }, ...further.map(answerBox)),
    h("p", { class: "hint" }, words.answers.meaning));
}

// `revision` keeps the browser from showing the picture of an earlier measurement.
export function pictureSection(id: string, answers: Answers, revision: number): HTMLElement | null {
  const picture = answers.files.find((file) => file.kind === "picture");
  if (!picture) return null;
  const direction = answers.direction === "left" ? words.answers.left : words.answers.right;
  const figure = h("figure", { class: "composite" });
  const image = h("img", {
    src: `${fileUrl(id, picture.name)}?of=${revision}-${picture.bytes}`,
    alt: words.answers.pictureAlt(String(answers.positions), direction),
    onerror: () => replace(figure, h("p", { class: "hint" }, words.answers.pictureGone)),
  });
  replace(figure, image, h("figcaption", { class: "hint" }, words.answers.pictureSaid));
  return section("picture", words.answers.picture, figure);
}

export function nextSection(answers: Answers): HTMLElement | null {
  if (answers.verdict === "refused") return null;
  if (answers.next_time.length === 0) return section("next-time", words.answers.next, h("p", {}, words.answers.nextNothing));
  const labelOf = (key: string): string => answers.answers.find((answer) => answer.key === key)?.label ?? key;
  const capital = (text: string): string => text.charAt(0).toLocaleUpperCase() + text.slice(1);
  const items = answers.next_time.map((next) => {
    const advice = said(next.advice);
    const quantity = said(labelOf(next.key));
    const source = said(next.source);
    const why = words.answers.nextShare(textOf(quantity), percentText(next.share));
    return h("li", {}, h("span", {}, typeof advice === "string" ? `${capital(advice)}.` : advice), " ",
      h("span", { class: "advice" }, `(${textOf(source)} ${why})`));
  });
  return section("next-time", words.answers.next, h("p", { class: "hint" }, words.answers.nextSaid), h("ol", {}, ...items));
}

const textOf = (child: ReturnType<typeof said>): string => (child instanceof Node ? child.textContent ?? "" : String(child));

export function assumedSection(answers: Answers): HTMLElement | null {
  if (answers.verdict === "refused" && answers.assumed.length === 0) return null;
  if (answers.assumed.length === 0) {
    return section("what-assumed", words.answers.assumed, h("p", {}, words.answers.assumedNothing));
  }
  const rows = answers.assumed.map(localAssumed).map(({ what, value }) =>
    h("tr", {}, h("th", { scope: "row" }, what), h("td", {}, value)));
  return section("what-assumed", words.answers.assumed,
    h("table", {}, h("thead", { class: "quiet" }, h("tr", {},
      h("th", { scope: "col" }, words.answers.what), h("th", { scope: "col" }, words.answers.value))), h("tbody", {}, ...rows)),
    h("p", { class: "hint" }, words.answers.assumedSaid));
}

export const safetySection = (answers: Answers): HTMLElement =>
  section("safety", words.answers.safety, h("ul", {}, ...answers.safety.map((rule) => h("li", {}, said(rule)))));
