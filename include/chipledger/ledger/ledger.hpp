#pragma once
// Every mm3, every minute and every unit of money, booked exactly once to (setup, operation, detail). Integers inside,
// so sums equal totals exactly. What belongs to no detail is booked to kShared, in sight.
#include <chipledger/units/counts.hpp>
#include <chipledger/units/money.hpp>

#include <string>
#include <vector>

namespace chipledger::ledger {

inline constexpr int kShared = -1;

/// Lines of the price, as the owner reads them.
enum class Line { Metal, Machine, People, Cutters, Setup, Fixture, Scrap, Overhead };
inline constexpr Line kLines[] = {Line::Metal, Line::Machine, Line::People, Line::Cutters,
                                  Line::Setup, Line::Fixture, Line::Scrap, Line::Overhead};
const char* word(Line line);

/// Lower: length over feed. Likely: corners blended within the machine's tolerance. Upper: a full stop at each corner.
struct Minutes {
  TimeCount lower, likely, upper;
  Minutes& operator+=(const Minutes& o) {
    lower += o.lower;
    likely += o.likely;
    upper += o.upper;
    return *this;
  }
};

struct Entry {
  int setup{kShared};
  int operation{kShared};
  int detail{kShared};
  VolumeCount removed;
  Minutes minutes;   ///< machine time
  TimeCount hands;   ///< people's time
  Line line{Line::Machine};
  Money cost;
  std::string note;  ///< what this entry is, in a few words
};

class Ledger {
 public:
  void book(Entry entry) { entries_.push_back(std::move(entry)); }
  const std::vector<Entry>& entries() const { return entries_; }

  VolumeCount removed() const;
  VolumeCount removedBySetup(int setup) const;
  VolumeCount removedByDetail(int detail) const;
  Minutes minutes() const;
  Minutes minutesBySetup(int setup) const;
  Minutes minutesByOperation(int operation) const;
  Minutes minutesByDetail(int detail) const;
  TimeCount hands() const;
  TimeCount handsBySetup(int setup) const;
  Money cost() const;
  Money cost(Line line) const;
  Money costByDetail(int detail) const;

 private:
  std::vector<Entry> entries_;
};

/// Splits a whole into parts in proportion to `weights` so that the parts add up to it exactly (largest remainder,
/// ties to the earlier). All-zero weights give everything to the last part.
std::vector<std::int64_t> splitExactly(std::int64_t whole, const std::vector<double>& weights);

}  // namespace chipledger::ledger
