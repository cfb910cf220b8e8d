#include <chipledger/report/label_placement.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/visible_edges.hpp>
#include <chipledger/report/wording.hpp>

#include "report/plan_parts.hpp"
#include "report/plan_tint.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace chipledger::report {

namespace {

using estimate::Estimate;

struct View {
  detail::Side side;
  Frame partToView;
  double left{}, top{};  ///< of the part on paper
};

Frame viewFrame(const Frame& partToPlate, detail::Side side) {
  if (side == detail::Side::Outer) return partToPlate;
  return {
      partToPlate.x, -partToPlate.y, -partToPlate.z, {partToPlate.shift.x, -partToPlate.shift.y, -partToPlate.shift.z}};
}

Vec2 inView(Vec2 plate, detail::Side side) { return side == detail::Side::Outer ? plate : Vec2{plate.x, -plate.y}; }

// View coordinates have y up; paper has y down.
Vec2 onPaper(const PlanSheet& s, const View& v, Vec2 p) {
  const double highest = v.side == detail::Side::Outer ? s.plate.max.y : -s.plate.min.y;
  return {v.left + (p.x - s.plate.min.x) * s.scale, v.top + (highest - p.y) * s.scale};
}

std::string pathOf(const PlanSheet& s, const View& v, const std::vector<Vec2>& points, bool closed) {
  std::string d;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec2 p = onPaper(s, v, points[i]);
    d += fmt::format("{}{} {}", i == 0 ? 'M' : 'L', coordinate(p.x), coordinate(p.y));
  }
  return closed ? d + "Z" : d;
}

bool isFilled(const detail::Detail& d) {
  using detail::DetailKind;
  // Outline and body are the plate itself; edges and side faces have no area in plan.
  return d.kind != DetailKind::Outline && d.kind != DetailKind::Body && d.kind != DetailKind::Chamfer &&
         d.kind != DetailKind::Round && d.kind != DetailKind::SideFace && !d.footprint.empty();
}

bool shownOn(const detail::Detail& d, detail::Side side) { return d.side == side || d.side == detail::Side::Both; }

bool labelledOn(const detail::Detail& d, detail::Side side) {
  return side == detail::Side::Back ? d.side == detail::Side::Back : d.side != detail::Side::Back;
}

const estimate::Difference* priceOf(const PlanSheet& s, std::size_t detail) {
  return detail < s.e.detailPrices.size() ? differenceAt(s.e.detailPrices[detail], s.batch) : nullptr;
}

int stepOf(const PlanSheet& s, std::size_t detail) {
  const estimate::Difference* price = priceOf(s, detail);
  if (price == nullptr || s.dearest.micros <= 0) return 0;
  return tintStep(static_cast<double>(price->money.micros) / static_cast<double>(s.dearest.micros));
}

std::string pricesOf(const PlanSheet& s, std::size_t detail) {
  std::string out;
  for (const estimate::Difference& d : s.e.detailPrices[detail].withMinusWithout)
    out += (out.empty() ? "" : " ") + moneyText(d.money);
  return out;
}

std::string priceText(const PlanSheet& s, std::size_t detail) {
  const estimate::Difference* price = priceOf(s, detail);
  return price == nullptr ? "" : moneyText(price->money);
}

std::string fills(const PlanSheet& s, const View& v) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < s.e.details.list.size(); ++i) {
    if (isFilled(s.e.details.list[i]) && shownOn(s.e.details.list[i], v.side)) order.push_back(i);
  }
  // Small ones lie on top of large ones.
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return area(s.e.details.list[a].footprint) > area(s.e.details.list[b].footprint);
  });
  std::string out;
  for (const std::size_t i : order) {
    const detail::Detail& d = s.e.details.list[i];
    std::string path;
    for (const Ring& ring : d.footprint.rings) {
      std::vector<Vec2> points;
      for (const Vec2& p : ring) points.push_back(inView(p, v.side));
      path += pathOf(s, v, points, true);
    }
    const int step = s.prices ? stepOf(s, i) : 0;
    const std::string price = s.prices ? priceText(s, i) : "";
    out += "<g class=\"cl-detail\"" + attribute("data-d", std::to_string(i)) + "><title>" +
           escaped(d.name + (price.empty() ? "" : ": " + price + " " + s.e.currency)) +
           "</title><path fill-rule=\"evenodd\"" + attribute("fill", tintColour(step)) + attribute("d", path) + "/>";
    if (step > 0)
      out += "<path fill-rule=\"evenodd\"" + attribute("fill", hatchFill(step)) + attribute("d", path) + "/>";
    out += "</g>\n";
  }
  return out;
}

