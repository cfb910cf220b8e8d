// Each block is drawn like a chassis; the closed forms beside it are written out by hand, apart from the drawing code.
#include <chipledger/draw/blocks.hpp>

#include "kernel_solid.hpp"
#include "stack_solid.hpp"

#include <fmt/format.h>
#include <cmath>
#include <numbers>

namespace chipledger::draw {
namespace {

using std::numbers::pi;

Chassis plate(const std::string& name, Vec3 size) {
  Chassis c;
  c.name = name;
  c.thickness = mm(size.z);
  c.outline = RectangleOutline{mm(size.x), mm(size.y), mm(0)};
  return c;
}

Result<Block> block(Result<Drawn> drawn, double volume, double area) {
  if (!drawn) return tl::make_unexpected(drawn.error());
  drawn->closedForm = mm3(volume);
  return Block{std::move(*drawn), mm2(area)};
}

double boxVolume(Vec3 s) { return s.x * s.y * s.z; }
double boxArea(Vec3 s) { return 2 * (s.x * s.y + s.y * s.z + s.z * s.x); }

struct Flat {
  double area, perimeter;
};
Flat flat(const Rectangle& r) {
  const double l = toMm(r.length), w = toMm(r.width), c = toMm(r.cornerRadius);
  return {l * w - (4 - pi) * c * c, 2 * (l + w) - (8 - 2 * pi) * c};
}

}  // namespace

Result<Block> boxBlock(const std::string& name, Vec3 size, FileUnit unit) {
  Chassis c = plate(name, size);
  c.unit = unit;
  c.outline = PolylineOutline{{{{0, 0}, {}, 0}, {{size.x, 0}, {}, 0}, {{size.x, size.y}, {}, 0}, {{0, size.y}, {}, 0}}};
  return block(drawChassis(c), boxVolume(size), boxArea(size));
}

Result<Block> pocketBlock(const std::string& name, Vec3 size, Rectangle pocket, Length depth) {
  Chassis c = plate(name, size);
  Pocket p;
  p.name = "pocket";
  p.shape = pocket;
  p.depth = depth;
  c.pockets = {p};
  const Flat f = flat(pocket);
  return block(drawChassis(c), boxVolume(size) - f.area * toMm(depth), boxArea(size) + f.perimeter * toMm(depth));
}

Result<Block> islandBlock(const std::string& name, Vec3 size, Length diameter, Length height) {
  Chassis c = plate(name, size);
  Island i;
  i.name = "island";
  i.shape = Round{diameter};
  i.height = height;
  c.islands = {i};
  const double d = toMm(diameter), h = toMm(height);
  return block(drawChassis(c), boxVolume(size) + pi / 4 * d * d * h, boxArea(size) + pi * d * h);
}

Result<Block> windowBlock(const std::string& name, Vec3 size, Rectangle window) {
  Chassis c = plate(name, size);
  Window w;
  w.name = "window";
  w.shape = window;
  c.windows = {w};
  const Flat f = flat(window);
  return block(drawChassis(c), boxVolume(size) - f.area * size.z, boxArea(size) - 2 * f.area + f.perimeter * size.z);
}

Result<Block> boreBlock(const std::string& name, Vec3 size, Length diameter, int count) {
  Chassis c = plate(name, size);
  const double d = toMm(diameter);
  for (int i = 0; i < count; ++i) {
    Bore b;
    b.name = fmt::format("bore-{}", i + 1);
    b.centre_mm = {size.x * ((i + 0.5) / count - 0.5), 0};
    b.diameter = diameter;
    c.bores.push_back(b);
  }
  return block(drawChassis(c), boxVolume(size) - count * pi / 4 * d * d * size.z,
               boxArea(size) + count * (pi * d * size.z - pi / 2 * d * d));
}

Result<Block> undercutBlock(const std::string& name, Vec3 size, TSlot slot) {
  const double neck = toMm(slot.neckWidth), deep = toMm(slot.neckDepth), head = toMm(slot.headWidth),
               high = toMm(slot.headHeight);
  if (!(neck > 0 && deep > 0 && high > 0 && head > neck && head < size.y && deep + high < size.z))
    return fault(FaultCode::BadFile, name, "The T-slot does not fit the block.", "Check its widths and heights.");
  // The section stands in YZ; it is drawn lying and turned up, so that the slot runs along x.
  const double y = size.y / 2, z = size.z;
  const std::vector<Corner> section = {{{-y, 0}, {}, 0},
                                       {{y, 0}, {}, 0},
                                       {{y, z}, {}, 0},
                                       {{neck / 2, z}, {}, 0},
                                       {{neck / 2, z - deep}, {}, 0},
                                       {{head / 2, z - deep}, {}, 0},
                                       {{head / 2, z - deep - high}, {}, 0},
                                       {{-head / 2, z - deep - high}, {}, 0},
                                       {{-head / 2, z - deep}, {}, 0},
                                       {{-neck / 2, z - deep}, {}, 0},
                                       {{-neck / 2, z}, {}, 0},
                                       {{-y, z}, {}, 0}};
  Chassis c = plate(name, {});
  c.thickness = mm(size.x);
  c.outline = PolylineOutline{section};
  auto lying = drawChassis(c);
  if (!lying) return tl::make_unexpected(lying.error());
  const double flatArea = size.y * z - neck * deep - head * high;
  const double border = 2 * (size.y + z) + 2 * (deep + high) + 2 * (head - neck);
  Frame up;  // x' = z - half length, y' = x, z' = y
  up.x = {0, 0, 1};
  up.y = {1, 0, 0};
  up.z = {0, 1, 0};
  up.shift = {-size.x / 2, 0, 0};
  auto standing = moved(*lying, up);
  if (!standing) return tl::make_unexpected(standing.error());
  DrawnDetail truth;
  truth.name = "t-slot";
  truth.kind = DrawnKind::Undercut;
  truth.width = slot.headWidth;
  truth.depth = slot.neckDepth + slot.headHeight;
  truth.height = slot.headHeight;
  truth.centre_mm = {0, 0, z};
  standing->details = {truth};
  return block(std::move(*standing), flatArea * size.x, 2 * flatArea + border * size.x);
}

Result<std::vector<Block>> sampleBlocks() {
  std::vector<Block> blocks;
  for (auto& one :
       {boxBlock("block-box", {40, 30, 20}), boxBlock("block-box-inch", {25.4 * 2, 25.4, 25.4 * 0.5}, FileUnit::Inch),
        boreBlock("block-bores-m2", {40, 12, 2}, mm(1.65), 4), islandBlock("block-island", {40, 30, 4}, mm(10), mm(3)),
        pocketBlock("block-pocket", {40, 30, 20}, {mm(24), mm(14), mm(3)}, mm(6)),
        undercutBlock("block-undercut", {40, 30, 20}, {mm(6), mm(8), mm(14), mm(5)}),
        windowBlock("block-window", {40, 30, 4}, {mm(20), mm(10), mm(2)})}) {
    if (!one) return tl::make_unexpected(one.error());
    blocks.push_back(one.value());
  }
  return blocks;
}

}  // namespace chipledger::draw
