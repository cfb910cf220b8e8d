#include <chipledger/report/csv.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/csv_cell.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::report {

std::string csvCell(std::string text) {
  if (!text.empty() && std::string("=+-@").find(text.front()) != std::string::npos) text.insert(0, "'");
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

namespace {

constexpr int kCoordinateDecimals = 5;
constexpr int kFeedDecimals = 3;

std::string moneyCell(Money money) { return shortest(toUnits(money)); }

void priceRow(std::string& out, const std::string& subject, const std::string& name, int batch,
              const estimate::Estimate& e, const estimate::Stack& lines, Money each, const std::string& band) {
  out += subject + ',' + csvCell(name) + ',' + std::to_string(batch) + ',' + countedIn(e) + ',' +
         std::to_string(e.piecesPerSet) + ',' + csvCell(e.currency);
  for (const Money& line : lines) out += ',' + moneyCell(line);
  out += ',' + moneyCell(each) + ',' + band + '\n';
}

// Fewest equal chords whose sagitta r (1 - cos(step / 2)) stays within the tolerance.
int chordsOf(const Segment& segment) {
  const double swept = sweep(segment);
  if (segment.shape == Segment::Shape::Line || swept <= 0) return 1;
  const double r = radius(segment);
  if (r <= kPathChordTolerance) return std::max(1, static_cast<int>(std::ceil(swept)));
  const double step = 2 * std::acos(1 - kPathChordTolerance / r);
  return std::max(1, static_cast<int>(std::ceil(swept / step)));
}

struct PathWriter {
  std::string& out;
  std::string start;  ///< setup, operation, cutter and its measures

  void point(path::MoveKind kind, Vec3 p, double feed) const {
    out += start;
    out += path::word(kind);
    for (const double v : {p.x, p.y, p.z}) out += ',' + trimmed(v, kCoordinateDecimals);
    out += ',' + trimmed(feed, kFeedDecimals) + '\n';
  }
};

bool apart(Vec3 a, Vec3 b) {
  constexpr double kSamePlace_mm = 1e-9;
  return norm(a - b) > kSamePlace_mm;
}

}  // namespace

std::string priceCsv(const estimate::Estimate& e) {
  std::string out = "subject,name,batch,batch_counts,pieces_per_set,currency";
  for (const ledger::Line line : ledger::kLines) out += std::string(",") + ledger::word(line);
  out += ",per_piece,low,high\n";
  for (const estimate::BatchPrice& b : e.batches) {
    priceRow(out, "price", e.bodyName, b.size, e, b.lines, b.perPiece, moneyCell(b.low) + ',' + moneyCell(b.high));
  }
  for (const estimate::DetailPrice& p : e.detailPrices) {
    for (const estimate::Difference& d : p.withMinusWithout) {
      priceRow(out, "detail", e.details.list[static_cast<std::size_t>(p.detail)].name, d.size, e, d.lines, d.money,
               ",");
    }
  }
  for (const estimate::Difference& s : e.shared) priceRow(out, "shared", "", s.size, e, s.lines, s.money, ",");
  return out;
}

std::string pathsCsv(const estimate::Estimate& e) {
  std::string out = "setup,operation,cutter,cutter_diameter_mm,corner_radius_mm,move,x_mm,y_mm,z_mm,feed_mm_min\n";
  for (const estimate::OperationResult& result : e.operations) {
    const path::Operation& op = result.operation;
    const bool known = op.setup >= 0 && op.setup < static_cast<int>(e.setups.size());
    const auto use = std::find_if(e.cutters.begin(), e.cutters.end(),
                                  [&](const estimate::CutterUse& u) { return u.cutter.id == op.cutter; });
    const bool measured = use != e.cutters.end();
    PathWriter writer{
        out, (known ? csvCell(e.setups[static_cast<std::size_t>(op.setup)].setup.name) : std::to_string(op.setup)) +
                 ',' + csvCell(op.id) + ',' + csvCell(op.cutter) + ',' +
                 (measured ? mmText(use->cutter.diameter) : "") + ',' +
                 (measured ? mmText(use->cutter.cornerRadius) : "") + ','};
    bool first = true;
    Vec3 at;
    for (const path::Move& move : op.moves) {
      if (first || apart(at, move.segment.start)) writer.point(path::MoveKind::Rapid, move.segment.start, 0);
      first = false;
      const double feed = move.kind == path::MoveKind::Rapid ? 0.0 : toMmPerMin(move.feed);
      const int chords = chordsOf(move.segment);
      for (int i = 1; i < chords; ++i) {
        writer.point(move.kind, pointAt(move.segment, static_cast<double>(i) / chords), feed);
      }
      writer.point(move.kind, move.segment.end, feed);
      if (move.dwell > Duration{})
        writer.point(path::MoveKind::Cut, move.segment.end, toMmPerMin(kStandLength / move.dwell));
      at = move.segment.end;
    }
  }
  return out;
}

}  // namespace chipledger::report