std::string edges(const PlanSheet& s, const View& v) {
  constexpr double kGridCells = 900;  // along the longer side: 0.11 mm on a 98 mm plate
  const Vec2 size = s.plate.size();
  const double cell = std::max(size.x, size.y) / kGridCells;
  std::string bold, thin;
  for (const VisibleEdge& edge : visibleEdges(s.body, v.partToView, std::max(cell, 0.01))) {
    (edge.smooth ? thin : bold) += pathOf(s, v, edge.points, false);
  }
  std::string out =
      "<g fill=\"none\" stroke=\"#111\" stroke-linejoin=\"round\" stroke-linecap=\"round\" pointer-events=\"none\">";
  if (!bold.empty()) out += "<path stroke-width=\"0.25\"" + attribute("d", bold) + "/>";
  if (!thin.empty()) out += "<path stroke-width=\"0.08\" stroke=\"#777\"" + attribute("d", thin) + "/>";
  return out + "</g>\n";
}

// Details with a label on this side, dearest first.
std::vector<std::size_t> labelOrder(const PlanSheet& s, detail::Side side) {
  std::vector<std::size_t> order;
  for (const std::size_t p : dearestFirst(s.e)) {
    const auto i = static_cast<std::size_t>(s.e.detailPrices[p].detail);
    const detail::Detail& d = s.e.details.list[i];
    const bool told = s.prices ? priceOf(s, i) != nullptr : isFilled(d);
    if (told && labelledOn(d, side) && !d.footprint.empty()) order.push_back(i);
  }
  return order;
}

std::string labels(const PlanSheet& s, const View& v, double width, std::string& left) {
  const std::vector<std::size_t> order = labelOrder(s, v.side);
  std::vector<Vec2> anchors;
  for (const std::size_t i : order)
    anchors.push_back(onPaper(s, v, inView(pointInside(s.e.details.list[i].footprint), v.side)));
  const double below = v.top + s.plate.size().y * s.scale + kLeaderRoom;
  const LabelRows rows{kMargin, width - kMargin, v.top - kLeaderRoom, below, s.labelWidth};
  std::vector<bool> placed(order.size(), false);
  std::string leaders, words;
  for (const PlacedLabel& label : placeLabels(anchors, rows)) {
    placed[label.index] = true;
    const std::size_t i = order[label.index];
    const detail::Detail& d = s.e.details.list[i];
    const Vec2 a = anchors[label.index];
    leaders += "<path" + attribute("d", planLine(a.x, a.y, label.end.x, label.end.y)) +
               "/><circle r=\"0.4\" fill=\"#111\" stroke=\"none\"" + attribute("cx", a.x) + attribute("cy", a.y) + "/>";
    const double first = label.above ? label.end.y - (kLabelLines - 1) * kLine - 0.8 : label.end.y + kFont + 0.2;
    const std::string element = s.opens ? "a" : "g", opens = s.opens ? attribute("href", "#" + s.opens(i)) : "";
    words += "<" + element + opens + " class=\"cl-label\"" + attribute("data-d", std::to_string(i)) +
             "><rect fill=\"#fff\" fill-opacity=\"0\"" + attribute("x", label.end.x - s.labelWidth / 2 + 0.5) +
             attribute("y", first - kFont) + attribute("width", s.labelWidth - 1) +
             attribute("height", kLabelLines * kLine + 0.4) + "/>" +
             planText(label.end.x, first, shortened(d.name, kLongestName)) +
             (s.prices ? planText(label.end.x, first + kLine, priceText(s, i),
                                  " font-weight=\"bold\" class=\"cl-price\"" + attribute("data-p", pricesOf(s, i)))
                       : std::string{}) +
             planText(label.end.x, first + (s.prices ? 2 : 1) * kLine, keyDimension(s, i), " fill=\"#444\"") + "</" +
             element + ">\n";
  }
  for (std::size_t k = 0; k < order.size(); ++k) {
    if (placed[k]) continue;
    left += (left.empty() ? "" : ", ") + shortened(s.e.details.list[order[k]].name, kLongestName);
    if (s.prices) left += " " + priceText(s, order[k]);
  }
  return "<g fill=\"none\" stroke=\"#111\" stroke-width=\"0.12\" pointer-events=\"none\">" + leaders +
         "</g>\n<g text-anchor=\"middle\">" + words + "</g>\n";
}

