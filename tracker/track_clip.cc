// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/track_clip.h"

#include "tracker/background.h"
#include "tracker/candidates.h"
#include "tracker/find_flight.h"
#include "tracker/label_points.h"
#include "tracker/link_paths.h"
#include "tracker/marked_places.h"
#include "tracker/patch_pool.h"
#include "tracker/refine_flight.h"
#include "tracker/steady_view.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

namespace loftline {
namespace {

constexpr std::size_t kFewestFlightPoints = 8;
constexpr double kTieRatio = 0.6;       // a second path with this share of the best one's score is a rival
constexpr double kSettleSeconds = 1.2;  // a tracklet is judged so long after it ended: the path may come back into view
constexpr double kQuietSeconds = 0.5;   // a guess that has not changed for so long is whole
constexpr std::size_t kMostGuesses = 6;
constexpr std::size_t kMostWaiting = 64;
constexpr double kBackdropEverySeconds = 1.0;
constexpr double kCutoutSeconds = 4.0;  // cut-outs of candidates that no tracklet took are kept this long
constexpr std::size_t kCutoutsPerFrame = 12;
constexpr int kCutoutMarginPx = 12;

Error Refusal(const char* code, std::string message, std::string advice) {
  Error error;
  error.kind = ErrorKind::kRefused;
  error.code = code;
  error.message = std::move(message);
  error.advice = std::move(advice);
  return error;
}

std::shared_ptr<const Cutout> CutOut(const Frame& frame, cv::Rect area) {
  // Even corners, so that the half-size colour planes line up.
  const int left = std::max(0, area.x) & ~1;
  const int top = std::max(0, area.y) & ~1;
  const int right = std::min(frame.luma.cols, (area.x + area.width + 1) & ~1);
  const int bottom = std::min(frame.luma.rows, (area.y + area.height + 1) & ~1);
  if (right <= left || bottom <= top) return nullptr;
  auto cutout = std::make_shared<Cutout>();
  cutout->frame = frame.index;
  cutout->top_left_px = {left, top};
  cutout->luma = frame.luma(cv::Rect(left, top, right - left, bottom - top)).clone();
  if (!frame.chroma_blue.empty() && !frame.chroma_red.empty()) {
    const cv::Rect half = cv::Rect(left / 2, top / 2, (right - left + 1) / 2, (bottom - top + 1) / 2) &
                          cv::Rect(0, 0, frame.chroma_blue.cols, frame.chroma_blue.rows);
    cutout->chroma_blue = frame.chroma_blue(half).clone();
    cutout->chroma_red = frame.chroma_red(half).clone();
  }
  return cutout;
}

std::shared_ptr<const Cutout> CutOutBody(const Frame& frame, const BodyMeasure& body) {
  const double reach_px = 0.5 * body.length_px + kCutoutMarginPx;
  const double half_width_px = std::abs(std::cos(body.axis_rad)) * reach_px +
                               std::abs(std::sin(body.axis_rad)) * (body.width_px + kCutoutMarginPx);
  const double half_height_px = std::abs(std::sin(body.axis_rad)) * reach_px +
                                std::abs(std::cos(body.axis_rad)) * (body.width_px + kCutoutMarginPx);
  const int left = static_cast<int>(std::floor(body.at_px.x() - half_width_px));
  const int top = static_cast<int>(std::floor(body.at_px.y() - half_height_px));
  return CutOut(
      frame,
      {left, top, static_cast<int>(std::ceil(2 * half_width_px)), static_cast<int>(std::ceil(2 * half_height_px))});
}

// Two guesses of one flight share points.
bool SameFlight(const FlightGuess& a, const FlightGuess& b) {
  std::size_t shared = 0;
  std::size_t j = 0;
  for (const Candidate& point : a.linked) {
    while (j < b.linked.size() && b.linked[j].frame < point.frame) ++j;
    if (j < b.linked.size() && b.linked[j].frame == point.frame && b.linked[j].body.at_px == point.body.at_px) ++shared;
  }
  return shared >= std::max<std::size_t>(2, std::min(a.linked.size(), b.linked.size()) / 4);
}

// A bounce begins where and when the flight ended; it is no second rocket.
bool Continues(const FlightGuess& flight, const FlightGuess& later, int longer_px) {
  const Candidate& end = flight.points.back();
  const Candidate& begin = later.points.front();
  return begin.time_s >= end.time_s - 0.05 && begin.time_s <= end.time_s + 0.6 &&
         (begin.body.at_px - end.body.at_px).norm() <= 0.08 * longer_px;
}

class ClipTracker {
 public:
  ClipTracker(const ClipInfo& clip, const TrackOptions& options)
      : options_(options),
        clip_(clip),
        view_(clip),
        marks_(options.marked),
        linker_(std::max(clip.width_px, clip.height_px)) {
    rules_.picture = PictureFrameOf(std::max(1, clip.width_px), std::max(1, clip.height_px), clip.rotation_deg);
    rules_.width_px = clip.width_px;
    rules_.height_px = clip.height_px;
    if (options.launch_frame == 0) rules_.launch_px = options.launch_px;
    time_scale_ = RealSecondsPerStored(clip.stored_rate_hz, options.capture_rate_hz, clip.capture_rate_hz);
  }

