#pragma once
// Integer volume and time for the ledger: sums equal totals exactly, whatever the order of adding.
#include <chipledger/units/quantity.hpp>

#include <compare>
#include <cstdint>

namespace chipledger {

/// Volume in cubic micrometres (1e-9 mm3); up to 9.2 litres.
struct VolumeCount {
  std::int64_t um3{};
  constexpr auto operator<=>(const VolumeCount&) const = default;
  constexpr VolumeCount operator+(VolumeCount o) const { return {um3 + o.um3}; }
  constexpr VolumeCount operator-(VolumeCount o) const { return {um3 - o.um3}; }
  constexpr VolumeCount& operator+=(VolumeCount o) {
    um3 += o.um3;
    return *this;
  }
};
inline VolumeCount countVolume(Volume v) { return {static_cast<std::int64_t>(std::llround(toMm3(v) * 1e9))}; }
constexpr Volume toVolume(VolumeCount c) { return mm3(static_cast<double>(c.um3) * 1e-9); }

/// Time in nanoseconds; up to 292 years.
struct TimeCount {
  std::int64_t ns{};
  constexpr auto operator<=>(const TimeCount&) const = default;
  constexpr TimeCount operator+(TimeCount o) const { return {ns + o.ns}; }
  constexpr TimeCount operator-(TimeCount o) const { return {ns - o.ns}; }
  constexpr TimeCount& operator+=(TimeCount o) {
    ns += o.ns;
    return *this;
  }
};
inline TimeCount countTime(Duration d) { return {static_cast<std::int64_t>(std::llround(toSeconds(d) * 1e9))}; }
constexpr Duration toDuration(TimeCount c) { return seconds(static_cast<double>(c.ns) * 1e-9); }

}  // namespace chipledger
