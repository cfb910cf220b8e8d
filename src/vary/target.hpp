#pragma once
// What a name in front of the "=" stands for.
#include <chipledger/detail/change.hpp>
#include <chipledger/shop/shop.hpp>
#include <chipledger/vary/axis.hpp>
#include <chipledger/vary/row.hpp>

#include <functional>

namespace chipledger::vary {

struct Target {
  enum class Kind { Detail, Batch, Shop } kind{Kind::Detail};
  int detail{-1};
  detail::Dimension dimension{detail::Dimension::Height};
  std::function<void(shop::Shop&, double)> set;  // Shop
  bool priceOfPlate{};                           // Shop: the price of the blank goes with it
  bool weighsInPlan{};                           // Shop: the choice of cutters would look at it
  TableAxis axis;
};

/// Fails: Usage with the possible names or values.
Result<Target> targetOf(const Axis& axis, const detail::Standing& part, const shop::Shop& shop,
                        const std::string& material);

}  // namespace chipledger::vary
