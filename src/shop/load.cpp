#include <chipledger/motion/calibration.hpp>
#include <chipledger/result/nearest.hpp>
#include <chipledger/shop/load.hpp>
#include <chipledger/shop/machine_hour.hpp>

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <cctype>
#include <fstream>
#include <sstream>

namespace chipledger::shop {
namespace {

/// Seconds the machine took over the calibration path, cut in air (chipledger shop --air-cut).
const char* const kAirCutKey = "air_cut_s";

/// Inputs of the machine-hour rate: key, place, whether it must be above zero.
struct HourInput {
  const char* key;
  double MachineHour::*field;
  bool positive;
};
const HourInput kHourInputs[] = {
    {"price", &MachineHour::price, true},
    {"resale", &MachineHour::resale, false},
    {"years", &MachineHour::years, true},
    {"interest_share", &MachineHour::interest, false},
    {"service_per_year", &MachineHour::service, false},
    {"power_per_year", &MachineHour::power, false},
    {"floor_per_year", &MachineHour::floor, false},
    {"insurance_per_year", &MachineHour::insurance, false},
    {"productive_hours_per_year", &MachineHour::productiveHours, true},
    {"general_share_per_hour", &MachineHour::generalSharePerHour, false},
};

class Loader {
public:
  Loader(const std::string& text, std::string file) : text_(text), file_(std::move(file)) {}

  Result<Shop> load() {
    toml::table root;
    try {
      root = toml::parse(text_, file_);
    } catch (const toml::parse_error& e) {
      return fault(FaultCode::BadFile, place(e.source()), fmt::format("This is not TOML: {}.", e.description()),
                   "Mend the line; chipledger shop --starter prints a sound file.");
    }
    shop_ = builtInShop();
    shop_.file = file_;
    shop_.name = file_;
    for (const auto& [key, node] : root) {
      if (error_) break;
      section(std::string(key.str()), node);
    }
    if (error_) return tl::make_unexpected(*error_);
    auto tables = cutting::overlayTables(shop_.tables, text_, file_);
    if (!tables) return tl::make_unexpected(tables.error());
    shop_.tables = std::move(*tables);
    refreshPlates(shop_);
    auto machine = motion::checked(shop_.machine);
    if (!machine) {
      Fault f = machine.error();
      f.code = FaultCode::BadFile;
      f.where = file_ + ": " + f.where;
      return tl::make_unexpected(f);
    }
    if (!cutting::findMaterial(shop_.tables, shop_.material))
      return tl::make_unexpected(cutting::findMaterial(shop_.tables, shop_.material).error());
    return std::move(shop_);
  }

private:
  std::string place(const toml::source_region& at) const { return fmt::format("{}:{}", file_, at.begin.line); }

  void fail(const toml::node& at, std::string what, std::string next) {
    if (!error_) error_ = Fault{FaultCode::BadFile, place(at.source()), std::move(what), std::move(next)};
  }

  void unknown(const toml::node& at, const std::string& key, const std::vector<std::string>& known) {
    fail(at, fmt::format("\"{}\" is not a setting of the shop.", key),
         fmt::format("Did you mean \"{}\"? chipledger shop --starter lists all.", nearestOf(key, known)));
  }

  static std::vector<std::string> keysOf(const std::string& section) {
    std::vector<std::string> keys;
    for (const Setting& s : settings())
      if (s.key.rfind(section + ".", 0) == 0) keys.push_back(s.key.substr(section.size() + 1));
    return keys;
  }

  static std::vector<std::string> sectionNames() {
    std::vector<std::string> names{"name",     "currency",     "decimals",       "default_material",
                                   "batches",  "rates",        "pieces_per_set", "hands",
                                   "bench",    "scrap",        "once",           "boss",
                                   "practice", "blank",        "week",           "sheet",
                                   "machine",  "machine_hour", "colours"};
    for (const std::string& s : cutting::ownedSections()) names.push_back(s);
    return names;
  }

