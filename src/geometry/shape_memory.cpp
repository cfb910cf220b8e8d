#include "geometry/shape_memory.hpp"

#include <bit>
#include <map>
#include <memory>
#include <mutex>

namespace chipledger {
namespace {

constexpr std::size_t kMostPoints = 1'000'000;  // per generation: 16 MB of coordinates

class Mixer {
public:
  void add(std::uint64_t word) {
    a_ = (a_ ^ word) * 0x9E3779B97F4A7C15ull;
    a_ ^= a_ >> 32;
    b_ = std::rotl(b_ + word, 29) * 0xD6E8FEB86659FD93ull;
    b_ ^= b_ >> 31;
  }
  void add(double number) { add(std::bit_cast<std::uint64_t>(number)); }
  ShapeKey key() const { return {a_, b_}; }

private:
  std::uint64_t a_{0xA0761D6478BD642Full}, b_{0xE7037ED1A0B428DBull};
};

class Memory {
public:
  std::shared_ptr<const Region> find(const ShapeKey& key) {
    const std::lock_guard lock(guard_);
    if (const auto it = young_.find(key); it != young_.end()) return it->second;
    const auto it = old_.find(key);
    if (it == old_.end()) return nullptr;
    const auto region = it->second;
    put(key, region);
    return region;
  }
  void keep(const ShapeKey& key, std::shared_ptr<const Region> region) {
    const std::lock_guard lock(guard_);
    put(key, std::move(region));
  }

private:
  void put(const ShapeKey& key, std::shared_ptr<const Region> region) {
    for (const Ring& ring : region->rings) points_ += ring.size();
    young_.emplace(key, std::move(region));
    if (points_ <= kMostPoints) return;
    old_ = std::move(young_);
    young_.clear();
    points_ = 0;
  }
  std::mutex guard_;
  std::map<ShapeKey, std::shared_ptr<const Region>> young_, old_;
  std::size_t points_{};
};

Memory& memory() {
  static Memory one;
  return one;
}

}  // namespace

ShapeKey shapeKey(std::uint64_t operation, std::initializer_list<const Region*> regions,
                  std::initializer_list<double> numbers) {
  Mixer mix;
  mix.add(operation);
  for (double number : numbers) mix.add(number);
  for (const Region* region : regions) {
    mix.add(static_cast<std::uint64_t>(region->rings.size()));
    for (const Ring& ring : region->rings) {
      mix.add(static_cast<std::uint64_t>(ring.size()));
      for (Vec2 p : ring) {
        mix.add(p.x);
        mix.add(p.y);
      }
    }
  }
  return mix.key();
}

Region remembered(const ShapeKey& key, const std::function<Region()>& make) {
  if (const auto known = memory().find(key)) return *known;
  auto made = std::make_shared<const Region>(make());
  memory().keep(key, made);
  return *made;
}

}  // namespace chipledger
