// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/comparison_files.h"

#include "app/output_folder.h"
#include "core/json_file.h"
#include "report/comparison_page.h"
#include "study/comparison_file.h"

namespace loftline {

Status WriteComparison(const Comparison& comparison, const std::filesystem::path& folder) {
  const Expected<std::string> json = JsonText(ComparisonAsJson(comparison));
  if (!json) return json.error();
  Expected<OutputFolder> out = OutputFolder::Open(folder);
  if (!out) return out.error();
  if (Status status = out->Write("comparison.html", ComparisonHtml(comparison)); !status) return status;
  if (Status status = out->Write("comparison.json", *json); !status) return status;
  out->Keep();
  return Done{};
}

}  // namespace loftline
