#pragma once
// From which batch on a route pays.
//   left(n)           = n net - cost(n)
//   per owner hour(n) = left(n) / owner hours(n)
//   cash break-even   = least n from which left stays >= 0
//   beats the bench   = least n from which per owner hour stays >= what the custom bench earns
// With constant costs left(n) = n margin - fixed, and the break-even is ceil(fixed / margin).
#include <chipledger/units/money.hpp>

#include <functional>
#include <optional>
#include <vector>

namespace chipledger::route {

/// One batch size of the curve. Money and hours of the whole batch.
struct CurvePoint {
  int sets{};
  Money left, costPerSet;
  double ownerHours{};
};
/// Absent without owner hours.
std::optional<double> perOwnerHour(Money left, double ownerHours);

/// What one full custom earns in an hour of the owner: (price - cost - overhead) / hours.
struct CustomHour {
  Money price, cost, overhead;
  double hours{};
};
std::optional<double> perOwnerHour(const CustomHour& custom);

struct Crossing {
  std::optional<int> cash, perHour;  ///< absent: not up to searchedTo
  int searchedTo{};
};

/// `curve` holds every batch size from 1 up. Without owner hours a batch beats the bench as soon as cash breaks even.
Crossing findCrossing(const std::vector<CurvePoint>& curve, double customPerHour);

/// Least whole n with n margin >= fixed; absent when margin <= 0.
std::optional<int> breakEven(Money fixed, Money margin);

/// Sizes at which the curve is shown: dense at first, then wider; the given sizes and crossings always among them.
std::vector<int> curveSizes(int largest, const std::vector<int>& always);

}  // namespace chipledger::route
