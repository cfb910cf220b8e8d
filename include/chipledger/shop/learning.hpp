#pragma once
// Hand work gets quicker with practice; cutting does not.
//   unit time      t(n) = t(1) n^b, b = log2(learning): each doubling of the count takes `learning` of the time before
//   average        A(n) = (1/n) sum t(k) / t(1)
// Source of the law: J. R. Crawford's unit form of the learning curve, as in operations-management textbooks.
#include <cmath>

namespace chipledger::shop {

/// t(n) / t(1). learning in (0, 1], n >= 1.
double unitLearning(double learning, double n);
/// A(n): the mean over pieces 1..n, relative to the first. O(n) up to 1000 pieces, then an integral.
double averageLearning(double learning, int n);

/// Minutes in the shop file are meant for this many pieces: the mean over a usual batch.
inline constexpr int kUsualPieces = 100;
/// Hand time of a batch of `pieces` relative to a usual batch.
double learningFactor(double learning, int pieces);

}  // namespace chipledger::shop
