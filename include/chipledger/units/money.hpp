#pragma once
// Money as an integer, so that lines add up to totals exactly. One count is a millionth of the currency unit:
// fine enough for the wear of a cutter in one pass, wide enough (9e12 units) for any workshop.
#include <cmath>
#include <compare>
#include <cstdint>

namespace chipledger {

struct Money {
  std::int64_t micros{};
  constexpr auto operator<=>(const Money&) const = default;
  constexpr Money operator-() const { return {-micros}; }
  constexpr Money operator+(Money other) const { return {micros + other.micros}; }
  constexpr Money operator-(Money other) const { return {micros - other.micros}; }
  constexpr Money& operator+=(Money other) {
    micros += other.micros;
    return *this;
  }
  constexpr Money& operator-=(Money other) {
    micros -= other.micros;
    return *this;
  }
};

/// The one rounding rule: to the nearest count, halves away from zero. Applied once per ledger line.
inline Money money(double units) { return {static_cast<std::int64_t>(std::llround(units * 1e6))}; }
constexpr double toUnits(Money m) { return static_cast<double>(m.micros) / 1e6; }

}  // namespace chipledger
