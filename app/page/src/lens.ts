// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The magnifier: the surroundings of one place, 8 screen pixels to a picture pixel, with the pixels' own grid and a fine
// cross. A click in it moves the active mark there (to an eighth of a pixel); dragging moves the picture under the cross.

import type { Px } from "./api.ts";
import { h } from "./dom.ts";
import { words } from "./words/index.ts";

const zoom = 8;
const side_css_px = 264; // 33 picture pixels
const click_css_px = 3; // a pointer that moved less has clicked

export interface LensOptions {
  source: HTMLCanvasElement;
  // The places to show as rings, besides the one in the middle.
  marks: () => Px[];
  // Moves the active mark to a place; null where there is none to move.
  onPlace: (px: Px, final: boolean) => void;
  canPlace: () => boolean;
}

export class Lens {
  readonly element: HTMLElement;
  private readonly canvas: HTMLCanvasElement;
  private readonly caption = h("span", { class: "lens-place" });
  private at: Px = [0, 0];
  private queued = false;

  constructor(private readonly options: LensOptions) {
    this.canvas = h("canvas", { role: "img", "aria-label": words.frame.lens });
    this.canvas.addEventListener("pointerdown", (event) => this.press(event));
    this.element = h("figure", { class: "lens" }, this.canvas,
      h("figcaption", {}, this.caption, h("span", { class: "lens-hint" }, words.frame.lensHint)));
  }

  look(at: Px): void {
    this.at = at;
    this.redraw();
  }

  redraw(): void {
    if (this.queued) return;
    this.queued = true;
    requestAnimationFrame(() => {
      this.queued = false;
      this.draw();
    });
  }

  private draw(): void {
    const ratio = window.devicePixelRatio || 1;
    const side = Math.round(side_css_px * ratio);
    if (this.canvas.width !== side) this.canvas.width = this.canvas.height = side;
    const context = this.canvas.getContext("2d");
    if (!context) return;
    this.canvas.classList.toggle("can-place", this.options.canPlace());
    this.caption.textContent = words.frame.place(this.at[0], this.at[1]);
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.fillStyle = "#10151c";
    context.fillRect(0, 0, side_css_px, side_css_px);
    this.drawPicture(context);
    this.drawGrid(context);
    for (const mark of this.options.marks()) this.drawRing(context, mark);
    this.drawCross(context);
  }

  // Screen place of a picture place; the middle of the lens shows `at`.
  private screen(px: Px): Px {
    return [side_css_px / 2 + (px[0] - this.at[0]) * zoom, side_css_px / 2 + (px[1] - this.at[1]) * zoom];
  }

  private drawPicture(context: CanvasRenderingContext2D): void {
    const { source } = this.options;
    const [left, top] = this.screen([-0.5, -0.5]);
    context.imageSmoothingEnabled = false;
    context.drawImage(source, left, top, source.width * zoom, source.height * zoom);
  }

  private drawGrid(context: CanvasRenderingContext2D): void {
    const [left, top] = this.screen([Math.floor(this.at[0] - side_css_px / 2 / zoom) - 0.5, Math.floor(this.at[1] - side_css_px / 2 / zoom) - 0.5]);
    context.strokeStyle = "rgba(128, 128, 128, 0.22)";
    context.lineWidth = 1;
    context.beginPath();
    for (let x = left; x < side_css_px; x += zoom) {
      context.moveTo(x, 0);
      context.lineTo(x, side_css_px);
    }
    for (let y = top; y < side_css_px; y += zoom) {
      context.moveTo(0, y);
      context.lineTo(side_css_px, y);
    }
    context.stroke();
  }

  private drawRing(context: CanvasRenderingContext2D, mark: Px): void {
    const [x, y] = this.screen(mark);
    if (Math.hypot(x - side_css_px / 2, y - side_css_px / 2) < 1) return;
    for (const [colour, width] of [["rgba(15, 20, 28, 0.8)", 4], ["#9fe8ff", 2]] as const) {
      context.strokeStyle = colour;
      context.lineWidth = width;
      context.beginPath();
      context.arc(x, y, zoom, 0, 2 * Math.PI);
      context.stroke();
    }
  }

  // Dark below, light above, open in the middle: to be seen on every ground without covering what is pointed at.
  private drawCross(context: CanvasRenderingContext2D): void {
    const middle = side_css_px / 2;
    const open = zoom * 0.75;
    for (const [colour, width] of [["rgba(15, 20, 28, 0.75)", 3], ["#fff", 1]] as const) {
      context.strokeStyle = colour;
      context.lineWidth = width;
      context.beginPath();
      for (const [from, to] of [[0, middle - open], [middle + open, side_css_px]] as const) {
        context.moveTo(from, middle);
        context.lineTo(to, middle);
        context.moveTo(middle, from);
        context.lineTo(middle, to);
      }
      context.stroke();
    }
    context.fillStyle = "#fff";
    context.fillRect(middle - 0.75, middle - 0.75, 1.5, 1.5);
  }

  private press(down: PointerEvent): void {
    if (down.button !== 0 || !this.options.canPlace()) return;
    down.preventDefault();
    const from = this.at;
    let moved = false;
    const box = this.canvas.getBoundingClientRect();
    const move = (event: PointerEvent): void => {
      const across = event.clientX - down.clientX;
      const below = event.clientY - down.clientY;
      moved ||= Math.hypot(across, below) > click_css_px;
      if (moved) this.options.onPlace([from[0] - across / zoom, from[1] - below / zoom], false);
    };
    const up = (event: PointerEvent): void => {
      this.canvas.removeEventListener("pointermove", move);
      this.canvas.removeEventListener("pointerup", up);
      this.canvas.removeEventListener("pointercancel", up);
      if (event.type === "pointercancel") return;
      const target: Px = moved
        ? [from[0] - (event.clientX - down.clientX) / zoom, from[1] - (event.clientY - down.clientY) / zoom]
        : [from[0] + (event.clientX - box.left - box.width / 2) / zoom, from[1] + (event.clientY - box.top - box.height / 2) / zoom];
      this.options.onPlace(target, true);
    };
    this.canvas.setPointerCapture(down.pointerId);
    this.canvas.addEventListener("pointermove", move);
    this.canvas.addEventListener("pointerup", up);
    this.canvas.addEventListener("pointercancel", up);
  }
}
