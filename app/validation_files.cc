// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/validation_files.h"

#include "app/output_folder.h"
#include "core/json_file.h"
#include "report/validation_page.h"

namespace loftline {

Expected<std::vector<std::filesystem::path>> WriteValidation(const ValidationDocument& document,
                                                             const std::filesystem::path& folder) {
  const Expected<std::string> json = JsonText(ValidationDocumentAsJson(document));
  if (!json) return json.error();
  const Expected<std::string> page = ValidationHtml(document);
  if (!page) return page.error();
  Expected<OutputFolder> out = OutputFolder::Open(folder);
  if (!out) return out.error();
  if (Status status = out->Write("validation.json", *json); !status) return status.error();
  if (Status status = out->Write("validation.html", *page); !status) return status.error();
  out->Keep();
  return out->written();
}

}  // namespace loftline
