// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Findings, as the report shows them: what, and what to do.
import type { Finding } from "./api.ts";
import { h } from "./dom.ts";
import { findingItem } from "./local.ts";

export const findingsList = (findings: readonly Finding[]): HTMLElement =>
  h("div", { class: "findings" }, h("ul", {}, ...findings.map(findingItem)));
