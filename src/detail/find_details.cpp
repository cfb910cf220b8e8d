#include <fmt/format.h>

#include <numeric>
#include <tuple>

#include "detail/not_milled.hpp"
#include "detail/questions.hpp"
#include "detail/recogniser.hpp"

#include <chipledger/part/hint.hpp>

namespace chipledger::detail {
namespace {

constexpr double kNameGrid = 0.05;         // mm: places closer than this are ordered by the next coordinate
constexpr double kNameGridOffset = 0.137;  // of a cell: keeps round coordinates away from the cell borders

/// Kinds that a small change can turn into one another share a name and a count.
DetailKind family(DetailKind kind) {
  if (kind == DetailKind::Thread || kind == DetailKind::Seat) return DetailKind::Bore;
  return kind == DetailKind::Thinning ? DetailKind::Pocket : kind;
}

long long nameCell(double v) { return std::llround(v / kNameGrid + kNameGridOffset); }

}  // namespace

double Flood::touchedLength() const {
  double sum = 0;
  for (const Touch& t : touched) sum += t.length;
  return sum;
}

Recogniser::Recogniser(const part::Body& body, const setup::Plan& plan, const RecogniseOptions& options)
    : body_(body), plan_(plan), options_(options), owner_(body.faces.size(), -1) {
  Box3 box;
  for (const Vec3 p : body.mesh.points) box.add(plan.partToPlate.apply(p));
  size_ = box.size();
  // A colour that most faces wear is the part's paint and says nothing about one of them.
  for (const part::Face& f : body.faces) {
    std::size_t same = 0;
    for (const part::Face& g : body.faces) same += g.colour == f.colour;
    if (f.colour && 2 * same > body.faces.size()) commonColour_ = f.colour;
    if (2 * same > body.faces.size()) break;
  }
  for (std::size_t s = 0; s < plan.setups.size(); ++s) {
    View view;
    view.setup = static_cast<int>(s);
    view.graph = viewGraph(body, plan.setups[s]);
    view.levels = findLevels(body, view.graph);
    view.silhouette = silhouette(view.graph);
    view.ground.assign(body.faces.size(), 0);
    view.ledge.assign(body.faces.size(), -1);
    view.levelDetail.assign(view.levels.list.size(), -1);
    if (plan.setups[s].plateSide) (plan.setups[s].fromAbove ? outer_ : back_) = static_cast<int>(s);
    views_.push_back(std::move(view));
  }
}

void Recogniser::claim(int f, int detail) {
  if (f < 0 || claimed(f)) return;
  owner_[static_cast<std::size_t>(f)] = detail;
  found_[static_cast<std::size_t>(detail)].faces.push_back({f});
}

int Recogniser::add(Detail detail, int viewIndex) {
  found_.push_back(std::move(detail));
  foundView_.push_back(viewIndex);
  return static_cast<int>(found_.size()) - 1;
}

Side Recogniser::sideOf(const View& view) const {
  const setup::Setup& s = plan_.setups[static_cast<std::size_t>(view.setup)];
  return !s.plateSide ? Side::Other : (s.fromAbove ? Side::Outer : Side::Back);
}

Region Recogniser::toPlate(const View& view, const Region& region) const {
  if (sideOf(view) == Side::Outer) return region;
  if (sideOf(view) == Side::Other) return {};
  Region turned = region;
  for (Ring& ring : turned.rings) {
    for (Vec2& p : ring) p.y = -p.y;
    std::reverse(ring.begin(), ring.end());
  }
  return turned;
}

void Recogniser::setHeights(Detail& detail, const View& view, double low, double high) const {
  switch (sideOf(view)) {
    case Side::Outer:
    case Side::Both:
      detail.low_mm = low;
      detail.high_mm = high;
      break;
    case Side::Back:
      detail.low_mm = size_.z - high;
      detail.high_mm = size_.z - low;
      break;
    case Side::Other:
      break;  // set from its faces at the end
  }
}

std::string Recogniser::hintOf(const std::vector<part::FaceId>& faces) const {
  for (const part::FaceId f : faces) {
    const part::Face& face = bodyFace(f.index);
    if (face.colour && face.colour != commonColour_) {
      if (const auto hint = part::hintOf(*face.colour)) return part::row(*hint).word;
    }
    if (const auto hint = part::hintOf(std::string_view(face.name))) return part::row(*hint).word;
  }
  return "";
}

/// The name on most of the faces; the earlier face's among equals.
std::string Recogniser::calledBy(const std::vector<part::FaceId>& faces) const {
  std::vector<std::pair<std::string, int>> names;
  for (const part::FaceId f : faces) {
    const std::string& name = bodyFace(f.index).name;
    if (name.empty()) continue;
    const auto known = std::find_if(names.begin(), names.end(), [&](const auto& n) { return n.first == name; });
    if (known != names.end())
      ++known->second;
    else
      names.emplace_back(name, 1);
  }
  const auto most =
      std::max_element(names.begin(), names.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
  return most == names.end() ? std::string{} : most->first;
}

int Recogniser::detailAt(const View& view, const std::vector<Flood::Touch>& touched, double z) const {
  int best = -1;
  double most = 0;
  for (const Flood::Touch& t : touched) {
    if (std::abs(t.z - z) > kTolerances.level || t.length <= most) continue;
    most = t.length;
    best = view.levelDetail[static_cast<std::size_t>(t.level)];
  }
  return best;
}

/// Puts the details in a stable order, names them, and completes what needs all of them.
void Recogniser::finish() {
  for (std::size_t d = 0; d < found_.size(); ++d) {
    Detail& detail = found_[d];
    std::sort(detail.faces.begin(), detail.faces.end());
    if (detail.side == Side::Other || detail.kind == DetailKind::Undercut) {
      double low = size_.z, high = 0;
      for (const part::FaceId f : detail.faces) {
        low = std::min(low, face(views_[static_cast<std::size_t>(outer_)], f.index).low);
        high = std::max(high, face(views_[static_cast<std::size_t>(outer_)], f.index).high);
      }
      detail.low_mm = low;
      detail.high_mm = std::max(low, high);
    }
    const auto unset = [](const std::optional<Length>& l) { return l && toMm(*l) < kTolerances.level; };
    if (detail.side == Side::Other && (unset(detail.dimensions.length) || unset(detail.dimensions.width))) {
      // Walls only, nothing level: as large as the faces are across that direction.
      const View& view = views_[static_cast<std::size_t>(foundView_[d])];
      Box2 box;
      for (const part::FaceId f : detail.faces) {
        for (const int e : face(view, f.index).edges) {
          for (const Vec3 p : edge(view, e).points) box.add(p.xy());
        }
      }
      if (unset(detail.dimensions.length)) detail.dimensions.length = mm(std::max(box.size().x, box.size().y));
      if (unset(detail.dimensions.width)) detail.dimensions.width = mm(std::min(box.size().x, box.size().y));
    }
    for (std::optional<Length>* l : {&detail.dimensions.length, &detail.dimensions.width, &detail.dimensions.depth}) {
      if (unset(*l)) l->reset();  // no size is said rather than 0
    }
    if (!detail.dimensions.centre) {
      Vec3 sum;
      double weight = 0;
      for (const part::FaceId f : detail.faces) {
        const part::Face& bf = bodyFace(f.index);
        Vec3 mean;
        for (const part::FaceSample& s : bf.samples) mean = mean + s.point;
        const double w = toMm2(bf.area);
        sum = sum + mean * (w / std::max<double>(1.0, static_cast<double>(bf.samples.size())));
        weight += w;
      }
      if (weight > 0) detail.dimensions.centre = sum * (1 / weight);
    }
    detail.hint = hintOf(detail.faces);
    detail.called = calledBy(detail.faces);
    if (detail.kind == DetailKind::Bore && detail.hint == "thread") detail.kind = DetailKind::Thread;
  }

  std::vector<int> order;
  for (std::size_t d = 0; d < found_.size(); ++d) {
    // A body or outline without faces of its own still stands for its work; other details without faces are none.
    const bool keep =
        !found_[d].faces.empty() || found_[d].kind == DetailKind::Body || found_[d].kind == DetailKind::Outline;
    if (keep) order.push_back(static_cast<int>(d));
  }
  const auto key = [&](int d) {
    const Detail& detail = found_[static_cast<std::size_t>(d)];
    const Vec3 at = plan_.partToPlate.apply(detail.dimensions.centre.value_or(Vec3{}));
    return std::tuple{static_cast<int>(family(detail.kind)), nameCell(at.x), nameCell(at.y), nameCell(at.z),
                      detail.faces.empty() ? -1 : detail.faces.front().index};
  };
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return key(a) < key(b); });
  std::vector<int> place(found_.size(), -1);
  for (std::size_t i = 0; i < order.size(); ++i) place[static_cast<std::size_t>(order[i])] = static_cast<int>(i);
  std::vector<int> counts(32, 0);
  out_.faceDetail.assign(body_.faces.size(), -1);
  for (const int d : order) {
    Detail detail = found_[static_cast<std::size_t>(d)];
    const bool single = detail.kind == DetailKind::Body || detail.kind == DetailKind::Outline;
    std::string base = word(family(detail.kind));
    std::replace(base.begin(), base.end(), ' ', '-');
    const int number = ++counts[static_cast<std::size_t>(family(detail.kind))];
    detail.name = single && number == 1 ? base : fmt::format("{}-{}", base, number);
    if (detail.parent >= 0) detail.parent = place[static_cast<std::size_t>(detail.parent)];
    for (const part::FaceId f : detail.faces)
      out_.faceDetail[static_cast<std::size_t>(f.index)] = static_cast<int>(out_.list.size());
    out_.list.push_back(std::move(detail));
  }
}

