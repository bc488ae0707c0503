// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// One script and one style sheet with fixed names, which the program embeds and serves under /page/. Nothing is put
// into index.html itself: the page's content security policy allows no inline script or style.
// This file imports nothing, so that the tools can lie in the build tree, apart from the sources.
export default {
  base: "/page/",
  publicDir: false,
  build: {
    target: "es2021",
    modulePreload: false,
    assetsInlineLimit: 0,
    cssCodeSplit: false,
    emptyOutDir: true,
    reportCompressedSize: false,
    rollupOptions: {
      output: { entryFileNames: "app.js", assetFileNames: "app[extname]", inlineDynamicImports: true },
    },
  },
  esbuild: { legalComments: "none" },
};
