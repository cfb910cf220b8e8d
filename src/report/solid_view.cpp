#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/solid_view.hpp>
#include <chipledger/report/wording.hpp>

#include "report/anchors.hpp"
#include "report/chart_parts.hpp"
#include "report/plan_tint.hpp"
#include "report/sheet_parts.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace chipledger::report {

namespace {

using estimate::Estimate;

constexpr const char* kPlain = "#d9d4c9";  // faces of no priced detail

void put(std::vector<unsigned char>& out, std::uint32_t value, int bytes) {
  for (int b = 0; b < bytes; ++b) out.push_back(static_cast<unsigned char>(value >> (8 * b)));
}

void put(std::vector<unsigned char>& out, Vec3 p, const Box3& box) {
  const Vec3 size = box.size();
  const double share[] = {size.x > 0 ? (p.x - box.min.x) / size.x : 0.0, size.y > 0 ? (p.y - box.min.y) / size.y : 0.0,
                          size.z > 0 ? (p.z - box.min.z) / size.z : 0.0};
  for (const double s : share)
    put(out, static_cast<std::uint32_t>(std::lround(std::clamp(s, 0.0, 1.0) * kSolidSteps)), 2);
}

std::string list(Vec3 v) { return "[" + coordinate(v.x) + "," + coordinate(v.y) + "," + coordinate(v.z) + "]"; }

// Points of the line that its chords need to stay within the tolerance (Douglas and Peucker).
void keepNeeded(const std::vector<Vec3>& points, std::size_t from, std::size_t to, std::vector<char>& kept) {
  constexpr double kChord_mm = 0.01;  // a tenth of a pixel at ten pixels a millimetre
  double worst = kChord_mm;
  std::size_t at = from;
  const Vec3 along = points[to] - points[from];
  const double length = norm(along);
  for (std::size_t i = from + 1; i < to; ++i) {
    const Vec3 off = points[i] - points[from];
    const double away = length > 0 ? norm(cross(along, off)) / length : norm(off);
    if (away > worst) {
      worst = away;
      at = i;
    }
  }
  if (at == from) return;
  kept[at] = 1;
  keepNeeded(points, from, at, kept);
  keepNeeded(points, at, to, kept);
}

struct Lines {
  std::vector<unsigned char> points;
  std::string runs;
};

Lines edgeLines(const Estimate& e, const part::Body& body, const Box3& box) {
  Lines out;
  for (const part::Edge& edge : body.edges) {
    if (edge.sense == part::Sense::Smooth || edge.left == edge.right || edge.points.size() < 2) continue;
    std::vector<char> kept(edge.points.size(), 0);
    kept.front() = kept.back() = 1;
    // A closed edge has no chord of its own: it is taken in two halves.
    const std::size_t half = edge.points.size() / 2, last = edge.points.size() - 1;
    kept[half] = 1;
    keepNeeded(edge.points, 0, half, kept);
    keepNeeded(edge.points, half, last, kept);
    std::size_t count = 0;
    for (std::size_t i = 0; i < edge.points.size(); ++i) {
      if (kept[i] == 0) continue;
      put(out.points, e.partToStock.apply(edge.points[i]), box);
      ++count;
    }
    out.runs += (out.runs.empty() ? "" : ",") + std::to_string(count);
  }
  return out;
}

// Pairs of detail and triangle count, face by face.
std::string faceRuns(const Estimate& e, const part::Body& body) {
  std::string out;
  const std::vector<std::int32_t>& faces = body.mesh.triangleFace;
  for (std::size_t t = 0; t < faces.size();) {
    std::size_t end = t;
    while (end < faces.size() && faces[end] == faces[t]) ++end;
    const auto face = static_cast<std::size_t>(faces[t]);
    const int detail = face < e.details.faceDetail.size() ? e.details.faceDetail[face] : -1;
    out += (out.empty() ? "" : ",") + std::to_string(detail) + "," + std::to_string(end - t);
    t = end;
  }
  return out;
}

std::string tints(const Estimate& e) {
  const std::size_t batch = referenceBatch(e);
  Money dearest;
  for (const estimate::DetailPrice& p : e.detailPrices)
    if (const estimate::Difference* d = differenceAt(p, batch)) dearest = std::max(dearest, d->money);
  std::string out;
  for (std::size_t i = 0; i < e.details.list.size(); ++i) {
    const estimate::Difference* d = i < e.detailPrices.size() ? differenceAt(e.detailPrices[i], batch) : nullptr;
    const bool priced = d != nullptr && dearest.micros > 0;
    const std::string colour =
        priced ? tintColour(tintStep(static_cast<double>(d->money.micros) / static_cast<double>(dearest.micros)))
               : kPlain;
    out += (out.empty() ? "\"" : ",\"") + colour + "\"";
  }
  return out;
}

std::string label(const Estimate& e, const estimate::DetailPrice& price) {
  const detail::Detail& d = e.details.list[static_cast<std::size_t>(price.detail)];
  std::string all;
  for (const estimate::Difference& at : price.withMinusWithout) all += (all.empty() ? "" : " ") + moneyText(at.money);
  return "<button type=\"button\" class=\"tag\"" + attribute("data-d", std::to_string(price.detail)) + "><span>" +
         escaped(d.name) + "</span><b" + attribute("data-p", all) + ">" +
         moneyText(differenceAt(price, referenceBatch(e))->money) + "</b></button>";
}

bool hasArea(const detail::Detail& d) {
  using detail::DetailKind;
  return d.kind != DetailKind::Outline && d.kind != DetailKind::Body && d.kind != DetailKind::Chamfer &&
         d.kind != DetailKind::Round && d.kind != DetailKind::SideFace && d.kind != DetailKind::Undercut &&
         !d.footprint.empty() && d.side != detail::Side::Other;
}

}  // namespace

