// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A place that a CSV file is dropped on, or chosen for.
import { h } from "./dom.ts";
import { words } from "./words/index.ts";

const largest_bytes = 4_000_000;

// What is wrong with a file before it is sent: a clip dropped on a table's place, say.
export function whyNoTable(file: File): string | null {
  if (file.size > largest_bytes) return words.day.tableTooLarge(file.name);
  if (/^(video|image|audio)\//.test(file.type)) return words.day.noTable(file.name);
  return null;
}

export function csvDrop(title: string | null, hint: string, button: string, take: (file: File) => void): HTMLElement {
  const problem = h("p", { class: "field-problem", role: "alert" });
  const taken = (file: File | undefined): void => {
    if (!file) return;
    const why = whyNoTable(file);
    problem.textContent = why ?? "";
    if (why === null) take(file);
  };
  const input = h("input", {
    type: "file", hidden: true, accept: ".csv,.txt,.tsv,text/csv,text/plain",
    onchange: () => {
      taken(input.files?.[0]);
      input.value = "";
    },
  });
  const carriesFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes("Files") ?? false;
  const element = h("div", {
    class: "drop csv-drop",
    ondragover: (event) => {
      if (!carriesFiles(event)) return;
      event.preventDefault();
      element.classList.add("over");
    },
    ondragleave: (event) => {
      if (!(event.relatedTarget instanceof Node && element.contains(event.relatedTarget))) element.classList.remove("over");
    },
    ondrop: (event) => {
      event.preventDefault();
      element.classList.remove("over");
      taken(event.dataTransfer?.files[0]);
    },
  }, title === null ? null : h("h3", {}, title), h("p", { class: "hint" }, hint),
  h("button", { type: "button", onclick: () => input.click() }, button), input, problem);
  return element;
}

// A file that misses its place must not take the page away.
export function keepMissedFiles(): () => void {
  const keep = (event: DragEvent): void => {
    if (event.dataTransfer?.types.includes("Files")) event.preventDefault();
  };
  document.addEventListener("dragover", keep);
  document.addEventListener("drop", keep);
  return () => {
    document.removeEventListener("dragover", keep);
    document.removeEventListener("drop", keep);
  };
}