// Highest and lowest metal along x, as one closed outline: what a plate shows from the side, round walls included.
std::string profile(const PlanSheet& s, const Frame& toSide, const std::function<Vec2(Vec2)>& paper) {
  constexpr std::size_t kColumns = 800;
  const double from = s.plate.min.x, width = std::max(1e-9, s.plate.size().x);
  std::vector<double> top(kColumns + 1, -1e9), bottom(kColumns + 1, 1e9);
  const auto take = [&](Vec2 a, Vec2 b) {
    if (a.x > b.x) std::swap(a, b);
    const double scale = kColumns / width;
    const auto first = static_cast<long>(std::ceil((a.x - from) * scale - 1e-9)),
               last = static_cast<long>(std::floor((b.x - from) * scale + 1e-9));
    for (long c = std::max(0L, first); c <= std::min(static_cast<long>(kColumns), last); ++c) {
      const double x = from + static_cast<double>(c) / scale;
      const double z = b.x > a.x ? a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x) : std::max(a.y, b.y);
      const auto at = static_cast<std::size_t>(c);
      top[at] = std::max(top[at], z);
      bottom[at] = std::min(bottom[at], b.x > a.x ? z : std::min(a.y, b.y));
    }
  };
  for (const auto& t : s.body.mesh.triangles) {
    const auto corner = [&](std::size_t k) {
      return toSide.apply(s.body.mesh.points[static_cast<std::size_t>(t[k])]).xy();
    };
    for (std::size_t k = 0; k < 3; ++k) take(corner(k), corner((k + 1) % 3));
  }
  Line upper, lower;
  for (std::size_t c = 0; c <= kColumns; ++c) {
    if (top[c] < bottom[c]) continue;
    const double x = from + width * static_cast<double>(c) / kColumns;
    upper.push_back(paper({x, top[c]}));
    lower.insert(lower.begin(), paper({x, bottom[c]}));
  }
  if (upper.empty()) return "";
  constexpr double kStraight = 0.01;  // mm of paper
  Line outline = simplifyLine(upper, kStraight);
  const Line back = simplifyLine(lower, kStraight);
  outline.insert(outline.end(), back.begin(), back.end());
  std::string d;
  for (std::size_t i = 0; i < outline.size(); ++i)
    d += fmt::format("{}{} {}", i == 0 ? 'M' : 'L', coordinate(outline[i].x), coordinate(outline[i].y));
  return "<path fill=\"#f1ede4\" stroke=\"#111\" stroke-width=\"0.25\" stroke-linejoin=\"round\"" +
         attribute("d", d + "Z") + "/>";
}

