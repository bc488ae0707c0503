// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <string>
#include <string_view>

namespace loftline {

// Text made safe for HTML and XML, between tags and inside quoted attributes: the five special characters become
// references, bytes that are no UTF-8 and control characters become U+FFFD.
std::string EscapeHtml(std::string_view text);

// JSON made safe inside a <script> element, which ends at "</" whatever the quotes say.
std::string EscapeJsonForScript(std::string_view json);

// A path with '/' made safe as a relative address (RFC 3986, 2.1 and 3.3): every byte that is neither unreserved nor a
// '/' is percent-encoded, so that no file name can be taken for a scheme, a query or a fragment.
std::string EncodePath(std::string_view path);

// "data:MIME;base64,..."
std::string DataUri(std::string_view mime, std::string_view bytes);

}  // namespace loftline
