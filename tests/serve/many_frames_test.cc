// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Two hundred frames asked for at once, each on a connection of its own: none is lost, and none waits long.
#include "tests/serve/running_page.h"

#include <algorithm>
#include <atomic>
#include <thread>

#include <fmt/format.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

constexpr int kAtOnce = 200;
const std::filesystem::path kClip = std::filesystem::path(LOFTLINE_SOURCE_DIR) / "sample-clips/clips/01-whole-arc.mp4";

// The time in which each was answered, in seconds, sorted; those that failed are left out.
std::vector<double> AskAtOnce(const RunningPage& page, const std::string& id) {
  std::vector<double> took_s(kAtOnce, -1.0);
  std::atomic<bool> go = false;
  std::vector<std::jthread> clients;
  for (int i = 0; i < kAtOnce; ++i) {
    clients.emplace_back([&, i] {
      const std::string request = page.Request("GET", fmt::format("/api/clips/{}/frames/{}", id, i));
      while (!go) std::this_thread::yield();
      const auto start = std::chrono::steady_clock::now();
      const Reply reply = page.Raw(request, 20.0);
      const bool whole =
          reply.status == 200 && reply.body.starts_with("\xFF\xD8\xFF") && reply.body.ends_with("\xFF\xD9");
      if (whole) took_s[i] = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    });
  }
  go = true;
  clients.clear();
  std::erase_if(took_s, [](double s) { return s < 0.0; });
  std::ranges::sort(took_s);
  return took_s;
}

TEST(ManyFrames, NoneIsLostAndNoneWaitsLong) {
  const RunningPage page({}, {kClip});
  const std::string id = page.IdOf("01-whole-arc.mp4");
  const std::vector<double> cold_s = AskAtOnce(page, id);
  ASSERT_EQ(cold_s.size(), kAtOnce);
  const std::vector<double> warm_s = AskAtOnce(page, id);
  ASSERT_EQ(warm_s.size(), kAtOnce);
  RecordProperty("cold_p95_ms", static_cast<int>(1000.0 * cold_s[kAtOnce * 95 / 100]));
  RecordProperty("warm_p95_ms", static_cast<int>(1000.0 * warm_s[kAtOnce * 95 / 100]));
  fmt::print("200 at once: cold p95 {:.0f} ms, warm p95 {:.0f} ms\n",
             1000.0 * cold_s[kAtOnce * 95 / 100],
             1000.0 * warm_s[kAtOnce * 95 / 100]);
  EXPECT_LT(warm_s[kAtOnce * 95 / 100], 0.5);
  EXPECT_LT(cold_s[kAtOnce * 95 / 100], 15.0);  // all 200 are decoded and compressed first, on a busy machine too
}

}  // namespace
}  // namespace loftline::test
