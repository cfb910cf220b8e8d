#pragma once
// Practice: hand work gets quicker with the count made, and practice is lost when nothing is made for long.
//   unit law (Crawford)    t(n) = t(1) n^b,      b = log2(rate)
//   average law (Wright)   mean of the first n = t(1) n^b
//   lot m..k               unit law: t(1) sum i^b;   average law: t(1) (k^(b+1) - (m-1)^(b+1))
//   forgetting             made before / 2^doublings, once the pause is longer than kPause_months
// Sources: operations-management textbooks; forgetting: common practice, no source. Cutting time does not learn.
#include <vector>

namespace chipledger::route {

inline constexpr double kPause_months = 6;
inline constexpr double kDoublingsForgotten = 2.5;  ///< common practice: two to three

/// Mean time of pieces made+1 ... made+n relative to piece 1; unit law. rate in (0, 1], n >= 1.
double meanOverLot(double rate, double made, int n);
/// Pieces that practice is still worth after a pause.
double practiceLeft(int made, double monthsSince);
/// Hand time of a batch of n after `made` pieces, relative to the mean over a usual batch from a standing start.
double handFactor(double rate, double made, int n, int usual);

/// handFactor for many batch sizes of one kind of work: the sums are kept.
class Practice {
public:
  Practice(double rate, double made, int usual);
  double factor(int n);

private:
  double rate_, made_, usual_;
  std::vector<double> sums_;
};

/// Average law: sum of the times of pieces m..k relative to piece 1.
double lotTimeByAverageLaw(double rate, int m, int k);

}  // namespace chipledger::route
