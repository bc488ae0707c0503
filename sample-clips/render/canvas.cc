// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "sample-clips/render/canvas.h"

#include <algorithm>
#include <cmath>

namespace loftline::render {

Canvas::Canvas(int width, int height)
    : width_px(width),
      height_px(height),
      light(static_cast<std::size_t>(width) * static_cast<std::size_t>(height)),
      blue(light.size() / 4),
      red(light.size() / 4) {}

Paint PaintFromRgb(const std::array<int, 3>& rgb) {
  const double r = rgb[0] / 255.0, g = rgb[1] / 255.0, b = rgb[2] / 255.0;
  const double luma = 0.2126 * r + 0.7152 * g + 0.0722 * b;
  Paint paint;
  paint.light = static_cast<float>(std::pow(luma, 2.2));
  paint.blue = static_cast<float>((b - luma) / 1.8556);
  paint.red = static_cast<float>((r - luma) / 1.5748);
  return paint;
}

Paint Shaded(Paint paint, double factor) {
  const auto chroma = static_cast<float>(std::pow(std::max(factor, 0.0), 1 / 2.2));
  paint.light *= static_cast<float>(factor);
  paint.blue *= chroma;
  paint.red *= chroma;
  return paint;
}

void Lay(Canvas& canvas, int x, int y, const Paint& paint, float coverage) {
  float& light = canvas.Light(x, y);
  light += coverage * (paint.light - light);
  const std::size_t i = canvas.ChromaIndex(x, y);
  canvas.blue[i] += 0.25f * coverage * (paint.blue - canvas.blue[i]);
  canvas.red[i] += 0.25f * coverage * (paint.red - canvas.red[i]);
}

double StripCoverage(double x, double half, double edge) {
  if (half <= 0) return 0.0;
  return std::clamp((half + edge / 2 - std::abs(x)) / edge, 0.0, std::min(1.0, 2 * half / edge));
}

void LayStroke(Canvas& canvas, const Stroke& stroke, const Paint& paint, double edge_px, std::vector<float>* front) {
  const double reach = std::max(stroke.from_radius_px, stroke.to_radius_px) + edge_px;
  const Eigen::Vector2d low = stroke.from_px.cwiseMin(stroke.to_px).array() - reach;
  const Eigen::Vector2d high = stroke.from_px.cwiseMax(stroke.to_px).array() + reach;
  if (!(low.allFinite() && high.allFinite())) return;
  const Eigen::Vector2d along = stroke.to_px - stroke.from_px;
  const double length2 = std::max(along.squaredNorm(), 1e-12);
  const int x0 = static_cast<int>(std::clamp(low.x(), 0.0, canvas.width_px - 0.0));
  const int x1 = static_cast<int>(std::clamp(high.x() + 1, 0.0, canvas.width_px - 0.0));
  const int y0 = static_cast<int>(std::clamp(low.y(), 0.0, canvas.height_px - 0.0));
  const int y1 = static_cast<int>(std::clamp(high.y() + 1, 0.0, canvas.height_px - 0.0));
  for (int y = y0; y < y1; ++y) {
    for (int x = x0; x < x1; ++x) {
      const Eigen::Vector2d p = Eigen::Vector2d(x, y) - stroke.from_px;
      const double share = std::clamp(p.dot(along) / length2, 0.0, 1.0);
      const double radius = stroke.from_radius_px + share * (stroke.to_radius_px - stroke.from_radius_px);
      const Eigen::Vector2d off = p - share * along;
      const double coverage = StripCoverage(off.norm(), radius, edge_px);
      if (coverage <= 0) continue;
      const double lit = 1.0 - 0.18 * off.y() / std::max(radius, 0.5) - 0.12 * off.x() / std::max(radius, 0.5);
      Lay(canvas, x, y, Shaded(paint, std::clamp(lit, 0.5, 1.3)), static_cast<float>(coverage));
      if (front) {
        float& hidden = (*front)[static_cast<std::size_t>(y) * static_cast<std::size_t>(canvas.width_px) +
                                 static_cast<std::size_t>(x)];
        hidden += static_cast<float>(coverage) * (1 - hidden);
      }
    }
  }
}

}  // namespace loftline::render
