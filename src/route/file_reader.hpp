#pragma once
// Parts and steps of one product file, the file itself or a kit in it, with paths taken from its folder.
#include "route/fields.hpp"

#include <chipledger/route/yield.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace chipledger::route {

namespace fs = std::filesystem;

inline constexpr int kMostPieces = 100000, kMostSets = 1000000;
inline constexpr double kMostHours = 10000, kMostMinutes = 100000;

/// One file of the product: the file itself or a kit. Parts and steps are read; the head only of the first.
class FileReader {
public:
  FileReader(Product& product, Mistake& mistake, const std::string& path, int times)
      : product_(product), mistake_(mistake), folder_(fs::path(path).parent_path()), times_(times) {}

  struct Kit {
    std::string file;
    int quantity{1};
    Place place;
  };

  std::vector<Kit> parts(const toml::table& root) {
    eachTable(root, "milled", mistake_, [&](const toml::table& t) { milled(t); });
    eachTable(root, "bought", mistake_, [&](const toml::table& t) { bought(t); });
    eachTable(root, "sent_out", mistake_, [&](const toml::table& t) { sentOut(t); });
    eachTable(root, "step", mistake_, [&](const toml::table& t) { step(t); });
    std::vector<Kit> kits;
    eachTable(root, "kit", mistake_, [&](const toml::table& t) {
      Fields f(t, "a kit", mistake_);
      Kit kit;
      kit.place = f.place();
      if (f.needed("file")) f.words("file", kit.file);
      f.whole("quantity", 1, kMostPieces, kit.quantity);
      f.finish();
      kit.file = pathOf(kit.file);
      kits.push_back(std::move(kit));
    });
    return kits;
  }

  std::string pathOf(const std::string& name) const {
    if (name.empty() || fs::path(name).is_absolute()) return name;
    return (folder_ / name).lexically_normal().string();
  }

  /// The path; complains when no such file is there, with the STEP file whose name is nearest.
  std::string stepPath(const toml::node* at, const std::string& name) {
    const std::string path = pathOf(name);
    if (at == nullptr || name.empty()) return path;
    std::error_code ignored;
    if (fs::is_regular_file(path, ignored)) return path;
    std::vector<std::string> there;
    for (const auto& entry :
         fs::directory_iterator(fs::path(path).parent_path().empty() ? "." : fs::path(path).parent_path(), ignored)) {
      const std::string ending = entry.path().extension().string();
      if (ending == ".step" || ending == ".stp" || ending == ".STEP" || ending == ".STP")
        there.push_back(entry.path().filename().string());
    }
    std::sort(there.begin(), there.end());
    const std::string near = nearTo(fs::path(name).filename().string(), there);
    mistake_.say(*at, fmt::format("The STEP file \"{}\" is not there.", name),
                 near.empty()
                     ? "Correct the path: it is taken from the folder of the product file."
                     : fmt::format("Did you mean \"{}\"? Paths are taken from the folder of the product file.", near));
    return path;
  }

private:
  void milled(const toml::table& t) {
    Fields f(t, "a milled part", mistake_);
    MilledPart part;
    part.place = f.place();
    if (f.needed("name")) f.words("name", part.name);
    if (f.needed("step")) f.words("step", part.step);
    part.step = stepPath(t.get("step"), part.step);
    f.words("body", part.body);
    f.words("material", part.material);
    f.words("answers", part.answers);
    part.answers = pathOf(part.answers);
    f.whole("quantity", 1, kMostPieces, part.quantity);
    f.flag("mirror_mate", part.mirrorMate);
    f.whole("own_batch", 1, kMostSets, part.ownBatch);
    f.wordList("only", part.only);
    f.finish();
    part.quantity *= times_;
    product_.milled.push_back(std::move(part));
  }

  void bought(const toml::table& t) {
    Fields f(t, "a bought part", mistake_);
    BoughtPart part;
    part.place = f.place();
    if (f.needed("name")) f.words("name", part.name);
    if (f.needed("price")) f.amount("price", part.each);
    f.number("quantity", 0, kMostPieces, part.quantity);
    f.whole("minimum_order", 1, kMostPieces, part.minimumOrder);
    breaks(f.node("breaks"), part.breaks);
    f.words("at", part.at);
    f.wordList("only", part.only);
    f.finish();
    part.quantity *= times_;
    product_.bought.push_back(std::move(part));
  }

  void breaks(const toml::node* node, std::vector<PriceBreak>& into) {
    if (node == nullptr) return;
    const auto wrong = [&](const toml::node& at) {
      mistake_.say(at, "\"breaks\" is a list of pairs: pieces ordered, price of each; both rising in pieces.",
                   "Write breaks = [[25, 41.0], [100, 37.0]].");
    };
    const toml::array* list = node->as_array();
    if (list == nullptr) return wrong(*node);
    for (const toml::node& item : *list) {
      const toml::array* pair = item.as_array();
      if (pair == nullptr || pair->size() != 2 || !pair->get(0)->is_integer() || !pair->get(1)->is_number())
        return wrong(item);
      const auto from = *pair->get(0)->value<std::int64_t>();
      const double price = *pair->get(1)->value<double>();
      const bool rising = into.empty() || from > into.back().from;
      if (from < 1 || from > kMostPieces || !rising || !(price >= 0.0 && price <= 1e9)) return wrong(item);
      into.push_back({static_cast<int>(from), money(price)});
    }
  }

  void sentOut(const toml::table& t) {
    Fields f(t, "work sent out", mistake_);
    SentOut work;
    work.place = f.place();
    if (f.needed("name")) f.words("name", work.name);
    if (f.needed("price")) f.amount("price", work.each);
    f.number("quantity", 0, kMostPieces, work.quantity);
    f.amount("minimum_charge", work.minimumCharge);
    f.range("days", 0, 1000, work.daysLow, work.daysHigh);
    f.words("at", work.at);
    f.wordList("only", work.only);
    f.finish();
    work.quantity *= times_;
    product_.sentOut.push_back(std::move(work));
  }

  void step(const toml::table& t) {
    Fields f(t, "a step", mistake_);
    ProductStep s;
    s.place = f.place();
    if (f.needed("name")) f.words("name", s.name);
    std::vector<std::pair<std::string, Who>> everyone;
    for (Who who : kEveryone) everyone.emplace_back(word(who), who);
    f.oneOf("who", everyone, s.who);
    s.perDesign_h = f.number("per_design_h", 0, kMostHours);
    s.perBatch_min = f.number("per_batch_min", 0, kMostMinutes);
    s.perSet_min = f.number("per_set_min", 0, kMostMinutes);
    s.costPerDesign = f.amount("cost_per_design");
    s.costPerBatch = f.amount("cost_per_batch");
    s.costPerSet = f.amount("cost_per_set");
    s.learning = f.number("learning", 0.5, 1.0);
    s.yield = f.number("good_share", kLeastYield, 1.0);
    f.flag("bears_overhead", s.bearsOverhead);
    f.wordList("only", s.only);
    f.finish();
    if (times_ > 1 && s.perSet_min) *s.perSet_min *= times_;
    product_.steps.push_back(std::move(s));
  }

  Product& product_;
  Mistake& mistake_;
  fs::path folder_;
  int times_;
};

}  // namespace chipledger::route
