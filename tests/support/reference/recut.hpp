#pragma once
// The part cut again from what is written down: the paths file, the estimate's JSON and the triangles of the STEP file.
// Every column of a plain grid of points is tested against every move directly. Nothing of the walker, its fields or
// its profiles is used, so that agreement says something. Slow and obvious on purpose.
//
// A column is the metal over one point of the plan, low..high in the frame of the blank. A move takes from it what lies
// above the lowest underside the cutter has over that point on its way.
#include <chipledger/part/part.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

namespace reference {

using Matrix = std::array<double, 16>;
using chipledger::Vec2;
using chipledger::Vec3;

inline Vec3 times(const Matrix& m, Vec3 p) {
  return {m[0] * p.x + m[1] * p.y + m[2] * p.z + m[3], m[4] * p.x + m[5] * p.y + m[6] * p.z + m[7],
          m[8] * p.x + m[9] * p.y + m[10] * p.z + m[11]};
}
inline Matrix product(const Matrix& a, const Matrix& b) {
  Matrix c{};
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j)
      for (std::size_t k = 0; k < 4; ++k) c[4 * i + j] += a[4 * i + k] * b[4 * k + j];
  return c;
}
/// Of a turn and a shift.
inline Matrix inverse(const Matrix& m) {
  Matrix r{m[0], m[4], m[8], 0, m[1], m[5], m[9], 0, m[2], m[6], m[10], 0, 0, 0, 0, 1};
  const Vec3 back = times(r, {m[3], m[7], m[11]});
  r[3] = -back.x;
  r[7] = -back.y;
  r[11] = -back.z;
  return r;
}

/// A row of the paths file.
struct PathRow {
  std::string setup, operation, cutter, move;
  double diameter{}, corner{};
  Vec3 point;
  double feed{};  ///< mm/min; 0: as fast as the machine goes
};
inline std::vector<PathRow> readPaths(const std::string& csv) {
  std::vector<PathRow> rows;
  std::istringstream lines(csv);
  std::string text;
  std::getline(lines, text);  // the head
  while (std::getline(lines, text)) {
    std::array<std::string, 10> cell;
    std::istringstream cells(text);
    for (std::string& c : cell) std::getline(cells, c, ',');
    const auto number = [&](std::size_t i) { return cell[i].empty() ? 0.0 : std::stod(cell[i]); };
    rows.push_back(
        {cell[0], cell[1], cell[2], cell[5], number(3), number(4), {number(6), number(7), number(8)}, number(9)});
  }
  return rows;
}

/// What one operation did.
struct RecutOperation {
  std::string id, kind;
  double removed_mm3{}, rapid_mm3{};  ///< taken by moves at feed, and by rapids (which must meet nothing)
  double path_mm{};                   ///< cut and enter
  double feed_min{};                  ///< length over feed of all moves at feed, and stands
  double gouge_mm{}, gouge_mm3{};     ///< deepest cut below the target by the cutter made smaller by `slack_mm`
};

