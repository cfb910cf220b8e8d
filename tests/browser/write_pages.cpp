// Writes the pages that the browser looks at, made from hand-made results: write_pages FOLDER.
#include "support/sample_estimate.hpp"

#include <chipledger/report/json.hpp>
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
  const bool done = write(folder + "owner.html", report::sheetHtml(e, body, options)) &&
                    write(folder + "owner.json", report::estimateJson(e, part)) &&
                    write(folder + "machinist.html", report::sheetHtml(e, body, machinist)) &&
                    write(folder + "client.html", report::sheetHtml(e, body, client)) &&
                    write(folder + "hostile.html", report::sheetHtml(hostileEstimate(), body, options));
  return done ? 0 : 1;
}
