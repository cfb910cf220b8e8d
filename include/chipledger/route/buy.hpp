#pragma once
// What to order for a batch: plates, cutters with spares, bought parts, work sent out.
#include <chipledger/route/product.hpp>

#include <string>
#include <vector>

namespace chipledger::route {

/// An order by the piece: quantity = max(need rounded up, minimum); the break of that quantity holds for all of it.
/// Where the next break makes a larger order cheaper, the larger one is taken.
struct Order {
  int quantity{};
  Money each, money;
  int leftOver{};  ///< ordered and not needed
};
Order orderOf(double need, const BoughtPart& part);

/// Outside work: max(minimum charge, pieces x price).
Money chargeOf(double pieces, const SentOut& work);

/// Blanks out of a standard sheet by straight cuts. Rule: full strips of blanks lengthwise, the rest of the sheet in
/// strips of blanks crosswise, or the other way round; the best split of the sheet along either side is taken.
///   waste = 1 - count x blank area / sheet area
/// Measures in mm; `kerf` is lost between blanks. Count 0 when the blank is larger than the sheet.
struct Nesting {
  int count{};
  double waste{1};
};
Nesting nest(double length_mm, double width_mm, double sheetLength_mm, double sheetWidth_mm, double kerf_mm);

struct PlateOrder {
  std::string part, material, size;  ///< "104.0 x 32.0 x 6.35 mm"
  int blanks{};                      ///< with those for scrap
  int perSheet{}, sheets{};          ///< 0: larger than a standard sheet
  double waste{};                    ///< of the sheets bought
  Money money;                       ///< blanks cut to size
  Money sheetMoney;                  ///< whole sheets at the price by weight, without the cutter's handling
};
struct CutterOrder {
  std::string cutter;
  double used{};        ///< cutters' worth of wear, breakage in it
  int worn{}, spare{};  ///< whole cutters
  Money each, money;
};
struct PartOrder {
  std::string name;
  Order order;
};
struct WorkOrder {
  std::string name;
  double pieces{};
  Money money;
  double daysLow{}, daysHigh{};
  bool atMinimum{};  ///< the minimum charge holds
};

struct BuyList {
  int sets{};
  std::vector<PlateOrder> plates;
  std::vector<CutterOrder> cutters;
  std::vector<PartOrder> parts;
  std::vector<WorkOrder> work;
  Money total;  ///< plates cut to size + cutters + parts + work
};

}  // namespace chipledger::route
