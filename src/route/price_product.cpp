#include <chipledger/parallel/parallel.hpp>
#include <chipledger/route/price_product.hpp>

#include "route/answers.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace chipledger::route {
namespace {

/// What the estimate of a milled part depends on.
struct MilledKey {
  std::string step, body, material, answers;
  int quantity{}, ownBatch{};
  bool mirrorMate{};
  bool operator==(const MilledKey&) const = default;
};

bool belongs(const std::vector<std::string>& only, const Variant* variant) {
  if (only.empty()) return true;
  return variant != nullptr && std::find(only.begin(), only.end(), variant->name) != only.end();
}

class Pricer {
public:
  Pricer(const Product& product, const std::vector<Route>& routes, const shop::Shop& shop, const RouteOptions& options)
      : product_(product), routes_(routes), shop_(shop), options_(options) {}

  Result<ProductResult> run() {
    if (!product_.currency.empty() && product_.currency != shop_.currency)
      return fault(FaultCode::BadFile, text(product_.currencyPlace),
                   fmt::format("The product counts in {}, the shop in {}.", product_.currency, shop_.currency),
                   "Give both in one currency; chipledger does not change money.");
    const auto chosen = variants();
    if (!chosen) return tl::make_unexpected(chosen.error());
    head();
    for (const Variant* variant : *chosen) {
      auto priced = price(variant);
      if (!priced) return tl::make_unexpected(priced.error());
      out_.variants.push_back(std::move(*priced));
    }
    againstFirst(out_);
    out_.assumptions = assumptionsOf(product_, routes_, shop_);
    return std::move(out_);
  }

private:
  Result<std::vector<const Variant*>> variants() const {
    std::vector<const Variant*> chosen;
    std::vector<std::string> names;
    for (const Variant& v : product_.variants) {
      names.push_back(v.name);
      if (options_.variant.empty() || options_.variant == v.name) chosen.push_back(&v);
    }
    if (!options_.variant.empty() && chosen.empty())
      return fault(
          FaultCode::Usage, "--variant " + options_.variant, "The product has no variant of this name.",
          names.empty() ? "It has none: leave the option out." : fmt::format("It has: {}.", fmt::join(names, ", ")));
    if (chosen.empty()) chosen.push_back(nullptr);
    return chosen;
  }

  void head() {
    out_.name = product_.name;
    out_.file = product_.file;
    out_.shop = shop_.name;
    out_.currency = shop_.currency;
    out_.decimals = shop_.decimals;
    out_.terms = product_.terms;
    out_.overhead = product_.overhead.value_or(shop_.rates.overhead);
    batches_ = !options_.batches.empty()   ? options_.batches
               : !product_.batches.empty() ? product_.batches
                                           : shop_.batches;
    std::optional<int> wanted = options_.sets ? options_.sets : product_.sets;
    if (!wanted) {
      // The middle of what was asked, nearest to a usual batch.
      constexpr int kUsual = 50;
      wanted = *std::min_element(batches_.begin(), batches_.end(),
                                 [](int a, int b) { return std::abs(a - kUsual) < std::abs(b - kUsual); });
    }
    out_.sets = *wanted;
    batches_.push_back(*wanted);
    std::sort(batches_.begin(), batches_.end());
    batches_.erase(std::unique(batches_.begin(), batches_.end()), batches_.end());
    if (product_.terms.list == Money{})
      out_.notes.push_back(
          {NoteSeverity::Doubt, "no-list-price", "No list price is given: nothing is sold for anything.", ""});
    if (product_.history.setsMade > 0)
      out_.notes.push_back(
          {NoteSeverity::Info, "practice",
           fmt::format("{} sets were made before; practice is worth {:.0f} of them after {:g} months.",
                       product_.history.setsMade, practiceLeft(product_.history.setsMade, product_.history.monthsSince),
                       product_.history.monthsSince),
           ""});
  }

