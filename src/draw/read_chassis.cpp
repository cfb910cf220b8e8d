#include <chipledger/draw/read_chassis.hpp>

#include "chassis_keys.hpp"
#include "layout.hpp"

#include <algorithm>
#include <fstream>
#include <map>
#include <sstream>

namespace chipledger::draw {
namespace {

constexpr std::uintmax_t kLargestFile = 1 << 20;  ///< a chassis is a page of text

class ChassisReader {
public:
  ChassisReader(const toml::table& root, std::string name) : root_(root) { file_.name = std::move(name); }

  Result<Chassis> read() {
    ChassisKeys keys(file_, root_, "the file");
    chassis_.name = keys.neededText("name");
    chassis_.material = keys.text("material");
    chassis_.unit = file_.unit =
        keys.choice<FileUnit>("unit", {{"mm", FileUnit::Mm}, {"inch", FileUnit::Inch}}, FileUnit::Mm);
    chassis_.detailsMayTouch = keys.flag("details_may_touch");
    const bool mate = keys.flag("mirror_mate");
    let(keys);
    body(keys);
    outline(keys);
    for (const toml::table* t : keys.tables("island")) island(*t);
    for (const toml::table* t : keys.tables("pocket")) pocket(*t);
    for (const toml::table* t : keys.tables("window")) window(*t);
    for (const toml::table* t : keys.tables("slot")) slot(*t);
    for (const toml::table* t : keys.tables("bore")) bore(*t);
    keys.finish();
    if (file_.bad) return tl::make_unexpected(*file_.bad);
    if (mate) chassis_ = mirrorMate(chassis_);
    if (auto sound = layOut(chassis_, {}); !sound) return tl::make_unexpected(withLine(sound.error()));
    return chassis_;
  }

private:
  // Values may use those written above them: the order of lines, not of names.
  void let(ChassisKeys& keys) {
    const toml::table* table = keys.subTable("let");
    if (table == nullptr) return;
    std::vector<std::pair<std::string, const toml::node*>> rows;
    for (const auto& [key, node] : *table) rows.emplace_back(std::string(key.str()), &node);
    std::stable_sort(rows.begin(), rows.end(), [](const auto& a, const auto& b) {
      const auto pa = a.second->source().begin, pb = b.second->source().begin;
      return pa.line != pb.line ? pa.line < pb.line : pa.column < pb.column;
    });
    for (const auto& [key, node] : rows) {
      if (const std::string wrong = nameFault(key); !wrong.empty()) {
        file_.fail(*node, wrong + ".", "Use letters, digits and _, and no name of a function or constant.");
        return;
      }
      if (const auto v = keys.number(*node, key)) file_.let[key] = *v;
    }
  }

  void body(ChassisKeys& keys) {
    const toml::table* table = keys.subTable("body");
    if (table == nullptr) {
      keys.missing("[body]");
      return;
    }
    lines_["thickness"] = lines_["edge"] = lines_["outer_edge"] = lines_["body"] = table;
    ChassisKeys b(file_, *table, "[body]");
    chassis_.thickness = b.neededLength("thickness");
    chassis_.outerFaceHint = b.hint("outer_face");
    chassis_.backFaceHint = b.hint("back_face");
    chassis_.outerEdge = edge(b, "outer_chamfer", "outer_round");
    chassis_.backEdge = edge(b, "back_chamfer", "back_round");
    b.finish();
    if (const toml::table* crown = keys.subTable("crown")) {
      lines_["crown"] = crown;
      ChassisKeys c(file_, *crown, "[crown]");
      chassis_.crown = Crown{c.neededLength("across_radius"), c.length("along_radius")};
      c.finish();
    }
  }

  EdgeBreak edge(ChassisKeys& keys, const std::string& chamferKey, const std::string& roundKey) {
    const auto chamfer = keys.maybeLength(chamferKey), round = keys.maybeLength(roundKey);
    if (chamfer && round)
      file_.fail(keys.table(), fmt::format("[body] has both {} and {}.", chamferKey, roundKey),
                 "Leave one of the two.");
    if (chamfer) return {EdgeBreak::Kind::Chamfer, *chamfer};
    if (round) return {EdgeBreak::Kind::Round, *round};
    return {};
  }

