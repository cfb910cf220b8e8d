#include <chipledger/route/yield.hpp>

#include <algorithm>

namespace chipledger::route {

Yield rollYield(const std::vector<double>& shares) {
  Yield y;
  y.entering.assign(shares.size(), 1.0);
  double good = 1.0;
  for (std::size_t i = shares.size(); i-- > 0;) {
    good *= std::clamp(shares[i], kLeastYield, 1.0);
    y.entering[i] = 1.0 / good;
  }
  y.rolled = good;
  return y;
}

}  // namespace chipledger::route
