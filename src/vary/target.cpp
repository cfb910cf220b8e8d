#include "vary/target.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <chipledger/result/nearest.hpp>

#include <algorithm>
#include <cmath>
#include <optional>

namespace chipledger::vary {
namespace {

constexpr int kLargestBatch = 1000000;
constexpr double kMostPricePerKg = 10000;

/// A number of the shop that can be varied.
struct ShopValue {
  std::string key, unit;
  double low{}, high{}, now{};
  std::function<void(shop::Shop&, double)> set;
  bool planned{true}, priceOfPlate{};
};

/// Weighs in the choice of cutters.
bool weighs(const std::string& key) {
  return key == "rates.machine_per_hour" || key == "rates.machinist_per_hour" || key == "rates.attended_share";
}

/// Settings that enter the price but no plan: rates, hand work, scrap, what is paid once. The rates of machine and
/// machinist weigh in the choice of cutters; near the cheapest choice that moves the price little (1 % for a rate a
/// third higher, measured), and the sweep says that the plan was kept.
bool moneyAlone(const std::string& key) {
  for (const char* start : {"bench.", "scrap.", "once.", "pieces_per_set", "rates."})
    if (key.starts_with(start)) return true;
  return key.starts_with("hands.") && key != "hands.roughing_derate";
}

std::vector<ShopValue> shopValues(const shop::Shop& shop, const std::string& material) {
  std::vector<ShopValue> all;
  for (const shop::Setting& s : shop::settings())
    all.push_back({s.key, s.unit, s.low, s.high, s.get(shop),
                   [set = s.set](shop::Shop& to, double v) {
                     set(to, v);
                     shop::refreshPlates(to);
                   },
                   !moneyAlone(s.key), false});
  for (const motion::MachineValue& m : motion::machineValues())
    all.push_back({std::string("machine.") + m.key, m.unit, m.low, m.high, m.get(shop.machine),
                   [set = m.set](shop::Shop& to, double v) { set(to.machine, v); }, true, false});
  const auto plates = shop.plates.find(material);
  if (plates != shop.plates.end())
    all.push_back({"plate.price_per_kg", "per kg", 0, kMostPricePerKg, plates->second.pricePerKg,
                   [material](shop::Shop& to, double v) { to.plates.at(material).pricePerKg = v; },
                   plates->second.pricePerKg <= 0, plates->second.pricePerKg > 0});
  return all;
}

std::string valuesText(const std::vector<double>& values) {
  return values.size() == 1 ? fmt::format("{:g}", values.front())
                            : fmt::format("{:g} to {:g}", *std::min_element(values.begin(), values.end()),
                                          *std::max_element(values.begin(), values.end()));
}

std::optional<detail::Dimension> dimensionOf(const std::string& word) {
  using detail::Dimension;
  for (const Dimension d : {Dimension::Height, Dimension::Depth, Dimension::Thickness, Dimension::Radius,
                            Dimension::Diameter, Dimension::Width, Dimension::Length})
    if (word == detail::word(d)) return d;
  if (word == "corner_radius") return Dimension::Radius;
  return std::nullopt;
}

std::string rangeText(const detail::Changeable& c) {
  constexpr double kEndless_mm = 1e6;
  return toMm(c.most) < kEndless_mm ? fmt::format("{:.2f} to {:.2f} mm", toMm(c.least), toMm(c.most))
                                    : fmt::format("{:.2f} mm and more", toMm(c.least));
}

std::string possibleOn(const detail::Standing& part, int index) {
  std::string text;
  for (const detail::Changeable& c : detail::changeable(part, index))
    text += fmt::format("{}{} ({:.2f} now, {} possible)", text.empty() ? "" : ", ", detail::word(c.dimension),
                        toMm(c.now), rangeText(c));
  return text;
}

std::vector<std::string> namesOn(const detail::Standing& part) {
  std::vector<std::string> names;
  for (std::size_t k = 0; k < part.details->list.size(); ++k)
    for (const detail::Changeable& c : detail::changeable(part, static_cast<int>(k)))
      names.push_back(part.details->list[k].name + "." + detail::word(c.dimension));
  return names;
}

/// The detail of this name, or the one that the file calls so; -1 for none. Broken edges carry the name of what they
/// belong to and do not count.
int indexOf(const detail::Details& details, const std::string& name) {
  for (std::size_t k = 0; k < details.list.size(); ++k)
    if (details.list[k].name == name) return static_cast<int>(k);
  for (std::size_t k = 0; k < details.list.size(); ++k) {
    const detail::Detail& d = details.list[k];
    const bool edge = d.kind == detail::DetailKind::Chamfer || d.kind == detail::DetailKind::Round;
    if (!edge && d.called == name) return static_cast<int>(k);
  }
  return -1;
}

tl::unexpected<Fault> unknown(const std::string& key, const detail::Standing& part) {
  std::vector<std::string> names = namesOn(part);
  names.emplace_back("batch");
  return fault(FaultCode::Usage, "--set " + key, fmt::format("\"{}\" is nothing that can be varied on this part.", key),
               fmt::format("Nearest: {}. Possible: {}, and shop.NAME for every value that chipledger shop lists.",
                           nearestOf(key, names), fmt::join(names, ", ")));
}

Result<Target> batchTarget(const Axis& axis) {
  Target target;
  target.kind = Target::Kind::Batch;
  target.axis = {axis.key, "", axis.values, false, 0};
  for (const double v : axis.values)
    if (v != std::floor(v) || v < 1 || v > kLargestBatch)
      return fault(FaultCode::Usage, "--set batch", fmt::format("{:g} is no batch size.", v),
                   fmt::format("Give whole numbers from 1 to {}.", kLargestBatch));
  return target;
}

Result<Target> shopTarget(const Axis& axis, const shop::Shop& shop, const std::string& material) {
  std::string key = axis.key.substr(std::string("shop.").size());
  // The hour of the machine is what is asked for most.
  if (key == "machine.rate") key = "rates.machine_per_hour";
  std::vector<std::string> names;
  for (const ShopValue& value : shopValues(shop, material)) {
    names.push_back("shop." + value.key);
    if (value.key != key) continue;
    for (const double v : axis.values)
      if (!(v >= value.low && v <= value.high))
        return fault(FaultCode::Usage, "--set " + axis.key, fmt::format("{:g} cannot be.", v),
                     fmt::format("Possible: {:g} to {:g} {}; {:g} now.", value.low, value.high, value.unit, value.now));
    Target target;
    target.kind = Target::Kind::Shop;
    target.set = value.set;
    target.priceOfPlate = value.priceOfPlate;
    target.weighsInPlan = !value.planned && weighs(value.key);
    target.axis = {axis.key, value.unit, axis.values, value.planned, value.now};
    return target;
  }
  return fault(FaultCode::Usage, "--set " + axis.key, "The shop has no value of this name.",
               fmt::format("Nearest: {}. All of them: chipledger shop.", nearestOf("shop." + key, names)));
}

}  // namespace

Result<Target> targetOf(const Axis& axis, const detail::Standing& part, const shop::Shop& shop,
                        const std::string& material) {
  if (axis.key == "batch") return batchTarget(axis);
  if (axis.key.starts_with("shop.")) return shopTarget(axis, shop, material);
  const std::size_t dot = axis.key.rfind('.');
  if (dot == std::string::npos) return unknown(axis.key, part);
  const std::string name = axis.key.substr(0, dot), word = axis.key.substr(dot + 1);
  const int index = indexOf(*part.details, name);
  if (index >= 0) {
    const auto dimension = dimensionOf(word);
    const std::vector<detail::Changeable> all = detail::changeable(part, index);
    const auto found = std::find_if(
        all.begin(), all.end(), [&](const detail::Changeable& c) { return dimension && c.dimension == *dimension; });
    if (found == all.end()) {
      const std::string possible = possibleOn(part, index);
      return fault(FaultCode::Usage, "--set " + axis.key, fmt::format("The {} of {} cannot be varied.", word, name),
                   possible.empty() ? fmt::format("Nothing of {} can be varied without drawing it again.", name)
                                    : fmt::format("On {}: {}.", name, possible));
    }
    const bool none = std::none_of(axis.values.begin(), axis.values.end(),
                                   [&](double v) { return v >= toMm(found->least) && v <= toMm(found->most); });
    if (none) {
      const bool low = axis.values.front() < toMm(found->least);
      return fault(FaultCode::Usage, "--set " + axis.key,
                   fmt::format("{} cannot be: {}", valuesText(axis.values), low ? found->below : found->above),
                   fmt::format("Possible: {}; {:.2f} now.", rangeText(*found), toMm(found->now)));
    }
    Target target;
    target.kind = Target::Kind::Detail;
    target.detail = index;
    target.dimension = *dimension;
    target.axis = {axis.key, "mm", axis.values, true, toMm(found->now)};
    return target;
  }
  return unknown(axis.key, part);
}

}  // namespace chipledger::vary