  Result<VariantResult> price(const Variant* variant) {
    VariantResult v;
    if (variant != nullptr) v.name = variant->name;
    v.asInFile = variant == nullptr || variant->steps.empty();
    for (const MilledPart& listed : product_.milled) {
      if (!belongs(listed.only, variant)) continue;
      MilledPart part = listed;
      if (variant != nullptr)
        for (const auto& [name, step] : variant->steps)
          if (name == part.name) part.step = step;
      auto piece = milled(part);
      if (!piece) return tl::make_unexpected(piece.error());
      v.milled.push_back(std::move(*piece));
    }
    for (const MilledPiece& m : v.milled)
      for (const Note& note : m.notes)
        if (note.severity != NoteSeverity::Info) {
          Note tagged = note;
          tagged.about = note.about.empty() ? m.name : m.name + ", " + note.about;
          v.notes.push_back(std::move(tagged));
        }
    std::vector<Reckoner> reckoners;
    for (const Route& route : routes_) {
      auto inputs = gather(product_, variant, route, v.milled, shop_);
      if (!inputs) return tl::make_unexpected(inputs.error());
      reckoners.emplace_back(std::move(*inputs));
    }
    answer(v, reckoners, {product_, shop_, options_, batches_, out_.sets});
    return v;
  }

  Result<MilledPiece> milled(const MilledPart& part) {
    const MilledKey key{part.step,     part.body,     part.material,  part.answers,
                        part.quantity, part.ownBatch, part.mirrorMate};
    for (const auto& [known, piece] : known_)
      if (known == key) {
        MilledPiece same = piece;
        same.name = part.name;
        return same;
      }
    if (options_.progress) options_.progress("pricing " + part.step, 0, 0);
    auto read = options_.read(part.step);
    if (!read) return tl::make_unexpected(read.error());
    std::vector<const part::Body*> bodies;
    std::vector<std::string> names;
    for (const part::Body& b : read->bodies) {
      names.push_back("\"" + b.name + "\"");
      if (part.body.empty() || b.name == part.body) bodies.push_back(&b);
    }
    const std::string has = fmt::format("It has: {}.", fmt::join(names, ", "));
    if (bodies.empty())
      return fault(FaultCode::BadFile, text(part.place), fmt::format("{} has no body \"{}\".", part.step, part.body),
                   has);
    if (bodies.size() > 1)
      return fault(FaultCode::BadFile, text(part.place), fmt::format("{} holds more than one body.", part.step),
                   "Say which with body = \"...\". " + has);
    const part::Body* body = bodies.front();
    shop::Shop shop = shop_;
    shop.piecesPerSet = part.pieces();
    // The mate is one more program, however many pieces of each there are.
    const double more = part.mirrorMate ? shop_.once.mateFactor - 1.0 : 0.0;
    shop.once.mateFactor = 1.0 + (part.pieces() > 1 ? more / (part.pieces() - 1) : 0.0);
    shop.rates.overhead = 0.0;  // the route's own, on everything
    estimate::Options asked;
    asked.material = part.material.empty() ? shop.material : part.material;
    asked.batches = {part.ownBatch > 0 ? part.ownBatch : out_.sets};
    asked.cell_um = options_.cell_um;
    asked.mostCells = options_.mostCells;
    asked.priceDetails = options_.advice;
    if (!part.answers.empty()) asked.answersFile = part.answers;
    if (options_.progress)
      asked.progress = [&](const std::string& step, int done, int of) {
        options_.progress(part.name + ": " + step, done, of);
      };
    const auto estimate = estimate::estimateBody(*read, *body, shop, asked);
    if (!estimate) {
      Fault f = estimate.error();
      f.where = fmt::format("{} ({}): {}", text(part.place), part.step, f.where);
      return tl::make_unexpected(f);
    }
    for (const std::string& caution : estimate->cautions)
      if (std::find(out_.cautions.begin(), out_.cautions.end(), caution) == out_.cautions.end())
        out_.cautions.push_back(caution);
    known_.emplace_back(key, takeApart(*estimate, part, shop));
    return known_.back().second;
  }

  const Product& product_;
  const std::vector<Route>& routes_;
  const shop::Shop& shop_;
  const RouteOptions& options_;
  std::vector<int> batches_;
  std::vector<std::pair<MilledKey, MilledPiece>> known_;
  ProductResult out_;
};

}  // namespace

Result<ProductResult> priceProduct(const Product& product, const std::vector<Route>& routes, const shop::Shop& shop,
                                   const RouteOptions& options) {
  return Pricer(product, routes, shop, options).run();
}

}  // namespace chipledger::route
