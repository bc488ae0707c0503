// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Live plots of a flight, for the report and for the local page: the pointer shows values, and the arrow keys where the
// figure asks for them. Needs uPlot. Words are handed in, so that a page can show them in its own language.
//
//   loftlinePlots.show(root, plots, words) -> { destroy() }
//     root   holds, for each plot, an element with that plot's id, and in it one .live and one .readout
//     plots  as PlotAsJson writes them (flight_plots.cc)
//     words  any of the entries of loftlinePlots.english
//   A .live that carries data-keys is made a slider of its own: arrows, Page Up and Down, Home and End move along x.
globalThis.loftlinePlots = (function () {
  'use strict';

  const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue('--' + name).trim();

  // Two significant digits of the standard uncertainty, as everywhere in the report.
  function decimalsFor(std) {
    if (!(std > 0)) return 2;
    let exponent = Math.floor(Math.log10(std));
    if (Math.round(std / Math.pow(10, exponent - 1)) >= 100) exponent += 1;
    return Math.min(9, Math.max(0, 1 - exponent));
  }
  const withMarks = (text, words) => text.replace('-', '\u2212').replace('.', words.decimalMark);
  const shown = (value, decimals, words) => withMarks(value.toFixed(decimals), words);

  const english = {
    decimalMark: '.',
    hint: 'Point at the plot, or tap it, to read values.',
    curve: (at) => `at ${at.x} ${at.xUnit}: ${at.label} ${at.y} ± ${at.half} ${at.yUnit} (95 %), ` +
                   `${at.seen ? 'seen' : 'calculated'}`,
    points: (at) => `at ${at.x} ${at.xUnit}: ${at.values.map((one) => `${one.name} ${one.y}`).join(', ')} standard deviations`,
  };

  const increasing = (values) => values.every((value, i) => value !== null && (i === 0 || value > values[i - 1]));

  // The curve between its samples: value, half band, and whether that stretch was seen.
  function curveAt(plot, x) {
    const last = plot.x.length - 1;
    if (last < 1 || x < plot.x[0] || x > plot.x[last]) return null;
    let i = 1;
    while (i < last && plot.x[i] < x) i += 1;
    const part = (x - plot.x[i - 1]) / (plot.x[i] - plot.x[i - 1]);
    const between = (values) => values[i - 1] + part * (values[i] - values[i - 1]);
    return { y: between(plot.y), half: between(plot.half_95), seen: plot.seen[i - 1] && plot.seen[i] };
  }

  function curveText(plot, x, words) {
    const at = curveAt(plot, x);
    if (!at) return '';
    const decimals = decimalsFor(at.half / 1.96);
    return words.curve({ x: shown(x, 2, words), xUnit: plot.x_unit, label: plot.y_label, y: shown(at.y, decimals, words),
                         half: shown(at.half, decimals, words), yUnit: plot.y_unit, seen: at.seen });
  }

  function pointsText(plot, x, words) {
    const times = plot.points[0].x;
    let nearest = 0;
    times.forEach((time, i) => { if (Math.abs(time - x) < Math.abs(times[nearest] - x)) nearest = i; });
    const values = plot.points.map((points) => ({ name: points.name, y: shown(points.y[nearest], 2, words) }));
    return words.points({ x: shown(times[nearest], 3, words), xUnit: plot.x_unit, values });
  }

  // One series for each stretch, so that a stretch that was not seen can be dashed. Neighbours share a sample.
  function stretches(plot) {
    const parts = [];
    for (let begin = 0; begin + 1 < plot.x.length;) {
      let end = begin + 1;
      while (end < plot.x.length && plot.seen[end] === plot.seen[begin]) end += 1;
      const y = plot.x.map((_, i) => (i >= begin && i <= end ? plot.y[i] : null));
      parts.push({ seen: plot.seen[begin], y });
      begin = end;
    }
    return parts;
  }

  function curveTables(plot) {
    const upper = plot.y.map((y, i) => y + plot.half_95[i]);
    const lower = plot.y.map((y, i) => y - plot.half_95[i]);
    const parts = stretches(plot);
    const series = [{ stroke: 'transparent', points: { show: false } }, { stroke: 'transparent', points: { show: false } }];
    parts.forEach((part) => series.push({
      stroke: colour(part.seen ? 'seen' : 'calculated'), width: 2.4, dash: part.seen ? [] : [9, 7], points: { show: false },
    }));
    return { table: [plot.x, upper, lower, ...parts.map((part) => part.y)], series,
             bands: [{ series: [1, 2], fill: colour('band') }] };
  }

  const noLine = () => null;
  // Many rings on a narrow sheet would melt into a band: they shrink before they do.
  const ringSize = (count, width) => Math.max(3.5, Math.min(7, 0.9 * width / count));

  function pointSeries(points, width) {
    const stroke = colour(points.marker === 'ring' ? 'seen' : 'second');
    const size = ringSize(points.x.length, width);
    return { stroke, paths: noLine,
             points: { show: true, size, width: size < 5 ? 1 : 1.4, stroke, fill: points.marker === 'ring' ? 'transparent' : stroke } };
  }

  // Squares differ from rings by shape too, not by colour alone.
  function drawSquares(u, seriesIndex) {
    const size = 5 * devicePixelRatio;
    u.ctx.save();
    u.ctx.fillStyle = colour('second');
    u.data[seriesIndex].forEach((y, i) => {
      if (y === null || y === undefined) return;
      u.ctx.fillRect(u.valToPos(u.data[0][i], 'x', true) - size / 2, u.valToPos(y, 'y', true) - size / 2, size, size);
    });
    u.ctx.restore();
    return false;
  }

  function sorted(points) {
    const order = points.x.map((_, i) => i).sort((a, b) => points.x[a] - points.x[b]);
    return [order.map((i) => points.x[i]), order.map((i) => points.y[i])];
  }

  function ranges(plot) {
    const xs = plot.x.concat(...plot.points.map((points) => points.x));
    const ys = plot.guides.concat(...plot.points.map((points) => points.y), plot.y.map((y, i) => y + plot.half_95[i]),
                                  plot.y.map((y, i) => y - plot.half_95[i]));
    const widened = (values) => {
      const low = Math.min(...values), high = Math.max(...values);
      const margin = 0.05 * (high - low) || 1;
      return [low - margin, high + margin];
    };
    return { x: widened(xs), y: widened(ys) };
  }

  const kAcross = 66, kDown = 62;  // room that axes and padding take, in CSS pixels

  // The plot's height for a width; where axes are equal, it follows the data and one range gives way.
  function layOut(plot, width) {
    const range = ranges(plot);
    if (!plot.equal_axes) return { range, height: Math.max(220, Math.min(300, Math.round(width * 0.5))) };
    const inner = width - kAcross;
    const wanted = (range.y[1] - range.y[0]) * inner / (range.x[1] - range.x[0]);
    const innerHeight = Math.max(120, Math.min(460, wanted));
    const perUnit = Math.min(inner / (range.x[1] - range.x[0]), innerHeight / (range.y[1] - range.y[0]));
    range.x[1] = range.x[0] + inner / perUnit;
    range.y[1] = range.y[0] + innerHeight / perUnit;
    return { range, height: Math.round(innerHeight + kDown) };
  }

  function drawGuides(plot, u) {
    u.ctx.save();
    u.ctx.strokeStyle = colour('soft');
    u.ctx.lineWidth = devicePixelRatio;
    plot.guides.forEach((guide) => {
      const y = Math.round(u.valToPos(guide, 'y', true));
      u.ctx.setLineDash(guide === 0 ? [] : [5 * devicePixelRatio, 4 * devicePixelRatio]);
      u.ctx.beginPath();
      u.ctx.moveTo(u.bbox.left, y);
      u.ctx.lineTo(u.bbox.left + u.bbox.width, y);
      u.ctx.stroke();
    });
    u.ctx.restore();
  }

  // Steps of the keys along x, in parts of the whole.
  const kKeySteps = { ArrowRight: 0.01, ArrowUp: 0.01, ArrowLeft: -0.01, ArrowDown: -0.01, PageUp: 0.1, PageDown: -0.1 };

  // The keyboard's way to the values: a slider along x, whose text is the readout's.
  function addKeys(u, holder, readout, span) {
    let x = span.from;
    const tell = () => {
      holder.setAttribute('aria-valuenow', String(Number(x.toPrecision(4))));
      holder.setAttribute('aria-valuetext', readout.textContent);
    };
    const show = () => {
      u.setCursor({ left: u.valToPos(x, 'x'), top: 0.5 * u.over.clientHeight });
      tell();
    };
    const onKey = (event) => {
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      if (event.key === 'Home') x = span.from;
      else if (event.key === 'End') x = span.to;
      else if (kKeySteps[event.key]) x += kKeySteps[event.key] * (span.to - span.from);
      else return;
      x = Math.min(span.to, Math.max(span.from, x));
      show();
      event.preventDefault();
    };
    const onFocus = () => { if (holder.matches(':focus-visible')) show(); };
    holder.tabIndex = 0;
    holder.setAttribute('role', 'slider');
    holder.setAttribute('aria-valuemin', String(span.from));
    holder.setAttribute('aria-valuemax', String(span.to));
    tell();
    holder.addEventListener('keydown', onKey);
    holder.addEventListener('focus', onFocus);
    return () => {
      holder.removeEventListener('keydown', onKey);
      holder.removeEventListener('focus', onFocus);
    };
  }

  function build(plot, figure, words) {
    const holder = figure.querySelector('.live');
    const readout = figure.querySelector('.readout');
    const width = Math.floor(figure.clientWidth);
    const { range, height } = layOut(plot, width);
    const hasCurve = plot.x.length > 1;
    const curve = hasCurve ? curveTables(plot) : { table: null, series: [], bands: [] };
    const tables = (curve.table ? [curve.table] : []).concat(plot.points.map(sorted));
    const data = tables.length > 1 ? uPlot.join(tables) : tables[0];
    const series = [{}].concat(curve.series.map((one) => Object.assign({ spanGaps: true }, one)), plot.points.map((points) => pointSeries(points, width)));
    plot.points.forEach((points, i) => {
      if (points.marker === 'square') series[1 + curve.series.length + i].points.show = drawSquares;
    });
    const axis = (label, unit, size) => ({
      label: unit ? `${label} (${unit})` : label, labelSize: 20, size, stroke: colour('soft'), labelFont: '13px sans-serif', font: '12px sans-serif',
      grid: { stroke: colour('grid'), width: 1 }, ticks: { show: false },
      values: (_, ticks) => ticks.map((tick) => withMarks(String(Number(tick.toPrecision(6))), words)),
    });
    readout.textContent = words.hint;
    holder.replaceChildren();
    const u = new uPlot({
      width, height, series, bands: curve.bands, legend: { show: false }, padding: [8, 10, 0, 0],
      cursor: { drag: { x: false, y: false }, points: { show: false } },
      scales: { x: { time: false, range: () => range.x }, y: { range: () => range.y } },
      axes: [axis(plot.x_label, plot.x_unit, 34), axis(plot.y_label, plot.y_unit, 36)],
      hooks: {
        drawAxes: [(u) => drawGuides(plot, u)],
        setCursor: [(u) => {
          const x = u.cursor.left >= 0 ? u.posToVal(u.cursor.left, 'x') : NaN;
          readout.textContent = (!Number.isNaN(x) && (hasCurve ? curveText(plot, x, words) : pointsText(plot, x, words))) || words.hint;
        }],
      },
    }, data, holder);
    if (!('keys' in holder.dataset)) return { destroy: () => u.destroy() };
    const dropKeys = addKeys(u, holder, readout, { from: data[0][0], to: data[0][data[0].length - 1] });
    return { destroy: () => { dropKeys(); u.destroy(); } };
  }

  // A path that turns back has two heights at one distance: the still plot serves it better.
  const drawable = (plot) => plot.x.length === 0 || increasing(plot.x);

  function show(root, plots, wanted) {
    const words = Object.assign({}, english, wanted);
    let live = [];
    const clear = () => {
      live.forEach((one) => one.destroy());
      live = [];
    };
    const buildAll = () => {
      clear();
      plots.forEach((plot) => {
        const figure = root.querySelector('#' + plot.id);
        if (!figure || !drawable(plot)) return;
        live.push(build(plot, figure, words));
        figure.classList.add('alive');
      });
    };
    buildAll();
    let waiting = 0;
    let builtFor = window.innerWidth;
    const onResize = () => {
      if (window.innerWidth === builtFor) return;
      builtFor = window.innerWidth;
      clearTimeout(waiting);
      waiting = setTimeout(buildAll, 150);
    };
    const darkness = window.matchMedia('(prefers-color-scheme: dark)');
    window.addEventListener('resize', onResize);
    darkness.addEventListener('change', buildAll);
    return {
      destroy() {
        clearTimeout(waiting);
        window.removeEventListener('resize', onResize);
        darkness.removeEventListener('change', buildAll);
        clear();
      },
    };
  }

  return { show, drawable, english };
})();
