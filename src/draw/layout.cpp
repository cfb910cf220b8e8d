#include "layout.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <variant>

#include "layout_maker.hpp"

namespace chipledger::draw {
namespace {

struct ShapeSize {
  DrawnDetail& truth;
  void operator()(const Round& s) const { truth.diameter = s.diameter; }
  void operator()(const Oblong& s) const {
    truth.length = s.length;
    truth.width = s.width;
    truth.cornerRadius = s.width / 2;
  }
  void operator()(const Rectangle& s) const {
    truth.length = s.length;
    truth.width = s.width;
    truth.cornerRadius = s.cornerRadius;
  }
  void operator()(const Polygon& s) const { truth.cornerRadius = s.cornerRadius; }
  void operator()(const Band& s) const {
    truth.width = s.width;
    truth.cornerRadius = s.width / 2;
    if (s.line_mm.size() == 2) truth.length = mm(norm(s.line_mm[1] - s.line_mm[0])) + s.width;
  }
};

}  // namespace

Result<Layout> LayoutMaker::make() {
  if (auto bad = body(); bad) return tl::make_unexpected(*bad);
  if (auto bad = order(); bad) return tl::make_unexpected(*bad);
  return std::move(layout_);
}

LayoutMaker::Bad LayoutMaker::order() {
  struct Waiting {
    std::string name, on;
    std::function<Bad(int)> add;
  };
  std::vector<Waiting> waiting;
  for (const Island& d : chassis_.islands) waiting.push_back({d.name, d.on, [&](int p) { return island(d, p); }});
  for (const Pocket& d : chassis_.pockets) waiting.push_back({d.name, d.on, [&](int p) { return pocket(d, p); }});
  for (const Window& d : chassis_.windows) waiting.push_back({d.name, d.on, [&](int p) { return window(d, p); }});
  for (const Slot& d : chassis_.slots) waiting.push_back({d.name, d.on, [&](int p) { return slot(d, p); }});
  for (const Bore& d : chassis_.bores) waiting.push_back({d.name, d.on, [&](int p) { return bore(d, p); }});
  for (const Waiting& w : waiting) {
    if (w.name.empty()) return bad("name", "a detail has no name.", "Name every detail.");
    if (!names_.emplace(w.name, -1).second)
      return bad(w.name + ".name", "two details have this name.", "Give each its own.");
  }
  while (!waiting.empty()) {
    std::vector<Waiting> later;
    for (Waiting& w : waiting) {
      int parent = -1;
      if (!w.on.empty()) {
        const auto found = names_.find(w.on);
        if (found == names_.end())
          return bad(w.name + ".on", fmt::format("there is no detail named {}.", w.on), "Name one that is drawn.");
        parent = found->second;
        if (parent < 0) {
          later.push_back(std::move(w));
          continue;
        }
      }
      if (auto b = w.add(parent); b) return b;
      names_[w.name] = static_cast<int>(layout_.items.size()) - 1;
    }
    if (later.size() == waiting.size())
      return bad(later.front().name + ".on", "details stand on each other in a ring.", "Let one stand on the body.");
    waiting = std::move(later);
  }
  return {};
}

double LayoutMaker::surface(Side side, int parent) const {
  if (parent >= 0) return layout_.items[static_cast<std::size_t>(parent)].floor_mm;
  return side == Side::Outer ? layout_.thickness_mm : 0.0;
}

const Item* LayoutMaker::host(int parent) const {
  return parent < 0 ? nullptr : &layout_.items[static_cast<std::size_t>(parent)];
}

Item LayoutMaker::start(const std::string& name, const Contour& contour, int parent, const std::string& on) const {
  Item item;
  item.truth.name = name;
  item.truth.on = on;
  item.contour = contour;
  item.parent = parent;
  item.truth.footprint = {{ring(contour)}};
  return item;
}

void LayoutMaker::close(Item item, Vec2 centre) {
  item.truth.centre_mm = {centre.x, centre.y, item.surface_mm};
  layout_.items.push_back(std::move(item));
}

std::vector<Step> LayoutMaker::ascending(std::vector<Step> steps, Side side) {
  if (side == Side::Outer) return steps;
  std::reverse(steps.begin(), steps.end());
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) std::swap(steps[i].roundNext, steps[i + 1].roundNext);
  return steps;
}

Vec2 LayoutMaker::middle(const Contour& contour, const PlanShape& shape, Place place) {
  if (std::holds_alternative<Band>(shape) || std::holds_alternative<Polygon>(shape)) return box(ring(contour)).centre();
  return place.centre_mm;
}

void LayoutMaker::sayShape(const PlanShape& shape, DrawnDetail& truth) { std::visit(ShapeSize{truth}, shape); }

Result<Layout> layOut(const Chassis& chassis, const DrawOptions& options) {
  auto layout = LayoutMaker(chassis, options).make();
  if (!layout) return layout;
  return checkPlaces(std::move(*layout), chassis, options);
}

}  // namespace chipledger::draw
