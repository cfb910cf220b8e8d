#pragma once
// Chassis-like plates made of upright prisms on a box, for tests that need no kernel: a body, islands on its outer
// side, pockets, windows and bores, with hand-made details.
#include <chipledger/detail/detail.hpp>
#include <chipledger/field/setup_view.hpp>
#include <chipledger/field/solid.hpp>
#include <chipledger/field/stock_block.hpp>
#include <chipledger/geometry/curve.hpp>

#include <memory>
#include <string>
#include <vector>

#include "support/box_body.hpp"

namespace chipledger::test {

inline Region roundedRectangle(Vec2 min, Vec2 max, double radius) {
  return radius <= 0 ? rectangle(min, max)
                     : offset(rectangle(min + Vec2{radius, radius}, max - Vec2{radius, radius}), radius);
}
/// Ring-wise rigid motion in the plane.
inline Region turned(const Region& region, double angle, Vec2 shift = {}) {
  Region out = region;
  for (Ring& ring : out.rings)
    for (Vec2& p : ring)
      p = Vec2{p.x * std::cos(angle) - p.y * std::sin(angle), p.x * std::sin(angle) + p.y * std::cos(angle)} + shift;
  return out;
}

class PlatePart {
public:
  /// The outline fills the whole height at first; `body` is the height of the body above z = 0.
  PlatePart(Region outline, double body_mm, double height_mm)
      : outline_(std::move(outline)), bodyTop_(body_mm), height_(height_mm) {
    add(detail::DetailKind::Outline, "outline", detail::Side::Both, outline_, 0, body_mm, true);
    add(detail::DetailKind::Body, "body", detail::Side::Outer, outline_, 0, body_mm, false);
  }
  void island(const Region& foot, double top_mm) {
    islands_.push_back({foot, top_mm});
    add(detail::DetailKind::Island, "island", detail::Side::Outer, foot, bodyTop_, top_mm, false);
  }
  void pocket(const Region& region, double floor_mm, detail::Side side = detail::Side::Outer) {
    if (side == detail::Side::Outer)
      remove(region, floor_mm, height_ + 1);
    else
      remove(region, -1, floor_mm);
    add(detail::DetailKind::Pocket, "pocket", side, region, side == detail::Side::Outer ? floor_mm : 0,
        side == detail::Side::Outer ? bodyTop_ : floor_mm, false);
  }
  void window(const Region& region) {
    remove(region, -1, height_ + 1);
    add(detail::DetailKind::Window, "window", detail::Side::Both, region, 0, bodyTop_, true);
  }
  int bore(Vec2 centre, double diameter, detail::Side side = detail::Side::Back) {
    const Region region = disc(centre, 0.5 * diameter);
    remove(region, -1, height_ + 1);
    detail::Detail& d = add(detail::DetailKind::Bore, "bore", side, region, 0, bodyTop_, true);
    d.dimensions.diameter = mm(diameter);
    return static_cast<int>(details.list.size()) - 1;
  }

  void finish() {
    const Box2 b = box(outline_);
    BoxBody block;
    const Vec3 low{b.min.x, b.min.y, 0}, high{b.max.x, b.max.y, height_};
    block.walls(low, high);
    block.up(low, high);
    block.down(low, high);
    block.body.volume = mm3((high - low).x * (high - low).y * (high - low).z);
    body = block.body;
    std::vector<field::Change> changes;
    const auto cut = [&](const Region& region, double from, double to) {
      field::Change c;
      c.prism = {field::Prism::Act::Remove, region, from, to};
      changes.push_back(c);
    };
    cut(subtract(rectangle(b.min - Vec2{1, 1}, b.max + Vec2{1, 1}), outline_), -1, height_ + 1);
    if (height_ > bodyTop_) {
      Region around = offset(outline_, 1.0);
      for (const auto& [foot, top] : islands_) around = subtract(around, foot);
      cut(around, bodyTop_, height_ + 1);
      for (const auto& [foot, top] : islands_)
        if (top < height_) cut(foot, top, height_ + 1);
    }
    for (const field::Prism& p : removed_) cut(p.region, p.low_mm, p.high_mm);
    plan.setups.resize(2);
    setup::Setup& back = plan.setups[0];
    back.name = "back";
    back.direction = {0, 0, -1};
    back.fromAbove = false;
    back.partToSetup = {{1, 0, 0}, {0, -1, 0}, {0, 0, -1}, {0, 0, height_}};
    setup::Setup& outer = plan.setups[1];
    outer.name = "outer";
    outer.direction = {0, 0, 1};
    const field::Solid solid = field::Solid(body, {}).changed(changes);
    solid_ = std::make_shared<field::Solid>(solid);
    details.faceDetail.assign(body.faces.size(), -1);
  }
  field::SetupView view(int setup) const { return field::SetupView(*solid_, body, plan, setup); }
  const field::Solid& solid() const { return *solid_; }

  part::Body body;
  setup::Plan plan;
  detail::Details details;

private:
  struct Raised {
    Region foot;
    double top;
  };
  void remove(const Region& region, double low, double high) {
    removed_.push_back({field::Prism::Act::Remove, region, low, high});
  }
  detail::Detail& add(detail::DetailKind kind, std::string name, detail::Side side, const Region& footprint, double low,
                      double high, bool through) {
    detail::Detail d;
    d.name = name + "-" + std::to_string(details.list.size());
    d.kind = kind;
    d.side = side;
    d.footprint = footprint;
    d.low_mm = low;
    d.high_mm = high;
    d.through = through;
    details.list.push_back(std::move(d));
    return details.list.back();
  }
  Region outline_;
  double bodyTop_{}, height_{};
  std::vector<Raised> islands_;
  std::vector<field::Prism> removed_;
  std::shared_ptr<field::Solid> solid_;
};

}  // namespace chipledger::test
