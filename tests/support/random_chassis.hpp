#pragma once
// Seeded random chassis: what a seed gives is the same on every system. The drawn details are the truth for whoever has
// to find them again. Details lie in cells of the plate and do not touch, unless asked for.
#include <chipledger/draw/chassis.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

namespace chipledger::testing {

struct RandomChassisOptions {
  bool chamfers{true};  ///< edge breaks on the outline (where it is tangent all round or has straight corners)
  bool nested{true};    ///< islands, pockets and bores inside pockets, bores in islands
  bool open{true};      ///< slots and pockets that run out through the outline
  bool back{true};      ///< details on the back
  int cellsAcross{2};
};

namespace random_chassis {

class Dice {
public:
  explicit Dice(std::uint32_t seed) : engine_(seed) {}
  /// Whole steps of `step` in [low, high]; the standard distributions differ between libraries, this does not.
  double pick(double low, double high, double step = 0.05) {
    const auto steps = static_cast<std::uint32_t>(std::floor((high - low) / step + 1e-9));
    return steps == 0 ? low : low + step * static_cast<double>(engine_() % (steps + 1));
  }
  int upTo(int count) { return static_cast<int>(engine_() % static_cast<std::uint32_t>(count)); }
  bool chance(double p) { return static_cast<double>(engine_() % 10000u) < 10000.0 * p; }

private:
  std::mt19937 engine_;
};

struct Cell {
  Vec2 centre;
  double half;  ///< a detail stays inside the circle of this radius
};

class Maker {
public:
  Maker(std::uint32_t seed, const RandomChassisOptions& options) : dice_(seed * 2654435761u + 17u), options_(options) {
    chassis_.name = "random-" + std::to_string(seed);
  }

  draw::Chassis make() {
    body();
    for (const Cell& cell : cells()) fill(cell);
    if (options_.open) openDetails();
    return chassis_;
  }

private:
  std::string name(const char* kind) { return std::string(kind) + "-" + std::to_string(++count_); }

  void body() {
    length_ = dice_.pick(80, 120, 1);
    width_ = dice_.pick(24, 32, 1);
    chassis_.thickness = mm(dice_.pick(1.6, 3.0, 0.1));
    const double t = toMm(chassis_.thickness);
    const int family = dice_.upTo(5);
    bool corners = false;
    switch (family) {
      case 0:
        chassis_.outline = draw::ObroundOutline{mm(length_), mm(width_)};
        break;
      case 1:
        chassis_.outline = draw::RectangleOutline{mm(length_), mm(width_), mm(dice_.pick(2, 6, 0.5))};
        break;
      case 2:
        chassis_.outline = draw::HandleOutline{mm(length_), mm(width_), mm(width_ - 2), mm(width_ - dice_.pick(3, 5))};
        break;
      case 3: {
        draw::SplineHandleOutline o{mm(length_), mm(width_), mm(width_ - 1), {}, {}};
        for (double f : {0.3, 0.1, -0.1, -0.3}) o.upper_mm.push_back({f * length_, width_ / 2 - dice_.pick(0.3, 1.5)});
        chassis_.outline = o;
        break;
      }
      default: {
        const double x = length_ / 2, y = width_ / 2, cut = dice_.pick(2, 5, 0.5);
        chassis_.outline = draw::PolylineOutline{{{{-x, -y}, mm(3), 0},
                                                  {{x - cut, -y}, {}, 0},
                                                  {{x, -y + cut}, {}, 0},
                                                  {{x, y - cut}, {}, 0},
                                                  {{x - cut, y}, {}, 0},
                                                  {{-x, y}, mm(3), 0}}};
        corners = true;
      }
    }
    if (!options_.chamfers) return;
    const double size = dice_.pick(0.15, std::min(0.4, t / 5));
    const auto kind = [&] {
      const int k = dice_.upTo(3);
      return k == 2 && corners ? draw::EdgeBreak::Kind::Chamfer : static_cast<draw::EdgeBreak::Kind>(k);
    };
    chassis_.outerEdge = {kind(), mm(size)};
    chassis_.backEdge = {kind(), mm(size)};
    edge_ = size;
  }

  std::vector<Cell> cells() {
    const int rows = options_.cellsAcross;
    const double inner = width_ - 6.0 - 2 * edge_, pitch = inner / rows;
    const int columns = static_cast<int>((length_ - width_) / pitch);
    std::vector<Cell> found;
    for (int i = 0; i < columns; ++i)
      for (int k = 0; k < rows; ++k)
        found.push_back({{(i - 0.5 * (columns - 1)) * pitch, (k - 0.5 * (rows - 1)) * pitch}, pitch / 2 - 0.3});
    return found;
  }