std::string base64(const std::vector<unsigned char>& bytes) {
  static const char* const kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t left = std::min<std::size_t>(3, bytes.size() - i);
    const std::uint32_t word = static_cast<std::uint32_t>(bytes[i]) << 16 |
                               static_cast<std::uint32_t>(left > 1 ? bytes[i + 1] : 0) << 8 |
                               static_cast<std::uint32_t>(left > 2 ? bytes[i + 2] : 0);
    out += kLetters[word >> 18 & 63];
    out += kLetters[word >> 12 & 63];
    out += left > 1 ? kLetters[word >> 6 & 63] : '=';
    out += left > 2 ? kLetters[word & 63] : '=';
  }
  return out;
}

std::vector<Spot> spotsOf(const Estimate& e, const part::Body& body, std::size_t index) {
  const detail::Detail& d = e.details.list[index];
  if (hasArea(d)) {
    const Vec2 p = pointInside(d.footprint);
    // An island is met at its top, a recess at its floor, an opening at its rim.
    const Spot above{{p.x, p.y, d.kind == detail::DetailKind::Island || d.through ? d.high_mm : d.low_mm}, {0, 0, 1}};
    const Spot below{{p.x, p.y, d.through ? d.low_mm : d.high_mm}, {0, 0, -1}};
    if (d.through || d.side == detail::Side::Both) return {above, below};
    return {d.side == detail::Side::Back ? below : above};
  }
  // Edges and sides: the middle of the largest triangle.
  double largest = 0;
  Spot spot;
  for (std::size_t t = 0; t < body.mesh.triangles.size(); ++t) {
    const auto face = static_cast<std::size_t>(body.mesh.triangleFace[t]);
    if (face >= e.details.faceDetail.size() || e.details.faceDetail[face] != static_cast<int>(index)) continue;
    const auto corner = [&](std::size_t k) {
      return e.partToStock.apply(body.mesh.points[static_cast<std::size_t>(body.mesh.triangles[t][k])]);
    };
    const Vec3 a = corner(0), b = corner(1), c = corner(2), normal = cross(b - a, c - a);
    if (norm(normal) <= largest) continue;
    largest = norm(normal);
    spot = {(a + b + c) * (1.0 / 3), unit(normal)};
  }
  return largest > 0 ? std::vector<Spot>{spot} : std::vector<Spot>{};
}

