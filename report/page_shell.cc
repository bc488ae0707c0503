// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/page_shell.h"

#include "report/html_text.h"
#include "report/page_assets.h"

#include <fmt/format.h>

namespace loftline {

std::string PageHead(std::string_view title, const std::vector<std::string_view>& styles, PagePictures pictures) {
  std::string head = fmt::format(
      R"(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:{}; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<title>{}</title>
<style>)",
      pictures == PagePictures::kBeside ? " 'self'" : "",
      EscapeHtml(title));
  head += page_assets::kBaseCss;
  for (const std::string_view style : styles) head += style;
  return head + "</style>\n</head>\n";
}

std::string PageMaker(std::string_view kind) {
  return fmt::format(R"(<p class="maker">Loftline <span>{}</span></p>)", EscapeHtml(kind));
}

}  // namespace loftline
