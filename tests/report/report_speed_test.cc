// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/write_report.h"
#include "tests/report/example_flight.h"

#include <cstdio>
#include <ctime>
#include <string>

#include <gtest/gtest.h>

namespace loftline {
namespace {

double Cpu_ms() {
  return 1e3 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

// Measuring a clip must stay near the cost of decoding it, so its page and picture must be cheap. The target is 120 ms
// of processor time for a 1080p clip; twice that is the limit, since a busy machine makes even processor time grow.
TEST(ReportSpeed, PageAndPictureAreCheap) {
  const FlightResult flight = ExampleFlight();
  const ClipTrack pictures = ExamplePictures(flight);
  const double begin_ms = Cpu_ms();
  const Expected<std::string> png = CompositePng(flight, pictures);
  const double middle_ms = Cpu_ms();
  const Expected<std::string> html = ReportHtml(flight, pictures);
  const double end_ms = Cpu_ms();
  ASSERT_TRUE(png.has_value());
  ASSERT_TRUE(html.has_value());
  std::printf("picture %.0f ms, %zu kB; page %.0f ms, %zu kB\n",
              middle_ms - begin_ms,
              png->size() / 1000,
              end_ms - middle_ms,
              html->size() / 1000);
#ifdef NDEBUG
  EXPECT_LT(end_ms - begin_ms, 240.0);
#endif
}

}  // namespace
}  // namespace loftline
