#pragma once
// Changes worth trying, before they are planned: what the owner would draw, and the metal that follows.
#include <chipledger/estimate/advice.hpp>

#include <functional>
#include <vector>

namespace chipledger::estimate {

struct Candidate {
  Advice advice;
  Variant variant;
};

/// What a candidate is made from.
struct Ground {
  const Replanner& replanner;
  const Estimate& estimate;
  const shop::Shop& shop;

  const detail::Details& details() const { return *replanner.drawn().details; }
  const detail::Detail& at(int i) const { return details().list[static_cast<std::size_t>(i)]; }
  detail::Standing standing() const;
  /// Diameters of the end mills the plan uses, rising, mm.
  std::vector<double> millsInUse() const;
};

std::vector<int> where(const detail::Details& details, const std::function<bool(const detail::Detail&)>& test);
inline bool isPocket(detail::DetailKind kind) {
  return kind == detail::DetailKind::Pocket || kind == detail::DetailKind::OpenPocket;
}

/// Advice is given in steps a drawing would use, mm.
inline constexpr double kRounding_mm = 0.05;
double upToStep(double value_mm);
double downToStep(double value_mm);

field::Change prism(field::Prism::Act act, Region region, double low_mm, double high_mm);
/// Shortest way between two borders, mm, and its end on each.
struct Gap {
  double distance_mm{};
  Vec2 onFirst, onSecond;
};
Gap gapBetween(const Region& a, const Region& b);

/// "island-1"; "3 islands".
std::string namesOf(const Ground& ground, const std::vector<int>& details, const std::string& many);
/// What is seen of a change to these details, from the answer on the seen side or from what is assumed meanwhile.
void sayLooks(const Ground& ground, Advice& advice);

/// The steps of `advise` and `priceGroups`, so that all their plans can be made in one go beside those of the details.
std::vector<GroupPrice> groupsOf(const detail::Details& details, const Estimate& estimate, const Replanner& replanner);
void planGroup(const Replanner& replanner, GroupPrice& group);
std::vector<Candidate> candidatesFor(const Replanner& replanner, const shop::Shop& shop, const Estimate& estimate);
void planCandidate(const Replanner& replanner, Candidate& candidate);
std::vector<Advice> worthSaying(std::vector<Candidate> candidates, const shop::Shop& shop, const Estimate& estimate);

void lowerIslands(const Ground& ground, std::vector<Candidate>& out);
void widenNecks(const Ground& ground, std::vector<Candidate>& out);
void separateBosses(const Ground& ground, std::vector<Candidate>& out);
void openRadii(const Ground& ground, std::vector<Candidate>& out);
void oneFamilyOfRadii(const Ground& ground, std::vector<Candidate>& out);
void shallowerPockets(const Ground& ground, std::vector<Candidate>& out);
void wireCut(const Ground& ground, std::vector<Candidate>& out);
void wipeSide(const Ground& ground, std::vector<Candidate>& out);

}  // namespace chipledger::estimate