  void section(const std::string& name, const toml::node& node) {
    const auto& owned = cutting::ownedSections();
    if (std::find(owned.begin(), owned.end(), name) != owned.end()) return;
    if (name == "name") return text(node, name, shop_.name);
    if (name == "currency") return text(node, name, shop_.currency);
    if (name == "default_material") return text(node, name, shop_.material);
    if (name == "decimals") return decimals(node);
    if (name == "batches") return batches(node);
    if (name == "pieces_per_set") return number(node, name, "", *findSetting("pieces_per_set"));
    if (name == "machine") return machine(node);
    if (name == "machine_hour") return machineHour(node);
    if (name == "colours") return colours(node);
    const std::vector<std::string> known = keysOf(name);
    if (known.empty()) return unknown(node, name, sectionNames());
    const toml::table* table = node.as_table();
    if (table == nullptr)
      return fail(node, fmt::format("\"{}\" is a section.", name), fmt::format("Write [{}] on its own line.", name));
    for (const auto& [key, value] : *table) {
      const std::string word(key.str());
      const Setting* setting = findSetting(name + "." + word);
      if (setting == nullptr) return wrongKey(value, word, known);
      number(value, word, name, *setting);
    }
  }

  // The right name with another unit at its end is a wrong unit, not a wrong name.
  void wrongKey(const toml::node& at, const std::string& word, const std::vector<std::string>& known) {
    for (const std::string& k : known) {
      const std::size_t a = word.rfind('_'), b = k.rfind('_');
      if (a != std::string::npos && b != std::string::npos && word.substr(0, a) == k.substr(0, b))
        return fail(at, fmt::format("\"{}\" has another unit than \"{}\".", word, k),
                    fmt::format("Give the value in the unit of \"{}\".", k));
    }
    unknown(at, word, known);
  }

  void number(const toml::node& node, const std::string& key, const std::string&, const Setting& setting) {
    if (!node.is_number())
      return fail(node, fmt::format("\"{}\" must be a number ({}).", key, setting.unit), "Write it without quotes.");
    const double value = *node.value<double>();
    if (!(value >= setting.low && value <= setting.high))
      return fail(node,
                  fmt::format("{} = {:g} cannot be: it lies from {:g} to {:g} {}.", key, value, setting.low,
                              setting.high, setting.unit),
                  "Correct the value or its unit.");
    setting.set(shop_, value);
    shop_.origin[setting.key] = {setting.key, value, setting.unit, From::Entered, place(node.source())};
  }

  void text(const toml::node& node, const std::string& key, std::string& into) {
    const auto value = node.value<std::string>();
    if (!node.is_string() || value->empty())
      return fail(node, fmt::format("\"{}\" must be a text.", key), "Put it in quotes.");
    into = *value;
  }

  void decimals(const toml::node& node) {
    const auto value = node.value<std::int64_t>();
    if (!node.is_integer() || *value < 0 || *value > 4)
      return fail(node, "\"decimals\" must be a whole number from 0 to 4.", "Most currencies have 2.");
    shop_.decimals = static_cast<int>(*value);
  }

  void batches(const toml::node& node) {
    const toml::array* list = node.as_array();
    if (list == nullptr || list->empty())
      return fail(node, "\"batches\" must be a list of batch sizes.", "Write batches = [10, 25, 50, 100].");
    std::vector<int> sizes;
    for (const toml::node& item : *list) {
      const auto value = item.value<std::int64_t>();
      if (!item.is_integer() || *value < 1 || *value > 1000000)
        return fail(item, "A batch size must be a whole number from 1.", "Write batches = [10, 25, 50, 100].");
      sizes.push_back(static_cast<int>(*value));
    }
    shop_.batches = sizes;
  }

