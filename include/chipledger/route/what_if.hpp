#pragma once
// "What if titanium goes up 20 %?": a named value changed, everything reckoned again. A tornado holds each value's
// range against the result, widest first.
#include <chipledger/result/result.hpp>

#include <string>
#include <vector>

namespace chipledger::route {

/// Values that a what-if can move, as factors on what was reckoned with (1: as it is).
enum class Lever {
  Metal,
  Machine,   ///< rate of a spindle hour
  Wages,     ///< machinist, bench and packing together
  Minutes,   ///< spindle minutes
  HandWork,  ///< minutes of hand work, the owner's too
  Cutters,   ///< wear
  Scrap,     ///< share lost, at the machine and by hand
  Bought,    ///< parts bought
  Outside,   ///< work sent out
  Once,      ///< everything paid once per design
  Overhead,
  OwnerHours,
  List,
  Discount,  ///< of every channel
  Fees,      ///< fees and warranty
};
/// What a lever may be set to instead of being scaled: "scrap = 12%", "list = 750".
enum class Set { Nothing, Share, Money };
struct LeverRow {
  Lever lever;
  const char* name;  ///< as typed: "metal"
  const char* what;  ///< "metal price"
  Set set;
  double low, high;  ///< factors of the tornado
  const char* source;
};
const std::vector<LeverRow>& levers();

/// One change: by a factor, or to a share or to money.
struct Change {
  Lever lever{};
  double factor{1};
  bool absolute{};    ///< `value` holds instead of the factor
  double value{};     ///< share, or currency units
  std::string words;  ///< as typed
};

/// "metal +20%", "wages -5 %", "scrap = 12%", "list = 750", several with commas between.
/// Fails: Usage with the nearest name, or with what is wrong with the number.
Result<std::vector<Change>> readChanges(const std::string& text);

}  // namespace chipledger::route
