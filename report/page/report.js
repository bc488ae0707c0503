// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Turns the report's still plots into live ones: the pointer shows values. Without scripts, and on paper, the SVG stays.
(function () {
  'use strict';
  const source = document.getElementById('flight-data');
  if (source && typeof uPlot !== 'undefined') loftlinePlots.show(document, JSON.parse(source.textContent));
})();