// From the side, outer side up: where height and body thickness can be seen. `top` is the paper's y of the highest
// metal.
std::string sideView(const PlanSheet& s, double left, double top, double* height) {
  const Frame& f = s.e.partToStock;
  const Frame toSide{f.x, f.z, -f.y, {f.shift.x, f.shift.z, -f.shift.y}};
  const double high = s.e.size_mm.z;
  *height = high * s.scale;
  if (s.body.edges.empty() || high <= 0) return "";
  const auto paper = [&](Vec2 p) { return Vec2{left + (p.x - s.plate.min.x) * s.scale, top + (high - p.y) * s.scale}; };
  std::string d;
  constexpr double kGridCells = 900;
  for (const VisibleEdge& edge : visibleEdges(s.body, toSide, std::max(0.01, s.plate.size().x / kGridCells))) {
    if (edge.smooth) continue;
    for (std::size_t i = 0; i < edge.points.size(); ++i) {
      const Vec2 p = paper(edge.points[i]);
      d += fmt::format("{}{} {}", i == 0 ? 'M' : 'L', coordinate(p.x), coordinate(p.y));
    }
  }
  std::string out = profile(s, toSide, paper) +
                    "<path fill=\"none\" stroke=\"#111\" stroke-width=\"0.1\" stroke-linejoin=\"round\"" +
                    attribute("d", d) + "/>";
  const auto upright = [&](double x, double from, double to, const std::string& words, bool atRight) {
    const double a = paper({0, from}).y, b = paper({0, to}).y;
    out += "<path fill=\"none\" stroke=\"#111\" stroke-width=\"0.12\"" +
           attribute("d", planLine(x - 1, a, x + 1, a) + planLine(x - 1, b, x + 1, b) + planLine(x, a, x, b)) + "/>" +
           planText(x + (atRight ? 1.6 : -1.6), (a + b) / 2 + 0.8, words, atRight ? "" : " text-anchor=\"end\"");
  };
  const double right = left + s.plate.size().x * s.scale;
  upright(right + 3, 0, high, trimmed(high, 2), true);
  const double low = s.e.details.bodyLow_mm, body = s.e.details.bodyHigh_mm;
  if (body > low && body < high) upright(left - 3, low, body, trimmed(body - low, 2), false);
  return out + "\n";
}

std::string dimensionLines(const PlanSheet& s, const View& v) {
  const Vec2 size = s.plate.size();
  const double right = v.left + size.x * s.scale, bottom = v.top + size.y * s.scale;
  const double x = right + 4;
  const double middle = (v.top + bottom) / 2;
  const std::string upright =
      " text-anchor=\"middle\"" +
      attribute("transform", fmt::format("rotate(-90 {} {})", coordinate(x + 2.6), coordinate(middle)));
  return "<path fill=\"none\" stroke=\"#111\" stroke-width=\"0.12\"" +
         attribute("d", planLine(right + 1, v.top, x + 1, v.top) + planLine(right + 1, bottom, x + 1, bottom) +
                            planLine(x, v.top, x, bottom) + planLine(x - 0.5, v.top + 0.5, x + 0.5, v.top - 0.5) +
                            planLine(x - 0.5, bottom + 0.5, x + 0.5, bottom - 0.5)) +
         "/>" + planText(x + 2.6, middle, trimmed(size.y, 2), upright) + "\n";
}

double widestLabel(const PlanSheet& s) {
  std::size_t longest = 6;
  for (std::size_t i = 0; i < s.e.details.list.size(); ++i) {
    if (s.prices && priceOf(s, i) == nullptr) continue;
    longest = std::max({longest, s.e.details.list[i].name.size(), keyDimension(s, i).size()});
  }
  return static_cast<double>(std::min(longest, kLongestName)) * kGlyph + 2;
}

PlanSheet makeSheet(const Estimate& e, const part::Body& body, const PlanOptions& options) {
  PlanSheet s{
      e, body, options.batch.value_or(referenceBatch(e)), 1, {}, {}, 0, options.prices, options.labels, options.opens};
  for (const part::Edge& edge : body.edges) {
    for (const Vec3& p : edge.points) s.plate.add(e.partToStock.apply(p).xy());
  }
  if (s.plate.empty()) {
    s.plate.add({0, 0});
    s.plate.add({std::max(1.0, e.size_mm.x), std::max(1.0, e.size_mm.y)});
  }
  s.scale = kScales[std::size(kScales) - 1];
  for (const double scale : kScales) {
    if (s.plate.size().x * scale <= kLongestDrawing) {
      s.scale = scale;
      break;
    }
  }
  for (std::size_t i = 0; i < e.detailPrices.size(); ++i) {
    if (const estimate::Difference* price = differenceAt(e.detailPrices[i], s.batch))
      s.dearest = std::max(s.dearest, price->money);
  }
  s.labelWidth = widestLabel(s);
  return s;
}

}  // namespace