  void Look(const Frame& stored) {
    Frame frame = stored;
    frame.time_s *= time_scale_;
    if (frames_ == 0) first_s_ = background_s_ = last_s_ = frame.time_s;
    last_step_s_ = frame.time_s - last_s_;
    last_s_ = frame.time_s;
    ++frames_;
    if (frame.luma.cols < 2 * Background::kBlockPx || frame.luma.rows < 2 * Background::kBlockPx) return;
    frame = view_.Look(frame, options_.keep_pictures);
    if (options_.launch_px && frame.index == options_.launch_frame)
      rules_.launch_px = view_.InFirstFrame(*options_.launch_px);
    if (!view_.trusted()) return PassOver(frame);
    if (options_.keep_pictures) KeepBackdrop(frame);
    background_.Look(frame.luma, frame.time_s - background_s_);
    background_s_ = frame.time_s;
    Sightings sightings{frame.index, frame.time_s, finder_.Find(frame, background_, linker_.Expected(frame.time_s))};
    if (const MarkedPlace* mark = marks_.On(frame.index)) {
      marks_.Seen(frame.index, frame.time_s, *view_.InFirstFrame(mark->at_px), &sightings.candidates);
    }
    if (options_.keep_pictures) KeepCutouts(frame, &sightings);
    linker_.Add(std::move(sightings), backdrop_before_);
    std::optional<Eigen::Vector2d> expected_px = marks_.Between(frame.index);
    if (expected_px) expected_px = view_.InFirstFrame(*expected_px);
    pool_.Add(frame, background_, linker_, expected_px);
    for (Tracklet& tracklet : linker_.TakeEnded(false)) waiting_.push_back(std::move(tracklet));
    JudgeWaiting(frame.time_s);
  }

  Expected<ClipTrack> Finish() {
    for (Tracklet& tracklet : linker_.TakeEnded(true)) waiting_.push_back(std::move(tracklet));
    JudgeWaiting(1e18);
    if (!marks_.empty() && !KeepMarked()) return NotThroughMarks();
    if (guesses_.empty()) return NoRocket();
    if (!guesses_.front().settled) Settle(&guesses_.front());
    const FlightGuess& best = guesses_.front();
    const FlightGuess* rival = Rival();
    const double ratio = rival != nullptr ? rival->score / best.score : 0.0;
    if (ratio > kTieRatio) return Ambiguous(best, *rival);
    return Publish(best, ratio);
  }

 private:
  // Nothing can be said of a frame when it is not known where the camera pointed.
  void PassOver(const Frame& frame) {
    linker_.Add({frame.index, frame.time_s, {}}, backdrop_before_);
    for (Tracklet& tracklet : linker_.TakeEnded(false)) waiting_.push_back(std::move(tracklet));
    JudgeWaiting(frame.time_s);
  }

  void KeepBackdrop(const Frame& frame) {
    if (backdrop_now_ && frame.time_s - backdrop_s_ < kBackdropEverySeconds) return;
    // A tracklet is known only from its third point on, so it gets the backdrop before the newest one.
    backdrop_before_ = backdrop_now_;
    backdrop_now_ = CutOut(frame, {0, 0, frame.luma.cols, frame.luma.rows});
    backdrop_s_ = frame.time_s;
    if (!backdrop_before_) backdrop_before_ = backdrop_now_;
  }

  void KeepCutouts(const Frame& frame, Sightings* sightings) {
    const std::size_t count = std::min(kCutoutsPerFrame, sightings->candidates.size());
    for (std::size_t i = 0; i < count; ++i) {
      sightings->candidates[i].cutout = CutOutBody(frame, sightings->candidates[i].body);
    }
    for (Sightings& old : linker_.history()) {
      if (old.time_s > frame.time_s - kCutoutSeconds) break;
      for (Candidate& candidate : old.candidates) candidate.cutout.reset();
    }
  }

