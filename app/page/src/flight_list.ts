// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// All points as a list that the keyboard goes through: one stop of the Tab key, arrows inside (ARIA listbox pattern).
import { h, replace, uniqueId } from "./dom.ts";
import { glyphOf, glyphPicture } from "./flight_layers.ts";
import { isNotable, isPlaced } from "./flight_points.ts";
import type { ShownPoint } from "./flight_points.ts";
import { plainNumber } from "./local.ts";
import { words } from "./words/index.ts";

export interface PointListOptions {
  onChoose(frame: number): void;
  onDrop(frame: number): void;
}

export function whatIs(point: ShownPoint): string {
  const pieces = [words.flight.states[point.look]];
  if (point.uncertain) pieces.push(words.flight.uncertain);
  if (point.pending) pieces.push(words.flight.pending);
  return pieces.join(", ");
}

export class PointList {
  readonly element: HTMLElement;
  private readonly list: HTMLElement;
  private readonly only: HTMLInputElement;
  private readonly id = uniqueId("points");
  private points: readonly ShownPoint[] = [];
  private frame = -1;
  private drawn = "";

  constructor(private readonly options: PointListOptions) {
    this.list = h("div", {
      class: "point-list", role: "listbox", tabindex: "0", "aria-labelledby": `${this.id}-title`, "aria-describedby": `${this.id}-said`,
      onkeydown: (event) => this.key(event),
      onclick: (event) => this.click(event),
    });
    this.only = h("input", { type: "checkbox", onchange: () => this.redraw() });
    const { columns } = words.flight;
    this.element = h("div", { class: "points" },
      h("h4", { id: `${this.id}-title` }, words.flight.list),
      h("p", { class: "hint", id: `${this.id}-said` }, words.flight.listSaid),
      h("label", { class: "check" }, this.only, words.flight.listOnly),
      h("div", { class: "point-head", "aria-hidden": "true" },
        h("span"), h("span", {}, columns.frame), h("span", {}, columns.time), h("span", {}, columns.what),
        h("span", {}, columns.place), h("span", {}, columns.std)),
      this.list);
  }

  show(points: readonly ShownPoint[], frame: number): void {
    this.points = points;
    this.frame = frame;
    this.redraw();
  }

  focus(): void {
    this.list.focus({ preventScroll: true });
  }

  get hasFocus(): boolean {
    return document.activeElement === this.list;
  }

  private listed(): readonly ShownPoint[] {
    return this.only.checked ? this.points.filter((point) => isNotable(point) || point.frame === this.frame) : this.points;
  }

  private row(point: ShownPoint): HTMLElement {
    const place = isPlaced(point) ? `${plainNumber(point.at_px[0], 1)}; ${plainNumber(point.at_px[1], 1)}` : "–";
    const std = point.std_px === null || !isPlaced(point) ? "" : plainNumber(point.std_px, point.std_px < 1 ? 2 : 1);
    const what = whatIs(point);
    // What is read out is what is seen, with the units and commas that the columns spare.
    const quiet = (text: string): HTMLElement => h("span", { class: "quiet" }, text);
    const cell = (before: string, text: string, after: string): HTMLElement =>
      h("span", {}, text === "" ? null : quiet(before), text, text === "" ? null : quiet(after));
    const shownPlace = cell(", ", place, " px");
    if (!isPlaced(point)) shownPlace.setAttribute("aria-hidden", "true");
    return h("div", {
      class: point.pending ? "point-row pending" : "point-row", role: "option", id: `${this.id}-${point.frame}`,
      "data-frame": point.frame, "aria-selected": "false",
    }, glyphPicture(glyphOf(point)), cell(`${words.flight.columns.frame} `, String(point.frame), ", "),
      cell("", plainNumber(point.time_s, 3), " s, "), cell("", what, ""), shownPlace, cell(", ± ", std, " px"));
  }

  private redraw(): void {
    const listed = this.listed();
    const key = JSON.stringify(listed);
    if (key !== this.drawn) {
      this.drawn = key;
      const top = this.list.scrollTop;
      replace(this.list, ...(listed.length > 0 ? listed.map((point) => this.row(point))
        : [h("p", { class: "hint" }, words.flight.listEmpty)]));
      this.list.scrollTop = top;
    }
    this.select();
    // Before it is on the page it has no height to scroll in.
    if (this.list.clientHeight === 0) window.requestAnimationFrame(() => this.select());
  }

  private select(): void {
    for (const row of this.list.querySelectorAll('[aria-selected="true"]')) row.setAttribute("aria-selected", "false");
    const row = this.list.querySelector<HTMLElement>(`[data-frame="${this.frame}"]`);
    if (!row) return this.list.removeAttribute("aria-activedescendant");
    row.setAttribute("aria-selected", "true");
    this.list.setAttribute("aria-activedescendant", row.id);
    // Not scrollIntoView, which would move the page too.
    const above = row.offsetTop; // the list is the row's offset parent
    if (above < this.list.scrollTop) this.list.scrollTop = above;
    else if (above + row.offsetHeight > this.list.scrollTop + this.list.clientHeight) {
      this.list.scrollTop = above + row.offsetHeight - this.list.clientHeight;
    }
  }

  private click(event: MouseEvent): void {
    const row = (event.target as Element).closest<HTMLElement>("[data-frame]");
    if (row) this.options.onChoose(Number(row.dataset["frame"]));
  }

  private key(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const listed = this.listed();
    if (listed.length === 0) return;
    if (event.key === "Delete" || event.key === "Backspace") {
      event.preventDefault();
      this.options.onDrop(this.frame);
      return;
    }
    const now = listed.findIndex((point) => point.frame >= this.frame);
    const from = now < 0 ? listed.length - 1 : now;
    const to = { ArrowDown: from + 1, ArrowUp: from - 1, Home: 0, End: listed.length - 1, PageDown: from + 10, PageUp: from - 10 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    event.stopPropagation(); // the view steps by these keys too
    const point = listed[Math.min(Math.max(to, 0), listed.length - 1)];
    if (point) this.options.onChoose(point.frame);
  }
}
