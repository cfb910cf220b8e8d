#include "route/built_in_routes.hpp"
#include "route/file_reader.hpp"

#include <chipledger/route/load.hpp>
#include <chipledger/route/yield.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

namespace chipledger::route {
namespace {

Result<toml::table> parsed(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  if (!file || fs::is_directory(path) || !(bytes << file.rdbuf()) || file.bad())
    return fault(FaultCode::BadFile, path, "The product file cannot be read.",
                 "Give a TOML file; chipledger route --starter prints one.");
  try {
    return toml::parse(bytes.str(), path);
  } catch (const toml::parse_error& e) {
    return fault(FaultCode::BadFile, fmt::format("{}:{}", path, e.source().begin.line),
                 fmt::format("This is not TOML: {}.", e.description()),
                 "Mend the line; chipledger route --starter prints a sound file.");
  }
}

class Loader {
public:
  explicit Loader(std::string path) : path_(std::move(path)), mistake_(path_) {}

  Result<ProductFile> load() {
    auto root = parsed(path_);
    if (!root) return tl::make_unexpected(root.error());
    out_.product.file = path_;
    head(*root);
    std::vector<Route> own = readRoutes(*root, mistake_);
    if (auto whole = file(path_, *root, 1, mistake_, {canonical(path_)}); !whole)
      return tl::make_unexpected(whole.error());
    if (mistake_.found()) return tl::make_unexpected(*mistake_.found());
    variants(*root);
    out_.routes = overlaid(std::move(own));
    check();
    if (mistake_.found()) return tl::make_unexpected(*mistake_.found());
    return std::move(out_);
  }

private:
  static std::string canonical(const std::string& path) {
    std::error_code ignored;
    const fs::path full = fs::weakly_canonical(path, ignored);
    return full.empty() ? path : full.string();
  }

  // Reads a file and the kits it holds; `inside` are the files that lead here.
  Result<int> file(const std::string& path, const toml::table& root, int times, Mistake& mistake,
                   const std::vector<std::string>& inside) {
    FileReader reader(out_.product, mistake, path, times);
    const auto kits = reader.parts(root);
    if (mistake.found()) return tl::make_unexpected(*mistake.found());
    for (const FileReader::Kit& kit : kits) {
      const std::string full = canonical(kit.file);
      if (std::find(inside.begin(), inside.end(), full) != inside.end())
        return fault(FaultCode::BadFile, text(kit.place),
                     fmt::format("The kit \"{}\" holds itself: {} is already being read on the way to it.", kit.file,
                                 fs::path(full).filename().string()),
                     "Take this kit out, or move what both need into a third file.");
      if (!read_.insert(full).second)
        return fault(FaultCode::BadFile, text(kit.place), fmt::format("The kit \"{}\" is used twice.", kit.file),
                     "Name it once with the whole quantity.");
      auto table = parsed(kit.file);
      if (!table) {
        Fault f = table.error();
        f.what = fmt::format("In the kit named in {}: {}", text(kit.place), f.what);
        return tl::make_unexpected(f);
      }
      Mistake inKit(kit.file);
      auto deeper = inside;
      deeper.push_back(full);
      if (auto done = file(kit.file, *table, times * kit.quantity, inKit, deeper); !done) return done;
    }
    return 0;
  }

  void head(const toml::table& root) {
    Product& p = out_.product;
    Fields f(root, "a product file", mistake_);
    if (f.needed("name")) f.words("name", p.name);
    f.words("shop", p.shopFile);
    if (!p.shopFile.empty()) p.shopFile = FileReader(p, mistake_, path_, 1).pathOf(p.shopFile);
    f.words("currency", p.currency);
    if (const toml::node* at = root.get("currency")) p.currencyPlace = mistake_.placeOf(*at);
    if (const toml::node* node = f.node("batches")) batches(*node, p.batches);
    p.sets = f.whole("sets", 1, kMostSets);
    p.overhead = f.number("overhead_share", 0, 5);
    if (const toml::table* t = sub(root, f, "sales")) sales(*t, p.terms);
    if (const toml::table* t = sub(root, f, "custom")) custom(*t, p.custom);
    if (const toml::table* t = sub(root, f, "history")) {
      Fields h(*t, "[history]", mistake_);
      h.whole("sets_made", 0, kMostSets, p.history.setsMade);
      h.number("months_since", 0, 1200, p.history.monthsSince);
      h.finish();
    }
    f.node("channel");
    std::vector<Channel> channels;
    eachTable(root, "channel", mistake_, [&](const toml::table& t) { channels.push_back(channel(t)); });
    if (!channels.empty()) {
      double whole = 0.0;
      for (const Channel& c : channels) whole += c.share;
      constexpr double kRounding = 1e-6;
      if (std::abs(whole - 1.0) > kRounding)
        mistake_.say(*root.get("channel"), fmt::format("The shares of the channels make {:g}, not 1.", whole),
                     "Correct them: every set is sold through one of them.");
      p.terms.channels = channels;
    }
    for (const char* list : {"milled", "bought", "sent_out", "step", "kit", "variant", "route"}) f.node(list);
    f.finish();
  }

