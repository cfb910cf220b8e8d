// The built-in tables, shop rows laid over them, and the sentences for rows that cannot be.
#include <chipledger/cutting/listing.hpp>
#include <chipledger/cutting/tables.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <sstream>

using namespace chipledger;
using namespace chipledger::cutting;
using testing::HasSubstr;

namespace {

TEST(Tables, HaveEveryMaterialWithItsPropertiesAndPlates) {
  const auto& tables = builtInTables();
  for (const char* name : {"Ti-6Al-4V", "Ti grade 2", "6061-T6", "7075-T6", "316L", "1045", "glass-epoxy"}) {
    const auto material = findMaterial(tables, name);
    ASSERT_TRUE(material) << name;
    EXPECT_GT(material->density_g_cm3, 1);
    EXPECT_GT(toMegapascals(material->specificForce), 100);
    EXPECT_GT(material->forceExponent, 0.1);
    EXPECT_GT(toMegapascals(material->modulus), 10000);
    EXPECT_EQ(material->sources.size(), 7u) << name;
    EXPECT_GE(platesOf(tables, name).size(), 5u) << name;
  }
}

/// machining-data 2.1 and 2.3: maker's pages and data sheets.
TEST(Tables, MaterialConstantsAreThePublishedOnes) {
  struct Row {
    const char* name;
    double kc11, mc;
  };
  for (const Row& row : {Row{"Ti-6Al-4V", 2110, 0.22}, Row{"Ti grade 2", 1700, 0.23}, Row{"1045", 1500, 0.22},
                         Row{"316L", 2150, 0.20}, Row{"6061-T6", 800, 0.25}, Row{"7075-T6", 800, 0.25}}) {
    const auto material = *findMaterial(builtInTables(), row.name);
    EXPECT_EQ(toMegapascals(material.specificForce), row.kc11) << row.name;
    EXPECT_EQ(material.forceExponent, row.mc) << row.name;
  }
  const auto titanium = *findMaterial(builtInTables(), "Ti-6Al-4V");
  EXPECT_NEAR(titanium.density_g_cm3, 4.43, 1e-9);
  EXPECT_NEAR(toMegapascals(titanium.modulus), 113800, 1);
  EXPECT_EQ(titanium.hardness_hb, 334);
}

TEST(Tables, OtherNamesAndSpellingsFindTheMaterial) {
  for (const char* name : {"ti6al4v", "Ti 6Al 4V", "TITANIUM", "grade 5", "3.7165"}) {
    const auto material = findMaterial(builtInTables(), name);
    ASSERT_TRUE(material) << name;
    EXPECT_EQ(material->name, "Ti-6Al-4V");
  }
}

TEST(Tables, AnUnknownMaterialListsTheNamesAndTheNearest) {
  const auto material = findMaterial(builtInTables(), "7057-T6");
  ASSERT_FALSE(material);
  EXPECT_EQ(material.error().code, FaultCode::Usage);
  EXPECT_THAT(material.error().next, HasSubstr("Did you mean 7075-T6?"));
  EXPECT_THAT(material.error().next, HasSubstr("glass-epoxy"));
  const auto cutter = findCutter(builtInTables(), "flat-66");
  ASSERT_FALSE(cutter);
  EXPECT_THAT(cutter.error().next, HasSubstr("flat-6"));
}

TEST(Tables, DangerousChipsAndDustCarryTheirCaution) {
  EXPECT_THAT(findMaterial(builtInTables(), "Ti-6Al-4V")->caution, HasSubstr("no water"));
  EXPECT_THAT(findMaterial(builtInTables(), "Ti grade 2")->caution, HasSubstr("chips burn"));
  EXPECT_THAT(findMaterial(builtInTables(), "glass-epoxy")->caution, HasSubstr("dust"));
  EXPECT_TRUE(findMaterial(builtInTables(), "6061-T6")->caution.empty());
  EXPECT_EQ(cautionsOf(builtInTables(), {"Ti-6Al-4V", "Ti grade 2", "6061-T6", "glass-epoxy"}).size(), 2u);
}

TEST(Tables, ListingShowsNoRowWithoutFromAndSource) {
  const auto listings = listTables(builtInTables());
  EXPECT_EQ(listings.size(), ownedSections().size());
  std::size_t rows = 0;
  for (const auto& listing : listings) {
    EXPECT_NE(std::find(ownedSections().begin(), ownedSections().end(), listing.section), ownedSections().end())
        << listing.section;
    EXPECT_FALSE(listing.rows.empty()) << listing.section;
    for (const auto& row : listing.rows) {
      EXPECT_EQ(row.cells.size(), listing.columns.size()) << listing.section;
      EXPECT_FALSE(row.source.empty()) << listing.section << " " << row.cells[0];
      EXPECT_FALSE(row.grade.empty());
      EXPECT_THAT(std::string(word(row.from)), testing::AnyOf("table", "guessed"));
      ++rows;
    }
  }
  EXPECT_GT(rows, 900u);
  for (const auto& listing : listTables(builtInTables(), "1045")) {
    for (const auto& row : listing.rows)
      EXPECT_EQ(std::find(row.cells.begin(), row.cells.end(), "Ti-6Al-4V"), row.cells.end());
  }
}

TEST(Tables, MemoryAndPracticeAreNeverCalledTable) {
  for (const auto& row : builtInTables().speeds) {
    const bool published = row.origin.grade == Grade::Seen || row.origin.grade == Grade::Reworked;
    EXPECT_EQ(row.origin.from == From::Table, published);
    EXPECT_TRUE(!row.origin.source.starts_with("from memory") || row.origin.from == From::Guessed);
  }
}

TEST(Overlay, ARowChangesOnlyWhatItNames) {
  const auto laid = overlayTables(builtInTables(), R"(
[machine]
name = "not ours to read"
[[cutter]]
id = "flat-6"
price = 41.5
[[speed]]
material = "titanium"
cutter = "carbide"
for = "rough"
diameter_mm = 6
start_m_min = 60
from = "clocked"
[[plate]]
material = "Ti-6Al-4V"
price_per_kg = 92
)",
                                  "shop.toml");
  ASSERT_TRUE(laid) << sentence(laid.error());
  const auto before = *findCutter(builtInTables(), "flat-6"), after = *findCutter(*laid, "flat-6");
  EXPECT_EQ(toUnits(after.price), 41.5);
  EXPECT_EQ(after.flutes, before.flutes);
  EXPECT_EQ(after.from, From::Entered);
  EXPECT_THAT(after.source, HasSubstr("shop.toml line 4"));
  EXPECT_THAT(after.source, HasSubstr("price"));
  EXPECT_THAT(after.source, HasSubstr(before.source));
  int changed = 0;
  for (std::size_t i = 0; i < laid->speeds.size(); ++i) {
    const auto &a = builtInTables().speeds[i], &b = laid->speeds[i];
    if (a.start_m_min == b.start_m_min) continue;
    ++changed;
    EXPECT_EQ(b.diameter_mm, 6);
    EXPECT_EQ(b.start_m_min, 60);
    EXPECT_EQ(b.low_m_min, a.low_m_min);
    EXPECT_EQ(b.radialHigh, 0.1);  // without a band: the lowest
    EXPECT_EQ(b.origin.from, From::Clocked);
  }
  EXPECT_EQ(changed, 1);
  for (const auto& plate : platesOf(*laid, "Ti-6Al-4V")) EXPECT_EQ(plate.pricePerKg, 92);
  EXPECT_EQ(platesOf(*laid, "Ti-6Al-4V").size(), platesOf(builtInTables(), "Ti-6Al-4V").size());
}

