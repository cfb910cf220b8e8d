// Forces against closed forms, against slices without tables, and against what must hold for every cut.
#include "support/reference/slice_force.hpp"

#include <chipledger/cutting/formulas.hpp>

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

using namespace chipledger;
using namespace chipledger::cutting;

namespace {

constexpr double kPi = std::numbers::pi;

TEST(Force, IntegralsAreClosedFormsWithoutSizeEffect) {
  const EdgeIntegrals flat(0.0);  // exponent 1: integral of sin is 1 - cos
  for (const double phi : {0.3, 0.7, kPi / 2, 2.0, kPi}) {
    EXPECT_NEAR(flat.upTo(phi).plain, 1 - std::cos(phi), 2e-3) << phi;
    EXPECT_NEAR(flat.upTo(phi).cosine, std::pow(std::sin(phi), 2) / 2, 2e-3) << phi;
    EXPECT_NEAR(flat.upTo(phi).sine, phi / 2 - std::sin(2 * phi) / 4, 2e-3) << phi;
  }
}

/// Without a size effect the mean tangential force times the speed is kc Q: F v = kc ap ae z fz n.
TEST(Force, MeanIsTheForceOfTheRemovalRate) {
  const EdgeIntegrals flat(0.0);
  for (const double radial : {0.4, 1.0, 3.0, 5.0, 10.0}) {
    const EdgeCut cut{10, 4, radial, 4, 0.6, 0.4};
    const double expected = cut.axial * radial * cut.teeth / (kPi * cut.diameter);
    EXPECT_NEAR(unitForces(flat, cut).mean, expected, 4e-3 * expected) << radial;
  }
}

/// A straight edge that is alone in the cut: the peak is kc b h at the thick end with its radial share.
TEST(Force, OneStraightEdgePeaksAtTheThickEnd) {
  const EdgeIntegrals integrals(0.22);
  const EdgeCut cut{10, 4, 1.0, 2, 0.0, 0.4};
  const double share = chipThicknessShare(0.1);
  EXPECT_NEAR(unitForces(integrals, cut).peak, 4 * std::pow(share, 0.78) * std::hypot(1, 0.4), 1e-9);
  EXPECT_NEAR(unitForces(integrals, cut).loadCentre, 2, 1e-9);
}

TEST(Force, AgreesWithSlices) {
  std::mt19937 random(20240611);  // seed fixed: same cases on every machine
  std::uniform_real_distribution<double> part(0, 1);
  for (int i = 0; i < 60; ++i) {
    EdgeCut cut;
    cut.diameter = 1 + 9 * part(random);
    cut.axial = cut.diameter * (0.05 + 1.5 * part(random));
    cut.radial = cut.diameter * std::pow(0.02, part(random));
    cut.teeth = 2 + static_cast<int>(4 * part(random));
    cut.helix = degrees(25 + 20 * part(random)).rad;
    cut.radialShare = 0.6 * part(random);
    const double mc = 0.15 + 0.2 * part(random);
    const UnitForces ours = unitForces(EdgeIntegrals(mc), cut), slow = test::slicedForces(mc, cut);
    EXPECT_NEAR(ours.mean, slow.mean, 0.01 * slow.mean) << i;
    EXPECT_NEAR(ours.peak, slow.peak, 0.02 * slow.peak)
        << i << ": D " << cut.diameter << " ap " << cut.axial << " ae " << cut.radial;
    EXPECT_LE(ours.loadCentre, cut.axial);
    EXPECT_GE(ours.loadCentre, 0);
  }
}

TEST(Force, GrowsWithEverythingThatCutsMore) {
  const EdgeIntegrals integrals(0.22);
  double before = 0;
  for (double radial = 0.2; radial <= 6; radial += 0.2) {
    const double mean = unitForces(integrals, {6, 3, radial, 4, 0.6, 0.4}).mean;
    EXPECT_GT(mean, before);
    before = mean;
  }
  before = 0;
  for (double axial = 0.2; axial <= 9; axial += 0.2) {
    const auto forces = unitForces(integrals, {6, axial, 0.5, 4, 0.6, 0.4});
    EXPECT_GT(forces.mean, before);
    before = forces.mean;
  }
}

}  // namespace
