#pragma once
// The estimate as one HTML page for one reader. The owner gets all of it; the machinist the order of work, cutters and
// minutes with blanks for real times, and no money; the client options in round prices, and no cost lines.
// The owner's sheet is the whole estimate as one page that needs nothing else: no network, no library. The five answers
// and the drawing come first, then every section in order (sections.hpp). Details light in the drawing and in the
// tables together, by pointer or by keyboard; numbers open to their formula, inputs, origin and source; a batch can be
// chosen. Prints on A4, reads from 360 to 1600 px, light only. Without script everything is there except lighting and
// the choice of batch. Every text that comes from a file is escaped. Same input, same bytes: the date comes from the
// caller.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/part.hpp>

#include <chipledger/estimate/minutes_map.hpp>
#include <chipledger/report/wording.hpp>
#include <chipledger/result/result.hpp>
#include <chipledger/route/product.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::report {

enum class Reader { Owner, Machinist, Client };
const char* word(Reader reader);
/// Fails: Usage, with the readers there are.
Result<Reader> readReader(const std::string& text);

struct SheetOptions {
  std::string date;     ///< as printed in the foot
  std::string version;  ///< of the program
  std::string shop{};   ///< name and file of the shop, as printed in the foot; may be empty
  Reader reader{Reader::Owner};
  std::vector<estimate::MinutesMap> maps{};  ///< where the minutes go; may be empty
  std::optional<Age> age{};                  ///< said by the owner; absent: as the values tell
  /// Terms of sale that a client's prices carry; absent: what a piece costs, in round steps.
  std::optional<route::Terms> terms{};
  double overhead{};  ///< of the product, on top of the estimate's own cost; with `terms` only
};

/// Prices for a client go up to the next of these steps: 1, 2, 5, 10, 25, 50, 100 ... about a fortieth of the price.
double roundStep(double price);
/// Rounded up to its step.
Money roundedForClient(Money price);

std::string sheetHtml(const estimate::Estimate& estimate, const part::Body& body, const SheetOptions& options);

}  // namespace chipledger::report
