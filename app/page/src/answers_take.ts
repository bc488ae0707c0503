// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Printing the report and taking the files away; the clip with the path drawn in is made when it is asked for.
import { fileUrl } from "./api.ts";
import type { Answers, FileEntry } from "./api.ts";
import { section } from "./answers_sections.ts";
import { announce, h, replace } from "./dom.ts";
import { jobProgress } from "./job_progress.ts";
import type { Part } from "./part.ts";
import { isRunning } from "./sheet.ts";
import type { SheetState } from "./sheet.ts";
import { number, words } from "./words/index.ts";

const printAfter_ms = 400; // the report draws its plots once it is loaded

// The report in a frame of its own, out of sight, so that the browser prints it and not the page around it.
function printReport(url: string, tell: (text: string) => void): void {
  document.querySelector("iframe.for-print")?.remove();
  const inNewTab = (): void => {
    const opened = window.open(url, "_blank");
    tell(opened ? words.answers.printOpened : words.answers.printBlocked);
  };
  const frame = h("iframe", { class: "for-print", title: words.answers.print, tabindex: "-1", "aria-hidden": "true", src: url });
  frame.addEventListener("load", () => {
    window.setTimeout(() => {
      try {
        const inside = frame.contentWindow;
        if (!inside || !inside.document.querySelector("main")) throw new Error("no report");
        inside.focus();
        inside.print();
        tell("");
      } catch {
        inNewTab(); // a browser that keeps frames from being looked into or printed
      }
    }, printAfter_ms);
  });
  frame.addEventListener("error", inNewTab);
  document.body.append(frame);
}

function sizeText(bytes: number): string {
  if (bytes < 1e6) return `${number(Math.max(1, bytes / 1e3))} kB`;
  return `${number(bytes / 1e6, 1)} MB`;
}

const order: FileEntry["kind"][] = ["report", "picture", "overlay", "result", "track", "survey", "motion"];

function fileRow(id: string, file: FileEntry): HTMLElement {
  return h("li", { "data-kind": file.kind },
    h("a", { href: fileUrl(id, file.name, true), download: file.name, "aria-label": words.answers.download(file.name) }, file.name),
    " ", h("span", { class: "hint" }, `${words.answers.bytes(sizeText(file.bytes))} ${words.answers.fileKind[file.kind] ?? ""}`));
}

// Outlives a redrawing of the answers, which measuring may bring about.
const measuringFirst = new WeakMap<SheetState, "running" | "done">();

export function takeSection(sheet: SheetState, answers: Answers): Part {
  const report = answers.files.find((file) => file.kind === "report");
  const told = h("p", { class: "hint", role: "status" });
  const list = h("ul", { class: "files" });
  // A program that was started anew has forgotten the frames: it is measured once more then, and the clip made after that.
  const make = h("button", {
    type: "button", class: "make-overlay",
    onclick: () => {
      measuringFirst.delete(sheet);
      void sheet.overlay();
    },
  }, words.answers.overlayMake);
  const goOn = (): void => {
    const { job } = sheet;
    const before = measuringFirst.get(sheet);
    if (!before && job?.kind === "overlay" && job.state === "failed" && job.error?.code === "not-measured") {
      measuringFirst.set(sheet, "running");
      void sheet.measure();
    } else if (before === "running" && job?.kind === "measure" && job.state !== "running" && job.state !== "waiting") {
      measuringFirst.set(sheet, "done");
      if (job.state === "done") void sheet.overlay();
    }
  };
  const making = h("div", { class: "overlay-making" }, make, h("p", { class: "hint" }, words.answers.overlaySaid));
  const progress = jobProgress(sheet, "overlay", {
    running: words.answers.overlayRunning, failed: words.answers.overlayFailed, cancelled: words.answers.overlayCancelled,
  });

  const showFiles = (): void => {
    const files = [...(sheet.answers ?? answers).files].sort((a, b) => order.indexOf(a.kind) - order.indexOf(b.kind));
    const hadOverlay = list.querySelector('[data-kind="overlay"]') !== null;
    const hasOverlay = files.some((file) => file.kind === "overlay");
    replace(list, ...files.map((file) => fileRow(sheet.id, file)));
    making.hidden = hasOverlay || answers.verdict === "refused" || isRunning(sheet.job);
    if (hasOverlay && !hadOverlay && list.dataset["shown"]) announce(words.answers.overlayDone);
    list.dataset["shown"] = "yes";
  };
  const print = (): void => {
    if (!report) return;
    told.textContent = words.answers.printing;
    printReport(fileUrl(sheet.id, report.name), (text) => { told.textContent = text; });
  };
  const printing = report
    ? h("div", {},
      h("p", { class: "row" },
        h("button", { type: "button", class: "press print", onclick: print }, words.answers.print),
        h("a", { href: fileUrl(sheet.id, report.name), target: "_blank", rel: "noopener" }, words.answers.open)),
      told, h("p", { class: "hint" }, words.answers.printSaid))
    : h("p", { class: "hint" }, words.answers.noReport);
  showFiles();
  const element = section("take", words.answers.take, printing, h("h4", {}, words.answers.files), list, making, progress.element);
  const end = sheet.subscribe((topic) => {
    if (topic === "job") goOn();
    if (topic === "job" || topic === "measured") showFiles();
  });
  return {
    element,
    close() {
      end();
      progress.close();
    },
  };
}
