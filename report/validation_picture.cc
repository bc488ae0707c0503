// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/validation_picture.h"

#include "core/read_file.h"
#include "fit/read_result.h"
#include "fit/simulator/measured_path.h"
#include "report/decode_image.h"
#include "report/encode_image.h"
#include "report/flight_drawing.h"
#include "report/flight_picture.h"
#include "report/html_text.h"
#include "report/in_backdrop.h"
#include "report/validation_words.h"
#include "tracker/motion_file.h"
#include "tracker/view_map.h"

#include <algorithm>
#include <filesystem>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

namespace loftline {
namespace {

constexpr int kWidest = 1200;  // a page shows no more
constexpr int kMostApart = 4;  // pixels between the size expected and the picture's
constexpr std::size_t kLargestFile = std::size_t{1} << 26;
constexpr int kJoints = 12;

// STEM and ENDING for STEM.result.json.
std::optional<std::filesystem::path> WithEnding(const std::string& result_file, std::string_view ending) {
  constexpr std::string_view kResult = ".result.json";
  if (!result_file.ends_with(kResult)) return std::nullopt;
  return result_file.substr(0, result_file.size() - kResult.size()) + std::string(ending);
}

// The samples that FitFlight gives and the file does not hold: only where they lie in the picture.
void FlyAgain(FlightResult* result) {
  const FittedMotion motion = FlyingRight(result->motion);
  constexpr int kSamples = 161;
  const double last_seen_s = motion.last_seen_s;
  const double end_s =
      result->flight.flight_time_s ? std::max(result->flight.flight_time_s->value, last_seen_s) : 2.0 * last_seen_s;
  const Camera camera = CameraOf(*result);
  for (const FlownMoment& moment : Fly(motion.values, motion.conditions, EvenTimes(0.0, end_s, kSamples))) {
    PathSample sample;
    sample.in_px = camera.PxFromWorld(WorldFromPlace(result->motion.values, moment.place_m));
    result->path.push_back(sample);
  }
}

// How the camera lay when the survey was made, for one that was held by hand: the picture is in the first frame's view.
ClipTrack MotionBeside(const std::string& result_file) {
  ClipTrack clip;
  std::filesystem::path path = WithEnding(result_file, ".motion.csv").value_or("");
  if (!std::filesystem::exists(path)) return clip;
  Expected<std::vector<CameraPose>> poses = ReadMotion(path);
  if (poses) clip.track.poses = *std::move(poses);
  return clip;
}

struct Composite {
  cv::Mat picture;
  ShownRegion region;
  ViewMap first_from_survey;

