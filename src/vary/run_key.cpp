#include "vary/run_key.hpp"

#include <fmt/format.h>
#include <chipledger/cutting/listing.hpp>

#include <charconv>

namespace chipledger::vary {
namespace {

constexpr int kForm = 3;  // of the table and of the prices in it

/// FNV-1a, 64 bits.
class Digest {
public:
  void add(const std::string& text) {
    for (const char c : text) value_ = (value_ ^ static_cast<unsigned char>(c)) * 1099511628211ull;
    value_ = (value_ ^ 0x1f) * 1099511628211ull;
  }
  void add(double number) {
    char text[32];
    add(std::string(text, std::to_chars(text, text + sizeof text, number).ptr));
  }
  std::string text() const { return fmt::format("{:016x}", value_); }

private:
  std::uint64_t value_{14695981039346656037ull};
};

}  // namespace

std::string runKey(const estimate::DrawnPart& part, const shop::Shop& shop, const Table& table) {
  Digest digest;
  digest.add(kForm);
  digest.add(part.body->fingerprint);
  digest.add(toMm3(part.body->volume));
  digest.add(part.material.name);
  digest.add(part.cell_um);
  for (const detail::Detail& d : part.details.list)
    for (const std::string& text : {d.name, std::string(detail::word(d.kind)), d.hint, d.thread}) digest.add(text);
  digest.add(shop.currency);
  for (const Assumption& a : shop::describe(shop)) digest.add(a.name), digest.add(a.value);
  for (const cutting::Listing& listing : cutting::listTables(shop.tables))
    for (const cutting::ListingRow& row : listing.rows)
      for (const std::string& cell : row.cells) digest.add(cell);
  for (const TableAxis& axis : table.axes) {
    digest.add(axis.key);
    for (const double v : axis.values) digest.add(v);
  }
  for (const int batch : table.batches) digest.add(batch);
  return digest.text();
}

}  // namespace chipledger::vary
