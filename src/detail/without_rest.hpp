#pragma once
// The changes of detail::without for a group of which some are gone already.
#include <chipledger/detail/detail.hpp>

#include <vector>

namespace chipledger::detail {

/// `all`: the whole group with its children; those in `taken` make no change, and nothing is kept clear of them.
std::vector<field::Change> withoutRest(const Details& details, std::vector<int> all, const std::vector<int>& taken);

}  // namespace chipledger::detail
