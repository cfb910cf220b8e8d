#pragma once
// Regions by height, shared between copies of a solid. Filled from any thread; two threads may compute the same entry,
// both get the same answer.
#include <chipledger/geometry/polygon.hpp>

#include <cmath>
#include <cstdint>
#include <map>
#include <memory>
#include <mutex>

#include "field/slopes.hpp"

namespace chipledger::field {

class SectionCache {
public:
  template <class Make>
  Region get(double key_mm, Make make) {
    const auto key = static_cast<std::int64_t>(std::llround(key_mm * 1e6));  // whole nanometres
    {
      const std::lock_guard lock(guard_);
      if (const auto found = kept_.find(key); found != kept_.end()) return *found->second;
    }
    auto made = std::make_shared<const Region>(make());
    const std::lock_guard lock(guard_);
    // A carved face is asked at many heights: what is kept stays bounded.
    constexpr std::size_t kMostKept = 512;
    if (kept_.size() >= kMostKept) kept_.clear();
    return *kept_.emplace(key, std::move(made)).first->second;
  }

private:
  std::mutex guard_;
  std::map<std::int64_t, std::shared_ptr<const Region>> kept_;
};

/// The caches of one state of a solid.
struct SolidCaches {
  SectionCache sections, fromAbove, fromBelow;
  std::shared_ptr<const Slopes> slopes;  ///< of the body, before any change
};

}  // namespace chipledger::field
