// Writes the pages that the browser looks at, made from hand-made results: write_pages FOLDER.
#include "support/sample_estimate.hpp"

#include <chipledger/report/json.hpp>
#include <chipledger/report/pages.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sheet_html.hpp>

#include <cstdio>
#include <fstream>
#include <string>

namespace {

using namespace chipledger;

bool write(const std::string& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
  return static_cast<bool>(file.flush());
}

/// Names as a hostile file may bring them.
const char* const kHostile[] = {"<script>window.hurt=1</script>",
                                "</script><script>window.hurt=2</script>",
                                "\"><img src=x onerror=\"window.hurt=3\">",
                                "' onmouseover='window.hurt=4",
                                "<!-- ]]> &amp; &#x3c;b&#x3e; `${window.hurt=5}`",
                                "\u202Egnp.trap \u2067evil\u2069 \u0627\u0644\u062C\u0632\u0621",
                                "bell\a escape\x1b[31m null-ish\x01 tab\t line\nend"};

estimate::Estimate hostileEstimate() {
  estimate::Estimate e = support::sampleEstimate();
  std::size_t at = 0;
  const auto next = [&] { return std::string(kHostile[at++ % std::size(kHostile)]); };
  e.file = next() + ".step";
  e.bodyName = std::string(10240, 'W');
  e.material = next();
  e.unit = next();
  for (detail::Detail& d : e.details.list) d.name = next();
  e.details.list[1].name = std::string(10240, 'n');
  for (detail::Question& q : e.details.questions) q.about = q.question = q.assumed = q.key = next();
  for (Note& n : e.notes) n.text = n.about = next();
  for (Assumption& a : e.assumptions) a.source = next();
  for (estimate::DetailPrice& p : e.detailPrices) p.why = next();
  return e;
}

/// A curve with a jump and a hole.
vary::Table sampleTable() {
  vary::Table table;
  table.file = "medlar-islands.step";
  table.currency = "EUR";
  table.axes = {{"island-1.height", "mm", {2.8, 3.0, 3.2, 3.4, 3.6, 3.8}, true, 3.2}};
  table.batches = {50};
  for (std::size_t i = 0; i < table.axes.front().values.size(); ++i) {
    vary::Row row;
    row.at = {table.axes.front().values[i]};
    row.batch = 50;
    row.plate = mm(i < 4 ? 6.35 : 8);
    row.perPiece = money(i < 4 ? 103.0 + 0.2 * static_cast<double>(i) : 112.4);
    row.low = row.perPiece - money(5);
    row.high = row.perPiece + money(14);
    if (i == 4) row.jumps = {{"island-1.height", "8.00 plate instead of 6.35"}};
    if (i == 5) row.hole = "The island would be higher than any plate.";
    table.rows.push_back(row);
  }
  return table;
}

/// One route at three batches, enough for every section of the page.
route::ProductResult sampleProduct() {
  route::ProductResult p;
  p.name = "Grafting folder";
  p.currency = "EUR";
  p.sets = 50;
  route::RouteResult r;
  r.name = "shop-built";
  r.list = money(690);
  for (const int sets : {10, 25, 50}) {
    route::BatchResult b;
    b.sets = sets;
    b.stack = route::stackUp({{"metal", route::Layer::Set, money(16.0 * sets), money(16), true, "2 plates"},
                              {"programming", route::Layer::Design, money(1800), {}, true, "45 h at 40"}},
                             0.18, sets);
    b.netPerSet = money(561);
    b.income = money(561.0 * sets);
    b.left = b.income - b.stack.cost;
    b.ownerHours = 24 + 0.25 * sets;
    b.perOwnerHour = route::perOwnerHour(b.left, b.ownerHours);
    b.hours[0] = b.ownerHours;
    b.capacity = route::capacityOf({{"owner", b.ownerHours, 18, 20}, {"bench", 1.4 * sets, 28, 30}}, {});
    r.batches.push_back(b);
    r.curve.push_back({sets, b.left, b.stack.perSet, b.ownerHours});
  }
  r.reference = 2;
  r.crossing.cash = 12;
  r.crossing.perHour = 21;
  route::VariantResult v;
  v.customPerHour = 78;
  v.customFrom = "his customs";
  v.routes = {r};
  p.variants = {v};
  return p;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    std::fprintf(stderr, "write_pages FOLDER\n");
    return 2;
  }
  const std::string folder = std::string(argv[1]) + "/";
  const part::Part part = support::samplePart();
  const part::Body& body = part.bodies.front();
  const estimate::Estimate e = support::sampleEstimate();
  report::SheetOptions options{"2024-05-17", "0.1.0", "a shop"};
  const auto maps = estimate::minutesMaps(e, motion::smallVerticalMill());
  if (maps) options.maps = *maps;
  report::SheetOptions machinist = options, client = options;
  machinist.reader = report::Reader::Machinist;
  client.reader = report::Reader::Client;
  std::vector<estimate::Estimate> both{e, e};
  both[1].blank.step = mm(8);
  for (estimate::BatchPrice& b : both[1].batches) {
    b.lines[0] += money(3);
    b.perPiece += money(3);
  }
  const auto compared = compare::compareVariants(both);
  if (!compared) return 1;
  const bool done = write(folder + "owner.html", report::sheetHtml(e, body, options)) &&
                    write(folder + "owner.json", report::estimateJson(e, part)) &&
                    write(folder + "machinist.html", report::sheetHtml(e, body, machinist)) &&
                    write(folder + "client.html", report::sheetHtml(e, body, client)) &&
                    write(folder + "detail.html", report::detailHtml(e, body, 1, options)) &&
                    write(folder + "compare.html", report::compareHtml(both, *compared, {&body, &body}, options)) &&
                    write(folder + "vary.html", report::varyHtml(sampleTable(), &e, options)) &&
                    write(folder + "route.html", report::routeHtml(sampleProduct(), options)) &&
                    write(folder + "hostile.html", report::sheetHtml(hostileEstimate(), body, options));
  return done ? 0 : 1;
}