  Eigen::Vector2d Shown(const Eigen::Vector2d& in_survey_px) const {
    return region.ShownFromPx(first_from_survey.InFirst(in_survey_px));
  }
};

// The picture, if it shows what the result says: measure crops it to the flight, so that its size tells.
std::optional<Composite> FindComposite(const FlightValidation& flight) {
  const std::optional<std::filesystem::path> path = WithEnding(flight.result_file, ".flight.png");
  if (!path) return std::nullopt;
  const Expected<std::string> bytes = ReadWholeFile(*path, kLargestFile);
  if (!bytes) return std::nullopt;
  std::optional<cv::Mat> picture = DecodePng(*bytes);
  Expected<FlightResult> result = ReadResult(flight.result_file);
  if (!picture || !result || result->verdict == Verdict::kRefused) return std::nullopt;
  FlyAgain(&*result);
  const ClipTrack motion = MotionBeside(flight.result_file);
  const std::optional<ShownRegion> region =
      FlightRegion(InBackdrop(*result, motion), result->survey.width_px, result->survey.height_px, kLongestShown);
  if (!region || std::abs(region->shown_width() - picture->cols) > kMostApart ||
      std::abs(region->shown_height() - picture->rows) > kMostApart) {
    return std::nullopt;
  }
  const CameraPose* pose = PoseOfFrame(motion.track.poses, result->survey.frame);
  return Composite{std::move(*picture), *region, pose == nullptr ? ViewMap() : ViewMap(*pose->reference_from_frame)};
}

cv::Mat NoWiderThan(const cv::Mat& picture, int width) {
  if (picture.cols <= width) return picture;
  cv::Mat smaller;
  cv::resize(picture, smaller, {width, picture.rows * width / picture.cols}, 0.0, 0.0, cv::INTER_AREA);
  return smaller;
}

bool Inside(const Composite& composite, const Eigen::Vector2d& shown) {
  return shown.x() >= 0.0 && shown.y() >= 0.0 && shown.x() <= composite.picture.cols &&
         shown.y() <= composite.picture.rows;
}

struct Drawn {
  std::string svg;
  bool leaves = false;  // the simulator's path goes beyond the picture
};

Drawn DrawSimulated(const FlightValidation& flight, const Composite& composite) {
  Drawn drawn;
  std::string data, joints;
  const std::vector<PathMoment>& moments = flight.path.moments;
  const auto go_to = [&](const Eigen::Vector2d& to) {
    drawn.leaves = drawn.leaves || !Inside(composite, to);
    data += fmt::format("{}{:.1f} {:.1f}", data.empty() ? "M" : "L", to.x(), to.y());
  };
  const std::size_t every = std::max<std::size_t>(1, moments.size() / kJoints);
  for (std::size_t i = 0; i < moments.size(); ++i) {
    if (!moments[i].simulated_px.allFinite()) continue;
    const Eigen::Vector2d to = composite.Shown(moments[i].simulated_px);
    go_to(to);
    if (i == 0 || i % every != 0 || !moments[i].measured_px.allFinite()) continue;
    const Eigen::Vector2d from = composite.Shown(moments[i].measured_px);
    joints += fmt::format("M{:.1f} {:.1f}L{:.1f} {:.1f}", from.x(), from.y(), to.x(), to.y());
  }
  for (const SimulatedPlace& place : flight.path.beyond) {
    if (place.at_px.allFinite()) go_to(composite.Shown(place.at_px));
  }
  drawn.svg = fmt::format(
      R"(<path class="edge joint" d="{0}"/><path class="joint" d="{0}"/><path class="edge" d="{1}"/><path class="simulated" d="{1}"/>)",
      joints,
      data);
  return drawn;
}

const char* Without() {
  return R"(<p class="hint">Drawn over the flight itself where the picture of it, STEM.flight.png, stands beside the result: )"
         R"(<code>loftline measure</code> writes both into one folder. A camera that turned with the rocket gives none that this can be )"
         R"(drawn over.</p>)";
}

}  // namespace

Expected<std::string> ValidationPicture(const FlightValidation& flight) {
  if (flight.path.heights_only) return std::string();
  const std::optional<Composite> composite = FindComposite(flight);
  if (!composite) return std::string(Without());
  const cv::Mat shown = NoWiderThan(composite->picture, kWidest);
  const Expected<std::string> jpeg = EncodeJpeg(shown);
  if (!jpeg) return jpeg.error();
  const Drawn drawn = DrawSimulated(flight, *composite);
  return fmt::format(
      R"(<figure class="over"><div class="frame{}" style="--across:{}px;--aspect:{:.4f}"><img src="{}" width="{}" height="{}" alt="{}">)"
      R"(<svg viewBox="0 0 {} {}" aria-hidden="true">{}</svg></div><figcaption><ul class="keys">)"
      R"(<li><svg class="key line" viewBox="0 0 44 14" aria-hidden="true"><path class="on-picture" d="M0 7H44"/></svg>filmed, ○ the rocket</li>)"
      R"(<li><svg class="key line" viewBox="0 0 44 14" aria-hidden="true"><path class="on-picture simulated" d="M0 7H44"/></svg>simulated{}</li>)"
      R"(<li>Thin lines join the two at one moment.</li></ul></figcaption></figure>)",
      shown.rows > shown.cols ? " tall" : "",
      shown.cols,
      static_cast<double>(shown.cols) / shown.rows,
      DataUri("image/jpeg", *jpeg),
      shown.cols,
      shown.rows,
      EscapeHtml("The clip's view of the flight with the simulator's path drawn over it. " + flight.sentence),
      composite->picture.cols,
      composite->picture.rows,
      drawn.svg,
      drawn.leaves ? ", goes on beyond this picture" : "");
}

}  // namespace loftline
