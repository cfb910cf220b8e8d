#pragma once
// Small pieces of HTML and SVG text. Every text that comes from a file goes through `escaped`.
#include <string>

namespace chipledger::report {

/// Safe inside elements and quoted attributes; control characters become U+FFFD, bytes that are not UTF-8 too.
std::string escaped(const std::string& text);
/// Coordinate on paper: at most 3 decimals.
std::string coordinate(double mm);
/// attribute="escaped value" with a blank before it.
std::string attribute(const std::string& name, const std::string& value);
std::string attribute(const std::string& name, double value);

}  // namespace chipledger::report
