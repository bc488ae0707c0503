// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/router.h"

#include "app/messages.h"

#include <algorithm>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::string_view kAnySegment = "{}";

std::vector<std::string> Segments(std::string_view path) {
  std::vector<std::string> segments;
  std::size_t start = path.starts_with('/') ? 1 : 0;
  while (start <= path.size()) {
    const std::size_t end = std::min(path.find('/', start), path.size());
    segments.emplace_back(path.substr(start, end - start));
    start = end + 1;
  }
  return segments;
}

std::optional<std::vector<std::string>> Parameters(const Router::Route& route,
                                                   const std::vector<std::string>& segments) {
  if (route.segments.size() != segments.size()) return std::nullopt;
  std::vector<std::string> parameters;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    if (route.segments[i] != kAnySegment) {
      if (route.segments[i] != segments[i]) return std::nullopt;
      continue;
    }
    std::optional<std::string> decoded = PercentDecoded(segments[i]);
    if (!decoded || decoded->empty()) return std::nullopt;
    parameters.push_back(std::move(*decoded));
  }
  return parameters;
}

int HexValue(char digit) {
  if (digit >= '0' && digit <= '9') return digit - '0';
  if (digit >= 'a' && digit <= 'f') return digit - 'a' + 10;
  if (digit >= 'A' && digit <= 'F') return digit - 'A' + 10;
  return -1;
}

}  // namespace

std::optional<std::string> PercentDecoded(std::string_view text) {
  std::string decoded;
  for (std::size_t i = 0; i < text.size(); ++i) {
    char next = text[i];
    if (next == '%') {
      if (i + 2 >= text.size()) return std::nullopt;
      const int high = HexValue(text[i + 1]);
      const int low = HexValue(text[i + 2]);
      if (high < 0 || low < 0) return std::nullopt;
      next = static_cast<char>(high * 16 + low);
      i += 2;
    }
    if (next == '\0') return std::nullopt;
    decoded += next;
  }
  return decoded;
}

void Router::Add(std::string method, const std::string& pattern, Handler handler, std::uint64_t most, bool streamed) {
  routes_.push_back({std::move(method), Segments(pattern), std::move(handler), most, streamed});
}

Router::Match Router::Find(std::string_view method, std::string_view path) const {
  const std::vector<std::string> segments = Segments(path);
  Match match;
  for (const Route& route : routes_) {
    std::optional<std::vector<std::string>> parameters = Parameters(route, segments);
    if (!parameters) continue;
    match.path_known = true;
    if (route.method != method && !(method == "HEAD" && route.method == "GET")) continue;
    match.route = &route;
    match.parameters = std::move(*parameters);
    return match;
  }
  return match;
}

int HttpStatusOf(const Error& error) {
  switch (error.kind) {
    case ErrorKind::kUsage:
      return 400;
    case ErrorKind::kRefused:
    case ErrorKind::kInvalidInput:
      return 422;
    case ErrorKind::kCancelled:
      return 409;
    case ErrorKind::kInternal:
      return 500;
  }
  return 500;
}

WebResponse JsonResponse(const nlohmann::ordered_json& json, int status) {
  WebResponse response;
  response.status = status;
  // File names may hold bytes that are not UTF-8.
  response.body = json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
  return response;
}

WebResponse FileResponse(const std::filesystem::path& path, const std::string& type, bool download) {
  WebResponse response;
  response.content_type = type;
  response.file = path;
  response.headers = {{"Cache-Control", "private, no-cache"}};
  if (type.starts_with("text/html")) {
    response.headers.emplace_back(
        "Content-Security-Policy",
        "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src 'self' "
        "data:; frame-ancestors 'self'; base-uri 'none'; form-action 'none'");
  }
  if (download) {
    // RFC 6266 and RFC 8187: any name, in letters that headers may hold.
    std::string name;
    for (const char letter : path.filename().string()) {
      const bool plain = (letter >= '0' && letter <= '9') || (letter >= 'a' && letter <= 'z') ||
                         (letter >= 'A' && letter <= 'Z') || letter == '.' || letter == '-' || letter == '_';
      name += plain ? std::string(1, letter) : fmt::format("%{:02X}", static_cast<unsigned char>(letter));
    }
    response.headers.emplace_back("Content-Disposition", "attachment; filename*=UTF-8''" + name);
  }
  return response;
}

WebResponse ErrorResponse(const Error& error, std::optional<int> status) {
  return JsonResponse(ErrorAsJson(error), status.value_or(HttpStatusOf(error)));
}

}  // namespace loftline
