#pragma once
// Parts priced as a user would, without detail prices and on cells of 0.1 mm unless asked otherwise.
#include <gtest/gtest.h>
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/read.hpp>
#include <chipledger/shop/load.hpp>

#include <cstdlib>
#include <filesystem>
#include <string>

namespace chipledger::test {

inline std::string sampleFolder() { return std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples/"; }

/// The shop of the samples, read once.
inline const shop::Shop& sampleShop() {
  static const shop::Shop shop = [] {
    auto read = shop::loadShop(sampleFolder() + "shop-medlar.toml");
    if (!read) ADD_FAILURE() << sentence(read.error());
    return read ? *read : shop::builtInShop();
  }();
  return shop;
}

struct Priced {
  part::Part part;
  estimate::Estimate estimate;
};

inline estimate::Options quick(int cell_um = 100) {
  estimate::Options options;
  options.batches = {50};
  options.priceDetails = false;
  options.cell_um = cell_um;
  return options;
}

inline Result<estimate::Estimate> estimateOf(const part::Part& part, const shop::Shop& shop = sampleShop(),
                                             int cell_um = 100) {
  return estimate::estimateBody(part, part.bodies.front(), shop, quick(cell_um));
}

inline Priced pricedSample(const std::string& name, int cell_um = 100) {
  Priced p;
  auto part = part::readPart(sampleFolder() + name);
  if (!part) {
    ADD_FAILURE() << name << ": " << sentence(part.error());
    return p;
  }
  p.part = std::move(*part);
  auto estimate = estimateOf(p.part, sampleShop(), cell_um);
  if (!estimate) {
    ADD_FAILURE() << name << ": " << sentence(estimate.error());
    return p;
  }
  p.estimate = std::move(*estimate);
  return p;
}

inline double likelyMinutes(const estimate::Estimate& e) { return toMinutes(toDuration(e.ledger.minutes().likely)); }

/// How many random parts a property test tries: few by default, more when asked for.
inline int seedsOr(int few) {
  const char* asked = std::getenv("CHIPLEDGER_SEEDS");
  return asked != nullptr ? std::atoi(asked) : few;
}

}  // namespace chipledger::test
