// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "tracker/decode_handles.h"
#include "tracker/rotate.h"
#include "tracker/stored_colour.h"

#include <cstdint>
#include <vector>

#include <opencv2/core.hpp>

namespace loftline {

// One row of luma to 8 bit full range (0 black, 255 white), rounded to the nearest level.
// From 8-bit limited range (ITU-R BT.601/709: 16 black, 235 white); levels beyond are clipped.
void FullRangeRow(const std::uint8_t* from, std::uint8_t* to, int count);
// From 10 bit, limited (64 black, 940 white) or full (0..1023); DOWN_SHIFT is 0 for planar 10 bit, 6 for P010.
void FullRangeRow(const std::uint16_t* from, std::uint8_t* to, int count, bool limited, int down_shift);

// The planes of a decoded frame as upright 8-bit pictures. Plain full-range frames that need no turn come out as views
// of the decoder's own memory; everything else is written into buffers that live here. Those of the colours are used
// again for the next frame; a luma picture is left alone for as long as somebody keeps it.
class UprightPlanes {
 public:
  explicit UprightPlanes(Turn turn) : turn_(turn) {}

  // The views stay valid until the next call and as long as FRAME lives. False: the pixel format cannot be converted.
  bool Take(const AVFrame& frame);

  const cv::Mat& luma() const { return luma_; }
  const cv::Mat& chroma_blue() const { return chroma_blue_; }
  const cv::Mat& chroma_red() const { return chroma_red_; }
  StoredColour colour() const { return colour_; }

 private:
  cv::Mat& FreeLumaBuffer();
  bool Rescale(const AVFrame& frame, bool full_range);
  void TakeLuma(const AVFrame& frame, bool full_range);
  void TakeChroma(const AVFrame& frame);
  void TurnPlane(const cv::Mat& stored, cv::Mat& buffer, cv::Mat& upright) const;

  Turn turn_;
  StoredColour colour_;
  cv::Mat luma_, chroma_blue_, chroma_red_;         // what is handed out
  std::vector<cv::Mat> luma_buffers_;               // owned, upright; as many as frames are kept at once
  cv::Mat chroma_blue_buffer_, chroma_red_buffer_;  // owned, upright
  cv::Mat strip_, stored_blue_, stored_red_;        // owned, before turning
  ScalerPtr scaler_;
  FramePtr rescaled_;
};

}  // namespace loftline
