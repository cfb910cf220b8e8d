#pragma once
// The price against a dimension, a batch size or a value of the shop, without drawing the part again: the part as read
// is changed on field and details together (detail/change.hpp), and every point is planned and priced anew. A change
// that would break the part is a hole in the curve with its reason, not an error.
// Axes: "<detail>.<dimension>", "body.thickness", "batch", "shop.<setting>". Batches, rates, the price of plate and
// what else is money alone use one plan. Four plans or more go on the cells on which details are priced, moved by what
// the part as drawn differs on its own; a point that takes other cutters goes on the part's own. Same rows for any
// number of threads.
#include <chipledger/shop/shop.hpp>
#include <chipledger/vary/axis.hpp>
#include <chipledger/vary/row.hpp>

#include <functional>
#include <memory>
#include <vector>

namespace chipledger::vary {

inline constexpr std::size_t kMostRows = 100000;

class Sweep {
public:
  /// `part` and `body` must outlive the object; axes are in the order wished for (money alone and batches go last).
  /// Fails: Usage (unknown name: says the possible ones; a range in which nothing can be: says what can), Limit.
  static Result<Sweep> make(const part::Part& part, const part::Body& body, const shop::Shop& shop,
                            const estimate::Options& options, const std::vector<Axis>& axes);

  const Table& table() const { return table_; }

  struct Watch {
    std::function<void(const Table&, std::size_t row)> onRow;  ///< rows in order, one call at a time
    std::function<bool()> stop;                                ///< asked before each plan; may be empty
  };
  /// Rows known from an earlier run (the first ones of the table) are kept; the rest is computed. Whole plans only.
  Table run(std::vector<Row> known, const Watch& watch) const;

private:
  struct Plan;  // what all points share
  std::shared_ptr<const Plan> shared_;
  Table table_;
};

}  // namespace chipledger::vary