std::string cutAwayMarkup(const Estimate& e) {
  if (e.blankVolume.um3 <= 0) return "";
  std::string out = "<p class=\"cut\">Cut away: <strong>" +
                    chartLink(metalAnchor("cut"), cm3Text(e.removed) + " cm\u00b3") + ", " +
                    chartLink(metalAnchor("share"), percentText(mm3Of(e.removed) / mm3Of(e.blankVolume))) +
                    " of the blank</strong>, worth " + moneyText(e.cutAway) + " " + escaped(e.currency) + " of the " +
                    chartLink(metalAnchor("price"), moneyText(e.blank.price)) + " paid for it";
  if (!e.batches.empty()) {
    const std::size_t at = referenceBatch(e);
    const auto line = [&](ledger::Line l) {
      const auto index = static_cast<std::size_t>(l);
      return chartLink(lineAnchor(at, index), moneyText(e.batches[at].lines[index]));
    };
    out += ", and " + line(ledger::Line::Machine) + " of machine time and " + line(ledger::Line::Cutters) +
           " of cutters to cut it";
  }
  return out + ".</p>\n";
}

std::string solidView(const Estimate& e, const part::Body& body) {
  const part::Mesh& mesh = body.mesh;
  if (mesh.triangles.empty() || mesh.triangles.size() > kMostTriangles ||
      mesh.triangleFace.size() != mesh.triangles.size())
    return "";
  Box3 box;
  for (const Vec3& p : mesh.points) box.add(e.partToStock.apply(p));
  std::vector<unsigned char> points, triangles;
  for (const Vec3& p : mesh.points) put(points, e.partToStock.apply(p), box);
  const bool wide = mesh.points.size() > kSolidSteps;
  for (const auto& t : mesh.triangles)
    for (const std::int32_t corner : t) put(triangles, static_cast<std::uint32_t>(corner), wide ? 4 : 2);
  const Lines lines = edgeLines(e, body, box);

  std::string anchors, labels;
  for (const std::size_t p : dearestFirst(e)) {
    const estimate::DetailPrice& price = e.detailPrices[p];
    if (differenceAt(price, referenceBatch(e)) == nullptr) continue;
    std::string spots;
    for (const Spot& spot : spotsOf(e, body, static_cast<std::size_t>(price.detail)))
      spots += (spots.empty() ? "[" : ",[") + coordinate(spot.place.x) + "," + coordinate(spot.place.y) + "," +
               coordinate(spot.place.z) + "," + coordinate(spot.normal.x) + "," + coordinate(spot.normal.y) + "," +
               coordinate(spot.normal.z) + "]";
    if (spots.empty()) continue;
    anchors += (anchors.empty() ? "\"" : ",\"") + std::to_string(price.detail) + "\":[" + spots + "]";
    labels += label(e, price) + "\n";
  }
  const Vec3 low = e.blank.min_mm, high = e.blank.min_mm + e.blank.size_mm;
  std::string out = "<div id=\"solid\" class=\"no-print\" hidden>\n<div class=\"bar\">";
  const auto button = [&](const char* mark, const char* value, const char* words, const char* kind = "turning") {
    out += std::string("<button type=\"button\" class=\"") + kind + "\" " + mark + "=\"" + value + "\">" + words +
           "</button>";
  };
  button("data-see", "tilted", "tilted");
  button("data-see", "outer", "outer side");
  button("data-see", "back", "back");
  button("data-zoom", "1.25", "nearer");
  button("data-zoom", "0.8", "farther");
  out +=
      "<label class=\"turning\"><input type=\"checkbox\" id=\"ghost\">in its blank</label>"
      "<button type=\"button\" id=\"flat\" aria-pressed=\"false\">plan</button></div>\n"
      "<div class=\"stage\" tabindex=\"0\" role=\"group\" aria-label=\"The part, to turn: drag, or arrow keys; plus "
      "and minus go nearer and farther, Home tilts it back\">\n<canvas aria-hidden=\"true\"></canvas>"
      "<svg class=\"leaders\" aria-hidden=\"true\"></svg>\n" +
      labels + "</div>\n</div>\n";
  out += "<script type=\"application/json\" id=\"solid-data\">{\"low\":" + list(box.min) +
         ",\"size\":" + list(box.size()) + ",\"blankLow\":" + list(low) + ",\"blankHigh\":" + list(high) +
         ",\"wide\":" + (wide ? "true" : "false") + ",\"plain\":\"" + kPlain + "\",\"tints\":[" + tints(e) +
         "],\"faces\":[" + faceRuns(e, body) + "],\"runs\":[" + lines.runs + "],\"anchors\":{" + anchors +
         "},\"points\":\"" + base64(points) + "\",\"triangles\":\"" + base64(triangles) + "\",\"lines\":\"" +
         base64(lines.points) + "\"}</script>\n";
  return out;
}

}  // namespace chipledger::report