  void outline(ChassisKeys& keys) {
    const toml::table* table = keys.subTable("outline");
    if (table == nullptr) {
      keys.missing("[outline]");
      return;
    }
    lines_["outline"] = table;
    ChassisKeys o(file_, *table, "[outline]");
    enum class Family { Rectangle, Obround, Handle, SplineHandle, Spline, Polyline };
    o.neededText("family");
    switch (o.choice<Family>("family",
                             {{"rectangle", Family::Rectangle},
                              {"obround", Family::Obround},
                              {"handle", Family::Handle},
                              {"spline handle", Family::SplineHandle},
                              {"spline", Family::Spline},
                              {"polyline", Family::Polyline}},
                             Family::Rectangle)) {
      case Family::Rectangle:
        chassis_.outline =
            RectangleOutline{o.neededLength("length"), o.neededLength("width"), o.length("corner_radius")};
        break;
      case Family::Obround:
        chassis_.outline = ObroundOutline{o.neededLength("length"), o.neededLength("width")};
        break;
      case Family::Handle:
        chassis_.outline =
            HandleOutline{o.neededLength("length"), o.neededLength("head"), o.neededLength("tail"), o.length("waist")};
        break;
      case Family::SplineHandle:
        chassis_.outline = SplineHandleOutline{o.neededLength("length"), o.neededLength("head"), o.neededLength("tail"),
                                               o.points("upper"), o.points("lower")};
        break;
      case Family::Spline:
        chassis_.outline = SplineOutline{o.points("through")};
        break;
      case Family::Polyline: {
        PolylineOutline polyline;
        for (const toml::table* t : o.tables("corner")) {
          ChassisKeys c(file_, *t, "an outline corner");
          polyline.corners.push_back({c.neededPoint("at"), c.length("radius"), c.plain("bulge")});
          c.finish();
        }
        chassis_.outline = polyline;
      }
    }
    o.finish();
  }

  PlanShape shape(ChassisKeys& keys) {
    enum class Kind { Round, Oblong, Rectangle, Polygon, Band };
    keys.neededText("shape");
    switch (keys.choice<Kind>("shape",
                              {{"round", Kind::Round},
                               {"oblong", Kind::Oblong},
                               {"rectangle", Kind::Rectangle},
                               {"polygon", Kind::Polygon},
                               {"band", Kind::Band}},
                              Kind::Round)) {
      case Kind::Round:
        return Round{keys.neededLength("diameter")};
      case Kind::Oblong:
        return Oblong{keys.neededLength("length"), keys.neededLength("width")};
      case Kind::Rectangle:
        return Rectangle{keys.neededLength("length"), keys.neededLength("width"), keys.length("corner_radius")};
      case Kind::Polygon:
        return Polygon{keys.points("corners"), keys.length("corner_radius")};
      case Kind::Band:
        return band(keys);
    }
    return Round{};
  }
  Band band(ChassisKeys& keys) { return {keys.points("line"), keys.neededLength("width"), keys.length("bend_radius")}; }
  Place place(ChassisKeys& keys) { return {keys.maybePoint("centre").value_or(Vec2{}), keys.angle("angle")}; }
  Side side(ChassisKeys& keys) {
    return keys.choice<Side>("side", {{"outer", Side::Outer}, {"back", Side::Back}}, Side::Outer);
  }

  std::string named(ChassisKeys& keys) {
    const std::string name = keys.neededText("name");
    lines_[name] = &keys.table();
    return name;
  }

  void island(const toml::table& table) {
    ChassisKeys k(file_, table, "[[island]]");
    Island d;
    d.name = named(k);
    d.shape = shape(k);
    d.place = place(k);
    d.height = k.neededLength("height");
    d.rootRadius = k.length("root_radius");
    d.topChamfer = k.length("top_chamfer");
    d.domeRadius = k.length("dome_radius");
    d.on = k.text("on");
    d.hint = k.hint("hint");
    k.finish();
    chassis_.islands.push_back(d);
  }

  void pocket(const toml::table& table) {
    ChassisKeys k(file_, table, "[[pocket]]");
    Pocket d;
    d.name = named(k);
    d.shape = shape(k);
    d.place = place(k);
    d.side = side(k);
    d.use =
        k.choice<PocketUse>("use", {{"plain", PocketUse::Plain}, {"thinning", PocketUse::Thinning}}, PocketUse::Plain);
    const auto depth = k.maybeLength("depth"), leaves = k.maybeLength("leaves");
    if (depth.has_value() == leaves.has_value())
      file_.fail(table, "[[pocket]] needs either depth or leaves (the thickness left).", "Give one of the two.");
    d.depth = depth ? *depth : chassis_.thickness - leaves.value_or(Length{});
    d.floorRadius = k.length("floor_radius");
    d.rimChamfer = k.length("rim_chamfer");
    d.on = k.text("on");
    d.open = k.flag("open");
    d.hint = k.hint("hint");
    k.finish();
    chassis_.pockets.push_back(d);
  }

  void window(const toml::table& table) {
    ChassisKeys k(file_, table, "[[window]]");
    Window d;
    d.name = named(k);
    d.shape = shape(k);
    d.place = place(k);
    d.on = k.text("on");
    d.open = k.flag("open");
    d.hint = k.hint("hint");
    k.finish();
    chassis_.windows.push_back(d);
  }

