#include <chipledger/detail/carved_over.hpp>

#include <algorithm>
#include <map>
#include <numeric>

#include "detail/quadric.hpp"
#include "detail/without_rest.hpp"

namespace chipledger::detail {
namespace {

constexpr double kLevel_mm = 1e-4;  // rounding of frames and files
constexpr double kSag_mm = 0.004;   // between rings of new points, below what roughing and finishing feel
constexpr int kMostRings = 24;
constexpr double kRound_mm = 2.0;  // of the face round a border that counts, beside half its width
constexpr double kRoundShare = 1.6;

using Way = std::pair<std::int32_t, std::int32_t>;

/// A closed border of removed triangles, walked as they walk it, with the faces on the other side.
struct Border {
  std::vector<std::int32_t> points;
  std::vector<std::int32_t> beside;  // triangle across the edge that starts at each point
};

class Closer {
public:
  Closer(const part::Body& body, const Frame& partToPlate, const Details& details, std::vector<int> gone)
      : details_(details), mesh_(body.mesh), volume_(body.volume), gone_(std::move(gone)) {
    for (Vec3& p : mesh_.points) p = partToPlate.apply(p);
  }

  /// Details that prisms must take away instead are found one after the other, until the rest can all go.
  bool run() {
    std::erase_if(gone_, [&](int d) { return details_.list[static_cast<std::size_t>(d)].faces.empty(); });
    while (!gone_.empty()) {
      const std::vector<int> unfit = tryAll();
      if (unfit.empty()) return true;
      std::erase_if(gone_, [&](int d) { return std::find(unfit.begin(), unfit.end(), d) != unfit.end(); });
    }
    return false;
  }

  const std::vector<int>& gone() const { return gone_; }

  field::Solid solid() {
    part::Body body;
    body.volume = volume_ + mm3(volumeOf(added_) - volumeOf(removed_));
    std::vector<std::pair<std::int32_t, std::array<std::int32_t, 3>>> all;
    for (std::size_t t = 0; t < mesh_.triangles.size(); ++t)
      if (removedAt_[t] < 0) all.emplace_back(mesh_.triangleFace[t], mesh_.triangles[t]);
    for (std::size_t t = 0; t < added_.size(); ++t) all.emplace_back(addedFace_[t], added_[t]);
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    body.mesh.deflection_mm = mesh_.deflection_mm;
    // Points of what is gone go as well: they would count as the highest or lowest of the part.
    std::vector<std::int32_t> number(mesh_.points.size(), -1);
    for (auto& [face, triangle] : all) {
      for (std::int32_t& p : triangle) {
        std::int32_t& now = number[static_cast<std::size_t>(p)];
        if (now < 0) {
          now = static_cast<std::int32_t>(body.mesh.points.size());
          body.mesh.points.push_back(mesh_.points[static_cast<std::size_t>(p)]);
        }
        p = now;
      }
      body.mesh.triangleFace.push_back(face);
      body.mesh.triangles.push_back(triangle);
    }
    return field::Solid(body, Frame{});
  }

private:
  int detailOf(std::size_t triangle) const {
    const auto face = static_cast<std::size_t>(mesh_.triangleFace[triangle]);
    return face < details_.faceDetail.size() ? details_.faceDetail[face] : -1;
  }
  bool goes(int detail) const { return std::find(gone_.begin(), gone_.end(), detail) != gone_.end(); }
  Vec3 at(std::int32_t point) const { return mesh_.points[static_cast<std::size_t>(point)]; }
  Vec3 normal(const std::array<std::int32_t, 3>& t) const { return cross(at(t[1]) - at(t[0]), at(t[2]) - at(t[0])); }

  double volumeOf(const std::vector<std::array<std::int32_t, 3>>& triangles) const {
    double sum = 0.0;
    for (const auto& t : triangles) sum += dot(at(t[0]), cross(at(t[1]), at(t[2])));
    return sum / 6.0;
  }