  void JudgeWaiting(double now_s) {
    if (waiting_.size() > kMostWaiting) {
      std::sort(waiting_.begin(), waiting_.end(), [](const Tracklet& a, const Tracklet& b) {
        return a.points.size() > b.points.size();
      });
      waiting_.resize(kMostWaiting);
    }
    std::vector<Tracklet> later;
    for (Tracklet& tracklet : waiting_) {
      if (tracklet.points.back().time_s + kSettleSeconds > now_s) {
        later.push_back(std::move(tracklet));
        continue;
      }
      std::optional<FlightGuess> guess = FindFlight(tracklet, linker_.history(), rules_);
      if (guess) Remember(std::move(*guess), now_s);
    }
    waiting_ = std::move(later);
    for (FlightGuess& guess : guesses_) {
      if (!guess.settled && guess.changed_s + kQuietSeconds < now_s) Settle(&guess);
    }
  }

  void Remember(FlightGuess guess, double now_s) {
    guess.changed_s = now_s;
    for (FlightGuess& known : guesses_) {
      const bool same = SameFlight(known, guess);
      std::optional<FlightGuess> joined = same ? std::nullopt : Joined(known, guess, rules_);
      if (!same && !joined) continue;
      // The part that came first is known best before it is mixed with what came back into view, perhaps half seen.
      if (joined && !known.settled) {
        Settle(&known);
        joined = Joined(known, guess, rules_);
      }
      if (joined) {
        guess = *std::move(joined);
        guess.changed_s = now_s;
        guess.settled = false;
      }
      if (guess.score > known.score) {
        known = std::move(guess);
        SortGuesses();
      }
      return;
    }
    guesses_.push_back(std::move(guess));
    SortGuesses();
    if (guesses_.size() > kMostGuesses) guesses_.pop_back();
  }

  // A second look is dear, and wanted only of the best guess, or a marked one, once it is whole. It needs patches, and
  // labelling the frames between the points, which are forgotten in the end; both are done while they are there.
  void Settle(FlightGuess* guess) {
    const bool marked = !marks_.empty() && marks_.LieOn(*guess, rules_);
    if (guess == &guesses_.front() || marked) RefineFlight(guess, pool_, rules_);
    guess->steady_track = LabelPoints(*guess, linker_.history(), rules_);
    guess->track = guess->steady_track;
    view_.ToOwnPixels(&guess->track);
    guess->settled = true;
  }

  // Only guesses that go through all marks stay; false where none does.
  bool KeepMarked() {
    std::erase_if(guesses_, [this](const FlightGuess& guess) { return !marks_.LieOn(guess, rules_); });
    if (!guesses_.empty()) return true;
    std::optional<FlightGuess> guess = marks_.FlightThrough(linker_.history(), rules_);
    if (!guess || !marks_.LieOn(*guess, rules_)) return false;
    guesses_.push_back(*std::move(guess));
    return true;
  }

  Error NotThroughMarks() const {
    return Refusal(
        "no-flight-through-marks",
        "No flight was found through the marked places.",
        "Mark the rocket on at least three frames, spread over its flight, and check the frames' numbers: the "
        "first is 0.");
  }

  void SortGuesses() {
    std::sort(
        guesses_.begin(), guesses_.end(), [](const FlightGuess& a, const FlightGuess& b) { return a.score > b.score; });
  }

  const FlightGuess* Rival() const {
    const int longer_px = std::max(clip_.width_px, clip_.height_px);
    const FlightGuess& best = guesses_.front();
    for (std::size_t i = 1; i < guesses_.size(); ++i) {
      if (Continues(best, guesses_[i], longer_px)) continue;
      if (LiesOnPath(best, guesses_[i]) || LiesOnPath(guesses_[i], best)) continue;
      return &guesses_[i];
    }
    return nullptr;
  }

  // Rise and fall of one flight, seen apart from each other, are no rivals.
  bool LiesOnPath(const FlightGuess& flight, const FlightGuess& other) const {
    std::vector<double> times_s;
    for (const Candidate& point : other.points) times_s.push_back(point.time_s);
    const std::vector<PathState> states = StatesOnFrames(flight.fit.path, rules_.picture, times_s);
    std::size_t near = 0;
    const double reach_px = 0.02 * std::max(clip_.width_px, clip_.height_px);
    for (std::size_t i = 0; i < states.size(); ++i) {
      near += (states[i].at_px - other.points[i].body.at_px).norm() < reach_px ? 1 : 0;
    }
    return 2 * near > states.size();
  }