  void slot(const toml::table& table) {
    ChassisKeys k(file_, table, "[[slot]]");
    Slot d;
    d.name = named(k);
    d.band = band(k);
    d.side = side(k);
    d.depth = k.length("depth");
    d.use = k.choice<SlotUse>("use", {{"plain", SlotUse::Plain}, {"lock cut", SlotUse::LockCut}}, SlotUse::Plain);
    d.on = k.text("on");
    d.open = k.flag("open");
    d.hint = k.hint("hint");
    k.finish();
    chassis_.slots.push_back(d);
  }

  // One bore at `centre`, or several alike at `centres`: name-1, name-2, ...
  void bore(const toml::table& table) {
    ChassisKeys k(file_, table, "[[bore]]");
    Bore d;
    d.name = named(k);
    const auto centre = k.maybePoint("centre");
    const std::vector<Vec2> centres = k.points("centres");
    if (centre.has_value() == !centres.empty())
      file_.fail(table, "[[bore]] needs either centre or centres.", "Give one of the two.");
    d.diameter = k.neededLength("diameter");
    d.side = side(k);
    d.depth = k.length("depth");
    d.pointAngle = k.angle("point_angle");
    if (const auto wide = k.maybeLength("counterbore_diameter"))
      d.counterbore = Counterbore{*wide, k.neededLength("counterbore_depth")};
    if (const auto wide = k.maybeLength("countersink_diameter")) {
      d.countersink = Countersink{*wide, degrees(90)};
      if (const auto a = k.maybeAngle("countersink_angle")) d.countersink->angle = *a;
    }
    d.use = k.choice<BoreUse>("use", {{"plain", BoreUse::Plain}, {"thread", BoreUse::Thread}, {"seat", BoreUse::Seat}},
                              BoreUse::Plain);
    d.thread = k.text("thread");
    d.on = k.text("on");
    d.hint = k.hint("hint");
    k.finish();
    if (centre) {
      d.centre_mm = *centre;
      chassis_.bores.push_back(d);
    }
    const std::string stem = d.name;
    for (std::size_t i = 0; i < centres.size(); ++i) {
      d.name = fmt::format("{}-{}", stem, i + 1);
      d.centre_mm = centres[i];
      lines_[d.name] = &table;
      chassis_.bores.push_back(d);
    }
  }

  // Keys that a dimension may be written under.
  static std::vector<std::string> spellings(const std::string& owner, const std::string& key) {
    if (owner == "edge") return {"back_chamfer", "back_round", "outer_chamfer", "outer_round"};
    if (owner == "outer_edge") return {"outer_chamfer", "outer_round"};
    return {key, owner};
  }

  // From "island-1.height" to the line of that key, or of its table.
  Fault withLine(Fault fault) const {
    const std::size_t dot = fault.where.find('.');
    const std::string owner = fault.where.substr(0, dot),
                      key = dot == std::string::npos ? "" : fault.where.substr(dot + 1);
    const auto found = lines_.find(owner);
    const toml::node* node = found == lines_.end() ? &static_cast<const toml::node&>(root_) : found->second;
    if (found != lines_.end())
      for (const char* unit : {"", "_mm", "_in", "_deg"})
        for (const std::string& word : spellings(owner, key))
          if (const toml::node* value = found->second->get(word + unit)) node = value;
    fault.what = fault.where + ": " + fault.what;
    fault.where = fmt::format("{}:{}", file_.name, node->source().begin.line);
    return fault;
  }

  ChassisFile file_;
  const toml::table& root_;
  Chassis chassis_;
  std::map<std::string, const toml::table*> lines_;
};

}  // namespace

Result<Chassis> readChassisText(std::string_view text, const std::string& name) {
  try {
    const toml::table root = toml::parse(text, name);
    return ChassisReader(root, name).read();
  } catch (const toml::parse_error& e) {
    return fault(FaultCode::BadFile, fmt::format("{}:{}", name, e.source().begin.line),
                 std::string(e.description()) + ".", "Check the line against the TOML rules.");
  }
}

Result<Chassis> readChassis(const std::string& path) {
  std::ifstream in(path, std::ios::binary | std::ios::ate);
  if (!in) return fault(FaultCode::BadFile, path, "The chassis file cannot be opened.", "Check its name and rights.");
  const auto size = in.tellg();
  if (size < 0) return fault(FaultCode::BadFile, path, "This is not a file.", "Name a chassis file.");
  if (static_cast<std::uintmax_t>(size) > kLargestFile)
    return fault(FaultCode::Limit, path, "The file is larger than 1 MB.", "A chassis file is a page of text.");
  in.seekg(0);
  std::ostringstream text;
  text << in.rdbuf();
  return readChassisText(text.str(), path);
}

}  // namespace chipledger::draw
