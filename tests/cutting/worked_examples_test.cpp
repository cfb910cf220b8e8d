// 121 published worked examples, each through our own function; the source of each stands in the data file.
#include "cutting/worked_examples.hpp"

#include <chipledger/cutting/bending.hpp>
#include <chipledger/cutting/formulas.hpp>
#include <chipledger/cutting/tables.hpp>
#include <chipledger/cutting/wear.hpp>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <functional>
#include <numbers>

using namespace chipledger;
using namespace chipledger::cutting;
using chipledger::test::WorkedExample;

namespace {

using In = const WorkedExample&;

/// Books that reckon with pi = 3.14 say so in their inputs.
double piOf(In e) { return e.has("pi") ? e("pi") / std::numbers::pi : 1.0; }

double speedOf(In e) { return toMPerMin(surfaceSpeed(mm(e("D_mm")), rpm(e("n_rpm")))) * piOf(e); }
double turnsOf(In e, double d_mm, double v_m_min) { return spindleSpeed(mPerMin(v_m_min), mm(d_mm)).rpm / piOf(e); }
double millFeed(In e) {
  return toMmPerMin(tableFeed(mm(e("fz_mm")), static_cast<int>(e("z")), rpm(turnsOf(e, e("D_mm"), e("vc_m_min")))));
}
double slabRate(In e) {  // mm3/s
  return toMm3(removalRate(mm(e("d_mm")), mm(e("w_mm")), mmPerMin(e("vf_mm_min"))) * seconds(1));
}
double kilowattsAt(double energy_Ws_mm3, double rate_mm3_s) {
  return toKilowatts(cuttingPower(megapascals(1000 * energy_Ws_mm3), mm3(rate_mm3_s) / seconds(1)));
}
Beam rod(double length_mm, double inertia_mm4, double modulus_mpa) {
  return {{{length_mm, std::pow(64 * inertia_mm4 / std::numbers::pi, 0.25)}}, megapascals(modulus_mpa)};
}
/// Ghosh 4.27: fixed + rate * handling + rate * cutting + (rate * change + tool) * cutting / life at the cheapest
/// speed.
double costOfPiece(In e) {
  const double rate = e("rate_min");
  const Duration change = minutes(e("change_min"));
  const Speed v = cheapestSpeed(e("C"), e("n"), change, e("tool"), rate);
  const double turns = spindleSpeed(v, mm(e("d_mm"))).rpm;
  const Duration cutting = wayTime(mm(e("L_mm")), mmPerMin(e("f_mm_rev") * turns));
  const Duration life = cheapestLife(e("n"), change, e("tool"), rate);
  return e("fixed") + rate * e("change_min") + rate * toMinutes(cutting) +
         wearMoney(cutting, life, change, e("tool"), rate);
}

const std::map<std::string, std::function<double(In)>> kByQuantity{
    {"spindle speed n",
     [](In e) {
       return e.has("D_in") ? turnsOf(e, toMm(inches(e("D_in"))), e("vc_ft_min") * 0.3048)
                            : turnsOf(e, e("D_mm"), e("vc_m_min"));
     }},
    {"spindle speed", [](In e) { return turnsOf(e, e("D_mm"), e("vc_m_min")); }},
    {"cutting speed vc", speedOf},
    {"cutting speed vc (turning)", speedOf},
    {"tap spindle speed, titanium row",
     [](In e) { return turnsOf(e, toMm(inches(e("d_in"))), e("vc_ft_min") * 0.3048); }},
    {"feed per tooth fz",
     [](In e) { return toMm(feedPerTooth(mmPerMin(e("vf_mm_min")), static_cast<int>(e("z")), rpm(e("n_rpm")))); }},
    {"feed per tooth",
     [](In e) { return toMm(feedPerTooth(mmPerMin(e("vf_mm_min")), static_cast<int>(e("z")), rpm(e("n_rpm")))); }},
    {"table feed vf",
     [](In e) {
       const double fz = e.has("fz_in") ? e("fz_in") : e("fz_mm");  // inch in, inch out
       return toMmPerMin(tableFeed(mm(fz), static_cast<int>(e("z")), rpm(e("n_rpm"))));
     }},
    {"peripheral feed vfm",
     [](In e) { return toMmPerMin(tableFeed(mm(e("fz_mm")), static_cast<int>(e("z")), rpm(e("n_rpm")))); }},
    {"table feed", millFeed},
    {"spindle feed vf", [](In e) { return toMmPerMin(tableFeed(mm(e("f_mm_rev")), 1, rpm(e("n_rpm")))); }},
    {"machining time",
     [](In e) { return toSeconds(wayTime(mm(e("l_mm")), tableFeed(mm(e("f_mm_rev")), 1, rpm(e("n_rpm"))))); }},
    {"drilling time",
     [](In e) {
       const double n = e.has("n_rpm") ? e("n_rpm") : turnsOf(e, e("D_mm"), e("vc_m_min"));
       return toSeconds(wayTime(mm(e("depth_mm")), tableFeed(mm(e("f_mm_rev")), 1, rpm(n)))) *
              (e.has("holes") ? e("holes") : 1);
     }},
    {"drilling time incl. point allowance (2 x 0.29 D)",
     [](In e) {
       // The book's 0.29 D is the length of a 120 degree point; it counts it twice.
       const double point = toMm(pointLength(mm(e("D_mm")), degrees(120)));
       EXPECT_NEAR(point / e("D_mm"), e("allow_factor"), 0.002);
       const double n = turnsOf(e, e("D_mm"), e("vc_m_min"));
       return toMinutes(
           wayTime(mm(e("depth_mm") + 2 * e("allow_factor") * e("D_mm")), tableFeed(mm(e("f_mm_rev")), 1, rpm(n))));
     }},
    {"metal removal rate in Ti-6Al-4V",
     [](In e) {
       return toMm3(drillingRate(mm(e("D_mm")), mm(e("f_mm_rev")), rpm(turnsOf(e, e("D_mm"), e("vc_m_min")))) *
                    seconds(1));
     }},
    {"torque",
     [](In e) {
       const auto rate = drillingRate(mm(e("D_mm")), mm(e("f_mm_rev")), rpm(e("n_rpm")));
       return toNewtonMetres(torqueOf(cuttingPower(megapascals(1000 * e("u_Ws_mm3")), rate), rpm(e("n_rpm"))));
     }},
    {"cutter torque", [](In e) { return toNewtonMetres(torqueOf(kilowatts(e("P_W") / 1000), rpm(e("n_rpm")))); }},
    {"face milling time",
     [](In e) {
       if (e.has("l_mm")) return toMinutes(wayTime(mm(e("l_mm") + e("D_mm")), mmPerMin(e("vf_mm_min"))));
       const Length way = mm(e("L_mm")) + approachFace(mm(e("w_mm")), mm(e("D_mm")));
       return toMinutes(wayTime(way, tableFeed(mm(e("fz_mm")), static_cast<int>(e("z")), rpm(e("n_rpm")))));
     }},
    {"face milling time (approach = overtravel = D/2)",
     [](In e) { return toMinutes(wayTime(mm(e("L_mm") + e("D_mm")), mmPerMin(e("vf_mm_min")))); }},
    {"cutter travel incl. approach",
     [](In e) { return e("L_mm") + toMm(approachPeripheral(mm(e("d_mm")), mm(e("D_mm")))); }},
    {"slot milling time",
     [](In e) {
       return toMinutes(
           wayTime(mm(e("L_mm")) + approachPeripheral(mm(e("d_mm")), mm(e("D_mm"))), mmPerMin(millFeed(e))));
     }},
    {"slab milling time",
     [](In e) {
       return toSeconds(
           wayTime(mm(e("L_mm")) + approachPeripheral(mm(e("d_mm")), mm(e("D_mm"))), mmPerMin(e("vf_mm_min"))));
     }},
    {"metal removal rate Q", [](In e) { return e("ap_in") * e("ae_in") * e("fz_in") * e("z") * e("n_rpm"); }},
    {"average chip thickness hm",
     [](In e) { return toMm(meanChipThickness(mm(e("fz_in")), mm(e("ae_in")), mm(e("D_in")))); }},
    {"feed-per-tooth multiplier", [](In e) { return thinningFactor(e("ae_over_D")); }},
    {"programmed feed for lead angle", [](In e) { return toMm(feedForLeadAngle(mm(e("hm_mm")), e("sin_kappa"))); }},
    {"stepover for cusp height", [](In e) { return toMm(stepoverForCusp(mm(e("h_um") / 1000), mm(e("D_mm")))); }},
    {"effective cutting diameter", [](In e) { return toMm(effectiveDiameter(mm(e("D_mm")), mm(e("ap_mm")))); }},
    {"peak-to-valley height, round nose", [](In e) { return toMm(feedMarkNose(mm(e("f_mm_rev")), mm(e("r_mm")))); }},
    {"peak-to-valley height, slab milling",
     [](In e) {
       return toMm(feedMarkWall(feedPerTooth(mmPerMin(e("vf_mm_min")), static_cast<int>(e("z")), rpm(e("n_rpm"))),
                                mm(e("D_mm"))));
     }},
    {"depth per unit ramp length", [](In e) { return 1 / toMm(rampLength(mm(1), degrees(e("angle_deg")))); }},
    {"milling power (motor)",
     [](In e) {
       const auto rate = removalRate(mm(e("ap_mm")), mm(e("ae_mm")), mmPerMin(e("vf_mm_min")));
       return toKilowatts(cuttingPower(megapascals(e("kc_MPa")), rate)) / e("eff");
     }},
    {"turning power (motor)",
     [](In e) {
       const auto rate = removalRate(mm(e("ap_mm")), mm(e("f_mm_rev")), mPerMin(e("vc_m_min")));
       return toKilowatts(cuttingPower(megapascals(e("kc_MPa")), rate)) / e("eff");
     }},
    {"milling power from table energy", [](In e) { return 1000 * kilowattsAt(e("u_J_mm3"), slabRate(e)); }},
    {"milling power",
     [](In e) {
       const bool book = e.has("U0_J_mm3");
       const Pressure kc11 = megapascals(book ? 1000 * e("U0_J_mm3") : e("kc11_MPa"));
       const Pressure kc = specificForce(kc11, book ? e("expo") : e("mc"), mm(e("h_mm")));
       const double width = book ? e("w_mm") : e("B_mm");
       return 1000 * toKilowatts(cuttingPower(kc, removalRate(mm(e("d_mm")), mm(width), mmPerMin(e("vf_mm_min")))));
     }},
    {"cutting force",
     [](In e) {
       const Pressure kc = specificForce(megapascals(1000 * e("U0_J_mm3")), e("expo"), mm(e("h_mm")));
       return toNewtons(cuttingForce(kc, mm(e("w_mm")), mm(e("h_mm"))));
     }},
    {"specific cutting resistance",
     [](In e) {
       // k f^a d^b / (f d): a power law in the chip, and a weaker one in its width.
       return toMegapascals(specificForce(megapascals(e("k")), 1 - e("a"), mm(e("f_mm_rev")))) *
              std::pow(e("d_mm"), e("b") - 1);
     }},
    {"tip deflection, end load",
     [](In e) { return e("F_N") * tipCompliance(rod(e("L_mm"), e("I_mm4"), e("E_N_mm2")), mm(0)); }},
    {"tip slope",
     [](In e) {
       // Where the load stands a little below the tip, the tip sinks less by the slope: the two are the same by
       // reciprocity.
       const Beam beam = rod(e("L_mm"), e("I_mm4"), e("E_N_mm2"));
       const double little = e("L_mm") * 1e-6;
       return e("F_N") * (tipCompliance(beam, mm(0)) - tipCompliance(beam, mm(little))) / little;
     }},
    {"tip deflection, load at a < L",
     [](In e) {
       return e("F_N") * tipCompliance(rod(e("L_mm"), e("I_mm4"), e("E_N_mm2")), mm(e("L_mm") - e("a_mm")));
     }},
    {"end load for given deflection",
     [](In e) {
       const double inertia = e("b_m") * std::pow(e("d_m"), 3) / 12 * 1e12;
       return e("y_m") * 1000 / tipCompliance(rod(1000 * e("L_m"), inertia, e("E_Pa") / 1e6), mm(0)) / 1000;
     }},
    {"deflection after doubling overhang",
     [](In e) {
       return e("y1_mm") * tipCompliance(rod(20 * e("length_ratio"), 1, 1), mm(0)) /
              tipCompliance(rod(20, 1, 1), mm(0));
     }},
    {"deflection after doubling diameter",
     [](In e) {
       const Beam thin{{{20, 1}}, megapascals(1)}, thick{{{20, e("diameter_ratio")}}, megapascals(1)};
       return e("y1_um") * tipCompliance(thick, mm(0)) / tipCompliance(thin, mm(0));
     }},
    {"tool life at v2",
     [](In e) { return toMinutes(lifeAtSpeed(minutes(e("T1_min")), mPerMin(e("v1")), mPerMin(e("v2")), e("n"))); }},
    {"Taylor exponent n",
     [](In e) { return lifeExponent(mPerMin(e("v1")), minutes(e("T1_min")), mPerMin(e("v2")), minutes(e("T2_min"))); }},
    {"life increase, speed halved",
     [](In e) {
       return 100 * (toMinutes(lifeAtSpeed(minutes(1), mPerMin(1), mPerMin(e("speed_ratio")), e("n"))) - 1);
     }},
    {"constant C",
     [](In e) {
       return lifeConstant(mPerMin(e("v")), minutes(e("T_min")), e("n")) * std::pow(e("f_mm_rev"), e("x")) *
              std::pow(e("d_mm"), e("y"));
     }},
    {"tooling cost per edge",
     [](In e) {
       return wearMoney(minutes(1), minutes(1), minutes(e("change_min") + e("regrind_min")), e("depr"),
                        e("rate_h") / 60);
     }},
    {"speed for minimum cost",
     [](In e) {
       if (e.has("tool"))
         return toMPerMin(cheapestSpeed(e("C"), e("n"), minutes(e("change_min")), e("tool"), e("rate_min")));
       const double rate = e("rate_h") / 60;
       return toMPerMin(
           cheapestSpeed(e("C"), e("n"), minutes(e("change_min")), rate * e("regrind_min") + e("depr"), rate));
     }},
    {"speed for maximum output",
     [](In e) { return toMPerMin(fastestSpeed(e("C"), e("n"), minutes(e("change_min")))); }},
    {"minimum cost per piece", costOfPiece},
    {"tool change time per piece",
     [](In e) { return wearMoney(minutes(e("cut_min")), minutes(e("life_min")), minutes(e("change_min")), 0, 1); }},
    {"tool change time per cycle",
     [](In e) { return wearMoney(minutes(e("cut_min")), minutes(e("life_min")), minutes(e("change_min")), 0, 1); }},
    {"basic minor diameter of the nut thread",
     [](In e) {
       for (const auto& thread : builtInThreads()) {
         if (thread.nominal_mm == e("d_mm") && thread.pitch_mm == e("P_mm")) return thread.minor_mm;
       }
       return 0.0;
     }},
};

double extended(In e) {
  return toMinutes(extendedLife(minutes(e("T0_min")), e("n"), e("x"), e("y"), e("kv"), e("kf"), e("kd")));
}
double twoPointLife(In e) {
  const double n = lifeExponent(mPerMin(e("v1")), minutes(e("T1_min")), mPerMin(e("v2")), minutes(e("T2_min")));
  const double c = lifeConstant(mPerMin(e("v1")), minutes(e("T1_min")), n);
  return e.has("T_min") ? toMPerMin(speedForLife(c, minutes(e("T_min")), n)) : c;
}

/// Where one wording stands for different inputs in different books.
const std::map<std::string, std::function<double(In)>> kById{
    {"W024", [](In e) { return toMm3(drillingRate(mm(e("D_mm")), mm(e("f_mm_rev")), rpm(e("n_rpm"))) * seconds(1)); }},
    {"W026",
     [](In e) {
       const auto rate = drillingRate(mm(e("D_mm")), mm(e("f_mm_rev")), rpm(e("n_rpm")));
       return 1000 * toKilowatts(cuttingPower(megapascals(1000 * e("u_Ws_mm3")), rate));
     }},
    {"W038", [](In e) { return 60 * slabRate(e); }},
    {"W042", [](In e) { return 60 * slabRate(e); }},
    {"W046",
     [](In e) {
       const Speed feed = tableFeed(mm(e("fz_mm")), static_cast<int>(e("z")), rpm(e("n_rpm")));
       return toMm3(removalRate(mm(e("d_mm")), mm(e("w_mm")), feed) * seconds(1));
     }},
    {"W041",
     [](In e) {
       // The book takes sqrt(D d) for sqrt(d (D - d)), which is the approach of a cutter wider by d.
       const Length way = mm(e("L_mm")) + approachPeripheral(mm(e("d_mm")), mm(e("D_mm") + e("d_mm")));
       return toSeconds(wayTime(way, mmPerMin(e("vf_mm_min"))));
     }},
    {"W039", [](In e) { return kilowattsAt(e("u_Ws_mm3"), slabRate(e)); }},
    {"W045", [](In e) { return kilowattsAt(e("u_Ws_mm3"), slabRate(e)); }},
    {"W047", [](In e) { return 1000 * kilowattsAt(e("u_Ws_mm3"), e("MRR_mm3_s")); }},
    {"W050",
     [](In e) {
       const Speed feed = tableFeed(mm(10 * e("fz_cm")), static_cast<int>(e("z")), rpm(e("n_rpm")));
       return toCm3PerMin(removalRate(mm(10 * e("d_cm")), mm(10 * e("w_cm")), feed)) / e("K_cm3_min_hp") / e("eff");
     }},
    {"W059",
     [](In e) {
       const double kc = toMegapascals(specificForce(megapascals(e("k")), 1 - e("a"), mm(e("f_mm_rev")))) *
                         std::pow(e("d_mm"), e("b") - 1);
       const auto rate = removalRate(mm(e("d_mm")), mm(e("f_mm_rev")), mmPerSecond(1000 * e("v_m_s")));
       return toKilowatts(cuttingPower(megapascals(kc), rate)) / e("eff");
     }},
    {"W103", twoPointLife},
    {"W104", twoPointLife},
    {"W105", extended},
    {"W106", extended},
    {"W107", extended},
    {"W108", extended},
};

std::vector<WorkedExample> examples() {
  return test::readWorkedExamples(std::string(CHIPLEDGER_SOURCE_DIR) + "/tests/cutting/data/worked_examples.tsv");
}

class WorkedExamples : public testing::TestWithParam<WorkedExample> {};

TEST_P(WorkedExamples, AgreesWithThePrint) {
  const auto& e = GetParam();
  const auto byId = kById.find(e.id);
  const auto byQuantity = kByQuantity.find(e.quantity);
  ASSERT_TRUE(byId != kById.end() || byQuantity != kByQuantity.end()) << e.id << " has no function: " << e.quantity;
  const double ours = byId != kById.end() ? byId->second(e) : byQuantity->second(e);
  EXPECT_NEAR(ours, e.published, e.tolerance * std::abs(e.published)) << e.source;
}

INSTANTIATE_TEST_SUITE_P(Published, WorkedExamples, testing::ValuesIn(examples()),
                         [](const auto& row) { return row.param.id; });

/// Rows of a tab-separated file by their first cell, without the heading.
std::map<std::string, std::vector<std::string>> rowsById(const std::string& file) {
  std::map<std::string, std::vector<std::string>> rows;
  std::ifstream in(file);
  std::string line;
  std::getline(in, line);
  while (std::getline(in, line)) {
    auto cells = test::splitAt(line, '\t');
    if (cells.empty()) continue;
    const std::string id = cells[0];
    EXPECT_TRUE(rows.emplace(id, std::move(cells)).second) << id << " stands there twice";
  }
  return rows;
}

TEST(WorkedExamplesList, EveryExampleIsTestedOrLeftOutForAReasonAndNoneIsBoth) {
  const std::string data = std::string(CHIPLEDGER_SOURCE_DIR) + "/tests/cutting/data/";
  const auto tested = rowsById(data + "worked_examples.tsv"), left = rowsById(data + "examples_left_out.tsv");
  int contradict = 0;
  for (int number = 1; number <= 176; ++number) {
    const std::string id = fmt::format("W{:03}", number);
    EXPECT_EQ(tested.count(id) + left.count(id), 1u) << id;
    if (!left.count(id)) continue;
    ASSERT_EQ(left.at(id).size(), 3u) << id;
    EXPECT_GT(left.at(id)[2].size(), 10u) << id;
    if (left.at(id)[2].find("disagrees with its own inputs") != std::string::npos) ++contradict;
  }
  EXPECT_EQ(tested.size() + left.size(), 176u);
  EXPECT_EQ(contradict, 5);  // so 171 prints agree with their own inputs
  EXPECT_EQ(tested.size(), 121u);
}

TEST(WorkedExamplesList, NoTopicOfTheCutIsLeftOut) {
  // What is left out is money of batches, hand work and rates, a keyway without its rule, and prints that contradict
  // themselves; nothing about force, power, life, chips, cusps, entries or deflection that can be computed.
  for (const auto& [id, cells] :
       rowsById(std::string(CHIPLEDGER_SOURCE_DIR) + "/tests/cutting/data/examples_left_out.tsv")) {
    const bool ofTheCut = cells[2].find("not of this room") == std::string::npos;
    if (!ofTheCut) continue;
    EXPECT_TRUE(id == "W037" || cells[2].find("disagrees") != std::string::npos) << id << " " << cells[2];
  }
}

TEST(WorkedExamplesList, InputsAndPrintsAreThoseOfTheCollection) {
  const auto theirs = rowsById(std::string(CHIPLEDGER_SHARED_DIR) + "/evidence/worked-examples.tsv");
  if (theirs.empty()) GTEST_SKIP() << "The collection of worked examples is not at hand.";
  const auto ours = rowsById(std::string(CHIPLEDGER_SOURCE_DIR) + "/tests/cutting/data/worked_examples.tsv");
  int agreeing = 0;
  for (const auto& [id, cells] : theirs) {
    if (cells[11] == "ok") ++agreeing;
    const auto mine = ours.find(id);
    if (mine == ours.end()) continue;
    EXPECT_EQ(cells[11], "ok") << id;
    for (std::size_t i = 1; i < 8; ++i) EXPECT_EQ(mine->second[i], cells[i]) << id << " column " << i;
  }
  EXPECT_EQ(agreeing, 171);
}

}  // namespace
