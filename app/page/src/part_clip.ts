// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Part 1: which clip. Before one is chosen, the list of those in the folder and a place to bring another; afterwards what
// the clip is, and what its time stamps say.

import { getClips, troubleOf } from "./api.ts";
import type { ClipEntry, ServerState } from "./api.ts";
import { clipDrop } from "./clip_drop.ts";
import { h, replace, uniqueId } from "./dom.ts";
import { findingsList } from "./findings_list.ts";
import { partShell } from "./part.ts";
import type { Part } from "./part.ts";
import type { SheetState } from "./sheet.ts";
import { troubleBox } from "./trouble.ts";
import { language, number, words } from "./words/index.ts";

const filterFrom = 10; // so many clips get a field to find one among them

export function partClip(sheet: SheetState | null, server: ServerState): Part {
  const shell = partShell(1, words.page.partTitles.clip);
  shell.waitFor(null);
  const end = sheet ? showChosen(shell.body, sheet) : showChoice(shell.body, server);
  return { element: shell.element, close: end };
}

const row = (name: string, ...value: (Node | string)[]): HTMLElement =>
  h("div", {}, h("dt", {}, name), h("dd", {}, ...value));

function showChosen(body: HTMLElement, sheet: SheetState): () => void {
  const { clip } = sheet;
  const said = words.clip;
  const turned = clip.rotation_deg !== 0 ? ` · ${said.turned(clip.rotation_deg)}` : "";
  const rate = clip.capture_rate_hz !== null && Math.abs(clip.capture_rate_hz - clip.stored_rate_hz) > 0.5
    ? said.slowMotion(number(clip.stored_rate_hz, 1), number(clip.capture_rate_hz, 1))
    : said.perSecond(number(clip.stored_rate_hz, 1));
  body.append(
    h("dl", { class: "facts" },
      row(said.duration, said.seconds(number(clip.duration_s, 2))),
      row(said.frames, number(clip.frames)),
      row(said.rate, rate),
      row(said.size, `${clip.width_px} × ${clip.height_px} px${turned}`)),
    clip.remarks.length > 0 ? findingsList(clip.remarks) : h("p", { class: "good-line" }, said.steady),
    h("p", { class: "row" }, h("a", { href: "#/" }, said.other)));
  return () => undefined;
}

function showChoice(body: HTMLElement, server: ServerState): () => void {
  const list = h("div", { class: "clip-choice" });
  const load = async (): Promise<void> => {
    try {
      replace(list, clipList(await getClips()));
    } catch (error) {
      const again = h("button", { type: "button", onclick: () => void load() }, words.page.again);
      replace(list, troubleBox(troubleOf(error), [again]));
    }
  };
  const drop = clipDrop(server.limits.upload_bytes, {
    onOne: (id) => { location.hash = `#/sheet/${id}`; },
    onMany: () => void load(),
  });
  body.append(h("p", { class: "lead" }, words.clip.lead), h("div", { class: "clip-columns" }, list, drop.element));
  void load();
  return drop.close;
}

function clipList(clips: ClipEntry[]): HTMLElement {
  const said = words.clip;
  if (clips.length === 0) return h("p", { class: "empty" }, said.none);
  const rows = clips.map((clip) => ({ clip, element: clipRow(clip) }));
  const list = h("ul", { class: "clip-list", "aria-label": said.inFolder }, ...rows.map((one) => one.element));
  const count = h("p", { class: "hint", role: "status" });
  const box = h("div", {}, h("h3", {}, said.inFolder));
  if (clips.length >= filterFrom) {
    const id = uniqueId("find");
    const find = h("input", {
      id, type: "search", autocomplete: "off",
      oninput: () => {
        const wanted = find.value.toLowerCase();
        let left = 0;
        for (const one of rows) {
          one.element.hidden = !one.clip.path.toLowerCase().includes(wanted);
          if (!one.element.hidden) left += 1;
        }
        count.textContent = said.found(left, clips.length);
      },
    });
    box.append(h("div", { class: "field" }, h("label", { for: id }, said.find), find), count);
  }
  box.append(list);
  return box;
}

function clipRow(clip: ClipEntry): HTMLElement {
  const said = words.clip;
  const megabytes = clip.bytes / 1e6;
  const when = new Date(clip.modified_s * 1000).toLocaleString(language, { dateStyle: "medium", timeStyle: "short" });
  // where the clips lie that were brought by this page says nothing to anybody
  const folder = clip.path.includes("/") && !clip.path.startsWith("loftline-work/") ? clip.path.slice(0, clip.path.lastIndexOf("/") + 1) : "";
  const state = clip.verdict ? said.verdicts[clip.verdict] : clip.has_sheet ? said.begun : "";
  return h("li", {},
    h("a", { href: `#/sheet/${clip.id}`, class: "clip-link" },
      folder ? h("span", { class: "clip-folder" }, folder) : null, h("span", { class: "clip-name" }, clip.name)),
    h("span", { class: "clip-facts" }, `${said.megabytes(number(megabytes, megabytes < 10 ? 1 : 0))} · ${when}`),
    h("span", { class: `clip-state ${clip.verdict ?? "begun"}` }, state));
}
