// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The path over the clip: the picture with what was found in it, what is known of the point of its frame, what can be done
// about it, and the list of all points.
import type { Px } from "./api.ts";
import { announce, h, replace } from "./dom.ts";
import { FlightLayers, glyphOf, glyphPicture } from "./flight_layers.ts";
import type { Glyph } from "./flight_layers.ts";
import { PointList, whatIs } from "./flight_list.ts";
import { PointEditor, expectedPlace, isPlaced, rememberOwn, shownPoints } from "./flight_points.ts";
import type { OwnPoints, ShownPoint } from "./flight_points.ts";
import { FrameView } from "./frame_view.ts";
import type { Handle, HandleOptions } from "./handle.ts";
import { Poses } from "./homography.ts";
import { plainNumber } from "./local.ts";
import type { Part } from "./part.ts";
import type { SheetState } from "./sheet.ts";
import { words } from "./words/index.ts";

const reach_css_px = 14; // how near to a point a tap has to be

export class FlightView implements Part {
  readonly element: HTMLElement;
  private readonly view: FrameView;
  private readonly layers: FlightLayers;
  private readonly list: PointList;
  private readonly editor: PointEditor;
  private readonly told = h("div", { class: "point-told", role: "status" });
  private readonly actions = h("div", { class: "point-actions" });
  // What the top of the part says of measuring, again beside the point; said to listeners there only.
  private readonly status = h("p", { class: "point-status", "aria-hidden": "true" });
  private readonly buttons: Record<"drop" | "restore" | "add" | "show", HTMLButtonElement>;
  private readonly steps: { next: HTMLButtonElement; before: HTMLButtonElement };
  private readonly stepping: HTMLElement;
  private readonly onlyWithPoints: HTMLElement[];
  private readonly camera = h("p", { class: "hint" }, words.flight.camera);
  private readonly others: HTMLInputElement;
  private readonly handleOptions: HandleOptions;
  private handle: Handle | null = null;
  private points: ShownPoint[] = [];
  private readonly own: OwnPoints = new Map();
  private poses = new Poses(null);
  private readonly end: () => void;

  constructor(private readonly sheet: SheetState) {
    this.editor = new PointEditor(sheet);
    this.view = new FrameView(sheet.clip, {
      frame: this.firstFrame(), onFrame: () => this.redraw(), onTap: (px) => this.tap(px),
    });
    this.layers = new FlightLayers(this.view);
    this.handleOptions = {
      label: "", at: [0, 0], kind: "rocket",
      onMove: (px, final) => this.moved(px, final), onRemove: () => this.drop(this.view.frame),
    };
    const button = (text: string, act: () => void): HTMLButtonElement => h("button", { type: "button", onclick: act }, text);
    this.buttons = {
      drop: button(words.flight.drop, () => this.drop(this.view.frame)),
      restore: button(words.flight.restore, () => this.editor.restore(this.view.frame)),
      add: button(words.flight.add, () => this.ask(false)),
      show: button(words.flight.show, () => this.ask(true)),
    };
    this.steps = {
      before: button(words.flight.lastUncertain, () => this.stepUncertain(-1)),
      next: button(words.flight.nextUncertain, () => this.stepUncertain(1)),
    };
    this.stepping = h("div", { class: "point-steps" }, this.steps.before, this.steps.next);
    this.others = h("input", { type: "checkbox", checked: true, onchange: () => this.redraw() });
    this.list = new PointList({ onChoose: (frame) => this.view.show(frame), onDrop: (frame) => this.drop(frame) });
    this.actions.append(...Object.values(this.buttons));
    this.view.side.append(
      h("div", { class: "point-here" }, this.told, this.actions, this.status,
        this.stepping));
    const lead = h("p", { class: "hint" }, words.flight.pathLead);
    this.onlyWithPoints = [lead, this.list.element, this.stepping];
    this.element = h("div", { class: "flight-view" },
      h("h3", {}, words.flight.path), lead, this.view.element, this.key(), this.camera,
      h("p", { class: "hint" }, words.flight.keysHint), this.list.element);
    this.end = sheet.subscribe((topic) => {
      if (topic === "measured") this.take();
      if (topic === "draft") this.redraw();
    });
    this.take();
  }

  close(): void {
    this.end();
    this.view.close();
  }

  show(frame: number): void {
    this.view.show(frame);
  }

  tellStatus(text: string): void {
    if (this.status.textContent !== text) this.status.textContent = text;
  }

  // The middle of the flight, where the path is best seen.
  private firstFrame(): number {
    const points = shownPoints(this.sheet.track, this.sheet.draft, this.sheet.clip.times_s).filter(isPlaced);
    return points[Math.floor(points.length / 2)]?.frame ?? Math.floor(this.sheet.clip.frames / 2);
  }

  private key(): HTMLElement {
    const entry = (glyph: Glyph, text: string): HTMLElement => h("li", {}, glyphPicture(glyph), text);
    const line = h("li", {}, h("span", { class: "fit-sample", "aria-hidden": "true" }), words.flight.legendFit);
    return h("div", { class: "flight-key" },
      h("ul", { "aria-label": words.flight.legend },
        entry("flight", words.flight.legendSeen), entry("launch", words.flight.legendLaunch),
        entry("uncertain", words.flight.legendUncertain), entry("outlier", words.flight.legendOutlier),
        entry("moved", words.flight.legendEdited), entry("marked", words.flight.legendMarked), line),
      h("label", { class: "check" }, this.others, words.flight.otherFrames));
  }