  // A plan shape inside the circle of radius `half`, smallest inside radius at least `corner`.
  draw::PlanShape shape(double half, double corner) {
    switch (dice_.upTo(4)) {
      case 0:
        return draw::Round{mm(2 * std::floor(half * dice_.pick(0.6, 0.9) / 0.05) * 0.05)};
      case 1: {
        const double w = std::max(2 * corner, step(half * dice_.pick(0.7, 0.95)));
        return draw::Oblong{mm(std::max(step(1.9 * half), w + 0.5)), mm(w)};
      }
      case 2: {
        const double angle = dice_.pick(0.5, 0.9);
        const double l = step(1.9 * half * std::cos(angle)), w = step(1.9 * half * std::sin(angle));
        return draw::Rectangle{mm(l), mm(w),
                               mm(std::min(std::max(corner, dice_.pick(0.5, 1.5)), step(std::min(l, w) / 2 - 0.1)))};
      }
      default: {
        const int sides = 3 + 2 * dice_.upTo(2) + dice_.upTo(2);  // 3 to 6
        draw::Polygon p{{}, mm(std::min(std::max(corner, dice_.pick(0.5, 1.0)), 0.3 * half))};
        for (int i = 0; i < sides; ++i) {
          const double a = 2 * 3.14159265358979324 * i / sides;
          p.corners_mm.push_back({0.95 * half * std::cos(a), 0.95 * half * std::sin(a)});
        }
        return p;
      }
    }
  }
  static double step(double v) { return std::floor(v / 0.05 + 1e-9) * 0.05; }

  draw::Side side() { return options_.back && dice_.chance(0.3) ? draw::Side::Back : draw::Side::Outer; }
  Angle anyAngle() { return degrees(dice_.pick(0, 175, 5)); }

  void fill(const Cell& cell) {
    switch (dice_.upTo(8)) {
      case 0:
      case 1:
        return island(cell);
      case 2:
      case 3:
        return pocket(cell);
      case 4: {
        draw::Window w;
        w.name = name("window");
        w.place = {cell.centre, anyAngle()};
        w.shape = shape(cell.half, 0.5);
        chassis_.windows.push_back(w);
        return;
      }
      case 5:
        return slot(cell);
      case 6:
        return bore(cell);
      default:
        return;  // left bare
    }
  }

  void island(const Cell& cell) {
    draw::Island i;
    i.name = name("island");
    i.rootRadius = mm(dice_.chance(0.7) ? dice_.pick(0.2, 0.6) : 0.0);
    i.height = mm(dice_.pick(1.2, 5.0));
    const double half = cell.half - toMm(i.rootRadius);
    i.place = {cell.centre, anyAngle()};
    i.shape = shape(half, 0.5);
    const int top = dice_.upTo(4);
    if (top == 0) i.topChamfer = mm(dice_.pick(0.1, 0.3));
    if (top == 1) i.domeRadius = mm(dice_.pick(40, 80, 1));
    const bool drilled = options_.nested && top != 1 && dice_.chance(0.3);
    chassis_.islands.push_back(i);
    if (!drilled) return;
    draw::Bore b;
    b.name = name("bore");
    b.on = i.name;
    b.centre_mm = cell.centre;
    b.diameter = mm(step(0.4 * half));
    b.depth = mm(dice_.chance(0.5) ? 0.0 : step(0.6 * toMm(i.height)));
    chassis_.bores.push_back(b);
  }

