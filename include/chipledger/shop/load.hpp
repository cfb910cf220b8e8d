#pragma once
// A shop file: TOML laid over the built-in values. Keys carry their unit ("load_per_setup_min", "rate_per_hour").
// Sections: top level (name, currency, decimals, default_material, batches, pieces_per_set), [rates], [hands], [bench],
// [scrap], [once], [practice], [blank], [week], [sheet], [machine], [machine_hour], [colours], and those of the cutting tables.
#include <chipledger/shop/shop.hpp>

#include <string>

namespace chipledger::shop {

/// Fails: BadFile with file, line and mend: cannot be read, not TOML, unknown key (with the nearest known one), wrong
/// type, impossible value.
Result<Shop> loadShop(const std::string& path);
Result<Shop> loadShopText(const std::string& text, const std::string& fileName);

/// A commented shop file with every value in force at its built-in setting. Loading it gives the built-in shop.
std::string starterFile();

}  // namespace chipledger::shop