  private take(): void {
    this.poses = new Poses(this.sheet.track?.poses ?? null);
    rememberOwn(this.own, this.sheet.track);
    this.camera.hidden = !this.poses.moves;
    this.redraw();
  }

  private pointOf(frame: number): ShownPoint | undefined {
    return this.points.find((point) => point.frame === frame);
  }

  private redraw(): void {
    const { frame } = this.view;
    this.points = shownPoints(this.sheet.track, this.sheet.draft, this.sheet.clip.times_s, this.own);
    this.layers.draw(this.sheet.track, this.poses, this.points, this.sheet.draft.marked, frame, this.others.checked);
    for (const piece of this.onlyWithPoints) piece.hidden = this.points.length === 0;
    this.list.show(this.points, frame);
    this.showHandle();
    this.tell();
  }

  // One handle for the point of the frame that is shown; it goes along, so that the focus stays on it.
  private showHandle(): void {
    const { frame } = this.view;
    const point = this.pointOf(frame);
    if (!isPlaced(point)) {
      const had = this.handle !== null && document.activeElement === this.handle.element;
      this.handle?.remove();
      this.handle = null;
      if (had) this.list.focus();
      return;
    }
    // The handle reads its name from here whenever it is set.
    this.handleOptions.label = words.flight.rocketHandle(frame);
    this.handleOptions.at = point.at_px;
    if (this.handle) this.handle.set(point.at_px);
    else this.handle = this.view.addHandle(this.handleOptions);
    this.handle.element.dataset["look"] = glyphOf(point);
    if (!this.view.asking) this.view.lookAt(point.at_px);
  }

  private moved(px: Px, final: boolean): void {
    if (final) this.editor.move(this.view.frame, px);
  }

  private tell(): void {
    const { frame } = this.view;
    const { flight } = words;
    const point = this.pointOf(frame);
    const time = plainNumber(this.sheet.clip.times_s[frame] ?? 0, 3);
    const placed = isPlaced(point);
    const lines = [point ? whatIs(point) : flight.states.none];
    if (placed) {
      lines.push(`${flight.at(plainNumber(point.at_px[0], 1), plainNumber(point.at_px[1], 1))}` +
        (point.std_px === null ? "" : ` ${flight.within(plainNumber(point.std_px, point.std_px < 1 ? 2 : 1))}`));
      const off = this.offFit(point.at_px, frame);
      if (off !== null) lines.push(flight.offFit(plainNumber(off, 1)));
    }
    replace(this.told, h("h4", {}, flight.thisFrame(frame, time)), ...lines.map((line) => h("p", {}, line)));
    const dropped = point?.look === "dropped";
    this.buttons.drop.hidden = !placed || dropped || point.look === "outlier";
    this.buttons.restore.hidden = !this.editor.isEdited(frame);
    // Without a track there is nothing to add a point to: the tracker has to be shown the rocket first.
    const tracked = (this.sheet.track?.points.length ?? 0) > 0;
    this.buttons.add.hidden = !tracked || (placed && !dropped && point.look !== "outlier");
    this.buttons.show.classList.toggle("press", !tracked);
    const uncertain = this.points.filter((one) => one.uncertain);
    const disable = (button: HTMLButtonElement, off: boolean): void => button.setAttribute("aria-disabled", String(off));
    disable(this.steps.before, !uncertain.some((one) => one.frame < frame));
    disable(this.steps.next, !uncertain.some((one) => one.frame > frame));
  }

  private offFit(at: Px, frame: number): number | null {
    const fitted = this.sheet.track?.fitted.find((one) => one.frame === frame);
    return fitted ? Math.hypot(fitted.x_px - at[0], fitted.y_px - at[1]) : null;
  }

  private drop(frame: number): void {
    const point = this.pointOf(frame);
    if (!isPlaced(point) || point.look === "dropped") return;
    this.editor.drop(frame);
    announce(words.flight.did.drop(frame));
  }

  // Asks where the rocket is on this frame: for a point of the track, or to show the tracker.
  private ask(toShow: boolean): void {
    const { frame } = this.view;
    const wasSeen = this.sheet.track?.points.some((point) => point.frame === frame && point.state !== "hidden") ?? false;
    const start = this.pointOf(frame)?.at_px ?? expectedPlace(this.sheet.track, this.points, frame) ?? undefined;
    this.view.askForPlace(words.flight.rocket, (px) => {
      if (!px) return;
      if (toShow) {
        this.editor.show(frame, px);
        announce(words.flight.did.show(frame));
      } else {
        this.editor.add(frame, px, wasSeen);
        announce(words.flight.did.add(frame));
      }
      this.handle?.focus();
    }, start);
  }

  private stepUncertain(by: 1 | -1): void {
    const { frame } = this.view;
    const uncertain = this.points.filter((point) => point.uncertain);
    const next = by > 0 ? uncertain.find((point) => point.frame > frame) : uncertain.filter((point) => point.frame < frame).pop();
    if (next) this.view.show(next.frame);
    else if (uncertain.length === 0) announce(words.flight.noUncertain);
  }

  private tap(px: Px): void {
    const unit = this.sheet.clip.width_px / Math.max(1, this.view.element.querySelector(".view-picture")?.clientWidth ?? 1);
    const point = this.layers.near(px, reach_css_px * unit);
    if (point) this.view.show(point.frame);
  }
}