  void pocket(const Cell& cell) {
    draw::Pocket p;
    p.name = name("pocket");
    p.side = side();
    p.depth = mm(step(toMm(chassis_.thickness) * dice_.pick(0.3, 0.7)));
    if (dice_.chance(0.4)) p.floorRadius = mm(dice_.pick(0.1, 0.3));
    p.place = {cell.centre, anyAngle()};
    if (dice_.chance(0.25)) p.rimChamfer = mm(0.1);
    p.shape = shape(cell.half - toMm(p.rimChamfer), 0.5);
    const bool nest = options_.nested && dice_.chance(0.6);
    if (nest) p.shape = draw::Oblong{mm(step(1.9 * cell.half)), mm(step(1.5 * cell.half))};
    chassis_.pockets.push_back(p);
    if (!nest) return;
    const int what = dice_.upTo(3);
    const double room = 0.75 * cell.half - toMm(p.floorRadius) - 0.3;
    if (what == 0) {
      draw::Island i;
      i.name = name("island");
      i.on = p.name;
      i.place = {cell.centre, anyAngle()};
      i.height = mm(step(toMm(p.depth) * dice_.pick(0.5, 0.9)));
      i.rootRadius = mm(dice_.chance(0.5) ? std::min(0.1, 0.5 * toMm(i.height)) : 0.0);
      i.shape = draw::Round{mm(step(room))};
      chassis_.islands.push_back(i);
    } else if (what == 1) {
      draw::Pocket q;
      q.name = name("pocket");
      q.on = p.name;
      q.side = p.side;
      q.place = {cell.centre, p.place.angle};
      q.depth = mm(step(0.5 * (toMm(chassis_.thickness) - toMm(p.depth))));
      q.shape = draw::Oblong{mm(step(1.6 * room)), mm(step(room))};
      chassis_.pockets.push_back(q);
    } else {
      draw::Bore b;
      b.name = name("bore");
      b.on = p.name;
      b.side = p.side;
      b.centre_mm = cell.centre;
      b.diameter = mm(step(room));
      chassis_.bores.push_back(b);
    }
  }

  void slot(const Cell& cell) {
    draw::Slot s;
    s.name = name("slot");
    s.band.width = mm(dice_.pick(1.0, 1.6, 0.1));
    const double reach = cell.half - toMm(s.band.width) / 2, a = anyAngle().rad;
    const Vec2 d{std::cos(a), std::sin(a)};
    if (dice_.chance(0.5)) {
      s.band.line_mm = {cell.centre - d * reach, cell.centre + d * reach};
    } else {
      s.band.line_mm = {cell.centre - d * reach, cell.centre, cell.centre + perp(d) * reach};
      s.band.bendRadius = mm(dice_.pick(1.2, 2.0));
    }
    if (dice_.chance(0.5)) {
      s.side = side();
      s.depth = mm(step(toMm(chassis_.thickness) * dice_.pick(0.3, 0.6)));
    }
    chassis_.slots.push_back(s);
  }

  void bore(const Cell& cell) {
    draw::Bore b;
    b.name = name("bore");
    b.centre_mm = cell.centre;
    b.side = side();
    const double t = toMm(chassis_.thickness);
    b.diameter = mm(std::min(dice_.pick(1.6, 5.0), step(cell.half)));
    switch (dice_.upTo(5)) {
      case 0:
        b.counterbore = draw::Counterbore{b.diameter + mm(std::min(2.0, step(0.8 * cell.half))), mm(step(0.4 * t))};
        break;
      case 1:
        b.countersink = draw::Countersink{b.diameter + mm(std::min(step(0.8 * t), step(0.8 * cell.half))), degrees(90)};
        break;
      case 2:
        b.depth = mm(step(0.5 * t));
        break;
      case 3:
        b.diameter = mm(std::min(1.6, step(cell.half)));
        b.depth = mm(step(0.5 * t));
        b.pointAngle = degrees(140);
        break;
      default:
        break;
    }
    chassis_.bores.push_back(b);
  }

  // Both run out through the long sides, in the free border strip of the plate.
  void openDetails() {
    const auto* spline = std::get_if<draw::SplineHandleOutline>(&chassis_.outline);
    if (spline != nullptr || dice_.chance(0.5)) return;
    if (edge_ > 0) return;  // an opening across an edge break touches it
    draw::Pocket p;
    p.name = name("open-pocket");
    p.open = true;
    p.depth = mm(step(0.5 * toMm(chassis_.thickness)));
    p.place = {{0, width_ / 2}, {}};
    p.shape = draw::Rectangle{mm(6), mm(4.4), mm(1)};
    if (!std::holds_alternative<draw::HandleOutline>(chassis_.outline)) chassis_.pockets.push_back(p);
  }

  Dice dice_;
  RandomChassisOptions options_;
  draw::Chassis chassis_;
  double length_{}, width_{}, edge_{};
  int count_{};
};

}  // namespace random_chassis

inline draw::Chassis randomChassis(std::uint32_t seed, const RandomChassisOptions& options = {}) {
  return random_chassis::Maker(seed, options).make();
}

}  // namespace chipledger::testing