  const toml::table* sub(const toml::table& root, Fields& f, const std::string& key) {
    const toml::node* node = f.node(key);
    if (node == nullptr) return nullptr;
    if (node->as_table() == nullptr)
      mistake_.say(*node, fmt::format("\"{}\" is a section.", key), fmt::format("Write [{}] on its own line.", key));
    (void)root;
    return node->as_table();
  }

  void batches(const toml::node& node, std::vector<int>& into) {
    const toml::array* list = node.as_array();
    if (list == nullptr || list->empty())
      return mistake_.say(node, "\"batches\" must be a list of batch sizes.", "Write batches = [10, 25, 50, 100].");
    for (const toml::node& item : *list) {
      const auto value = item.value<std::int64_t>();
      if (!item.is_integer() || *value < 1 || *value > kMostSets)
        return mistake_.say(item, "A batch size must be a whole number from 1.", "Write batches = [10, 25, 50, 100].");
      into.push_back(static_cast<int>(*value));
    }
  }

  void sales(const toml::table& t, Terms& terms) {
    Fields f(t, "[sales]", mistake_);
    if (f.needed("list_price")) f.amount("list_price", terms.list);
    f.number("fees_share", 0, 0.9, terms.fees);
    f.number("warranty_share", 0, 0.9, terms.warranty);
    f.number("sales_tax_share", 0, 1, terms.salesTax);
    f.number("wanted_margin_share", 0, 0.95, terms.wantedMargin);
    terms.targetList = f.amount("target_list_price");
    f.number("round_up_to", 0, 10000, terms.priceStep);
    f.finish();
  }

  void custom(const toml::table& t, CustomBench& bench) {
    Fields f(t, "[custom]", mistake_);
    bench.price = f.amount("price");
    bench.cost = f.amount("cost");
    f.amount("overhead", bench.overhead);
    bench.ownerHours = f.number("owner_h", 0.1, 10000);
    f.finish();
  }

  Channel channel(const toml::table& t) {
    Fields f(t, "a channel", mistake_);
    Channel c;
    if (f.needed("name")) f.words("name", c.name);
    f.number("share", 0, 1, c.share);
    f.number("discount_share", 0, 0.95, c.discount);
    f.finish();
    return c;
  }

  void variants(const toml::table& root) {
    eachTable(root, "variant", mistake_, [&](const toml::table& t) {
      Fields f(t, "a variant", mistake_);
      Variant v;
      v.place = f.place();
      if (f.needed("name")) f.words("name", v.name);
      const toml::node* node = f.node("steps");
      f.finish();
      for (const Variant& earlier : out_.product.variants)
        if (earlier.name == v.name)
          mistake_.say(t, fmt::format("There are two variants \"{}\".", v.name),
                       fmt::format("The first is in line {}: rename one.", earlier.place.line));
      if (node != nullptr && node->as_table() == nullptr)
        mistake_.say(*node, "\"steps\" says which STEP file each part has.",
                     "Write steps = { part = \"other.step\" }.");
      if (node != nullptr && node->as_table() != nullptr)
        for (const auto& [key, value] : *node->as_table()) {
          const std::string part(key.str());
          std::vector<std::string> names;
          for (const MilledPart& m : out_.product.milled) names.push_back(m.name);
          if (std::find(names.begin(), names.end(), part) == names.end())
            mistake_.say(value, fmt::format("There is no milled part \"{}\".", part),
                         fmt::format("Did you mean \"{}\"?", nearestOf(part, names)));
          if (!value.is_string()) {
            mistake_.say(value, "A STEP file is named by a text.", "Put it in quotes.");
            continue;
          }
          FileReader reader(out_.product, mistake_, path_, 1);
          v.steps.emplace_back(part, reader.stepPath(&value, *value.value<std::string>()));
        }
      out_.product.variants.push_back(std::move(v));
    });
  }

