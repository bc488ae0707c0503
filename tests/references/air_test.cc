// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "fit/air.h"

#include "core/csv_file.h"

#include <gtest/gtest.h>

namespace loftline {
namespace {

struct MoistAir {
  double t_c, p_pa, h, density;
};

// Picard, Davis, Glaeser & Fujii, Metrologia 45 (2008) 149 (CIPM-2007), recomputed with 20 digits from the published
// formula and constants. The enhancement factor f is the one constant taken from memory by whoever made the table.
constexpr MoistAir kCipm2007[] = {{20, 101325, 0.50, 1.1993139},
                                  {20, 100000, 0.50, 1.1835566},
                                  {15, 101325, 0.00, 1.2255213},
                                  {0, 101325, 0.00, 1.2930487},
                                  {10, 101325, 0.80, 1.2426722},
                                  {25, 101325, 0.40, 1.1787102},
                                  {30, 100000, 0.70, 1.1366089},
                                  {20, 84000, 0.30, 0.9953873}};

TEST(AirDensity, AgreesWithCipm2007) {
  for (const MoistAir& row : kCipm2007) {
    EXPECT_NEAR(AirDensityKgPerM3(Air{row.t_c, row.p_pa, row.h}), row.density, 1e-7) << row.t_c << " C";
  }
}

// Gupta, Mass Metrology, appendix p. 205: 10 C, 730 mmHg, 40 % gives 1.19569 kg/m3 (printed to five decimals), and 40
// C, 760 mmHg, 40 % gives 1.11497, made with the formula of 1981/91, whose argon content differs by 6e-5.
TEST(AirDensity, AgreesWithPrintedTable) {
  constexpr double kMmHgPa = 133.322387415;
  EXPECT_NEAR(AirDensityKgPerM3(Air{10, 730 * kMmHgPa, 0.4}), 1.19569, 1e-4);
  EXPECT_NEAR(AirDensityKgPerM3(Air{40, 760 * kMmHgPa, 0.4}), 1.11497, 1.2e-4);
}

// Relative sensitivities at 20 C, 101325 Pa, 50 %, from the same formula by 20-digit differences.
TEST(AirDensity, UncertaintyFollowsTheSensitivities) {
  const AirMeasured warm{{20, 1}, {101325, 0}, {0.5, 0}}, dense{{20, 0}, {101325, 100}, {0.5, 0}},
      moist{{20, 0}, {101325, 0}, {0.5, 0.1}};
  EXPECT_NEAR(AirDensityKgPerM3(warm).std / 1.1993139, 3.692e-3, 3e-5);
  EXPECT_NEAR(AirDensityKgPerM3(dense).std / 1.1993139, 100 * 9.916e-6, 1e-6);
  EXPECT_NEAR(AirDensityKgPerM3(moist).std / 1.1993139, 0.1 * 8.730e-3, 1e-6);
}

// U.S. Standard Atmosphere 1976 (NOAA-S/T 76-1562), below 11 km the same as ISO 2533:1975; the file's own header says
// how it was computed. 1e-8: the digits of the file.
TEST(StandardAtmosphere, AgreesWithIso2533) {
  const auto table = ReadCsv(LOFTLINE_SOURCE_DIR "/tests/references/data/us_standard_atmosphere_1976.csv",
                             CsvRules{{"Z_m", "T_K", "p_Pa", "rho_kg_m3"}, {}, true});
  ASSERT_TRUE(table) << Describe(table.error());
  ASSERT_GE(table->rows.size(), 10u);
  for (const CsvRow& row : table->rows) {
    const double altitude_m = *table->Number(row, "Z_m");
    const double pressure_pa = *table->Number(row, "p_Pa"), density = *table->Number(row, "rho_kg_m3");
    EXPECT_NEAR(StandardTemperatureK(altitude_m), *table->Number(row, "T_K"), 1e-5) << altitude_m;
    EXPECT_NEAR(StandardPressurePa(altitude_m), pressure_pa, 1e-8 * pressure_pa) << altitude_m;
    EXPECT_NEAR(StandardDensityKgPerM3(altitude_m), density, 1e-8 * density) << altitude_m;
  }
}

// Documentation of the fluids library (C. Bell), altitude 5000 m.
TEST(StandardAtmosphere, AgreesWithAnIndependentLibrary) {
  EXPECT_NEAR(StandardPressurePa(5000), 54048.28614576141, 1e-8);
  EXPECT_NEAR(StandardDensityKgPerM3(5000), 0.7364284207799743, 1e-13);
}

}  // namespace
}  // namespace loftline
