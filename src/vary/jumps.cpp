#include <fmt/format.h>
#include <chipledger/vary/row.hpp>

#include <algorithm>

namespace chipledger::vary {
namespace {

std::string difference(const std::vector<std::string>& a, const std::vector<std::string>& b) {
  std::string text;
  for (const std::string& id : a)
    if (std::find(b.begin(), b.end(), id) == b.end()) text += (text.empty() ? "" : ", ") + id;
  return text;
}

std::string whyFrom(const Row& before, const Row& after) {
  std::string text;
  const auto add = [&](const std::string& cause) { text += (text.empty() ? "" : "; ") + cause; };
  if (before.plate != after.plate)
    add(fmt::format("{:.2f} plate instead of {:.2f}", toMm(after.plate), toMm(before.plate)));
  if (const std::string more = difference(after.cutters, before.cutters); !more.empty()) add("also needs " + more);
  if (const std::string less = difference(before.cutters, after.cutters); !less.empty()) add("no longer needs " + less);
  if (const int setups = after.setups - before.setups; setups != 0)
    add(fmt::format("{:+d} setup{}", setups, std::abs(setups) == 1 ? "" : "s"));
  return text;
}

}  // namespace

std::size_t Table::size() const {
  std::size_t count = batches.size();
  for (const TableAxis& axis : axes) count *= axis.values.size();
  return count;
}

void markJumps(Table& table, std::size_t index) {
  Row& row = table.rows[index];
  row.jumps.clear();
  if (!row.hole.empty()) return;
  std::size_t stride = table.batches.size();
  std::vector<Jump> found;
  for (std::size_t a = table.axes.size(); a-- > 0;) {
    const TableAxis& axis = table.axes[a];
    const std::size_t count = axis.values.size(), place = index / stride % count;
    for (std::size_t back = 1; axis.planned && back <= place; ++back) {
      const Row& before = table.rows[index - back * stride];
      if (!before.hole.empty()) continue;
      if (std::string why = whyFrom(before, row); !why.empty()) found.push_back({axis.key, std::move(why)});
      break;
    }
    stride *= count;
  }
  row.jumps.assign(found.rbegin(), found.rend());
}

}  // namespace chipledger::vary
