#pragma once
// How long a cutter lives, what its wear costs and how many a batch needs.
#include <chipledger/cutting/conditions.hpp>
#include <chipledger/cutting/limits.hpp>

namespace chipledger::cutting {

/// T = T1 (v1 / v)^(1/n)
Duration lifeAtSpeed(Duration life1, Speed v1, Speed v, double n);
/// n = ln(v1 / v2) / ln(T2 / T1)
double lifeExponent(Speed v1, Duration life1, Speed v2, Duration life2);
/// C = v T^n with T in minutes: the speed that gives one minute of life, m/min.
double lifeConstant(Speed v, Duration life, double n);
/// v = C / T^n
Speed speedForLife(double constant_m_min, Duration life, double n);
/// T = T0 (kv kf^x kd^y)^(-1/n): speed, feed and depth as ratios to those of T0; x and y as in V T^n f^x d^y = C.
Duration extendedLife(Duration life0, double n, double x, double y, double speedRatio, double feedRatio,
                      double depthRatio);

/// Life of cheapest metal: T = (1/n - 1)(change + edge cost / rate).
Duration cheapestLife(double n, Duration change, double edgeCost, double moneyPerMinute);
/// v = C / T^n at that life.
Speed cheapestSpeed(double constant_m_min, double n, Duration change, double edgeCost, double moneyPerMinute);
/// Speed of largest output: T = (1/n - 1) change.
Speed fastestSpeed(double constant_m_min, double n, Duration change);
/// Change and wear booked on `cutting` minutes: (rate * change + edge cost) * cutting / life.
double wearMoney(Duration cutting, Duration life, Duration change, double edgeCost, double moneyPerMinute);

/// What one piece asks of one cutter.
struct CutterUse {
  Duration cutting;    ///< in the steady cut the conditions were chosen for
  Duration fullWidth;  ///< part of it with metal on both sides: dulls at the slot life
  double holes{};
};

/// Share of one cutter used up: steady / life + full width / slot life + holes / holes per cutter.
double shareOfCutter(const Conditions& conditions, const CutterUse& use);

/// Below this diameter cutters break rather than wear; mm.
inline constexpr double kBreaksBelow_mm = 2.0;
/// Cutters broken for each one worn out.
double breakageShare(Length diameter, const Limits& limits);

struct CutterPurchase {
  double worn{};    ///< cutters used up by the batch, a real number
  double broken{};  ///< expected to break
  int buy{};        ///< whole cutters, spares included
  int spares{};     ///< of these, above what is worn and broken
};

/// Whole cutters for a batch: ceil(share * pieces * (1 + breakage)) + spares; none when nothing is used.
CutterPurchase cuttersToBuy(double sharePerPiece, int pieces, Length diameter, const Limits& limits);

}  // namespace chipledger::cutting
