// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/budget_advice.h"

#include <utility>

namespace loftline {
namespace {

constexpr std::pair<std::string_view, std::string_view> kAdvice[] = {
    {"path noise", "a short exposure, a higher frame rate, and a rocket that stands out from what is behind it"},
    {"baseline length", "tape the baseline to 2 mm, with the tape pulled straight"},
    {"baseline depth", "put the baseline into the flight plane, or measure how far in front of it it stands"},
    {"mark placing", "a longer baseline, and its ends marked in the magnified picture"},
    {"level and plumb", "level the baseline's ends with a water level, or hang a plumb line into the picture"},
    {"launch mark", "mark the tube's mouth in the magnified picture"},
    {"known points", "measure the known places to 1 cm, as far apart as the picture allows"},
    {"lens view angle", "calibrate the lens once with a printed chessboard"},
    {"lens distortion",
     "calibrate the lens once with a printed chessboard, or keep the flight off the picture's edges"},
    {"camera distance", "measure from the phone to the flight plane with a tape"},
    {"yaw", "square the phone up with the baseline, or stand further back"},
    {"tilt", "read the phone's own level: its tilt to half a degree"},
    {"roll", "level the phone, or mark something plumb in the picture"},
    {"shutter readout", "measure the phone's readout once under a flickering lamp"},
    {"azimuth", "aim the tube along the baseline, and stand further back"},
    {"wind", "measure the wind along the flight, or wait for calm air"},
    {"usual drag", "film the whole arc, with the apogee in the picture"},
    {"drag change", "find out from which moment on the rocket flies askew, and mend it"},
    {"body middle", "a rocket that shows evenly from nose to fins"},
    {"light and shade", "the sun behind the camera, or an even sky"},
    {"landing level", "measure the tube's mouth above the landing ground"},
    {"mass", "weigh the rocket to 0.05 g"},
    {"diameter", "measure the body across with a calliper, to 0.1 mm"},
    {"air", "write down the air's temperature and the pressure at the site"},
};

}  // namespace

std::string_view BudgetAdvice(std::string_view source) {
  for (const auto& [known, advice] : kAdvice) {
    if (known == source) return advice;
  }
  return {};
}

}  // namespace loftline