class Recut {
public:
  /// Points `spacing_mm` apart, the first at `offset_mm` from the corner of the blank. `slack_mm`: what a cutter may
  /// stand into the part sideways and down without being called a gouge.
  Recut(const nlohmann::json& estimate, const chipledger::part::Mesh& mesh, double spacing_mm, double offset_mm,
        double slack_mm)
      : estimate_(estimate), step_(spacing_mm), slack_(slack_mm) {
    partToStock_ = estimate["stock"]["part_to_stock"].get<Matrix>();
    const auto low = estimate["stock"]["min_mm"].get<std::array<double, 3>>();
    const auto size = estimate["stock"]["size_mm"].get<std::array<double, 3>>();
    x0_ = low[0] + offset_mm;
    y0_ = low[1] + offset_mm;
    nx_ = static_cast<int>(std::floor((size[0] - offset_mm) / step_ + 1e-9)) + 1;
    ny_ = static_cast<int>(std::floor((size[1] - offset_mm) / step_ + 1e-9)) + 1;
    if (x0_ + (nx_ - 1) * step_ > low[0] + size[0] - 1e-9) --nx_;
    if (y0_ + (ny_ - 1) * step_ > low[1] + size[1] - 1e-9) --ny_;
    const std::size_t n = static_cast<std::size_t>(nx_) * static_cast<std::size_t>(ny_);
    low_.assign(n, low[2]);
    high_.assign(n, low[2] + size[2]);
    partTop_.assign(n, -kNone);
    partBottom_.assign(n, kNone);
    partMetal_.assign(n, 0.0);
    blank_mm3_ = static_cast<double>(n) * size[2] * step_ * step_;
    for (const auto& t : mesh.triangles) {
      std::array<Vec3, 3> p;
      for (std::size_t k = 0; k < 3; ++k) p[k] = times(partToStock_, mesh.points[static_cast<std::size_t>(t[k])]);
      triangle(p);
    }
  }

  std::vector<RecutOperation> run(const std::vector<PathRow>& rows) {
    std::map<std::string, nlohmann::json> cutters;
    for (const auto& c : estimate_["cutters"]) cutters[c["id"]] = c;
    std::map<std::string, std::string> kinds;
    for (const auto& o : estimate_["operations"]) kinds[o["id"]] = o["kind"];
    std::map<std::string, Matrix> toSetup;
    for (const auto& s : estimate_["setups"])
      toSetup[s["name"]] = product(s["part_to_setup"].get<Matrix>(), inverse(partToStock_));
    std::vector<RecutOperation> done;
    Vec3 at;
    for (const PathRow& row : rows) {
      if (done.empty() || done.back().id != row.operation) {
        done.push_back({row.operation, kinds[row.operation]});
        frame_ = toSetup.at(row.setup);
        up_ = frame_[10];
        const auto& c = cutters.at(row.cutter);
        const std::string kind = c["kind"];
        rounded_ = kind == "bull" || kind == "ball";
        coned_ = kind == "chamfer" || kind == "spot-drill" || kind == "drill";
        cuts_ = kind != "tap" && kind != "thread-mill";
        radius_ = 0.5 * row.diameter;
        corner_ = row.corner;
        rise_ = c["point_angle_deg"].get<double>() > 0
                    ? 1.0 / std::tan(0.5 * c["point_angle_deg"].get<double>() * std::numbers::pi / 180.0)
                    : 0.0;
        at = row.point;
        continue;
      }
      RecutOperation& op = done.back();
      const double l = std::hypot(row.point.x - at.x, row.point.y - at.y, row.point.z - at.z);
      const bool rapid = row.move == "rapid";
      // A point said again is a stand: as long as one millimetre takes at its feed.
      if (!rapid && row.feed > 0) op.feed_min += (l > 0 ? l : 1.0) / row.feed;
      if (row.move == "cut" || row.move == "enter") op.path_mm += l;
      // A thread's own metal is not in the drawing: the tap is timed, not cut.
      if (cuts_ && std::abs(up_) > 0.999) {
        const double taken = cut(at, row.point, op);
        (rapid ? op.rapid_mm3 : op.removed_mm3) += taken;
      }
      at = row.point;
    }
    return done;
  }

  double blank_mm3() const { return blank_mm3_; }
  double part_mm3() const {
    return sum([&](std::size_t k) { return partMetal_[k]; });
  }
  double stock_mm3() const {
    return sum([&](std::size_t k) { return std::max(0.0, high_[k] - low_[k]); });
  }
  /// Metal still standing on or in the part's own silhouette: over its top, under its underside, in its openings.
  template <class Inside>
  double leftOver_mm3(Inside inside) const {
    return sum([&](std::size_t k) {
      if (!inside(place(k))) return 0.0;
      if (partTop_[k] < partBottom_[k]) return std::max(0.0, high_[k] - low_[k]);
      if (high_[k] <= low_[k]) return 0.0;
      return std::max(0.0, high_[k] - partTop_[k]) + std::max(0.0, partBottom_[k] - low_[k]);
    });
  }
  Vec2 place(std::size_t k) const {
    const auto n = static_cast<std::size_t>(nx_);
    return {x0_ + static_cast<double>(k % n) * step_, y0_ + static_cast<double>(k / n) * step_};
  }

private:
  static constexpr double kNone = 1e30;

