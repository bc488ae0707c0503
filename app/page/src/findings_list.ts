// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Findings, as the report shows them: what, and what to do.
import type { Finding } from "./api.ts";
import { h } from "./dom.ts";
import { words } from "./words/index.ts";

export function findingsList(findings: readonly Finding[]): HTMLElement {
  return h("div", { class: "findings" }, h("ul", {}, ...findings.map((finding) =>
    h("li", { class: finding.severity },
      h("strong", {}, `${words.clip.severities[finding.severity]}: `), finding.message,
      finding.advice ? h("span", { class: "advice" }, ` ${finding.advice}`) : null))));
}
