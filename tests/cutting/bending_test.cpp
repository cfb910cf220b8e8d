// The stepped cantilever against numeric integration and against what a stiffer cutter must do.
// The published beams stand in worked_examples_test.cpp (Bansal 13.1, 13.2; Sarkar 6.1).
#include <chipledger/cutting/bending.hpp>
#include <chipledger/cutting/tables.hpp>

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

using namespace chipledger;
using namespace chipledger::cutting;

namespace {

/// y = integral of M(x) x / (E I(x)) by midpoints.
double integrated(const Beam& beam, double a) {
  constexpr int kCells = 200000;
  double whole = 0;
  for (const auto& part : beam.parts) whole += part.length_mm;
  double sum = 0;
  for (int i = 0; i < kCells; ++i) {
    const double x = (i + 0.5) * whole / kCells;
    double end = 0, d = 0;
    for (const auto& part : beam.parts) {
      end += part.length_mm;
      d = part.diameter_mm;
      if (x < end) break;
    }
    if (x > a) sum += (x - a) * x / (std::numbers::pi / 64 * std::pow(d, 4)) * whole / kCells;
  }
  return sum / toMegapascals(beam.modulus);
}

TEST(Bending, SteppedBeamsAgreeWithIntegration) {
  const Beam beams[]{{{{8, 2.4}, {10, 6}}, megapascals(600000)},
                     {{{3, 1.6}, {4, 1.9}, {9, 6}}, megapascals(600000)},
                     {{{22, 8}, {10, 10}}, megapascals(600000)},
                     {{{0, 1}, {5, 2}}, megapascals(210000)}};
  for (const auto& beam : beams) {
    for (const double a : {0.0, 0.7, 2.5, 4.0})
      EXPECT_NEAR(tipCompliance(beam, mm(a)), integrated(beam, a), 2e-5 * integrated(beam, a));
  }
}

TEST(Bending, StressIsWorstWhereThinMeetsThick) {
  // A rod: 32 F L / (pi d^3) at the holder. Stepped: at the end of the flutes.
  EXPECT_NEAR(stressPerNewton({{{20, 4}}, megapascals(1)}, mm(0)), 32 * 20 / (std::numbers::pi * 64), 1e-12);
  EXPECT_NEAR(stressPerNewton({{{5, 2}, {15, 6}}, megapascals(1)}, mm(1)), 32 * 4 / (std::numbers::pi * 8), 1e-12);
}

TEST(Bending, EveryCutterOfTheCribIsABeamOfItsStickOut) {
  const auto& tables = builtInTables();
  for (const auto& cutter : tables.crib) {
    const Beam beam = beamOf(cutter, tables.limits);
    double whole = 0;
    for (const auto& part : beam.parts) {
      EXPECT_GE(part.length_mm, 0) << cutter.id;
      EXPECT_GT(part.diameter_mm, 0) << cutter.id;
      whole += part.length_mm;
    }
    EXPECT_NEAR(whole, toMm(cutter.stickOut), 1e-9) << cutter.id;
    EXPECT_GT(tipCompliance(beamOf(cutter, tables.limits, cutter.stickOut + mm(5)), mm(0)), tipCompliance(beam, mm(0)))
        << cutter.id;
  }
}

TEST(Bending, LongReachBendsMore) {
  const auto& tables = builtInTables();
  for (const char* d : {"2", "3", "4", "6"}) {
    const auto plain = *findCutter(tables, std::string("flat-") + d),
               lengthy = *findCutter(tables, std::string("flat-") + d + "-long");
    EXPECT_GT(tipCompliance(beamOf(lengthy, tables.limits), mm(0)), tipCompliance(beamOf(plain, tables.limits), mm(0)));
  }
}

}  // namespace
