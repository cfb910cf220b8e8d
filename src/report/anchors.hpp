#pragma once
// Names of numbers that open, for the figures of charts to open them: the name stands on what is opened, so that a
// browser opens it when the figure's link is followed, with scripts or without.
#include <cstddef>
#include <string>

namespace chipledger::report {

inline std::string anchor(const std::string& what, std::size_t index) { return what + std::to_string(index); }
inline std::string anchor(const std::string& what, std::size_t index, const std::string& of) {
  return what + std::to_string(index) + "-" + of;
}
inline std::string anchor(const std::string& what, std::size_t index, std::size_t of) {
  return anchor(what, index, std::to_string(of));
}

// A price of the sheet: batch, and line of the price, or "each", "low", "high".
inline std::string priceAnchor(std::size_t batch, const std::string& which) { return anchor("price", batch, which); }
inline std::string lineAnchor(std::size_t batch, std::size_t line) { return anchor("price", batch, line); }
// With minus without at the reference batch.
inline std::string detailAnchor(int detail) { return anchor("detail", static_cast<std::size_t>(detail)); }
inline std::string groupAnchor(std::size_t group) { return anchor("group", group); }
// The dearest details beside the drawing, at the chosen batch.
inline std::string ladderAnchor(int detail) { return anchor("ladder", static_cast<std::size_t>(detail)); }
inline std::string doubtAnchor(std::size_t doubt, bool low) { return anchor("doubt", doubt, low ? "low" : "high"); }
inline std::string setupAnchor(std::size_t setup) { return anchor("setup", setup); }
inline std::string thicknessAnchor(const std::string& piece) { return "thick-" + piece; }
// The metal of the blank: "price", "cut", "share" of the blank cut away.
inline std::string metalAnchor(const std::string& which) { return "metal-" + which; }
inline std::string variantAnchor(std::size_t variant, std::size_t batch) { return anchor("variant", variant, batch); }
// Of a product's page: its variant, then what.
inline std::string toolAnchor(std::size_t variant, const std::string& which) { return anchor("tool", variant, which); }
inline std::string toolAnchor(std::size_t variant, const std::string& which, std::size_t index) {
  return toolAnchor(variant, anchor(which, index));
}
inline std::string pointAnchor(std::size_t row) { return anchor("point", row); }

}  // namespace chipledger::report