  static std::vector<Route> overlaid(std::vector<Route> own) {
    std::vector<Route> all = builtInRoutes();
    for (Route& route : own) {
      const auto same = std::find_if(all.begin(), all.end(), [&](const Route& r) { return r.name == route.name; });
      if (same != all.end()) {
        *same = std::move(route);
      } else {
        all.push_back(std::move(route));
      }
    }
    return all;
  }

  // What only the whole file shows.
  void check() {
    const Product& p = out_.product;
    std::map<std::string, Place> names;
    const auto once = [&](const std::string& name, const Place& place) {
      const auto [at, fresh] = names.emplace(name, place);
      if (!fresh)
        mistake_.say(
            place, fmt::format("The part \"{}\" is used twice.", name),
            fmt::format("The first is in {}: give one entry the whole quantity, or rename one.", text(at->second)));
    };
    for (const MilledPart& m : p.milled) once(m.name, m.place);
    for (const BoughtPart& b : p.bought) once(b.name, b.place);
    for (const SentOut& s : p.sentOut) once(s.name, s.place);
    for (std::size_t i = 0; i < p.milled.size(); ++i)
      for (std::size_t j = 0; j < i; ++j) sameFile(p.milled[j], p.milled[i]);
    std::map<std::string, Place> steps;
    for (const ProductStep& s : p.steps) {
      const auto [at, fresh] = steps.emplace(s.name, s.place);
      if (!fresh)
        mistake_.say(s.place, fmt::format("The step \"{}\" is there twice.", s.name),
                     fmt::format("The first is in {}: add the minutes up, or rename one.", text(at->second)));
    }
    for (const Route& route : out_.routes)
      for (const RouteStep& s : route.steps) steps.emplace(s.name, s.place);
    for (const BoughtPart& b : p.bought) stepNamed(b.at, b.place, steps);
    for (const SentOut& s : p.sentOut) stepNamed(s.at, s.place, steps);
    onlyNamed();
    if (p.milled.empty())
      mistake_.say(Place{path_, 1}, "The product has no milled part.", "Add [[milled]] with a name and a STEP file.");
  }

  void sameFile(const MilledPart& first, const MilledPart& second) {
    const bool apart = !first.only.empty() && !second.only.empty() &&
                       std::find_first_of(first.only.begin(), first.only.end(), second.only.begin(),
                                          second.only.end()) == first.only.end();
    if (apart || first.step != second.step || first.body != second.body || first.material != second.material) return;
    mistake_.say(
        second.place, fmt::format("\"{}\" and \"{}\" are milled from the same STEP file.", first.name, second.name),
        fmt::format("Keep the entry in {} and raise its quantity, or name the body of each.", text(first.place)));
  }

  void stepNamed(const std::string& at, const Place& place, const std::map<std::string, Place>& steps) {
    if (at.empty() || steps.count(at) > 0) return;
    std::vector<std::string> known;
    for (const auto& [name, ignored] : steps) known.push_back(name);
    mistake_.say(place, fmt::format("There is no step \"{}\".", at),
                 fmt::format("Did you mean \"{}\"?", nearestOf(at, known)));
  }

  void onlyNamed() {
    const Product& p = out_.product;
    std::vector<std::string> known;
    for (const Variant& v : p.variants) known.push_back(v.name);
    const auto look = [&](const std::vector<std::string>& only, const Place& place) {
      for (const std::string& name : only)
        if (std::find(known.begin(), known.end(), name) == known.end())
          mistake_.say(
              place, fmt::format("There is no variant \"{}\".", name),
              known.empty() ? "Add it as [[variant]]." : fmt::format("Did you mean \"{}\"?", nearestOf(name, known)));
    };
    for (const MilledPart& m : p.milled) look(m.only, m.place);
    for (const BoughtPart& b : p.bought) look(b.only, b.place);
    for (const SentOut& s : p.sentOut) look(s.only, s.place);
    for (const ProductStep& s : p.steps) look(s.only, s.place);
  }

  std::string path_;
  Mistake mistake_;
  ProductFile out_;
  std::set<std::string> read_;
};

}  // namespace

std::string starterProduct() { return starterProductText(); }

Result<ProductFile> loadProduct(const std::string& path) { return Loader(path).load(); }

}  // namespace chipledger::route
