#pragma once
// A drawn chassis written, read back and estimated: what the tests of this room start from.
#include <gtest/gtest.h>
#include <unistd.h>
#include <chipledger/draw/drawn.hpp>
#include <chipledger/draw/read_chassis.hpp>
#include <chipledger/estimate/drawn_part.hpp>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/estimate/replan.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>

#include <filesystem>
#include <fstream>

namespace chipledger::test {

inline std::string sampleFolder() { return std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/"; }

inline std::string scratchFile(const std::string& suffix) {
  static int count = 0;
  return (std::filesystem::temp_directory_path() /
          ("chipledger-estimate-" + std::to_string(::getpid()) + "-" + std::to_string(++count) + suffix))
      .string();
}

inline shop::Shop medlarShop() {
  const auto shop = shop::loadShop(sampleFolder() + "shop-medlar.toml");
  EXPECT_TRUE(shop.has_value()) << sentence(shop.error());
  return shop ? *shop : shop::builtInShop();
}

inline draw::Chassis sampleChassis(const std::string& name) {
  const auto chassis = draw::readChassis(sampleFolder() + name);
  EXPECT_TRUE(chassis.has_value()) << sentence(chassis.error());
  return chassis ? *chassis : draw::Chassis{};
}

inline part::Part readSample(const std::string& name) {
  auto part = part::readPart(sampleFolder() + name);
  EXPECT_TRUE(part.has_value()) << sentence(part.error());
  return part ? std::move(*part) : part::Part{};
}

inline part::Part readDrawn(const draw::Drawn& drawn) {
  const std::string path = scratchFile(".step");
  EXPECT_TRUE(draw::writeStep(drawn, path).has_value());
  auto part = part::readPart(path);
  std::filesystem::remove(path);
  EXPECT_TRUE(part.has_value()) << sentence(part.error());
  if (!part) return {};
  part->file = drawn.name;
  return std::move(*part);
}

inline part::Part readDrawn(const draw::Chassis& chassis, const draw::DrawOptions& how = {}) {
  const auto drawn = draw::drawChassis(chassis, how);
  EXPECT_TRUE(drawn.has_value()) << sentence(drawn.error());
  return drawn ? readDrawn(*drawn) : part::Part{};
}

/// Coarse cells unless said: the tests here hold estimates against each other, on the same cells.
inline estimate::Options quick(bool details = false, int cell_um = 100) {
  estimate::Options options;
  options.batches = {10, 25, 50, 100};
  options.priceDetails = details;
  options.cell_um = cell_um;
  return options;
}

inline estimate::Estimate estimated(const part::Part& part, const shop::Shop& shop, const estimate::Options& options) {
  if (part.bodies.empty()) {
    ADD_FAILURE() << "no body";
    return {};
  }
  auto e = estimate::estimateBody(part, part.bodies.front(), shop, options);
  EXPECT_TRUE(e.has_value()) << sentence(e.error());
  return e ? std::move(*e) : estimate::Estimate{};
}

/// A part ready to be planned again with something taken away.
class Replannable {
public:
  Replannable(part::Part part, shop::Shop shop, const estimate::Options& options)
      : part_(std::move(part)), shop_(std::move(shop)), options_(options) {
    auto drawn = estimate::drawnPart(part_.bodies.front(), shop_, options_);
    EXPECT_TRUE(drawn.has_value()) << sentence(drawn.error());
    drawn_ = std::move(*drawn);
    request_.body = drawn_.body;
    request_.setups = &drawn_.setups;
    request_.details = &drawn_.details;
    request_.solid = drawn_.solid.get();
    request_.holes = estimate::holeOrders(drawn_.details);
    request_.shop = &shop_;
    request_.material = &drawn_.material;
    request_.cell_um = drawn_.cell_um;
    auto made = estimate::Replanner::make(request_, options_.batches);
    EXPECT_TRUE(made.has_value()) << sentence(made.error());
    replanner_ = std::make_unique<estimate::Replanner>(std::move(*made));
  }
  Replannable(const Replannable&) = delete;

  const detail::Details& details() const { return drawn_.details; }
  const estimate::Replanner& replanner() const { return *replanner_; }
  const estimate::PlanRequest& request() const { return request_; }
  const shop::Shop& shop() const { return shop_; }

private:
  part::Part part_;
  shop::Shop shop_;
  estimate::Options options_;
  estimate::DrawnPart drawn_;
  estimate::PlanRequest request_;
  std::unique_ptr<estimate::Replanner> replanner_;
};

/// 60 x 26 x 3, corners rounded.
inline draw::Chassis plainPlate(double thickness = 3) {
  draw::Chassis c;
  c.name = "plate";
  c.thickness = mm(thickness);
  c.outline = draw::RectangleOutline{mm(60), mm(26), mm(4)};
  return c;
}
inline draw::Island island(const char* name, Vec2 at, double length, double width, double height, double root = 0.5) {
  draw::Island i;
  i.name = name;
  i.shape = draw::Oblong{mm(length), mm(width)};
  i.place.centre_mm = at;
  i.height = mm(height);
  i.rootRadius = mm(root);
  return i;
}
inline draw::Pocket pocket(const char* name, Vec2 at, double length, double width, double depth, double corner = 2) {
  draw::Pocket p;
  p.name = name;
  p.shape = draw::Rectangle{mm(length), mm(width), mm(corner)};
  p.place.centre_mm = at;
  p.depth = mm(depth);
  return p;
}
inline draw::Bore bore(const char* name, Vec2 at, double diameter, double depth = 0) {
  draw::Bore b;
  b.name = name;
  b.centre_mm = at;
  b.diameter = mm(diameter);
  b.depth = mm(depth);
  return b;
}
inline draw::Window window(const char* name, Vec2 at, double length, double width, double corner = 2) {
  draw::Window w;
  w.name = name;
  w.shape = draw::Rectangle{mm(length), mm(width), mm(corner)};
  w.place.centre_mm = at;
  return w;
}

}  // namespace chipledger::test
