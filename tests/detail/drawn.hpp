#pragma once
// A drawn chassis, written, read back and looked at: what the tests of this room start from.
#include <gtest/gtest.h>
#include <unistd.h>
#include <chipledger/detail/detail.hpp>
#include <chipledger/draw/blocks.hpp>
#include <chipledger/draw/drawn.hpp>
#include <chipledger/part/read.hpp>

#include <filesystem>

namespace chipledger::test {

struct Seen {
  draw::Drawn drawn;
  part::Part part;
  setup::Plan plan;
  detail::Details details;
  const part::Body& body() const { return part.bodies.front(); }
  std::vector<int> all(detail::DetailKind kind) const {
    std::vector<int> found;
    for (std::size_t k = 0; k < details.list.size(); ++k) {
      if (details.list[k].kind == kind) found.push_back(static_cast<int>(k));
    }
    return found;
  }
  const detail::Detail& at(int index) const { return details.list[static_cast<std::size_t>(index)]; }
  /// Volume of the part with the changes that take a group of details away.
  double volumeWithout(const std::vector<int>& group) const {
    return toMm3(field::Solid(body(), plan.partToPlate).changed(detail::without(details, group)).volume());
  }
};

/// Names in the file are taken off, so that nothing is read from them; colours stay.
inline Seen look(draw::Drawn drawn, const draw::StepOptions& step = {}) {
  static int count = 0;
  Seen seen;
  const std::string path = (std::filesystem::temp_directory_path() /
                            ("chipledger-look-" + std::to_string(::getpid()) + "-" + std::to_string(++count) + ".step"))
                               .string();
  const auto written = draw::writeStep(drawn, path, step);
  EXPECT_TRUE(written);
  auto part = part::readPart(path);
  std::filesystem::remove(path);
  if (!part) {
    ADD_FAILURE() << sentence(part.error());
    return seen;
  }
  for (part::Face& f : part->bodies.front().faces) f.name.clear();
  auto plan = setup::planSetups(part->bodies.front());
  if (!plan) {
    ADD_FAILURE() << sentence(plan.error());
    return seen;
  }
  auto details = detail::findDetails(part->bodies.front(), *plan);
  if (!details) {
    ADD_FAILURE() << sentence(details.error());
    return seen;
  }
  seen = {std::move(drawn), std::move(*part), std::move(*plan), std::move(*details)};
  return seen;
}

inline Seen look(const draw::Chassis& chassis, const draw::DrawOptions& options = {},
                 const draw::StepOptions& step = {}) {
  auto drawn = draw::drawChassis(chassis, options);
  if (!drawn) {
    ADD_FAILURE() << sentence(drawn.error());
    return {};
  }
  return look(std::move(*drawn), step);
}

/// 60 x 26 x 3, corners rounded.
inline draw::Chassis plainPlate() {
  draw::Chassis c;
  c.name = "plate";
  c.thickness = mm(3);
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
inline draw::Pocket pocket(const char* name, Vec2 at, double length, double width, double depth, double corner = 1) {
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
inline draw::Window window(const char* name, Vec2 at, double length, double width, double corner = 1) {
  draw::Window w;
  w.name = name;
  w.shape = draw::Rectangle{mm(length), mm(width), mm(corner)};
  w.place.centre_mm = at;
  return w;
}

}  // namespace chipledger::test
