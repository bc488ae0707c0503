// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A place to bring clips to: dropped anywhere on the page, or chosen. Each is sent in turn, with its progress, and can be
// stopped.

import { troubleOf, uploadClip, wasAborted } from "./api.ts";
import type { Upload } from "./api.ts";
import { announce, h, replace } from "./dom.ts";
import { troubleBox } from "./trouble.ts";
import { number, words } from "./words/index.ts";

interface DropEvents {
  onOne: (id: string) => void; // a single clip has arrived
  onMany: () => void; // several have, or some of several
}

export function clipDrop(limit_bytes: number, events: DropEvents): { element: HTMLElement; close: () => void } {
  const said = words.clip;
  const report = h("div", { class: "drop-report" });
  const input = h("input", {
    type: "file", hidden: true, multiple: true, accept: "video/*,.mp4,.mov,.m4v,.mkv,.avi,.3gp,.ts",
    onchange: () => {
      void send([...(input.files ?? [])]);
      input.value = "";
    },
  });
  const choose = h("button", { type: "button", class: "press", onclick: () => input.click() }, said.choose);
  const element = h("div", { class: "drop" }, h("h3", {}, said.bring), h("p", {}, said.drop), choose, input,
    h("p", { class: "hint" }, said.privacy), report);
  let running: Upload | null = null;

  const sendOne = async (file: File): Promise<string | null> => {
    if (file.size > limit_bytes) {
      const limit = number(limit_bytes / 1e9, 1);
      report.append(troubleBox({ code: "too-large", message: said.tooLarge(file.name, limit), advice: said.tooLargeAdvice }));
      return null;
    }
    const bar = h("progress", { max: 1, value: 0, "aria-label": said.sending(file.name) });
    const told = h("span", {}, said.sending(file.name));
    const stop = h("button", { type: "button", class: "small", onclick: () => running?.cancel() }, said.stop);
    const line = h("div", { class: "sending" }, told, bar, stop);
    report.append(line);
    announce(said.sending(file.name));
    running = uploadClip(file, (fraction) => {
      bar.value = fraction;
      told.textContent = fraction < 1 ? said.sent(file.name, number(fraction * 100)) : said.looking(file.name);
    });
    try {
      return (await running.done).id;
    } catch (error) {
      report.append(wasAborted(error) ? h("p", { role: "status" }, said.stopped(file.name))
        : h("div", {}, h("p", { class: "sent-file" }, file.name), troubleBox(troubleOf(error))));
      return null;
    } finally {
      running = null;
      line.remove();
    }
  };
  const send = async (files: File[]): Promise<void> => {
    if (files.length === 0 || running) return;
    replace(report);
    choose.disabled = true;
    const ids: string[] = [];
    for (const file of files) {
      const id = await sendOne(file);
      if (id !== null) ids.push(id);
    }
    choose.disabled = false;
    const [only] = ids;
    if (files.length === 1 && only !== undefined) events.onOne(only);
    else if (ids.length > 0) events.onMany();
  };

  const over = (event: DragEvent): void => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    element.classList.add("over");
  };
  const leave = (event: DragEvent): void => {
    if (event.relatedTarget === null) element.classList.remove("over");
  };
  const dropped = (event: DragEvent): void => {
    event.preventDefault();
    element.classList.remove("over");
    void send([...(event.dataTransfer?.files ?? [])]);
  };
  document.addEventListener("dragover", over);
  document.addEventListener("dragleave", leave);
  document.addEventListener("drop", dropped);
  return {
    element,
    close() {
      running?.cancel();
      document.removeEventListener("dragover", over);
      document.removeEventListener("dragleave", leave);
      document.removeEventListener("drop", dropped);
    },
  };
}
