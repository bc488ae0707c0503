// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
//
// follow_by_hand METHOD CLIP TRUTH TRACK: follows the rocket of a rendered clip with a general-purpose method, writes
// where it says the rocket is as a track file, and prints how fast that went. METHOD is csrt-GROWN (csrt-2: a box twice
// the true one), mog2[-colour] or mog2[-colour]-moved-on. Decoded as for tracking, by the same code.
//
// The method is given everything that can be given: it starts on the true box, ends with the flight, and whenever it
// is off the rocket it is pointed at the rocket again. Such a frame counts as lost, but the time that pointing takes is
// not counted.
#include "tests/accuracy/tracker_figures.h"
#include "tests/bench/hand_follower.h"

#include <chrono>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <stdexcept>
#include <string>

#include <fmt/format.h>

namespace {

using loftline::Expected;
using loftline::Frame;
using loftline::FrameSource;
using loftline::accuracy::ClipTruth;
using loftline::accuracy::TruthFrame;
using loftline::bench::HandFollower;
using loftline::bench::TrueBox;
using Clock = std::chrono::steady_clock;

constexpr double kWidthToLength = 0.3;  // fins included; a paper rocket's

std::unique_ptr<HandFollower> Make(const std::string& method) {
  if (method.starts_with("csrt-")) return loftline::bench::FollowByCorrelation(std::stod(method.substr(5)));
  if (method == "mog2") return loftline::bench::FollowByOutlines({});
  if (method == "mog2-moved-on") return loftline::bench::FollowByOutlines({true, false});
  if (method == "mog2-colour") return loftline::bench::FollowByOutlines({false, true});
  if (method == "mog2-colour-moved-on") return loftline::bench::FollowByOutlines({true, true});
  throw std::runtime_error("no such method: " + method);
}

bool Asked(const TruthFrame& frame) {
  return frame.visible && frame.state == "flight";
}

TrueBox BoxOn(const ClipTruth& truth, std::size_t i) {
  const TruthFrame& frame = truth.frames[i];
  const TruthFrame& next = truth.frames[std::min(i + 1, truth.frames.size() - 1)];
  const auto [hx, hy] = loftline::accuracy::Heading(truth, i);
  const double width_px = kWidthToLength * frame.length_px;
  return {{frame.x_px, frame.y_px},
          {std::abs(hx) * frame.length_px + std::abs(hy) * width_px,
           std::abs(hy) * frame.length_px + std::abs(hx) * width_px},
          {next.x_px - frame.x_px, next.y_px - frame.y_px}};
}

class Run {
 public:
  Run(std::unique_ptr<HandFollower> follower, const ClipTruth& truth) : follower_(std::move(follower)), truth_(truth) {
    for (std::size_t i = 0; i < truth.frames.size(); ++i) {
      if (!Asked(truth.frames[i])) continue;
      if (first_ < 0) first_ = static_cast<int>(i);
      last_ = static_cast<int>(i);
    }
    if (first_ < 0) throw std::runtime_error("no flight is to be seen in " + truth.name);
  }

  // False once the flight is over.
  bool Look(const Frame& frame) {
    if (frame.index > last_) return false;
    if (frame.index < first_) {
      follower_->Pass(frame);
      return true;
    }
    if (frame.index == first_) {
      started_ = Clock::now();
      Point(frame);
      return true;
    }
    ++followed_;
    const std::optional<Eigen::Vector2d> at_px = follower_->Follow(frame);
    const TruthFrame& truth = truth_.frames[static_cast<std::size_t>(frame.index)];
    const Eigen::Vector2d true_px(truth.x_px, truth.y_px);
    if (at_px && (*at_px - true_px).norm() <= loftline::accuracy::FalseFromPx(truth)) {
      rows_ +=
          fmt::format("{},{:.7f},{:.4f},{:.4f},1,0,1,,,flight\n", frame.index, frame.time_s, at_px->x(), at_px->y());
    } else if (Asked(truth)) {
      ++pointed_again_;
      Point(frame);
    }
    ended_ = Clock::now();
    return true;
  }

  void Write(const std::string& path) const {
    std::ofstream(path) << "frame,time_s,x_px,y_px,var_xx_px2,var_xy_px2,var_yy_px2,length_px,axis_deg,state\n"
                        << rows_;
  }

  void Print() const {
    const std::chrono::duration<double> taken = ended_ - started_ - pointing_;
    fmt::print("{{\"started\": {}, \"frames\": {}, \"seconds\": {:.4f}, \"pointed_again\": {}}}\n",
               first_,
               followed_,
               taken.count(),
               pointed_again_);
  }

 private:
  void Point(const Frame& frame) {
    const Clock::time_point begin = Clock::now();
    follower_->Point(frame, BoxOn(truth_, static_cast<std::size_t>(frame.index)));
    pointing_ += Clock::now() - begin;
  }

  std::unique_ptr<HandFollower> follower_;
  const ClipTruth& truth_;
  int first_ = -1, last_ = -1, followed_ = 0, pointed_again_ = 0;
  Clock::time_point started_, ended_;
  Clock::duration pointing_{};
  std::string rows_;
};

void Follow(const std::string& method, const char* clip, const char* truth_file, const char* track_file) {
  const ClipTruth truth = loftline::accuracy::ReadTruth(truth_file);
  Run run(Make(method), truth);
  Expected<std::unique_ptr<FrameSource>> source = loftline::OpenClip(clip);
  if (!source) throw std::runtime_error(loftline::Describe(source.error()));
  while (true) {
    const Expected<std::optional<Frame>> frame = (*source)->Read();
    if (!frame) throw std::runtime_error(loftline::Describe(frame.error()));
    if (!frame->has_value() || !run.Look(**frame)) break;
  }
  run.Write(track_file);
  run.Print();
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 5) {
    std::fputs("follow_by_hand csrt-GROWN|mog2[-colour][-moved-on] CLIP TRUTH TRACK\n", stderr);
    return 2;
  }
  try {
    Follow(argv[1], argv[2], argv[3], argv[4]);
  } catch (const std::exception& problem) {
    fmt::print(stderr, "follow_by_hand: {}\n", problem.what());
    return 4;
  }
  return 0;
}
