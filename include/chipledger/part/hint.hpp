#pragma once
// Face colours by which a drawing says what STEP has no plain word for: the shop's own convention, used when a chassis
// is written and when a part is read. Only components 0 and 1 are used, so that the colours survive a linear/sRGB
// mix-up.
#include <chipledger/part/part.hpp>

#include <optional>
#include <string_view>

namespace chipledger::part {

enum class Hint { Tight, Thread, Cosmetic, AsRolled };

struct HintRow {
  Hint hint;
  const char* word;  ///< as in a detail's hint and in face names
  Colour colour;
};
inline constexpr HintRow kHints[] = {
    {Hint::Tight, "tight", {1, 0, 0}},
    {Hint::Thread, "thread", {0, 0, 1}},
    {Hint::Cosmetic, "cosmetic", {1, 1, 0}},
    {Hint::AsRolled, "leave as rolled", {0, 1, 0}},
};

constexpr const HintRow& row(Hint hint) { return kHints[static_cast<int>(hint)]; }

/// How far a component may be from the convention: a CAD's rounding to 8 bits and a little more.
inline constexpr double kHintColourTolerance = 0.02;

inline std::optional<Hint> hintOf(Colour c) {
  const auto near = [](double a, double b) { return a - b < kHintColourTolerance && b - a < kHintColourTolerance; };
  for (const HintRow& r : kHints)
    if (near(c.red, r.colour.red) && near(c.green, r.colour.green) && near(c.blue, r.colour.blue)) return r.hint;
  return std::nullopt;
}
inline std::optional<Hint> hintOf(std::string_view word) {
  for (const HintRow& r : kHints)
    if (word == r.word) return r.hint;
  return std::nullopt;
}

}  // namespace chipledger::part
