#pragma once
// The whole estimate as one HTML page that needs nothing else: no network, no library. The five answers and the drawing
// come first, then every section in order (sections.hpp). Details light in the drawing and in the tables together, by
// pointer or by keyboard; numbers open to their formula, inputs, origin and source; a batch can be chosen. Prints on
// A4, reads from 360 to 1600 px, light only. Without script everything is there except lighting and the choice of
// batch. Every text that comes from a file is escaped. Same input, same bytes: the date comes from the caller.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/part.hpp>

#include <string>

namespace chipledger::report {

struct SheetOptions {
  std::string date;     ///< as printed in the foot
  std::string version;  ///< of the program
  std::string shop{};   ///< name and file of the shop, as printed in the foot; may be empty
};

std::string sheetHtml(const estimate::Estimate& estimate, const part::Body& body, const SheetOptions& options);

}  // namespace chipledger::report