  /// Takes the triangles of all that goes and closes every border; names the details of those that cannot be closed.
  std::vector<int> tryAll() {
    mesh_.points.resize(points_ == 0 ? points_ = mesh_.points.size() : points_);
    removed_.clear();
    added_.clear();
    addedFace_.clear();
    removedAt_.assign(mesh_.triangles.size(), -1);
    std::map<Way, std::size_t> ways;  // of the triangles that go and of those beside them
    for (std::size_t t = 0; t < mesh_.triangles.size(); ++t) {
      for (int k = 0; k < 3; ++k)
        ways[{mesh_.triangles[t][static_cast<std::size_t>(k)],
              mesh_.triangles[t][static_cast<std::size_t>((k + 1) % 3)]}] = t;
      if (goes(detailOf(t))) {
        removedAt_[t] = static_cast<int>(removed_.size());
        removed_.push_back(mesh_.triangles[t]);
      }
    }
    // Triangles that hang together go together.
    std::vector<std::size_t> from(mesh_.triangles.size());
    std::iota(from.begin(), from.end(), std::size_t{0});
    const auto root = [&](std::size_t t) {
      while (from[t] != t) t = from[t] = from[from[t]];
      return t;
    };
    std::map<std::size_t, std::map<std::int32_t, std::pair<std::int32_t, std::size_t>>> edges;  // per piece
    std::map<std::size_t, bool> whole;
    for (std::size_t t = 0; t < mesh_.triangles.size(); ++t) {
      if (removedAt_[t] < 0) continue;
      forEachWay(t, [&](Way w) {
        const auto other = ways.find({w.second, w.first});
        if (other != ways.end() && removedAt_[other->second] >= 0) from[root(t)] = root(other->second);
      });
    }
    for (std::size_t t = 0; t < mesh_.triangles.size(); ++t) {
      if (removedAt_[t] < 0) continue;
      auto& mine = edges[root(t)];
      bool& ok = whole.emplace(root(t), true).first->second;
      forEachWay(t, [&](Way w) {
        const auto other = ways.find({w.second, w.first});
        if (other == ways.end())
          ok = false;
        else if (removedAt_[other->second] < 0)
          ok = mine.emplace(w.first, std::pair{w.second, other->second}).second && ok;
      });
    }
    std::vector<int> unfit;
    for (auto& [piece, mine] : edges) {
      if (whole[piece] && closePiece(mine)) continue;
      for (std::size_t t = 0; t < mesh_.triangles.size(); ++t)
        if (removedAt_[t] >= 0 && root(t) == piece) unfit.push_back(detailOf(t));
    }
    std::sort(unfit.begin(), unfit.end());
    unfit.erase(std::unique(unfit.begin(), unfit.end()), unfit.end());
    return unfit;
  }

  template <class Do>
  void forEachWay(std::size_t t, const Do& act) const {
    const auto& c = mesh_.triangles[t];
    act(Way{c[0], c[1]});
    act(Way{c[1], c[2]});
    act(Way{c[2], c[0]});
  }

  /// All borders of one piece; at least one of them lies in a carved face.
  bool closePiece(std::map<std::int32_t, std::pair<std::int32_t, std::size_t>>& edges) {
    bool carved = false;
    while (!edges.empty()) {
      Border border;
      std::int32_t here = edges.begin()->first;
      for (auto next = edges.find(here); next != edges.end(); next = edges.find(here)) {
        border.points.push_back(here);
        border.beside.push_back(static_cast<std::int32_t>(next->second.second));
        here = next->second.first;
        edges.erase(next);
      }
      if (border.points.size() < 3 || here != border.points.front()) return false;
      const bool level = isLevel(border);
      if (!level && !inCarved(border)) return false;
      if (!close(border, level)) return false;
      carved = carved || !level;
    }
    return carved;
  }

  bool isLevel(const Border& border) const {
    const double z = at(border.points.front()).z;
    return std::all_of(border.points.begin(), border.points.end(),
                       [&](std::int32_t p) { return std::abs(at(p).z - z) < kLevel_mm; }) &&
           std::all_of(border.beside.begin(), border.beside.end(), [&](std::int32_t t) {
             const auto& c = mesh_.triangles[static_cast<std::size_t>(t)];
             return std::all_of(c.begin(), c.end(), [&](std::int32_t p) { return std::abs(at(p).z - z) < kLevel_mm; });
           });
  }

  bool inCarved(const Border& border) const {
    const int first = detailOf(static_cast<std::size_t>(border.beside.front()));
    if (first < 0 || details_.list[static_cast<std::size_t>(first)].kind != DetailKind::CarvedFace) return false;
    return std::all_of(border.beside.begin(), border.beside.end(),
                       [&](std::int32_t t) { return detailOf(static_cast<std::size_t>(t)) == first; });
  }

  /// The face round the border, drawn on over it.
  std::optional<Quadric> faceRound(const Border& border, Vec2 middle, double reach) const {
    std::vector<std::int32_t> faces;
    for (const std::int32_t t : border.beside) faces.push_back(mesh_.triangleFace[static_cast<std::size_t>(t)]);
    std::sort(faces.begin(), faces.end());
    faces.erase(std::unique(faces.begin(), faces.end()), faces.end());
    std::vector<char> seen(mesh_.points.size(), 0);
    std::vector<Vec3> near;
    const auto take = [&](std::int32_t p) {
      if (seen[static_cast<std::size_t>(p)] != 0) return;
      seen[static_cast<std::size_t>(p)] = 1;
      near.push_back(at(p));
    };
    for (const std::int32_t p : border.points) take(p);
    for (std::size_t t = 0; t < mesh_.triangles.size(); ++t) {
      if (removedAt_[t] >= 0 || !std::binary_search(faces.begin(), faces.end(), mesh_.triangleFace[t])) continue;
      for (const std::int32_t p : mesh_.triangles[t]) take(p);
    }
    return quadricThrough(near, middle, kRoundShare * reach + kRound_mm);
  }