Vec2 pointInside(const Region& region) {
  constexpr int kChords = 9;
  const Box2 b = box(region);
  Vec2 best = b.centre();
  double widest = -1;
  // Middle first, so that a tie stays in the middle.
  for (int k = 0; k < kChords; ++k) {
    const double away = (k + 1) / 2 * (k % 2 == 0 ? 1.0 : -1.0) / (kChords + 1.0);
    const double y = b.centre().y + away * b.size().y;
    std::vector<double> cuts;
    for (const Ring& ring : region.rings) {
      for (std::size_t i = 0; i < ring.size(); ++i) {
        const Vec2 p = ring[i], q = ring[(i + 1) % ring.size()];
        if ((p.y > y) != (q.y > y)) cuts.push_back(p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x));
      }
    }
    std::sort(cuts.begin(), cuts.end());
    for (std::size_t c = 0; c + 1 < cuts.size(); c += 2) {
      // A clear tenth wider is worth leaving the middle for.
      if (cuts[c + 1] - cuts[c] > 1.1 * widest) {
        widest = cuts[c + 1] - cuts[c];
        best = {(cuts[c] + cuts[c + 1]) / 2, y};
      }
    }
  }
  return best;
}

std::string planSvg(const Estimate& e, const part::Body& body, const PlanOptions& options) {
  const PlanSheet s = makeSheet(e, body, options);
  const double drawn = s.plate.size().x * s.scale, tall = s.plate.size().y * s.scale;
  constexpr double kNarrowestSheet = 116;  // the tint key
  const double width = std::max(kNarrowestSheet, drawn + 2 * kMargin + kSideRoom + kBodyRoom);
  const double labelRoom = kLabelLines * kLine + kLeaderRoom;
  std::string out;
  double y = kMargin;
  std::string unlabelled;
  double left = 0;
  for (const detail::Side side : {detail::Side::Outer, detail::Side::Back}) {
    const std::size_t count = s.labels ? labelOrder(s, side).size() : 0;
    View view{side, viewFrame(e.partToStock, side), 0, 0};
    view.left = left = (width - kSideRoom + kBodyRoom - drawn) / 2;
    out +=
        planText(kMargin, y + kFont, side == detail::Side::Outer ? "Outer side" : "Back, turned over about its length",
                 " font-weight=\"bold\"") +
        "\n";
    y += kLine + 1;
    view.top = y + (count > 0 ? labelRoom : 1);
    out += fills(s, view) + edges(s, view) + dimensionLines(s, view);
    if (s.labels) out += labels(s, view, width, unlabelled);
    y = view.top + tall + (count > 1 ? labelRoom : 0) + 3;
  }
  out += planText(kMargin, y + kFont, "From the side, outer side up", " font-weight=\"bold\"") + "\n";
  double high = 0;
  out += sideView(s, left, y + kLine + 2.5, &high);
  y += kLine + 2.5 + high + 4;
  out += lengthAndScale(s, left, y + 1);
  y += kDimensionRoom + 7;
  if (s.prices) {
    out += tintKey(s, kMargin, y);
    y += 8;
  }
  std::string words = dimensionsThatMatter(s);
  std::string together;
  for (const estimate::GroupPrice& group : e.groups) {
    const estimate::Difference* price = s.prices ? differenceAt(group.withMinusWithout, s.batch) : nullptr;
    if (price != nullptr)
      together += fmt::format("{}{} {}", together.empty() ? "" : ", ", group.name, moneyText(price->money));
  }
  if (!together.empty()) words += fmt::format(" Together: {}.", together);
  if (!unlabelled.empty()) words += " Not labelled: " + unlabelled + ".";
  for (const std::string& line : brokenAt(words, width - 2 * kMargin)) {
    out += planText(kMargin, y, line) + "\n";
    y += kLine;
  }
  y += kMargin - kLine;
  return "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"group\" aria-label=\"Plan of the part" +
         std::string(s.prices ? " with the price of each detail" : "") + "\"" +
         attribute("width", coordinate(width) + "mm") + attribute("height", coordinate(y) + "mm") +
         attribute("viewBox", fmt::format("0 0 {} {}", coordinate(width), coordinate(y))) +
         " font-family=\"sans-serif\"" + attribute("font-size", kFont) + " fill=\"#111\">\n<title>" +
         escaped(partTitle(e)) + "</title>\n" + hatchDefinitions() + out + "</svg>\n";
}

}  // namespace chipledger::report
