#pragma once
// Small pieces of HTML and SVG text. Every text that comes from a file goes through `escaped`.
#include <string>

namespace chipledger::report {

/// Safe inside elements and quoted attributes. Control characters and those that turn the direction of writing (they
/// could put a price on another line's name) become U+FFFD, bytes that are not UTF-8 too.
std::string escaped(const std::string& text);
/// Whether a mark, embedding, override or isolate of writing direction stands at `at`: U+200E/F, U+202A..E, U+2066..9.
bool turnsWriting(const std::string& text, std::size_t at);
/// The first `most` characters, with an ellipsis where something is cut.
std::string shortened(const std::string& text, std::size_t most);
/// Coordinate on paper: at most 3 decimals.
std::string coordinate(double mm);
/// attribute="escaped value" with a blank before it.
std::string attribute(const std::string& name, const std::string& value);
std::string attribute(const std::string& name, double value);

}  // namespace chipledger::report
