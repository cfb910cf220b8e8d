#include <chipledger/draw/samples.hpp>

#include <chipledger/draw/blocks.hpp>
#include <chipledger/draw/read_chassis.hpp>

#include <Standard_Version.hxx>

#include <fmt/format.h>
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace chipledger::draw {
namespace {

namespace fs = std::filesystem;

constexpr const char* kTableHead =
    "# What the sample parts hold, written with them. volume and area: exact closed forms where source says so, else\n"
    "# measured on the solid. centre in plate coordinates.\n"
    "file\tdetail\tkind\tquantity\tvalue\tunit\tsource\n";

class Table {
public:
  void add(const Drawn& drawn, std::optional<Area> closedArea) {
    const std::string file = drawn.name + ".step";
    row(file, "body", "body", "volume", toMm3(drawn.closedForm.value_or(drawn.volume)), "mm3",
        drawn.closedForm ? "closed form" : "measured");
    row(file, "body", "body", "area", toMm2(closedArea.value_or(drawn.area)), "mm2",
        closedArea ? "closed form" : "measured");
    row(file, "body", "body", "faces", drawn.faces, "", "drawn");
    for (const DrawnDetail& d : drawn.details) {
      const auto say = [&](const char* quantity, const auto& value) {
        if (value) row(file, d.name, word(d.kind), quantity, toMm(*value), "mm", "drawn");
      };
      say("height", d.height);
      say("depth", d.depth);
      say("diameter", d.diameter);
      say("length", d.length);
      say("width", d.width);
      say("corner radius", d.cornerRadius);
      say("root radius", d.rootRadius);
      say("wide diameter", d.counterDiameter);
      say("wide depth", d.counterDepth);
      if (d.angle) row(file, d.name, word(d.kind), "angle", toDegrees(*d.angle), "deg", "drawn");
      row(file, d.name, word(d.kind), "centre x", d.centre_mm.x, "mm", "drawn");
      row(file, d.name, word(d.kind), "centre y", d.centre_mm.y, "mm", "drawn");
      row(file, d.name, word(d.kind), "centre z", d.centre_mm.z, "mm", "drawn");
    }
  }
  const std::string& text() const { return text_; }

private:
  // Ten digits: the closed forms hold them, and the last bits of a maths library do not show.
  void row(const std::string& file, const std::string& detail, const char* kind, const char* quantity, double value,
           const char* unit, const char* source) {
    text_ += fmt::format("{}\t{}\t{}\t{}\t{:.10g}\t{}\t{}\n", file, detail, kind, quantity, value, unit, source);
  }
  std::string text_{kTableHead};
};

bool isChassisFile(const fs::path& path) {
  if (path.extension() != ".toml") return false;
  std::ifstream in(path);
  std::string line;
  while (std::getline(in, line))
    if (line.rfind("[outline]", 0) == 0) return true;
  return false;
}

}  // namespace

std::string kernelVersion() { return OCC_VERSION_STRING_EXT; }

Result<std::vector<SampleFile>> makeSamples(const std::string& folder) {
  std::error_code gone;
  std::vector<fs::path> paths;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, gone))
    if (isChassisFile(entry.path())) paths.push_back(entry.path());
  if (gone)
    return fault(FaultCode::BadFile, folder, "The folder cannot be read.", "Name the folder with the chassis files.");
  std::sort(paths.begin(), paths.end());

  struct Made {
    Drawn drawn;
    std::optional<Area> closedArea;
  };
  std::vector<Made> made;
  auto blocks = sampleBlocks();
  if (!blocks) return tl::make_unexpected(blocks.error());
  for (Block& b : *blocks) made.push_back({std::move(b.drawn), b.closedFormArea});
  for (const fs::path& path : paths) {
    auto chassis = readChassis(path.string());
    if (!chassis) return tl::make_unexpected(chassis.error());
    if (chassis->name != path.stem().string())
      return fault(FaultCode::BadFile, path.string(), "The chassis has another name than its file.",
                   "Give both the same name.");
    auto drawn = drawChassis(*chassis);
    if (!drawn) return tl::make_unexpected(drawn.error());
    made.push_back({std::move(*drawn), std::nullopt});
  }
  std::sort(made.begin(), made.end(), [](const Made& a, const Made& b) { return a.drawn.name < b.drawn.name; });

  std::vector<SampleFile> files;
  Table table;
  for (const Made& m : made) {
    auto text = stepText(m.drawn);
    if (!text) return tl::make_unexpected(text.error());
    files.push_back({m.drawn.name + ".step", std::move(*text)});
    table.add(m.drawn, m.closedArea);
  }
  files.push_back({"features.tsv", table.text()});
  return files;
}

}  // namespace chipledger::draw