  template <class Of>
  double sum(Of of) const {
    double s = 0.0;
    for (std::size_t k = 0; k < low_.size(); ++k) s += of(k);
    return s * step_ * step_;
  }

  void triangle(const std::array<Vec3, 3>& p) {
    const double twice = (p[1].x - p[0].x) * (p[2].y - p[0].y) - (p[2].x - p[0].x) * (p[1].y - p[0].y);
    if (std::abs(twice) < 1e-12) return;
    const auto [xl, xh] = std::minmax({p[0].x, p[1].x, p[2].x});
    const auto [yl, yh] = std::minmax({p[0].y, p[1].y, p[2].y});
    const int i0 = std::max(0, static_cast<int>(std::ceil((xl - x0_) / step_))),
              i1 = std::min(nx_ - 1, static_cast<int>(std::floor((xh - x0_) / step_)));
    const int j0 = std::max(0, static_cast<int>(std::ceil((yl - y0_) / step_))),
              j1 = std::min(ny_ - 1, static_cast<int>(std::floor((yh - y0_) / step_)));
    for (int j = j0; j <= j1; ++j) {
      for (int i = i0; i <= i1; ++i) {
        const double x = x0_ + i * step_, y = y0_ + j * step_;
        std::array<double, 3> w{};
        for (std::size_t e = 0; e < 3; ++e) {
          const Vec3 a = p[(e + 1) % 3], b = p[(e + 2) % 3];
          w[e] = ((b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x)) / twice;
        }
        if (w[0] < 0 || w[1] < 0 || w[2] < 0) continue;
        const double z = w[0] * p[0].z + w[1] * p[1].z + w[2] * p[2].z;
        const std::size_t k = index(i, j);
        partTop_[k] = std::max(partTop_[k], z);
        partBottom_[k] = std::min(partBottom_[k], z);
        partMetal_[k] += twice > 0 ? z : -z;  // a face that looks up ends metal, one that looks down begins it
      }
    }
  }

  std::size_t index(int i, int j) const {
    return static_cast<std::size_t>(j) * static_cast<std::size_t>(nx_) + static_cast<std::size_t>(i);
  }

  /// Height of the cutting edge over the tip at a distance from the axis.
  double underside(double distance, double radius) const {
    if (distance >= radius) return kNone;
    if (rounded_) {
      const double out = distance - (radius - corner_);
      return out <= 0 ? 0.0 : corner_ - std::sqrt(std::max(0.0, corner_ * corner_ - out * out));
    }
    return coned_ ? distance * rise_ : 0.0;
  }