TEST(Overlay, NewRowsAndRemovedCutters) {
  const auto laid = overlayTables(builtInTables(), R"(
[[material]]
name = "Beta-C"
density_g_cm3 = 4.82
specific_force_n_mm2 = 2300
force_exponent = 0.22
hardness_hb = 370
modulus_gpa = 105
conductivity_w_mk = 6.2
life_factor = 0.7
[[cutter]]
id = "flat-5"
kind = "flat"
diameter_mm = 5
flutes = 4
flute_length_mm = 12
stick_out_mm = 20
price = 30
life_min = 50
[[cutter]]
id = "ball-0.6"
remove = true
[[thread]]
name = "M2.2"
nominal_mm = 2.2
pitch_mm = 0.45
minor_mm = 1.713
minor_max_mm = 1.838
tap_drill_mm = 1.75
loose_drill_mm = 1.8
)",
                                  "shop.toml");
  ASSERT_TRUE(laid) << sentence(laid.error());
  EXPECT_TRUE(findMaterial(*laid, "beta c"));
  EXPECT_TRUE(findCutter(*laid, "flat-5"));
  EXPECT_FALSE(findCutter(*laid, "ball-0.6"));
  EXPECT_TRUE(findThread(laid->threads, "M2.2"));
  // No speeds for it: the fault says which rows there are.
  const auto conditions =
      chooseConditions(*findMaterial(*laid, "Beta-C"), *findCutter(*laid, "flat-5"), {.depth = mm(2)}, {}, *laid);
  ASSERT_FALSE(conditions);
  EXPECT_THAT(conditions.error().next, HasSubstr("no speeds for Beta-C"));
}

