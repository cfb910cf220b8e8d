// What is dearest: the order in which details stand on every sheet.
#include <chipledger/report/wording.hpp>

#include <algorithm>
#include <numeric>

namespace chipledger::report {

std::size_t referenceBatch(const estimate::Estimate& e) {
  const auto last = static_cast<int>(e.batches.size()) - 1;
  return static_cast<std::size_t>(std::clamp(e.referenceBatch, 0, std::max(0, last)));
}

const estimate::Difference* differenceAt(const std::vector<estimate::Difference>& differences, std::size_t batch) {
  return batch < differences.size() ? &differences[batch] : nullptr;
}

const estimate::Difference* differenceAt(const estimate::DetailPrice& price, std::size_t batch) {
  return differenceAt(price.withMinusWithout, batch);
}

bool canBeLeftOut(detail::DetailKind kind) {
  using detail::DetailKind;
  return kind == DetailKind::Island || kind == DetailKind::Pocket || kind == DetailKind::OpenPocket ||
         kind == DetailKind::Lettering || kind == DetailKind::CarvedFace || kind == DetailKind::Step ||
         kind == DetailKind::Round;
}

std::vector<std::size_t> dearestFirst(const estimate::Estimate& e) {
  std::vector<std::size_t> order(e.detailPrices.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const std::size_t batch = referenceBatch(e);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) {
    const estimate::Difference* a = differenceAt(e.detailPrices[i], batch);
    const estimate::Difference* b = differenceAt(e.detailPrices[j], batch);
    if ((a != nullptr) != (b != nullptr)) return a != nullptr;
    return a != nullptr && a->money > b->money;
  });
  return order;
}

std::vector<std::size_t> groupsDearestFirst(const estimate::Estimate& e) {
  std::vector<std::size_t> order;
  const std::size_t batch = referenceBatch(e);
  const auto priceOf = [&](std::size_t g) { return differenceAt(e.groups[g].withMinusWithout, batch); };
  for (std::size_t g = 0; g < e.groups.size(); ++g)
    if (priceOf(g) != nullptr) order.push_back(g);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return priceOf(a)->money > priceOf(b)->money; });
  return order;
}

}  // namespace chipledger::report