  Error NoRocket() const {
    if (frames_ < static_cast<int>(kFewestFlightPoints)) {
      return Refusal("too-few-points",
                     "The clip has " + std::to_string(frames_) + " frames; a flight needs at least " +
                         std::to_string(kFewestFlightPoints) + ".",
                     "Film the whole flight, from before the launch until after the landing.");
    }
    return Refusal(
        "no-rocket",
        "Nothing in the clip moves like a rocket in free flight.",
        "Use a clip of the whole flight, filmed from the side with the phone held still on a tripod, with the "
        "rocket in front of something of another colour.");
  }

  Error Ambiguous(const FlightGuess& best, const FlightGuess& rival) const {
    const auto when = [this](const FlightGuess& guess) {
      const double tenths = std::round(guess.points.front().time_s / time_scale_ * 10.0) / 10.0;
      std::string text = std::to_string(tenths);
      return text.substr(0, text.find('.') + 2);
    };
    return Refusal(
        "path-ambiguous",
        "Two paths in the clip fly equally well, one from " + when(best) + " s and one from " + when(rival) + " s.",
        "Mark the launch point (the tube's mouth), or cut the clip to one flight.");
  }

  Expected<ClipTrack> Publish(const FlightGuess& best, double ratio) const {
    ClipTrack result;
    result.track = best.track;
    marks_.PutInto(&result.track);
    result.in_backdrop = best.steady_track;
    std::size_t flying = 0;
    for (const TrackPoint& point : result.track.points) flying += point.state == PointState::kFlight ? 1 : 0;
    if (flying < kFewestFlightPoints) {
      return Refusal("too-few-points",
                     "The rocket was seen in free flight on " + std::to_string(flying) + " frames only; at least " +
                         std::to_string(kFewestFlightPoints) + " are needed.",
                     "Film from further away or at a higher frame rate, so that more of the flight is in the picture.");
    }
    result.clip = clip_;
    result.clip.frames = frames_;
    result.clip.duration_s = (last_s_ - first_s_ + last_step_s_) / time_scale_;
    result.track.poses = view_.poses();
    for (TrackPoint& point : result.track.points) point.time_s /= time_scale_;
    for (CameraPose& pose : result.track.poses) pose.time_s /= time_scale_;
    result.runner_up_ratio = ratio;
    if (options_.keep_pictures) {
      if (best.backdrop) result.backdrop = *best.backdrop;
      std::size_t next = 0;
      for (const TrackPoint& point : result.track.points) {
        while (next < best.points.size() && best.points[next].frame < point.frame) ++next;
        if (point.state != PointState::kFlight || next >= best.points.size()) continue;
        if (best.points[next].frame == point.frame && best.points[next].cutout) {
          result.cutouts.push_back(*best.points[next].cutout);
        }
      }
    }
    return result;
  }

  TrackOptions options_;
  ClipInfo clip_;
  FlightRules rules_;
  SteadyView view_;
  MarkedPlaces marks_;
  Background background_;
  CandidateFinder finder_;
  PathLinker linker_;
  PatchPool pool_;
  std::vector<Tracklet> waiting_;
  std::vector<FlightGuess> guesses_;
  std::shared_ptr<const Cutout> backdrop_now_, backdrop_before_;
  double time_scale_ = 1.0;  // real seconds per stored second: all times here are real
  double backdrop_s_ = 0.0;
  double background_s_ = 0.0;  // when the background was looked at last
  double first_s_ = 0.0;
  double last_s_ = 0.0;
  double last_step_s_ = 0.0;
  int frames_ = 0;
};

Error OpenCvError(const cv::Exception& exception) {
  Error error;
  error.kind = ErrorKind::kInternal;
  error.code = "image-failure";
  error.message = std::string("The image library failed: ") + exception.what();
  return error;
}

Error Cancelled() {
  Error error;
  error.kind = ErrorKind::kCancelled;
  error.code = "cancelled";
  error.message = "Tracking was stopped.";
  return error;
}

}  // namespace

Expected<ClipTrack> TrackClip(FrameSource& source, const TrackOptions& options, const RunControl& control) {
  try {
    const ClipInfo info = source.info();
    ClipTracker tracker(info, options);
    int seen = 0;
    while (true) {
      if (control.stop.stop_requested()) return Cancelled();
      const Expected<std::optional<Frame>> frame = source.Read();
      if (!frame) return frame.error();
      if (!frame->has_value()) break;
      tracker.Look(**frame);
      ++seen;
      if (control.on_progress && info.frames > 0) {
        control.on_progress(std::min(1.0, static_cast<double>(seen) / static_cast<double>(info.frames)));
      }
    }
    return tracker.Finish();
  } catch (const cv::Exception& exception) {
    return OpenCvError(exception);
  }
}

}  // namespace loftline