struct Slip {
  const char* name;
  const char* text;
  int line;
  const char* what;
  const char* next;
};
std::ostream& operator<<(std::ostream& out, const Slip& s) { return out << s.name; }
class OverlaySlip : public testing::TestWithParam<Slip> {};

TEST_P(OverlaySlip, IsNamedWithItsLineAndMend) {
  const Slip& slip = GetParam();
  const auto faults = checkTables(builtInTables(), slip.text, "shop.toml");
  ASSERT_FALSE(faults.empty());
  EXPECT_EQ(faults.front().code, FaultCode::BadFile);
  EXPECT_THAT(faults.front().where, HasSubstr("shop.toml line " + std::to_string(slip.line)));
  EXPECT_THAT(faults.front().what, HasSubstr(slip.what));
  EXPECT_THAT(faults.front().next, HasSubstr(slip.next));
  EXPECT_FALSE(overlayTables(builtInTables(), slip.text, "shop.toml"));
}

INSTANTIATE_TEST_SUITE_P(
    Shop, OverlaySlip,
    testing::Values(
        Slip{"unknown_key", "[[cutter]]\nid = \"flat-6\"\nprize = 40\n", 3, "knows no prize", "Did you mean price?"},
        Slip{"wrong_unit", "[[cutter]]\nid = \"flat-6\"\nflute_length_in = 0.5\n", 3, "wrong unit",
             "Write flute_length_mm"},
        Slip{"no_unit", "[[cutter]]\nid = \"flat-6\"\nstick_out = 22\n", 3, "wrong unit", "Write stick_out_mm"},
        Slip{"wrong_speed_unit",
             "[[speed]]\nmaterial = \"1045\"\ncutter = \"carbide\"\nfor = \"rough\"\ndiameter_mm = 3\nstart_ft_min = "
             "300\n",
             6, "wrong unit", "m/min"},
        Slip{"impossible_value", "[[cutter]]\nid = \"flat-6\"\nflutes = 0\n", 3, "flutes = 0 cannot be",
             "from 1 to 200"},
        Slip{"negative_price", "[[cutter]]\nid = \"flat-6\"\nprice = -3\n", 3, "cannot be", "from 0"},
        Slip{"corner_too_large", "[[cutter]]\nid = \"bull-6-r0.5\"\ncorner_mm = 4\n", 1, "does not fit",
             "half the diameter"},
        Slip{"text_for_number", "[[cutter]]\nid = \"flat-6\"\nprice = \"40\"\n", 3, "must be a number",
             "without quotes"},
        Slip{"unknown_material", "[[plate]]\nmaterial = \"Ti-6Al-4W\"\nprice_per_kg = 3\n", 1, "no material",
             "Did you mean Ti-6Al-4V?"},
        Slip{"unknown_kind",
             "[[chip_load]]\nmaterial = \"1045\"\ncutter = \"carbide\"\nfor = \"roughing\"\ndiameter_mm = 3\nrated_mm "
             "= 0.01\n",
             1, "no kind of cut", "rough, slot"},
        Slip{"falling_speeds",
             "[[speed]]\nmaterial = \"1045\"\ncutter = \"carbide\"\nfor = \"rough\"\ndiameter_mm = 3\nstart_m_min = "
             "500\n",
             1, "must rise", "low_m_min <= start_m_min"},
        Slip{"uneven_lists",
             "[[chip_load]]\nmaterial = \"1045\"\ncutter = \"carbide\"\nfor = \"rough\"\ndiameter_mm = [3, 4, "
             "6]\nrated_mm = [0.01, 0.02]\n",
             1, "differ in length", "as many values"},
        Slip{"single_brackets", "[cutter]\nid = \"flat-6\"\nprice = 3\n", 1, "list of rows", "[[cutter]]"},
        Slip{"new_row_incomplete", "[[cutter]]\nid = \"flat-7\"\nkind = \"flat\"\ndiameter_mm = 7\n", 1, "needs flutes",
             "Add flutes"},
        Slip{"unknown_limit", "[[cut_limit]]\nname = \"bend_walls\"\nvalue_mm = 0.01\n", 1, "no limit called",
             "bend_wall"},
        Slip{"limit_unit", "[[cut_limit]]\nname = \"bend_wall\"\nvalue_um = 10\n", 1, "needs value_mm", "Add value_mm"},
        Slip{"shop_row_from_table", "[[cutter]]\nid = \"flat-6\"\nprice = 4\nfrom = \"table\"\n", 4, "cannot be from",
             "clocked"},
        Slip{"not_toml", "[[cutter]\nid = 3\n", 1, "not TOML", "Mend the line"}),
    [](const auto& row) { return std::string(row.param.name); });

