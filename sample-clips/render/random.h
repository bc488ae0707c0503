// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <cmath>
#include <cstdint>

namespace loftline::render {

// SplitMix64 (Steele, Lea & Flood 2014): small, fast, and the same on every machine, which the standard library's
// distributions are not.
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}

  std::uint64_t Bits() {
    std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31);
  }
  double Uniform() { return static_cast<double>(Bits() >> 11) * 0x1.0p-53; }
  double Uniform(double low, double high) { return low + (high - low) * Uniform(); }
  int Pick(int count) { return static_cast<int>(Bits() % static_cast<std::uint64_t>(count)); }
  bool Chance(double share) { return Uniform() < share; }
  double Normal() {  // Box and Muller
    return std::sqrt(-2.0 * std::log(1.0 - Uniform())) * std::cos(2.0 * 3.14159265358979323846 * Uniform());
  }
  double Normal(double std) { return std * Normal(); }

 private:
  std::uint64_t state_;
};

// A seed for one use among several (noise, survey, clouds ...), so that they do not shift each other.
inline std::uint64_t SeedFor(std::uint64_t seed, std::uint64_t use) {
  return Random(seed * 1000003 + use).Bits();
}

// Smooth noise over the plane in -1 .. 1: random values on a unit lattice, blended.
inline double LatticeValue(int i, int j, std::uint32_t salt) {
  std::uint32_t h = static_cast<std::uint32_t>(i) * 0x85EBCA6Bu ^ static_cast<std::uint32_t>(j) * 0xC2B2AE35u ^ salt;
  h = (h ^ (h >> 15)) * 0x2C1B3C6Du;
  h = (h ^ (h >> 12)) * 0x297A2D39u;
  return static_cast<double>(h ^ (h >> 15)) / 2147483647.5 - 1.0;
}

inline double SmoothNoise(double x, double y, std::uint32_t salt) {
  const double fx = std::floor(x), fy = std::floor(y);
  const int i = static_cast<int>(fx), j = static_cast<int>(fy);
  const double u = x - fx, v = y - fy;
  const double a = u * u * (3 - 2 * u), b = v * v * (3 - 2 * v);
  const double low = LatticeValue(i, j, salt) * (1 - a) + LatticeValue(i + 1, j, salt) * a;
  const double high = LatticeValue(i, j + 1, salt) * (1 - a) + LatticeValue(i + 1, j + 1, salt) * a;
  return low * (1 - b) + high * b;
}

}  // namespace loftline::render