  /// Lowest underside over a point on the way from a to b, setup frame; kNone where the cutter does not come.
  double lowest(Vec2 p, Vec3 a, Vec3 b, double radius) const {
    const double dx = b.x - a.x, dy = b.y - a.y, l2 = dx * dx + dy * dy;
    const double px = p.x - a.x, py = p.y - a.y;
    double from = 0.0, to = 1.0, near = 0.0;
    if (l2 > 1e-18) {
      near = (px * dx + py * dy) / l2;
      const double off = (px * dy - py * dx), room = radius * radius - off * off / l2;
      if (room <= 0) return kNone;
      const double half = std::sqrt(room / l2);
      from = std::max(0.0, near - half);
      to = std::min(1.0, near + half);
      if (from >= to) return kNone;
    } else if (px * px + py * py >= radius * radius) {
      return kNone;
    }
    if (!rounded_ && !coned_) return a.z + (a.z < b.z ? from : to) * (b.z - a.z);
    const auto over = [&](double t) {
      const double x = px - t * dx, y = py - t * dy;
      return a.z + t * (b.z - a.z) + underside(std::sqrt(x * x + y * y), radius * (1 + 1e-12));
    };
    const bool curved = std::abs(b.z - a.z) > 1e-9 && l2 > 1e-18;
    if (!curved && l2 > 1e-18) return over(std::clamp(near, from, to));
    // At the middle the axis is nearest, at the ends the tip is lowest; a curved underside may be lowest between.
    double best =
        std::min({over(std::clamp(near, from, to)), over(from + 1e-9 * (to - from)), over(to - 1e-9 * (to - from))});
    constexpr int kBetween = 16;
    for (int k = 1; curved && k < kBetween; ++k) best = std::min(best, over(from + (to - from) * k / kBetween));
    return best;
  }

  double cut(Vec3 a, Vec3 b, RecutOperation& op) {
    // The box of the move in the blank's plan: the frames differ by a turn about z and a flip.
    const Matrix back = inverse(frame_);
    const Vec3 a0 = times(back, a), b0 = times(back, b);
    const int i0 = std::max(0, static_cast<int>(std::ceil((std::min(a0.x, b0.x) - radius_ - x0_) / step_))),
              i1 = std::min(nx_ - 1, static_cast<int>(std::floor((std::max(a0.x, b0.x) + radius_ - x0_) / step_)));
    const int j0 = std::max(0, static_cast<int>(std::ceil((std::min(a0.y, b0.y) - radius_ - y0_) / step_))),
              j1 = std::min(ny_ - 1, static_cast<int>(std::floor((std::max(a0.y, b0.y) + radius_ - y0_) / step_)));
    double taken = 0.0;
    for (int j = j0; j <= j1; ++j) {
      for (int i = i0; i <= i1; ++i) {
        const std::size_t k = index(i, j);
        const Vec3 p = times(frame_, {x0_ + i * step_, y0_ + j * step_, 0.0});
        const double z = lowest({p.x, p.y}, a, b, radius_);
        if (z >= kNone) continue;
        // p.z is where the blank's z = 0 lies in the setup; heights run along or against it.
        const double at = up_ > 0 ? z - p.z : p.z - z;
        double& end = up_ > 0 ? high_[k] : low_[k];
        const bool metal = high_[k] > low_[k];
        if (metal && (up_ > 0 ? at < end : at > end)) {
          const double before = high_[k] - low_[k];
          end = at;
          taken += before - std::max(0.0, high_[k] - low_[k]);
        }
        if (partTop_[k] < partBottom_[k] || radius_ <= slack_) continue;
        if ((up_ > 0 ? partTop_[k] - at : at - partBottom_[k]) <= slack_) continue;
        const double core = lowest({p.x, p.y}, a, b, radius_ - slack_);
        if (core >= kNone) continue;
        const double down = up_ > 0 ? core - p.z : p.z - core;
        const double deep =
            std::min(up_ > 0 ? partTop_[k] - down : down - partBottom_[k], partTop_[k] - partBottom_[k]);
        if (deep <= slack_) continue;
        op.gouge_mm = std::max(op.gouge_mm, deep);
        op.gouge_mm3 += deep * step_ * step_;
      }
    }
    return taken * step_ * step_;
  }

  const nlohmann::json& estimate_;
  double step_{}, slack_{}, x0_{}, y0_{}, blank_mm3_{};
  int nx_{}, ny_{};
  std::vector<double> low_, high_, partTop_, partBottom_, partMetal_;
  Matrix partToStock_{}, frame_{};
  double up_{1.0}, radius_{}, corner_{}, rise_{};
  bool rounded_{}, coned_{}, cuts_{};
};

}  // namespace reference
