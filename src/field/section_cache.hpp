#pragma once
// Regions by height, shared between copies of a solid. Filled from any thread; two threads may compute the same entry,
// both get the same answer.
#include <chipledger/field/solid.hpp>
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

/// One answer for the last question, told apart by `Key`.
template <class Key, class Answer>
class LastAnswer {
public:
  template <class Make>
  std::shared_ptr<const Answer> get(const Key& key, Make make) {
    {
      const std::lock_guard lock(guard_);
      if (answer_ && key_ == key) return answer_;
    }
    auto made = std::make_shared<const Answer>(make());
    const std::lock_guard lock(guard_);
    key_ = key;
    answer_ = made;
    return made;
  }

private:
  std::mutex guard_;
  Key key_{};
  std::shared_ptr<const Answer> answer_;
};

/// The caches of one state of a solid.
struct SolidCaches {
  SectionCache sections, fromAbove, fromBelow;
  LastAnswer<GridSpec, Solid::View> seenFromAbove, seenFromBelow;
  LastAnswer<int, std::vector<double>> levels;  ///< of the one state: a single key
  std::shared_ptr<const Slopes> slopes;         ///< of the body, before any change
};

}  // namespace chipledger::field
