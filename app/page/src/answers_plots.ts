// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The report's own plots, drawn by its own script (report/page/flight_plots.js), which is fetched when it is first needed.
import type { PlotData } from "./api.ts";
import { h } from "./dom.ts";
import { localNumber, phrase } from "./local.ts";
import { words } from "./words/index.ts";

interface PlotWords {
  decimalMark: string;
  hint: string;
  curve(at: { x: string; xUnit: string; label: string; y: string; half: string; yUnit: string; seen: boolean }): string;
  points(at: { x: string; xUnit: string; values: { name: string; y: string }[] }): string;
}

interface LoftlinePlots {
  show(root: ParentNode, plots: PlotData[], words: PlotWords): { destroy(): void };
}

declare global {
  // eslint-disable-next-line no-var
  var loftlinePlots: LoftlinePlots | undefined;
}

function script(src: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const element = document.createElement("script");
    element.src = src;
    element.onload = () => resolve();
    element.onerror = () => {
      element.remove();
      reject(new Error(src));
    };
    document.head.append(element);
  });
}

let loading: Promise<void> | null = null;

// A failure is forgotten, so that the next drawing tries again.
function load(): Promise<void> {
  loading ??= script("/shared/uplot.js").then(() => script("/shared/flight_plots.js")).catch((error: unknown) => {
    loading = null;
    throw error;
  });
  return loading;
}

const own = (text: string): string => phrase(text) ?? text;

function localPlot(plot: PlotData): PlotData {
  return {
    ...plot,
    title: own(plot.title),
    x_label: own(plot.x_label),
    y_label: own(plot.y_label),
    y_unit: own(plot.y_unit),
    points: plot.points.map((points) => ({ ...points, name: own(points.name) })),
  };
}

const plotWords = (): PlotWords => ({
  decimalMark: words.answers.decimalMark,
  hint: words.answers.plotHint,
  curve: (at) => words.answers.curve(at),
  points: (at) => words.answers.points(at.x, at.xUnit, at.values.map((one) => `${one.name} ${one.y}`).join(", ")),
});

function seenPercent(plot: PlotData): number {
  const seen = plot.seen.filter((one) => one).length;
  return plot.seen.length === 0 ? 0 : Math.round((100 * seen) / plot.seen.length);
}

// The still drawing is the program's own markup, and holds nothing that a file or a person named.
function stillDrawing(markup: string): HTMLElement {
  const holder = h("div", { class: "paper" });
  holder.innerHTML = markup;
  return holder;
}

export function plotFigure(plot: PlotData): HTMLElement {
  const shown = localPlot(plot);
  const description = words.answers.plotDescription(
    plot.id, seenPercent(plot), plot.points[0]?.x.length ?? 0, localNumber(plot.description));
  return h("figure", { class: "plot", id: plot.id },
    h("figcaption", {}, h("h4", {}, shown.title), h("p", {}, description)),
    plot.still ? stillDrawing(plot.still) : null,
    h("div", { class: "live", "data-keys": "", "aria-label": shown.title }),
    h("p", { class: "readout", "aria-hidden": "true" }));
}

// Draws the figures of `plots` in `root`, which must be on the page already; returns what clears them away.
export function drawPlots(root: HTMLElement, plots: PlotData[], onFailure: () => void): () => void {
  let gone = false;
  let live: { destroy(): void } | null = null;
  void load().then(() => {
    if (gone || !globalThis.loftlinePlots) return;
    live = globalThis.loftlinePlots.show(root, plots.map(localPlot), plotWords());
  }).catch(() => {
    if (!gone) onFailure();
  });
  return () => {
    gone = true;
    live?.destroy();
  };
}
