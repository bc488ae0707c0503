// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What went wrong, on the page: what, and what to do.
import type { Trouble } from "./api.ts";
import { h } from "./dom.ts";
import { words } from "./words/index.ts";

// The two sentences of a trouble: the program's own where it has some, ours for what it cannot say itself.
export function troubleWords(trouble: Trouble): { message: string; advice: string } {
  const page = words.page;
  if (trouble.code === "no-answer") return { message: page.noAnswer, advice: page.noAnswerAdvice };
  if (trouble.code === "changed-elsewhere") return { message: page.changedElsewhere, advice: page.changedElsewhereAdvice };
  if (trouble.message !== "") return { message: trouble.message, advice: trouble.advice };
  if (trouble.code === "http-401" || trouble.code === "http-403") return { message: page.noEntry, advice: page.noEntryAdvice };
  return { message: page.strange(trouble.code), advice: page.strangeAdvice };
}

export function troubleBox(trouble: Trouble, actions: HTMLElement[] = []): HTMLElement {
  const { message, advice } = troubleWords(trouble);
  return h("div", { class: "trouble", role: "alert" },
    h("p", {}, h("strong", {}, message)), advice ? h("p", {}, advice) : null,
    actions.length > 0 ? h("p", { class: "row" }, ...actions) : null);
}