  bool close(const Border& border, bool level) {
    Ring ring;
    for (const std::int32_t p : border.points) ring.push_back(at(p).xy());
    const double turn = signedArea(ring);
    // The cap looks the way the face beside it looks: else the border is the inner one of a ring.
    for (const std::int32_t t : border.beside)
      if (normal(mesh_.triangles[static_cast<std::size_t>(t)]).z * turn <= 0) return false;
    const Vec2 middle = centreOf(ring, turn);
    const std::size_t n = ring.size();
    double reach = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
      if (cross(ring[i] - middle, ring[(i + 1) % n] - middle) * turn <= 0) return false;  // not seen from the middle
      reach = std::max(reach, norm(ring[i] - middle));
    }
    Quadric face;
    if (!level) {
      const auto round = faceRound(border, middle, reach);
      if (!round) return false;
      face = *round;
    }
    const double z0 = at(border.points.front()).z;
    const int rings =
        level ? 1 : std::clamp(static_cast<int>(std::ceil(std::sqrt(face.sag(reach) / kSag_mm))), 1, kMostRings);
    std::vector<std::int32_t> outer = border.points;
    const auto add = [&](std::int32_t a, std::int32_t b, std::int32_t c, std::size_t edge) {
      added_.push_back({a, b, c});
      addedFace_.push_back(mesh_.triangleFace[static_cast<std::size_t>(border.beside[edge])]);
    };
    for (int k = rings - 1; k > 0; --k) {
      const double share = static_cast<double>(k) / rings;
      std::vector<std::int32_t> inner;
      for (std::size_t i = 0; i < n; ++i) {
        const Vec2 p = middle + (ring[i] - middle) * share;
        // What the quadric misses at the border fades towards the middle.
        const double missed = at(border.points[i]).z - face.at(ring[i]);
        inner.push_back(newPoint({p.x, p.y, face.at(p) + missed * share}));
      }
      for (std::size_t i = 0; i < n; ++i) {
        const std::size_t j = (i + 1) % n;
        add(outer[i], outer[j], inner[j], i);
        add(outer[i], inner[j], inner[i], i);
      }
      outer = std::move(inner);
    }
    const std::int32_t tip = newPoint({middle.x, middle.y, level ? z0 : face.at(middle)});
    for (std::size_t i = 0; i < n; ++i) add(outer[i], outer[(i + 1) % n], tip, i);
    return true;
  }

  static Vec2 centreOf(const Ring& ring, double area) {
    Vec2 sum;
    const Vec2 base = ring.front();
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec2 a = ring[i] - base, b = ring[(i + 1) % ring.size()] - base;
      sum = sum + (a + b) * cross(a, b);
    }
    return base + sum * (1.0 / (6.0 * area));
  }

  std::int32_t newPoint(Vec3 p) {
    mesh_.points.push_back(p);
    return static_cast<std::int32_t>(mesh_.points.size()) - 1;
  }

  const Details& details_;
  part::Mesh mesh_;  // plate frame; new points at the end
  Volume volume_;
  std::vector<int> gone_;
  std::size_t points_{0};  // of the mesh as read
  std::vector<int> removedAt_;
  std::vector<std::array<std::int32_t, 3>> removed_, added_;
  std::vector<std::int32_t> addedFace_;
};

}  // namespace

std::optional<CarvedOver> carvedOver(const part::Body& body, const Frame& partToPlate, const Details& details,
                                     const std::vector<int>& group) {
  std::vector<int> all;
  for (const int index : group)
    for (const int d : withChildren(details, index)) all.push_back(d);
  std::sort(all.begin(), all.end());
  all.erase(std::unique(all.begin(), all.end()), all.end());
  const auto isCarved = [&](int d) { return details.list[static_cast<std::size_t>(d)].kind == DetailKind::CarvedFace; };
  const bool some = std::any_of(details.list.begin(), details.list.end(),
                                [](const Detail& d) { return d.kind == DetailKind::CarvedFace; });
  if (!some || std::any_of(all.begin(), all.end(), isCarved)) return std::nullopt;
  Closer closer(body, partToPlate, details, all);
  if (!closer.run()) return std::nullopt;
  return CarvedOver{closer.solid(), closer.gone(), withoutRest(details, all, closer.gone())};
}

}  // namespace chipledger::detail
