// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/atomic_file.h"
#include "core/json_file.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;

// The library's own writer is not used for numbers: its algorithm reads back the same but is not always the shortest
// form.
class JsonWriter {
 public:
  // False: a number is not finite; bad_path() tells where.
  bool Write(const Json& value, const std::string& path, int depth) {
    if (value.is_object()) return WriteObject(value, path, depth);
    if (value.is_array()) return WriteArray(value, path, depth);
    if (value.is_number_float()) return WriteNumber(value.get<double>(), path);
    text_ += value.dump(-1, ' ', false, Json::error_handler_t::replace);
    return true;
  }
  const std::string& bad_path() const { return bad_path_; }
  std::string TakeText() { return std::move(text_); }

 private:
  bool WriteNumber(double number, const std::string& path) {
    if (!std::isfinite(number)) {
      bad_path_ = path;
      return false;
    }
    std::array<char, 32> digits;
    const auto [end, failed] = std::to_chars(digits.data(), digits.data() + digits.size(), number);
    text_.append(digits.data(), end);
    return failed == std::errc();
  }

  bool WriteObject(const Json& object, const std::string& path, int depth) {
    if (object.empty()) {
      text_ += "{}";
      return true;
    }
    const char* separator = "{";
    for (const auto& [key, value] : object.items()) {
      text_ += separator;
      NewLine(depth + 1);
      text_ += Json(key).dump(-1, ' ', false, Json::error_handler_t::replace) + ": ";
      if (!Write(value, path.empty() ? key : fmt::format("{}.{}", path, key), depth + 1)) return false;
      separator = ",";
    }
    NewLine(depth);
    text_ += "}";
    return true;
  }

  bool WriteArray(const Json& array, const std::string& path, int depth) {
    const bool on_one_line = std::ranges::none_of(array, [](const Json& item) { return item.is_structured(); });
    text_ += "[";
    for (std::size_t i = 0; i < array.size(); ++i) {
      if (i > 0) text_ += on_one_line ? ", " : ",";
      if (!on_one_line) NewLine(depth + 1);
      if (!Write(array[i], fmt::format("{}[{}]", path, i), depth + 1)) return false;
    }
    if (!on_one_line) NewLine(depth);
    text_ += "]";
    return true;
  }

  void NewLine(int depth) {
    text_ += "\n";
    text_.append(static_cast<std::size_t>(depth) * 2, ' ');
  }

  std::string text_;
  std::string bad_path_;
};

}  // namespace

Expected<std::string> JsonText(const Json& json) {
  JsonWriter writer;
  if (!writer.Write(json, "", 0)) {
    return Error{.kind = ErrorKind::kInternal,
                 .code = "not-finite",
                 .message = "A number to be written is not finite.",
                 .advice = "This is a mistake of the program's: please report it.",
                 .key = writer.bad_path()};
  }
  return writer.TakeText() + "\n";
}

Status WriteJson(const std::filesystem::path& path, const Json& json) {
  Expected<std::string> text = JsonText(json);
  if (!text) {
    Error error = text.error();
    error.file = path.string();
    return error;
  }
  return WriteFileAtomically(path, *text);
}

}  // namespace loftline