  void machine(const toml::node& node) {
    const toml::table* table = node.as_table();
    if (table == nullptr) return fail(node, "\"machine\" is a section.", "Write [machine] on its own line.");
    std::vector<std::string> known{"kind", "name", kAirCutKey};
    for (const motion::MachineValue& v : motion::machineValues()) known.emplace_back(v.key);
    // The kind comes first whatever its place in the file: the other keys change it.
    if (const toml::node* kind = table->get("kind")) {
      std::vector<std::string> names;
      bool found = false;
      for (const motion::Machine& m : motion::genericMachines()) {
        names.push_back(m.name);
        if (kind->value<std::string>() == m.name) {
          shop_.machine = m;
          found = true;
        }
      }
      if (!found)
        return fail(*kind, "This kind of machine is not known.", fmt::format("Known: {}.", fmt::join(names, ", ")));
    }
    for (const auto& [key, value] : *table) {
      const std::string word(key.str());
      if (word == "kind" || word == kAirCutKey) continue;
      if (word == "name") {
        text(value, word, shop_.machine.name);
        continue;
      }
      const auto& values = motion::machineValues();
      const auto it =
          std::find_if(values.begin(), values.end(), [&](const motion::MachineValue& v) { return word == v.key; });
      if (it == values.end()) return wrongKey(value, word, known);
      if (!value.is_number())
        return fail(value, fmt::format("\"{}\" must be a number ({}).", word, it->unit), "Write it without quotes.");
      const double number = *value.value<double>();
      if (!(number >= it->low && number <= it->high))
        return fail(value,
                    fmt::format("{} = {:g} cannot be: it lies from {:g} to {:g} {}.", word, number, it->low, it->high,
                                it->unit),
                    "Correct the value or its unit.");
      it->set(shop_.machine, number);
      markEntered(it->key, number, it->unit, place(value.source()));
    }
    if (const toml::node* reading = table->get(kAirCutKey)) airCut(*reading);
  }

  // The stopwatch reading of the calibration path comes last: it corrects what the other keys say.
  void airCut(const toml::node& node) {
    if (!node.is_number())
      return fail(node, "The stopwatch reading must be a number of seconds.", "Write it without quotes.");
    auto corrected = motion::calibrated(shop_.machine, seconds(*node.value<double>()));
    if (!corrected) return fail(node, corrected.error().what, corrected.error().next);
    shop_.machine = std::move(*corrected);
  }

  void markEntered(const std::string& key, double value, const std::string& unit, const std::string& source) {
    const Assumption entered{key, value, unit, From::Entered, source};
    auto& sources = shop_.machine.sources;
    const auto it = std::find_if(sources.begin(), sources.end(), [&](const Assumption& a) { return a.name == key; });
    if (it == sources.end()) {
      sources.push_back(entered);
    } else {
      *it = entered;
    }
  }

  void machineHour(const toml::node& node) {
    const toml::table* table = node.as_table();
    if (table == nullptr) return fail(node, "\"machine_hour\" is a section.", "Write [machine_hour] on its own line.");
    MachineHour inputs;
    std::vector<std::string> known;
    for (const HourInput& input : kHourInputs) known.emplace_back(input.key);
    for (const auto& [key, value] : *table) {
      const std::string word(key.str());
      const auto it = std::find_if(std::begin(kHourInputs), std::end(kHourInputs),
                                   [&](const HourInput& i) { return word == i.key; });
      if (it == std::end(kHourInputs)) return wrongKey(value, word, known);
      if (!value.is_number())
        return fail(value, fmt::format("\"{}\" must be a number.", word), "Write it without quotes.");
      inputs.*(it->field) = *value.value<double>();
      if (inputs.*(it->field) < 0) return fail(value, fmt::format("\"{}\" is below zero.", word), "Correct the value.");
    }
    for (const HourInput& input : kHourInputs)
      if (input.positive && !(inputs.*(input.field) > 0))
        return fail(node, fmt::format("The machine hour needs \"{}\" above zero.", input.key), "Give all its values.");
    const Setting& rate = *findSetting("rates.machine_per_hour");
    rate.set(shop_, hourlyRate(inputs));
    shop_.origin[rate.key] = {rate.key, hourlyRate(inputs), rate.unit, From::Entered,
                              place(node.source()) + " (machine hour, worked out)"};
  }

