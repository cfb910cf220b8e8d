#include <chipledger/shop/shop.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace chipledger::shop {

namespace {

/// Plate rules of every material from the tables; the blank's own rules are settings of the shop.
std::map<std::string, stock::PlateRules> plateRules(const cutting::CuttingTables& tables) {
  std::map<std::string, stock::PlateRules> rules;
  for (const cutting::Material& material : tables.materials) {
    const auto rows = cutting::platesOf(tables, material.name);
    if (rows.empty()) continue;
    stock::PlateRules rule;
    rule.material = material.name;
    rule.density_g_cm3 = material.density_g_cm3;
    rule.pricePerKg = rows.front().pricePerKg;
    for (const cutting::PlateRow& row : rows) {
      rule.steps.push_back(mm(row.thickness_mm));
      rule.under.push_back(mm(row.under_mm));
      rule.dearer.push_back(row.pricePerKg / rule.pricePerKg);
    }
    rules.emplace(material.name, std::move(rule));
  }
  return rules;
}

}  // namespace

namespace {

bool ownUnderThickness(const Shop& shop) {
  return shop.origin.count("blank.under_thickness_mm") > 0 ||
         toMm(shop.blank.underThickness) != toMm(decltype(shop.blank){}.underThickness);
}

}  // namespace

void refreshPlates(Shop& shop) {
  shop.plates = plateRules(shop.tables);
  for (auto& [name, rules] : shop.plates) {
    rules.sideAllowance = shop.blank.sideAllowance;
    rules.skimLight = shop.blank.skimLight;
    rules.skimHeavy = shop.blank.skimHeavy;
    rules.handling = shop.blank.handling;
    rules.underThickness = shop.blank.underThickness;
    // A shop that says its own allowance means it for every plate above sheet thickness.
    if (!ownUnderThickness(shop)) continue;
    for (std::size_t i = 0; i < rules.steps.size(); ++i)
      if (rules.steps[i] > stock::kThickestSheet) rules.under[i] = shop.blank.underThickness;
  }
  shop.crib = shop.tables.crib;
}

Shop builtInShop() {
  Shop shop;
  shop.machine = motion::smallVerticalMill();
  shop.tables = cutting::builtInTables();
  shop.colours = {{"#ff0000", "tight"}, {"#0000ff", "thread"}, {"#ffff00", "cosmetic"}, {"#00ff00", "leave as rolled"}};
  refreshPlates(shop);
  return shop;
}

Assumptions describe(const Shop& shop) {
  Assumptions all;
  for (const Setting& setting : settings()) {
    Assumption a{setting.key, setting.get(shop), setting.unit, setting.from, setting.source};
    if (const auto said = shop.origin.find(setting.key); said != shop.origin.end()) {
      a.from = said->second.from;
      a.source = said->second.source;
    }
    all.push_back(std::move(a));
  }
  for (Assumption& a : motion::describe(shop.machine)) all.push_back(std::move(a));
  return all;
}

}  // namespace chipledger::shop
