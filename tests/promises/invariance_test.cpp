// What must not move the minutes: where the part lies, where the cells lie, how fine they are, how many threads there
// are.
#include <chipledger/estimate/drawn_part.hpp>
#include <chipledger/estimate/numeric_doubt.hpp>
#include <chipledger/estimate/plan_part.hpp>
#include <chipledger/estimate/replan.hpp>

#include <fmt/format.h>

#include "promises/priced.hpp"
#include "support/run_program.hpp"

namespace chipledger {
namespace {

double planned(const std::string& sample, int cell_um, double shift) {
  const auto part = part::readPart(test::sampleFolder() + sample);
  if (!part) {
    ADD_FAILURE() << sentence(part.error());
    return 0.0;
  }
  const part::Body& body = part->bodies.front();
  const shop::Shop& shop = test::sampleShop();
  const auto drawn = estimate::drawnPart(body, shop, test::quick(cell_um));
  if (!drawn) {
    ADD_FAILURE() << sentence(drawn.error());
    return 0.0;
  }
  estimate::PlanRequest request;
  request.body = &body;
  request.setups = &drawn->setups;
  request.details = &drawn->details;
  request.solid = drawn->solid.get();
  request.holes = estimate::holeOrders(drawn->details);
  request.shop = &shop;
  request.material = &drawn->material;
  request.cell_um = cell_um;
  request.gridShift = shift;
  const auto plan = estimate::planPart(request);
  if (!plan) {
    ADD_FAILURE() << sentence(plan.error());
    return 0.0;
  }
  EXPECT_EQ(plan->gouged.um3, 0) << sample;
  return toMinutes(toDuration(estimate::machineTime(*plan)));
}

class Invariance : public testing::TestWithParam<const char*> {};

TEST_P(Invariance, ShiftedCells) {
  const double here = planned(GetParam(), 100, 0.0);
  for (double shift : {estimate::kGridShift, 0.5}) {
    const double there = planned(GetParam(), 100, shift);
    fmt::print("{}: cells of 0.1 mm shifted by {}: {:.3f} for {:.3f} min ({:+.2f} %)\n", GetParam(), shift, there, here,
               100 * (there / here - 1));
    EXPECT_NEAR(there, here, 0.02 * here) << shift;
  }
}

TEST_P(Invariance, FinerCells) {
  const double fine = planned(GetParam(), 25, 0.0), coarse = planned(GetParam(), 50, 0.0);
  fmt::print("{}: cells of 0.05 mm {:.3f}, of 0.025 mm {:.3f} min ({:+.2f} %)\n", GetParam(), coarse, fine,
             100 * (coarse / fine - 1));
  EXPECT_NEAR(coarse, fine, 0.02 * fine);
}

/// The same part lying elsewhere in its file, turned in its plane.
part::Part turned(part::Part part, Angle by) {
  const double c = std::cos(by.rad), s = std::sin(by.rad);
  const auto way = [&](Vec3 d) { return Vec3{c * d.x - s * d.y, s * d.x + c * d.y, d.z}; };
  const auto place = [&](Vec3 p) { return way(p) + Vec3{7.3, -3.1, 0}; };
  for (part::Body& body : part.bodies) {
    body.box = {};
    for (Vec3& p : body.mesh.points) body.box.add(p = place(p));
    for (part::Face& face : body.faces) {
      face.origin = place(face.origin);
      face.axis = way(face.axis);
      face.box = {};
      for (part::FaceSample& sample : face.samples) {
        sample.point = place(sample.point);
        sample.normal = way(sample.normal);
      }
    }
    for (std::size_t t = 0; t < body.mesh.triangles.size(); ++t)
      for (std::int32_t v : body.mesh.triangles[t])
        body.faces[static_cast<std::size_t>(body.mesh.triangleFace[t])].box.add(
            body.mesh.points[static_cast<std::size_t>(v)]);
    for (part::Edge& edge : body.edges) {
      edge.centre = place(edge.centre);
      edge.axis = way(edge.axis);
      for (Vec3& p : edge.points) p = place(p);
    }
  }
  return part;
}

TEST_P(Invariance, TurnedBy30DegreesInItsPlane) {
  const test::Priced upright = test::pricedSample(GetParam());
  const auto lying = test::estimateOf(turned(upright.part, degrees(30)));
  ASSERT_TRUE(lying) << sentence(lying.error());
  const double here = test::likelyMinutes(upright.estimate), there = test::likelyMinutes(*lying);
  fmt::print("{}: turned by 30 degrees: {:.3f} for {:.3f} min ({:+.2f} %)\n", GetParam(), there, here,
             100 * (there / here - 1));
  EXPECT_NEAR(there, here, 0.02 * here);
  EXPECT_EQ(lying->gouged.um3, 0);
}

INSTANTIATE_TEST_SUITE_P(Promises, Invariance, testing::Values("medlar-plain.step", "sundew-island.step"),
                         [](const auto& row) { return std::string(row.param).substr(0, 6); });

TEST(Threads, SameBytesOfEveryFile) {
  const auto folder = test::scratchFolder("promises-threads");
  for (const char* name : {"sundew-island.step", "medlar-pocketed.step", "block-island.step"}) {
    // With the prices of its details where that is quick.
    const std::string details = std::string(name) == "block-island.step" ? "" : " --no-detail-prices";
    for (const char* threads : {"1", "2"}) {
      const std::string to = std::string(" --json ") + threads + ".json --csv " + threads + ".csv --paths " + threads +
                             ".paths.csv --plan " + threads + ".svg --threads " + threads;
      const test::Ran ran = test::run("price " + test::sample(name) + " --quiet --cell 0.1" + details + to, folder);
      ASSERT_TRUE(ran.code == 0 || ran.code == 4) << ran.err;
    }
    for (const char* ending : {".json", ".csv", ".paths.csv", ".svg"}) {
      const std::string one = test::readText(folder / (std::string("1") + ending));
      EXPECT_FALSE(one.empty()) << name << ending;
      EXPECT_EQ(one, test::readText(folder / (std::string("2") + ending))) << name << ending;
    }
  }
}

}  // namespace
}  // namespace chipledger