  void colours(const toml::node& node) {
    const toml::table* table = node.as_table();
    if (table == nullptr) return fail(node, "\"colours\" is a section.", "Write [colours] on its own line.");
    static const std::vector<std::string> kMeanings{"tight", "thread", "cosmetic", "leave as rolled"};
    for (const auto& [key, value] : *table) {
      const std::string colour(key.str());
      const bool hex = colour.size() == 7 && colour[0] == '#' &&
                       std::all_of(colour.begin() + 1, colour.end(),
                                   [](char c) { return std::isxdigit(static_cast<unsigned char>(c)) != 0; });
      if (!hex) return fail(value, fmt::format("\"{}\" is not a colour.", colour), "Write it as \"#rrggbb\".");
      const auto meaning = value.value<std::string>();
      if (!meaning || std::find(kMeanings.begin(), kMeanings.end(), *meaning) == kMeanings.end())
        return fail(value, "A colour means one of four things.",
                    fmt::format("Choose: {}.", fmt::join(kMeanings, ", ")));
      shop_.colours[colour] = *meaning;
    }
  }

  const std::string& text_;
  std::string file_;
  Shop shop_;
  std::optional<Fault> error_;
};

}  // namespace

Result<Shop> loadShopText(const std::string& text, const std::string& fileName) {
  return Loader(text, fileName).load();
}

Result<Shop> loadShop(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  if (!file || !(text << file.rdbuf()) || file.bad())
    return fault(FaultCode::BadFile, path, "The shop file cannot be read.",
                 "Give a TOML file; chipledger shop --starter prints one.");
  return loadShopText(text.str(), path);
}

std::string starterFile() {
  const Shop shop = builtInShop();
  std::string out =
      "# A shop file for chipledger: every value at its built-in setting. Change what you know better and delete the\n"
      "# rest; what is not here stays built in. Built-in values are guesses until you enter your own.\n\n"
      "name = \"my shop\"\ncurrency = \"EUR\"\ndecimals = 2\n";
  out +=
      fmt::format("default_material = \"{}\"\nbatches = [{}]   # sets\n", shop.material, fmt::join(shop.batches, ", "));
  std::string open;
  for (const Setting& s : settings()) {
    const std::size_t dot = s.key.find('.');
    const std::string section = dot == std::string::npos ? "" : s.key.substr(0, dot);
    if (section != open) {
      out += fmt::format("\n[{}]\n", section);
      open = section;
    }
    out += fmt::format("{} = {}   # {}; {:g} to {:g}\n", dot == std::string::npos ? s.key : s.key.substr(dot + 1),
                       s.get(shop), s.unit, s.low, s.high);
  }
  out += fmt::format("\n[machine]\nkind = \"{}\"\n", shop.machine.name);
  for (const motion::MachineValue& v : motion::machineValues())
    out += fmt::format("{} = {}   # {}; {:g} to {:g}\n", v.key, v.get(shop.machine), v.unit, v.low, v.high);
  out +=
      "# air_cut_s = 50   # seconds for the path of chipledger shop --air-cut, by stopwatch: corrects jerk and corner "
      "factor\n";
  out += "\n[colours]   # what a face colour in the STEP file means\n";
  for (const auto& [colour, meaning] : shop.colours) out += fmt::format("\"{}\" = \"{}\"\n", colour, meaning);
  out +=
      "\n# The machine hour can be worked out instead of typed:\n"
      "# [machine_hour]\n# price = 95000\n# resale = 20000\n# years = 8\n# interest_share = 0.06\n"
      "# service_per_year = 4500\n# power_per_year = 2600\n# floor_per_year = 4800\n# insurance_per_year = 1200\n"
      "# productive_hours_per_year = 900\n# general_share_per_hour = 17\n"
      "\n# Cutters, plates, materials and tables: rows of the same name replace the built-in ones.\n"
      "# chipledger shop prints all of them with their sources.\n";
  return out;
}

}  // namespace chipledger::shop