TEST(Overlay, EveryFaultOfAFileIsFound) {
  const auto faults =
      checkTables(builtInTables(),
                  "[[cutter]]\nid = \"flat-6\"\nprize = 1\nflutes = 900\n[[plate]]\nmaterial = \"wood\"\n", "s.toml");
  EXPECT_EQ(faults.size(), 3u);
}

TEST(Overlay, TheBuiltInFilesAreSoundShopRowsToo) {
  // The files that are compiled in are the ones installed; each must also be a valid shop file.
  for (const char* name :
       {"materials", "limits", "speeds", "chip_loads", "engagements", "life", "plates", "threads", "crib"}) {
    std::ifstream in(std::string(CHIPLEDGER_SOURCE_DIR) + "/src/cutting/data/" + name + ".toml");
    std::stringstream text;
    text << in.rdbuf();
    const auto faults = checkTables(builtInTables(), text.str(), name);
    EXPECT_TRUE(faults.empty()) << sentence(faults.front());
  }
}

TEST(Overlay, GarbageNeverDoesMoreThanFault) {
  const std::string sound =
      "[[cutter]]\nid = \"flat-6\"\nprice = 4.0\nflutes = 4\n[[speed]]\nmaterial = \"1045\"\ncutter = \"carbide\"\n"
      "for = [\"rough\"]\ndiameter_mm = [3, 10]\nstart_m_min = 150\n";
  for (std::size_t at = 0; at < sound.size(); ++at) {
    for (const char letter : {'"', '[', '=', '\n', 'x', '-', '\x80', '9'}) {
      std::string text = sound;
      text[at] = letter;
      for (const auto& fault : checkTables(builtInTables(), text, "s.toml")) EXPECT_FALSE(fault.what.empty());
    }
  }
}

TEST(Threads, MinorDiametersFollowFromPitch) {
  for (const auto& thread : builtInThreads()) {
    EXPECT_NEAR(thread.minor_mm, thread.nominal_mm - 1.08253 * thread.pitch_mm, 6e-4) << thread.name;  // ISO 724
    EXPECT_GT(thread.tapDrill_mm, thread.minor_mm);
    EXPECT_LE(thread.tapDrill_mm, thread.minorMax_mm);
    EXPECT_GE(thread.looseDrill_mm, thread.tapDrill_mm);
    // Common practice, no source: 55-70 % of full depth for the loose drill; charts about 75-90 %.
    EXPECT_GT(threadDepthShare(thread, thread.looseDrill_mm), 0.5);
    EXPECT_LT(threadDepthShare(thread, thread.tapDrill_mm), 0.96);
  }
}

TEST(Threads, BoresThatMayBeThreads) {
  const auto names = [](double bore) {
    std::string all;
    for (const auto* thread : threadsForBore(builtInThreads(), bore)) all += thread->name + " ";
    return all;
  };
  // The owner's ranges (job 6): 1.6-1.7, 2.0-2.15, 2.5-2.6 are probably threads.
  for (const double bore : {1.6, 1.65, 1.7}) EXPECT_THAT(names(bore), HasSubstr("M2 ")) << bore;
  for (const double bore : {2.0, 2.05, 2.1, 2.15}) EXPECT_THAT(names(bore), HasSubstr("M2.5 ")) << bore;
  for (const double bore : {2.5, 2.6}) EXPECT_THAT(names(bore), HasSubstr("M3 ")) << bore;
  for (const double bore : {1.45, 1.8, 2.3, 2.75, 5.5, 8.0}) EXPECT_EQ(names(bore), "") << bore;
  EXPECT_EQ(findThread(builtInThreads(), "m 2.5x0.45")->name, "M2.5");
  EXPECT_FALSE(findThread(builtInThreads(), "M7"));
}

}  // namespace
