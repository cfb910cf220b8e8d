#pragma once
// Quantities with their dimension in the type, so that a feed and a chip load cannot be mixed.
// Base units: millimetre, second, newton. Read and made only through the named functions below.
#include <cmath>
#include <compare>
#include <numbers>

namespace chipledger {

/// mm^L s^T N^F
template <int L, int T, int F = 0>
struct Quantity {
  double base{};

  constexpr auto operator<=>(const Quantity&) const = default;
  constexpr Quantity operator-() const { return {-base}; }
  constexpr Quantity operator+(Quantity other) const { return {base + other.base}; }
  constexpr Quantity operator-(Quantity other) const { return {base - other.base}; }
  constexpr Quantity operator*(double factor) const { return {base * factor}; }
  constexpr Quantity operator/(double factor) const { return {base / factor}; }
  constexpr Quantity& operator+=(Quantity other) {
    base += other.base;
    return *this;
  }
  constexpr Quantity& operator-=(Quantity other) {
    base -= other.base;
    return *this;
  }
  friend constexpr Quantity operator*(double factor, Quantity q) { return {factor * q.base}; }
};

template <int L1, int T1, int F1, int L2, int T2, int F2>
constexpr auto operator*(Quantity<L1, T1, F1> a, Quantity<L2, T2, F2> b) {
  return Quantity<L1 + L2, T1 + T2, F1 + F2>{a.base * b.base};
}
template <int L1, int T1, int F1, int L2, int T2, int F2>
constexpr auto operator/(Quantity<L1, T1, F1> a, Quantity<L2, T2, F2> b) {
  if constexpr (L1 == L2 && T1 == T2 && F1 == F2) {
    return a.base / b.base;
  } else {
    return Quantity<L1 - L2, T1 - T2, F1 - F2>{a.base / b.base};
  }
}

using Length = Quantity<1, 0>;
using Area = Quantity<2, 0>;
using Volume = Quantity<3, 0>;
using Duration = Quantity<0, 1>;
using Speed = Quantity<1, -1>;         ///< feed along a path, or surface speed of a cutting edge
using Acceleration = Quantity<1, -2>;
using Jerk = Quantity<1, -3>;
using RemovalRate = Quantity<3, -1>;
using Force = Quantity<0, 0, 1>;
using Pressure = Quantity<-2, 0, 1>;   ///< N/mm2 = MPa: strength, modulus, specific cutting force
using Torque = Quantity<1, 0, 1>;
using Power = Quantity<1, -1, 1>;      ///< N mm/s = mW

constexpr Length mm(double v) { return {v}; }
constexpr Length inches(double v) { return {25.4 * v}; }
constexpr Area mm2(double v) { return {v}; }
constexpr Volume mm3(double v) { return {v}; }
constexpr Duration seconds(double v) { return {v}; }
constexpr Duration minutes(double v) { return {60.0 * v}; }
constexpr Duration hours(double v) { return {3600.0 * v}; }
constexpr Speed mmPerMin(double v) { return {v / 60.0}; }
constexpr Speed mPerMin(double v) { return {v * 1000.0 / 60.0}; }
constexpr Speed mmPerSecond(double v) { return {v}; }
constexpr Acceleration mmPerSecond2(double v) { return {v}; }
constexpr Acceleration mPerSecond2(double v) { return {1000.0 * v}; }
constexpr Jerk mmPerSecond3(double v) { return {v}; }
constexpr Jerk mPerSecond3(double v) { return {1000.0 * v}; }
constexpr RemovalRate cm3PerMin(double v) { return {v * 1000.0 / 60.0}; }
constexpr Force newtons(double v) { return {v}; }
constexpr Pressure megapascals(double v) { return {v}; }
constexpr Torque newtonMetres(double v) { return {1000.0 * v}; }
constexpr Power kilowatts(double v) { return {v * 1e6}; }

constexpr double toMm(Length q) { return q.base; }
constexpr double toMm2(Area q) { return q.base; }
constexpr double toMm3(Volume q) { return q.base; }
constexpr double toCm3(Volume q) { return q.base / 1000.0; }
constexpr double toSeconds(Duration q) { return q.base; }
constexpr double toMinutes(Duration q) { return q.base / 60.0; }
constexpr double toHours(Duration q) { return q.base / 3600.0; }
constexpr double toMmPerMin(Speed q) { return q.base * 60.0; }
constexpr double toMPerMin(Speed q) { return q.base * 60.0 / 1000.0; }
constexpr double toMmPerSecond(Speed q) { return q.base; }
constexpr double toMmPerSecond2(Acceleration q) { return q.base; }
constexpr double toMmPerSecond3(Jerk q) { return q.base; }
constexpr double toCm3PerMin(RemovalRate q) { return q.base * 60.0 / 1000.0; }
constexpr double toNewtons(Force q) { return q.base; }
constexpr double toMegapascals(Pressure q) { return q.base; }
constexpr double toNewtonMetres(Torque q) { return q.base / 1000.0; }
constexpr double toKilowatts(Power q) { return q.base / 1e6; }

/// Plane angle; radians inside.
struct Angle {
  double rad{};
  constexpr auto operator<=>(const Angle&) const = default;
  constexpr Angle operator+(Angle other) const { return {rad + other.rad}; }
  constexpr Angle operator-(Angle other) const { return {rad - other.rad}; }
  constexpr Angle operator*(double factor) const { return {rad * factor}; }
};
constexpr Angle radians(double v) { return {v}; }
constexpr Angle degrees(double v) { return {v * std::numbers::pi / 180.0}; }
constexpr double toDegrees(Angle a) { return a.rad * 180.0 / std::numbers::pi; }

/// Spindle speed; revolutions per minute inside.
struct SpindleSpeed {
  double rpm{};
  constexpr auto operator<=>(const SpindleSpeed&) const = default;
};
constexpr SpindleSpeed rpm(double v) { return {v}; }

/// Surface speed of a cutter of diameter `diameter` turning at `n`: v = pi D n.
constexpr Speed surfaceSpeed(Length diameter, SpindleSpeed n) {
  return mmPerMin(std::numbers::pi * toMm(diameter) * n.rpm);
}
/// Spindle speed for surface speed v at diameter D (D > 0): n = v / (pi D).
constexpr SpindleSpeed spindleSpeed(Speed v, Length diameter) {
  return {toMmPerMin(v) / (std::numbers::pi * toMm(diameter))};
}

}  // namespace chipledger
