// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What went wrong, on the page: what, and what to do.
import type { Trouble } from "./api.ts";
import { h } from "./dom.ts";
import type { Child } from "./dom.ts";
import { codeWords, english, saidOf } from "./local.ts";
import { language, words } from "./words/index.ts";

// The two sentences of what the program cannot say itself; null where it has said it.
function ownWords(trouble: Trouble): { message: string; advice: string } | null {
  const page = words.page;
  if (trouble.code === "no-answer") return { message: page.noAnswer, advice: page.noAnswerAdvice };
  if (trouble.code === "changed-elsewhere") return { message: page.changedElsewhere, advice: page.changedElsewhereAdvice };
  if (trouble.message !== "") return null;
  if (trouble.code === "http-401" || trouble.code === "http-403") return { message: page.noEntry, advice: page.noEntryAdvice };
  return { message: page.strange(trouble.code), advice: page.strangeAdvice };
}

function content(trouble: Trouble): Child[] {
  const own = ownWords(trouble);
  if (own) return [h("p", {}, h("strong", {}, own.message)), own.advice ? h("p", {}, own.advice) : null];
  const title = language === "en" ? null : codeWords(trouble.code)?.title;
  if (title) return [h("p", {}, h("strong", {}, title)), ...saidOf(trouble)];
  return [h("p", {}, h("strong", {}, english(trouble.message))), trouble.advice ? h("p", {}, english(trouble.advice)) : null];
}

export function troubleBox(trouble: Trouble, actions: HTMLElement[] = []): HTMLElement {
  return h("div", { class: "trouble", role: "alert", "data-code": trouble.code }, ...content(trouble),
    actions.length > 0 ? h("p", { class: "row" }, ...actions) : null);
}
