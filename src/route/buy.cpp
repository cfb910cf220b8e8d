#include <chipledger/route/buy.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::route {

namespace {

/// A need that is whole but for rounding is whole.
constexpr double kWhole = 1e-9;

int wholePieces(double need) { return static_cast<int>(std::ceil(need - kWhole)); }

Money eachAt(int quantity, const BoughtPart& part) {
  Money each = part.each;
  for (const PriceBreak& b : part.breaks)
    if (quantity >= b.from) each = b.each;
  return each;
}

Money times(Money each, int quantity) { return {each.micros * quantity}; }

}  // namespace

Order orderOf(double need, const BoughtPart& part) {
  const int wanted = wholePieces(need);
  Order order;
  if (wanted <= 0) return order;
  const auto at = [&](int quantity) {
    const Money each = eachAt(quantity, part);
    return Order{quantity, each, times(each, quantity), quantity - wanted};
  };
  order = at(std::max(wanted, part.minimumOrder));
  for (const PriceBreak& b : part.breaks)
    if (b.from > order.quantity && at(b.from).money < order.money) order = at(b.from);
  return order;
}

Money chargeOf(double pieces, const SentOut& work) {
  if (!(pieces > 0.0)) return {};
  return std::max(work.minimumCharge, money(toUnits(work.each) * pieces));
}

namespace {

/// Blanks of l x w in a strip that takes the whole of `width`, cut from a sheet `length` long.
int countAcross(double room, double size, double kerf) {
  if (!(size > 0.0)) return 0;
  return static_cast<int>(std::floor((room + kerf) / (size + kerf) + kWhole));
}

/// Strips of blanks of l x w side by side over the whole length, the rest of the width in blanks turned.
int bestOfStrips(double l, double w, double length, double width, double kerf) {
  int best = 0;
  const int strips = countAcross(width, w, kerf);
  for (int k = 0; k <= strips; ++k) {
    const double rest = width - k * (w + kerf);
    const int turned = countAcross(length, w, kerf) * std::max(0, countAcross(rest, l, kerf));
    best = std::max(best, k * countAcross(length, l, kerf) + turned);
  }
  return best;
}

}  // namespace

Nesting nest(double length_mm, double width_mm, double sheetLength_mm, double sheetWidth_mm, double kerf_mm) {
  Nesting n;
  const double sheet = sheetLength_mm * sheetWidth_mm;
  if (!(length_mm > 0.0 && width_mm > 0.0 && sheet > 0.0)) return n;
  n.count = std::max({bestOfStrips(length_mm, width_mm, sheetLength_mm, sheetWidth_mm, kerf_mm),
                      bestOfStrips(width_mm, length_mm, sheetLength_mm, sheetWidth_mm, kerf_mm),
                      bestOfStrips(length_mm, width_mm, sheetWidth_mm, sheetLength_mm, kerf_mm),
                      bestOfStrips(width_mm, length_mm, sheetWidth_mm, sheetLength_mm, kerf_mm)});
  n.waste = 1.0 - n.count * length_mm * width_mm / sheet;
  return n;
}

}  // namespace chipledger::route
