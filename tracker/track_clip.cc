// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tracker/track_clip.h"

#include "tracker/background.h"
#include "tracker/candidates.h"
#include "tracker/find_flight.h"
#include "tracker/flight_choice.h"
#include "tracker/link_paths.h"
#include "tracker/marked_places.h"
#include "tracker/patch_pool.h"
#include "tracker/repeated_frames.h"
#include "tracker/steady_view.h"
#include "tracker/track_refusals.h"
#include "tracker/wide_picture.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <set>
#include <utility>

namespace loftline {
namespace {

constexpr double kBackdropEverySeconds = 1.0;
constexpr double kCutoutSeconds = 8.0;  // cut-outs of candidates that no tracklet took are kept this long
constexpr std::size_t kCutoutsPerFrame = 12;
constexpr int kCutoutMarginPx = 12;
constexpr int kRepeatsWorthSaying = 4;  // a foot that turns back may stand still for a frame

std::shared_ptr<const Cutout> CutOut(const Frame& frame, const ViewMap& view, cv::Rect area) {
  // Even corners, so that the half-size colour planes line up.
  const int left = std::max(0, area.x) & ~1;
  const int top = std::max(0, area.y) & ~1;
  const int right = std::min(frame.luma.cols, (area.x + area.width + 1) & ~1);
  const int bottom = std::min(frame.luma.rows, (area.y + area.height + 1) & ~1);
  if (right <= left || bottom <= top) return nullptr;
  auto cutout = std::make_shared<Cutout>();
  cutout->frame = frame.index;
  cutout->view = view;
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

std::shared_ptr<const Cutout> CutOutBody(const Frame& frame, const ViewMap& view, const BodyMeasure& in_first) {
  const BodyMeasure body = view.InView(in_first);
  const double reach_px = 0.5 * body.length_px + kCutoutMarginPx;
  const double half_width_px = std::abs(std::cos(body.axis_rad)) * reach_px +
                               std::abs(std::sin(body.axis_rad)) * (body.width_px + kCutoutMarginPx);
  const double half_height_px = std::abs(std::sin(body.axis_rad)) * reach_px +
                                std::abs(std::cos(body.axis_rad)) * (body.width_px + kCutoutMarginPx);
  const int left = static_cast<int>(std::floor(body.at_px.x() - half_width_px));
  const int top = static_cast<int>(std::floor(body.at_px.y() - half_height_px));
  return CutOut(
      frame,
      view,
      {left, top, static_cast<int>(std::ceil(2 * half_width_px)), static_cast<int>(std::ceil(2 * half_height_px))});
}

class ClipTracker {
 public:
  ClipTracker(const ClipInfo& clip, const TrackOptions& options)
      : options_(options),
        clip_(clip),
        view_(clip),
        marks_(options.marked),
        linker_(std::max(clip.width_px, clip.height_px)),
        time_scale_(RealSecondsPerStored(clip.stored_rate_hz, options.capture_rate_hz, clip.capture_rate_hz)),
        choice_({rules_, linker_.history(), pool_, marks_, view_}, 1.0 / time_scale_) {
    rules_.picture = PictureFrameOf(std::max(1, clip.width_px), std::max(1, clip.height_px), clip.rotation_deg);
    rules_.width_px = clip.width_px;
    rules_.height_px = clip.height_px;
    if (!options.capture_rate_hz && time_scale_ == 1.0) rules_.believed_rate_hz = clip.stored_rate_hz;
    if (options.launch_frame == 0) rules_.launch_px = options.launch_px;
  }

  void Look(const Frame& stored) {
    Frame frame = stored;
    frame.time_s *= time_scale_;
    if (frames_ == 0) first_s_ = background_s_ = last_s_ = frame.time_s;
    last_step_s_ = frame.time_s - last_s_;
    last_s_ = frame.time_s;
    frames_ = frame.index + 1;
    if (frame.luma.cols < 2 * Background::kBlockPx || frame.luma.rows < 2 * Background::kBlockPx) return;
    frame = view_.Look(frame, options_.keep_pictures);
    if (options_.launch_px && frame.index == options_.launch_frame)
      rules_.launch_px = view_.InFirstFrame(*options_.launch_px);
    if (!view_.trusted()) return PassOver(frame);
    if (options_.keep_pictures) KeepBackdrop(frame);
    if (const auto& homography = view_.view_from_last_view()) background_.Move(MatxOf(*homography));
    background_.Look(frame.luma, frame.time_s - background_s_, view_.shown_blocks());
    background_s_ = frame.time_s;
    Sightings sightings{frame.index, frame.time_s, FindCandidates(frame)};
    if (const MarkedPlace* mark = marks_.On(frame.index)) {
      marks_.Seen(frame.index, frame.time_s, *view_.InFirstFrame(mark->at_px), &sightings.candidates);
    }
    if (options_.keep_pictures) KeepCutouts(frame, &sightings);
    linker_.Add(std::move(sightings), backdrop_before_);
    std::optional<Eigen::Vector2d> expected_px = marks_.Between(frame.index);
    if (expected_px) expected_px = view_.InFirstFrame(*expected_px);
    pool_.Add(frame, view_.map(), view_.place(), background_, linker_, expected_px);
    choice_.Judge(linker_.TakeEnded(false), frame.time_s);
  }

  // LATE: frames that turned out to repeat the picture before after they had been looked at.
  Expected<ClipTrack> Finish(const std::vector<int>& late) {
    choice_.Judge(linker_.TakeEnded(true), last_s_);
    const Expected<ChosenFlight> chosen = choice_.Choose(frames_);
    if (!chosen) {
      if (choice_.undecided() && options_.on_undecided) options_.on_undecided(*choice_.undecided());
      return chosen.error();
    }
    return Publish(chosen->flight, chosen->choice, late);
  }

 private:
  // Nothing can be said of a frame when it is not known where the camera pointed.
  void PassOver(const Frame& frame) {
    linker_.Add({frame.index, frame.time_s, {}}, backdrop_before_);
    if (marks_.On(frame.index) != nullptr) marks_.SeenWithoutPlace(frame.index, frame.time_s);
    choice_.Judge(linker_.TakeEnded(false), frame.time_s);
  }

  // In the first frame's pixels.
  std::vector<Candidate> FindCandidates(const Frame& frame) {
    std::vector<Eigen::Vector2d> expected_px;
    for (const Eigen::Vector2d& first_px : linker_.Expected(frame.time_s)) {
      const Eigen::Vector2d at_px = view_.map().InView(first_px);
      if (at_px.allFinite()) expected_px.push_back(at_px);
    }
    std::vector<Candidate> candidates = finder_.Find(frame, background_, expected_px);
    for (Candidate& candidate : candidates) {
      candidate.place_std_px = view_.place().std_px;
      candidate.whole_place_std_px = view_.place().whole_std_px;
      candidate.magnified = view_.map().MagnificationAt(candidate.body.at_px);
      candidate.body = view_.map().InFirst(candidate.body);
    }
    return candidates;
  }

  void KeepBackdrop(const Frame& frame) {
    const cv::Rect whole(0, 0, frame.luma.cols, frame.luma.rows);
    if (views_.Wants(view_.map(), whole.size())) views_.Keep(CutOut(frame, view_.map(), whole));
    if (backdrop_now_ && frame.time_s - backdrop_s_ < kBackdropEverySeconds) return;
    // A tracklet is known only from its third point on, so it gets the backdrop before the newest one.
    backdrop_before_ = backdrop_now_;
    backdrop_now_ = CutOut(frame, view_.map(), whole);
    backdrop_s_ = frame.time_s;
    if (!backdrop_before_) backdrop_before_ = backdrop_now_;
  }

  void KeepCutouts(const Frame& frame, Sightings* sightings) {
    const std::size_t count = std::min(kCutoutsPerFrame, sightings->candidates.size());
    for (std::size_t i = 0; i < count; ++i) {
      sightings->candidates[i].cutout = CutOutBody(frame, view_.map(), sightings->candidates[i].body);
    }
    for (Sightings& old : linker_.history()) {
      if (old.time_s > frame.time_s - kCutoutSeconds) break;
      for (Candidate& candidate : old.candidates) candidate.cutout.reset();
    }
  }

  Expected<ClipTrack> Publish(const FlightGuess& best, const PathChoice& choice, const std::vector<int>& late) const {
    ClipTrack result;
    result.track = best.track;
    marks_.PutInto(&result.track);
    result.in_backdrop = best.steady_track;
    for (TrackPoint& point : result.track.points) {
      const bool repeats = std::find(late.begin(), late.end(), point.frame) != late.end();
      if (repeats && point.state == PointState::kFlight && marks_.On(point.frame) == nullptr) {
        point.state = PointState::kOutlier;
      }
    }
    std::size_t flying = 0;
    for (const TrackPoint& point : result.track.points) flying += point.state == PointState::kFlight ? 1 : 0;
    if (flying < kFewestFlightPoints) return TooFewFlightPoints(flying);
    result.clip = clip_;
    result.clip.frames = frames_;
    result.clip.duration_s = (last_s_ - first_s_ + last_step_s_) / time_scale_;
    result.track.poses = view_.poses();
    for (TrackPoint& point : result.track.points) point.time_s /= time_scale_;
    for (CameraPose& pose : result.track.poses) pose.time_s /= time_scale_;
    result.choice = choice;
    if (std::optional<Finding> finding = FindingOf(choice)) result.findings.push_back(*std::move(finding));
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
      views_.LayOut(&result);
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
  double time_scale_;  // real seconds per stored second: all times here are real
  FlightChoice choice_;
  std::shared_ptr<const Cutout> backdrop_now_, backdrop_before_;
  ViewsKept views_;
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

// Frames that a person speaks of are looked at whatever they show.
std::set<int> SpokenOf(const TrackOptions& options) {
  std::set<int> frames;
  if (options.launch_px) frames.insert(options.launch_frame);
  for (const MarkedPlace& mark : options.marked) frames.insert(mark.frame);
  return frames;
}

Finding RepeatsLeftOut(int repeats, std::int64_t frames) {
  return {"repeated-frames",
          Severity::kNote,
          "The clip shows " + std::to_string(repeats) + " of its " + std::to_string(frames) +
              " frames twice; the second of each pair was left out.",
          "Film in brighter light or at a lower rate, and give the clip as the phone recorded it, not converted."};
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
    WithoutRepeats frames(source, SpokenOf(options));
    int seen = 0;
    while (true) {
      if (control.stop.stop_requested()) return Cancelled();
      const Expected<std::optional<Frame>> frame = frames.Read();
      if (!frame) return frame.error();
      if (!frame->has_value()) break;
      tracker.Look(**frame);
      seen = (*frame)->index + 1;
      if (control.on_progress && info.frames > 0) {
        control.on_progress(std::min(1.0, static_cast<double>(seen) / static_cast<double>(info.frames)));
      }
    }
    Expected<ClipTrack> found = tracker.Finish(frames.late());
    if (found && frames.repeats() >= kRepeatsWorthSaying)
      found->findings.push_back(RepeatsLeftOut(frames.repeats(), found->clip.frames));
    return found;
  } catch (const cv::Exception& exception) {
    return OpenCvError(exception);
  }
}

}  // namespace loftline