Details Recogniser::run() {
  findUndercuts();
  findBores();
  findBody();
  findOpenings();
  findInlets();
  for (std::size_t v = 0; v < views_.size(); ++v) findRecesses(static_cast<int>(v));
  for (std::size_t v = 0; v < views_.size(); ++v) findIslands(static_cast<int>(v));
  for (std::size_t v = 0; v < views_.size(); ++v) findDomes(static_cast<int>(v));
  for (std::size_t v = 0; v < views_.size(); ++v) findEdgeBreaks(static_cast<int>(v));
  findCarved();
  findLoose();
  absorb();
  sideFaces();
  joinPieces();
  relate();
  finish();
  noteThinPlaces();
  return std::move(out_);
}

Result<Details> findDetails(const part::Body& body, const setup::Plan& plan, const RecogniseOptions& options) {
  if (body.faces.empty() || plan.setups.size() < 2) {
    return fault(FaultCode::BadFile, body.name, "There is no body or no way to look at it.",
                 "Plan the setups of this body first.");
  }
  for (const setup::Setup& s : plan.setups) {
    for (const part::FaceId f : s.serves) {
      if (f.index < 0 || f.index >= static_cast<int>(body.faces.size())) {
        return fault(FaultCode::BadFile, body.name, "The setups were planned for another body.",
                     "Plan the setups of this body first.");
      }
    }
  }
  Recogniser recogniser(body, plan, options);
  Details details = recogniser.run();
  addNotMilled(details, body, plan);
  addQuestions(details, options);
  return details;
}

}  // namespace chipledger::detail
