#pragma once
// The frame that every page has: head, foot, style, scripts. Needs nothing from outside.
#include <chipledger/report/sheet_html.hpp>

#include <string>
#include <vector>

namespace chipledger::report {

struct Page {
  std::string title;               ///< text
  std::vector<std::string> facts;  ///< texts in the head
  std::vector<std::string> foot;   ///< texts in the foot, after date and version
  std::string main;                ///< markup
  bool turns{};                    ///< has a part to turn
};

std::string pageHtml(const Page& page, const SheetOptions& options);
/// Heading and what stands under it.
std::string section(const std::string& heading, const std::string& markup);

}  // namespace chipledger::report
